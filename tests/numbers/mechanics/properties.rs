//! What must hold for every input that is taken: results are finite, the ways
//! there and back meet, and nonsense is an error that names its field.

use crate::reference::metric;
use clampbook::mechanics::{
    Attachment, Bearing, Clamp, Control, EndToEnd, Expansion, Form, FormRange, Joint,
    MechanicsError, Prevailing, PrevailingRule, Segment, Stiffness, Strength, StripLimits, Target,
    ThreadPair, Warmed, at_equal_clamp, clamp_at_combined, clamp_at_stretch, clamp_change,
    combined, combined_after, in_a_row, ratio_check, stretch_at, tension, wrench_torque,
};
use clampbook::mechanics::{Between, End, SHEAR_SHARE, SegmentPart};
use clampbook::quantity::{
    Angle, Area, Force, Kind, Length, Ratio, Stress, TemperatureDifference, Torque,
};
use clampbook::thread::Geometry;
use proptest::prelude::*;

/// Threads from M1.6 to 4 inch, three flank angles.
fn threads() -> impl Strategy<Value = Geometry> {
    let flanks = prop_oneof![Just(60.0), Just(55.0), Just(47.5)];
    (1.6..100.0_f64, 0.03..0.25_f64, flanks).prop_map(|(d, pitches, flank)| {
        let flank_angle = Angle::from_deg(flank);
        Geometry { flank_angle, ..metric(d, d * pitches) }
    })
}

fn mu() -> impl Strategy<Value = f64> {
    0.02..0.5_f64
}

fn long(thread: &Geometry, mu_thread: f64, mu_bearing: f64) -> Form {
    let face = Bearing { outer: thread.major * 1.5, hole: thread.major * 1.1 };
    Form::Long {
        thread: Ratio::from_value(mu_thread),
        bearing: Ratio::from_value(mu_bearing),
        face,
    }
}

fn forms() -> impl Strategy<Value = (Geometry, Form)> {
    (threads(), any::<bool>(), 0.03..0.6_f64, mu(), mu()).prop_map(|(thread, short, k, t, b)| {
        let form =
            if short { Form::Short { k: Ratio::from_value(k) } } else { long(&thread, t, b) };
        (thread, form)
    })
}

/// Any number at all: nonsense, extremes and plausible ones.
fn wild() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>(),
        -10.0..10.0_f64,
        1e-3..1e5_f64,
        Just(0.0),
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(f64::MIN_POSITIVE),
    ]
}

fn close(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-9 * one.abs().max(other.abs())
}

proptest! {
    #[test]
    fn clamp_of_torque_of_clamp_is_the_clamp((thread, form) in forms(), clamp in 10.0..1e6_f64) {
        let torque = form.torque(&thread, Force::from_n(clamp)).unwrap();
        prop_assert!(close(form.clamp(&thread, torque).unwrap().n(), clamp));
        // The short form with the equivalent K says the same.
        let k = form.equivalent_k(&thread).unwrap();
        let same = Form::Short { k }.torque(&thread, Force::from_n(clamp));
        if let Ok(same) = same {
            prop_assert!(close(same.nm(), torque.nm()));
        }
        if let Some(shares) = form.shares(&thread).unwrap() {
            prop_assert!(close(shares.iter().map(|share| share.value()).sum(), 1.0));
            prop_assert!(shares.iter().all(|share| share.value() > 0.0));
        }
    }

    #[test]
    fn torque_rises_with_friction(
        thread in threads(), one in mu(), face in mu(), more in 0.001..0.2_f64, clamp in 10.0..1e6_f64
    ) {
        let clamp = Force::from_n(clamp);
        let torque = |t, b| long(&thread, t, b).torque(&thread, clamp).unwrap();
        prop_assert!(torque(one + more, face) > torque(one, face));
        prop_assert!(torque(one, face + more) > torque(one, face));
        // And the twist of the bolt with the thread's friction alone.
        let twist = |t, b| long(&thread, t, b).thread_torque(&thread, clamp).unwrap().unwrap();
        prop_assert!(twist(one + more, face) > twist(one, face));
        prop_assert!(close(twist(one, face + more).nm(), twist(one, face).nm()));
    }

    #[test]
    fn a_sharper_flank_takes_less_torque(d in 2.0..60.0_f64, t in mu(), b in mu()) {
        let thread = |flank| Geometry { flank_angle: Angle::from_deg(flank), ..metric(d, d / 8.0) };
        let lever = |flank| long(&thread(flank), t, b).lever(&thread(flank)).unwrap();
        prop_assert!(lever(47.5) < lever(55.0) && lever(55.0) < lever(60.0));
    }

    #[test]
    fn tension_is_never_above_combined(
        thread in threads(), t in mu(), share in 0.05..1.2_f64, strength in 100.0..1500.0_f64
    ) {
        let strength = Stress::from_mpa(strength);
        let area = thread.stress_area;
        let clamp = strength * area * share;
        let twist = long(&thread, t, t).thread_torque(&thread, clamp).unwrap().unwrap();
        let of_yield = tension(clamp, area).unwrap() / strength;
        let while_pulled = combined(clamp, area, twist).unwrap();
        let after = combined_after(clamp, area, twist, Ratio::from_value(0.5)).unwrap();
        prop_assert!(of_yield <= after / strength);
        prop_assert!(after <= while_pulled);
        // The clamp for that combined share is the clamp we began with.
        let target = Ratio::from_value(while_pulled / strength);
        let lever = long(&thread, t, t).twisting_lever(&thread).unwrap().unwrap();
        if let Ok(back) = clamp_at_combined(target, strength, area, lever) {
            prop_assert!(close(back.n(), clamp.n()));
        }
    }

    #[test]
    fn converting_there_and_back_is_the_identity(
        (thread, from) in forms(), k in 0.03..0.6_f64, t in mu(), b in mu(), torque in 0.1..1e4_f64
    ) {
        let to = match from {
            Form::Short { .. } => Form::Short { k: Ratio::from_value(k) },
            Form::Long { .. } => long(&thread, t, b),
        };
        let torque = Torque::from_nm(torque);
        let there = at_equal_clamp(&thread, torque, &from, &to).unwrap();
        let back = at_equal_clamp(&thread, there, &to, &from).unwrap();
        prop_assert!(close(back.nm(), torque.nm()));
        // Equal clamp it is.
        let clamps = (from.clamp(&thread, torque).unwrap(), to.clamp(&thread, there).unwrap());
        prop_assert!(close(clamps.0.n(), clamps.1.n()));
        let check = ratio_check(&thread, [torque, there], [&from, &to]).unwrap();
        prop_assert!(!check.doubtful && check.difference.value().abs() < 1e-9);
    }

    #[test]
    fn bands_hold_their_nominal_and_widen(
        thread in threads(), k in 0.08..0.3_f64, less in 0.5..1.0_f64, more in 1.0..2.0_f64,
        wrench in 0.0..0.1_f64, torque in 0.1..1e4_f64
    ) {
        let form = |part: f64| Form::Short { k: Ratio::from_value(k * part) };
        let range = FormRange { low: form(less), nominal: form(1.0), high: form(more) };
        let band = |wrench| {
            let torque = Torque::from_nm(torque);
            Clamp::by_friction(&thread, torque, &range, Ratio::from_value(wrench)).unwrap()
        };
        let (narrow, wide) = (band(0.0), band(wrench));
        prop_assert!(wide.low <= narrow.low && narrow.low <= narrow.nominal);
        prop_assert!(wide.high >= narrow.high && narrow.high >= narrow.nominal);
        prop_assert!(wide.low.n() > 0.0);
        // Without a wrench tolerance the ends are the clamps at both factors.
        let torque = Torque::from_nm(torque);
        prop_assert!(close(narrow.high.n(), range.low.clamp(&thread, torque).unwrap().n()));
        prop_assert!(close(narrow.low.n(), range.high.clamp(&thread, torque).unwrap().n()));
    }

    #[test]
    fn stretch_turn_and_clamp_meet(
        d in 4.0..40.0_f64, shank in 5.0..300.0_f64, free in 1.0..50.0_f64, clamp in 100.0..1e5_f64,
        ratio in 1.0..10.0_f64
    ) {
        let thread = metric(d, d / 8.0);
        let mm = Length::from_mm;
        let modulus = Stress::from_mpa(206_000.0);
        let between = [Between::Shank(thread.major, mm(shank)), Between::Thread(&thread, mm(free))];
        let ends = [End::HexHead(thread.major), End::Nut(&thread)];
        let shape = EndToEnd { modulus, ends: &ends, between: &between };
        let segments = shape.segments().unwrap();
        let clamp = Force::from_n(clamp);
        let stretch = stretch_at(clamp, &segments).unwrap();
        prop_assert!(close(clamp_at_stretch(stretch, &segments).unwrap().n(), clamp.n()));
        // A waist makes it longer under the same clamp.
        let waisted = [Between::Waist(thread.major * 0.8, mm(shank)), between[1]];
        let softer = EndToEnd { between: &waisted, ..shape }.segments().unwrap();
        let softer = in_a_row(&softer).unwrap();
        let bolt = in_a_row(&segments).unwrap();
        prop_assert!(softer < bolt);
        let parts = Stiffness::new("parts", bolt.n_per_mm() * ratio).unwrap();
        let joint = Joint { bolt, parts };
        let turn = joint.turn_for_clamp(clamp, thread.pitch).unwrap();
        if let Ok(back) = joint.clamp_for_turn(turn, thread.pitch) {
            prop_assert!(close(back.n(), clamp.n()));
        }
        prop_assert!(close(joint.load_share().value() + joint.stretch_share().value(), 1.0));
    }

    #[test]
    fn adapters_and_prevailing_torque_undo(
        torque in 1.0..1000.0_f64, lever in 100.0..1500.0_f64, part in 0.05..0.6_f64,
        angle in -180.0..180.0_f64, running in 0.1..50.0_f64
    ) {
        let torque = Torque::from_nm(torque);
        let (lever, reach) = (Length::from_mm(lever), Length::from_mm(lever * part));
        let adapter = Attachment::Adapter { lever, reach, angle: Angle::from_deg(angle) };
        let set = adapter.setting(torque).unwrap();
        prop_assert!(close(adapter.at_bolt(set).unwrap().nm(), torque.nm()));
        prop_assert_eq!(set < torque, angle.to_radians().cos() > 0.0);
        prop_assert_eq!(Attachment::OnAxis.setting(torque).unwrap(), torque);
        let running = Prevailing::ToAdd(Torque::from_nm(running));
        let shown = wrench_torque(torque, running, PrevailingRule::Always).unwrap();
        let left = clampbook::mechanics::clamping_torque(shown, running).unwrap();
        prop_assert!((left - torque).nm().abs() < 1e-9);
    }

    #[test]
    fn longer_engagement_holds_more(
        d in 3.0..60.0_f64, bolt in 300.0..1500.0_f64, hole in 80.0..1000.0_f64, clamp in 100.0..1e5_f64
    ) {
        let thread = metric(d, d / 8.0);
        let pair = ThreadPair {
            limits: StripLimits::basic(&thread).unwrap(),
            external_tensile: Stress::from_mpa(bolt),
            internal_tensile: Stress::from_mpa(hole),
            shear_share: SHEAR_SHARE,
        };
        let (length, strips) = pair.engagement_for(Force::from_n(clamp)).unwrap();
        let (load, same) = pair.strip_load(length).unwrap();
        prop_assert!(close(load.n(), clamp) && strips == same);
        let (enough, _) = pair.even_strength(thread.stress_area).unwrap();
        let (at_break, _) = pair.strip_load(enough).unwrap();
        prop_assert!(close(at_break.n(), bolt * thread.stress_area.mm2()));
    }

    /// Whatever goes in, what comes out is finite and above 0, or an error with
    /// a field and no "NaN" or "inf" in its words.
    #[test]
    fn any_input_gives_a_sound_figure_or_a_named_error(n in prop::array::uniform10(wild())) {
        let mm = Length::from_mm;
        let thread = Geometry {
            major: mm(n[0]),
            pitch: mm(n[1]),
            pitch_diameter: mm(n[2]),
            minor_diameter: mm(n[3]),
            root_diameter: mm(n[3]),
            stress_area: Area::from_mm2(n[4]),
            flank_angle: Angle::from_deg(n[5]),
        };
        // Sound geometry half of the time, so that the rest is reached.
        let thread = if n[9] > 0.0 { metric(10.0, 1.5) } else { thread };
        let ratio = Ratio::from_value;
        let face = Bearing { outer: mm(n[6]), hole: mm(n[7]) };
        for form in [
            Form::Short { k: ratio(n[6]) },
            Form::Long { thread: ratio(n[7]), bearing: ratio(n[8]), face },
        ] {
            sound(form.torque(&thread, Force::from_n(n[0])))?;
            sound(form.clamp(&thread, Torque::from_nm(n[1])))?;
            sound(form.equivalent_k(&thread))?;
            let other = Form::Short { k: ratio(n[2]) };
            sound(at_equal_clamp(&thread, Torque::from_nm(n[1]), &form, &other))?;
            let range = FormRange { low: form, nominal: other, high: form };
            let band = Clamp::by_friction(&thread, Torque::from_nm(n[0]), &range, ratio(n[3]));
            sound(band.map(|band| band.low))?;
            sound(band.map(|band| band.high))?;
        }
        let strength = Strength {
            proof: Some(Stress::from_mpa(n[0])),
            yields: Some(Stress::from_mpa(n[1])),
            tensile: None,
        };
        for target in [
            Target::OfProof(ratio(n[2])),
            Target::OfYield(ratio(n[3])),
            Target::Combined(ratio(n[4])),
            Target::Clamp(Force::from_n(n[5])),
        ] {
            sound(target.clamp(Area::from_mm2(n[6]), &strength, Some(mm(n[7]))))?;
        }
        let area = Area::from_mm2(n[1]);
        sound(tension(Force::from_n(n[0]), area))?;
        sound(combined(Force::from_n(n[0]), area, Torque::from_nm(n[2])))?;
        let attachment =
            Attachment::Adapter { lever: mm(n[0]), reach: mm(n[1]), angle: Angle::from_deg(n[2]) };
        sound(attachment.setting(Torque::from_nm(n[3])))?;
        let multiplier = Attachment::Multiplier { ratio: ratio(n[0]), efficiency: ratio(n[1]) };
        sound(multiplier.setting(Torque::from_nm(n[3])))?;
        let segment = Segment {
            part: SegmentPart::Shank, length: mm(n[0]), area, modulus: Stress::from_mpa(n[2]),
        };
        sound(stretch_at(Force::from_n(n[3]), &[segment]))?;
        sound(clamp_at_stretch(mm(n[3]), &[segment, segment]))?;
        sound(Clamp::by_control(Force::from_n(n[0]), Control::Turn).map(|band| band.low))?;
        let warmed = Warmed {
            length: mm(n[0]),
            expansion: Expansion::from_per_k(n[1]),
            rise: TemperatureDifference::from_k(n[2]),
        };
        if let (Ok(bolt), Ok(parts)) = (Stiffness::new("b", n[3]), Stiffness::new("p", n[4])) {
            let change = clamp_change(&Joint { bolt, parts }, &[warmed], &[warmed, warmed]);
            if let Ok(change) = change {
                prop_assert!(change.n().is_finite());
            }
        }
        if let Ok(limits) = StripLimits::basic(&thread) {
            let pair = ThreadPair {
                limits,
                external_tensile: Stress::from_mpa(n[0]),
                internal_tensile: Stress::from_mpa(n[1]),
                shear_share: ratio(n[2]),
            };
            sound(pair.strip_load(mm(n[3])).map(|found| found.0))?;
            sound(pair.even_strength(Area::from_mm2(n[4])).map(|found| found.0))?;
        }
    }
}

fn sound<K: Kind>(found: Result<K, MechanicsError>) -> Result<(), TestCaseError> {
    match found {
        Ok(value) => {
            prop_assert!(value.base().is_finite() && value.base() > 0.0, "{value:?}");
        }
        Err(error) => {
            let text = error.to_string();
            prop_assert!(!error.field().is_empty() && text.contains(error.field()), "{text}");
            prop_assert!(!text.contains("NaN"), "{text}");
        }
    }
    Ok(())
}

//! Nonsense and missing inputs are refused in words that name the field, what
//! was read and what to do.

use crate::reference::metric;
use clampbook::mechanics::{
    Attachment, Bearing, CUSTOMARY_SET, Form, Head, MechanicsError, PermanentSet, Prevailing,
    PrevailingRule, Sections, Strength, Target, at_equal_clamp, permanent_set, standard_bearing,
    wrench_torque,
};
use clampbook::quantity::{Angle, Area, Force, Length, Ratio, Stress, Torque};
use clampbook::thread::Geometry;

const CLAMP: Force = Force::from_n(36_000.0);

fn said(error: &MechanicsError, message: &str) {
    assert_eq!(error.to_string(), message);
    assert!(message.contains(error.field()));
}

fn short(k: f64) -> Form {
    Form::Short { k: Ratio::from_value(k) }
}

fn long(mu_thread: f64, mu_bearing: f64, outer: f64, hole: f64) -> Form {
    let face = Bearing { outer: Length::from_mm(outer), hole: Length::from_mm(hole) };
    Form::Long {
        thread: Ratio::from_value(mu_thread),
        bearing: Ratio::from_value(mu_bearing),
        face,
    }
}

#[test]
fn an_impossible_thread() {
    let with = |change: fn(&mut Geometry), message: &str| {
        let mut wrong = metric(10.0, 1.5);
        change(&mut wrong);
        said(&short(0.2).torque(&wrong, CLAMP).unwrap_err(), message);
    };
    with(|t| t.pitch = Length::from_mm(-1.5), "pitch is -1.5 mm: write a length above 0");
    with(
        |t| t.pitch = Length::from_mm(12.0),
        "pitch 12 mm must be smaller than major diameter 10 mm",
    );
    with(
        |t| t.major = Length::from_mm(f64::NAN),
        "major diameter is not a number: write a length above 0",
    );
    with(
        |t| t.flank_angle = Angle::from_deg(120.0),
        "flank angle is 120°: write a value from 20° to 90°",
    );
    with(
        |t| t.stress_area = Area::from_mm2(90.0),
        "stress area 90 mm² must be smaller than area of the major diameter 78.5398 mm²",
    );
    let waist = Some(Length::from_mm(12.0));
    let thread = metric(10.0, 1.5);
    said(
        &Sections { waist, ..Sections::of_thread(&thread) }.weakest().unwrap_err(),
        "waist diameter 12 mm must be smaller than major diameter 10 mm",
    );
}

#[test]
fn impossible_friction_and_faces() {
    let thread = metric(10.0, 1.5);
    let with = |form: Form, message: &str| {
        said(&form.torque(&thread, CLAMP).unwrap_err(), message);
    };
    with(long(3.0, 0.1, 16.0, 11.0), "thread friction is 3: write a value from 0.01 to 1");
    with(long(0.1, 0.0, 16.0, 11.0), "bearing friction is 0: write a value from 0.01 to 1");
    with(long(0.1, 0.1, 16.0, 18.0), "bearing hole 18 mm must be smaller than bearing outer 16 mm");
    with(short(0.0), "K is 0: write a value from 0.02 to 1.5");
    with(short(12.0), "K is 12: write a value from 0.02 to 1.5");
    said(
        &at_equal_clamp(&thread, Torque::from_nm(50.0), &short(0.2), &long(0.1, 0.1, 16.0, 11.0))
            .unwrap_err(),
        "friction is a nut factor K for one lube and coefficients for the other: give the same \
         for both",
    );
    said(
        &standard_bearing(&metric(11.0, 1.5), Head::Hex).unwrap_err(),
        "bearing is not stated: no standard head and hole are known for this thread; state the \
         outer and the hole diameter of the face that turns",
    );
}

#[test]
fn impossible_loads_and_adapters() {
    let thread = metric(10.0, 1.5);
    said(
        &short(0.2).torque(&thread, -CLAMP).unwrap_err(),
        "clamp is -36000 N: write a force above 0",
    );
    said(
        &short(0.2).clamp(&thread, Torque::from_nm(0.0)).unwrap_err(),
        "torque is 0 N·m: write a torque above 0",
    );
    let lever = Length::from_mm(300.0);
    let back = Attachment::Adapter { lever, reach: lever, angle: Angle::from_deg(180.0) };
    said(
        &back.gain().unwrap_err(),
        "adapter length 300 mm must be smaller than wrench length 300 mm",
    );
    said(
        &wrench_torque(Torque::from_nm(50.0), Prevailing::Unknown, PrevailingRule::Always)
            .unwrap_err(),
        "prevailing torque is not stated: say whether the stated torque includes it, or how \
         much to add",
    );
}

#[test]
fn targets_without_their_strength() {
    let area = metric(10.0, 1.5).stress_area;
    let with = |target: Target, strength: Strength, message: &str| {
        said(&target.clamp(area, &strength, None).unwrap_err(), message);
    };
    let part = Ratio::from_value;
    let nothing = Strength::default();
    with(
        Target::OfProof(part(0.75)),
        nothing,
        "proof is not stated: a target of proof needs the proof stress",
    );
    with(
        Target::OfYield(part(0.75)),
        nothing,
        "yield is not stated: a target of yield or combined needs the yield strength",
    );
    let strong = Strength { yields: Some(Stress::from_mpa(940.0)), ..nothing };
    with(Target::OfYield(part(75.0)), strong, "target is 75: write a value from 0.01 to 2");
    with(
        Target::Combined(part(0.9)),
        strong,
        "thread friction is not stated: a combined target needs friction coefficients; K alone \
         does not say how much of the torque twists the fastener",
    );
    let upside_down =
        Strength { proof: strong.yields, yields: Some(Stress::from_mpa(830.0)), ..nothing };
    with(
        Target::OfProof(part(0.75)),
        upside_down,
        "proof 940 MPa must be smaller than yield 830 MPa",
    );
}

/// A bolt without a free length when new cannot be judged; with one, the limit
/// decides. 0.001 in is common practice, no standard.
#[test]
fn permanent_set_is_judged_only_against_a_record() {
    let judge = |now: f64, new: Option<f64>| {
        let new = new.map(Length::from_mm);
        permanent_set(Length::from_mm(now), new, CUSTOMARY_SET).unwrap()
    };
    assert_eq!(judge(60.0, None), PermanentSet::CannotJudge);
    assert!(matches!(judge(60.0254, Some(60.0)), PermanentSet::Within(_)));
    assert!(matches!(judge(60.03, Some(60.0)), PermanentSet::Over(_)));
    assert!(matches!(judge(59.99, Some(60.0)), PermanentSet::Within(_)));
    assert!(matches!(judge(59.9, Some(60.0)), PermanentSet::Shorter(_)));
}

/// The long form with the standard head and hole of M10: K from equal friction,
/// worked by hand.
#[test]
fn equivalent_k_of_equal_friction() {
    let thread = metric(10.0, 1.5);
    let face = standard_bearing(&thread, Head::Hex).unwrap();
    assert_eq!(face.assumed, "hex head ISO 4014 over a medium hole ISO 273");
    let face = face.bearing;
    let wanted = [(0.08, 0.117), (0.10, 0.140), (0.12, 0.163), (0.14, 0.186), (0.16, 0.210)];
    for (mu, k) in wanted {
        let mu = Ratio::from_value(mu);
        let form = Form::Long { thread: mu, bearing: mu, face };
        let found = form.equivalent_k(&thread).unwrap().value();
        assert!((found - k).abs() < 0.0006, "{found} is not {k}");
    }
}

//! What holds for every fastener, torque and pair of lubes.

use std::sync::Arc;

use clampbook::correction::{Refusal, restate, target_torque, with_lubes};
use clampbook::mechanics::Target;
use clampbook::quantity::{Extent, Length, Quantity, Ratio, Stated, Torque, find_unit};
use clampbook::record::{
    Band, Basis, Bearing, Derived, Fastener, Lube, LubeClass, Lubes, Prevailing, Setting, Tables,
    derive, derive_with, same_form,
};
use clampbook::thread::Thread;
use proptest::prelude::*;

use super::sample::{bolt, lube, setting, shared, tables};

fn band() -> impl Strategy<Value = [f64; 3]> {
    (0.05..0.3_f64, 0.6..1.0_f64, 1.0..1.6_f64).prop_map(|(k, down, up)| [k * down, k, k * up])
}

/// A lube with K, μ, or both.
fn some_lube(name: &'static str) -> impl Strategy<Value = Lube> {
    (proptest::option::of(band()), proptest::option::of((band(), band()))).prop_map(
        move |(k, mu)| {
            let of = |[low, nominal, high]: [f64; 3]| Band::new(low, nominal, high);
            Lube {
                k: k.and_then(of),
                mu_thread: mu.and_then(|(thread, _)| of(thread)),
                mu_bearing: mu.and_then(|(_, face)| of(face)),
                ..lube(name, LubeClass::Wet, [0.1, 0.1, 0.1])
            }
        },
    )
}

const THREADS: [&str; 7] =
    ["M6x1", "M10x1.5", "M10x1.25", "M12x1.75", "3/8-16", "7/16-20", "1/2-13"];

prop_compose! {
    fn some_fastener()(
        thread in proptest::sample::select(&THREADS[..]),
        hole in proptest::option::of(proptest::sample::select(&THREADS[..])),
        strength in proptest::sample::select(&["10.9", "SAE 8", "180 ksi yield", "none"][..]),
        torque in 1.0..200.0_f64,
        width in proptest::option::of(0.0..20.0_f64),
        unit in proptest::sample::select(&["N·m", "lb-ft", "lb-in", "kgf·m"][..]),
        running in proptest::option::of((0.1..8.0_f64, any::<bool>())),
        ring in any::<bool>(),
    ) -> Fastener {
        let low = Number::at(torque, unit);
        let text = match width {
            Some(width) => format!("{low}..{} {unit}", Number::at(torque + width, unit)),
            None => format!("{low} {unit}"),
        };
        let mut fastener = bolt(thread, vec![setting("from", &text)]);
        fastener.hole_thread = hole.map(|hole| Thread::parse(hole).unwrap());
        match strength {
            "none" => {}
            "180 ksi yield" => fastener.strength.yield_ = Stated::parse("180 ksi").ok(),
            name => fastener.strength.name = Some(name.to_owned()),
        }
        if let Some((torque, included)) = running {
            fastener.prevailing = Some(Stated::parse(&format!("{torque:.2} N·m")).unwrap());
            let rule = if included { Prevailing::Included } else { Prevailing::ToAdd };
            fastener.prevailing_rule = Some(rule);
        }
        if ring {
            let d = fastener.thread.as_ref().unwrap().nominal().mm();
            let mm = |mm: f64| {
                let unit = find_unit("mm").unwrap();
                Stated::new(Quantity::rounded(Length::from_mm(mm), unit, 3).unwrap()).unwrap()
            };
            fastener.bearing = Some(Bearing { outer: mm(d * 1.5), hole: mm(d * 1.1) });
        }
        fastener
    }
}

struct Number;

impl Number {
    /// `nm` N·m as a number of `unit`.
    fn at(nm: f64, unit: &str) -> String {
        format!("{:.3}", nm / find_unit(unit).unwrap().factor)
    }
}

fn with(from: &Lube, to: &Lube) -> Tables {
    let mut tables = tables();
    tables.lubes.extend([from.clone(), to.clone()]);
    tables
}

fn every_figure(derived: &Derived) -> Vec<f64> {
    let clamp = derived.clamp.map(|clamp| [clamp.low.n(), clamp.nominal.n(), clamp.high.n()]);
    let shares = [
        derived.k,
        derived.of_proof,
        derived.of_yield,
        derived.turned_of_proof,
        derived.turned_of_yield,
        derived.combined,
        derived.stress.map(clampbook::quantity::Stress::mpa),
    ];
    clamp.into_iter().flatten().chain(shares.into_iter().flatten()).collect()
}

fn ends(torque: Extent<Torque>) -> [f64; 2] {
    [torque.low().unwrap().nm(), torque.high().nm()]
}

/// The highest torque of a setting alone.
fn high_end(setting: &Setting) -> Setting {
    let mut high = setting.clone();
    if let Some(Extent::Between(_, end)) = high.torque {
        high.torque = Some(Extent::Exactly(end));
    }
    high
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn there_and_back_is_the_same_torque(
        fastener in some_fastener(), from in some_lube("from"), to in some_lube("to"),
    ) {
        let tables = with(&from, &to);
        let there = shared(fastener.clone());
        let Ok(row) = restate(&there, &there.settings[0], &to, &tables) else { return Ok(()) };
        let mut back = fastener.clone();
        back.settings = vec![Setting { basis: Basis::Listed, ..row.setting }];
        let back = shared(back);
        let row = restate(&back, &back.settings[0], &from, &tables);
        // With other friction the same clamp may twist the bolt beyond yield, and
        // in its own form the first lube may bring it too near proof: then it does.
        let row = match row {
            Ok(row) => row,
            Err(Refusal::Combined { percent, .. }) => {
                prop_assert!(percent > 100, "{percent}");
                return Ok(());
            }
            Err(refusal) => {
                prop_assert!(matches!(refusal, Refusal::NearProof { .. }), "{refusal}");
                let listed = derive(&back, &back.settings[0], &tables);
                let share = listed.of_proof.or(listed.of_yield).unwrap();
                prop_assert!(share > 0.9, "{share} is refused as near proof");
                return Ok(());
            }
        };
        let (first, last) = (fastener.settings[0].torque, row.setting.torque);
        for (a, b) in ends(first.unwrap()).into_iter().zip(ends(last.unwrap())) {
            prop_assert!((a / b - 1.0).abs() < 1e-6, "{a} {b}");
        }
        prop_assert_eq!(first.unwrap().unit(), last.unwrap().unit());
    }

    #[test]
    fn a_conversion_keeps_the_clamp(
        fastener in some_fastener(), from in some_lube("from"), to in some_lube("to"),
    ) {
        let tables = with(&from, &to);
        let fastener = shared(fastener);
        let source = &fastener.settings[0];
        let Ok(row) = restate(&fastener, source, &to, &tables) else { return Ok(()) };
        let [one, other] = same_form(&fastener, Lubes::both(&from), Lubes::both(&to)).unwrap();
        let [form_of_one, form] = [one, other].map(|friction| friction.range.nominal.name());
        prop_assert_eq!((form_of_one, one.assumed), (form, other.assumed));
        prop_assert_eq!(row.derived.form.map(|form| form.name()), Some(form));
        let meant = derive_with(&fastener, source, &tables, one).clamp.unwrap().nominal.n();
        let found = row.derived.clamp.unwrap().nominal.n();
        prop_assert!((found / meant - 1.0).abs() < 1e-6, "{meant} {found}");
    }

    #[test]
    fn a_computed_value_is_never_above_proof(
        fastener in some_fastener(), from in some_lube("from"), to in some_lube("to"),
        share in 0.1..1.3_f64,
    ) {
        let tables = with(&from, &to);
        let fastener = shared(fastener);
        let matched: Vec<&Setting> = fastener.settings.iter().collect();
        let mut rows = with_lubes(&fastener, &matched, &[&to], &tables);
        let unit = find_unit("N·m").unwrap();
        for target in [Target::OfProof, Target::OfYield, Target::Combined] {
            let target = target(Ratio::from_value(share));
            rows.extend(target_torque(&fastener, target, &to, unit, &tables));
        }
        for row in rows.iter().filter(|row| row.refused.is_none()) {
            let friction = forms(&fastener, &from, &to, row.restated.is_some());
            let high = derive_with(&fastener, &high_end(&row.setting), &tables, friction);
            match (high.of_proof, high.of_yield) {
                (Some(share), _) => prop_assert!(share <= 1.0 + 2e-6, "{share} of proof"),
                (None, Some(share)) => prop_assert!(share <= 0.9 + 2e-6, "{share} of yield"),
                (None, None) => prop_assert!(!row.warnings.is_empty()),
            }
            prop_assert!(high.combined.is_none_or(|share| share <= 1.0 + 2e-6));
        }
    }

    #[test]
    fn no_figure_is_ever_wild(
        fastener in some_fastener(), from in some_lube("from"), to in some_lube("to"),
    ) {
        let tables = with(&from, &to);
        let fastener = shared(fastener);
        let matched: Vec<&Setting> = fastener.settings.iter().collect();
        let lubes: Vec<&Lube> = tables.lubes.iter().collect();
        for row in with_lubes(&fastener, &matched, &lubes, &tables) {
            for figure in every_figure(&row.derived) {
                prop_assert!(figure.is_finite() && figure > 0.0, "{figure} {:?}", row.derived);
            }
            if let Some(clamp) = row.derived.clamp {
                prop_assert!(clamp.low <= clamp.nominal && clamp.nominal <= clamp.high);
            }
            let has_figure = row.setting.torque.is_some();
            prop_assert_eq!(row.refused.is_none(), has_figure);
            prop_assert!(row.refused.as_ref().is_none_or(|reason| !reason.to_string().is_empty()));
        }
    }
}

/// The form in which a row was computed: shared with the source, or the best.
fn forms(
    fastener: &Arc<Fastener>,
    from: &Lube,
    to: &Lube,
    restated: bool,
) -> clampbook::record::Friction {
    if restated {
        return same_form(fastener, Lubes::both(from), Lubes::both(to)).unwrap()[1];
    }
    clampbook::record::best_form(fastener, Lubes::both(to)).unwrap()
}

//! Lubes and strengths against the published figures of tests/data.

use std::collections::HashMap;

use clampbook::quantity::{Kind as _, find_unit};
use clampbook::record::{FIELDS, LubeClass};
use clampbook::text::fold_name;
use clampbook::thread::Pattern;

use super::{in_series, lubes, nominal, rows, tables};

#[test]
fn lube_factors_are_whole_and_have_a_source() {
    let lubes = lubes();
    assert!(lubes.len() >= 16);
    for lube in &lubes {
        let source = lube.source.as_deref().unwrap();
        assert!(lube.what.is_some(), "{}", lube.name);
        assert_eq!(lube.mu_thread.is_some(), lube.mu_bearing.is_some(), "{}", lube.name);
        let compound = matches!(lube.class, LubeClass::Threadlocker | LubeClass::Sealant);
        assert_eq!(compound, source.starts_with("no factor"), "{}", lube.name);
        assert_eq!(compound, lube.k.is_none() && lube.mu_thread.is_none(), "{}", lube.name);
        assert!(!(compound && lube.convertible), "{}", lube.name);
    }
    for class in [LubeClass::Dry, LubeClass::Wet, LubeClass::Coating] {
        assert!(lubes.iter().any(|lube| lube.class == class), "{class}");
    }
}

/// Published nut factors stand inside the band of their lube, at its nominal
/// where one source is the reason for it. Source: the rows named in
/// tests/data/nut_factors.csv.
#[test]
fn published_nut_factors_lie_in_the_bands() {
    let pairs = [
        ("nonplated, black finish", "black oxide"),
        ("zinc-plated", "zinc plated dry"),
        ("zinc plate, dry", "zinc plated dry"),
        ("zinc on steel", "zinc plated dry"),
        ("lubricated (unspecified)", "oil"),
        ("cadmium-plated", "cadmium plated"),
        ("cadmium plate, dry", "cadmium plated"),
        ("cadmium on steel", "cadmium plated"),
        ("phosphate and oil on steel", "phosphate oiled"),
        ("302 stainless on 302 stainless", "stainless dry"),
        ("zinc-flake coating on steel", "zinc flake"),
        ("bare steel", "dry"),
        ("dry steel on dry steel", "dry"),
        ("threads cleaned and dried", "dry"),
        ("anti-seize compound (one commercial product)", "anti-seize"),
        ("average commercial condition, any lubrication present", "oil"),
    ];
    let tables = tables();
    let published = rows("tests/data/nut_factors.csv");
    for (condition, name) in pairs {
        let row = published.iter().find(|row| row["condition"] == condition).unwrap();
        let band = tables.lube(name).unwrap().k.unwrap();
        for cell in ["k_or_multiplier", "k_min", "k_max"] {
            let Ok(k) = row[cell].parse::<f64>() else { continue };
            assert!((band.low..=band.high).contains(&k), "{name}: {condition} {k}");
        }
    }
}

/// The classes of VDI 2230 as printed: tests/data/friction.csv.
#[test]
fn friction_classes_are_the_published_ones() {
    let tables = tables();
    for row in rows("tests/data/friction.csv") {
        let Some(lube) = tables.lube(&format!("VDI-{}", row["class"])) else { continue };
        let band = lube.mu_thread.unwrap();
        assert_eq!(Ok(band.low), row["mu_min"].parse(), "{}", lube.name);
        assert_eq!(Ok(band.high), row["mu_max"].parse(), "{}", lube.name);
    }
    assert!(["A", "B", "C", "D"].iter().all(|c| tables.lube(&format!("VDI-{c}")).is_some()));
}

/// Words that a question keeps for itself, wherever they stand.
const RESERVED: &[&str] = &[
    "and",
    "or",
    "not",
    "has",
    "needs",
    "lacks",
    "no",
    "confused-with",
    "with",
    "target",
    "keep",
    "show",
    "sort",
    "tally",
    "units",
];

#[test]
fn no_name_is_taken_twice_or_means_something_in_a_question() {
    let tables = tables();
    let lubes = tables.lubes.iter().map(|lube| (&lube.name, &lube.aliases));
    let classes = tables.strengths.iter().map(|class| (&class.name, &class.aliases));
    let mut seen: HashMap<String, &str> = HashMap::new();
    for (name, aliases) in lubes.chain(classes) {
        for spelling in std::iter::once(name).chain(aliases) {
            let folded = fold_name(spelling);
            assert_eq!(seen.insert(folded.clone(), name), None, "{spelling} twice");
            for word in folded.split(' ') {
                assert!(!RESERVED.contains(&word), "{spelling} holds the reserved word {word}");
            }
            let asked = FIELDS
                .iter()
                .any(|field| field.name == folded || field.aliases.contains(&folded.as_str()));
            // A field of that name only tests for its words; `with sealant` is the lube.
            assert!(!asked || folded == "sealant", "{spelling} is also a field");
            assert!(find_unit(&folded).is_none(), "{spelling} is also a unit");
            let number = folded.parse::<f64>().is_ok();
            assert!(number || Pattern::parse(&folded).is_err(), "{spelling} is also a thread");
        }
    }
}

/// tests/data/grades.csv, row by row, minimum values.
#[test]
fn strengths_are_the_published_ones() {
    let tables = tables();
    for row in rows("tests/data/grades.csv") {
        let name = match (row["standard"].as_str(), row["grade"].as_str()) {
            ("SAE J429", grade) => format!("SAE {grade}"),
            (_, "12.9 (underlined)") => "12.9 underlined".to_owned(),
            (_, grade) => grade.to_owned(),
        };
        let class = tables.strength(&name).unwrap();
        let unit = find_unit(&row["unit"]).unwrap();
        assert_eq!(class.unit, unit, "{name}");
        // The largest size of the range; ISO 3506-1 prints two, `M39 (50) / M24 (70,80)`.
        let to = match row["size_to"].split_once(" / M24") {
            Some(_) if !name.ends_with("-50") => "M24".to_owned(),
            // The textbook carries the figures of grade BD to 4 in; ASTM A354 lowers them
            // above 2-1/2 in (from memory, tested below): compared where both agree.
            _ if name == "A354 BD" => "2-1/2 in".to_owned(),
            Some((to, _)) => to.split(' ').next().unwrap().to_owned(),
            None if row["size_to"].starts_with('M') => row["size_to"].clone(),
            None => format!("{} in", row["size_to"]),
        };
        let found = class.at(nominal(&to)).unwrap();
        let cells =
            [("proof", found.proof), ("yield_min", found.yield_), ("tensile_min", found.tensile)];
        for (cell, stress) in cells {
            let printed = row[cell].parse::<f64>().ok();
            let ours = stress.map(|stress| stress.base() / unit.factor);
            let same = match (printed, ours) {
                (Some(printed), Some(ours)) => (printed - ours).abs() < 1e-9,
                (printed, ours) => printed == ours,
            };
            assert!(same, "{name} {cell} to {to}: {printed:?}, not {ours:?}");
        }
        let memory = row["how"].starts_with("from memory");
        assert!(!memory || class.source.contains("from memory"), "{name} hides its source");
    }
}

/// ASTM A354 grade BD, tensile requirements: 120, 130, 150 ksi to 2-1/2 in (as the
/// textbook of tests/data/grades.csv), 105, 115, 140 over it (from memory).
#[test]
fn a354_bd_is_weaker_above_two_and_a_half_inches() {
    let class = tables().strength("A354 BD").unwrap().clone();
    for (size, wanted) in [("2-1/2 in", [120.0, 130.0, 150.0]), ("4 in", [105.0, 115.0, 140.0])] {
        let row = class.at(nominal(size)).unwrap();
        let found = [row.proof, row.yield_, row.tensile].map(|stress| stress.unwrap());
        let found = found.map(|stress| (stress.base() / class.unit.factor).round());
        assert_eq!(found, wanted, "{size}");
    }
}

#[test]
fn ranges_leave_the_lower_end_out_where_the_standard_says_over() {
    let tables = tables();
    let proof = |name: &str, size: &str| {
        let class = tables.strength(name).unwrap();
        class.at(nominal(size)).map(|row| (row.proof.unwrap().base() / class.unit.factor).round())
    };
    assert_eq!(proof("class 8.8", "M16"), Some(580.0));
    assert_eq!(proof("8.8", "M18"), Some(600.0));
    assert_eq!(proof("grade 2", "3/4 in"), Some(55.0));
    assert_eq!(proof("SAE grade 2", "7/8 in"), Some(33.0));
    assert_eq!(proof("J429 5", "1 in"), Some(85.0));
    assert_eq!(proof("SAE 5", "1-1/8 in"), Some(74.0));
    assert_eq!(proof("A574", "9/16 in"), Some(135.0));
    assert_eq!(proof("9.8", "M18"), None);
}

/// Printed loads of ISO 898-1, SAE J429 and ASTM A574, tests/data/proof_loads.csv,
/// within 0.8 %: some are printed truncated. The area is the thread's own.
#[test]
fn printed_proof_loads_follow_from_the_strengths() {
    let tables = tables();
    let mut checked = 0;
    for row in rows("tests/data/proof_loads.csv") {
        let thread = in_series(&row["size"], &row["series"]);
        let grades = match row["grade"].as_str() {
            "A2-70 / A4-70" => vec!["A2-70".to_owned(), "A4-70".to_owned()],
            grade @ ("2" | "5" | "8") => vec![format!("SAE {grade}")],
            grade => vec![grade.to_owned()],
        };
        for grade in grades {
            let strength = tables.strength(&grade).unwrap().at(thread.nominal()).unwrap();
            let stress = match row["kind"].as_str() {
                "proof" => strength.proof,
                "min_ultimate" => strength.tensile,
                "load at 0.2 % yield" => strength.yield_,
                other => panic!("{other}"),
            };
            let ours = stress.unwrap() * thread.geometry().unwrap().stress_area;
            let printed: f64 = row["load"].parse().unwrap();
            let printed = printed * find_unit(&row["unit"]).unwrap().factor;
            let off = (ours.base() / printed - 1.0).abs();
            assert!(off < 0.008, "{thread} {grade} {}: {off:.4}", row["kind"]);
            checked += 1;
        }
    }
    assert!(checked > 440, "{checked}");
}

//! What is said in few words, once, and where it is asked for.

use std::collections::BTreeSet;

use crate::commands::in_shop;
use crate::program::{clampbook, demo_shop, text};

/// What `arguments` print on the demo shop at 80 columns.
fn shown(arguments: &[&str]) -> String {
    let home = tempfile::tempdir().unwrap();
    let mut command = clampbook(home.path());
    let (out, err, _) =
        text(&command.env("COLUMNS", "80").args(in_shop(arguments)).output().unwrap());
    out + &err
}

/// A lube and a strength are a line; where its figures come from is said of the one that
/// is named, or of all with `--why`.
#[test]
fn lists_are_a_line_each_and_sources_stand_where_they_are_asked_for() {
    for what in ["lubes", "strengths"] {
        let list = shown(&["list", what]);
        let listed: usize = {
            let last = list.lines().find(|line| line.contains(" listed")).unwrap();
            last.split(' ').next().unwrap().parse().unwrap()
        };
        let before = list.lines().take_while(|line| !line.contains(" listed")).count();
        assert_eq!(before, listed + 1, "a heading and a line each: {list}");
        assert!(!list.contains("handbook") && !list.contains("common practice"), "{list}");
    }
    assert!(shown(&["list", "lubes", "moly"]).contains("common practice"));
    assert!(shown(&["list", "lubes", "--why"]).contains("Handbook"));
    assert!(shown(&["list", "strengths", "--why"]).contains("ISO 898-1"));
}

#[test]
fn what_was_not_given_is_not_echoed() {
    let home = tempfile::tempdir().unwrap();
    let words = ["add", "assembly=Tern 41", "joint=cover", "part=bolt", "thread=M8x1.25"];
    let (out, _, _) = text(&clampbook(home.path()).args(words).output().unwrap());
    assert!(out.lines().count() == 4 && !out.contains("not stated"), "{out}");
}

#[test]
fn check_counts_fasteners_without_the_general_charts() {
    let json = shown(&["find", "has part", "--format", "json"]);
    let all: serde_json::Value = serde_json::from_str(&json).unwrap();
    let rows = all["rows"].as_array().unwrap().iter();
    let own = rows.filter(|row| row["basis"] != "chart");
    let keys: BTreeSet<&str> =
        own.map(|row| row["key"].as_str().unwrap().split('/').next().unwrap()).collect();
    let check = shown(&["check"]);
    assert!(keys.len() > 40, "{}", keys.len());
    assert!(check.contains(&format!("findings in {} fasteners", keys.len())), "{check}");
}

/// What a shop of the demo says to `commands`, of each.
fn in_one_shop(commands: &[&[&str]]) -> Vec<String> {
    let shop = demo_shop();
    let run = |arguments: &&[&str]| {
        let (out, err, _) = text(&clampbook(shop.path()).args(*arguments).output().unwrap());
        out + &err
    };
    commands.iter().map(run).collect()
}

const W2: [&[&str]; 2] = [
    &["add", "wrench", "W2", "low=20 lb-ft", "high=150 lb-ft", "graduation=1 lb-ft"],
    &["edit", "wrench", "W2", "lever=18 in"],
];
const WITH_ADAPTER: [&str; 6] =
    ["passes", "suction flange oil", "--wrench", "W2", "--adapter", "2 in"];

#[test]
fn an_angle_without_its_unit_is_told_the_unit() {
    let angle = [&WITH_ADAPTER[..], &["--adapter-angle", "90"]].concat();
    let said = in_one_shop(&[&W2[..], &[&angle[..]]].concat());
    assert!(said[2].contains("90deg"), "{said:?}");
}

#[test]
fn an_order_in_words_is_told_what_makes_a_map() {
    let said = in_one_shop(&[&["order", "gib"]]);
    assert!(said[0].contains("order=1-3-2-4"), "{said:?}");
}

/// Nothing came out of a tin for a joint that stays dry.
#[test]
fn dry_comes_out_of_no_tin() {
    let said = in_one_shop(&[
        &["log", "start", "J1"],
        &["log", "add", "wheel nut dry", "--done", "--yes"],
        &["log", "add", "suction flange oil", "--done", "--yes", "lot=tin 7"],
        &["log", "tins"],
    ]);
    assert!(said[3].contains("tin 7") && !said[3].contains("dry"), "{said:?}");
}

#[test]
fn a_wrench_is_called_by_one_range_wherever_it_is_named() {
    let said = in_one_shop(&[&W2[..], &[&WITH_ADAPTER, &["list", "wrenches"]]].concat());
    assert!(said[2..].iter().all(|text| text.contains("30 to 150 lb-ft")), "{said:?}");
}

/// Threads that are mistaken for each other are said where both are, and of the thread
/// that is asked for; elsewhere they are noise.
#[test]
fn look_alikes_stand_where_a_joint_has_both() {
    let words = "By fingers three turns, or wrong thread.";
    let joint = shown(&["find", "assembly", "Marlow 6,", "joint", "head"]);
    assert_eq!(joint.replace('\n', " ").matches(words).count(), 1, "{joint}");
    for other in ["press", "head stud long"] {
        let text = shown(&["find", other]).replace('\n', " ");
        assert!(!text.contains(words), "{other}: {text}");
    }
    assert!(shown(&["thread", "M12x1.25"]).contains("1/2-20"));
    assert!(shown(&["find", "confused-with", "M12x1.25"]).contains("1/2-20"));
}

/// Factors of another material and classes of a guideline are for who has them.
#[test]
fn a_carbon_steel_bolt_is_offered_no_foreign_factor() {
    let lubes = shown(&["lubes", "main bolt cap", "--why"]);
    assert!(lubes.contains("anti-seize") && lubes.contains("dry"), "{lubes}");
    for foreign in ["stainless", "VDI"] {
        assert!(!lubes.contains(foreign), "{foreign}: {lubes}");
    }
}

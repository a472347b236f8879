//! `check` from outside: what it finds in the demo shop, that it finds nothing
//! in a clean book, and findings that may stand.

use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::program::clampbook;

struct Shop {
    home: tempfile::TempDir,
}

impl Shop {
    fn new(file: &Path) -> Self {
        let shop = Self { home: tempfile::tempdir().expect("a folder") };
        let (out, code) = shop.run(&["import", file.to_str().unwrap()]);
        assert_eq!(code, 0, "{out}");
        shop
    }

    /// A book with the demo shop in it, which may be written to.
    fn demo() -> Self {
        let home = tempfile::tempdir().expect("a folder");
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("seed-data/demo.csv");
        let shop = Self { home };
        let (out, code) = shop.run(&["import", demo.to_str().unwrap()]);
        assert_eq!(code, 0, "{out}");
        shop
    }

    /// Runs the program on the book: what it said, and its code.
    fn run(&self, arguments: &[&str]) -> (String, i32) {
        let output = clampbook(self.home.path())
            .env("CLAMPBOOK_DIR", self.home.path().join("book"))
            .env("CLAMPBOOK_NOW", "2026-03-04T10:00:00Z")
            .env("CLAMPBOOK_WHO", "Ada")
            .args(arguments)
            .output()
            .expect("the program");
        let text = [output.stdout, output.stderr].concat();
        (String::from_utf8(text).expect("UTF-8"), output.status.code().expect("a code"))
    }

    fn findings(&self) -> Vec<Value> {
        let (out, _) = self.run(&["--format", "json", "check"]);
        let json: Value = serde_json::from_str(&out).unwrap_or_else(|e| panic!("{e}: {out}"));
        json["findings"].as_array().expect("findings").clone()
    }

    /// The finding of that name about that key.
    fn finding(&self, name: &str, key: &str) -> Value {
        let all = self.findings();
        let found = all.iter().find(|one| one["finding"] == name && one["key"] == key);
        found.unwrap_or_else(|| panic!("{name} of {key} in {all:#?}")).clone()
    }
}

/// What is planted in seed-data/demo.csv, as seed-data/ABOUT.txt tells it.
const PLANTED: &[(&str, &str)] = &[
    ("no-strength", "tern-40-pump-fill-plug-plug-bearing-housing/oil"),
    ("no-order", "dunlin-2-mill-gear-case-screw-cover"),
    ("reuse-unknown", "dunlin-2-mill-beater-plate-bolt-beater"),
    ("reuse-unknown", "stilt-60-press-ram-screw-gib"),
    ("may-pass-yield", "marlow-6-main-stud-cap/moly"),
    ("may-pass-yield", "marlow-6-main-stud-cap/oil"),
    ("sources-differ", "marlow-6-damper-bolt-crank/oil.2"),
    ("may-pass-yield", "marlow-6-head-stud-long/moly"),
    ("near-proof", "marlow-6-rocker-bolt-stand/oil"),
    ("may-pass-yield", "marlow-6-rocker-bolt-stand/oil"),
    ("prevailing-unknown", "marlow-6-exhaust-manifold-stud-port"),
    ("no-lube", "marlow-6-drain-plug-plug-pan/no-lube"),
    ("no-figure", "marlow-6-oil-filter-adapter/threadlocker"),
    ("no-strength", "marlow-6-spark-plug-plug-cylinder/dry"),
    ("look-alike", "marlow-6-engine-mount-bolt-bracket"),
    ("look-alike", "marlow-6-engine-mount-bolt-bracket"),
];

#[test]
fn the_demo_shop_has_exactly_the_faults_that_were_planted() {
    let all = Shop::demo().findings();
    let found: Vec<(&str, &str)> = all
        .iter()
        .map(|one| (one["finding"].as_str().unwrap(), one["key"].as_str().unwrap()))
        .collect();
    assert_eq!(found, PLANTED);
    let about =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("seed-data/ABOUT.txt"))
            .unwrap();
    for (name, _) in PLANTED {
        assert!(about.contains(name), "ABOUT.txt tells of {name}");
    }
    let mut marks: Vec<&str> = all.iter().map(|one| one["mark"].as_str().unwrap()).collect();
    marks.sort_unstable();
    marks.dedup();
    assert_eq!(marks.len(), PLANTED.len(), "each finding has a mark of its own");
}

/// The book of `--demo` has a bench too, and three faults in it.
#[test]
fn the_demo_book_has_the_planted_faults_and_those_of_its_bench() {
    let shop = Shop { home: tempfile::tempdir().expect("a folder") };
    let (out, code) = shop.run(&["--demo", "--format", "json", "check"]);
    let json: Value = serde_json::from_str(&out).unwrap();
    let found: Vec<(&str, &str)> = json["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| (one["finding"].as_str().unwrap(), one["key"].as_str().unwrap()))
        .collect();
    let (others, of_bench) = found.split_at(PLANTED.len());
    assert_eq!((others, code), (PLANTED, 1));
    let rod = "marlow-6-rod-bolt-cap";
    let stretched = ("off-target", &*format!("{rod}/moly"));
    assert_eq!(of_bench, [("wrench-overdue", "W3"), ("bolt-past-use", rod), stretched]);
}

/// Until reuse is stated, words of replacing and a setting by angle ask for it.
#[test]
fn words_of_replacing_and_an_angle_ask_for_reuse() {
    let shop = Shop::demo();
    let place = ["assembly=Rig", "joint=cover", "thread=M10x1.5", "strength=8.8", "lube=oil"];
    let source = ["source=Sheet R", "page=1", "torque=30 N·m"];
    for (part, note) in [
        ("a", "torque to yield - replace every time"),
        ("b", "renewed in 2019"),
        ("c", "renew if worn"),
        ("d", "new copper washer"),
        ("e", "clean first"),
    ] {
        let own = [format!("part={part}"), format!("notes={note}")];
        let own = own.each_ref().map(String::as_str);
        let (out, code) = shop.run(&[&["add"], &place[..], &source, &own].concat());
        assert_eq!(code, 0, "{out}");
    }
    let angle =
        ["part=f", "method=torque then angle", "snug=20 N·m", "angle=+90°", "source=Sheet R"];
    let (out, code) = shop.run(&[&["add", "page=1"], &place[..], &angle].concat());
    assert_eq!(code, 0, "{out}");
    let asked = || -> Vec<String> {
        let all = shop.findings().into_iter().filter(|one| one["finding"] == "reuse-unknown");
        let rig = all.filter(|one| one["assembly"] == "Rig");
        rig.map(|one| one["part"].as_str().unwrap().to_owned()).collect()
    };
    assert_eq!(asked(), ["a", "b", "c", "d", "f"]);
    for part in ["a", "d", "f"] {
        shop.run(&["edit", &format!("rig-cover-{part}"), "reuse=single-use"]);
    }
    assert_eq!(asked(), ["b", "c"]);
}

/// A stud whose sheet states yield alone: 82 lb-ft of K 0.12 on 7/16-20 are 18 743 lbf,
/// 98 % of 180 ksi on the 0.1063 in² of its 7/16-14 hole end (by hand).
#[test]
fn the_share_of_the_hole_end_is_found() {
    let shop = Shop::demo();
    shop.run(&["edit", "marlow-6-head-stud-long/moly", "torque=82 lb-ft", "passes="]);
    let one = shop.finding("near-proof", "marlow-6-head-stud-long/moly");
    let reason = one["reason"].as_str().unwrap();
    assert!(reason.contains("98 % of yield in the hole-end thread"), "{reason}");
}

#[test]
fn a_clean_book_has_no_findings() {
    let file: PathBuf = Path::new(env!("CARGO_MANIFEST_DIR")).join("seed-data/shop.csv");
    let (out, code) = Shop::new(&file).run(&["check"]);
    assert_eq!((out.as_str(), code), ("no findings in 12 fasteners.\n", 0));
}

#[test]
fn a_finding_may_stand_until_its_figures_change() {
    let shop = Shop::demo();
    let key = "marlow-6-rocker-bolt-stand/oil";
    let mark = shop.finding("near-proof", key)["mark"].as_str().unwrap().to_owned();
    let (out, code) = shop.run(&["check", "--acknowledge", &mark, "--note", "letter of May"]);
    assert_eq!(code, 0, "{out}");
    assert!(out.contains("acknowledged 2026-03-04 by Ada: letter of May"), "{out}");
    let (out, code) = shop.run(&["check"]);
    assert_eq!(code, 1, "others are open");
    assert!(
        out.contains("15 findings in 62 fasteners: 2 danger (!), 9 doubt, 4 gap; 1 ack"),
        "{out}"
    );
    assert!(!out.contains("near-proof: check K"), "nothing is to be done about it: {out}");
    let one = shop.finding("near-proof", key);
    assert_eq!(one["standing"], "acknowledged");
    assert_eq!((&one["acknowledged_by"], &one["note"]), (&"Ada".into(), &"letter of May".into()));

    // What is no figure of it leaves it as it is.
    shop.run(&["edit", "marlow-6-rocker-bolt-stand", "count=7"]);
    assert_eq!(shop.finding("near-proof", key)["standing"], "acknowledged");

    // Another torque is another matter.
    let torque = shop.run(&["--format", "json", "find", "rocker", "stand"]).0;
    let rows: Value = serde_json::from_str(&torque).unwrap();
    let old = rows["rows"][0]["torque"].as_str().unwrap();
    let (number, unit) = old.split_once(' ').unwrap();
    let other = format!("torque={} {unit}", number.parse::<f64>().unwrap() + 0.1);
    let (out, code) = shop.run(&["edit", key, &other]);
    assert_eq!(code, 0, "{out}");
    let one = shop.finding("near-proof", key);
    assert_eq!(one["standing"], "outdated");
    assert_ne!(one["mark"], mark.as_str());
    let (out, _) = shop.run(&["check"]);
    let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("16 findings in 62"), "it counts again: {out}");
    assert!(words.contains("the figures have changed since: "), "{out}");
    assert!(words.contains(&format!(" oil {old}, ")), "{out}");

    // Back at the old figures it holds again, until it is taken back.
    shop.run(&["edit", key, &format!("torque={old}")]);
    assert_eq!(shop.finding("near-proof", key)["standing"], "acknowledged");
    let (out, code) = shop.run(&["check", "--withdraw", &mark]);
    assert_eq!(code, 0, "{out}");
    assert!(out.contains("1 finding open again."), "{out}");
    assert_eq!(shop.finding("near-proof", key)["standing"], "open");
    assert!(shop.run(&["check", "--withdraw", &mark]).1 == 1, "it is not there any more");
}

#[test]
fn a_lube_measured_anew_brings_a_finding_back() {
    let shop = Shop::demo();
    let key = "marlow-6-rocker-bolt-stand/oil";
    let mark = shop.finding("near-proof", key)["mark"].as_str().unwrap().to_owned();
    shop.run(&["check", "--acknowledge", &mark, "--note", "looked at"]);
    let (out, code) =
        shop.run(&["edit", "lube", "oil", "k=0.149", "source=own bench test, March 2026"]);
    assert_eq!(code, 0, "{out}");
    assert_eq!(shop.finding("near-proof", key)["standing"], "outdated");
}

#[test]
fn a_book_whose_findings_all_stand_ends_with_0() {
    let shop = Shop::demo();
    let marks: Vec<String> =
        shop.findings().iter().map(|one| one["mark"].as_str().unwrap().to_owned()).collect();
    let (out, code) = shop.run(&["check", "--acknowledge", &marks.join(","), "--note", "demo"]);
    assert_eq!(code, 0, "{out}");
    let (out, code) = shop.run(&["check"]);
    assert_eq!(code, 0, "{out}");
    assert!(out.ends_with("no findings in 62 fasteners; 16 acknowledged.\n"), "{out}");
    assert!(out.lines().all(|line| line.chars().count() <= 80), "{out}");
    // A backup keeps them.
    let file = shop.home.path().join("all.jsonl");
    shop.run(&["book", "backup", file.to_str().unwrap()]);
    let copy = shop.home.path().join("copy");
    let copy = copy.to_str().unwrap();
    let (out, code) =
        shop.run(&["--book", copy, "book", "restore", file.to_str().unwrap(), "--yes"]);
    assert_eq!(code, 0, "{out}");
    assert_eq!(shop.run(&["--book", copy, "check"]).1, 0);
}

#[test]
fn a_wrong_mark_or_no_reason_changes_nothing() {
    let shop = Shop::demo();
    let (out, code) = shop.run(&["check", "--acknowledge", "zzzzzz", "--note", "x"]);
    assert_eq!(code, 1);
    assert!(out.contains("no finding has the mark `zzzzzz`") && out.contains("`check`"), "{out}");
    let mark = shop.findings()[0]["mark"].as_str().unwrap().to_owned();
    let (out, code) = shop.run(&["check", "--acknowledge", &mark]);
    assert_eq!(code, 2, "{out}");
    let (out, code) = shop.run(&["check", "--acknowledge", &mark, "--note", "  "]);
    assert_eq!(code, 2);
    assert!(out.contains("say why"), "{out}");
    assert!(shop.findings().iter().all(|one| one["standing"] == "open"));
}

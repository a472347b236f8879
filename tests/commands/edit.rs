//! `edit` and `add` from outside: what changes, what does not, and who did it.

use std::path::Path;

use serde_json::Value;

use crate::program::{clampbook, text};

struct Shop(tempfile::TempDir);

impl Shop {
    /// A book with one invented fastener in two settings.
    fn new() -> Self {
        let shop = Self(tempfile::tempdir().expect("a folder"));
        for (lube, torque) in [("oil", "40 lb-ft"), ("moly", "32 lb-ft")] {
            let (lube, torque) = (format!("lube={lube}"), format!("torque={torque}"));
            let (out, err, code) = shop.run(&[
                "add",
                "assembly=Quill 9",
                "joint=head",
                "part=bolt, short",
                "kind=bolt",
                "thread=3/8-16",
                "strength=grade 8",
                &lube,
                &torque,
                "source=Sheet Q1 p. 2",
            ]);
            assert_eq!(code, Some(0), "{out}{err}");
        }
        shop
    }

    fn run(&self, arguments: &[&str]) -> (String, String, Option<i32>) {
        self.at(arguments, "2026-03-02T10:00:00Z", "jo")
    }

    fn at(&self, arguments: &[&str], now: &str, who: &str) -> (String, String, Option<i32>) {
        let home: &Path = self.0.path();
        let output = clampbook(home)
            .args(["--book", home.join("book").to_str().unwrap()])
            .args(arguments)
            .env("COLUMNS", "120")
            .env("CLAMPBOOK_NOW", now)
            .env("CLAMPBOOK_WHO", who)
            .output()
            .expect("the program");
        text(&output)
    }

    fn json(&self, arguments: &[&str]) -> Value {
        let (out, err, _) = self.run(&[&["--format", "json"], arguments].concat());
        serde_json::from_str(&out).unwrap_or_else(|error| panic!("{error}: {out}\n{err}"))
    }

    /// The value of `key` for the row with `lube`.
    fn row(&self, lube: &str, key: &str) -> Value {
        let answer = self.json(&["find", "assembly", "Quill 9"]);
        let rows = answer["rows"].as_array().expect("rows");
        let row = rows.iter().find(|row| row["lube"] == lube);
        row.unwrap_or_else(|| panic!("no {lube} in {answer}"))[key].clone()
    }
}

const KEY: &str = "quill-9-head-bolt-short";
const OIL: &str = "quill-9-head-bolt-short/oil";

#[test]
fn a_changed_torque_is_found_and_told_with_who_and_when() {
    let shop = Shop::new();
    let (out, err, code) =
        shop.at(&["edit", OIL, "torque=42 lb-ft"], "2026-03-04T09:30:00Z", "sam");
    assert_eq!(code, Some(0), "{out}{err}");
    assert_eq!(shop.row("oil", "torque"), "42 lb-ft");
    assert_eq!(shop.row("moly", "torque"), "32 lb-ft");
    let (out, err, code) =
        shop.at(&["edit", OIL, "torque=44 lb-ft"], "2026-03-05T09:30:00Z", "lee");
    assert_eq!(code, Some(0), "{out}{err}");
    let history = shop.json(&["edit", KEY, "--history"]);
    let entries = history["history"].as_array().unwrap();
    let told: Vec<String> = entries
        .iter()
        .filter(|one| one["field"] == "torque")
        .map(|one| {
            let who = one["who"].as_str().unwrap();
            let when = one["when"].as_str().unwrap();
            format!("{who} {when} {} {} {}", one["key"], one["old"], one["new"])
        })
        .collect();
    let oil = format!("\"{OIL}\"");
    let expected = [
        format!("jo 2026-03-02T10:00:00Z \"{KEY}/moly\" null \"32 lb-ft\""),
        format!("sam 2026-03-04T09:30:00Z {oil} \"40 lb-ft\" \"42 lb-ft\""),
        format!("lee 2026-03-05T09:30:00Z {oil} \"42 lb-ft\" \"44 lb-ft\""),
    ];
    assert_eq!(told, expected);
    let (page, _, _) = shop.run(&["edit", KEY, "--history"]);
    assert!(page.contains("2026-03-04T09:30:00Z, sam"), "{page}");
    assert!(page.contains("torque 40 lb-ft -> 42 lb-ft"), "{page}");
}

#[test]
fn what_is_not_taken_changes_nothing() {
    let shop = Shop::new();
    let before = shop.json(&["book", "info"])["revision"].clone();
    // No unit: two readings. Neither is guessed. An inch size without its pitch
    // could be several threads.
    for (key, cell, why) in [
        (OIL, "torque=42", "lb-ft"),
        (KEY, "thread=3/8", "3/8-16"),
        (OIL, "lube=unicorn fat", "unicorn fat"),
        (KEY, "count=many", "many"),
    ] {
        let (out, err, code) = shop.run(&["edit", key, cell, "drive=1/2 in"]);
        assert_eq!(code, Some(3), "{cell}: {out}{err}");
        assert!(err.contains(why) && err.contains("nothing was changed"), "{cell}: {err}");
    }
    assert_eq!(shop.json(&["book", "info"])["revision"], before);
}

#[test]
fn wrong_words_are_told_with_the_nearest() {
    let shop = Shop::new();
    let (_, err, code) = shop.run(&["edit", OIL, "torqe=42 lb-ft"]);
    assert_eq!((code, err.contains("did you mean `torque`?")), (Some(2), true), "{err}");
    let (_, err, code) = shop.run(&["edit", KEY, "clamp=30 kN"]);
    assert_eq!((code, err.contains("computed")), (Some(2), true), "{err}");
    let (_, err, code) = shop.run(&["edit", KEY, "torque=42 lb-ft"]);
    assert_eq!((code, err.contains("of which setting?")), (Some(2), true), "{err}");
    let (_, err, code) = shop.run(&["edit", "quill-9-head-bolt-shrt", "count=4"]);
    assert_eq!((code, err.contains(KEY)), (Some(1), true), "{err}");
    let (_, err, code) = shop.run(&["edit", &format!("{KEY}/dry"), "torque=50 lb-ft"]);
    assert_eq!((code, err.contains(OIL)), (Some(1), true), "{err}");
}

#[test]
fn fields_of_the_fastener_are_filled_and_taken_away() {
    let shop = Shop::new();
    let (out, err, code) = shop.run(&["edit", KEY, "count=6", "grip=2.5 in", "notes==1+1"]);
    assert_eq!(code, Some(0), "{out}{err}");
    let (out, _, _) = shop.run(&["edit", KEY, "grip="]);
    assert!(out.contains("grip 2.5 in -> not stated"), "{out}");
    let (out, _, code) = shop.run(&["edit", KEY, "count=6"]);
    assert!(out.contains("nothing changed") && code == Some(0), "{out}");
    let changes = shop.json(&["edit", OIL, "source=Sheet Q2 rev C p. 7"]);
    let fields: Vec<&str> = changes["changes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["field"].as_str().unwrap())
        .collect();
    assert_eq!(fields, ["source", "page", "revision"], "{changes}");
}

#[test]
fn a_setting_and_a_fastener_are_removed_only_when_told_so() {
    let shop = Shop::new();
    let (_, err, code) = shop.run(&["edit", KEY, "--remove"]);
    assert_eq!((code, err.contains("--yes")), (Some(2), true), "{err}");
    let (out, err, code) = shop.run(&["edit", OIL, "--remove", "--yes"]);
    assert_eq!(code, Some(0), "{out}{err}");
    let answer = shop.json(&["find", "assembly", "Quill 9"]);
    assert_eq!(answer["rows"].as_array().unwrap().len(), 1, "{answer}");
    let (out, err, code) = shop.run(&["edit", KEY, "--remove", "--yes"]);
    assert_eq!(code, Some(0), "{out}{err}");
    let (_, _, code) = shop.run(&["edit", KEY, "count=2"]);
    assert_eq!(code, Some(1));
    let history = shop.json(&["edit", KEY, "--history"]);
    assert_eq!(history["history"].as_array().unwrap().last().unwrap()["removed"], true);
}

#[test]
fn what_is_there_is_not_added_twice() {
    let shop = Shop::new();
    let add = |torque: &str| {
        shop.run(&[
            "add",
            "assembly=quill 9",
            "joint=Head",
            "part=bolt, short",
            "thread=3/8-16",
            "lube=oil",
            torque,
            "source=Sheet Q1 p. 2",
        ])
    };
    let (out, err, code) = add("torque=40 lb-ft");
    assert!(code == Some(0) && out.contains("nothing changed"), "{out}{err}");
    let (out, err, code) = add("torque=45 lb-ft");
    assert_eq!(code, Some(3), "{out}{err}");
    assert!(err.contains("40 lb-ft") && err.contains("edit"), "{err}");
    assert_eq!(shop.row("oil", "torque"), "40 lb-ft");
    let (_, err, code) = shop.run(&["add", "assembly=A", "joint=b", "prt=c"]);
    assert!(matches!(code, Some(2 | 3)) && err.contains("part"), "{code:?} {err}");
}

#[test]
fn a_new_factor_changes_what_is_computed_and_needs_a_source() {
    let shop = Shop::new();
    let clamp = || shop.row("oil", "clamp_n").as_f64().unwrap();
    let before = clamp();
    let k = shop.row("oil", "k").as_f64().unwrap();
    let (_, err, code) = shop.run(&["edit", "lube", "oil", "k=0.16"]);
    assert_eq!((code, err.contains("source=")), (Some(3), true), "{err}");
    assert!((clamp() - before).abs() < 1e-6);
    let (out, err, code) =
        shop.run(&["edit", "lube", "oil", "k=0.16", "k-low=0.14", "k-high=0.2", "source=own test"]);
    assert_eq!(code, Some(0), "{out}{err}");
    // F = T / (K d): clamp goes with 1/K.
    assert!((clamp() / before - k / 0.16).abs() < 1e-9, "{before} {} {k}", clamp());
    let (_, err, code) = shop.run(&["edit", "lube", "oil", "k=0.5", "source=own test"]);
    assert_eq!((code, err.contains("0.2")), (Some(3), true), "{err}");
    let (_, err, code) = shop.run(&["edit", "lube", "moli", "k=0.1", "source=x"]);
    assert_eq!((code, err.contains("moly")), (Some(1), true), "{err}");
}

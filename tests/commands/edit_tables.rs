//! Lubes and strengths of the shop from outside: entered, changed, refused,
//! and who did it. The figures are invented.

use serde_json::Value;

use crate::program::{clampbook, text};

struct Shop(tempfile::TempDir);

impl Shop {
    fn new() -> Self {
        let shop = Self(tempfile::tempdir().expect("a folder"));
        let (out, err, code) =
            shop.run(&["add", "assembly=Quill 9", "joint=head", "part=bolt", "thread=M10x1.5"]);
        assert_eq!(code, Some(0), "{out}{err}");
        shop
    }

    fn run(&self, arguments: &[&str]) -> (String, String, Option<i32>) {
        let output = clampbook(self.0.path())
            .args(["--book", self.0.path().join("book").to_str().unwrap()])
            .args(arguments)
            .env("COLUMNS", "120")
            .env("CLAMPBOOK_NOW", "2026-03-02T10:00:00Z")
            .env("CLAMPBOOK_WHO", "jo")
            .output()
            .expect("the program");
        text(&output)
    }

    /// A command that must succeed; what it says.
    fn good(&self, arguments: &[&str]) -> String {
        let (out, err, code) = self.run(arguments);
        assert_eq!(code, Some(0), "{arguments:?}: {out}{err}");
        out
    }

    /// A command that must not change the book; what it complains of.
    fn refused(&self, arguments: &[&str], code: i32) -> String {
        let before = self.revision();
        let (_, err, told) = self.run(arguments);
        assert_eq!(told, Some(code), "{err}");
        assert_eq!(self.revision(), before, "nothing was changed");
        err
    }

    fn revision(&self) -> u64 {
        let info = self.json(&["book", "info"]);
        info["revision"].as_u64().or(info["generation"].as_u64()).expect("a revision")
    }

    fn json(&self, arguments: &[&str]) -> Value {
        let (out, err, _) = self.run(&[&["--format", "json"], arguments].concat());
        serde_json::from_str(&out).unwrap_or_else(|error| panic!("{error}: {out}\n{err}"))
    }

    fn lines(&self, arguments: &[&str], wanted: &[&str]) {
        let out = self.good(arguments);
        for wanted in wanted {
            assert!(out.contains(wanted), "{wanted} in {out}");
        }
    }
}

/// How many changes a history tells of; each field of one stands on a row.
fn revisions(history: &serde_json::Value) -> usize {
    let rows = history["history"].as_array().unwrap();
    let all = rows.iter().map(|row| row["revision"].as_u64().unwrap());
    all.collect::<std::collections::BTreeSet<u64>>().len()
}

/// What was typed is told; the rest is for programs.
#[test]
fn add_tells_what_was_given() {
    let shop = Shop::new();
    let words = ["add", "assembly=Rig", "joint=cover", "part=bolt", "thread=M10x1.5", "lube=oil"];
    let setting = ["torque=30 N·m", "source=Sheet R", "page=1"];
    let out = shop.good(&[&words[..], &setting].concat());
    assert!(out.contains("rig-cover-bolt/oil: torque 30 N·m"), "{out}");
    for words in ["not stated", "entered-by", "superseded", "this-lube-only"] {
        assert!(!out.contains(words), "{words}: {out}");
    }
    let scale = ["low=10 N·m", "high=60 N·m", "graduation=1 N·m"];
    let out = shop.good(&[&["add", "wrench", "T1"], &scale[..]].concat());
    assert!(out.contains("wrench T1: low 10 N·m") && !out.contains("not stated"), "{out}");
}

#[test]
fn a_lube_of_the_shop_is_entered_used_and_changed() {
    let shop = Shop::new();
    let source = "source=own bench test 4";
    let add = [
        "add",
        "lube",
        "bench paste",
        "class=paste",
        "k=0.15",
        "k-low=0.12",
        "convertible=yes",
        source,
    ];
    shop.lines(&add, &["lube bench paste: k 0.15", "lube bench paste: k-low 0.12"]);
    shop.good(&["edit", "quill-9-head-bolt", "lube=bench paste", "torque=40 N.m"]);
    shop.lines(
        &["edit", "lube", "bench paste", "k=0.14", "source=own bench test 5"],
        &["k 0.15 -> 0.14", "source own bench test 4 -> own bench test 5"],
    );
    shop.lines(
        &["edit", "lube", "bench paste", "--history"],
        &["2026-03-02T10:00:00Z, jo, revision", "k not stated -> 0.15", "k 0.15 -> 0.14"],
    );
    let past = shop.json(&["edit", "lube", "Bench Paste", "--history"]);
    assert_eq!(past["key"], "lube bench paste");
    assert_eq!(revisions(&past), 2);
    let last = past["history"].as_array().unwrap().last().unwrap();
    assert_eq!((&last["who"], &last["field"]), (&"jo".into(), &"source".into()));
    // The same once more changes nothing and leaves no trace.
    let before = shop.revision();
    shop.good(&["edit", "lube", "bench paste", "k=0.14", "source=own bench test 5"]);
    assert_eq!(shop.revision(), before);
}

#[test]
fn a_lube_that_is_not_sound_is_refused() {
    let shop = Shop::new();
    let known = shop.refused(&["add", "lube", "moly", "class=paste", "convertible=yes"], 3);
    assert!(known.contains("clampbook edit lube"), "{known}");
    let alias = ["add", "lube", "x", "class=paste", "convertible=yes", "aliases=moly"];
    assert!(shop.refused(&alias, 3).contains("already means"));
    let bare = ["add", "lube", "x", "class=paste", "convertible=yes", "k=0.2"];
    assert!(shop.refused(&bare, 3).contains("source="));
    let far = ["add", "lube", "x", "class=paste", "convertible=yes", "k=1.9", "source=s"];
    assert!(shop.refused(&far, 3).contains("1.9"));
    let field = shop.refused(&["add", "lube", "x", "klass=paste"], 2);
    assert!(field.contains("did you mean `class`?"), "{field}");
    assert!(shop.refused(&["edit", "lube", "molly", "k=0.2"], 1).contains("did you mean"));
    assert!(shop.refused(&["edit", "lube", "moly", "--remove"], 2).contains("stays"));
}

#[test]
fn a_strength_of_the_shop_is_entered_and_changed_by_its_sizes() {
    let shop = Shop::new();
    let small =
        ["from=M6", "to=M12", "proof=900", "tensile=1100", "unit=MPa", "source=Sheet S1 p. 1"];
    let add: Vec<&str> = ["add", "strength", "Quill 11"].into_iter().chain(small).collect();
    shop.lines(&add, &["proof 900 MPa (6 to 12 mm)"]);
    // One range: its sizes need not be said.
    shop.lines(
        &["edit", "strength", "quill 11", "yield=1000", "source=Sheet S1 p. 2"],
        &["yield not stated -> 1000 MPa (6 to 12 mm)"],
    );
    let more = ["from=over M12", "to=M24", "proof=850", "unit=MPa", "source=Sheet S1 p. 3"];
    let edit: Vec<&str> = ["edit", "strength", "Quill 11"].into_iter().chain(more).collect();
    shop.lines(
        &edit,
        &["proof 900 MPa (6 to 12 mm) -> 900 MPa (6 to 12 mm); 850 MPa (over 12 to 24 mm)"],
    );
    let which = shop.refused(&["edit", "strength", "Quill 11", "proof=1", "source=s"], 3);
    assert!(which.contains("2 ranges of sizes"), "{which}");
    let overlap = ["edit", "strength", "Quill 11", "from=M10", "to=M14", "proof=1", "source=s"];
    assert!(shop.refused(&overlap, 3).contains("overlap"));
    let silent = ["edit", "strength", "Quill 11", "from=M6", "to=M12", "proof=910"];
    assert!(shop.refused(&silent, 3).contains("source="));
    let text = ["edit", "strength", "Quill 11", "from=M6", "to=M12", "proof=tough", "source=s"];
    assert!(shop.refused(&text, 3).contains("proof: `tough`"));
    let unit = ["add", "strength", "y", "from=M6", "to=M12", "proof=9", "unit=N.m", "source=s"];
    assert!(shop.refused(&unit, 3).contains("not a unit of stress"));
    let history = shop.json(&["edit", "strength", "Quill 11", "--history"]);
    assert_eq!(revisions(&history), 3);
    // What was not touched stays to the last bit, and it is used.
    shop.good(&["edit", "quill-9-head-bolt", "strength=Quill 11", "torque=40 N.m", "lube=oil"]);
    let found = shop.json(&["find", "M10", "show", "proof"]);
    assert!(found.to_string().contains("900"), "{found}");
}

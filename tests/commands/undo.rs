//! `book undo`: the last change is taken back as a change of its own, once more the
//! one before it.

use std::path::Path;
use std::process::Command;

use serde_json::Value;

struct Shop(tempfile::TempDir);

impl Shop {
    fn new() -> Self {
        Self(tempfile::tempdir().expect("a folder"))
    }

    fn run(&self, arguments: &[&str]) -> (String, String, Option<i32>) {
        let home: &Path = self.0.path();
        let output = Command::new(env!("CARGO_BIN_EXE_clampbook"))
            .args(arguments)
            .env("HOME", home)
            .env("XDG_DATA_HOME", home.join("data"))
            .env("USER", "bench")
            .env_remove("CLAMPBOOK_DIR")
            .env_remove("CLAMPBOOK_WHO")
            .current_dir(home)
            .output()
            .expect("the program");
        let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
        (text(&output.stdout), text(&output.stderr), output.status.code())
    }

    #[track_caller]
    fn ok(&self, arguments: &[&str]) -> String {
        let (out, said, code) = self.run(arguments);
        assert_eq!(code, Some(0), "{arguments:?}: {out}{said}");
        out
    }

    /// All fasteners as they are exported, whatever their order.
    fn state(&self) -> Vec<String> {
        let mut lines: Vec<String> = self.ok(&["export"]).lines().map(str::to_owned).collect();
        lines.sort_unstable();
        lines
    }

    fn undo(&self) -> Value {
        let out = self.ok(&["--format", "json", "book", "undo", "--yes"]);
        serde_json::from_str(&out).expect("JSON")
    }
}

const ADDED: [&str; 8] = [
    "add",
    "assembly=Marlow 6",
    "joint=cover",
    "part=bolt",
    "thread=M8x1.25",
    "lube=oil",
    "torque=22 N.m",
    "source=Sheet C1",
];

#[test]
fn each_change_is_taken_back_one_step_at_a_time() {
    let shop = Shop::new();
    let fresh = shop.state();
    shop.ok(&ADDED);
    let added = shop.state();
    shop.ok(&["edit", "marlow-6-cover-bolt", "count=6", "grip=30 mm"]);
    let edited = shop.state();
    shop.ok(&["edit", "marlow-6-cover-bolt", "--remove", "--yes"]);
    assert_eq!(shop.state(), fresh);
    let undone = shop.undo();
    assert_eq!(undone["removed"][0], "marlow-6-cover-bolt");
    assert_eq!(shop.state(), edited);
    assert_eq!(shop.undo()["changed"][0], "marlow-6-cover-bolt");
    assert_eq!(shop.state(), added);
    assert_eq!(shop.undo()["entered"][0], "marlow-6-cover-bolt");
    assert_eq!(shop.state(), fresh);
    // What every book begins with is not taken back.
    let (_, said, code) = shop.run(&["book", "undo", "--yes"]);
    assert!(code == Some(1) && said.contains("nothing was taken back"), "{said}");
    assert_eq!(shop.state(), fresh);
    shop.ok(&["book", "verify"]);
    // A change after that is the last again.
    shop.ok(&ADDED);
    shop.undo();
    assert_eq!(shop.state(), fresh);
}

#[test]
fn an_import_and_a_factor_are_taken_back() {
    let shop = Shop::new();
    let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("seed-data/shop.csv");
    let fresh = shop.state();
    shop.ok(&["import", data.to_str().expect("a path")]);
    let imported = shop.state();
    assert!(imported.len() > fresh.len());
    let factor = || shop.ok(&["list", "lubes"]);
    let before = factor();
    shop.ok(&["edit", "lube", "moly", "k=0.14", "source=own test"]);
    assert_ne!(factor(), before);
    // Rewriting the files is no change that could be taken back, and hinders none.
    shop.ok(&["book", "compact"]);
    assert_eq!(shop.undo()["tables"][0], "lube moly");
    assert_eq!(factor(), before);
    assert_eq!(shop.state(), imported);
    shop.undo();
    assert_eq!(shop.state(), fresh);
    shop.ok(&["book", "verify"]);
}

/// Wrenches, layouts and bolt sets are taken back in their turn with the changes of
/// the book; the log never is.
#[test]
fn a_change_of_the_bench_is_taken_back_in_its_turn() {
    let shop = Shop::new();
    let wrenches = || shop.run(&["list", "wrenches"]).0;
    let none = wrenches();
    shop.ok(&["add", "wrench", "W1", "low=20 N·m", "high=100 N·m", "graduation=1 N·m"]);
    let entered = wrenches();
    assert!(entered.contains("W1"), "{entered}");
    shop.ok(&ADDED);
    let added = shop.state();
    shop.ok(&["edit", "wrench", "W1", "high=120 N·m"]);
    let changed = wrenches();
    shop.ok(&["add", "set", "S1", "fastener=marlow-6-cover-bolt", "bolts=1 to 6"]);
    shop.ok(&["log", "start", "24-017"]);
    shop.ok(&["log", "add", "marlow-6-cover-bolt", "--done"]);
    let log = || shop.run(&["log", "export"]).0;
    let kept = log();
    assert!(kept.contains("24-017"), "{kept}");
    shop.ok(&["edit", "wrench", "W1", "--remove", "--yes"]);
    assert_eq!(wrenches(), none);
    let undone = shop.undo();
    assert!(undone["removed"][0] == "wrench W1" && undone["took_back"].is_null(), "{undone}");
    assert_eq!(wrenches(), changed);
    assert_eq!(shop.undo()["entered"][0], "bolt set S1");
    assert_eq!(shop.undo()["changed"][0], "wrench W1");
    assert_eq!((wrenches(), shop.state()), (entered, added));
    // The fastener was entered before the wrench was changed, and after it was entered.
    assert_eq!(shop.undo()["entered"][0], "marlow-6-cover-bolt");
    let (_, said, code) = shop.run(&["book", "undo"]);
    assert!(code == Some(2) && said.contains("wrench W1 entered"), "{said}");
    shop.ok(&["book", "backup", "whole.jsonl"]);
    shop.ok(&["book", "restore", "whole.jsonl", "--yes"]);
    shop.undo();
    assert_eq!((wrenches(), log()), (none, kept));
    assert_eq!(shop.run(&["book", "undo", "--yes"]).2, Some(1));
    shop.ok(&["book", "verify"]);
}

/// A layout comes back hole by hole.
#[test]
fn a_layout_is_taken_back() {
    let shop = Shop::new();
    let seed = Path::new(env!("CARGO_MANIFEST_DIR")).join("seed-data");
    let file = |name: &str| format!("file={}", seed.join(name).display());
    let holes = || shop.ok(&["--format", "json", "order", "layout", "cover"]);
    let listed = || shop.run(&["list", "layouts"]).0;
    let none = listed();
    shop.ok(&["add", "layout", "cover", &file("Dunlin 2 gear case.csv")]);
    let first = holes();
    shop.ok(&["edit", "layout", "cover", &file("Marlow 6 head.csv")]);
    assert_ne!(holes(), first);
    assert_eq!(shop.undo()["changed"][0], "layout cover");
    assert_eq!(holes(), first);
    shop.ok(&["edit", "layout", "cover", "--remove", "--yes"]);
    assert_eq!(shop.undo()["removed"][0], "layout cover");
    assert_eq!(holes(), first);
    assert_eq!(shop.undo()["entered"][0], "layout cover");
    assert_eq!(listed(), none);
}

#[test]
fn the_steps_are_kept_in_a_backup() {
    let shop = Shop::new();
    let fresh = shop.state();
    shop.ok(&ADDED);
    shop.ok(&["book", "backup", "whole.jsonl"]);
    shop.ok(&["book", "restore", "whole.jsonl", "--yes"]);
    shop.undo();
    assert_eq!(shop.state(), fresh);
}

#[test]
fn the_question_names_what_is_taken_back_and_the_history_keeps_both() {
    let shop = Shop::new();
    shop.ok(&ADDED);
    shop.ok(&["edit", "marlow-6-cover-bolt", "count=6", "--who", "early shift"]);
    let (_, said, code) = shop.run(&["book", "undo"]);
    assert_eq!(code, Some(2));
    assert!(said.contains("early shift") && said.contains("marlow-6-cover-bolt changed"), "{said}");
    shop.ok(&["book", "undo", "--yes", "--who", "late shift"]);
    let history = shop.ok(&["edit", "marlow-6-cover-bolt", "--history"]);
    assert!(history.contains("early shift") && history.contains("late shift"), "{history}");
}

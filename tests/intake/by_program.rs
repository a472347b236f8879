//! Long files through the program: one change, the same again changes nothing,
//! and an import that is broken off leaves the old book.

#![cfg(target_os = "linux")]

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use crate::program::run;

/// Settings of the long file, two to a bolt: more than 8 MiB, from where on a file is
/// read piece by piece, and more than 2000 bolts, from where on a book is written whole.
/// `CLAMPBOOK_LONG=12000 cargo test --test intake by_program` makes it longer.
fn rows() -> usize {
    std::env::var("CLAMPBOOK_LONG").map_or(4200, |rows| rows.parse().expect("a number of rows"))
}

fn revision(home: &Path) -> u64 {
    let (out, err, _) = run(home, &["--format", "json", "book", "info"]);
    let info: serde_json::Value =
        serde_json::from_str(&out).unwrap_or_else(|_| panic!("{out}{err}"));
    info["revision"].as_u64().or(info["generation"].as_u64()).unwrap()
}

/// Invented rows, two to a bolt.
fn long_file(torque: usize) -> String {
    let mut text = String::from("Assembly,Joint,Part,Thread,Lube,Torque,Source,Page,Notes\n");
    let notes =
        "seen by the oil gallery; clean the hole and measure the length and pull in steps; "
            .repeat(26);
    for row in 0..rows() {
        let (bolt, lube) = (row / 2, ["oil", "moly"][row % 2]);
        writeln!(
            text,
            "Marlow {},joint {},bolt {bolt},M10x1.5,{lube},{} N.m,Sheet {},4,{notes} {bolt}",
            bolt / 400,
            bolt / 8,
            torque + row % 7,
            row % 90,
        )
        .unwrap();
    }
    assert!(text.len() > 8 << 20, "{}", text.len());
    text
}

#[test]
fn a_long_file_is_one_change_and_the_same_again_is_none() {
    let home = tempfile::tempdir().unwrap();
    let home = home.path();
    std::fs::write(home.join("long.csv"), long_file(40)).unwrap();
    let (_, err, code) = run(home, &["list", "lubes"]);
    assert_eq!(code, Some(0), "{err}");
    let before = revision(home);
    let (out, err, code) = run(home, &["import", "long.csv"]);
    assert_eq!(code, Some(0), "{out}{err}");
    assert_eq!(err, "", "no bar where nobody looks");
    assert_eq!(revision(home), before + 1);
    let (again, _, code) = run(home, &["--format", "json", "import", "long.csv"]);
    assert_eq!(code, Some(0), "{again}");
    assert_eq!(revision(home), before + 1);
    let report: serde_json::Value = serde_json::from_str(&again).unwrap();
    assert_eq!(report["settings"]["unchanged"], rows(), "{report}");

    // Other figures under the same names: changed in place, signed.
    std::fs::write(home.join("new.csv"), long_file(50)).unwrap();
    let (out, err, code) = run(home, &["import", "new.csv"]);
    assert_eq!(code, Some(0), "{out}{err}");
    assert_eq!(revision(home), before + 2);
    let (history, _, _) = run(home, &["edit", "marlow-0-joint-0-bolt-0", "--history"]);
    for wanted in ["jo, from new.csv", "2026-05-04", "40 N·m", "50 N·m"] {
        assert!(history.contains(wanted), "{wanted} in {history}");
    }

    broken_off(home);
}

/// The names in a folder that begin so.
fn names(book: &Path, beginning: &str) -> BTreeSet<String> {
    let entries = std::fs::read_dir(book).unwrap().flatten();
    let names = entries.map(|entry| entry.file_name().to_string_lossy().into_owned());
    names.filter(|name| name.starts_with(beginning)).collect()
}

/// What the old book answers.
fn answer(home: &Path) -> String {
    run(home, &["find", "assembly", "Marlow 3", "tally", "torque"]).0
}

/// Imports `file` and interrupts it, as Ctrl-C does, as soon as the folder has a new
/// name with this beginning; whether that was before it was over.
fn interrupted(home: &Path, file: &str, beginning: &str) -> bool {
    let book = home.join("data/clampbook");
    let before = names(&book, beginning);
    // SIGINT as it is by default: tests in the background of a shell ignore it.
    let program = env!("CARGO_BIN_EXE_clampbook");
    let mut child = Command::new("env")
        .args(["--default-signal=INT", program, "import", file])
        .current_dir(home)
        .env("HOME", home)
        .env("XDG_DATA_HOME", home.join("data"))
        .env("CLAMPBOOK_WHO", "jo")
        .env_remove("CLAMPBOOK_DIR")
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("env, of coreutils");
    while names(&book, beginning).is_subset(&before) && child.try_wait().unwrap().is_none() {
        std::thread::sleep(Duration::from_millis(1));
    }
    let _ = Command::new("kill").args(["-INT", &child.id().to_string()]).status();
    let began = Instant::now();
    loop {
        if let Some(status) = child.try_wait().unwrap() {
            return !status.success();
        }
        if began.elapsed() > Duration::from_mins(1) {
            let _ = child.kill();
            panic!("it goes on after SIGINT");
        }
        std::thread::sleep(Duration::from_millis(1));
    }
}

/// Interrupts imports in several states: the old book is left whole. One that was over
/// before proves nothing; the next then brings the other file, so that it has as much
/// to do. A change before each clears what the last one left.
fn broken_off(home: &Path) {
    let mut turns = 0;
    for beginning in ["changing", "sled-", "image-"] {
        loop {
            turns += 1;
            assert!(turns < 20, "no import was broken off at {beginning}");
            let grip = format!("grip={turns} mm");
            let (out, err, code) = run(home, &["edit", "marlow-0-joint-0-bolt-0", &grip]);
            assert_eq!(code, Some(0), "{out}{err}");
            let before = (revision(home), answer(home));
            let file = if before.1.contains("50 / ") { "long.csv" } else { "new.csv" };
            if interrupted(home, file, beginning) {
                assert_eq!((revision(home), answer(home)), before, "{beginning}: the old book");
                break;
            }
        }
    }
    let (out, err, code) = run(home, &["edit", "marlow-0-joint-0-bolt-0", "grip=30 mm"]);
    assert_eq!(code, Some(0), "{out}{err}");
    let (out, err, code) = run(home, &["book", "verify"]);
    assert_eq!(code, Some(0), "{out}{err}");
}

/// Between commas nothing tells a decimal comma from a point; the option does.
#[test]
fn the_option_says_that_decimals_have_a_comma() {
    let home = tempfile::tempdir().unwrap();
    let home = home.path();
    let text = "Assembly,Joint,Part,Torque [N·m],Lube,Source\n\
        Tern 40,flange,bolt,\"70,5\",oil,card\n";
    std::fs::write(home.join("comma.csv"), text).unwrap();
    let (out, err, code) = run(home, &["import", "comma.csv"]);
    assert_eq!(code, Some(3), "{out}{err}");
    let (out, err, code) = run(home, &["import", "comma.csv", "--decimal-comma"]);
    assert_eq!(code, Some(0), "{out}{err}");
    let (found, err, _) = run(home, &["--format", "csv", "find", "Tern 40"]);
    assert!(found.contains("70.5"), "{found}{err}");
}

//! Long files through the program: one change, the same again changes nothing,
//! and an import that is broken off leaves the old book.

use std::fmt::Write as _;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::time::Duration;

/// Settings of the long file: more than 8 MiB, from where on a file is read
/// piece by piece.
const ROWS: usize = 12_000;

fn clampbook(home: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_clampbook"));
    command
        .current_dir(home)
        .env("HOME", home)
        .env("XDG_DATA_HOME", home.join("data"))
        .env("CLAMPBOOK_NOW", "2026-03-01T12:00:00Z")
        .env_remove("CLAMPBOOK_DIR")
        .env("CLAMPBOOK_WHO", "jo");
    command
}

fn run(home: &Path, arguments: &[&str]) -> (String, String, Option<i32>) {
    let Output { stdout, stderr, status } = clampbook(home).args(arguments).output().unwrap();
    (String::from_utf8(stdout).unwrap(), String::from_utf8(stderr).unwrap(), status.code())
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
            .repeat(9);
    for row in 0..ROWS {
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
    assert!(text.len() > 8 << 20);
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
    let told: serde_json::Value = serde_json::from_str(&again).unwrap();
    assert!(
        again.contains(&format!("\"unchanged\": {ROWS}"))
            || again.contains(&format!("\"unchanged\":{ROWS}")),
        "{:?}",
        told["changes"]
    );

    // Other figures under the same names: changed in place, signed.
    std::fs::write(home.join("new.csv"), long_file(50)).unwrap();
    let (out, err, code) = run(home, &["import", "new.csv"]);
    assert_eq!(code, Some(0), "{out}{err}");
    assert_eq!(revision(home), before + 2);
    let (history, _, _) = run(home, &["edit", "marlow-0-joint-0-bolt-0", "--history"]);
    for wanted in ["jo, from new.csv", "2026-03-01", "40 N·m", "50 N·m"] {
        assert!(history.contains(wanted), "{wanted} in {history}");
    }

    broken_off(home);
}

/// Interrupts imports at several moments, as Ctrl-C does.
fn broken_off(home: &Path) {
    let before = revision(home);
    let all = run(home, &["export"]).0;
    for wait in [60, 300, 900] {
        let mut child = clampbook(home)
            .args(["import", "long.csv"])
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_millis(wait));
        let stop = Command::new("kill").args(["-INT", &child.id().to_string()]).status();
        assert!(stop.is_ok_and(|status| status.success()), "it was over before {wait} ms");
        assert!(!child.wait().unwrap().success());
        assert_eq!(revision(home), before);
        assert!(run(home, &["export"]).0 == all, "the old book is whole");
    }
    let (out, err, code) = run(home, &["edit", "marlow-0-joint-0-bolt-0", "grip=30 mm"]);
    assert_eq!(code, Some(0), "{out}{err}");
    let (out, err, code) = run(home, &["book", "verify"]);
    assert_eq!(code, Some(0), "{out}{err}");
}

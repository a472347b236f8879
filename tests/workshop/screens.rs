//! The screens of a shop at four widths, as snapshots that are looked at.

use crate::commands::in_shop;
use crate::program::{clampbook, demo_shop, text};

const WIDTHS: [&str; 4] = ["60", "80", "120", "140"];

/// Nothing is wider than the screen.
fn fits(shown: &str, columns: &str) {
    let limit: usize = columns.parse().unwrap();
    let wide: Vec<&str> = shown.lines().filter(|line| line.chars().count() > limit).collect();
    assert!(wide.is_empty(), "wider than {columns}: {wide:#?}");
}

#[test]
fn find_lubes_and_passes_at_four_widths() {
    let home = tempfile::tempdir().unwrap();
    for columns in WIDTHS {
        let mut all = String::new();
        for arguments in [
            &["find", "press"][..],
            &["find", "head show part, torque"],
            &["lubes", "main bolt cap"],
            &["passes", "trolley steering or impeller nut"],
        ] {
            let mut command = clampbook(home.path());
            let (out, _, _) =
                text(&command.env("COLUMNS", columns).args(in_shop(arguments)).output().unwrap());
            fits(&out, columns);
            all += &format!("$ {}\n{out}\n", arguments.join(" "));
        }
        insta::assert_snapshot!(format!("answers_{columns}"), all);
    }
}

#[test]
fn check_and_log_at_four_widths() {
    let shop = demo_shop();
    let run = |arguments: &[&str], columns: &str| {
        let mut command = clampbook(shop.path());
        text(&command.env("COLUMNS", columns).args(arguments).output().unwrap()).0
    };
    let scale = ["low=20 lb-ft", "high=150 lb-ft", "graduation=1 lb-ft"];
    run(&[&["add", "wrench", "W2"], &scale[..], &["calibrated=2026-01-10"]].concat(), "80");
    run(&["log", "start", "24-017"], "80");
    run(&["log", "add", "head stud moly", "--done", "wrench=W2", "reached=1: 56 lb-ft"], "80");
    for columns in WIDTHS {
        let mut all = String::new();
        for arguments in [
            &["check", "joint", "damper"][..],
            &["log", "show"],
            &["log", "show", "1"],
            &["log", "off-target"],
        ] {
            let out = run(arguments, columns);
            fits(&out, columns);
            all += &format!("$ {}\n{out}\n", arguments.join(" "));
        }
        insta::assert_snapshot!(format!("records_{columns}"), all);
    }
}

//! An import at a terminal says how far it is until its end, and one that is broken off
//! leaves no half line. Files grow until the bar is seen: no machine is too fast.

#![cfg(target_os = "linux")]

use std::fmt::Write as _;
use std::path::Path;

use crate::terminal::{CTRL_C, Terminal, is_installed};

fn file(home: &Path, rows: usize) {
    let mut text = String::from("Assembly,Joint,Part,Thread,Lube,Torque\n");
    for row in 0..rows {
        let (joint, bolt) = (row / 8, row);
        writeln!(text, "Marlow 6,joint {joint},bolt {bolt},M10x1.5,oil,{} N.m", 40 + row % 7)
            .unwrap();
    }
    std::fs::write(home.join("long.csv"), text).unwrap();
}

/// What an import at a terminal leaves behind that was longer than `doing` took to be
/// seen and `then` to be done: its code and what it showed.
fn grown(home: &Path, doing: &str, wanted: i32, then: fn(&mut Terminal)) -> String {
    let mut rows = 4_000;
    loop {
        file(home, rows);
        let book = home.join(format!("book {rows}"));
        let set = [("CLAMPBOOK_DIR", book.to_str().unwrap())];
        let mut terminal = Terminal::open(home, "import long.csv", &set);
        if terminal.first(&[doing, "Imported whole."]) == doing {
            then(&mut terminal);
            let (code, shown) = terminal.end();
            if code == Some(wanted) {
                return shown;
            }
            // It was through before the key arrived.
            assert_eq!(code, Some(0), "{doing}: {shown:?}");
        }
        rows *= 2;
    }
}

/// What stands in the last line of the screen.
fn last_line(shown: &str) -> &str {
    let line = shown.rsplit('\n').next().unwrap_or_default();
    line.rsplit("\u{1b}[2K").next().unwrap_or_default()
}

#[test]
fn a_bar_stands_until_the_report_and_goes_with_its_line() {
    if !is_installed() {
        return;
    }
    let home = tempfile::tempdir().unwrap();
    let shown = grown(home.path(), "importing", 0, |_| {});
    let (bars, report) = shown.split_once("long.csv: ").unwrap();
    assert!(!report.contains("importing"), "{shown}");
    assert_eq!(last_line(bars).trim_start_matches("\u{1b}[1m"), "", "the bar is gone: {bars:?}");
}

#[test]
fn ctrl_c_leaves_no_half_line_while_reading_and_importing() {
    if !is_installed() {
        return;
    }
    for doing in ["reading", "importing"] {
        let home = tempfile::tempdir().unwrap();
        let shown = grown(home.path(), doing, 130, |terminal| terminal.keys(CTRL_C));
        assert_eq!(last_line(&shown), "", "{doing}: {shown:?}");
    }
}

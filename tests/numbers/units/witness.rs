//! The conversions of UNITS against pint, a general library in another
//! language, to twelve digits.
//!
//! Needs python3 with pint. Where either is missing the test says that it was
//! skipped; with CLAMPBOOK_WITNESS=required that is a failure.

use std::fmt::Write as _;
use std::io::Write as _;
use std::process::{Command, Stdio};

use clampbook::quantity::{Dimension, Quantity, UNITS};

/// The symbol of one base unit of a dimension.
fn base_symbol(dimension: Dimension) -> &'static str {
    if dimension == Dimension::Ratio {
        return "1";
    }
    let is_base =
        |unit: &&clampbook::quantity::Unit| unit.dimension == dimension && unit.factor == 1.0;
    UNITS.iter().find(is_base).unwrap().symbol
}

/// One line for each unit and number, each as the program reads it from text.
fn conversions() -> String {
    let mut lines = String::new();
    for unit in UNITS {
        for number in ["1", "70", "0.0055", "1234.5"] {
            let quantity = Quantity::parse(&format!("{number} {}", unit.symbol)).unwrap();
            let base = base_symbol(unit.dimension);
            writeln!(lines, "{number}\t{}\t{:e}\t{base}", unit.symbol, quantity.base()).unwrap();
        }
    }
    lines
}

/// The exit code and the words of the witness; none if there is no python3.
fn ask(lines: &str) -> Option<(Option<i32>, String)> {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/numbers/units/witness.py");
    let mut child = Command::new("python3")
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .ok()?;
    // A witness that ends early (no pint) closes the pipe: its code tells.
    let _ = child.stdin.take().unwrap().write_all(lines.as_bytes());
    let output = child.wait_with_output().unwrap();
    let words = String::from_utf8_lossy(&output.stdout) + String::from_utf8_lossy(&output.stderr);
    Some((output.status.code(), words.into_owned()))
}

/// Written past the capture of the harness: a skipped witness is never silent.
fn say(text: &str) {
    std::io::stderr().write_all(format!("{text}\n").as_bytes()).unwrap();
}

#[test]
fn units_agree_with_pint() {
    let required = std::env::var("CLAMPBOOK_WITNESS").is_ok_and(|value| value == "required");
    let lines = conversions();
    let missing = match ask(&lines) {
        None => "python3 is missing".to_owned(),
        Some((Some(3), words)) => words.trim().to_owned(),
        Some((code, words)) => {
            say(&format!("pint: {}", words.trim()));
            assert_eq!(code, Some(0), "{words}");
            assert!(words.contains(&format!("{} conversions", lines.lines().count())));
            return;
        }
    };
    assert!(!required, "the witness is required, but {missing}: pip install pint");
    say(&format!("SKIPPED: units against pint ({missing})"));
}

/// The witness can fail: a wrong factor and an unknown unit are both told.
#[test]
fn the_witness_catches_a_wrong_factor() {
    let Some((code, words)) = ask("70\tlb-ft\t94.8\tN·m\n1\tfurlong\t1\tmm\n") else {
        return say("SKIPPED: the witness against wrong factors (python3 is missing)");
    };
    if code == Some(3) {
        return say("SKIPPED: the witness against wrong factors (pint is missing)");
    }
    assert_eq!(code, Some(1), "{words}");
    assert!(words.contains("70 lb-ft") && words.contains("furlong"), "{words}");
    assert!(words.contains("2 conversions, 2 wrong"), "{words}");
}

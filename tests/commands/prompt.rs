//! The prompt, at a pseudo-terminal.

#![cfg(target_os = "linux")]
use crate::program::{file, run};
use crate::terminal::{CTRL_C, PROMPT, Terminal, UP, is_installed};

#[test]
fn questions_are_answered_and_wrong_ones_point_at_their_place() {
    if !is_installed() {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    let mut terminal = Terminal::open(home.path(), "--demo --color never", &[]);
    let greeting = terminal.wait(PROMPT);
    assert!(greeting.contains("Ctrl-D leaves"), "{greeting}");
    terminal.line("joint head show part, torque", "Maker's current sheet governs");
    let wrong = terminal.line("torque over 60 kN", "a force is asked of `clamp`");
    assert!(wrong.contains("^^^^^ expected a torque"), "{wrong}");
    assert_eq!(terminal.leave(), Some(0));
}

/// Without an own spec the first three lines say what to do; with one they are gone.
#[test]
fn a_new_book_says_what_to_do_first() {
    if !is_installed() {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    let mut terminal = Terminal::open(home.path(), "--color never", &[]);
    let greeting = terminal.wait(PROMPT);
    let lines: Vec<&str> = greeting.lines().collect();
    assert!(lines[0].contains("Nothing is entered yet"), "{greeting}");
    assert!(lines[1].contains("clampbook tour"), "{greeting}");
    assert!(lines[2].contains("clampbook import FILE --dry-run"), "{greeting}");
    assert!(lines[3].starts_with("Ask as"), "{greeting}");
    assert_eq!(terminal.leave(), Some(0));
    let shop = file("tests/data/shop.csv");
    let (out, err, code) = run(home.path(), &["import", shop.to_str().expect("UTF-8")]);
    assert_eq!(code, Some(0), "{out}{err}");
    let mut terminal = Terminal::open(home.path(), "--color never", &[]);
    let greeting = terminal.wait(PROMPT);
    assert!(greeting.starts_with("Ask as"), "{greeting}");
    assert_eq!(terminal.leave(), Some(0));
}

#[test]
fn ctrl_c_clears_the_line_and_ctrl_d_leaves() {
    if !is_installed() {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    let mut terminal = Terminal::open(home.path(), "--demo --color never", &[]);
    terminal.wait(PROMPT);
    terminal.keys("nonsense that is not sent");
    terminal.wait("not sent");
    terminal.keys(CTRL_C);
    terminal.wait(PROMPT);
    let next = terminal.line("R12 has stretch show part", " left out");
    assert!(!next.contains("nonsense"), "{next}");
    assert_eq!(terminal.leave(), Some(0));
}

#[test]
fn tab_completes_fields_units_and_names() {
    if !is_installed() {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    let mut terminal = Terminal::open(home.path(), "--demo --color never", &[]);
    terminal.wait(PROMPT);
    // Each of these begins one name of the demo shop or one field.
    terminal.keys("assembly marl\t torq\t over 60 N.m with mol\t show part\r");
    let echoed = terminal.wait(" left out");
    assert!(echoed.contains("assembly Marlow 6 torque over 60 N.m with moly"), "{echoed:?}");
    terminal.wait(PROMPT);
    assert_eq!(terminal.leave(), Some(0));
}

#[test]
fn lines_are_kept_for_the_next_time_in_the_state_folder() {
    if !is_installed() {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    let mut terminal = Terminal::open(home.path(), "--demo --color never", &[]);
    terminal.wait(PROMPT);
    terminal.line("R12 has stretch show part", " left out");
    assert_eq!(terminal.leave(), Some(0));
    let kept = home.path().join("state/clampbook/history");
    assert!(std::fs::read_to_string(&kept).expect("the history").contains("R12 has stretch"));
    let mut again = Terminal::open(home.path(), "--demo --color never", &[]);
    again.wait(PROMPT);
    again.keys(UP);
    again.wait("R12 has stretch show part");
    again.keys("\r");
    again.wait(" left out");
    again.wait(PROMPT);
    assert_eq!(again.leave(), Some(0));
}

#[test]
fn words_are_coloured_as_they_are_typed() {
    if !is_installed() {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    let mut terminal = Terminal::open(home.path(), "--demo --color always", &[]);
    terminal.wait(PROMPT);
    terminal.keys("torque over 60 N.m");
    terminal.wait("\u{1b}[36mtorque\u{1b}[0m");
    terminal.wait("\u{1b}[32m60 N.m\u{1b}[0m");
    terminal.keys("\r");
    terminal.wait(" left out");
    terminal.wait(PROMPT);
    assert_eq!(terminal.leave(), Some(0));
}

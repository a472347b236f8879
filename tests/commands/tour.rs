//! The tour: seven steps, each a command that prints what it prints alone.

use crate::program::run;
use crate::terminal::{PROMPT, Terminal, is_installed};

#[test]
fn each_step_shows_what_its_command_prints() {
    let home = tempfile::tempdir().expect("a folder");
    let (tour, err, code) = run(home.path(), &["tour"]);
    assert_eq!(code, Some(0), "{tour}{err}");
    let steps: Vec<&str> = tour.split("$ clampbook ").skip(1).collect();
    assert_eq!(steps.len(), 7, "{tour}");
    for step in steps {
        let (line, shown) = step.split_once('\n').expect("a command and what it prints");
        let words: Vec<&str> = line.split_whitespace().collect();
        let (alone, err, _) = run(home.path(), &words);
        assert!(!alone.trim().is_empty(), "{line}: {err}");
        assert!(shown.trim_start().starts_with(alone.trim()), "{line}: {alone}\n{shown}");
    }
    assert!(!home.path().join("data").exists(), "the tour makes no book");
}

#[test]
fn on_a_terminal_it_waits_and_can_be_left() {
    if !is_installed() {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    let mut terminal = Terminal::open(home.path(), "tour --color never", &[]);
    terminal.wait("1 of 7");
    terminal.wait("Enter goes on, q leaves: ");
    terminal.keys("\r");
    terminal.wait("2 of 7");
    terminal.wait("Enter goes on, q leaves: ");
    terminal.keys("q\r");
    let (code, shown) = terminal.end();
    assert_eq!(code, Some(0));
    assert!(!shown.contains("3 of 7") && !shown.contains(PROMPT), "{shown}");
}

//! The prompt at a pseudo-terminal.

#![cfg(target_os = "linux")]
use std::process::Command;

use crate::program::{demo_shop, file, run};
use crate::terminal::{CTRL_C, PROMPT, Terminal, UP, is_installed};

/// A new home and the prompt that waits there; none where no terminal can be had.
fn prompt(arguments: &str) -> Option<(tempfile::TempDir, Terminal)> {
    let home = is_installed().then(|| tempfile::tempdir().expect("a folder"))?;
    let mut terminal = Terminal::open(home.path(), arguments, &[]);
    terminal.wait(PROMPT);
    Some((home, terminal))
}

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
    assert!(greeting.starts_with("made a book at ~/data/clampbook"), "{greeting}");
    let lines: Vec<&str> = greeting.lines().skip(1).collect();
    assert!(lines[0].contains("Nothing is entered yet"), "{greeting}");
    assert!(lines[1].contains("clampbook tour"), "{greeting}");
    assert!(lines[2].contains("clampbook import FILE --dry-run"), "{greeting}");
    assert!(lines[3].starts_with("Ask as"), "{greeting}");
    assert_eq!(terminal.leave(), Some(0));
    let shop = file("seed-data/shop.csv");
    let (out, err, code) = run(home.path(), &["import", shop.to_str().expect("UTF-8")]);
    assert_eq!(code, Some(0), "{out}{err}");
    let mut terminal = Terminal::open(home.path(), "--color never", &[]);
    let greeting = terminal.wait(PROMPT);
    assert!(greeting.starts_with("Ask as"), "{greeting}");
    assert_eq!(terminal.leave(), Some(0));
}

#[test]
fn ctrl_c_clears_the_line_and_ctrl_d_leaves() {
    let Some((_home, mut terminal)) = prompt("--demo --color never") else { return };
    terminal.keys("nonsense that is not sent");
    terminal.wait("not sent");
    terminal.keys(CTRL_C);
    terminal.wait(PROMPT);
    let next = terminal.line("R12 has stretch show part", " left out");
    assert!(!next.contains("nonsense"), "{next}");
    assert_eq!(terminal.leave(), Some(0));
}

/// A question of a command is answered by Ctrl-C as by "no": nothing is changed, and the
/// prompt goes on with what was typed before.
#[test]
fn ctrl_c_at_a_question_leaves_the_command_and_not_the_prompt() {
    if !is_installed() {
        return;
    }
    let home = demo_shop();
    let mut terminal = Terminal::open(home.path(), "--color never", &[]);
    terminal.wait(PROMPT);
    terminal.line("log start 24-017", "begun");
    let key = "tern-40-pump-suction-flange-bolt-flange";
    for (line, question) in [
        ("log add suction flange oil --done", "wrench (Enter leaves it):"),
        (&*format!("edit {key} --remove"), "(y, Enter is no)"),
        ("tour", "Enter goes on"),
    ] {
        terminal.keys(line);
        terminal.keys("\r");
        terminal.wait(question);
        terminal.keys(CTRL_C);
        terminal.wait("nothing was changed");
        terminal.wait(PROMPT);
    }
    terminal.line(&format!("find key {key} show part"), "left out");
    let log = terminal.line("log show", "the log is empty");
    assert!(!log.contains("tightened"), "{log}");
    assert_eq!(terminal.leave(), Some(0));
    let kept = std::fs::read_to_string(home.path().join("state/clampbook/history"));
    assert!(kept.expect("the history").contains("log add suction flange"));
    let mut alone = Terminal::open(home.path(), &format!("edit {key} --remove"), &[]);
    alone.wait("(y, Enter is no)");
    alone.keys(CTRL_C);
    let (code, shown) = alone.end();
    assert!(code == Some(130) && shown.contains("nothing was changed"), "{shown}");
}

/// A line is kept when it is typed: a program that is ended has kept it.
#[test]
fn a_line_is_kept_at_once() {
    let Some((home, mut terminal)) = prompt("--color never") else { return };
    terminal.line("M10 basis chart show part", " left out");
    let kept = std::fs::read_to_string(home.path().join("state/clampbook/history"));
    assert!(kept.expect("the history").contains("M10 basis chart"));
    assert_eq!(terminal.leave(), Some(0));
}

/// What a shell takes after a command is taken here too, with the question in front.
#[test]
fn options_stand_after_a_question_without_its_command() {
    let Some((_home, mut terminal)) = prompt("--demo --color never") else { return };
    terminal.line("suction flange with anti-seize --why", "WHY  Tern 40 pump");
    terminal.line("suction flange --format json", "\"left_out\"");
    for line in ["-h", "--help", "?", "Help"] {
        terminal.line(line, "A question says which settings");
    }
    terminal.line("Lubes bolster", "Each torque is for its own lube only");
    terminal.line("units metric", "`book set units=metric`");
    terminal.line("edit", "--history");
    terminal.keys("Exit\r");
    assert_eq!(terminal.end().0, Some(0));
}

/// Tab puts in no figure that was not typed, and never lists the whole dictionary.
#[test]
fn tab_offers_a_short_list_of_what_may_follow() {
    let Some((_home, mut terminal)) = prompt("--demo --color never") else { return };
    for (typed, wanted) in [
        ("torque ", "at-least"),
        ("head sort torque ", "down"),
        ("head ", "with"),
        ("Marlow 6 ", "with"),
        ("lubes ", "Stilt 60 press"),
        ("list lubes ", "anti-seize"),
        ("book set ", "units="),
        ("order ", "Dunlin 2 mill"),
        ("calc M1", "M10x1.5"),
        ("calc M16 --target 75", "75% combined"),
    ] {
        terminal.keys(typed);
        terminal.keys("\t\t");
        let offered = terminal.wait(wanted);
        let list = terminal.wait(PROMPT);
        assert!(!list.contains("possibilities") && !offered.contains("60 N.m"), "{offered}{list}");
        assert!(!offered.contains("--book"), "{typed}: {offered}");
        terminal.keys(CTRL_C);
        terminal.wait(PROMPT);
    }
    terminal.keys("head \t\t");
    terminal.wait("more: type on");
    terminal.wait(PROMPT);
    terminal.keys(CTRL_C);
    terminal.wait(PROMPT);
    assert_eq!(terminal.leave(), Some(0));
}

/// Greeting, help, messages and captions break at blanks.
#[test]
fn no_line_is_wider_than_the_window() {
    if !is_installed() {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    for columns in [60, 80] {
        let program = format!(
            "-u COLUMNS sh -c 'stty rows 200 cols {columns}; exec {} --demo --color never'",
            env!("CARGO_BIN_EXE_clampbook")
        );
        let mut terminal = Terminal::run(home.path(), &program, &[]);
        let mut shown = terminal.wait(PROMPT);
        for (line, wanted) in [
            ("add assembly=A joint=b part=c", "to write to"),
            ("passes head --steps none", "--help"),
            ("edit nosuch count=3", "to write to"),
            ("thread 99x", "1/4 BSW"),
        ] {
            shown += &terminal.line(line, wanted);
        }
        terminal.keys("tour\r");
        for _ in 0..6 {
            shown += &terminal.wait("Enter goes on");
            terminal.keys("\r");
        }
        shown += &terminal.wait(PROMPT);
        let own = shown.lines().filter(|line| !line.contains('\u{1b}') && !line.starts_with(' '));
        let wide: Vec<&str> =
            own.filter(|line| line.trim_end().chars().count() > columns).collect();
        assert!(wide.is_empty(), "{columns}: {wide:#?}");
        assert_eq!(terminal.leave(), Some(0));
    }
}

#[test]
fn tab_completes_fields_units_and_names() {
    let Some((_home, mut terminal)) = prompt("--demo --color never") else { return };
    // Each of these begins one name of the demo shop or one field.
    terminal.keys("assembly marl\t torq\t over 60 N.m with mol\t show part\r");
    let echoed = terminal.wait(" left out");
    assert!(echoed.contains("assembly Marlow 6 torque over 60 N.m with moly"), "{echoed:?}");
    terminal.wait(PROMPT);
    assert_eq!(terminal.leave(), Some(0));
}

#[test]
fn lines_are_kept_for_the_next_time_in_the_state_folder() {
    let Some((home, mut terminal)) = prompt("--color never") else { return };
    terminal.line("M10 basis chart show part", " left out");
    assert_eq!(terminal.leave(), Some(0));
    let kept = home.path().join("state/clampbook/history");
    let lines = || std::fs::read_to_string(&kept).expect("the history");
    assert!(lines().contains("M10 basis chart"));
    // What is asked of the demo shop is no line of this one's.
    let mut demo = Terminal::open(home.path(), "--demo --color never", &[]);
    demo.wait(PROMPT);
    demo.line("R12 has stretch show part", " left out");
    assert_eq!(demo.leave(), Some(0));
    assert!(!lines().contains("R12"), "{}", lines());
    let mut again = Terminal::open(home.path(), "--color never", &[]);
    again.wait(PROMPT);
    again.keys(UP);
    again.wait("M10 basis chart show part");
    again.keys("\r");
    again.wait(" left out");
    again.wait(PROMPT);
    assert_eq!(again.leave(), Some(0));
}

#[test]
fn every_line_that_is_typed_ahead_or_pasted_is_answered() {
    let Some((_home, mut terminal)) = prompt("--demo --color never") else { return };
    terminal.keys("joint rod show part\rjoint head show part\rR12 has stretch show part\r");
    for _ in 0..3 {
        terminal.wait(" left out");
        terminal.wait(PROMPT);
    }
    terminal
        .keys("\u{1b}[200~joint rod show part\nthread M10x1.5\njoint head show part\u{1b}[201~");
    terminal.wait("joint head show part");
    terminal.keys("\r");
    // Each answer says which line it is of.
    terminal.wait("\njoint rod show part\r\n");
    terminal.wait(" left out");
    terminal.wait("\nthread M10x1.5\r\n");
    terminal.wait("tap drill");
    terminal.wait("\njoint head show part\r\n");
    terminal.wait(" left out");
    terminal.wait(PROMPT);
    assert_eq!(terminal.leave(), Some(0));
}

#[test]
fn the_first_word_of_a_line_may_be_a_command() {
    let Some((_home, mut terminal)) = prompt("--demo --color never") else { return };
    terminal.line("lubes joint head \"stud, long\"", "WRONG LUBE");
    terminal.line("find joint head show part", " left out");
    let found = terminal.line("text lubes", "0 rows");
    assert!(!found.contains("WRONG LUBE"), "{found}");
    let help = terminal.line("help", "licensed");
    assert!(help.contains("find log") && help.lines().count() <= 24, "{help}");
    terminal.line("help passes", "--steps N");
    terminal.line("passes head --steps none", "invalid value");
    terminal.line("lubes \"head", "a quote is not closed");
    terminal.line("delete marlow-6-rod-bolt-cap", "write: edit marlow-6-rod-bolt-cap --remove");
    terminal.line("undo", "write: book undo");
    terminal.line("add assembly=A joint=b part=c", "thrown away");
    terminal.keys("quit\r");
    assert_eq!(terminal.end().0, Some(0));
}

#[test]
fn a_window_that_changes_its_size_is_noticed() {
    if !is_installed() {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    let program = format!(
        "-u COLUMNS sh -c 'stty rows 200 cols 60; echo at $(tty); exec {} --demo --color never'",
        env!("CARGO_BIN_EXE_clampbook")
    );
    let mut terminal = Terminal::run(home.path(), &program, &[]);
    let shown = terminal.wait(PROMPT);
    let device = shown.split_whitespace().find(|word| word.starts_with("/dev/")).expect("its name");
    let widest = |text: &str| {
        // The line that is typed is drawn again with each key.
        let answer = text.lines().filter(|line| !line.contains('\u{1b}'));
        answer.map(|line| line.trim_end().chars().count()).max()
    };
    let narrow = terminal.line("joint head", "governs");
    let wide = Command::new("stty").args(["-F", device, "cols", "140"]).status().expect("stty");
    assert!(wide.success());
    let answer = terminal.line("joint head", "governs");
    assert!(widest(&narrow) < Some(75) && widest(&answer) > Some(100), "{narrow}\n{answer}");
    assert_eq!(terminal.leave(), Some(0));
}

#[test]
fn tab_offers_what_can_follow() {
    let Some((_home, mut terminal)) = prompt("--demo --color never") else { return };
    // Each of these begins one name; the last is a unit of torque and no other.
    terminal.keys("assembly \"Mar\t torque over 6 lb-f\t\r");
    let echoed = terminal.wait(" left out");
    assert!(echoed.contains("assembly \"Marlow 6\" torque over 6 lb-ft"), "{echoed:?}");
    terminal.wait(PROMPT);
    terminal.keys("edit marlow-6-rod-b\t --hist\t\r");
    let echoed = terminal.wait("never changed");
    assert!(echoed.contains("edit marlow-6-rod-bolt-cap --history"), "{echoed:?}");
    terminal.wait(PROMPT);
    terminal.keys("\t\t");
    let offered = terminal.wait("help");
    assert!(offered.contains("torque") && offered.contains("passes"), "{offered:?}");
    // Once below the list, once after Ctrl-C.
    terminal.wait(PROMPT);
    terminal.keys(CTRL_C);
    terminal.wait(PROMPT);
    assert_eq!(terminal.leave(), Some(0));
}

#[test]
fn words_are_coloured_as_they_are_typed() {
    let Some((_home, mut terminal)) = prompt("--demo --color always") else { return };
    terminal.keys("torque over 60 N.m");
    terminal.wait("\u{1b}[4mtorque\u{1b}[0m");
    terminal.wait("\u{1b}[35m60 N.m\u{1b}[0m");
    terminal.keys("\r");
    terminal.wait(" left out");
    terminal.wait(PROMPT);
    assert_eq!(terminal.leave(), Some(0));
}

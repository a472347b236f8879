//! Reading: the pager, the settings of a book, the manual, and a command that looks
//! whether it can before it asks.

use std::path::Path;
use std::process::Command;

#[cfg(target_os = "linux")]
use crate::terminal::{PROMPT, Terminal, has, is_installed};

fn run(home: &Path, arguments: &[&str], set: &[(&str, &str)]) -> (String, String, Option<i32>) {
    let output = Command::new(env!("CARGO_BIN_EXE_clampbook"))
        .args(arguments)
        .env("HOME", home)
        .current_dir(home)
        .env("XDG_DATA_HOME", home.join("data"))
        .env("COLUMNS", "100")
        .env("USER", "bench")
        .env_remove("CLAMPBOOK_DIR")
        .env_remove("CLAMPBOOK_UNITS")
        .env_remove("CLAMPBOOK_WHO")
        .envs(set.iter().copied())
        .output()
        .expect("the program");
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (text(&output.stdout), text(&output.stderr), output.status.code())
}

/// clampbook in a window of 24 lines.
#[cfg(target_os = "linux")]
fn window(home: &Path, arguments: &str, set: &[(&str, &str)]) -> Terminal {
    let program = env!("CARGO_BIN_EXE_clampbook");
    let line = format!("sh -c 'stty rows 24 cols 80; exec {program} --color never {arguments}'");
    Terminal::run(home, &line, set)
}

#[test]
#[cfg(target_os = "linux")]
fn an_answer_longer_than_the_screen_goes_through_the_pager() {
    if !is_installed() || !has("less") {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    // The last lube of the list is beyond the screen, and less waits.
    let mut paged = window(home.path(), "--demo list lubes", &[]);
    let first = paged.wait("\n:");
    assert!(first.contains("moly") && !first.contains("flange sealant"), "{first}");
    paged.keys("q");
    assert_eq!(paged.end().0, Some(0));
    let (code, all) = window(home.path(), "--demo list lubes --no-pager", &[]).end();
    assert!(code == Some(0) && all.contains("flange sealant"), "{all}");
    let short = window(home.path(), "--demo thread 1/4 BSW --quiet", &[("PAGER", "false")]).end();
    assert!(short.1.contains("BSW"), "{}", short.1);
    // The environment goes before what the book says.
    let set = run(home.path(), &["book", "set", "pager=head -n 2"], &[]);
    assert_eq!(set.2, Some(0), "{}", set.1);
    let (_, of_book) = window(home.path(), "list lubes", &[]).end();
    assert!(of_book.contains("dry") && !of_book.contains("oil"), "{of_book}");
    let (_, named) = window(home.path(), "list lubes", &[("CLAMPBOOK_PAGER", "tail -n 1")]).end();
    assert!(named.contains("listed") && !named.contains("moly"), "{named}");
    let (_, other) = window(home.path(), "list lubes", &[("PAGER", "no-such-pager")]).end();
    assert!(other.contains("flange sealant"), "{other}");
    let (piped, _, _) = run(home.path(), &["list", "lubes"], &[("CLAMPBOOK_PAGER", "false")]);
    assert!(piped.contains("flange sealant"));
}

#[test]
#[cfg(target_os = "linux")]
fn the_prompt_goes_on_after_the_pager() {
    if !is_installed() || !has("less") {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    let mut terminal = window(home.path(), "--demo", &[]);
    terminal.wait(PROMPT);
    terminal.keys("list lubes\r");
    terminal.wait(":\u{1b}[K");
    terminal.keys("q");
    terminal.wait(PROMPT);
    // An answer to a question is paged each time.
    for _ in 0..2 {
        terminal.keys("assembly \"Marlow 6\"\r");
        terminal.wait(":\u{1b}[K");
        terminal.keys("q");
        terminal.wait(PROMPT);
    }
    terminal.line("joint rod show part", "left out");
    assert_eq!(terminal.leave(), Some(0));
}

#[test]
fn the_settings_of_a_book_give_way_to_the_environment_and_that_to_an_option() {
    let home = tempfile::tempdir().expect("a folder");
    let home = home.path();
    let set = ["book", "set", "units=inch", "who=early shift"];
    let (shown, said, code) = run(home, &set, &[]);
    assert!(code == Some(0) && shown.contains("early shift"), "{shown}{said}");
    let asked = ["find", "basis chart show torque first 1"];
    let of = |arguments: &[&str], set: &[(&str, &str)]| run(home, arguments, set).0;
    assert!(of(&asked, &[]).contains("lb-ft"), "{}", of(&asked, &[]));
    assert!(of(&asked, &[("CLAMPBOOK_UNITS", "metric")]).contains("N·m"));
    let option = [&["--units", "inch"], &asked[..]].concat();
    assert!(of(&option, &[("CLAMPBOOK_UNITS", "metric")]).contains("lb-ft"));
    let sum = ["calc", "M10x1.5", "--k", "0.2", "--clamp", "x"];
    assert_eq!(run(home, &sum, &[]).2, Some(2));
    let edit = ["edit", "lube", "moly", "k=0.13", "source=own test"];
    let who = |set: &[(&str, &str)], more: &[&str]| {
        let (_, said, code) = run(home, &[&edit[..], more].concat(), set);
        assert_eq!(code, Some(0), "{said}");
        let (history, _, _) = run(home, &["edit", "lube", "moly", "--history"], &[]);
        history
    };
    assert!(who(&[], &[]).contains("early shift"));
    let (_, said, code) = run(home, &["book", "set", "units=furlong"], &[]);
    assert!(code == Some(2) && said.contains("furlong"), "{said}");
    let (_, said, code) = run(home, &["book", "set", "unit=metric"], &[]);
    assert!(code == Some(2) && said.contains("did you mean `units`"), "{said}");
    let (info, _, _) = run(home, &["book", "set", "who="], &[]);
    assert!(!info.contains("early shift") && info.contains("inch"), "{info}");
    // A restore, an undo and a rewritten book keep them.
    for command in
        [&["book", "undo", "--yes"][..], &["book", "compact"], &["book", "restore", "--yes"]]
    {
        assert_eq!(run(home, command, &[]).2, Some(0), "{command:?}");
        let (info, _, _) = run(home, &["book", "info"], &[]);
        assert!(info.contains("set units") && info.contains("inch"), "{command:?}: {info}");
    }
    let (json, _, _) = run(home, &["--format", "json", "book", "info"], &[]);
    let json: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!(json["set_units"], "inch");
}

/// The settings are in a backup too.
#[test]
fn a_restore_looks_whether_it_can_before_it_asks() {
    let home = tempfile::tempdir().expect("a folder");
    let home = home.path();
    run(home, &["book", "set", "units=inch"], &[]);
    let missing = run(home, &["book", "restore", "missing.jsonl"], &[]);
    assert!(missing.2 == Some(4) && missing.1.contains("missing.jsonl"), "{}", missing.1);
    assert!(!missing.1.contains("Nobody"), "it did not ask: {}", missing.1);
    let other = home.join("other.txt");
    std::fs::write(&other, "a shopping list\n").expect("a file");
    let other = run(home, &["book", "restore", other.to_str().expect("a path")], &[]);
    assert!(other.2 == Some(4) && !other.1.contains("Nobody"), "{}", other.1);
    let file = home.join("whole.jsonl");
    let file = file.to_str().expect("a path");
    assert_eq!(run(home, &["book", "backup", file], &[]).2, Some(0));
    let asked = run(home, &["book", "restore", file], &[]);
    assert!(asked.2 == Some(2) && asked.1.contains("210 fasteners"), "{}", asked.1);
    assert!(asked.1.contains("--yes"), "{}", asked.1);
    let done = run(home, &["book", "restore", file, "--yes"], &[]);
    assert_eq!(done.2, Some(0), "{}", done.1);
    assert!(run(home, &["book", "info"], &[]).0.contains("inch"));
}

#[test]
#[cfg(target_os = "linux")]
fn enter_is_no() {
    if !is_installed() {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    run(home.path(), &["book", "backup", "whole.jsonl"], &[]);
    let file = home.path().join("whole.jsonl");
    run(home.path(), &["book", "backup", file.to_str().expect("a path")], &[]);
    let mut terminal = Terminal::open(home.path(), "book restore whole.jsonl", &[]);
    terminal.wait("(y, Enter is no)");
    terminal.keys("\r");
    let (code, shown) = terminal.end();
    assert!(code == Some(1) && shown.contains("nothing was changed"), "{shown}");
}

/// Each page is read by `man` without a warning.
#[test]
#[cfg(target_os = "linux")]
fn the_manual_has_a_page_of_each_command() {
    let home = tempfile::tempdir().expect("a folder");
    let dir = home.path().join("man1");
    let (_, said, code) = run(home.path(), &["man", "--dir", dir.to_str().expect("a path")], &[]);
    assert_eq!(code, Some(0), "{said}");
    let whole = std::fs::read_to_string(dir.join("clampbook.1")).expect("the page");
    for section in ["QUESTIONS", "EXAMPLES", "EXIT STATUS", "ENVIRONMENT", "FILES", "SAFETY"] {
        assert!(
            whole.contains(&format!(".SH \"{section}\""))
                || whole.contains(&format!(".SH {section}")),
            "{section}"
        );
    }
    let pages: Vec<_> = std::fs::read_dir(&dir).expect("the pages").flatten().collect();
    assert!(pages.len() > 35, "{}", pages.len());
    if !has("man") {
        return;
    }
    for page in pages {
        let read = Command::new("man")
            .args(["--warnings=w", "-l"])
            .arg(page.path())
            .env("MANPAGER", "cat")
            .env("LC_ALL", "C.UTF-8")
            .output()
            .expect("man");
        let warned = String::from_utf8_lossy(&read.stderr).into_owned();
        assert!(read.status.success() && warned.is_empty(), "{:?}: {warned}", page.path());
        let text = String::from_utf8_lossy(&read.stdout).into_owned();
        assert!(text.contains("SAFETY") && text.contains("Maker's current sheet"), "{text}");
    }
}

/// On a terminal the manual is a page, not its source.
#[test]
#[cfg(target_os = "linux")]
fn the_manual_is_shown_as_a_page() {
    if !is_installed() || !has("man") {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    let (code, shown) = window(home.path(), "man", &[("MANPAGER", "cat")]).end();
    assert!(code == Some(0) && shown.contains("current sheet governs"), "{shown}");
    assert!(!shown.contains(".SH"), "{shown}");
}

/// A command that takes longer than a second says what it does: here it waits for
/// whoever reads its pipe.
#[test]
#[cfg(target_os = "linux")]
fn a_long_command_says_what_it_does_on_a_terminal() {
    if !is_installed() {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    run(home.path(), &["book", "info"], &[]);
    let pipe = home.path().join("pipe");
    assert!(Command::new("mkfifo").arg(&pipe).status().expect("mkfifo").success());
    let (go, wait) = std::sync::mpsc::channel::<()>();
    let reader = std::thread::spawn(move || {
        let mut file = std::fs::File::open(&pipe).expect("the pipe");
        wait.recv().expect("a sign");
        let mut text = String::new();
        std::io::Read::read_to_string(&mut file, &mut text).expect("the backup");
        text
    });
    let mut terminal = Terminal::open(home.path(), "book backup pipe", &[]);
    terminal.wait("writing the backup");
    go.send(()).expect("a reader");
    assert!(reader.join().expect("a reader").contains("clampbook_backup"));
    let (code, shown) = terminal.end();
    assert!(code == Some(0) && shown.contains("210 fasteners"), "{shown}");
    // Nothing of it where nobody looks.
    let (_, said, _) = run(home.path(), &["book", "backup", "file.jsonl"], &[]);
    assert!(!said.contains("writing"), "{said}");
}

/// Those that wait for whoever holds the book say so too, and so does an export to a
/// pipe that nobody reads yet.
#[test]
#[cfg(target_os = "linux")]
fn each_long_command_has_a_bar() {
    if !is_installed() {
        return;
    }
    let home = crate::program::demo_shop();
    run(home.path(), &["book", "backup", "whole.jsonl"], &[]);
    run(home.path(), &["log", "start", "24-017"], &[]);
    // Whoever is asked holds the book.
    for (command, doing) in [
        ("book verify", "verifying"),
        ("book compact", "compacting"),
        ("book restore whole.jsonl --yes", "restoring"),
    ] {
        let mut holds = Terminal::open(home.path(), "log add suction flange oil --done", &[]);
        holds.wait("wrench");
        let mut waits = Terminal::open(home.path(), command, &[]);
        waits.wait(doing);
        holds.keys(crate::terminal::CTRL_C);
        assert_eq!(holds.end().0, Some(130));
        let (code, shown) = waits.end();
        assert_eq!(code, Some(0), "{shown}");
    }
    let pipe = home.path().join("pipe");
    assert!(Command::new("mkfifo").arg(&pipe).status().expect("mkfifo").success());
    let (go, wait) = std::sync::mpsc::channel::<()>();
    let reader = std::thread::spawn(move || {
        let mut file = std::fs::File::open(&pipe).expect("the pipe");
        wait.recv().expect("a sign");
        std::io::copy(&mut file, &mut std::io::sink()).expect("the export")
    });
    let mut terminal = Terminal::open(home.path(), "export --as jsonl --file pipe", &[]);
    terminal.wait("exporting");
    go.send(()).expect("a reader");
    assert!(reader.join().expect("a reader") > 0);
    assert_eq!(terminal.end().0, Some(0));
}

/// The book grows until its check is long enough for a bar.
#[test]
fn a_check_has_a_bar() {
    if !is_installed() {
        return;
    }
    let home = tempfile::tempdir().expect("a folder");
    let mut rows = 6_000;
    loop {
        let line = |row: usize| {
            let (joint, torque) = (row / 8, 40 + row % 7);
            format!("Marlow 6,joint {joint},bolt {row},M10x1.5,oil,{torque} N.m\n")
        };
        let text: String = (0..rows).map(line).collect();
        let headed = format!("Assembly,Joint,Part,Thread,Lube,Torque\n{text}");
        std::fs::write(home.path().join("long.csv"), headed).expect("a file");
        run(home.path(), &["import", "long.csv"], &[]);
        let mut terminal = Terminal::open(home.path(), "check --no-pager", &[]);
        if terminal.first(&["checking", "findings"]) == "checking" {
            assert_eq!(terminal.end().0, Some(1));
            return;
        }
        rows *= 2;
    }
}

/// Torques, clamps, lengths and limits of every line are in the units asked for; a
/// thread, a tool's size and the fitter's own words stand as they are.
#[test]
fn the_units_asked_for_reach_every_figure() {
    let home = tempfile::tempdir().expect("a folder");
    let metric = ["--demo", "--units", "metric"];
    for asked in [
        &["find", "assembly \"Marlow 6\""][..],
        &["passes", "joint head, oil"],
        &["passes", "70lb-ft", "--steps", "3"],
        &["sheet", "-o", "-", "joint head"],
    ] {
        let (shown, said, _) = run(home.path(), &[&metric[..], asked].concat(), &[]);
        let inch = |line: &&str| {
            let words = ["lb-ft", "lb-in", " lbf", " ksi", "free length 2"];
            // The shop's own note, a refusal that quotes the sheet, and rules with both units.
            let is_own = ["note:", "Note:", "NO ", "current values", "one pull: under"]
                .iter()
                .any(|word| line.contains(word));
            words.iter().any(|word| line.contains(word)) && !is_own && !line.contains("240")
        };
        let left: Vec<&str> = shown.lines().filter(inch).collect();
        assert!(shown.contains("N·m") && left.is_empty(), "{asked:?}: {left:#?}{said}");
    }
}

//! A first word that is no command leads to the line that was meant, ready to copy.

use std::path::Path;
use std::process::Command;

fn run(home: &Path, arguments: &[&str]) -> (String, Option<i32>) {
    let output = Command::new(env!("CARGO_BIN_EXE_clampbook"))
        .args(arguments)
        .env("HOME", home)
        .env("XDG_DATA_HOME", home.join("data"))
        .env_remove("CLAMPBOOK_DIR")
        .output()
        .expect("the program");
    (String::from_utf8_lossy(&output.stderr).into_owned(), output.status.code())
}

#[test]
fn an_unknown_word_leads_to_the_line_that_was_meant() {
    let home = tempfile::tempdir().expect("a folder");
    let lines: [(&[&str], &str); 19] = [
        (&["7/16-20"], "clampbook find 7/16-20"),
        (&["head", "bolts"], "clampbook find head bolts"),
        (&["search", "x"], "clampbook find x"),
        (&["--demo", "assembly", "Marlow 6"], "clampbook --demo find assembly \"Marlow 6\""),
        (&["torque", "over", "$60"], "clampbook find torque over '$60'"),
        (
            &["delete", "marlow-6-head-bolt-short"],
            "clampbook edit marlow-6-head-bolt-short --remove",
        ),
        (&["rm"], "clampbook edit KEY --remove"),
        (&["undo"], "clampbook book undo"),
        (&["fnd", "7/16-20"], "clampbook find 7/16-20"),
        (&["strengths"], "clampbook list strengths"),
        (&["verify"], "clampbook book verify"),
        (&["stretch", "M10x1.5"], "clampbook calc stretch M10x1.5"),
        (&["log", "since", "2026-05-01"], "clampbook log show --since 2026-05-01"),
        (&["--demo", "log", "list"], "clampbook --demo log show"),
        (&["log", "find", "M10"], "clampbook log show M10"),
        (&["log", "flange"], "clampbook log show flange"),
        (&["log", "bolt"], "clampbook log bolts"),
        // A value of an option is no option.
        (&["find", "M8", "--csv"], "clampbook find M8 --format csv"),
        (&["--json", "list", "lubes"], "clampbook --format json list lubes"),
    ];
    for (typed, wanted) in lines {
        let (said, code) = run(home.path(), typed);
        assert_eq!(code, Some(2), "{said}");
        assert!(said.lines().any(|line| line.trim() == wanted), "{typed:?}: {said}");
    }
    let (said, _) = run(home.path(), &["book", "show"]);
    assert!(said.contains("`show` is no command of book; there are info, set,"), "{said}");
    assert!(!home.path().join("data").exists(), "asking makes no book");
}

#[test]
fn two_books_at_once_are_refused_and_the_demo_is_never_written() {
    let home = tempfile::tempdir().expect("a folder");
    let book = home.path().join("own");
    let named = book.to_str().expect("a path");
    for both in [
        vec!["--demo", "--book", named, "find", "head"],
        vec!["--demo", "find", "head", "--book", named],
        vec!["book", "verify", "--demo", "--book", named],
    ] {
        let (said, code) = run(home.path(), &both);
        assert!(code == Some(2) && said.contains("two books"), "{both:?}: {said}");
    }
    for write in [
        vec!["--demo", "book", "restore", "--yes"],
        vec!["--demo", "book", "compact"],
        vec!["--demo", "find", "--save", "heads", "head"],
        vec!["--demo", "add", "assembly=A", "joint=b", "part=c"],
    ] {
        let (said, code) = run(home.path(), &write);
        assert!(code == Some(2) && said.contains("thrown away"), "{write:?}: {said}");
    }
    assert!(!home.path().join("data").exists() && !book.exists());
}

#[test]
fn the_first_run_says_what_it_made_and_what_comes_next() {
    let home = tempfile::tempdir().expect("a folder");
    let (said, _) = run(home.path(), &["find", "M10"]);
    assert!(said.contains("made a book at ~/data/clampbook with"), "{said}");
    assert!(said.contains("clampbook import") && said.contains("clampbook tour"), "{said}");
    let (said, _) = run(home.path(), &["find", "M10"]);
    assert!(!said.contains("made a book"), "{said}");
    let quiet = tempfile::tempdir().expect("a folder");
    let (said, _) = run(quiet.path(), &["-q", "list", "lubes"]);
    assert_eq!(said, "");
}

#[test]
fn what_is_asked_in_everyday_words_is_answered_in_them() {
    let home = tempfile::tempdir().expect("a folder");
    let home = home.path();
    let lines: [(&[&str], i32, &str); 7] = [
        (&["add", "thread=M8", "lube=oil"], 2, "missing: assembly=…, joint=…, part=…"),
        (&["log", "show", "--since", "yesterday"], 1, "the log is empty"),
        (&["log", "show", "--since", "lately"], 2, "write 2026-05-04, today or yesterday"),
        (&["calc", "M10x1.5", "--k", "0,2", "--torque", "60Nm"], 2, "decimal point, 0.2"),
        (&["calc", "M10x1.5", "--k", "0.2", "--torque", "60,5 Nm"], 2, "decimal point, 60.5 Nm"),
        (&["edit", "a", "--remove", "count=5", "--yes"], 2, "count= and --remove are two things"),
        (&["edit", "wrench", "W2", "--history", "due="], 2, "due= and --history are two things"),
    ];
    for (typed, wanted, words) in lines {
        let (said, code) = run(home, typed);
        assert!(code == Some(wanted) && said.contains(words), "{typed:?}: {code:?} {said}");
    }
}

/// The caret stands under its word, however long the line and narrow the screen.
#[test]
fn a_caret_is_seen_under_a_question_longer_than_the_line() {
    let home = tempfile::tempdir().expect("a folder");
    let many = "and torque over 3 N.m ".repeat(30);
    let question = format!("joint head {many}and torqe over 3 N.m {many}");
    for columns in ["40", "60", "100"] {
        let output = Command::new(env!("CARGO_BIN_EXE_clampbook"))
            .args(["--demo", "find", &question])
            .env("HOME", home.path())
            .env("COLUMNS", columns)
            .output()
            .expect("the program");
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        let width: usize = columns.parse().expect("a number");
        let carets = said.lines().find(|line| line.contains("^^^^^")).expect(&said);
        let line = said.lines().find(|line| line.contains("torqe over")).expect(&said);
        assert_eq!(carets.find('^'), line.find("torqe"), "{said}");
        assert!(carets.chars().count() <= width.max(60), "{said}");
    }
}

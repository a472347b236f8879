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
    let lines: [(&[&str], &str); 12] = [
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
    ];
    for (typed, wanted) in lines {
        let (said, code) = run(home.path(), typed);
        assert_eq!(code, Some(2), "{said}");
        assert!(said.lines().any(|line| line.trim() == wanted), "{typed:?}: {said}");
    }
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
        vec!["--demo", "add", "assembly=A"],
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
    assert!(said.contains("clampbook import") && said.contains("clampbook --demo"), "{said}");
    let (said, _) = run(home.path(), &["find", "M10"]);
    assert!(!said.contains("made a book"), "{said}");
    let quiet = tempfile::tempdir().expect("a folder");
    let (said, _) = run(quiet.path(), &["-q", "list", "lubes"]);
    assert_eq!(said, "");
}

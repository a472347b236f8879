//! Wrong questions with the message that each gets: a file each, the question
//! on its first line, the message after a blank one. Every kind of error that
//! a question can have stands in the folder.
//!
//! `CLAMPBOOK_BLESS=1 cargo test --test language diagnostics` rewrites the messages after
//! a change that was meant; read the difference before committing it.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use crate::program::run;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// The files of the folder with their text, in the order of their names.
fn files() -> Vec<(PathBuf, String)> {
    let folder = fs::read_dir(root().join("tests/language/diagnostics")).expect("the folder");
    let mut paths: Vec<PathBuf> = folder.map(|entry| entry.expect("an entry").path()).collect();
    paths.sort();
    let read = |path: PathBuf| {
        let text = fs::read_to_string(&path).expect("a file");
        (path, text)
    };
    paths.into_iter().map(read).collect()
}

/// What `question` is told.
fn told(home: &Path, question: &str) -> String {
    let (_, text, code) = run(home, &["--quiet", "find", "--", question]);
    assert_eq!(code, Some(2), "{question}");
    text.lines().fold(String::new(), |text, line| text + line.trim_end() + "\n")
}

#[test]
fn each_wrong_question_is_told_what_its_file_says() {
    let home = tempfile::tempdir().expect("a folder");
    let mut differ = Vec::new();
    for (path, text) in files() {
        let question = text.lines().next().unwrap_or_default();
        let now = format!("{question}\n\n{}", told(home.path(), question));
        if std::env::var_os("CLAMPBOOK_BLESS").is_some() {
            fs::write(&path, &now).expect("the file");
        } else if now != text {
            differ.push(format!("{}\n{now}", path.display()));
        }
    }
    assert!(differ.is_empty(), "{}", differ.join("\n"));
}

/// The codes in a source file: the text after each of `before`.
fn codes(file: &str, before: &[&str]) -> BTreeSet<String> {
    let source = fs::read_to_string(root().join(file)).expect("the source");
    let quoted = |piece: &str| {
        let rest = piece.trim_start().strip_prefix('"')?;
        rest.split_once('"').map(|(code, _)| code.to_owned())
    };
    let after = before.iter().flat_map(|before| source.split(before).skip(1));
    let codes: BTreeSet<String> = after.filter_map(quoted).collect();
    assert!(codes.len() > 5, "the codes of {file} were not found");
    codes
}

#[test]
fn every_kind_of_error_has_a_file() {
    let mut wanted = codes("src/query/syntax/error.rs", &["words("]);
    wanted.extend(codes("src/query/resolve/message.rs", &["Diagnostic::new("]));
    wanted.extend(codes("src/query/ear/refuse.rs", &["Diagnostic::new(", "],"]));
    let files = files();
    let shown = |code: &String| {
        let head = format!("error[{code}]: ");
        files.iter().any(|(_, text)| text.contains(&head))
    };
    let missing: Vec<&String> = wanted.iter().filter(|code| !shown(code)).collect();
    assert!(missing.is_empty(), "no wrong question shows {missing:?}");
}

/// The place, what was read or expected there, and one hint.
#[test]
fn every_message_has_its_place_its_expectation_and_one_hint() {
    for (path, text) in files() {
        let of = |what: &str| text.matches(what).count();
        assert_eq!(of("\n  = help: "), 1, "{}", path.display());
        assert_eq!(of("--> question:1:"), 1, "{}", path.display());
        assert!(of("^ expected ") == 1 || of("^ too long from here on") == 1, "{}", path.display());
    }
}

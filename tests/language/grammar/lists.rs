//! Check 6: the hand lists, judged by both sides.

use clampbook::query::syntax::{LONGEST, parse};
use clampbook::record::field_words;

use super::judge::{Verdict, of_files, of_reader, program};
use super::oracle::Oracle;

fn lines(name: &str) -> Vec<String> {
    let path = std::path::PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("grammar").join(name);
    let text = std::fs::read_to_string(path).unwrap();
    let kept = text.lines().filter(|line| !line.starts_with("# ") && !line.is_empty());
    kept.map(str::to_owned).collect()
}

/// The questions of `accept.txt`.
pub(crate) fn accepted() -> Vec<String> {
    lines("accept.txt")
}

/// The questions of `reject.txt`, each after its code.
pub(crate) fn rejected() -> Vec<(String, String)> {
    lines("reject.txt")
        .iter()
        .map(|line| {
            let (code, question) = line.split_once(" | ").unwrap_or_else(|| panic!("{line:?}"));
            (code.to_owned(), question.to_owned())
        })
        .collect()
}

#[test]
fn accepted_questions() {
    let oracle = Oracle::load();
    for question in accepted() {
        let tree =
            parse(&question, field_words()).map_err(|error| format!("{question:?}: {error}"));
        let printed = tree.as_ref().unwrap().to_string();
        assert_eq!(parse(&printed, field_words()).as_ref(), Ok(&tree.unwrap()), "{printed:?}");
        assert_ne!(of_files(&oracle, &question), Verdict::Refused, "{question:?}");
    }
}

#[test]
fn rejected_questions() {
    let oracle = Oracle::load();
    for (code, question) in rejected() {
        let error = parse(&question, field_words()).expect_err(&question);
        assert_eq!(error.diagnostic().code, code, "{question:?}");
        if of_reader(&program, &question) == Verdict::Refused {
            assert_eq!(of_files(&oracle, &question), Verdict::Refused, "{question:?}");
        }
    }
}

/// Every kind of error has a line in `reject.txt`, but for the one that needs
/// a question longer than a line.
#[test]
fn every_code_is_in_the_list() {
    let source = include_str!("../../../src/query/syntax/error.rs");
    let codes = source.split("words(").skip(1).filter_map(|row| {
        row.trim_start().strip_prefix('"')?.split_once('"').map(|(code, _)| code)
    });
    let listed: Vec<String> = rejected().into_iter().map(|row| row.0).collect();
    let mut count = 0;
    for code in codes {
        count += 1;
        assert!(code == "question-too-long" || listed.iter().any(|known| known == code), "{code}");
    }
    assert!(count > 15, "{count}");
}

#[test]
fn a_question_has_at_most_so_many_bytes() {
    let longest = "oil ".repeat(LONGEST / 4);
    assert!(program(&longest).is_ok());
    let error = program(&format!("{longest}x")).expect_err("one byte too long");
    assert_eq!(error.diagnostic().code, "question-too-long");
    let wide = "é".repeat(LONGEST);
    let place = program(&wide).expect_err("twice as long").span;
    assert!(wide.is_char_boundary(place.start) && place.end == wide.len());
}

//! Questions kept in the book under a name: saved, answered, listed, deleted.

use std::path::Path;

use crate::program::{self, demo_shop};

/// What a command wrote, and its exit code.
struct Ran {
    out: String,
    err: String,
    code: Option<i32>,
}

/// Runs `arguments` on the book in `home`.
fn run(home: &Path, arguments: &[&str]) -> Ran {
    let (out, err, code) = program::run(home, arguments);
    Ran { out, err, code }
}

#[test]
fn a_saved_question_is_answered_as_if_typed() {
    let shop = demo_shop();
    let typed = run(shop.path(), &["find", "head,", "moly", "or", "oil"]);
    let saving = run(shop.path(), &["find", "--save", "Heads", "head,", "moly", "or", "oil"]);
    assert_eq!((saving.code, &saving.out), (Some(0), &typed.out), "{}", saving.err);
    assert_eq!(saving.err, "saved as `Heads`\n");
    for name in ["Heads", "heads", " HEADS "] {
        let saved = run(shop.path(), &["find", "--saved", name]);
        assert_eq!((saved.code, &saved.out), (Some(0), &typed.out), "{}", saved.err);
    }
}

#[test]
fn a_name_of_several_words_keeps_its_quoted_argument() {
    let shop = demo_shop();
    run(shop.path(), &["find", "--save", "pan bolts", "assembly", "Marlow 6,", "oil pan"]);
    let listed = run(shop.path(), &["--format", "json", "list", "questions"]);
    let json: serde_json::Value = serde_json::from_str(&listed.out).expect("JSON");
    assert_eq!(json["questions"][0]["name"], "pan bolts");
    let typed = run(shop.path(), &["find", "assembly", "Marlow 6,", "oil pan"]);
    let saved = run(shop.path(), &["find", "--saved", "pan bolts"]);
    assert_eq!((saved.code, saved.out), (typed.code, typed.out), "{}", listed.out);
}

#[test]
fn a_second_question_of_that_name_replaces_the_first_and_says_so() {
    let shop = demo_shop();
    run(shop.path(), &["find", "--save", "small", "M8"]);
    let again = run(shop.path(), &["find", "--save", "SMALL", "M6"]);
    assert_eq!(again.err, "saved as `SMALL` in place of: M8\n");
    let listed = run(shop.path(), &["list", "questions"]);
    assert_eq!(listed.out.lines().count(), 2, "{}", listed.out);
    assert!(listed.out.contains("small") && listed.out.contains("M6"), "{}", listed.out);
}

#[test]
fn a_question_that_does_not_read_or_resolve_is_not_saved() {
    let shop = demo_shop();
    for question in ["torque over 60", "lube molly", "head or"] {
        let ran = run(shop.path(), &["find", "--save", "bad", question]);
        assert_eq!(ran.code, Some(2), "{question}: {}", ran.err);
    }
    let listed = run(shop.path(), &["list", "questions"]);
    assert_eq!((listed.code, listed.out.as_str()), (Some(1), ""));
    assert!(listed.err.contains("find --save NAME QUESTION"), "{}", listed.err);
}

#[test]
fn an_unknown_name_is_answered_with_the_nearest() {
    let shop = demo_shop();
    let none = run(shop.path(), &["find", "--saved", "heads"]);
    assert_eq!((none.code, none.out.as_str()), (Some(1), ""));
    assert!(none.err.contains("none is saved yet"), "{}", none.err);
    run(shop.path(), &["find", "--save", "heads", "head"]);
    let near = run(shop.path(), &["find", "--saved", "haeds"]);
    assert_eq!(near.code, Some(1));
    assert!(near.err.contains("did you mean `heads`?"), "{}", near.err);
}

#[test]
fn a_deleted_question_is_gone() {
    let shop = demo_shop();
    run(shop.path(), &["find", "--save", "heads", "head"]);
    run(shop.path(), &["find", "--save", "pan", "oil pan"]);
    let deleted = run(shop.path(), &["list", "questions", "--delete", "Heads"]);
    assert_eq!((deleted.code, deleted.err.as_str()), (Some(0), "deleted `heads`: head\n"));
    let listed = run(shop.path(), &["list", "questions"]);
    assert!(listed.out.contains("pan") && !listed.out.contains("heads"), "{}", listed.out);
    assert_eq!(run(shop.path(), &["list", "questions", "--delete", "heads"]).code, Some(1));
    assert_eq!(run(shop.path(), &["list", "lubes", "--delete", "oil"]).code, Some(2));
}

#[test]
fn saving_needs_a_book_that_lasts_and_a_name() {
    let shop = demo_shop();
    let demo = run(shop.path(), &["--demo", "find", "--save", "heads", "head"]);
    assert_eq!(demo.code, Some(2));
    assert!(demo.err.contains("the demo book is thrown away"), "{}", demo.err);
    let unnamed = run(shop.path(), &["find", "--save", " ", "head"]);
    assert_eq!(unnamed.code, Some(2));
    assert!(unnamed.err.contains("--save needs a name"), "{}", unnamed.err);
    assert_eq!(run(shop.path(), &["find", "--saved", "heads", "head"]).code, Some(2));
    assert_eq!(run(shop.path(), &["find"]).code, Some(2));
}

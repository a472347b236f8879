//! Texts of any kind: the program answers each with a tree that prints and
//! parses alike, or with an error whose place is in the text.

use clampbook::query::syntax::{join_arguments, parse, read_quoted, tokens};
use clampbook::record::field_words;
use rand::rngs::StdRng;
use rand::{Rng, SeedableRng};

use crate::edits::{one_character, one_token};
use crate::lists::{accepted, rejected};
use crate::samples::any;

/// How many texts, if `CLAMPBOOK_FUZZ` does not say.
const COUNT: u64 = 200_000;

/// A text to change further: a known question, samples, or anything.
fn text(list: &[String], chance: &mut StdRng) -> String {
    match chance.random_range(0..4) {
        0 => {
            let length = chance.random_range(0..12);
            (0..length).map(|_| any(chance)).collect::<Vec<_>>().join(" ")
        }
        1 => {
            let length = chance.random_range(0..24);
            (0..length).map(|_| anything(chance)).collect()
        }
        _ => list[chance.random_range(0..list.len())].clone(),
    }
}

/// A character, those of the language more often than others.
fn anything(chance: &mut StdRng) -> char {
    const OFTEN: &[u8] = b" .,()\"-+*/<>=!0123456789xXmMnNkKlbftinGgRrUu#%'";
    match chance.random_range(0..4) {
        0 => char::from_u32(chance.random_range(0..0x11_0000)).unwrap_or('\u{fffd}'),
        _ => char::from(OFTEN[chance.random_range(0..OFTEN.len())]),
    }
}

fn check(text: &str) -> bool {
    match parse(text, field_words()) {
        Ok(tree) => {
            let printed = tree.to_string();
            assert_eq!(
                parse(&printed, field_words()).as_ref(),
                Ok(&tree),
                "{text:?} → {printed:?}"
            );
            tree.readings().iter().for_each(|line| assert!(line.starts_with("read as ")));
            true
        }
        Err(error) => {
            let diagnostic = error.diagnostic();
            let place = diagnostic.span;
            assert!(text.get(place.start..place.end).is_some(), "{text:?}: {place:?}");
            assert!(!diagnostic.message.is_empty() && !diagnostic.label.is_empty(), "{text:?}");
            false
        }
    }
}

#[test]
fn any_text_gets_an_answer() {
    let count = std::env::var("CLAMPBOOK_FUZZ").map_or(COUNT, |count| count.parse().unwrap());
    let list: Vec<String> =
        accepted().into_iter().chain(rejected().into_iter().map(|row| row.1)).collect();
    let mut understood = 0_u64;
    for seed in 0..count {
        let mut chance = StdRng::seed_from_u64(seed);
        let mut text = text(&list, &mut chance);
        for _ in 0..chance.random_range(0..3) {
            text = match seed % 2 {
                0 => one_character(&text, &mut chance),
                _ => one_token(&text.split(' ').collect::<Vec<_>>(), &mut chance),
            };
        }
        understood += u64::from(check(&text));
        if seed % 16 == 0 {
            let _ = tokens(&text, &[]);
            let _ = read_quoted(&text);
            let arguments: Vec<&str> = text.split(' ').collect();
            check(&join_arguments(&[&text, arguments[0]]));
        }
    }
    // Neither side of the check may starve.
    assert!(understood * 10 > count && understood * 10 < count * 9, "{understood} of {count}");
}

/// Parentheses, joints and operators without end: refused or read, never deep.
#[test]
fn long_texts_are_read_flat() {
    // Half of what is allowed, because a sign may be printed as a longer word.
    let repeated = |unit: &str| unit.repeat(4000 / unit.len());
    for unit in
        ["(", ")", "((a) ", "a or ", "a, ", "1 + ", "torque over ", "not ", "\"", "x ", "M10 "]
    {
        check(&repeated(unit));
    }
    assert!(check(&format!("{}1 > 2", repeated("1 + "))));
    assert!(check(&format!("{}head", repeated("head or "))));
    assert!(check(&format!("show {}torque", repeated("torque / "))));
    let deep = |levels: usize| format!("{}head{}", "(".repeat(levels), ")".repeat(levels));
    assert!(check(&deep(32)));
    let error = parse(&deep(33), field_words()).expect_err("one level too many");
    assert_eq!((error.code(), error.span.start), ("nested-too-deep", 32));
}

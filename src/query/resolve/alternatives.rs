//! Neighbours that are alternatives: `class 10.9, 12.9`, `oil moly`, `brake, wheel or
//! lifting`.

use crate::query::resolve::Test;
use crate::record::{FieldKind, NameOf};

/// What neighbours have to be to be alternatives and not both wanted: no
/// setting has two lubes, no fastener two strengths.
#[derive(PartialEq, Eq)]
pub(super) enum Sort {
    Lube,
    Strength,
    Thread,
    /// The word of a closed list; by a comma only, since `stud bolt` is one thing.
    Choice(&'static str),
}

pub(super) fn are_of_one_sort(tests: &[Test]) -> bool {
    let first = tests.first().and_then(sort_of);
    first.is_some() && tests.iter().all(|test| sort_of(test) == first)
}

pub(super) fn sort_of(test: &Test) -> Option<Sort> {
    match test {
        // A fastener may be listed for several.
        Test::Named(field, _) if field.kind == FieldKind::List => None,
        Test::Bare(name) | Test::Named(_, name) => match name.what {
            NameOf::Lube => Some(Sort::Lube),
            NameOf::Strength => Some(Sort::Strength),
            _ => None,
        },
        Test::Thread(_) => Some(Sort::Thread),
        Test::Choice(field, _) => Some(Sort::Choice(field.name)),
        Test::Any(tests) => sort_of(tests.first()?),
        _ => None,
    }
}

pub(super) fn first_of(test: &Test) -> &Test {
    match test {
        Test::All(tests) => &tests[0],
        one => one,
    }
}

pub(super) fn last_of(test: &mut Test) -> &mut Test {
    match test {
        Test::All(tests) => tests.last_mut().expect("a filter tests something"),
        one => one,
    }
}

/// Takes the first test out of `test`, which may be left empty.
pub(super) fn take_first(test: &mut Test) -> Test {
    match test {
        Test::All(tests) if !tests.is_empty() => {
            let first = tests.remove(0);
            if tests.len() == 1 {
                *test = tests.remove(0);
            }
            first
        }
        one => std::mem::replace(one, Test::All(Vec::new())),
    }
}

pub(super) fn add_alternative(test: &mut Test, other: Test) {
    // The word of a closed list and the same in the text stay together.
    let is_word = |tests: &[Test]| matches!(tests, [Test::Choice(..), Test::Says(..)]);
    let others = match other {
        Test::Any(tests) if !is_word(&tests) => tests,
        one => vec![one],
    };
    match test {
        Test::Any(tests) if !is_word(tests) => tests.extend(others),
        one => {
            let first = std::mem::replace(one, Test::All(Vec::new()));
            *one = Test::Any(std::iter::once(first).chain(others).collect());
        }
    }
}

pub(super) fn are_alternatives(one: &Test, other: &Test) -> bool {
    let is_close = |sort: &Sort| !matches!(sort, Sort::Choice(_));
    sort_of(one).filter(is_close).is_some_and(|sort| Some(sort) == sort_of(other))
}

/// What parts beside commas were read as, where a closed list has the words: `brake,
/// wheel or lifting`. `parts` is how many there were.
pub(super) fn joined(filter: &Test, parts: usize) -> Option<String> {
    let tests = match filter {
        Test::All(tests) => tests.as_slice(),
        one => std::slice::from_ref(one),
    };
    let word = |test: &Test| match test {
        Test::Choice(_, word) => Some(*word),
        Test::Any(tests) => match tests.as_slice() {
            [Test::Choice(_, word), Test::Says(..)] => Some(*word),
            _ => None,
        },
        _ => None,
    };
    let list = tests.iter().filter(|_| tests.len() < parts).find_map(|test| match test {
        Test::Any(each) => each.iter().map(word).collect::<Option<Vec<_>>>(),
        _ => None,
    })?;
    Some(format!("read as {}", list.join(" or ")))
}

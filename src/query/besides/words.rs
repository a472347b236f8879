//! A test written as it is asked, for what an answer offers: each form that is
//! printed can be typed.

use crate::query::ear;
use crate::query::resolve::{Name, Question, Test, field_of};
use crate::query::syntax::{Relation, quote, reserved};
use crate::record::NameOf;

/// Whether the alternatives are those of one word: what it names, or the text.
pub(super) fn is_one_word(tests: &[Test]) -> bool {
    let Some((Test::Says(field, _), others)) = tests.split_last() else { return false };
    let is_meant = |test: &Test| matches!(test, Test::Choice(..) | Test::Flag(_) | Test::Named(..));
    field.name == "text" && !others.is_empty() && others.iter().all(is_meant)
}

/// Whether they are what `torque` alone asks for.
pub(super) fn is_stated(tests: &[Test]) -> bool {
    matches!(tests, [Test::Stated(field), Test::Stated(_), ..] if field.name == "torque")
}

/// What must hold, one by one.
pub(super) fn parts(filter: &Test) -> Vec<&Test> {
    match filter {
        Test::All(tests) => tests.iter().flat_map(parts).collect(),
        one => vec![one],
    }
}

/// A part of a question as it is asked.
pub(super) fn words(test: &Test) -> String {
    let list = |tests: &[Test], by: &str| tests.iter().map(part).collect::<Vec<_>>().join(by);
    match test {
        Test::Thread(pattern) => pattern.to_string(),
        Test::ThreadIn(field, pattern) => format!("{} {pattern}", field.name),
        Test::Named(field, name) => format!("{} {}", field.name, quoted(&name.name)),
        Test::Bare(name) => bare(name),
        Test::Choice(field, word) | Test::Form(field, word) => format!("{} {word}", field.name),
        Test::HoleOf(material) => format!("hole-material {material}"),
        Test::Says(field, words) => format!("{} {}", field.name, quoted(words)),
        Test::Stated(field) | Test::Flag(field) => field.name.to_owned(),
        Test::None(field) => format!("no {}", field.name),
        Test::Date { field, relation: Relation::Equal, date } => format!("{} {date}", field.name),
        Test::Date { field, relation, date } => {
            format!("{} {} {date}", field.name, relation.spelling())
        }
        Test::DateWithin { field, low, high } => format!("{} {low}..{high}", field.name),
        Test::Not(inner) => match &**inner {
            Test::None(field) => format!("has {}", field.name),
            Test::Stated(field) => format!("lacks {}", field.name),
            inner => format!("not {}", part(inner)),
        },
        Test::Any(tests) if is_stated(tests) => words(&tests[0]),
        Test::Any(tests) if is_one_word(tests) => match tests.last() {
            Some(Test::Says(_, word)) => word.clone(),
            _ => String::new(),
        },
        // After `FIELD value or` a bare word would belong to that field.
        Test::Any(tests) if matches!(tests.as_slice(), [Test::Says(..), _]) => {
            format!("{} or {}", part(&tests[1]), part(&tests[0]))
        }
        Test::Any(tests) => list(tests, " or "),
        // What is asked twice is said once.
        Test::All(_) => {
            let mut each: Vec<String> = Vec::new();
            for one in parts(test).into_iter().map(part) {
                if !each.contains(&one) {
                    each.push(one);
                }
            }
            each.join(", ")
        }
        Test::Compare(compare) => compare.asked.clone(),
        Test::Within { asked, .. } => asked.clone(),
        Test::OneOf(threads) => {
            threads.iter().map(ToString::to_string).collect::<Vec<_>>().join(" or ")
        }
    }
}

/// The same in parentheses where it stands beside others.
fn part(test: &Test) -> String {
    match test {
        Test::Any(tests) if !is_one_word(tests) && !is_stated(tests) => {
            format!("({})", words(test))
        }
        Test::All(_) => format!("({})", words(test)),
        one => words(one),
    }
}

fn bare(name: &Name) -> String {
    let field = field_of(name.what).filter(|_| {
        matches!(name.what, NameOf::Lube | NameOf::Strength) || name.name.contains(',')
    });
    match field {
        Some(field) => format!("{} {}", field.name, quoted(&name.name)),
        None => name.name.clone(),
    }
}

/// `filter` with the clauses of `question`: a whole question, ready to be typed.
pub(super) fn whole(filter: &Test, question: &Question) -> String {
    format!("{} {}", words(filter), question.clauses).trim_end().to_owned()
}

/// `filter` with `other` for its part `part`.
pub(super) fn exchanged(filter: &Test, part: &Test, other: &Test) -> Test {
    let each = parts(filter).into_iter();
    Test::All(each.map(|one| if one == part { other.clone() } else { one.clone() }).collect())
}

/// So many rows, in words.
pub(super) fn rows(count: usize) -> String {
    if count == 1 { "1 row".to_owned() } else { format!("{count} rows") }
}

/// As it is typed after a field: in quotes where it would be heard otherwise.
pub(super) fn quoted(text: &str) -> String {
    let is_plain = |c: char| c.is_alphanumeric() || "-./".contains(c);
    let is_word = text.chars().all(is_plain) && reserved(text).is_none() && !ear::has_word(text);
    if is_word { text.to_owned() } else { quote(text) }
}

/// The kind of fastener that a bare word asks for, `bolts`: stated, or said by the text.
pub(super) fn kind_of(test: &Test) -> Option<&'static str> {
    let Test::Any(either) = test else { return None };
    match either.as_slice() {
        [Test::Choice(field, word), Test::Says(..)] if field.name == "kind" => Some(*word),
        _ => None,
    }
}

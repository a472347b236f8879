//! What a part of the filter did that its rows do not show: a `not` that took
//! nothing away, an alternative that found nothing, a `no` that is stated in some
//! rows and not stated in others.

use crate::query::besides::count;
use crate::query::besides::words::{is_one_word, is_stated, parts, whole, words};
use crate::query::resolve::{Question, Test};
use crate::query::syntax::otherwise;
use crate::record::find_field;
use crate::store::{Book, StoreError};

/// What is to be said of the parts of a filter.
#[derive(Default)]
pub(super) struct Tested {
    /// What did nothing, before the rows.
    pub(super) readings: Vec<String>,
    pub(super) remarks: Vec<String>,
}

/// The remarks on the parts of `question`'s filter, which `matched` stored rows
/// pass.
pub(super) fn remarks(
    question: &Question,
    matched: usize,
    book: &Book,
) -> Result<Tested, StoreError> {
    let Some(filter) = question.filter.as_ref().filter(|_| matched > 0) else {
        return Ok(Tested::default());
    };
    let parts = parts(filter);
    let Tested { mut readings, mut remarks } = Tested::default();
    for (at, &part) in parts.iter().enumerate() {
        let others = parts.iter().enumerate().filter(|(other, _)| *other != at);
        let others: Vec<Test> = others.map(|(_, test)| (*test).clone()).collect();
        let with = |test: &Test| Test::All([&others[..], std::slice::from_ref(test)].concat());
        let found = |test: &Test| -> Result<usize, StoreError> {
            let found = count(&with(test), None, book)?;
            Ok(found.joints + if question.asks_for("basis") { found.charts } else { 0 })
        };
        match part {
            Test::Not(inner) => {
                if !matches!(**inner, Test::Stated(_) | Test::None(_)) && found(inner)? == 0 {
                    readings.push(format!(
                        "`not` took nothing away: nothing here has `{}`",
                        words(inner)
                    ));
                }
                remarks.extend(plated(inner, matched, found(&no_finish(part))?));
                if matches!(&**inner, Test::Stated(field) if field.name == "torque") {
                    let none = with(&no_other_way(part));
                    let form = whole(&none, question);
                    let without = count(&none, None, book)?.joints;
                    readings.extend(otherwise_pulled(without, matched, &form));
                }
            }
            Test::Stated(field) => remarks.extend(not_stated(field.name, found(&not(part))?)),
            Test::Any(tests) if is_stated(tests) => {
                remarks.extend(not_stated("torque, angle or stretch", found(&not(part))?));
            }
            // Of a word that is looked for in two places one is enough.
            Test::Any(tests) if !is_one_word(tests) && !is_word_anywhere(tests) => {
                for test in tests {
                    if found(test)? == 0 {
                        remarks.push(format!("nothing here has `{}`", words(test)));
                    }
                }
            }
            Test::Says(field, word) if field.name == "text" => remarks.extend(in_text(word)),
            Test::None(field) => {
                remarks.extend((field.name == "lube").then(|| OF_DRY.to_owned()));
                let stated = found(&Test::All(vec![part.clone(), Test::Stated(field)]))?;
                remarks.extend(none_or_nothing(field.name, stated, matched));
            }
            _ => {}
        }
    }
    Ok(Tested { readings, remarks })
}

const OF_DRY: &str = "of dry threads write `lube dry`";

/// A word that no name has, and that the book says otherwise.
fn in_text(word: &str) -> Option<String> {
    otherwise(word).map(|other| format!("`{word}` stands in names and notes; {other}"))
}

fn not(test: &Test) -> Test {
    Test::Not(Box::new(test.clone()))
}

/// Nothing that it is pulled to at all: no angle and no stretch either.
fn no_other_way(part: &Test) -> Test {
    let lacks = ["angle", "stretch"].into_iter().filter_map(find_field);
    let lacks = lacks.map(|field| Test::Not(Box::new(Test::Stated(field))));
    Test::All(std::iter::once(part.clone()).chain(lacks).collect())
}

/// A torque that is not stated may be none that is missing.
fn otherwise_pulled(without: usize, matched: usize, form: &str) -> Option<String> {
    let others = matched.saturating_sub(without);
    let have = if others == 1 { "has" } else { "have" };
    let less = match without {
        0 => String::new(),
        rows => format!("; {rows} without: write `{form}`"),
    };
    (others > 0).then(|| format!("{others} of these {have} an angle or a stretch{less}"))
}

/// How many of the rows without it say that there is none, and how many say nothing.
fn none_or_nothing(name: &str, stated: usize, matched: usize) -> Option<String> {
    let not_stated = matched.saturating_sub(stated);
    (stated > 0 && not_stated > 0).then(|| {
        format!("{stated} of them state that there is no {name}, {not_stated} state nothing")
    })
}

/// A field that stands alone takes away what does not state it.
fn not_stated(name: &str, rows: usize) -> Option<String> {
    (rows > 0).then(|| format!("{rows} more state no {name}"))
}

/// Whether the alternatives are the places in which one word is looked for.
fn is_word_anywhere(tests: &[Test]) -> bool {
    let in_field = |test: &Test| match test {
        Test::Says(field, _) => field.name != "text",
        Test::Any(tests) => tests.iter().all(|test| matches!(test, Test::Says(..))),
        _ => false,
    };
    match tests {
        [Test::Says(field, _), _] => field.name != "text",
        [Test::Bare(_), fields @ ..] => !fields.is_empty() && fields.iter().all(in_field),
        _ => false,
    }
}

fn no_finish(part: &Test) -> Test {
    let lacks = find_field("finish").map(|field| Test::Not(Box::new(Test::Stated(field))));
    Test::All(std::iter::once(part.clone()).chain(lacks).collect())
}

/// A finish that is not stated counts as not plated.
fn plated(inner: &Test, matched: usize, without: usize) -> Option<String> {
    let asked = matches!(inner, Test::Flag(field) if field.name == "plated");
    (asked && without > 0).then(|| format!("{without} of the {matched} state no finish"))
}

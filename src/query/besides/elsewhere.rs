//! A question that finds nothing, asked again where its words do stand: a word that no
//! name, tag or note has may be one of the source, of a caution or of any other field of
//! words, and a small word adds nothing.

use crate::query::besides::count;
use crate::query::besides::words::{is_one_word, words};
use crate::query::resolve::{Question, Test};
use crate::record::{FIELDS, Field, FieldKind};
use crate::store::{Access, Book, StoreError};

/// The most fasteners that are read for it. No index serves these fields, and a slip of
/// the keys in a large book must not cost scans of it.
const MOST_READ: usize = 10_000;

/// Words that say nothing about a row.
const SMALL: [&str; 12] =
    ["be", "for", "from", "have", "i", "is", "of", "takes", "that", "there", "to", "what"];

/// `question` with such words read otherwise, if it finds something then.
pub fn meant(question: &Question, book: &Book) -> Result<Option<Question>, StoreError> {
    let Some(filter) = &question.filter else { return Ok(None) };
    if book.estimate(&Access::All) > MOST_READ {
        return Ok(None);
    }
    let fields = FIELDS.iter().filter(|f| matches!(f.kind, FieldKind::Text | FieldKind::List));
    let fields: Vec<&'static Field> = fields.filter(|field| field.name != "key").collect();
    let anywhere = with_words(filter, &mut |word| says(&fields, word));
    let Some(anywhere) = anywhere else { return Ok(None) };
    if count(&anywhere, None, book)?.joints == 0 {
        return Ok(None);
    }
    let mut readings = Vec::new();
    let mut each = Vec::new();
    with_words(filter, &mut |word| {
        each.push(word.to_owned());
        says(&fields, word)
    });
    let mut found = Vec::new();
    for word in &each {
        let mut own = Vec::new();
        for field in fields.iter().filter(|_| !is_small(word)) {
            let one = with_words(filter, &mut |other| {
                says(if other == word { std::slice::from_ref(field) } else { &fields }, other)
            });
            if count(&one.unwrap_or_else(|| filter.clone()), None, book)?.joints > 0 {
                own.push(*field);
            }
        }
        readings.push(match &says(&own, word) {
            Test::All(_) => format!("`{word}` is left out"),
            read => format!("nothing has `{word}` in its names: read as `{}`", words(read)),
        });
        found.push(own);
    }
    let mut found = found.iter();
    let filter =
        with_words(filter, &mut |word| says(found.next().map_or(&[], Vec::as_slice), word));
    readings.extend(question.readings.iter().cloned());
    Ok(Some(Question { filter, readings, ..question.clone() }))
}

fn is_small(word: &str) -> bool {
    SMALL.contains(&word)
}

/// That one of `fields` says `word`; of a small word nothing.
fn says(fields: &[&'static Field], word: &str) -> Test {
    let each = fields.iter().map(|field| Test::Says(field, word.to_owned()));
    let mut each: Vec<Test> = each.collect();
    match each.len() {
        _ if is_small(word) => Test::All(Vec::new()),
        1 => each.remove(0),
        _ => Test::Any(each),
    }
}

/// `test` with each word that is looked for in the text read as `instead` says; none
/// where there is no such word.
fn with_words(test: &Test, instead: &mut impl FnMut(&str) -> Test) -> Option<Test> {
    match test {
        Test::Says(field, word) if field.name == "text" => Some(instead(word)),
        // What the word names stays too.
        Test::Any(tests) if is_one_word(tests) => {
            let Some(Test::Says(_, word)) = tests.last() else { return None };
            Some(Test::Any(tests.iter().cloned().chain([instead(word)]).collect()))
        }
        Test::All(tests) | Test::Any(tests) => {
            let each = tests.iter().map(|test| with_words(test, instead));
            let each: Vec<Option<Test>> = each.collect();
            each.iter().any(Option::is_some).then(|| {
                let both = each.into_iter().zip(tests);
                let both = both.map(|(new, old)| new.unwrap_or_else(|| old.clone())).collect();
                if matches!(test, Test::All(_)) { Test::All(both) } else { Test::Any(both) }
            })
        }
        _ => None,
    }
}

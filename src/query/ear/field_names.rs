//! Names of fields as people write them: with a blank in them, in the plural.

use crate::query::ear::table::has_word;
use crate::query::ear::words::{QuestionWords, Word, is_kind, is_plural_field};
use crate::query::resolve::LISTS;
use crate::query::syntax::{Class, Keyword};
use crate::record::{FIELDS, Field, FieldKind, Vocabulary, field_words, find_field};

/// `show parts`: the name of a field in the plural, where columns are named.
pub(super) fn singular_columns(words: &mut QuestionWords<'_>) -> bool {
    let is_plural = |at: &usize| {
        words.class(*at) == Some(&Class::Word)
            && words.is_in_columns(*at)
            && is_plural_field(&words.lower(*at))
    };
    let Some(at) = (0..words.len()).find(is_plural) else { return false };
    let mut one = words.lower(at);
    one.pop();
    words.set(at, one);
    true
}

/// `soft gaskets`: a field of words in the plural, which no row has heard.
pub(super) fn singular(words: &mut QuestionWords<'_>, names: &Vocabulary) -> bool {
    let is_plural = |at: &usize| {
        let text = words.lower(*at);
        let of_words = || find_field(&text[..text.len() - 1]).is_some_and(|f| is_of_words(f.kind));
        words.class(*at) == Some(&Class::Word)
            && is_plural_field(&text)
            && of_words()
            && !names.has_words(&text)
    };
    let Some(at) = (0..words.len()).find(is_plural) else { return false };
    let mut one = words.lower(at);
    one.pop();
    words.set(at, one);
    true
}

fn is_of_words(kind: FieldKind) -> bool {
    matches!(kind, FieldKind::Text | FieldKind::List)
}

/// Whether two words begin the name of a field, `part number`, or what a sheet calls it.
pub(super) fn is_field_with_blank(first: &str, second: &str) -> bool {
    let is_joined = |(one, other): (&str, &str)| {
        one.eq_ignore_ascii_case(first) && other.eq_ignore_ascii_case(second)
    };
    let is_begun = |called: &&str| {
        let mut words = called.split(' ');
        words.next() == Some(first) && words.next() == Some(second)
    };
    field_words().iter().any(|field| field.split_once('-').is_some_and(is_joined))
        || FIELDS.iter().any(|field| field.headers.iter().any(is_begun))
        || is_twice(first, second)
}

/// `strength class`: two names of one field.
fn is_twice(first: &str, second: &str) -> bool {
    first != second && find_field(first).is_some_and(|field| find_field(second) == Some(field))
}

/// Whether a field of this kind is named by what its column is headed: `opens into` and
/// `how many` say more.
fn is_called_so(kind: FieldKind) -> bool {
    !matches!(kind, FieldKind::Flag | FieldKind::Number | FieldKind::Choice(_))
}

/// `tightening torque`, `grip length`: what sheets call a field, in two words or three;
/// not `bolt length`, which says of what too.
pub(super) fn name_fields(words: &mut QuestionWords<'_>, names: &Vocabulary) -> bool {
    let is_wordlike = |at| matches!(words.class(at), Some(Class::Word | Class::Field));
    for length in [3, 2] {
        for at in 0..(words.len() + 1).saturating_sub(length) {
            let own = at..at + length;
            if !own.clone().all(is_wordlike) || is_kind(&words.lower(at)) {
                continue;
            }
            let said: Vec<String> = own.clone().map(|at| words.lower(at)).collect();
            let called = said.join(" ");
            let twice = if length == 2 && is_twice(&said[0], &said[1]) {
                find_field(&said[0])
            } else {
                None
            };
            let is_called =
                |field: &&Field| is_called_so(field.kind) && field.headers.contains(&&*called);
            let Some(field) = twice.or_else(|| FIELDS.iter().find(is_called)) else { continue };
            if own.clone().any(|at| words.is_in_longer_name(at, &(0..0), names)) {
                continue;
            }
            let span = words.span(at, at + length);
            words.take(at, length);
            words.insert(at, vec![Word { text: field.name.into(), class: Class::Field, span }]);
            return true;
        }
    }
    false
}

/// `part number`, `source date`: the words of a field with a blank between them. A
/// yes or no stays two words, which the text may say too.
pub(super) fn join_fields(words: &mut QuestionWords<'_>, names: &Vocabulary) -> bool {
    let is_wordlike = |at| matches!(words.class(at), Some(Class::Word | Class::Field));
    for at in 0..words.len().saturating_sub(1) {
        // In `80% of yield` the words belong to the figure.
        let follows_figure = at > 0 && matches!(words.class(at - 1), Some(Class::Quantity(_)));
        if follows_figure || !is_wordlike(at) || !is_wordlike(at + 1) {
            continue;
        }
        let joined = format!("{}-{}", words.lower(at), words.lower(at + 1));
        let is_field = find_field(&joined).is_some_and(|field| field.kind != FieldKind::Flag);
        let own = at..at + 2;
        let is_named = || own.clone().any(|at| words.is_in_longer_name(at, &own, names));
        if is_field && !is_named() {
            let span = words.span(at, at + 2);
            words.take(at, 2);
            words.insert(at, vec![Word { text: joined.into(), class: Class::Field, span }]);
            return true;
        }
    }
    false
}

/// `has hole-material aluminium`: what a field says, of which more may be unknown, and not
/// that it is stated. A name of the book, a kind or a word of a closed list stands for
/// itself.
pub(super) fn has_value(words: &mut QuestionWords<'_>, names: &Vocabulary) -> bool {
    let is_value = |at: &usize| {
        let value = words.lower(at + 2);
        matches!(words.class(*at), Some(Class::Keyword(Keyword::Has | Keyword::Needs)))
            && words.field_is(at + 1, |kind| kind != FieldKind::Flag)
            && words.class(at + 2) == Some(&Class::Word)
            && (!has_word(&value) || HEADS.contains(&&*value))
            && !is_kind(&value)
            && !is_listed(&value)
            && !names.has_words(&value)
            && !words.is_in_name(at + 2, names)
    };
    let Some(at) = (0..words.len()).find(is_value) else { return false };
    words.take(at, 1);
    true
}

/// Forms of a head, which the ear hears beside other words too.
const HEADS: [&str; 4] = ["12-point", "6-point", "hex", "socket"];

/// Whether a closed list has `word`: `engine` is no sealant.
fn is_listed(word: &str) -> bool {
    LISTS.into_iter().filter_map(find_field).any(|field| match field.kind {
        FieldKind::Choice(words) => words.contains(&word),
        _ => false,
    })
}

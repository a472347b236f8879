//! Names of fields as people write them: with a blank in them, in the plural.

use crate::query::ear::words::{QuestionWords, Word, is_plural_field};
use crate::query::syntax::Class;
use crate::record::{FieldKind, Vocabulary, field_words, find_field};

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

/// Whether two words are the name of a field, `part number`.
pub(super) fn is_field_with_blank(first: &str, second: &str) -> bool {
    let is_joined = |(one, other): (&str, &str)| {
        one.eq_ignore_ascii_case(first) && other.eq_ignore_ascii_case(second)
    };
    field_words().iter().any(|field| field.split_once('-').is_some_and(is_joined))
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

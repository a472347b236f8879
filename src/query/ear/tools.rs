//! The size of a tool without its unit: `spanner 18`, `allen key 8`.

use crate::query::ear::ends_test;
use crate::query::ear::table::Piece;
use crate::query::ear::words::QuestionWords;
use crate::query::syntax::Class;
use crate::record::{NameOf, Vocabulary};
use crate::text::Diagnostic;

/// Tools whose size is the width across flats of what they turn.
const TOOLS: [&str; 10] = [
    "spanner", "spanners", "wrench", "wrenches", "socket", "sockets", "hex", "hexagon", "allen",
    "allens",
];

/// Up to here a whole number may be inches: spanners of 1 to 4 in turn large nuts. Above it
/// is mm, as any decimal is: sizes in inches are written as fractions (common practice, no
/// source).
const MOST_INCHES: f64 = 4.0;

/// Whether the figure at `at` is the bare size of a tool.
fn is_size(words: &QuestionWords<'_>, at: usize, names: &Vocabulary) -> bool {
    let is_bare = |class: &Class| matches!(class, Class::Number(_));
    let text = words.lower(at);
    let is_figure = words.class(at).is_some_and(is_bare)
        && text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
    let is_name = || {
        names.find(NameOf::Strength, &text).is_some()
            || words.fits(at, Piece::Wrench, names)
            || words.is_of_name(at, names)
            || words.is_in_name(at, names)
    };
    is_figure && (follows_tool(words, at) || leads_tool(words, at)) && !is_name()
}

/// The length of a tool's name at `at`: `hex key` is two words. A `key` alone is a field.
fn tool(words: &QuestionWords<'_>, at: usize) -> usize {
    let is_tool = TOOLS.contains(&&*words.lower(at));
    let is_key = matches!(&*words.lower(at + 1), "key" | "keys");
    usize::from(is_tool) + usize::from(is_tool && is_key)
}

/// `spanner 18`, `hex key over 8`: nothing else may want the figure.
fn follows_tool(words: &QuestionWords<'_>, at: usize) -> bool {
    let compares = at.checked_sub(1).is_some_and(|before| words.relates(before));
    let end = at - usize::from(compares);
    let is_led = (1..=2).any(|length| end >= length && tool(words, end - length) == length);
    is_led && stands_apart(words, at + 1)
}

/// `19 spanner`, `over 18 hex key`; in `8 hex bolts` it counts.
fn leads_tool(words: &QuestionWords<'_>, at: usize) -> bool {
    let length = tool(words, at + 1);
    let is_free = at.checked_sub(1).and_then(|before| words.class(before)).is_none_or(|before| {
        !matches!(before, Class::Field | Class::Keyword(_) | Class::Range | Class::By)
    });
    length > 0 && is_free && stands_apart(words, at + 1 + length)
}

fn stands_apart(words: &QuestionWords<'_>, at: usize) -> bool {
    ends_test(words.class(at))
        || matches!(&*words.lower(at), "for" | "on" | "in" | "of" | "at" | "fits" | "to")
}

/// Writes the unit of the first size that can only be mm.
pub(super) fn name_unit(words: &mut QuestionWords<'_>, names: &Vocabulary) -> bool {
    let Some(at) = (0..words.len()).find(|at| is_size(words, *at, names)) else { return false };
    let size = words.lower(at);
    words.set(at, format!("{size} mm"));
    true
}

/// A size that may be mm or inches.
pub(super) fn which_unit(
    words: &QuestionWords<'_>,
    at: usize,
    names: &Vocabulary,
) -> Option<Diagnostic> {
    let size = words.lower(at);
    let may_be_inches =
        !size.contains('.') && size.parse().is_ok_and(|size: f64| size <= MOST_INCHES);
    (may_be_inches && is_size(words, at, names)).then(|| {
        let message = format!("{size} mm or {size} in?");
        Diagnostic::new("tool-size", words.span(at, at + 1), message, "expected a unit after it")
            .offer([format!("{size} mm"), format!("{size} in")])
    })
}

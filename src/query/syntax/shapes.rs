//! The shapes that a token can have at the start of a text, each with its
//! length in bytes. Which of them counts is the lexer's business.
//!
//! All texts here have their odd signs made plain and no two blanks in a row.

use super::token::Class;
use super::words::RELATION_SIGNS;
use crate::quantity::{DecimalMark, Number, NumberError, Quantity, UNITS, Unit, take_unit};
use crate::thread::{Pattern, Series, ThreadError};

/// A value and the length of its text in bytes.
pub(super) type Taken<T> = Option<(T, usize)>;

/// A number by its shape; it may still have too many digits or be a fraction
/// that nobody writes.
type Shaped<T> = Result<T, NumberError>;

/// Whether a token that is not a mark can end before `rest`.
pub(super) fn at_end(rest: &str) -> bool {
    match rest.as_bytes().first() {
        None | Some(b' ' | b',' | b'(' | b')') => true,
        // No word holds these bytes: a question is mostly words.
        Some(byte) if byte.is_ascii_alphanumeric() => false,
        Some(_) => take_sign(rest).is_some(),
    }
}

pub(super) fn take_sign(rest: &str) -> Taken<Class> {
    RELATION_SIGNS
        .iter()
        .find(|row| rest.starts_with(row.0))
        .map(|row| (Class::Relation(row.1), row.0.len()))
}

/// The length of the longest run without blank, comma, parenthesis or sign.
pub(super) fn run_length(rest: &str) -> usize {
    rest.char_indices().map(|(at, _)| at).find(|at| at_end(&rest[*at..])).unwrap_or(rest.len())
}

/// More bytes than the longest unit or thread with all its words has.
const WINDOW: usize = 96;

/// `rest` up to the first mark: units and threads may hold a blank but no mark.
/// Of a long text only as many whole words as a unit or thread can have, so
/// that a question of many words is not read again for each of them.
fn before_marks(rest: &str) -> &str {
    let near = match rest.get(..rest.floor_char_boundary(WINDOW)) {
        Some(near) if near.len() < rest.len() => &near[..near.rfind(' ').unwrap_or(near.len())],
        _ => rest,
    };
    let ends = |at: &usize| !near[*at..].starts_with(' ') && at_end(&near[*at..]);
    let end = near.char_indices().map(|(at, _)| at).find(ends).unwrap_or(near.len());
    &near[..end]
}

pub(super) fn starts_number(rest: &str) -> bool {
    number_length(rest) > 0
}

fn digits(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

/// The length of the longest of `n-n/d`, `n/d`, `n.n`, `.n` and `n`, or 0.
fn number_length(rest: &str) -> usize {
    let whole = digits(rest);
    let after = &rest[whole..];
    if whole > 0 {
        if let Some(under) = after.strip_prefix('/').map(digits).filter(|under| *under > 0) {
            return whole + 1 + under;
        }
        if let Some(part) = after.strip_prefix('-').map(fraction_length).filter(|part| *part > 0) {
            return whole + 1 + part;
        }
    }
    match after.strip_prefix('.').map(digits) {
        Some(places) if places > 0 => whole + 1 + places,
        _ => whole,
    }
}

fn fraction_length(rest: &str) -> usize {
    let over = digits(rest);
    match rest[over..].strip_prefix('/').map(digits) {
        Some(under) if over > 0 && under > 0 => over + 1 + under,
        _ => 0,
    }
}

fn number_at(rest: &str) -> Taken<Shaped<Number>> {
    let length = number_length(rest);
    (length > 0).then(|| (Number::parse(&rest[..length], DecimalMark::Point), length))
}

/// A number that is a whole token.
pub(super) fn take_number(rest: &str) -> Taken<Shaped<Number>> {
    number_at(rest).filter(|(_, length)| at_end(&rest[*length..]))
}

/// A number with its unit that is a whole token.
pub(super) fn take_quantity(rest: &str) -> Taken<Shaped<Quantity>> {
    measure(rest, at_end)
}

/// The longest number with its unit that stands before an `end`.
fn measure(rest: &str, end: impl Fn(&str) -> bool) -> Taken<Shaped<Quantity>> {
    let (number, length) = number_at(rest)?;
    let after = &rest[length..];
    let blanks = after.len() - after.trim_start_matches(' ').len();
    let (unit, width) = longest_unit(&after[blanks..], end)?;
    // After a blank a quote opens text; right after a digit it is inches.
    if blanks > 0 && after[blanks..].starts_with('"') {
        return None;
    }
    Some((number.map(|number| Quantity::new(number, unit)), length + blanks + width))
}

/// A unit that is a whole token, the longest.
pub(super) fn take_whole_unit(rest: &str) -> Taken<&'static Unit> {
    longest_unit(rest, at_end)
}

fn longest_unit(rest: &str, end: impl Fn(&str) -> bool) -> Taken<&'static Unit> {
    let mut text = before_marks(rest);
    if !may_be_unit(text) {
        return None;
    }
    loop {
        let (unit, width) = take_unit(text)?;
        if end(&rest[width..]) {
            return Some((unit, width));
        }
        // The text of this unit runs on (`ft lbs/x`): one word less.
        text = &text[..text[..width].rfind(' ')?];
    }
}

/// Whether a spelling of a unit has the first two characters of `text`. The
/// full search of the table costs far more, and most numbers have no unit.
fn may_be_unit(text: &str) -> bool {
    let mut typed = text.chars().flat_map(char::to_lowercase);
    let (first, second) = (typed.next(), typed.next());
    UNITS.iter().flat_map(|unit| unit.spellings).any(|spelling| {
        let mut known = spelling.chars();
        // After `n` of `n-m` may stand any sign that joins.
        known.next() == first
            && matches!(known.next(), next if next == second || next.is_none_or(|next| next == '-'))
    })
}

/// A thread that is a whole token; an error, with the length of what is wrong,
/// for one that contradicts itself.
pub(super) fn take_thread(rest: &str) -> Taken<Result<Pattern, ThreadError>> {
    let mut text = before_marks(rest);
    // After a blank a quote opens text; it is no inch mark of a pitch.
    text = &text[..text.find(" \"").unwrap_or(text.len())];
    let whole = digits(text);
    let fraction = text[whole..].strip_prefix(' ').is_some_and(|after| fraction_length(after) > 0);
    if whole > 0 && fraction {
        // `grade 5 7/16` is a grade and a thread, not a size of 5-7/16.
        text = &text[..whole];
    }
    let found = pattern_at(text).or_else(|| {
        // What runs on into another word (`M10 x 1.5 mm/2`, `G 2 1/4-drive`) is
        // still a thread before that word.
        let first = &text[..text.find(' ')?];
        let starts = Series::find(first).is_some_and(|series| series.row().leads)
            || pattern_at(first).is_some();
        word_ends(text).rev().filter(|_| starts).find_map(|end| pattern_at(&text[..end]))
    });
    match found? {
        Ok((pattern, length)) => at_end(&rest[length..]).then_some((Ok(pattern), length)),
        Err(error) => Some((Err(error), contradiction(text))),
    }
}

fn pattern_at(text: &str) -> Option<Result<(Pattern, usize), ThreadError>> {
    let size = text.trim_start_matches(|lead: char| lead.is_ascii_alphabetic() || lead == ' ');
    let whole = digits(size);
    // No thread is a thousand inches thick, and `Pattern` counts in millionths.
    if whole > 3 && size[whole..].starts_with('.') {
        return None;
    }
    Pattern::take(text)
}

fn word_ends(text: &str) -> impl DoubleEndedIterator<Item = usize> {
    text.match_indices(' ').map(|(at, _)| at)
}

/// The length of the first words of `text` that are wrong together.
fn contradiction(text: &str) -> usize {
    word_ends(text)
        .chain([text.len()])
        .find(|end| matches!(pattern_at(&text[..*end]), Some(Err(_))))
        .unwrap_or(text.len())
}

/// `60..80 lb-ft`: both ends, and where the dots and the second end stand.
pub(super) struct TakenRange {
    /// The first end and its length.
    pub(super) low: (Shaped<Class>, usize),
    /// Start and end of `..` or `to`.
    pub(super) dots: (usize, usize),
    /// The second end, its start and its end.
    pub(super) high: (Shaped<Class>, usize, usize),
}

/// A range of numbers or quantities, joined by `..` or ` to `.
pub(super) fn take_range(rest: &str) -> Option<TakenRange> {
    let near = before_marks(rest).as_bytes();
    if !near.windows(2).any(|two| two == b"..")
        && !near.windows(4).any(|four| four.eq_ignore_ascii_case(b" to "))
    {
        return None;
    }
    let low = measure(rest, |after| take_dots(after).is_some())
        .map(|(quantity, length)| (quantity.map(Class::Quantity), length))
        .or_else(|| number_at(rest).map(|(number, length)| (number.map(Class::Number), length)))?;
    let (gap, width) = take_dots(&rest[low.1..])?;
    let dots = (low.1 + gap, low.1 + gap + width);
    let after = rest[dots.1..].trim_start_matches(' ');
    let start = rest.len() - after.len();
    let (high, length) = take_quantity(after)
        .map(|(quantity, length)| (quantity.map(Class::Quantity), length))
        .or_else(|| {
            take_number(after).map(|(number, length)| (number.map(Class::Number), length))
        })?;
    Some(TakenRange { low, dots, high: (high, start, start + length) })
}

/// Blanks before `..` or `to`, and its own length.
fn take_dots(after: &str) -> Option<(usize, usize)> {
    let text = after.trim_start_matches(' ');
    let gap = after.len() - text.len();
    if text.starts_with("..") {
        return Some((gap, 2));
    }
    let word = text.get(..2).is_some_and(|word| word.eq_ignore_ascii_case("to"));
    (gap > 0 && word && text[2..].starts_with(' ')).then_some((gap, 2))
}

/// `60-80 lb-ft`: the two sides of the dash.
pub(super) fn take_dash_range(rest: &str) -> Option<(&str, &str)> {
    let low = number_length(rest);
    let after = rest[low..].strip_prefix('-').filter(|_| low > 0)?;
    let (_, length) = take_quantity(after)?;
    Some((&rest[..low], &after[..length]))
}

//! What the text of one cell says of a tightening, whatever stands above it.

use crate::intake::cells::{take_unit_spelled, turn_at};
use crate::intake::words::{HIGH, LOW, THEN, plain_words, says_steps};
use crate::quantity::Dimension;

/// What a text says beside `+` and `then` where it is one turn: its own words.
pub(super) fn turn_of(text: &str) -> Option<&str> {
    let lower = text.trim_start_matches(['+', ' ']);
    let bare = THEN.iter().find_map(|then| lower.strip_prefix(then)).unwrap_or(lower).trim();
    let (_, length) = turn_at(bare)?;
    bare[length..].trim().is_empty().then_some(bare)
}

/// Whether a text is a turn after a torque by its words; `90°` may be that of a head.
pub(super) fn is_turn(text: &str) -> bool {
    let says = |bare: &str| {
        let is_degrees = bare.starts_with(|c: char| c.is_ascii_digit()) && !bare.contains('t');
        !is_degrees || text.starts_with('+')
    };
    let several = text.contains('+') && text.split('+').all(|one| turn_of(one).is_some());
    several || turn_of(text).is_some_and(says)
}

/// Whether a figure with a unit of torque stands in a text.
pub(super) fn says_torque(text: &str) -> bool {
    let ends = text.char_indices().filter(|(_, c)| c.is_ascii_digit()).map(|(at, _)| at + 1);
    ends.filter_map(|end| take_unit_spelled(&text[end..]))
        .any(|(unit, ..)| unit.dimension == Dimension::Torque)
}

/// Whether a text names steps of a tightening; an order of bolts begins anywhere
/// and names each number once.
pub(super) fn is_steps(text: &str) -> bool {
    let folded = plain_words(text);
    if folded.split(' ').any(says_steps) {
        return true;
    }
    let figures: Vec<u32> = text
        .split(|c: char| !c.is_ascii_digit())
        .filter_map(|figure| figure.parse().ok())
        .collect();
    let rises = figures.windows(2).all(|pair| pair[0] < pair[1]);
    text.contains('%') || figures.len() >= 2 && rises && figures[0] > 1
}

/// A number and nothing else, be its decimals behind a point or a comma.
pub(super) fn bare_number(text: &str) -> Option<f64> {
    let is_so = text.bytes().all(|c| c.is_ascii_digit() || matches!(c, b'.' | b','));
    text.replace(',', ".").parse().ok().filter(|_| is_so)
}

/// Whether a text is steps whatever stands above it: shares that end in the whole, three or
/// more figures that rise, a number of passes in words.
pub(super) fn are_passes(text: &str) -> bool {
    let folded = plain_words(text);
    let words: Vec<&str> = folded.split([' ', ',', ';', '>', '→', '–', '-', '+']).collect();
    let words: Vec<&str> = words.into_iter().filter(|word| !word.is_empty()).collect();
    if let [number, rest @ ..] = &words[..]
        && number.parse::<u32>().is_ok()
        && rest.iter().any(|word| says_steps(word))
    {
        return true;
    }
    let is_share = |word: &&str| {
        let fraction = word.split_once('/').map(|(one, whole)| [one, whole].map(str::parse::<u32>));
        match fraction {
            Some([Ok(one), Ok(whole)]) => one <= whole && whole <= 10,
            Some(_) => false,
            None => word.strip_suffix('%').is_some_and(|n| n.parse::<f64>().is_ok()),
        }
    };
    let is_whole = |word: &&str| WHOLE.contains(word) || *word == "100%";
    let is_between = |word: &&str| THEN.contains(word) || *word == "and";
    if let [front @ .., last] = &words[..]
        && is_whole(last)
        && front.iter().any(is_share)
    {
        return front.iter().all(|word| is_share(word) || is_between(word));
    }
    let figures = text.split(['-', '–', '/', ',', ';', '>', '→']).map(str::trim);
    let figures: Option<Vec<f64>> = figures.map(|figure| figure.parse().ok()).collect();
    // `10-11-24` may be a day.
    let is_day = |all: &[f64]| all.len() == 3 && all[0] <= 31.0 && all[1] <= 31.0;
    figures.is_some_and(|all| {
        all.len() > 2
            && all[0] > 1.0
            && !is_day(&all)
            && all.windows(2).all(|pair| pair[0] < pair[1])
    })
}

/// Words for the whole torque behind its shares.
const WHOLE: &[&str] =
    &["full", "final", "whole", "voll", "ganz", "plein", "complet", "total", "completo", "pieno"];

/// Whether a text is a torque with its unit and nothing else: `24 Nm`, `max. 60 lb-ft`,
/// `30 Nm + 90°`. With other words around it, it is a remark.
pub(super) fn is_torque(text: &str) -> bool {
    let (mut rest, mut has_torque) = (text, false);
    while let Some(first) = rest.chars().next() {
        let is_digit = |c: char| c.is_ascii_digit();
        let length = if is_digit(first) {
            let end = rest.find(|c: char| !is_digit(c) && !matches!(c, '.' | ',' | '/'));
            let end = end.unwrap_or(rest.len());
            let unit = take_unit_spelled(&rest[end..]);
            has_torque |= unit.is_some_and(|(unit, ..)| unit.dimension == Dimension::Torque);
            end + unit.map_or(0, |(_, length, _)| length)
        } else if first.is_alphabetic() {
            let end = rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len());
            let word = plain_words(&rest[..end]);
            if ![LOW, HIGH, THEN, AROUND].iter().any(|words| words.contains(&word.as_str())) {
                return false;
            }
            end
        } else {
            first.len_utf8()
        };
        rest = &rest[length..];
    }
    has_torque
}

/// Words beside a torque that leave it one.
#[rustfmt::skip] // words of five languages, side by side
const AROUND: &[&str] = &["ca", "approx", "about", "and", "plus", "und", "et", "y", "e", "env", "circa", "turn", "turns"];

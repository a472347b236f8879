//! A passes cell that gives a number of passes, or shares of the torque.

use super::cell::Tightening;
use crate::intake::verdict::{Reading, Taken};
use crate::intake::words::{RELEASE, plain_words, says_steps};
use crate::quantity::{Number, PER_CENT, Quantity, Stated};
use crate::record::Pass;

/// Whether a word beside a number says that it counts passes.
pub(crate) fn is_of_passes(word: &str) -> bool {
    const OTHERS: &[&str] =
        &["goes", "pulls", "times", "x", "equal", "gleiche", "egales", "iguales", "uguali"];
    says_steps(word) || OTHERS.contains(&word)
}

/// How many passes a word says, from 2 to 6.
pub(super) fn number_of(word: &str) -> Option<u32> {
    Some(match word {
        "2" | "two" | "zwei" | "deux" | "dos" | "due" => 2,
        "3" | "three" | "drei" | "trois" | "tres" | "tre" => 3,
        "4" | "four" | "vier" | "quatre" | "cuatro" | "quattro" => 4,
        "5" | "five" | "fünf" | "funf" | "cinq" | "cinco" | "cinque" => 5,
        "6" | "six" | "sechs" | "seis" | "sei" => 6,
        _ => return None,
    })
}

/// How many passes a note says: `über Kreuz in 3 Stufen`, `three equal passes`.
pub(crate) fn passes_in_words(note: &str) -> Option<u32> {
    let folded = plain_words(note);
    let words: Vec<&str> = folded.split([' ', ';', '(', ')']).collect();
    words.iter().enumerate().find_map(|(at, word)| {
        let count = number_of(word)?;
        let begins = at == 0 || matches!(words[at - 1], "in" | "en" | "over");
        let mut after =
            words[at + 1..].iter().filter(|word| says_steps(word) || !is_of_passes(word));
        (begins && after.next().is_some_and(|word| says_steps(word))).then_some(count)
    })
}

/// Words for a torque that is pulled at once.
#[rustfmt::skip] // words of five languages, side by side
const AT_ONCE: &[&str] = &[
    "one go", "in one go", "one pass", "in one", "in one pass", "single pass", "one step", "single step", "straight", "direct", "at once", "one pull",
    "in einem zug", "ein durchgang", "direkt", "en une fois", "une passe", "en una vez", "una pasada", "in una volta", "una passata",
];

/// `3`, `3 steps`, `1/3, 2/3, full` in a passes column: how many, or which
/// shares of the torque. None: it is read as figures.
pub(crate) fn count_of_passes(cell: &str) -> Option<Reading<Tightening>> {
    let folded = plain_words(&cell.replace(['(', ')'], " "));
    let pieces: Vec<&str> = folded.split(' ').filter(|piece| *piece != "in").collect();
    let (first, words) = pieces.split_first()?;
    // Pulled at once: no passes, and the words are kept.
    if AT_ONCE.contains(&folded.as_str()) {
        let one = Tightening { notes: vec![cell.trim().to_owned()], ..Tightening::default() };
        return Some(Ok(Taken::plain(one)));
    }
    let digits = first.trim_end_matches('x');
    if let Ok(count) = digits.parse::<u32>()
        && (words.iter().all(|word| is_of_passes(word)))
        && !cell.contains([',', ';', '/', '-', '.', '%'])
    {
        let is_sure = !words.is_empty() || digits != *first;
        if is_sure && (1..=12).contains(&count) {
            let one = Tightening { count: Some(count), ..Tightening::default() };
            return Some(Ok(Taken::plain(one)));
        }
        if (2..=6).contains(&count) {
            let one = Tightening { bare: Some(count), ..Tightening::default() };
            return Some(Ok(Taken::plain(one)));
        }
    }
    shares(cell)
}

/// Words between the shares of a torque.
#[rustfmt::skip] // words of five languages, side by side
const BETWEEN: &[&str] = &["then", "and", "und", "et", "y", "e", "dann", "puis", "of", "torque"];

/// Words for the whole of it.
#[rustfmt::skip] // words of five languages, side by side
const FULL: &[&str] = &[
    "full", "final", "voll", "plein", "complet", "total", "completo", "pieno", "1/1", "all",
    "100%", "endmoment", "finale", "torque",
];

/// What may stand between two passes.
fn is_joint(c: char) -> bool {
    c.is_whitespace() || matches!(c, ',' | ';' | '/' | '-' | '–' | '>' | '→' | '+')
}

/// The parts of a cell before and after words that release the fastener between passes:
/// `40, 80, back off, 60, 120`. How far it is released is not read.
pub(super) fn released(cell: &str) -> Option<Vec<&str>> {
    let lower = cell.to_lowercase();
    if lower.len() != cell.len() {
        return None;
    }
    let mut parts = Vec::new();
    let mut from = 0;
    while let Some((at, word)) = RELEASE
        .iter()
        .filter_map(|word| Some((lower[from..].find(word)? + from, word)))
        .min_by_key(|(at, word)| (*at, usize::MAX - word.len()))
    {
        parts.push(&cell[from..at]);
        from = at + word.len();
    }
    parts.push(&cell[from..]);
    let is_far =
        parts[1..].iter().any(|part| part.trim_start().starts_with(|c: char| c.is_ascii_digit()));
    let parts: Vec<&str> = parts.iter().map(|part| part.trim_matches(is_joint)).collect();
    let is_whole = parts.len() > 1 && !is_far && parts.iter().all(|part| !part.is_empty());
    is_whole.then_some(parts)
}

/// `400/800/full`, `40, 80, then full torque`: what stands before the whole torque.
pub(super) fn before_full(cell: &str) -> Option<&str> {
    let mut rest = cell.trim();
    let mut is_full = false;
    while let Some((head, last)) = rest.rsplit_once(is_joint) {
        let folded = plain_words(last);
        let is_word = folded.chars().all(char::is_alphabetic);
        is_full |= is_word && FULL.contains(&folded.as_str()) && folded != "torque";
        if !is_word
            || !folded.is_empty() && !FULL.contains(&&*folded) && !BETWEEN.contains(&&*folded)
        {
            break;
        }
        rest = head;
    }
    (is_full && rest.contains(|c: char| c.is_ascii_digit()))
        .then(|| rest.trim_end_matches(is_joint))
}

/// `1/3, 2/3, full`, `1/2, 1`, `⅓ ⅔ 100%`.
fn shares(cell: &str) -> Option<Reading<Tightening>> {
    let lower = cell.to_lowercase();
    let spelled = [
        ("two thirds", "2/3"),
        ("one third", "1/3"),
        ("a third", "1/3"),
        ("half", "1/2"),
        ("halb", "1/2"),
        ("la moitié", "1/2"),
        ("moitié", "1/2"),
        ("mitad", "1/2"),
        ("metà", "1/2"),
        ("½", "1/2"),
        ("⅓", "1/3"),
        ("⅔", "2/3"),
        ("¼", "1/4"),
        ("¾", "3/4"),
    ];
    let lower = spelled.iter().fold(lower, |text, (sign, plain)| text.replace(sign, plain));
    let parted = |c: char| c != '/' && is_joint(c);
    let pieces: Vec<&str> =
        lower.split(parted).filter(|piece| !piece.is_empty() && !BETWEEN.contains(piece)).collect();
    let mut shares: Vec<(u32, u32)> = Vec::new();
    let mut fractions = 0;
    for piece in &pieces {
        if let Some((over, under)) = piece.split_once('/') {
            let (over, under) = (over.parse::<u32>().ok()?, under.parse::<u32>().ok()?);
            if !(2..=6).contains(&under) || !(1..=under).contains(&over) {
                return FULL.contains(piece).then_some(()).and(None);
            }
            fractions += 1;
            shares.push((over, under));
        } else if FULL.contains(piece) || (*piece == "1" && fractions > 0) {
            shares.push((1, 1));
        } else {
            return None;
        }
    }
    let rises = shares.windows(2).all(|pair| pair[0].0 * pair[1].1 < pair[1].0 * pair[0].1);
    if fractions == 0 || shares.len() < 2 || !rises {
        return None;
    }
    let passes = shares.iter().map(|(over, under)| {
        let number = Number::decimal(
            100.0 * f64::from(*over) / f64::from(*under),
            u8::from(!(100 * over).is_multiple_of(*under)),
        );
        Pass::Share(Stated::new(Quantity::new(number, PER_CENT)).expect("a per cent is a ratio"))
    });
    let one = Tightening { passes: passes.collect(), ..Tightening::default() };
    Some(Ok(Taken::plain(one).echo("shares", "shares of the torque")))
}

//! Tightening orders: a rule in words, or hole numbers that must all be there
//! once.

use super::numbers::turned_into_date;
use crate::intake::verdict::{Problem, Reading, Taken};
use crate::intake::words::plain_words;
use crate::text::Plain;

/// Reads `centre out`, `cross`, `1, 7, 4, 10`, `1-3-2-4`.
pub(crate) fn read_order(cell: &str) -> Reading<String> {
    let text = cell.trim();
    if let Some(date) = turned_into_date(text, "-") {
        return Err(date);
    }
    let plain = Plain::new(text);
    let parts = |c: char| matches!(c, ',' | ';' | ' ' | '-' | '>' | '→' | '/');
    let pieces: Vec<&str> = plain.as_str().split(parts).filter(|piece| !piece.is_empty()).collect();
    let numbers: Option<Vec<u32>> = pieces.iter().map(|piece| piece.parse().ok()).collect();
    if let Some(odd) = odd_one(&pieces) {
        let reason = format!("`{odd}` among hole numbers");
        return Err(Problem::refused(
            "order",
            reason,
            "write the number of the hole that is meant",
        ));
    }
    let Some(numbers) = numbers.filter(|numbers| numbers.len() > 1) else {
        return Ok(Taken::plain(text.to_owned()));
    };
    match fault(&numbers) {
        Some(reason) => Err(Problem::refused("order", reason, "check it against the sheet")),
        None => Ok(Taken::plain(text.to_owned())),
    }
}

/// Whether a text is no order: hardly a number in it, and no word of where to begin, go on or
/// end.
pub(crate) fn is_no_order(text: &str) -> bool {
    let folded = plain_words(text);
    let parted = |c: char| !c.is_alphanumeric();
    let words: Vec<&str> = folded.split(parted).filter(|word| !word.is_empty()).collect();
    let says = |word: &&str| ORDERS.iter().any(|start| word.starts_with(start));
    let numbers = words.iter().filter(|word| word.parse::<u32>().is_ok()).count();
    numbers * 2 < words.len() && !words.iter().any(says)
}

/// Beginnings of the words that say an order.
#[rustfmt::skip] // words of five languages, side by side
const ORDERS: &[&str] = &[
    "cross", "criss", "diagonal", "diametr", "opposi", "star", "spiral", "cent", "middle", "outward", "inward", "outside", "inside", "clockwise",
    "anticlock", "counterclock", "round", "circ", "alternat", "first", "last", "then", "begin", "from", "order", "sequence", "pattern", "any", "random",
    "snake", "zig", "even", "pair", "top", "bottom", "left", "right", "drawing", "sketch", "photo",
    "kreuz", "uberkreuz", "stern", "mitte", "aussen", "innen", "reihum", "gegenuber", "zuerst", "dann", "beliebig", "wechsel", "schnecke",
    "croix", "croise", "etoile", "exterieur", "interieur", "milieu", "oppos", "escargot", "dehors", "cruz", "cruzad", "estrella", "fuera", "dentro", "espiral", "opuest",
    "croce", "stella", "incroci", "ester", "intern", "opposti", "altern", "kruis", "ster", "midden", "buiten", "binnen", "kors", "stjarn", "mitt",
];

/// What is no number in a list of mostly numbers, and too short for a word:
/// `x`, `1O`. Whole words make it a rule in words.
fn odd_one<'a>(pieces: &[&'a str]) -> Option<&'a str> {
    let is_number = |piece: &&&str| piece.parse::<u32>().is_ok();
    let odd: Vec<&str> = pieces.iter().filter(|piece| !is_number(piece)).copied().collect();
    let is_garbled = odd.iter().all(|piece| piece.chars().count() <= 2);
    if is_garbled && odd.len() * 2 < pieces.len() { odd.first().copied() } else { None }
}

/// What is wrong with an order of hole numbers.
fn fault(numbers: &[u32]) -> Option<String> {
    let length = numbers.len();
    let last = u32::try_from(length).ok()?;
    let twice = numbers.iter().enumerate().find(|(at, number)| numbers[..*at].contains(number));
    let missing = (1..=last).find(|number| !numbers.contains(number));
    let twice = twice.map(|(_, number)| format!("names {number} twice"));
    let missing = missing.map(|number| format!("{number} never"));
    match (twice, missing) {
        (None, None) => None,
        (Some(twice), Some(missing)) => Some(format!("an order of {length} {twice}, {missing}")),
        (Some(twice), None) => Some(format!("an order of {length} {twice}")),
        (None, Some(missing)) => Some(format!("an order of {length} names {missing}")),
    }
}

//! Texts with one small change: what only generated sentences never show.

use rand::Rng;
use rand::rngs::StdRng;

use super::samples::any;

/// Characters to put in: those of the grammar that matter at an edge, and some
/// that leave it.
const CHARACTERS: &[char] = &[
    'a', 'b', 'c', 'e', 'f', 'g', 'h', 'i', 'k', 'l', 'm', 'n', 'o', 'r', 's', 't', 'u', 'w', 'x',
    'M', 'N', 'U', 'X', '0', '1', '2', '4', '6', '8', '9', ' ', ' ', ' ', '.', '.', ',', '-', '/',
    '*', '+', '"', '"', '(', ')', '=', '<', '>', '!', '#', '%', '°', '·', '_', '\'', '&', ':',
    '\n', '\t', '\u{a0}', '\u{202f}', '\u{2212}', '\u{2013}', 'µ', 'μ', '×', '≤', '≥', '≠', 'é',
    'Ø', '€', '²', '\u{200b}', '\u{201c}', '\u{1b}',
];

/// `text` with one character put in, taken out, changed or doubled.
pub(crate) fn one_character(text: &str, chance: &mut StdRng) -> String {
    let mut characters: Vec<char> = text.chars().collect();
    let new = CHARACTERS[chance.random_range(0..CHARACTERS.len())];
    let at = chance.random_range(0..=characters.len());
    match chance.random_range(0..4) {
        1 if at < characters.len() => {
            characters.remove(at);
        }
        2 if at < characters.len() => characters[at] = new,
        3 if at < characters.len() => characters.insert(at, characters[at]),
        _ => characters.insert(at, new),
    }
    characters.into_iter().collect()
}

/// `tokens` with one of them put in, taken out, changed, doubled or swapped
/// with the next.
pub(crate) fn one_token(tokens: &[&str], chance: &mut StdRng) -> String {
    let mut tokens = tokens.to_vec();
    let new = any(chance);
    let at = chance.random_range(0..=tokens.len());
    match chance.random_range(0..5) {
        1 if at < tokens.len() => {
            tokens.remove(at);
        }
        2 if at < tokens.len() => tokens[at] = new,
        3 if at < tokens.len() => tokens.insert(at, tokens[at]),
        4 if at + 1 < tokens.len() => tokens.swap(at, at + 1),
        _ => tokens.insert(at, new),
    }
    tokens.join(" ")
}

/// How many texts to change: what the environment variable `CLAMPBOOK_EDITS`
/// says, else `usual`.
pub(crate) fn count(usual: u64) -> u64 {
    std::env::var("CLAMPBOOK_EDITS").map_or(usual, |count| count.parse().unwrap())
}

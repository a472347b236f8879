//! Text as the grammar files see it.

use clampbook::text::Plain;

/// `text` with odd signs made plain, single blanks, in lower case, and with the signs that
/// stand for all others in place of those; every character becomes one.
///
/// The last is a matter of the grammar files alone: they say "é" for every
/// letter and figure beyond ASCII and "€" for every other sign that is not a
/// control character.
pub(crate) fn fold(text: &str) -> String {
    let mut folded: String = Plain::new(text).as_str().chars().map(fold_character).collect();
    while folded.contains("  ") {
        folded = folded.replace("  ", " ");
    }
    folded
}

fn fold_character(character: char) -> char {
    let lower = character.to_lowercase().next().unwrap_or(character);
    match lower {
        'µ' | '²' | '·' | '°' | '≠' | '≤' | '≥' | '€' => lower,
        letter if !letter.is_ascii() && letter.is_alphanumeric() => 'é',
        sign if !sign.is_ascii() && !sign.is_control() => '€',
        other => other,
    }
}

/// Whether a size in `text` has zeros in front, more digits than a size has,
/// or is nothing but zeros: the grammar files leave those out.
pub(crate) fn is_extreme(text: &str) -> bool {
    let bytes = text.as_bytes();
    let mut at = 0;
    while at < bytes.len() {
        let end = at + bytes[at..].iter().take_while(|byte| byte.is_ascii_digit()).count();
        if end == at {
            at += 1;
            continue;
        }
        let digits = &text[at..end];
        let after_point = at > 0 && bytes[at - 1] == b'.';
        let zero_in_front = digits.len() > 1 && digits.starts_with('0') && !after_point;
        let all_zero = after_point && digits.bytes().all(|digit| digit == b'0');
        if zero_in_front || all_zero || digits.len() > 3 {
            return true;
        }
        at = end;
    }
    false
}

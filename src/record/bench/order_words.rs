//! A listed order as the sheet writes it: hole numbers, or words.

use crate::text::Plain;

/// The hole numbers of `text` in order, if it is nothing but numbers and what
/// stands between them ("1-4-2-5-3-6", "1, 4, 2", "1 → 4 → 2"). None for words
/// ("centre out", "caps 4-3-5, side bolts last"), whose numbers may be no holes.
pub fn listed_numbers(text: &str) -> Option<Vec<usize>> {
    let plain = Plain::new(text);
    let pieces = plain.as_str().split(|c: char| "-,;>→|/".contains(c) || c.is_whitespace());
    let numbers: Option<Vec<usize>> =
        pieces.filter(|piece| !piece.is_empty()).map(|piece| piece.parse().ok()).collect();
    numbers.filter(|numbers| !numbers.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_and_words_are_told_apart() {
        for text in ["1-4-2-5-3-6", "1, 4, 2, 5, 3, 6", "1 → 4 → 2 → 5 → 3 → 6", "1–4–2–5–3–6"]
        {
            assert_eq!(listed_numbers(text), Some(vec![1, 4, 2, 5, 3, 6]), "{text}");
        }
        for text in ["centre out", "caps 4-3-5-2-6-1-7, side bolts last", "", " - "] {
            assert_eq!(listed_numbers(text), None, "{text}");
        }
    }
}

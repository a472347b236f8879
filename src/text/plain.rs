//! Odd blanks and signs mapped to the plain ones, with places kept.

use std::borrow::Cow;

use super::Span;

/// A text whose blanks, dashes and crosses are the plain ASCII ones.
///
/// Texts pasted from a web page or a word processor carry no-break spaces,
/// en dashes, minus signs and multiplication signs. They are mapped once here
/// so that no notation has to know them.
#[derive(Debug, Clone)]
pub struct Plain<'a> {
    text: Cow<'a, str>,
    /// For each byte of a text that was mapped, and one past its end, the byte in the
    /// original.
    origin: Vec<usize>,
}

impl<'a> Plain<'a> {
    /// Maps `original`. Quotes and everything inside them are kept in place too.
    pub fn new(original: &'a str) -> Self {
        if original.is_ascii() && !original.contains('\t') {
            return Self { text: Cow::Borrowed(original), origin: Vec::new() };
        }
        let mut text = String::with_capacity(original.len());
        let mut origin = Vec::with_capacity(original.len() + 1);
        for (at, character) in original.char_indices() {
            let mapped = map(character);
            text.push(mapped);
            origin.extend(std::iter::repeat_n(at, mapped.len_utf8()));
        }
        origin.push(original.len());
        Self { text: Cow::Owned(text), origin }
    }

    /// The text with its odd signs made plain.
    pub fn as_str(&self) -> &str {
        &self.text
    }

    /// A span of the mapped text as a span of the original.
    pub fn span(&self, mapped: Span) -> Span {
        let place = |at: usize| match self.origin.last() {
            Some(end) => self.origin.get(at).copied().unwrap_or(*end),
            None => at.min(self.text.len()),
        };
        Span::new(place(mapped.start), place(mapped.end))
    }
}

fn map(character: char) -> char {
    match character {
        '\t' | '\u{a0}' | '\u{2007}' | '\u{2009}' | '\u{202f}' | '\u{feff}' => ' ',
        '\u{2010}' | '\u{2011}' | '\u{2012}' | '\u{2013}' | '\u{2014}' | '\u{2212}' => '-',
        '\u{d7}' => 'x',
        '\u{2019}' | '\u{2032}' => '\'',
        '\u{201c}' | '\u{201d}' | '\u{2033}' => '"',
        '\u{2022}' | '\u{22c5}' | '\u{2219}' => '·',
        '\u{3bc}' => 'µ',
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn odd_signs_become_plain_and_places_stay() {
        let plain = Plain::new("M10×1.5\u{a0}over 60\u{2013}80");
        assert_eq!(plain.as_str(), "M10x1.5 over 60-80");
        let over = plain.as_str().find("over").unwrap();
        assert_eq!(
            plain.span(Span::new(over, over + 4)).slice("M10×1.5\u{a0}over 60\u{2013}80"),
            "over"
        );
        let end = plain.as_str().len();
        assert_eq!(plain.span(Span::new(end, end)).end, "M10×1.5\u{a0}over 60\u{2013}80".len());
    }
}

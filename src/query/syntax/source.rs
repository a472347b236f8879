//! The text of a question as the lexer reads it.

use crate::text::{Plain, Span};

/// A text with its odd signs made plain and each run of blanks made one, so
/// that `60 ft  lbs` is no other quantity than `60 ft lbs`.
pub(super) struct SourceText<'a> {
    plain: Plain<'a>,
    /// The text with single blanks, and for each byte of it, and one past its
    /// end, the byte of the plain text; none if there are no runs of blanks.
    single: Option<(String, Vec<usize>)>,
}

impl<'a> SourceText<'a> {
    pub(super) fn new(typed: &'a str) -> Self {
        let plain = Plain::new(typed);
        let single = plain.as_str().contains("  ").then(|| with_single_blanks(plain.as_str()));
        Self { plain, single }
    }

    pub(super) fn text(&self) -> &str {
        self.single.as_ref().map_or(self.plain.as_str(), |single| &single.0)
    }

    /// A span of the text to read as a span of the text that was typed.
    pub(super) fn span(&self, read: Span) -> Span {
        let plain = match &self.single {
            None => read,
            Some((_, origin)) => {
                // What ends before a run of blanks ends where the run starts.
                let end = read.end.checked_sub(1).map_or(0, |last| origin[last] + 1);
                Span::new(origin[read.start], end.max(origin[read.start]))
            }
        };
        self.plain.span(plain)
    }
}

fn with_single_blanks(text: &str) -> (String, Vec<usize>) {
    let mut single = String::with_capacity(text.len());
    let mut origin = Vec::with_capacity(text.len() + 1);
    for (at, byte) in text.char_indices() {
        if byte != ' ' || !single.ends_with(' ') {
            single.push(byte);
            origin.extend(at..at + byte.len_utf8());
        }
    }
    origin.push(text.len());
    (single, origin)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_of_blanks_are_one_and_places_stay() {
        let typed = "  60\u{a0} ft \u{2009}lbs µ  x ";
        let source = SourceText::new(typed);
        assert_eq!(source.text(), " 60 ft lbs µ x ");
        for word in ["60", "ft", "lbs", "µ", "x"] {
            let at = source.text().find(word).unwrap();
            assert_eq!(source.span(Span::new(at, at + word.len())).slice(typed), word);
        }
        let end = source.text().len();
        assert_eq!(source.span(Span::new(end, end)), Span::new(typed.len(), typed.len()));
    }
}

//! Colour on top of words: everything that a colour says, a word says too.

use crate::report::lay::{skip_to, width};

/// Whether text may be coloured. The caller knows the terminal; nothing here
/// looks at one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Style {
    colour: bool,
}

/// What a piece of text is, for its colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Tone {
    #[default]
    Plain,
    Heading,
    /// A figure that is an estimate.
    Estimate,
    /// Something that breaks a bolt or hurts somebody.
    Danger,
    /// Out of date, or beside the point.
    Faint,
}

impl Tone {
    /// The SGR parameters (ECMA-48); none for plain text.
    fn code(self) -> Option<&'static str> {
        match self {
            Self::Plain => None,
            Self::Heading => Some("1"),
            // Legible on black and on white, as yellow, green and cyan are not.
            Self::Estimate => Some("35"),
            Self::Danger => Some("1;31"),
            Self::Faint => Some("2"),
        }
    }
}

impl Style {
    /// Colour escapes or none.
    pub const fn new(colour: bool) -> Self {
        Self { colour }
    }

    /// No escapes at all: for a pipe, a file, or NO_COLOR.
    pub const fn plain() -> Self {
        Self { colour: false }
    }

    /// Whether colour escapes are written.
    pub const fn is_coloured(self) -> bool {
        self.colour
    }

    pub(crate) fn paint(self, tone: Tone, text: &str) -> String {
        match tone.code() {
            Some(code) if self.colour && !text.trim().is_empty() => {
                format!("\u{1b}[{code}m{text}\u{1b}[0m")
            }
            _ => text.to_owned(),
        }
    }

    /// A line of a table, each stretch from a column on in its tone. `stretches`
    /// rise: (first column, tone).
    pub(crate) fn paint_line(self, line: &str, stretches: &[(usize, Tone)]) -> String {
        if !self.colour {
            return line.to_owned();
        }
        let mut out = String::with_capacity(line.len() + 16);
        for (index, (from, tone)) in stretches.iter().enumerate() {
            let to = stretches.get(index + 1).map_or_else(|| width(line), |next| next.0);
            let piece = &line[skip_to(line, *from)..skip_to(line, to)];
            let text = piece.trim_end_matches(' ');
            out.push_str(&self.paint(*tone, text));
            out.push_str(&piece[text.len()..]);
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colour_adds_escapes_and_nothing_else() {
        let line = "moly  LISTED    71 (53–89)";
        let stretches = [(0, Tone::Plain), (6, Tone::Danger), (16, Tone::Faint)];
        assert_eq!(Style::plain().paint_line(line, &stretches), line);
        let painted = Style::new(true).paint_line(line, &stretches);
        assert_eq!(painted, "moly  \u{1b}[1;31mLISTED\u{1b}[0m    \u{1b}[2m71 (53–89)\u{1b}[0m");
    }
}

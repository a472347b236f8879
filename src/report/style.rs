//! Colour on top of words: everything that a colour says, a word says too.

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
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colour_adds_escapes_and_nothing_else() {
        assert_eq!(Style::plain().paint(Tone::Danger, "LISTED"), "LISTED");
        let painted = Style::new(true).paint(Tone::Danger, "LISTED");
        assert_eq!(painted, "\u{1b}[1;31mLISTED\u{1b}[0m");
    }
}

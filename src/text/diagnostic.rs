//! What is wrong at which place of a text, as data; only `report` draws it.

/// A range of bytes in the text that the user typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    /// First byte.
    pub start: usize,
    /// One past the last byte; equal to `start` for a place between characters.
    pub end: usize,
}

impl Span {
    /// The span from byte `start` up to, not including, byte `end`.
    pub fn new(start: usize, end: usize) -> Self {
        Self { start, end }
    }

    /// The smallest span that holds both.
    pub fn to(self, other: Self) -> Self {
        Self::new(self.start.min(other.start), self.end.max(other.end))
    }

    /// The bytes of `text` under this span; empty if the span does not fit it.
    pub fn slice(self, text: &str) -> &str {
        text.get(self.start..self.end).unwrap_or("")
    }
}

/// One thing that is wrong: where, what was read, what was expected, what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// Short stable name of the kind of error, such as `unknown-field`.
    pub code: &'static str,
    /// One sentence without a full stop.
    pub message: String,
    /// The place in the user's text.
    pub span: Span,
    /// What stands under the caret, such as "expected a lube".
    pub label: String,
    /// A second place that the error speaks of, and what stands under it.
    pub also: Option<(Span, String)>,
    /// What may stand in place of the text under `span`.
    pub offers: Vec<String>,
    /// What to do, one line each; the nearest known word first.
    pub help: Vec<String>,
}

impl Diagnostic {
    /// A diagnostic without help lines.
    pub fn new(
        code: &'static str,
        span: Span,
        message: impl Into<String>,
        label: impl Into<String>,
    ) -> Self {
        let (message, label) = (message.into(), label.into());
        Self { code, message, span, label, also: None, offers: Vec::new(), help: Vec::new() }
    }

    /// The same with a second place, and what stands under it.
    #[must_use]
    pub fn also(mut self, span: Span, label: impl Into<String>) -> Self {
        self.also = Some((span, label.into()));
        self
    }

    /// The same with more that may stand in its place.
    #[must_use]
    pub fn offer(mut self, instead: impl IntoIterator<Item = impl Into<String>>) -> Self {
        self.offers.extend(instead.into_iter().map(Into::into));
        self
    }

    /// The same with one more line of help.
    #[must_use]
    pub fn help(mut self, line: impl Into<String>) -> Self {
        self.help.push(line.into());
        self
    }

    /// The same with a "did you mean" line.
    #[must_use]
    pub fn suggest(self, word: &str) -> Self {
        self.help(format!("did you mean `{word}`?"))
    }
}

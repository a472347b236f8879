//! What can be wrong with the form of a question.

use super::wanted::Wanted;
use crate::quantity::NumberError;
use crate::text::Span;
use crate::thread::ThreadError;

/// Why a question could not be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{kind}")]
pub struct SyntaxError {
    pub kind: SyntaxErrorKind,
    /// Where in the text that was typed.
    pub span: Span,
    /// What to do about it, where that depends on what stands around the place.
    pub hint: Option<String>,
}

/// What is wrong, each with the text that causes it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SyntaxErrorKind {
    #[error("the question is empty")]
    Empty,
    /// More than [`super::LONGEST`] bytes.
    #[error("the question has {bytes} bytes, {} is the most", super::LONGEST)]
    TooLong {
        /// How many it has.
        bytes: usize,
    },
    /// More than [`super::DEEPEST`] parentheses inside each other.
    #[error("more than {} parentheses inside each other", super::DEEPEST)]
    TooDeep,
    /// A character that no token holds.
    #[error("`{}` has no meaning in a question", .0.escape_debug())]
    Character(char),
    /// A number with too many digits, or a fraction that is none.
    #[error(transparent)]
    Number(NumberError),
    /// A thread that contradicts itself, such as `7/16-20 UNC`.
    #[error(transparent)]
    Thread(ThreadError),
    /// A quote that is never closed.
    #[error("this quote is never closed")]
    OpenQuote,
    /// Quotes with nothing inside.
    #[error("there is nothing between the quotes")]
    EmptyQuote,
    /// A quote inside a word, or a word right after a quote.
    #[error("a quote stands inside a word")]
    StrayQuote,
    /// `60-80 lb-ft`.
    #[error("`{low}-{high}` is not a range")]
    DashRange {
        /// Before the dash.
        low: String,
        /// After the dash, with its unit.
        high: String,
    },
    /// `..` that does not stand between two numbers.
    #[error("`..` stands between two numbers")]
    HalfRange,
    /// An operator without blanks around it.
    #[error("blanks belong on both sides of `{0}`")]
    GluedOperator(char),
    /// A word that starts with a dash.
    #[error("`{0}` starts with a dash")]
    LeadingDash(String),
    /// `(` without `)`.
    #[error("this parenthesis is never closed")]
    NotClosed,
    /// `)` without `(`.
    #[error("this parenthesis closes nothing")]
    NotOpened,
    /// A token that cannot stand where it stands.
    #[error("{}", cannot_stand(found.as_deref()))]
    Unexpected {
        /// What was read; nothing at the end of the question.
        found: Option<String>,
        /// What could stand there.
        expected: Wanted,
    },
    /// A word where only a field can stand.
    #[error("`{found}` is not a field")]
    UnknownField {
        found: String,
        nearest: Option<String>,
    },
    /// A word where only a unit can stand.
    #[error("`{found}` is not a unit")]
    UnknownUnit {
        found: String,
        /// The nearest spelling of a unit.
        nearest: Option<String>,
    },
    /// A clause that stands twice.
    #[error("`{clause}` stands twice")]
    ClauseTwice {
        clause: &'static str,
        /// Where it stands first.
        first: Span,
    },
}

/// What was expected stands under the caret.
fn cannot_stand(found: Option<&str>) -> String {
    let end = || "the question ends too early".to_owned();
    found.map_or_else(end, |text| format!("`{text}` cannot stand here"))
}

impl SyntaxError {
    /// An error without a hint of its own.
    pub(crate) fn new(kind: SyntaxErrorKind, span: Span) -> Self {
        Self { kind, span, hint: None }
    }

    /// Short stable name of the kind of error.
    pub fn code(&self) -> &'static str {
        match self.kind {
            SyntaxErrorKind::Empty => "empty-question",
            SyntaxErrorKind::TooLong { .. } => "question-too-long",
            SyntaxErrorKind::TooDeep => "nested-too-deep",
            SyntaxErrorKind::Character(_) => "stray-character",
            SyntaxErrorKind::Number(_) => "bad-number",
            SyntaxErrorKind::Thread(_) => "bad-thread",
            SyntaxErrorKind::OpenQuote => "open-quote",
            SyntaxErrorKind::EmptyQuote => "empty-quote",
            SyntaxErrorKind::StrayQuote => "stray-quote",
            SyntaxErrorKind::DashRange { .. } => "dash-range",
            SyntaxErrorKind::HalfRange => "half-range",
            SyntaxErrorKind::GluedOperator(_) => "glued-operator",
            SyntaxErrorKind::LeadingDash(_) => "leading-dash",
            SyntaxErrorKind::NotClosed => "not-closed",
            SyntaxErrorKind::NotOpened => "not-opened",
            SyntaxErrorKind::Unexpected { .. } => "unexpected",
            SyntaxErrorKind::UnknownField { .. } => "unknown-field",
            SyntaxErrorKind::UnknownUnit { .. } => "unknown-unit",
            SyntaxErrorKind::ClauseTwice { .. } => "clause-twice",
        }
    }

    /// Whether the question has the form of the grammar files and only goes
    /// past a limit that they do not hold: length, depth, digits, a thread
    /// that cannot be, a clause that stands twice.
    pub fn is_limit(&self) -> bool {
        matches!(
            self.kind,
            SyntaxErrorKind::TooLong { .. }
                | SyntaxErrorKind::TooDeep
                | SyntaxErrorKind::Number(_)
                | SyntaxErrorKind::Thread(_)
                | SyntaxErrorKind::ClauseTwice { .. }
        )
    }

    /// The second place that the error speaks of, and what stands there.
    pub fn other_place(&self) -> Option<(Span, String)> {
        match &self.kind {
            SyntaxErrorKind::ClauseTwice { clause, first } => {
                Some((*first, format!("the first `{clause}`")))
            }
            _ => None,
        }
    }
}

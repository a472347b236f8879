//! Exit codes, and the failures that lead to them.

use std::process::ExitCode;

use crate::query::QueryError;
use crate::store::StoreError;
use crate::text::Diagnostic;

/// How the program ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Code {
    /// At least one row has an answer.
    Answered = 0,
    /// No rows, or every figure refused.
    Nothing = 1,
    /// The question or the arguments are wrong.
    Wrong = 2,
    /// Input refused in part or whole.
    Refused = 3,
    /// The book cannot be used, or output cannot be written: nothing was stored.
    Unusable = 4,
    /// The change is stored, and something failed after that.
    StoredBut = 5,
    /// Ctrl-C, as shells have it: 128 and the number of the signal.
    Interrupted = 130,
}

impl From<Code> for ExitCode {
    fn from(code: Code) -> Self {
        Self::from(code as u8)
    }
}

/// Why a command ends early.
#[derive(Debug)]
pub(super) enum Failure {
    Question {
        text: String,
        diagnostic: Box<Diagnostic>,
    },
    Argument(String),
    /// Input cannot be read.
    Input(String),
    Book(StoreError),
    Output(std::io::Error),
    /// "No" to a question, before anything was changed.
    Declined,
    /// Ctrl-C at a question, before anything was changed.
    Interrupted,
    /// Something that should not happen.
    Other(anyhow::Error),
}

impl Failure {
    pub(super) fn code(&self) -> Code {
        match self {
            Self::Question { .. } | Self::Argument(_) => Code::Wrong,
            Self::Input(_) => Code::Refused,
            Self::Book(error) if error.is_stored() => Code::StoredBut,
            Self::Declined => Code::Nothing,
            Self::Interrupted => Code::Interrupted,
            Self::Book(_) | Self::Output(_) | Self::Other(_) => Code::Unusable,
        }
    }

    pub(super) fn of_question(text: &str, error: QueryError) -> Self {
        match error {
            QueryError::Wrong(diagnostic) => Self::Question { text: text.to_owned(), diagnostic },
            QueryError::Book(error) => Self::Book(error),
        }
    }
}

/// What ended the writing of an answer: it, or the book that is read meanwhile.
impl From<std::io::Error> for Failure {
    fn from(error: std::io::Error) -> Self {
        error.downcast().map_or_else(Self::Output, Self::Book)
    }
}

impl From<StoreError> for Failure {
    fn from(error: StoreError) -> Self {
        Self::Book(error)
    }
}

impl From<anyhow::Error> for Failure {
    fn from(error: anyhow::Error) -> Self {
        Self::Other(error)
    }
}

/// What ends a command whose arguments are wrong.
pub(super) fn argument<T>(message: impl Into<String>) -> Result<T, Failure> {
    Err(Failure::Argument(message.into()))
}

pub(super) fn wrong(option: &str, error: impl std::fmt::Display) -> Failure {
    Failure::Argument(format!("{option}: {error}"))
}

/// What cannot be entered, before anything was changed.
pub(super) fn unchanged(why: impl std::fmt::Display) -> Failure {
    Failure::Input(format!("{why}\nnothing was changed"))
}

/// Input that cannot be taken.
pub(super) fn refused(error: impl std::fmt::Display) -> Failure {
    Failure::Input(error.to_string())
}

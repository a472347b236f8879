//! What can be wrong with the form of a question, and what is answered: the place,
//! what was expected there, and what to do.

use super::input::Wanted;
use crate::quantity::NumberError;
use crate::text::{Diagnostic, Span};
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
    #[error("the question has {bytes} bytes, {} is the most", super::LONGEST)]
    TooLong { bytes: usize },
    #[error("more than {} parentheses inside each other", super::DEEPEST)]
    TooDeep,
    #[error("`{}` has no meaning in a question", .0.escape_debug())]
    Character(char),
    /// A number with too many digits, or a fraction that is none.
    #[error(transparent)]
    Number(NumberError),
    /// A thread that contradicts itself, such as `7/16-20 UNC`.
    #[error(transparent)]
    Thread(ThreadError),
    #[error("this quote is never closed")]
    OpenQuote,
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
    #[error("`..` stands between two numbers")]
    HalfRange,
    #[error("blanks belong on both sides of `{0}`")]
    GluedOperator(char),
    #[error("`{0}` starts with a dash")]
    LeadingDash(String),
    /// `(` without `)`.
    #[error("this parenthesis is never closed")]
    NotClosed,
    /// `)` without `(`.
    #[error("this parenthesis closes nothing")]
    NotOpened,
    #[error("{}", cannot_stand(found.as_deref()))]
    Unexpected {
        /// What was read; nothing at the end of the question.
        found: Option<String>,
        /// What could stand there.
        expected: Wanted,
    },
    /// A word where only a field can stand.
    #[error("`{found}` is not a field")]
    UnknownField { found: String, nearest: Option<String> },
    /// A word where only a unit can stand.
    #[error("`{found}` is not a unit")]
    UnknownUnit {
        found: String,
        /// The nearest spelling of a unit.
        nearest: Option<String>,
    },
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

    /// The error as data to draw. One hint: the nearest word, where there is one.
    pub fn diagnostic(&self) -> Diagnostic {
        let ErrorWords { code, label, advice } = self.kind.words();
        let mut diagnostic = Diagnostic::new(code, self.span, self.to_string(), label);
        if let SyntaxErrorKind::ClauseTwice { clause, first } = &self.kind {
            diagnostic = diagnostic.also(*first, format!("the first `{clause}`"));
        }
        match (&self.kind, &self.hint) {
            (
                SyntaxErrorKind::UnknownField { nearest: Some(nearest), .. }
                | SyntaxErrorKind::UnknownUnit { nearest: Some(nearest), .. },
                _,
            ) => diagnostic.suggest(nearest),
            (_, Some(hint)) => diagnostic.help(hint),
            (_, None) if advice.is_empty() => diagnostic,
            (_, None) => diagnostic.help(advice).offer(self.kind.instead()),
        }
    }
}

/// What is said of a kind of error besides its message.
struct ErrorWords {
    code: &'static str,
    /// What stands under the caret.
    label: String,
    /// What to do, where that follows from the kind alone; else empty.
    advice: String,
}

fn words(code: &'static str, label: &str, advice: &str) -> ErrorWords {
    ErrorWords { code, label: label.to_owned(), advice: advice.to_owned() }
}

impl SyntaxErrorKind {
    /// What may stand in its place.
    fn instead(&self) -> Option<String> {
        match self {
            Self::DashRange { low, high } => Some(format!("{low}..{high}")),
            Self::LeadingDash(text) => {
                let rest = text.strip_prefix('-')?;
                rest.starts_with(char::is_alphabetic).then(|| format!("not {rest}"))
            }
            Self::Character(';') => Some(",".to_owned()),
            _ => None,
        }
    }

    fn words(&self) -> ErrorWords {
        match self {
            Self::Empty => {
                words("empty-question", "expected a question", "for example: head with oil")
            }
            Self::TooLong { .. } => {
                words("question-too-long", "too long from here on", "ask in several questions")
            }
            Self::TooDeep => words(
                "nested-too-deep",
                "expected no further parenthesis",
                "a comma is the loosest `and` and needs no parentheses",
            ),
            Self::Character(found) => {
                let label = "expected a word, number or sign";
                words("stray-character", label, character_advice(*found))
            }
            Self::Number(NumberError::TooLong(_)) => words(
                "bad-number",
                "expected fewer digits",
                "round it; no figure of a sheet is as long",
            ),
            Self::Number(_) => words(
                "bad-number",
                "expected a number or a fraction",
                "a fraction of an inch is written 7/16 or 1-1/2; text stands in quotes",
            ),
            Self::Thread(_) => words(
                "bad-thread",
                "expected a thread that exists",
                "leave out what contradicts the rest; `clampbook thread M10` names the pitches of \
                 a size",
            ),
            Self::OpenQuote => words(
                "open-quote",
                "expected a second `\"` after this one",
                "close it with `\"`; a quote inside quotes is written twice",
            ),
            Self::EmptyQuote => words("empty-quote", "expected text", "leave the quotes out"),
            Self::StrayQuote => words(
                "stray-quote",
                "expected a blank before this",
                "a quote opens text after a blank, comma or parenthesis; after a number it is \
                 inches",
            ),
            Self::DashRange { low, high } => words(
                "dash-range",
                "expected two dots between the ends",
                &format!("`{low}..{high}` is a range; after a thread or a name put a comma"),
            ),
            Self::HalfRange => words(
                "half-range",
                "expected a number on both sides",
                "for example: torque 60..80 lb-ft",
            ),
            Self::GluedOperator(sign) => {
                words("glued-operator", &format!("expected ` {sign} `"), &glued_advice(*sign))
            }
            Self::LeadingDash(text) => {
                words("leading-dash", "expected a word or number", &leading_dash_advice(text))
            }
            Self::NotClosed => words(
                "not-closed",
                "expected a `)` after this",
                "close it, or leave it out: `head, moly or oil` needs none",
            ),
            Self::NotOpened => words(
                "not-opened",
                "expected `(` before this",
                "leave it out: `head, moly or oil` needs none",
            ),
            Self::Unexpected { expected, .. } => {
                words("unexpected", &format!("expected {expected}"), "")
            }
            Self::UnknownField { .. } => {
                words("unknown-field", "expected a field", "`clampbook list fields` names them all")
            }
            Self::UnknownUnit { .. } => words(
                "unknown-unit",
                "expected a unit",
                "for example: units N.m, kN, or units metric, or units inch",
            ),
            Self::ClauseTwice { clause, .. } => {
                words("clause-twice", "expected only one", &twice_advice(clause))
            }
        }
    }
}

fn glued_advice(sign: char) -> String {
    match sign {
        '*' => "to find words that start so, leave it out: every word does".to_owned(),
        '/' => "in words: clamp per proof-load over 0.8; a file or part number stands in quotes"
            .to_owned(),
        _ => format!(
            "for example: clamp {sign} 5 kN over 60 kN; a name with `{sign}` in it stands in quotes"
        ),
    }
}

fn twice_advice(clause: &str) -> String {
    match clause {
        "first" | "target" | "on" => format!("leave one `{clause}` out"),
        _ => format!("leave one `{clause}` out, or join the two with commas"),
    }
}

fn leading_dash_advice(text: &str) -> String {
    let rest = text.trim_start_matches('-');
    let is_figure = rest.starts_with(|first: char| first.is_ascii_digit() || first == '.');
    match (is_figure, text.starts_with("--")) {
        (true, _) => format!("`- {rest}` subtracts; a figure is never below zero"),
        (_, true) => format!("`not {rest}` leaves rows out; options stand outside the question"),
        _ => format!("`not {rest}` leaves rows out, `- {rest}` subtracts"),
    }
}

fn character_advice(found: char) -> &'static str {
    match found {
        '!' => "`not` leaves rows out",
        '&' => "the word is `and`",
        '|' => "the word is `or`",
        ';' => "a comma stands between parts",
        ':' => "a field and its value stand side by side: lube moly",
        '[' | ']' | '{' | '}' => "parentheses are ( and )",
        '?' => "leave it out; every word also finds longer words that start with it",
        '%' => "it stands right after a number: 75%",
        '\n' | '\r' => "one question stands on one line",
        _ => "",
    }
}

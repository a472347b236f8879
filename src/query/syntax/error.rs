//! What can be wrong with the form of a question.

use std::fmt;

use crate::quantity::NumberError;
use crate::text::{Diagnostic, Span};
use crate::thread::ThreadError;

/// Why a question could not be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{kind}")]
pub struct SyntaxError {
    /// What is wrong.
    pub kind: SyntaxErrorKind,
    /// Where in the text that was typed.
    pub span: Span,
    /// What to do about it, where that depends on what stands around the place.
    pub hint: Option<String>,
}

/// What is wrong.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SyntaxErrorKind {
    /// Nothing was asked.
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
    #[error("expected {expected}, read {}", found_or_end(found.as_deref()))]
    Unexpected {
        /// What was read; nothing at the end of the question.
        found: Option<String>,
        /// What could stand there.
        expected: Wanted,
    },
    /// A word where only a field can stand.
    #[error("`{found}` is not a field")]
    UnknownField {
        /// What was read.
        found: String,
        /// The nearest field.
        nearest: Option<String>,
    },
    /// A word where only a unit can stand.
    #[error("`{found}` is not a unit")]
    UnknownUnit {
        /// What was read.
        found: String,
        /// The nearest spelling of a unit.
        nearest: Option<String>,
    },
    /// A clause that stands twice.
    #[error("`{clause}` stands twice")]
    ClauseTwice {
        /// Its keyword.
        clause: &'static str,
        /// Where it stands first.
        first: Span,
    },
}

fn found_or_end(found: Option<&str>) -> String {
    found.map_or_else(|| "the end of the question".to_owned(), |text| format!("`{text}`"))
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

    /// The error as data to draw.
    pub fn diagnostic(&self) -> Diagnostic {
        let diagnostic = Diagnostic::new(self.code(), self.span, self.to_string(), self.label());
        let diagnostic = diagnostic.suggest(self.nearest());
        match self.hint.clone().or_else(|| self.advice()) {
            Some(line) => diagnostic.help(line),
            None => diagnostic,
        }
    }

    fn nearest(&self) -> Option<&str> {
        match &self.kind {
            SyntaxErrorKind::UnknownField { nearest, .. }
            | SyntaxErrorKind::UnknownUnit { nearest, .. } => nearest.as_deref(),
            _ => None,
        }
    }

    /// What stands under the caret.
    fn label(&self) -> String {
        match &self.kind {
            SyntaxErrorKind::Empty => "expected a question".to_owned(),
            SyntaxErrorKind::TooLong { .. } => "too long from here on".to_owned(),
            SyntaxErrorKind::TooDeep => "one parenthesis too many".to_owned(),
            SyntaxErrorKind::Character(_) => "expected a word, number or sign".to_owned(),
            SyntaxErrorKind::Number(_) => "expected a number".to_owned(),
            SyntaxErrorKind::Thread(_) => "expected a thread that can be".to_owned(),
            SyntaxErrorKind::OpenQuote | SyntaxErrorKind::NotClosed => "opened here".to_owned(),
            SyntaxErrorKind::EmptyQuote => "expected text".to_owned(),
            SyntaxErrorKind::StrayQuote => "expected a blank before this".to_owned(),
            SyntaxErrorKind::DashRange { low, high } => format!("write {low}..{high}"),
            SyntaxErrorKind::HalfRange => "expected a number on both sides".to_owned(),
            SyntaxErrorKind::GluedOperator(sign) => format!("write ` {sign} `"),
            SyntaxErrorKind::LeadingDash(_) => "expected a word or number".to_owned(),
            SyntaxErrorKind::NotOpened => "expected `(` before this".to_owned(),
            SyntaxErrorKind::Unexpected { expected, .. } => format!("expected {expected}"),
            SyntaxErrorKind::UnknownField { .. } => "expected a field".to_owned(),
            SyntaxErrorKind::UnknownUnit { .. } => "expected a unit".to_owned(),
            SyntaxErrorKind::ClauseTwice { .. } => "expected only one".to_owned(),
        }
    }

    /// What to do, where that follows from the kind alone.
    fn advice(&self) -> Option<String> {
        let line = match &self.kind {
            SyntaxErrorKind::Empty => "for example: head with oil".to_owned(),
            SyntaxErrorKind::TooLong { .. } => "ask in several questions".to_owned(),
            SyntaxErrorKind::TooDeep => {
                "a comma is the loosest `and` and needs no parentheses".to_owned()
            }
            SyntaxErrorKind::Character(found) => character_advice(*found)?.to_owned(),
            SyntaxErrorKind::OpenQuote => {
                "close it with `\"`; a quote inside quotes is written twice".to_owned()
            }
            SyntaxErrorKind::EmptyQuote => "leave the quotes out".to_owned(),
            SyntaxErrorKind::StrayQuote => {
                "a quote opens text after a blank, comma or parenthesis; after a number it is \
                 inches"
                    .to_owned()
            }
            SyntaxErrorKind::DashRange { low, high } => format!(
                "write {low}..{high}; if `{low}-…` is a thread or a name, put a comma after it"
            ),
            SyntaxErrorKind::GluedOperator('*') => {
                "to find words that start so, leave it out: every word does".to_owned()
            }
            SyntaxErrorKind::HalfRange => "for example: torque 60..80 lb-ft".to_owned(),
            SyntaxErrorKind::LeadingDash(text) => leading_dash_advice(text),
            SyntaxErrorKind::UnknownUnit { .. } => {
                "for example: units N.m, kN, or units metric, or units inch".to_owned()
            }
            SyntaxErrorKind::ClauseTwice { clause, .. } => {
                format!("leave one `{clause}` out, or join the two with commas")
            }
            _ => return None,
        };
        Some(line)
    }
}

fn leading_dash_advice(text: &str) -> String {
    let rest = text.trim_start_matches('-');
    if rest.starts_with(|first: char| first.is_ascii_digit() || first == '.') {
        return format!("to subtract, write `- {rest}`; a figure is never below zero");
    }
    if text.starts_with("--") {
        return format!(
            "to leave rows out, write `not {rest}`; options stand outside the question"
        );
    }
    format!("to leave rows out, write `not {rest}`; to subtract, `- {rest}`")
}

fn character_advice(found: char) -> Option<&'static str> {
    Some(match found {
        '!' => "write `not`",
        '&' => "write `and`",
        '|' => "write `or`",
        ';' => "write a comma",
        ':' => "a field and its value stand side by side: lube moly",
        '[' | ']' | '{' | '}' => "write parentheses: ( and )",
        '?' => "leave it out; every word also finds longer words that start with it",
        '%' => "write it right after a number: 75%",
        '\n' | '\r' => "one question stands on one line",
        _ => return None,
    })
}

/// What could stand at one place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Wanted(u32);

/// One thing that could stand at a place, in the order in which messages list them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u8)]
pub(crate) enum Want {
    Item,
    Field,
    Column,
    Operand,
    RangeEnd,
    Thread,
    Length,
    Lube,
    Wrench,
    Amount,
    Count,
    Unit,
    Relation,
    Operator,
    Share,
    Down,
    And,
    Or,
    Comma,
    Close,
    Clause,
}

/// Every [`Want`] with its wording.
const WORDING: &[(Want, &str)] = &[
    (Want::Item, "something to look for"),
    (Want::Field, "a field"),
    (Want::Column, "a column (a field or a sum)"),
    (Want::Operand, "a field, number or quantity"),
    (Want::RangeEnd, "a quantity with its unit"),
    (Want::Thread, "a thread"),
    (Want::Length, "a length with its unit"),
    (Want::Lube, "a lube"),
    (Want::Wrench, "a wrench"),
    (Want::Amount, "a percentage or a force"),
    (Want::Count, "a whole number from 1 up"),
    (Want::Unit, "a unit"),
    (Want::Relation, "a comparison such as `over`"),
    (Want::Operator, "an operator such as `per`"),
    (Want::Share, "`proof`, `yield` or `combined`"),
    (Want::Down, "`down`"),
    (Want::And, "`and`"),
    (Want::Or, "`or`"),
    (Want::Comma, "`,`"),
    (Want::Close, "`)`"),
    (Want::Clause, "a clause such as `with` or `show`"),
];

impl Wanted {
    /// The same with `want` added.
    pub(crate) fn with(self, want: Want) -> Self {
        Self(self.0 | 1 << want as u8)
    }

    /// Whether `want` is among them.
    pub(crate) fn has(self, want: Want) -> bool {
        self.0 & (1 << want as u8) != 0
    }
}

impl fmt::Display for Wanted {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // After a whole comparison an operator could stand too, which nobody
        // looks for there.
        let listed =
            |want: Want| self.has(want) && !(want == Want::Operator && self.has(Want::Comma));
        let words: Vec<&str> =
            WORDING.iter().filter(|row| listed(row.0)).map(|row| row.1).collect();
        match words.as_slice() {
            [] => f.write_str("the end of the question"),
            [only] => f.write_str(only),
            [most @ .., last] => write!(f, "{} or {last}", most.join(", ")),
        }
    }
}

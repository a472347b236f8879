//! What a question is made of: tokens and their classes.

use super::words::{Family, Keyword, Operator, Relation, Share};
use crate::quantity::{Number, NumberForm, Quantity, Unit};
use crate::text::Span;
use crate::thread::Pattern;

/// One token and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Token {
    pub class: Class,
    /// Where it stands in the text that was typed.
    pub span: Span,
    /// Where it stands in the text as the lexer reads it.
    pub(crate) piece: Span,
}

/// What a token is.
#[derive(Debug, Clone, PartialEq)]
pub enum Class {
    Comma,
    Open,
    Close,
    /// `..`, or `to` between numbers.
    Range,
    /// A comparison, as a sign or as a word in its place.
    Relation(Relation),
    /// An operator, as a sign or as a word in its place.
    Operator(Operator),
    /// A reserved word, or `first` or `down` in its place.
    Keyword(Keyword),
    /// `x` between a thread and a length.
    By,
    /// `proof`, `yield` or `combined` after the amount of `target`.
    Share(Share),
    /// `metric` or `inch` after `units`.
    Family(Family),
    /// A unit after `units`.
    Unit(&'static Unit),
    Quantity(Quantity),
    Thread(Pattern),
    Number(Number),
    /// Text in quotes, the quotes and doubling taken off.
    Quoted(String),
    /// A day or a month: `2020-05-12`, `2020-05`.
    Date,
    Field,
    /// Any other word.
    Word,
}

impl Class {
    /// Whether a comparison or a sum can end with it.
    pub(crate) fn ends_operand(&self) -> bool {
        matches!(self, Self::Close) || self.is_operand()
    }

    /// Whether a comparison or a sum can go on with it.
    pub(crate) fn starts_operand(&self) -> bool {
        matches!(self, Self::Open) || self.is_operand()
    }

    /// Whether it can stand in a sum by itself.
    pub(crate) fn is_operand(&self) -> bool {
        matches!(
            self,
            Self::Field
                | Self::Quantity(_)
                | Self::Number(_)
                | Self::Thread(_)
                | Self::Quoted(_)
                | Self::Date
        )
    }

    /// Whether it says that what stands before it belongs to a sum.
    pub(crate) fn joins_sums(&self) -> bool {
        matches!(self, Self::Relation(_) | Self::Operator(_))
    }
}

/// `number` as a count of rows: a whole number from 1 up.
pub(crate) fn whole_number(number: Number) -> Option<u32> {
    let whole = matches!(number.form(), NumberForm::Decimal { places: 0 });
    let value = number.value();
    (whole && (1.0..=f64::from(u32::MAX)).contains(&value)).then_some(value as u32)
}

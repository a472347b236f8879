//! The one equality of the language, whatever its spelling: two figures are
//! equal if they print alike in the unit and digits typed and hardly differ.

use crate::quantity::{Dimension, Number, NumberForm, Quantity};
use crate::query::resolve::coherent;

/// The most that equal figures differ by, as a share of the figure asked.
const HARDLY: f64 = 0.01;
/// The same of what is made to size or counted, and of every fraction.
const HARDLY_FINE: f64 = 0.001;
/// The same of shares, in themselves: 0.05 of a point.
const HARDLY_SHARE: f64 = 0.0005;

/// What a figure is asked of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sort {
    Quantity(Dimension),
    /// A share of something, in per cent.
    Share,
    /// A plain number: a count, a factor.
    Number,
}

/// How much may be between `asked` and a figure equal to it, in coherent units.
pub(super) fn slack(asked: Quantity, sort: Sort) -> f64 {
    slack_of(asked.number, asked.unit.factor * coherent(asked.dimension()), sort)
}

/// The same of a plain number.
pub(super) fn number_slack(asked: Number) -> f64 {
    slack_of(asked, 1.0, Sort::Number)
}

/// The same of a number that a sum comes to: a share, a ratio of two fields.
pub(super) fn sum_slack(asked: Number) -> f64 {
    slack_of(asked, 1.0, Sort::Quantity(Dimension::Ratio))
}

fn slack_of(number: Number, factor: f64, sort: Sort) -> f64 {
    let asked = number.value().abs() * factor;
    let hardly = match sort {
        Sort::Share => HARDLY_SHARE,
        Sort::Number | Sort::Quantity(Dimension::Length | Dimension::Angle) => asked * HARDLY_FINE,
        Sort::Quantity(_) => asked * HARDLY,
    };
    match number.form() {
        NumberForm::Fraction { .. } => hardly.min(asked * HARDLY_FINE),
        NumberForm::Decimal { .. } => hardly.min(number.half_step() * factor),
    }
}

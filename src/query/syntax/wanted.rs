//! What could stand at a place where something else was read.

use std::fmt;

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
    Total,
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
    (Want::Total, "`total`"),
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

//! What has to hold for a row.

use super::{Leaf, Name, Place, Sum};
use crate::query::syntax::words::Relation;

/// Parts between commas; every one must hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Filter {
    /// At least one.
    pub parts: Vec<Part>,
}

/// Alternatives between `or`; one must hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// At least one.
    pub alternatives: Vec<All>,
}

/// Items side by side or joined by `and`; every one must hold.
#[derive(Debug, Clone, PartialEq)]
pub struct All {
    /// At least one.
    pub items: Vec<Item>,
}

/// How an item is joined to the one before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Join {
    First,
    /// It stands beside the one before: the two may be one name.
    Beside,
    And,
}

/// One thing that must hold, or with `not` must not.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// How it is joined to the item before it.
    pub join: Join,
    pub not: Option<Place>,
    pub what: What,
    /// From its first to its last character, `not` included.
    pub place: Place,
}

/// What an item says.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    Group(Filter),
    Test(Test),
    /// Something that stands without a field.
    Bare(Bare),
}

/// A test of a field.
#[derive(Debug, Clone, PartialEq)]
pub enum Test {
    /// `FIELD value`. A field stands as the value where the field before it
    /// takes it (`lube sealant`) and nothing compares it.
    Is { field: Name, value: Leaf },
    Range {
        field: Name,
        /// Number or quantity; a number takes the unit of `high`.
        low: Leaf,
        /// Quantity, or number if `low` is one.
        high: Leaf,
    },
    /// `sum REL sum`. [`Sum::single`] tells a plain field or value.
    Compare { left: Sum, relation: Compared, right: Sum },
    /// `WORD REL sum`: no field of that name is known to the syntax.
    Unknown {
        /// What was typed in place of a field.
        word: Name,
        relation: Compared,
        right: Sum,
    },
    /// `has FIELD` or `needs FIELD`.
    Has { field: Name },
    /// `lacks FIELD`.
    Lacks { field: Name },
    No {
        /// The field that is not stated, or states that there is none.
        field: Name,
    },
    ConfusedWith {
        /// A thread, or quoted text to be read as one.
        thread: Leaf,
    },
}

/// Something that stands without a field.
#[derive(Debug, Clone, PartialEq)]
pub enum Bare {
    /// A thread, quantity, number, word, quoted text or field.
    Value(Leaf),
    /// `7/16-14 x 3.5 in`.
    ThreadAndLength {
        thread: Leaf,
        /// A quantity, or quoted text to be read as one.
        length: Leaf,
    },
}

/// A relation and where it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Compared {
    pub relation: Relation,
    pub place: Place,
}

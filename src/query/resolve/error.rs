//! What resolve finds wrong: names nobody knows, units that are missing,
//! quantities that do not compare.

use crate::text::Span;

/// Why a question that reads well cannot be answered.
#[derive(Debug, Clone, PartialEq)]
pub enum ResolveError {
    /// No field of that name.
    UnknownField {
        word: String,
        nearest: Option<String>,
        span: Span,
    },
    /// A number for a field that needs a unit.
    NoUnit {
        number: String,
        field: &'static str,
        /// The sound readings: "60 lb-ft = 81 N·m".
        readings: Vec<String>,
        span: Span,
    },
    /// A number for a share.
    NoPercent {
        number: String,
        field: &'static str,
        span: Span,
    },
    /// A quantity of another dimension.
    Dimension {
        /// The quantity or field as typed.
        found: String,
        is: Box<str>,
        /// The field or sum it is compared with.
        with: String,
        /// What that is.
        wanted: Box<str>,
        /// The field that what was found is asked of.
        other: Option<&'static str>,
        span: Span,
    },
    /// A sum of two dimensions.
    Mixed {
        left: String,
        right: String,
        span: Span,
    },
    /// Something in a sum that has no value.
    NotANumber {
        found: String,
        span: Span,
    },
    /// A value that the field cannot have.
    BadValue {
        found: String,
        field: &'static str,
        /// What was expected, in words.
        expected: String,
        nearest: Option<String>,
        span: Span,
    },
    /// A relation that the field does not know.
    BadRelation {
        field: &'static str,
        allowed: &'static str,
        /// How it is asked.
        example: String,
        span: Span,
    },
    /// A strength that is compared as if it were a figure.
    ByProof {
        name: String,
        /// The same asked of the proof, if the table has one.
        instead: Option<String>,
        span: Span,
    },
    /// A number that no name took.
    BareNumber {
        number: String,
        /// The nearest name of the book that the words around it may mean.
        name: Option<String>,
        span: Span,
    },
    /// A percentage without what it is a share of.
    BareShare {
        share: String,
        span: Span,
    },
    /// A lube, strength or wrench that the book does not know.
    UnknownName {
        /// "lube", "strength", "wrench".
        what: &'static str,
        found: String,
        nearest: Option<String>,
        span: Span,
    },
    /// A range that runs downwards.
    Reversed {
        turned: String,
        span: Span,
    },
    DividedByNothing {
        span: Span,
    },
    Clash {
        /// What clashes, in words.
        message: &'static str,
        first: Span,
        span: Span,
    },
}

//! What resolve finds wrong: names nobody knows, units that are missing,
//! quantities that do not compare.

use crate::quantity::Dimension;
use crate::text::{Diagnostic, Span};

/// Why a question that reads well cannot be answered.
#[derive(Debug, Clone, PartialEq)]
pub enum ResolveError {
    /// No field of that name.
    UnknownField {
        /// As typed.
        word: String,
        /// The nearest field.
        nearest: Option<String>,
        /// Where.
        span: Span,
    },
    /// A number for a field that needs a unit.
    NoUnit {
        /// The number as typed.
        number: String,
        /// The field.
        field: &'static str,
        /// The sound readings: "60 lb-ft = 81 N·m".
        readings: Vec<String>,
        /// Where.
        span: Span,
    },
    /// A number for a share.
    NoPercent {
        /// The number as typed.
        number: String,
        /// The field.
        field: &'static str,
        /// Where.
        span: Span,
    },
    /// A quantity of another dimension.
    Dimension {
        /// The quantity or field as typed.
        found: String,
        /// What it is.
        is: String,
        /// The field or sum it is compared with.
        with: String,
        /// What that is.
        wanted: String,
        /// Where.
        span: Span,
    },
    /// A sum of two dimensions.
    Mixed {
        /// Left side.
        left: String,
        /// Right side.
        right: String,
        /// Where.
        span: Span,
    },
    /// Something in a sum that has no value.
    NotANumber {
        /// As typed.
        found: String,
        /// Where.
        span: Span,
    },
    /// A value that the field cannot have.
    BadValue {
        /// As typed.
        found: String,
        /// The field.
        field: &'static str,
        /// What was expected, in words.
        expected: String,
        /// The nearest word.
        nearest: Option<String>,
        /// Where.
        span: Span,
    },
    /// A relation that the field does not know.
    BadRelation {
        /// The field.
        field: &'static str,
        /// What may be asked of it.
        allowed: &'static str,
        /// Where.
        span: Span,
    },
    /// A number that no name took.
    BareNumber {
        /// As typed.
        number: String,
        /// Where.
        span: Span,
    },
    /// A percentage without what it is a share of.
    BareShare {
        /// As typed.
        share: String,
        /// Where.
        span: Span,
    },
    /// A lube, strength or wrench that the book does not know.
    UnknownName {
        /// "lube", "strength", "wrench".
        what: &'static str,
        /// As typed.
        found: String,
        /// The nearest name.
        nearest: Option<String>,
        /// Where.
        span: Span,
    },
    /// A range that runs downwards.
    Reversed {
        /// Where.
        span: Span,
    },
    /// Clauses that exclude each other.
    Clash {
        /// What clashes, in words.
        message: &'static str,
        /// Where.
        span: Span,
    },
}

impl ResolveError {
    /// The error with its place, for drawing.
    pub fn diagnostic(&self) -> Diagnostic {
        match self {
            Self::UnknownField { word, nearest, span } => {
                Diagnostic::new("unknown-field", *span, format!("no field is called `{word}`"), "expected a field")
                    .suggest(nearest.as_deref())
            }
            Self::NoUnit { number, field, readings, span } => {
                Diagnostic::new("no-unit", *span, format!("{number} what? {field} needs a unit"), "expected a unit")
                    .help(format!("{}: which?", readings.join(", ")))
            }
            Self::NoPercent { number, field, span } => {
                Diagnostic::new("no-percent", *span, format!("{field} is a share"), "expected a percentage")
                    .help(format!("write {number}%"))
            }
            Self::Dimension { found, is, with, wanted, span } => Diagnostic::new(
                "dimension",
                *span,
                format!("`{found}` is a {is}, {with} is compared with a {wanted}"),
                format!("expected a {wanted}"),
            ),
            Self::Mixed { left, right, span } => Diagnostic::new(
                "mixed-sum",
                *span,
                format!("a {left} and a {right} cannot be added"),
                "expected one dimension on both sides",
            ),
            Self::NotANumber { found, span } => Diagnostic::new(
                "not-a-number",
                *span,
                format!("`{found}` has no value to compute with"),
                "expected a number, a quantity or a field that holds one",
            ),
            Self::BadValue { found, field, expected, nearest, span } => {
                let message = format!("`{found}` is not a value of {field}");
                Diagnostic::new("bad-value", *span, message, format!("expected {expected}"))
                    .suggest(nearest.as_deref())
            }
            Self::BadRelation { field, allowed, span } => {
                Diagnostic::new("bad-relation", *span, format!("{field} cannot be compared so"), *allowed)
            }
            Self::BareNumber { number, span } => Diagnostic::new(
                "bare-number",
                *span,
                format!("{number} what?"),
                "a number alone says nothing",
            )
            .help(format!("write a unit (`{number} lb-ft`), a field (`count {number}`) or quotes (`\"{number}\"`)")),
            Self::BareShare { share, span } => Diagnostic::new(
                "bare-share",
                *span,
                format!("{share} of what?"),
                "a percentage alone says nothing",
            )
            .help(format!(
                "write `of-yield over {share}`, `of-proof over {share}` or `combined over {share}`"
            )),
            Self::UnknownName { what, found, nearest, span } => {
                let message = format!("the book has no {what} `{found}`");
                let diagnostic = Diagnostic::new("unknown-name", *span, message, format!("expected a {what}"));
                match nearest {
                    Some(name) => diagnostic.suggest(Some(name)),
                    None if *what == "wrench" => {
                        diagnostic.help("the book keeps no wrenches: leave `on` out, or give `passes` a graduation")
                    }
                    None => diagnostic.help(format!("`list {}` shows those it has", plural(what))),
                }
            }
            Self::Reversed { span } => {
                Diagnostic::new("reversed", *span, "the range runs downwards", "expected low..high")
            }
            Self::Clash { message, span } => Diagnostic::new("clash", *span, *message, "does not go with the rest"),
        }
    }
}

fn plural(what: &str) -> String {
    if what.ends_with("ch") { format!("{what}es") } else { format!("{what}s") }
}

/// The readings of a number without a unit, in the units that the trade uses
/// for `dimension`: each with its value in the other system.
pub(super) fn readings(number: crate::quantity::Number, dimension: Dimension) -> Vec<String> {
    use crate::quantity::{Quantity, find_unit};
    let pair = match dimension {
        Dimension::Torque => ["lb-ft", "N·m"],
        Dimension::Force => ["lbf", "kN"],
        Dimension::Length => ["in", "mm"],
        Dimension::Stress => ["ksi", "MPa"],
        Dimension::Area => ["in²", "mm²"],
        Dimension::Angle => ["°", "turn"],
        Dimension::TemperatureDifference => ["K", "°F"],
        Dimension::Ratio => ["%", "%"],
    };
    let reading = |unit: &str, other: &str| {
        let (unit, other) = (find_unit(unit)?, find_unit(other)?);
        let read = Quantity::new(number, unit);
        let value = read.base() / other.factor;
        // As tables round: enough to tell the readings apart, no more.
        let places = usize::from(value < 20.0) + usize::from(value < 1.0);
        Some(format!("{read} = {value:.places$} {}", other.symbol))
    };
    [reading(pair[0], pair[1]), reading(pair[1], pair[0])].into_iter().flatten().collect()
}

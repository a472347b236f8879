//! What is wrong with the inputs of a formula, and the checks that find it.

use std::fmt;

use crate::quantity::{Dimension, Kind, Ratio};

/// Why a formula gives no figure. Each names the field to correct.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum MechanicsError {
    /// Zero, negative, not a number, or beyond any bolt.
    #[error("{field} is {found}: write a {} above 0", expected.name())]
    NotPositive { field: &'static str, found: Shown, expected: Dimension },
    /// A sound number outside what the formula or the trade allows.
    #[error("{field} is {found}: write a value from {low} to {high}")]
    OutOfRange { field: &'static str, found: Shown, low: Shown, high: Shown },
    #[error("{field} {found} must be smaller than {other} {limit}")]
    NotSmaller { field: &'static str, found: Shown, other: &'static str, limit: Shown },
    #[error("{field} is not stated: {purpose}")]
    NotStated { field: &'static str, purpose: &'static str },
    #[error(
        "{field} is a nut factor K for one lube and coefficients for the other: \
         give the same for both"
    )]
    MixedForms { field: &'static str },
    /// Each input is possible, together they give nothing that exists.
    #[error("{result} comes out as {found}: check {field}")]
    NoResult { result: &'static str, found: Shown, field: &'static str },
}

impl MechanicsError {
    /// The field to correct, as it is called in messages.
    pub fn field(&self) -> &'static str {
        match self {
            Self::NotPositive { field, .. }
            | Self::OutOfRange { field, .. }
            | Self::NotSmaller { field, .. }
            | Self::NotStated { field, .. }
            | Self::MixedForms { field }
            | Self::NoResult { field, .. } => field,
        }
    }
}

/// A number of base units as a message shows it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shown {
    base: f64,
    dimension: Dimension,
}

impl Shown {
    pub(crate) fn new<K: Kind>(value: K) -> Self {
        Self { base: value.base(), dimension: K::DIMENSION }
    }

    fn unit(self) -> String {
        match self.dimension.base_unit() {
            close @ ("" | "°") => close.to_owned(),
            symbol => format!(" {symbol}"),
        }
    }
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.base.is_nan() {
            return f.write_str("not a number");
        }
        let size = self.base.abs();
        if size != 0.0 && !(1e-4..1e7).contains(&size) {
            return write!(f, "{:.3e}{}", self.base, self.unit());
        }
        // Four places are finer than any input; trailing zeros say nothing.
        let text = format!("{:.4}", self.base);
        write!(f, "{}{}", text.trim_end_matches('0').trim_end_matches('.'), self.unit())
    }
}

/// Limits of what is taken as a magnitude at all, in base units: wide enough
/// for any fastener, narrow enough that no formula here can overflow.
const SMALLEST: f64 = 1e-9;
const LARGEST: f64 = 1e12;

pub(crate) fn positive<K: Kind>(field: &'static str, value: K) -> Result<K, MechanicsError> {
    if (SMALLEST..=LARGEST).contains(&value.base()) {
        return Ok(value);
    }
    let found = Shown::new(value);
    Err(MechanicsError::NotPositive { field, found, expected: K::DIMENSION })
}

pub(crate) fn within<K: Kind>(
    field: &'static str,
    value: K,
    low: f64,
    high: f64,
) -> Result<K, MechanicsError> {
    if (low..=high).contains(&value.base()) {
        return Ok(value);
    }
    Err(MechanicsError::OutOfRange {
        field,
        found: Shown::new(value),
        low: Shown::new(K::from_base(low)),
        high: Shown::new(K::from_base(high)),
    })
}

/// Fails unless `value` is under `limit`.
pub(crate) fn smaller<K: Kind>(
    field: &'static str,
    value: K,
    other: &'static str,
    limit: K,
) -> Result<(), MechanicsError> {
    if value < limit {
        return Ok(());
    }
    let (found, limit) = (Shown::new(value), Shown::new(limit));
    Err(MechanicsError::NotSmaller { field, found, other, limit })
}

/// `value` if it can exist as a result; `field` is what to look at otherwise.
pub(crate) fn result<K: Kind>(
    name: &'static str,
    value: K,
    field: &'static str,
) -> Result<K, MechanicsError> {
    if value.base().is_finite() && value.base() > 0.0 {
        return Ok(value);
    }
    Err(MechanicsError::NoResult { result: name, found: Shown::new(value), field })
}

/// A coefficient of friction: 0.01 is below the best dry film, 1 above galling
/// metal (published classes run from 0.04 to "0.30 or more", VDI 2230 Table A5).
pub(crate) fn coefficient(field: &'static str, value: Ratio) -> Result<Ratio, MechanicsError> {
    within(field, value, 0.01, 1.0)
}

/// A share that may pass 100 % a little but is no per cent figure: 0.01 to 2.
pub(crate) fn share(field: &'static str, value: Ratio) -> Result<Ratio, MechanicsError> {
    within(field, value, 0.01, 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Force, Length};

    #[test]
    fn each_kind_of_error_names_its_field() {
        let cases = [
            (
                positive("pitch", Length::from_mm(-1.5)).unwrap_err(),
                "pitch is -1.5 mm: write a length above 0",
            ),
            (
                positive("clamp", Force::from_n(f64::NAN)).unwrap_err(),
                "clamp is not a number: write a force above 0",
            ),
            (
                positive("clamp", Force::from_n(1e300)).unwrap_err(),
                "clamp is 1.000e300 N: write a force above 0",
            ),
            (
                coefficient("thread friction", Ratio::from_value(3.0)).unwrap_err(),
                "thread friction is 3: write a value from 0.01 to 1",
            ),
            (
                smaller("hole", Length::from_mm(18.0), "bearing outer", Length::from_mm(17.5))
                    .unwrap_err(),
                "hole 18 mm must be smaller than bearing outer 17.5 mm",
            ),
            (
                result("torque", Force::from_n(-1.0), "clamp").unwrap_err(),
                "torque comes out as -1 N: check clamp",
            ),
            (
                MechanicsError::NotStated { field: "yield", purpose: "the target is of yield" },
                "yield is not stated: the target is of yield",
            ),
        ];
        for (error, message) in cases {
            assert_eq!(error.to_string(), message);
            assert!(message.contains(error.field()));
        }
    }
}

//! A quantity as written, "85 N·m": read, printed, converted.

use std::fmt;

use super::{DecimalMark, Dimension, Kind, Number, NumberError, Unit, units};
use crate::text::{Plain, nearest};

/// A number with its unit, both as written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantity {
    pub number: Number,
    pub unit: &'static Unit,
}

/// Why a text is not a quantity.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum QuantityError {
    #[error(transparent)]
    Number(#[from] NumberError),
    #[error("`{0}` has no unit")]
    NoUnit(String),
    #[error("`{found}` is not a unit{}", nearest.as_ref().map(|n| format!("; did you mean `{n}`?")).unwrap_or_default())]
    UnknownUnit { found: String, nearest: Option<String> },
    #[error("`{0}` follows the quantity")]
    Trailing(String),
}

impl Quantity {
    /// `number` in `unit`, printed as it was written.
    pub fn new(number: Number, unit: &'static Unit) -> Self {
        Self { number, unit }
    }

    /// The typed value `value` written in `unit` with `places` decimals. None
    /// if the unit measures something else or the value is negative.
    pub fn rounded<K: Kind>(value: K, unit: &'static Unit, places: u8) -> Option<Self> {
        let number = value.base() / unit.factor;
        (unit.dimension == K::DIMENSION && number >= 0.0 && number.is_finite())
            .then(|| Self::new(Number::decimal(number, places), unit))
    }

    /// What kind of quantity the unit measures.
    pub fn dimension(self) -> Dimension {
        self.unit.dimension
    }

    /// The value in base units (see [`Dimension`]).
    pub fn base(self) -> f64 {
        self.number.value() * self.unit.factor
    }

    /// Half of the last digit written, in base units.
    pub fn half_step(self) -> f64 {
        self.number.half_step() * self.unit.factor
    }

    /// The typed value; None if the quantity is of another kind.
    pub fn get<K: Kind>(self) -> Option<K> {
        (self.dimension() == K::DIMENSION).then(|| K::from_base(self.base()))
    }

    /// The whole of `text` as a quantity, decimal point only.
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        Self::parse_with(text, DecimalMark::Point)
    }

    /// The whole of `text` as a quantity, decimals after `mark`.
    pub fn parse_with(text: &str, mark: DecimalMark) -> Result<Self, QuantityError> {
        let plain = Plain::new(text);
        let text = plain.as_str().trim();
        let (quantity, length) = take_quantity(text, mark)?;
        match text[length..].trim() {
            "" => Ok(quantity),
            rest => Err(QuantityError::Trailing(rest.to_owned())),
        }
    }
}

/// The longest quantity at the start of `text` (already plain, see
/// [`Plain`]) and its length in bytes.
pub fn take_quantity(text: &str, mark: DecimalMark) -> Result<(Quantity, usize), QuantityError> {
    let (number, length) = Number::take(text, mark)?;
    let rest = &text[length..];
    let blanks = rest.len() - rest.trim_start_matches(' ').len();
    match units::take_unit(&rest[blanks..]) {
        Some((unit, width)) => Ok((Quantity::new(number, unit), length + blanks + width)),
        None if rest.trim().is_empty() => Err(QuantityError::NoUnit(text[..length].to_owned())),
        None => Err(unknown_unit(rest.trim())),
    }
}

fn unknown_unit(found: &str) -> QuantityError {
    let spellings = units::UNITS.iter().flat_map(|unit| unit.spellings.iter().copied());
    QuantityError::UnknownUnit {
        found: found.chars().take(24).collect(),
        nearest: nearest(found, spellings).map(str::to_owned),
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.unit.symbol {
            close @ ("°" | "%" | "°F") => write!(f, "{}{close}", self.number),
            symbol => write!(f, "{} {symbol}", self.number),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn print_and_parse_agree() {
        for unit in units::UNITS {
            for number in ["70", "0.0055", "7/16", "1-1/2"] {
                let text = format!("{number} {}", unit.symbol);
                let quantity = Quantity::parse(&text).unwrap();
                assert_eq!(Quantity::parse(&quantity.to_string()).unwrap(), quantity, "{text}");
            }
        }
    }

    #[test]
    fn errors_say_what_was_read() {
        assert_eq!(Quantity::parse("70"), Err(QuantityError::NoUnit("70".into())));
        assert!(matches!(Quantity::parse("70 lbft2"), Err(QuantityError::UnknownUnit { .. })));
        assert!(
            matches!(Quantity::parse("70 Nm moly"), Err(QuantityError::Trailing(rest)) if rest == "moly")
        );
    }
}

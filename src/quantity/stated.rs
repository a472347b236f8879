//! Quantities of a known kind, as a sheet states them: one value, a range, or
//! only a maximum.

use std::fmt;
use std::marker::PhantomData;

use super::{DecimalMark, Dimension, Kind, Number, Quantity, QuantityError, units};
use crate::text::Plain;

/// A quantity of kind `K` as written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stated<K> {
    written: Quantity,
    kind: PhantomData<K>,
}

/// A quantity of the wrong kind, or none at all.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WrongKind {
    #[error("`{found}` is a {}, a {} was expected", is.name(), wanted.name())]
    Dimension { found: String, is: Dimension, wanted: Dimension },
    #[error(transparent)]
    Quantity(#[from] QuantityError),
    /// The first end of a range is above the second.
    #[error("the range `{0}` runs downwards")]
    Reversed(String),
}

impl<K: Kind> Stated<K> {
    /// `written`, if it is of kind `K`.
    pub fn new(written: Quantity) -> Result<Self, WrongKind> {
        if written.dimension() == K::DIMENSION {
            return Ok(Self { written, kind: PhantomData });
        }
        Err(WrongKind::Dimension {
            found: written.to_string(),
            is: written.dimension(),
            wanted: K::DIMENSION,
        })
    }

    /// The whole of `text`, decimal point only.
    pub fn parse(text: &str) -> Result<Self, WrongKind> {
        Self::new(Quantity::parse(text)?)
    }

    /// Number and unit as written.
    pub fn written(self) -> Quantity {
        self.written
    }

    /// The figure in base units, as its own type.
    pub fn value(self) -> K {
        K::from_base(self.written.base())
    }
}

impl<K> fmt::Display for Stated<K> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.written.fmt(f)
    }
}

/// What a sheet states of a quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Extent<K> {
    Exactly(Stated<K>),
    /// From low to high, both in one unit.
    Between(Stated<K>, Stated<K>),
    /// Not more than this; there is no value to aim at.
    AtMost(Stated<K>),
}

impl<K: Kind> Extent<K> {
    /// The low end; none for a maximum.
    pub fn low(self) -> Option<K> {
        match self {
            Self::Exactly(value) | Self::Between(value, _) => Some(value.value()),
            Self::AtMost(_) => None,
        }
    }

    /// The most that is allowed: of a single value itself.
    pub fn high(self) -> K {
        match self {
            Self::Exactly(value) | Self::Between(_, value) | Self::AtMost(value) => value.value(),
        }
    }

    /// What to aim at: the value, the middle of a range, nothing for a maximum.
    pub fn target(self) -> Option<K> {
        let low = self.low()?;
        Some(K::from_base(f64::midpoint(low.base(), self.high().base())))
    }

    /// The unit it is written in.
    pub fn unit(self) -> &'static super::Unit {
        match self {
            Self::Exactly(value) | Self::Between(value, _) | Self::AtMost(value) => {
                value.written.unit
            }
        }
    }

    /// Reads `65 lb-ft`, `60..65 lb-ft` (also `60 to 65`) or `max 65 lb-ft`.
    pub fn parse(text: &str) -> Result<Self, WrongKind> {
        Self::parse_with(text, DecimalMark::Point)
    }

    /// The same with decimals after `mark`.
    pub fn parse_with(text: &str, mark: DecimalMark) -> Result<Self, WrongKind> {
        let plain = Plain::new(text);
        let text = plain.as_str().trim();
        if let Some(rest) = text.strip_prefix("max ").or_else(|| text.strip_prefix("at-most ")) {
            return Ok(Self::AtMost(Stated::new(Quantity::parse_with(rest, mark)?)?));
        }
        match text.split_once("..").or_else(|| text.split_once(" to ")) {
            Some((low, high)) => Self::between(low, high, text, mark),
            None => Ok(Self::Exactly(Stated::new(Quantity::parse_with(text, mark)?)?)),
        }
    }

    fn between(low: &str, high: &str, text: &str, mark: DecimalMark) -> Result<Self, WrongKind> {
        let high = Stated::<K>::new(Quantity::parse_with(high, mark)?)?;
        let low = match Number::parse(low, mark) {
            Ok(number) => Stated::new(Quantity::new(number, high.written.unit))?,
            Err(_) => Stated::<K>::new(Quantity::parse_with(low, mark)?)?,
        };
        if low.written.base() > high.written.base() {
            return Err(WrongKind::Reversed(text.to_owned()));
        }
        Ok(Self::Between(low, high))
    }
}

impl<K: Kind> fmt::Display for Extent<K> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Exactly(value) => value.fmt(f),
            Self::AtMost(value) => write!(f, "max {value}"),
            Self::Between(low, high) if low.written.unit == high.written.unit => {
                write!(f, "{}..{high}", low.written.number)
            }
            Self::Between(low, high) => write!(f, "{low}..{high}"),
        }
    }
}

/// For every unit the one of the other system that the trade writes beside it;
/// itself where there is no habit.
const COUNTERPARTS: &[(&[&str], &str)] = &[
    (&["lb-ft", "lb-in", "oz-in"], "N·m"),
    (&["N·m", "daN·m", "kN·m", "kgf·m"], "lb-ft"),
    (&["N·cm", "kgf·cm"], "lb-in"),
    (&["lbf", "kip"], "kN"),
    (&["N", "kN", "kgf"], "lbf"),
    (&["mm", "cm", "m", "µm"], "in"),
    (&["in", "thou", "ft"], "mm"),
    (&["MPa", "GPa", "kgf/mm²"], "ksi"),
    (&["psi", "ksi"], "MPa"),
    (&["mm²", "cm²"], "in²"),
    (&["in²"], "mm²"),
    (&["K"], "°F"),
    (&["°F"], "K"),
    (&["°"], "°"),
    (&["turn"], "turn"),
    (&["%"], "%"),
];

/// The unit of the other system that the trade writes beside `unit`: N·m for
/// lb-ft, in for mm. The same unit where there is no habit.
pub fn counterpart(unit: &'static super::Unit) -> &'static super::Unit {
    let row = COUNTERPARTS.iter().find(|row| row.0.contains(&unit.symbol));
    let found = row.and_then(|row| units::UNITS.iter().find(|other| other.symbol == row.1));
    found.expect("every unit has a row; a test walks UNITS")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Force, Torque};

    #[test]
    fn extents_print_and_parse_alike() {
        for text in ["65 lb-ft", "60..65 lb-ft", "max 9 N·m", "6 lb-ft..90 lb-in"] {
            let extent = Extent::<Torque>::parse(text).unwrap();
            assert_eq!(Extent::parse(&extent.to_string()).unwrap(), extent);
            assert_eq!(extent.to_string(), text);
        }
    }

    #[test]
    fn every_unit_has_a_counterpart_of_its_dimension() {
        for unit in units::UNITS {
            let other = counterpart(unit);
            assert_eq!(other.dimension, unit.dimension, "{}", unit.symbol);
            let both = unit.system == units::System::Both;
            assert_eq!(other.system == unit.system, both, "{}", unit.symbol);
        }
    }

    #[test]
    fn a_torque_is_not_a_force() {
        assert!(matches!(Stated::<Force>::parse("65 lb-ft"), Err(WrongKind::Dimension { .. })));
        assert!(matches!(Extent::<Torque>::parse("70..60 lb-ft"), Err(WrongKind::Reversed(_))));
    }
}

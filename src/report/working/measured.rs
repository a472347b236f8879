//! A value in the working: finer than a figure to be pulled, with its SI unit.

use serde_json::{Map, Value};

use crate::mechanics::{Expansion, Stiffness};
use crate::quantity::{Dimension, Kind, Stated, System, Unit, counterpart};
use crate::report::figures::{joined, short};
use crate::report::units::habit;

/// Significant figures of the working. A figure to be pulled is rounded to what
/// it can promise; here the reader is to follow the sum.
const FIGURES: i32 = 4;

/// A value as the working shows it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Measured {
    /// In the base unit of its dimension.
    base: f64,
    /// The base unit; empty for a plain number.
    unit: &'static str,
    /// As shown, with its unit.
    pub(crate) text: String,
    /// The unit shown, where the other system has one too.
    shown: Option<&'static Unit>,
}

/// The unit in which the working shows a dimension; a ratio is a bare number.
fn shown_unit(dimension: Dimension) -> Option<&'static Unit> {
    habit(System::Metric, dimension).filter(|_| dimension != Dimension::Ratio)
}

/// A number with [`FIGURES`] significant figures, signed.
pub(crate) fn plain(value: f64) -> String {
    let sign = if value < 0.0 { "−" } else { "" };
    format!("{sign}{}", short(value.abs(), FIGURES))
}

impl Measured {
    pub(crate) fn typed<K: Kind>(value: K) -> Self {
        let (base, dimension) = (value.base(), K::DIMENSION);
        let Some(unit) = shown_unit(dimension) else { return Self::number(base) };
        let text = joined(&plain(base / unit.factor), unit);
        Self { base, unit: dimension.base_unit(), text, shown: Some(unit) }
    }

    pub(crate) fn number(value: f64) -> Self {
        Self { base: value, unit: "", text: plain(value), shown: None }
    }

    pub(crate) fn share(value: f64) -> Self {
        Self { base: value, unit: "", text: format!("{} %", plain(value * 100.0)), shown: None }
    }

    /// The result with the unit of the other system behind it.
    pub(crate) fn with_counterpart(&self) -> String {
        let other = self.shown.map(|unit| (unit, counterpart(unit)));
        match other.filter(|(unit, other)| unit != other) {
            Some((_, other)) => {
                format!("{} = {}", self.text, joined(&plain(self.base / other.factor), other))
            }
            None => self.text.clone(),
        }
    }

    /// `{"symbol": …, "value": SI, "unit": …}`.
    pub(crate) fn json(&self, name: &'static str) -> Map<String, Value> {
        let unit = (!self.unit.is_empty()).then_some(self.unit);
        let entries: [(&str, Value); 3] =
            [("symbol", name.into()), ("value", self.base.into()), ("unit", unit.into())];
        entries.into_iter().map(|(key, value)| (key.to_owned(), value)).collect()
    }
}

impl<K: Kind> From<K> for Measured {
    fn from(value: K) -> Self {
        Self::typed(value)
    }
}

impl<K: Kind> From<Stated<K>> for Measured {
    fn from(value: Stated<K>) -> Self {
        Self::typed(value.value())
    }
}

impl From<f64> for Measured {
    fn from(value: f64) -> Self {
        Self::number(value)
    }
}

impl From<Stiffness> for Measured {
    fn from(value: Stiffness) -> Self {
        let text = format!("{} kN/mm", plain(value.n_per_mm() / 1000.0));
        Self { base: value.n_per_mm(), unit: "N/mm", text, shown: None }
    }
}

impl From<Expansion> for Measured {
    fn from(value: Expansion) -> Self {
        let text = format!("{}·10⁻⁶/K", plain(value.per_k() * 1e6));
        Self { base: value.per_k(), unit: "1/K", text, shown: None }
    }
}

//! Lenses to the figures of reference tables: a factor with its range, and the
//! stresses and sizes of one line of a strength.

use super::{FieldKind, Leaf, Record, Through, Value};
use crate::quantity::{
    DecimalMark, Dimension, Length, Number, Quantity, Stated, Stress, Unit, find_unit,
};
use crate::record::{Band, Lube, StrengthClass};

/// Which figure of a band.
#[derive(Clone, Copy)]
pub(crate) enum End {
    Low,
    Nominal,
    High,
}

/// One end of a factor's range, or the value to compute with.
macro_rules! factor {
    ($member:ident.$end:ident) => {
        $crate::record::table::Through::<Lube, Option<f64>> {
            get: |lube| $crate::record::table::End::$end.pick(lube.$member),
            put: |lube, number| $crate::record::table::End::$end.put(&mut lube.$member, number),
        }
    };
}

pub(crate) use factor;

impl End {
    pub(crate) fn pick(self, band: Option<Band>) -> Option<f64> {
        band.map(|band| match self {
            Self::Low => band.low,
            Self::Nominal => band.nominal,
            Self::High => band.high,
        })
    }

    /// A factor alone has no range; without it there is none. The check of the
    /// whole lube says whether the three rise. Nominal values come first in the table,
    /// so that there is a range.
    pub(crate) fn put(self, band: &mut Option<Band>, number: Option<f64>) -> Result<(), String> {
        match (self, band.as_mut(), number) {
            (Self::Nominal, _, None) => *band = None,
            (Self::Nominal, None, Some(all)) => {
                *band = Some(Band { low: all, nominal: all, high: all });
            }
            (Self::Nominal, Some(band), Some(nominal)) => band.nominal = nominal,
            (_, None, None) => {}
            (_, None, Some(_)) => return Err("a range without its nominal value".to_owned()),
            (Self::Low, Some(band), low) => band.low = low.unwrap_or(band.nominal),
            (Self::High, Some(band), high) => band.high = high.unwrap_or(band.nominal),
        }
        Ok(())
    }
}

/// A figure of a strength that has one range of sizes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum LineFigure {
    /// `830`, in the unit of the strength.
    Bare(f64),
    /// `830 MPa`.
    Typed(Stated<Stress>),
    /// As the table has it, with the unit of the standard.
    Kept(Stress, &'static Unit),
}

impl LineFigure {
    /// It as it is kept, `unit` being that of its strength.
    pub(crate) fn stress(self, unit: &Unit) -> Stress {
        match self {
            Self::Bare(number) => Stress::from_mpa(number * unit.factor),
            Self::Typed(stated) => stated.value(),
            Self::Kept(stress, _) => stress,
        }
    }
}

impl Leaf for LineFigure {
    const KIND: FieldKind = FieldKind::Quantity(Dimension::Stress);

    /// In the unit of the standard, to a thousandth, finer than any gives it.
    fn value(&self) -> Value<'_> {
        match *self {
            Self::Bare(number) => Value::Number(number),
            Self::Typed(stated) => Value::stated(Some(stated)),
            Self::Kept(stress, unit) => {
                let figure = (stress.mpa() / unit.factor * 1000.0).round() / 1000.0;
                let number = Number::parse(&figure.to_string(), DecimalMark::Point).ok();
                let stated = |number| Stated::<Stress>::new(Quantity::new(number, unit)).ok();
                Value::stated(number.and_then(stated))
            }
        }
    }

    fn read(text: &str) -> Result<Self, String> {
        f64::read(text).map(Self::Bare).or_else(|_| Leaf::read(text).map(Self::Typed))
    }

    fn take(value: Value<'_>) -> Result<Self, String> {
        match value {
            Value::Number(number) => Ok(Self::Bare(number)),
            other => Leaf::take(other).map(Self::Typed),
        }
    }
}

pub(crate) const BY_SIZE: &str = "a strength has its figures by size";

macro_rules! figure {
    ($member:ident) => {
        $crate::record::table::Through::<StrengthClass, Option<LineFigure>> {
            get: |class| {
                let stress = class.rows.first().and_then(|row| row.$member);
                stress.map(|stress| LineFigure::Kept(stress, class.unit))
            },
            put: |class, figure| {
                let row = class.rows.first_mut().ok_or($crate::record::table::BY_SIZE)?;
                row.$member = figure.map(|figure| figure.stress(class.unit));
                Ok(())
            },
        }
    };
}

pub(crate) use figure;

/// An end of the range of sizes of a strength that has one: `M16`, `1/4`, `1-1/2`,
/// `#10`, and whether `over` stands before it.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct NominalSize {
    /// As typed: an inch size printed in millimetres would lose its last digits.
    text: String,
    size: Length,
    above: bool,
}

impl NominalSize {
    fn new(size: Length, above: bool) -> Self {
        // An inch size is not a whole number of millimetres.
        let mm = (size.mm() * 1000.0).round() / 1000.0;
        Self { text: format!("{}M{mm}", if above { "over " } else { "" }), size, above }
    }
}

impl Leaf for NominalSize {
    const KIND: FieldKind = FieldKind::Text;

    fn value(&self) -> Value<'_> {
        Value::text(&self.text)
    }

    fn read(text: &str) -> Result<Self, String> {
        let text = text.trim();
        let rest = text.strip_prefix("over ");
        let size = nominal_size(rest.unwrap_or(text).trim());
        let wrong = || format!("`{text}` is not a nominal size: write M16, 1/4, 1-1/2 or #10");
        let (text, above) = (text.to_owned(), rest.is_some());
        Ok(Self { size: size.ok_or_else(wrong)?, text, above })
    }
}

pub(crate) const FROM_SIZE: Through<StrengthClass, NominalSize> = Through {
    get: |class| {
        let row = class.rows.first();
        row.map(|row| NominalSize::new(row.from, row.above)).unwrap_or_default()
    },
    put: |class, end| {
        let row = class.rows.first_mut().ok_or(BY_SIZE)?;
        (row.from, row.above) = (end.size, end.above);
        Ok(())
    },
};

pub(crate) const TO_SIZE: Through<StrengthClass, NominalSize> = Through {
    get: |class| {
        let row = class.rows.first();
        row.map(|row| NominalSize::new(row.to, false)).unwrap_or_default()
    },
    put: |class, end| {
        if end.above {
            return Err("`over` has no place here".to_owned());
        }
        class.rows.first_mut().ok_or(BY_SIZE)?.to = end.size;
        Ok(())
    },
};

fn nominal_size(text: &str) -> Option<Length> {
    if let Some(number) = text.strip_prefix(['M', 'm']) {
        let number = Number::parse(number, DecimalMark::Point).ok()?;
        return (number.value() > 0.0).then(|| Length::from_mm(number.value()));
    }
    if let Some(number) = text.strip_prefix('#') {
        // ASME B1.1: number size n is 0.060 in + 0.013 in for each number.
        let number: u32 = number.trim().parse().ok().filter(|number| *number <= 14)?;
        return Some(Length::from_mm((0.060 + 0.013 * f64::from(number)) * 25.4));
    }
    let bare = text.trim_end_matches(['"', ' ']).trim_end_matches("in").trim();
    let number = Number::parse(bare, DecimalMark::Point).ok()?;
    (number.value() > 0.0).then(|| Length::from_mm(number.value() * 25.4))
}

impl Leaf for &'static Unit {
    const KIND: FieldKind = FieldKind::Text;

    fn value(&self) -> Value<'_> {
        Value::text(self.symbol)
    }

    fn read(text: &str) -> Result<Self, String> {
        let text = text.trim();
        find_unit(text)
            .filter(|unit| unit.dimension == Dimension::Stress)
            .ok_or_else(|| format!("`{text}` is not a unit of stress: write MPa, ksi or psi"))
    }
}

impl Record for Lube {}

impl Record for StrengthClass {}

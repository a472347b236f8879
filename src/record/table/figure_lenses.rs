//! Lenses to the figures of reference tables: a factor with its range, and the
//! stresses and sizes of one line of a strength.

use std::any::Any;

use super::lens::{Lens, Placed, Record, seen, seen_mut};
use super::{FieldKind, Leaf, Owner, Value};
use crate::quantity::{
    DecimalMark, Dimension, Length, Number, Quantity, Stated, Stress, Unit, find_unit,
};
use crate::record::{Band, Lube, StrengthClass, StrengthRow};

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

/// A figure of a strength that has one range of sizes, in the unit of the
/// standard.
pub(crate) struct FigureLens {
    pub(crate) stress: fn(&StrengthRow) -> Option<Stress>,
    pub(crate) stress_mut: fn(&mut StrengthRow) -> &mut Option<Stress>,
}

macro_rules! figure {
    ($member:ident) => {
        $crate::record::table::FigureLens {
            stress: |row| row.$member,
            stress_mut: |row| &mut row.$member,
        }
    };
}

pub(crate) use figure;

impl Placed for FigureLens {
    const KIND: FieldKind = FieldKind::Quantity(Dimension::Stress);
    const OWNER: Owner = Owner::Alone;
}

impl FigureLens {
    fn stress(&self, class: &StrengthClass) -> Option<Stress> {
        class.rows.first().and_then(|row| (self.stress)(row))
    }
}

impl Lens for FigureLens {
    /// In the unit of the standard, to a thousandth, finer than any gives it.
    fn get<'a>(&self, record: &'a dyn Any) -> Value<'a> {
        let class: &StrengthClass = seen(record);
        let stress = self.stress(class).and_then(|stress| {
            let figure = (stress.mpa() / class.unit.factor * 1000.0).round() / 1000.0;
            let number = Number::parse(&figure.to_string(), DecimalMark::Point).ok()?;
            Stated::<Stress>::new(Quantity::new(number, class.unit)).ok()
        });
        Value::stated(stress)
    }

    /// `830` in the unit of the strength, or `830 MPa`.
    fn read(&self, text: &str) -> Result<Value<'static>, String> {
        let number = <Option<f64>>::read(text).map(Value::number);
        number.or_else(|_| <Option<Stated<Stress>>>::read(text).map(Value::stated))
    }

    fn put(&self, record: &mut dyn Any, value: Value<'_>) -> Result<(), String> {
        let class: &mut StrengthClass = seen_mut(record);
        let stress = match value {
            Value::Measure(measure) => Some(measure.high),
            other => <Option<f64> as Leaf>::take(other)?.map(|number| number * class.unit.factor),
        };
        let row = class.rows.first_mut().ok_or("a strength has its figures by size")?;
        *(self.stress_mut)(row) = stress.map(Stress::from_mpa);
        Ok(())
    }

    fn copy(&self, from: &dyn Any, into: &mut dyn Any) {
        let (from, into): (&StrengthClass, &mut StrengthClass) = (seen(from), seen_mut(into));
        if let Some(row) = into.rows.first_mut() {
            *(self.stress_mut)(row) = self.stress(from);
        }
    }

    fn is_same(&self, one: &dyn Any, other: &dyn Any) -> bool {
        self.stress(seen(one)) == self.stress(seen(other))
    }
}

/// An end of the range of sizes of a strength that has one.
pub(crate) enum Size {
    From,
    To,
}

impl Placed for Size {
    const KIND: FieldKind = FieldKind::Text;
    const OWNER: Owner = Owner::Alone;
}

impl Size {
    fn end(&self, class: &StrengthClass) -> Option<(Length, bool)> {
        let row = class.rows.first()?;
        Some(match self {
            Self::From => (row.from, row.above),
            Self::To => (row.to, false),
        })
    }

    fn change(
        &self,
        class: &mut StrengthClass,
        (size, above): (Length, bool),
    ) -> Result<(), String> {
        let row = class.rows.first_mut().ok_or("a strength has its figures by size")?;
        match self {
            Self::From => (row.from, row.above) = (size, above),
            Self::To if above => return Err("`over` has no place here".to_owned()),
            Self::To => row.to = size,
        }
        Ok(())
    }
}

/// A nominal size, `M16`, `1/4`, `1-1/2`, `#10`, and whether `over` stands
/// before it.
fn size(text: &str) -> Result<(Length, bool), String> {
    let (bare, above) = match text.strip_prefix("over ") {
        Some(rest) => (rest.trim(), true),
        None => (text.trim(), false),
    };
    let size = nominal_size(bare);
    let wrong = || format!("`{text}` is not a nominal size: write M16, 1/4, 1-1/2 or #10");
    size.map(|size| (size, above)).ok_or_else(wrong)
}

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

fn size_text((size, above): (Length, bool)) -> String {
    // An inch size is not a whole number of millimetres.
    let mm = (size.mm() * 1000.0).round() / 1000.0;
    format!("{}M{mm}", if above { "over " } else { "" })
}

impl Lens for Size {
    fn get<'a>(&self, record: &'a dyn Any) -> Value<'a> {
        self.end(seen(record)).map_or(Value::NotStated, |end| Value::made(size_text(end)))
    }

    fn read(&self, text: &str) -> Result<Value<'static>, String> {
        // As typed: an inch size printed in millimetres would lose its last digits.
        size(text.trim()).map(|_| Value::made(text.trim().to_owned()))
    }

    fn put(&self, record: &mut dyn Any, value: Value<'_>) -> Result<(), String> {
        let end = size(&value.cell().ok_or(super::NEEDED)?)?;
        self.change(seen_mut(record), end)
    }

    fn copy(&self, from: &dyn Any, into: &mut dyn Any) {
        if let Some(end) = self.end(seen(from)) {
            drop(self.change(seen_mut(into), end));
        }
    }

    fn is_same(&self, one: &dyn Any, other: &dyn Any) -> bool {
        self.end(seen(one)) == self.end(seen(other))
    }
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

impl Record for Lube {
    const OWNER: Owner = Owner::Alone;
}

impl Record for StrengthClass {
    const OWNER: Owner = Owner::Alone;
}

//! The types that members of records have: each with its kind, its clean
//! notation and its value.
//!
//! Clean notation is what the book prints and reads back: `65 lb-ft`, `yes`,
//! `2026-05-04`. The many ways in which people fill in cells are read by intake,
//! on top of this.

use std::borrow::Cow;

use jiff::civil::Date;

use super::{FieldKind, Measure, Value, Written};
use crate::quantity::{Angle, DecimalMark, Dimension, Extent, Kind, Number, Stated};
use crate::record::{Pass, Reuse};
use crate::thread::Thread;

/// A member of a record that a person can type.
pub(crate) trait Leaf: Clone + PartialEq + 'static {
    const KIND: FieldKind;
    fn value(&self) -> Value<'_>;
    /// Reads clean notation; an empty text or `-` is "not stated". The error
    /// says what was expected.
    fn read(text: &str) -> Result<Self, String>;
    /// The member that `value` stands for.
    fn take(value: Value<'_>) -> Result<Self, String> {
        Self::read(&value.cell().unwrap_or_default())
    }
}

/// `text` unless it stands for nothing: empty or `-`.
pub(crate) fn given(text: &str) -> Option<&str> {
    let text = text.trim();
    (!text.is_empty() && text != "-").then_some(text)
}

pub(crate) const NEEDED: &str = "it cannot be left out";

/// Nothing is "not stated".
impl<T: Leaf> Leaf for Option<T> {
    const KIND: FieldKind = T::KIND;

    fn value(&self) -> Value<'_> {
        self.as_ref().map_or(Value::NotStated, T::value)
    }

    fn read(text: &str) -> Result<Self, String> {
        given(text).map(T::read).transpose()
    }

    fn take(value: Value<'_>) -> Result<Self, String> {
        match value {
            Value::NotStated => Ok(None),
            Value::Text(text) if T::KIND != FieldKind::Text => Self::read(&text),
            other => T::take(other).map(Some),
        }
    }
}

impl Leaf for String {
    const KIND: FieldKind = FieldKind::Text;

    fn value(&self) -> Value<'_> {
        Value::text(self)
    }

    fn read(text: &str) -> Result<Self, String> {
        given(text).map(str::to_owned).ok_or_else(|| NEEDED.to_owned())
    }

    fn take(value: Value<'_>) -> Result<Self, String> {
        value.cell().map(Cow::into_owned).ok_or_else(|| NEEDED.to_owned())
    }
}

impl Leaf for u32 {
    const KIND: FieldKind = FieldKind::Number;

    fn value(&self) -> Value<'_> {
        Value::Number(f64::from(*self))
    }

    fn read(text: &str) -> Result<Self, String> {
        text.parse().map_err(|_| format!("`{text}` is no count"))
    }
}

impl Leaf for f64 {
    const KIND: FieldKind = FieldKind::Number;

    fn value(&self) -> Value<'_> {
        Value::Number(*self)
    }

    fn read(text: &str) -> Result<Self, String> {
        let number = Number::parse(text, DecimalMark::Point);
        number.map(Number::value).map_err(|error| error.to_string())
    }

    fn take(value: Value<'_>) -> Result<Self, String> {
        match value {
            Value::Number(number) => Ok(number),
            other => Err(format!("`{}` is no number", other.cell().unwrap_or_default())),
        }
    }
}

impl Leaf for bool {
    const KIND: FieldKind = FieldKind::Flag;

    fn value(&self) -> Value<'_> {
        Value::Flag(*self)
    }

    fn read(text: &str) -> Result<Self, String> {
        match given(text).unwrap_or("no").to_ascii_lowercase().as_str() {
            "yes" | "y" | "true" => Ok(true),
            "no" | "n" | "false" => Ok(false),
            _ => Err(format!("`{}` is neither yes nor no", text.trim())),
        }
    }
}

impl Leaf for Date {
    const KIND: FieldKind = FieldKind::Day;

    fn value(&self) -> Value<'_> {
        Value::made(self.to_string())
    }

    fn read(text: &str) -> Result<Self, String> {
        text.parse().map_err(|_| format!("`{text}` is no day: write it as 2026-05-04"))
    }
}

/// A share is written in per cent, everything else in its unit.
const fn kind_of(dimension: Dimension) -> FieldKind {
    match dimension {
        Dimension::Ratio => FieldKind::Share,
        other => FieldKind::Quantity(other),
    }
}

impl<K: Kind + 'static> Leaf for Stated<K> {
    const KIND: FieldKind = kind_of(K::DIMENSION);

    fn value(&self) -> Value<'_> {
        Value::stated(Some(*self))
    }

    fn read(text: &str) -> Result<Self, String> {
        Self::parse(text).map_err(|error| error.to_string())
    }

    fn take(value: Value<'_>) -> Result<Self, String> {
        match value {
            Value::Measure(Measure { written: Written::Exactly(value), .. }) => {
                Self::new(value).map_err(|wrong| wrong.to_string())
            }
            other => Self::read(&other.cell().unwrap_or_default()),
        }
    }
}

impl<K: Kind + 'static> Leaf for Extent<K> {
    const KIND: FieldKind = kind_of(K::DIMENSION);

    fn value(&self) -> Value<'_> {
        Value::extent(Some(*self))
    }

    fn read(text: &str) -> Result<Self, String> {
        Self::parse(text).map_err(|error| error.to_string())
    }
}

impl Leaf for Vec<Stated<Angle>> {
    const KIND: FieldKind = FieldKind::Quantity(Dimension::Angle);

    /// The sum of the steps.
    fn value(&self) -> Value<'_> {
        let total: f64 = self.iter().copied().map(Stated::value).map(Angle::deg).sum();
        if total == 0.0 {
            return Value::NotStated;
        }
        let written = Written::Steps(Cow::Borrowed(self));
        let (low, high) = (Some(total), total);
        Value::Measure(Measure { dimension: Dimension::Angle, low, high, written })
    }

    fn read(text: &str) -> Result<Self, String> {
        let steps = text.split('+').filter_map(given);
        steps.map(|step| Stated::parse(step).map_err(|error| error.to_string())).collect()
    }
}

impl Leaf for Vec<Pass> {
    const KIND: FieldKind = FieldKind::Text;

    fn value(&self) -> Value<'_> {
        Value::joined(self, ", ")
    }

    fn read(text: &str) -> Result<Self, String> {
        let wrong = |pass: &str| format!("`{pass}` is no pass: write 25 lb-ft, 60 %, +90° or snug");
        let passes = text.split(',').filter_map(given);
        passes.map(|pass| Pass::parse(pass).ok_or_else(|| wrong(pass))).collect()
    }
}

impl Leaf for Thread {
    const KIND: FieldKind = FieldKind::Thread;

    fn value(&self) -> Value<'_> {
        Value::Thread(Cow::Borrowed(self))
    }

    fn read(text: &str) -> Result<Self, String> {
        Self::parse(text).map_err(|error| error.to_string())
    }

    fn take(value: Value<'_>) -> Result<Self, String> {
        match value {
            Value::Thread(thread) => Ok(thread.into_owned()),
            other => Self::read(&other.cell().unwrap_or_default()),
        }
    }
}

impl Leaf for Reuse {
    const KIND: FieldKind = FieldKind::Text;

    fn value(&self) -> Value<'_> {
        match self {
            Self::Reusable => Value::text(Self::REUSABLE),
            Self::SingleUse => Value::text(Self::SINGLE_USE),
            limited => Value::made(limited.to_string()),
        }
    }

    fn read(text: &str) -> Result<Self, String> {
        Self::parse(text)
    }
}

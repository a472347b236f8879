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

/// Reads `text` with `read`; nothing is "not stated".
pub(crate) fn optional<T, E: ToString>(
    text: &str,
    read: impl FnOnce(&str) -> Result<T, E>,
) -> Result<Option<T>, String> {
    given(text).map(|text| read(text).map_err(|error| error.to_string())).transpose()
}

pub(crate) const NEEDED: &str = "it cannot be left out";

fn day(text: &str) -> Result<Date, String> {
    text.parse().map_err(|_| format!("`{text}` is no day: write it as 2026-05-04"))
}

fn yes_or_no(text: &str) -> Result<bool, String> {
    match text.to_ascii_lowercase().as_str() {
        "yes" | "y" | "true" => Ok(true),
        "no" | "n" | "false" => Ok(false),
        _ => Err(format!("`{text}` is neither yes nor no")),
    }
}

fn count(text: &str) -> Result<u32, String> {
    text.parse().map_err(|_| format!("`{text}` is no count"))
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

impl Leaf for Option<String> {
    const KIND: FieldKind = FieldKind::Text;

    fn value(&self) -> Value<'_> {
        self.as_deref().map_or(Value::NotStated, Value::text)
    }

    fn read(text: &str) -> Result<Self, String> {
        Ok(given(text).map(str::to_owned))
    }

    fn take(value: Value<'_>) -> Result<Self, String> {
        Ok(value.cell().map(Cow::into_owned))
    }
}

impl Leaf for Option<u32> {
    const KIND: FieldKind = FieldKind::Number;

    fn value(&self) -> Value<'_> {
        Value::number(*self)
    }

    fn read(text: &str) -> Result<Self, String> {
        optional(text, count)
    }
}

impl Leaf for Option<f64> {
    const KIND: FieldKind = FieldKind::Number;

    fn value(&self) -> Value<'_> {
        Value::number(*self)
    }

    fn read(text: &str) -> Result<Self, String> {
        optional(text, |text| Number::parse(text, DecimalMark::Point).map(Number::value))
    }

    fn take(value: Value<'_>) -> Result<Self, String> {
        match value {
            Value::NotStated => Ok(None),
            Value::Number(number) => Ok(Some(number)),
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
        Ok(optional(text, yes_or_no)?.unwrap_or(false))
    }
}

impl Leaf for Option<bool> {
    const KIND: FieldKind = FieldKind::Flag;

    fn value(&self) -> Value<'_> {
        self.map_or(Value::NotStated, Value::Flag)
    }

    fn read(text: &str) -> Result<Self, String> {
        optional(text, yes_or_no)
    }
}

impl Leaf for Option<Date> {
    const KIND: FieldKind = FieldKind::Day;

    fn value(&self) -> Value<'_> {
        self.map_or(Value::NotStated, |day| Value::made(day.to_string()))
    }

    fn read(text: &str) -> Result<Self, String> {
        optional(text, day)
    }
}

/// A share is written in per cent, everything else in its unit.
const fn kind_of(dimension: Dimension) -> FieldKind {
    match dimension {
        Dimension::Ratio => FieldKind::Share,
        other => FieldKind::Quantity(other),
    }
}

impl<K: Kind + 'static> Leaf for Option<Stated<K>> {
    const KIND: FieldKind = kind_of(K::DIMENSION);

    fn value(&self) -> Value<'_> {
        Value::stated(*self)
    }

    fn read(text: &str) -> Result<Self, String> {
        optional(text, Stated::parse)
    }

    fn take(value: Value<'_>) -> Result<Self, String> {
        match value {
            Value::Measure(Measure { written: Written::Exactly(value), .. }) => {
                Stated::new(value).map(Some).map_err(|wrong| wrong.to_string())
            }
            other => Self::read(&other.cell().unwrap_or_default()),
        }
    }
}

impl<K: Kind + 'static> Leaf for Option<Extent<K>> {
    const KIND: FieldKind = kind_of(K::DIMENSION);

    fn value(&self) -> Value<'_> {
        Value::extent(*self)
    }

    fn read(text: &str) -> Result<Self, String> {
        optional(text, Extent::parse)
    }
}

impl Leaf for Vec<Stated<Angle>> {
    const KIND: FieldKind = FieldKind::Quantity(Dimension::Angle);

    /// The sum of the steps.
    fn value(&self) -> Value<'_> {
        let total: f64 = self.iter().map(|step| step.value().deg()).sum();
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

impl Leaf for Option<Thread> {
    const KIND: FieldKind = FieldKind::Thread;

    fn value(&self) -> Value<'_> {
        self.as_ref().map_or(Value::NotStated, |thread| Value::Thread(Cow::Borrowed(thread)))
    }

    fn read(text: &str) -> Result<Self, String> {
        optional(text, Thread::parse)
    }

    fn take(value: Value<'_>) -> Result<Self, String> {
        match value {
            Value::Thread(thread) => Ok(Some(thread.into_owned())),
            other => Self::read(&other.cell().unwrap_or_default()),
        }
    }
}

impl Leaf for Option<Reuse> {
    const KIND: FieldKind = FieldKind::Text;

    fn value(&self) -> Value<'_> {
        match self {
            None => Value::NotStated,
            Some(Reuse::Reusable) => Value::text(Reuse::REUSABLE),
            Some(Reuse::SingleUse) => Value::text(Reuse::SINGLE_USE),
            Some(limited) => Value::made(limited.to_string()),
        }
    }

    fn read(text: &str) -> Result<Self, String> {
        optional(text, Reuse::parse)
    }
}

//! The small values of a row: words of a closed list, units, quantities,
//! threads, days. Each is checked when it is read, so that a row that decodes
//! is a sound record.

use std::borrow::Cow;
use std::fmt;
use std::marker::PhantomData;

use jiff::civil::Date;
use serde::de::{self, Deserialize, Deserializer, Visitor};
use serde::{Serialize, Serializer};

use crate::quantity::{Extent, Form, Kind, Number, Quantity, Stated, UNITS, Unit};
use crate::record::{Basis, Bottom, Duty, LubeClass, Method, Prevailing, SourceKind, Turned, Wet};
use crate::store::row::mirror::Mirror;
use crate::thread::Thread;

/// A value kept as its printed text.
pub(crate) trait Printed: Sized {
    /// What it is, for messages.
    const WHAT: &'static str;
    /// The printed text.
    fn print(&self) -> Cow<'_, str>;
    /// Reads exactly what [`Printed::print`] gave.
    fn read(text: &str) -> Option<Self>;
}

/// A [`Printed`] value in a row.
#[derive(Debug, Clone)]
pub(crate) struct AsText<T>(pub(crate) T);

impl<T: Printed> Serialize for AsText<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0.print())
    }
}

impl<'de, T: Printed> Deserialize<'de> for AsText<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_str(Reading(PhantomData))
    }
}

struct Reading<T>(PhantomData<T>);

impl<T: Printed> Visitor<'_> for Reading<T> {
    type Value = AsText<T>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "a {}", T::WHAT)
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<AsText<T>, E> {
        T::read(text).map(AsText).ok_or_else(|| E::custom(format!("`{text}` is not a {}", T::WHAT)))
    }
}

impl<T: Printed + Clone> Mirror<T> for AsText<T> {
    fn row_of(record: &T) -> Self {
        Self(record.clone())
    }
    fn row_from(record: T) -> Self {
        Self(record)
    }
    fn into_record(self) -> T {
        self.0
    }
}

macro_rules! words {
    ($($choice:ty = $what:literal),* $(,)?) => {$(
        impl Printed for $choice {
            const WHAT: &'static str = $what;
            fn print(&self) -> Cow<'_, str> {
                Cow::Borrowed(self.word())
            }
            fn read(text: &str) -> Option<Self> {
                Self::WORDS.iter().find(|(_, word, _)| *word == text).map(|(choice, _, _)| *choice)
            }
        }
    )*};
}

words!(
    crate::record::Kind = "kind of fastener",
    Duty = "duty",
    Turned = "turned part",
    Bottom = "kind of hole",
    Wet = "wet side",
    Prevailing = "rule for prevailing torque",
    Method = "method",
    Basis = "basis",
    SourceKind = "kind of source",
    LubeClass = "class of lube",
    crate::record::PullKind = "kind of log line",
);

impl Printed for &'static Unit {
    const WHAT: &'static str = "unit";
    fn print(&self) -> Cow<'_, str> {
        Cow::Borrowed(self.symbol)
    }
    fn read(text: &str) -> Option<Self> {
        UNITS.iter().find(|unit| unit.symbol == text)
    }
}

impl Printed for Thread {
    const WHAT: &'static str = "thread";
    fn print(&self) -> Cow<'_, str> {
        Cow::Owned(self.to_string())
    }
    fn read(text: &str) -> Option<Self> {
        Self::parse(text).ok()
    }
}

impl Printed for Date {
    const WHAT: &'static str = "date";
    fn print(&self) -> Cow<'_, str> {
        Cow::Owned(self.to_string())
    }
    fn read(text: &str) -> Option<Self> {
        text.parse().ok()
    }
}

impl Printed for jiff::Timestamp {
    const WHAT: &'static str = "time";
    fn print(&self) -> Cow<'_, str> {
        Cow::Owned(self.to_string())
    }
    fn read(text: &str) -> Option<Self> {
        text.parse().ok()
    }
}

/// How a number was written.
#[derive(Debug, Clone, Copy, serde::Serialize, serde::Deserialize)]
enum FormRow {
    /// Digits after the point.
    Places(u8),
    /// The number under the stroke.
    Under(u16),
}

/// A quantity: the number exactly, the way it was written, and its unit.
#[derive(Debug, Clone, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct QuantityRow {
    value: f64,
    form: FormRow,
    unit: AsText<&'static Unit>,
}

impl From<Quantity> for QuantityRow {
    fn from(quantity: Quantity) -> Self {
        let form = match quantity.number.form() {
            Form::Decimal { places } => FormRow::Places(places),
            Form::Fraction { denominator } => FormRow::Under(denominator),
        };
        Self { value: quantity.number.value(), form, unit: AsText(quantity.unit) }
    }
}

impl QuantityRow {
    fn quantity(&self) -> Option<Quantity> {
        let form = match self.form {
            FormRow::Places(places) if places <= 9 => Form::Decimal { places },
            FormRow::Under(denominator) if denominator > 0 => Form::Fraction { denominator },
            _ => return None,
        };
        Some(Quantity::new(Number::from_parts(self.value, form)?, self.unit.0))
    }
}

/// A quantity of kind `K` in a row.
#[derive(Debug, Clone)]
pub(crate) struct Amount<K>(Stated<K>);

impl<K: Kind> Serialize for Amount<K> {
    /// In a text (a backup) as it is printed, if that reads back exactly.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if serializer.is_human_readable() {
            let text = self.0.to_string();
            if Stated::<K>::parse(&text).is_ok_and(|read| read == self.0) {
                return serializer.serialize_str(&text);
            }
        }
        QuantityRow::from(self.0.written()).serialize(serializer)
    }
}

/// A quantity in a text: printed, or taken apart.
#[derive(serde::Deserialize)]
#[serde(untagged)]
enum TextQuantity {
    Printed(String),
    Parts(QuantityRow),
}

impl<'de, K: Kind> Deserialize<'de> for Amount<K> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let row = if deserializer.is_human_readable() {
            match TextQuantity::deserialize(deserializer)? {
                TextQuantity::Printed(text) => {
                    return Stated::parse(&text).map(Self).map_err(de::Error::custom);
                }
                TextQuantity::Parts(row) => row,
            }
        } else {
            QuantityRow::deserialize(deserializer)?
        };
        let quantity = row.quantity().ok_or_else(|| de::Error::custom("not a quantity"))?;
        Stated::new(quantity).map(Self).map_err(de::Error::custom)
    }
}

impl<K: Kind> Mirror<Stated<K>> for Amount<K> {
    fn row_of(record: &Stated<K>) -> Self {
        Self(*record)
    }
    fn into_record(self) -> Stated<K> {
        self.0
    }
}

/// What a sheet states of a quantity, in a row.
#[derive(Debug, serde::Serialize, serde::Deserialize)]
#[serde(bound = "", rename_all = "snake_case")]
pub(crate) enum ExtentRow<K: Kind> {
    /// One value.
    Exactly(Amount<K>),
    /// From low to high.
    Between(Amount<K>, Amount<K>),
    /// Not more than this.
    AtMost(Amount<K>),
}

impl<K: Kind> Mirror<Extent<K>> for ExtentRow<K> {
    fn row_of(record: &Extent<K>) -> Self {
        match *record {
            Extent::Exactly(value) => Self::Exactly(Amount(value)),
            Extent::Between(low, high) => Self::Between(Amount(low), Amount(high)),
            Extent::AtMost(value) => Self::AtMost(Amount(value)),
        }
    }
    fn into_record(self) -> Extent<K> {
        match self {
            Self::Exactly(value) => Extent::Exactly(value.0),
            Self::Between(low, high) => Extent::Between(low.0, high.0),
            Self::AtMost(value) => Extent::AtMost(value.0),
        }
    }
}

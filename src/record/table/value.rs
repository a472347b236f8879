//! What a field holds, as questions, tables and files see it.

use std::borrow::Cow;
use std::fmt;

use crate::quantity::{Angle, Dimension, Extent, Kind, Quantity, Stated, Unit};
use crate::thread::Thread;

/// The value of a field. Texts and threads are borrowed from the record where
/// they stand there as they are shown.
#[derive(Debug, Clone, PartialEq)]
pub enum Value<'a> {
    /// The source does not say.
    NotStated,
    Text(Cow<'a, str>),
    Number(f64),
    Measure(Measure<'a>),
    Thread(Cow<'a, Thread>),
    Flag(bool),
}

/// A quantity in base units (see [`Dimension`]), with the way it was written if
/// it was.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure<'a> {
    pub dimension: Dimension,
    /// Low end; none for a maximum.
    pub low: Option<f64>,
    /// High end; equal to `low` for one value.
    pub high: f64,
    pub written: Written<'a>,
}

/// How a source wrote a quantity.
#[derive(Debug, Clone, PartialEq)]
pub enum Written<'a> {
    /// It did not: the value is derived.
    Nowhere,
    Exactly(Quantity),
    Between(Quantity, Quantity),
    AtMost(Quantity),
    /// Angles, one after the other.
    Steps(Cow<'a, [Stated<Angle>]>),
}

impl<'a> Value<'a> {
    /// Words that a record keeps; nothing is "not stated".
    pub fn text(text: &'a str) -> Self {
        if text.is_empty() { Self::NotStated } else { Self::Text(Cow::Borrowed(text)) }
    }

    /// Words made of what a record keeps; nothing is "not stated".
    pub fn made(text: String) -> Self {
        if text.is_empty() { Self::NotStated } else { Self::Text(Cow::Owned(text)) }
    }

    /// Several texts in one, with `between` them.
    pub fn joined<T: ToString>(values: &[T], between: &str) -> Self {
        Self::made(values.iter().map(T::to_string).collect::<Vec<_>>().join(between))
    }

    /// A figure that a source gives.
    pub fn stated<K: Kind>(stated: Option<Stated<K>>) -> Self {
        Self::extent(stated.map(Extent::Exactly))
    }

    /// A value, range or maximum that a source gives.
    pub fn extent<K: Kind>(extent: Option<Extent<K>>) -> Self {
        let Some(extent) = extent else { return Self::NotStated };
        let written = match extent {
            Extent::Exactly(value) => Written::Exactly(value.written()),
            Extent::Between(low, high) => Written::Between(low.written(), high.written()),
            Extent::AtMost(high) => Written::AtMost(high.written()),
        };
        let (low, high) = (extent.low().map(Kind::base), extent.high().base());
        Self::Measure(Measure { dimension: K::DIMENSION, low, high, written })
    }

    /// A figure that is derived.
    pub fn derived<K: Kind>(value: Option<K>) -> Self {
        value.map_or(Self::NotStated, |value| Self::base(K::DIMENSION, value.base()))
    }

    /// A share that is derived, 0.75 is 75 %.
    pub fn share(value: Option<f64>) -> Self {
        value.map_or(Self::NotStated, |value| Self::base(Dimension::Ratio, value))
    }

    fn base(dimension: Dimension, value: f64) -> Self {
        let written = Written::Nowhere;
        Self::Measure(Measure { dimension, low: Some(value), high: value, written })
    }

    /// A number without a unit, or nothing stated.
    pub fn number(value: Option<impl Into<f64>>) -> Self {
        value.map_or(Self::NotStated, |value| Self::Number(value.into()))
    }

    /// Whether the source says anything.
    pub fn is_stated(&self) -> bool {
        *self != Value::NotStated
    }

    /// The same, kept apart from the record.
    pub fn into_owned(self) -> Value<'static> {
        match self {
            Self::NotStated => Value::NotStated,
            Self::Text(text) => Value::Text(Cow::Owned(text.into_owned())),
            Self::Number(number) => Value::Number(number),
            Self::Measure(measure) => Value::Measure(measure.into_owned()),
            Self::Thread(thread) => Value::Thread(Cow::Owned(thread.into_owned())),
            Self::Flag(flag) => Value::Flag(flag),
        }
    }

    /// The text that stands in a cell of an export and reads back; none where
    /// nothing is stated.
    pub fn cell(self) -> Option<Cow<'a, str>> {
        Some(match self {
            Self::NotStated => return None,
            Self::Text(text) => text,
            Self::Number(number) => number.to_string().into(),
            Self::Measure(measure) => measure.text()?.into(),
            Self::Thread(thread) => thread.to_string().into(),
            Self::Flag(true) => "yes".into(),
            Self::Flag(false) => "no".into(),
        })
    }
}

impl Measure<'_> {
    /// The unit in which it was written.
    pub fn unit(&self) -> Option<&'static Unit> {
        match &self.written {
            Written::Nowhere => None,
            Written::Exactly(value) | Written::Between(value, _) | Written::AtMost(value) => {
                Some(value.unit)
            }
            Written::Steps(steps) => steps.first().map(|step| step.written().unit),
        }
    }

    /// It as it was written.
    pub fn text(&self) -> Option<String> {
        (self.written != Written::Nowhere).then(|| self.written.to_string())
    }

    fn into_owned(self) -> Measure<'static> {
        let written = match self.written {
            Written::Nowhere => Written::Nowhere,
            Written::Exactly(value) => Written::Exactly(value),
            Written::Between(low, high) => Written::Between(low, high),
            Written::AtMost(high) => Written::AtMost(high),
            Written::Steps(steps) => Written::Steps(Cow::Owned(steps.into_owned())),
        };
        Measure { written, dimension: self.dimension, low: self.low, high: self.high }
    }
}

impl fmt::Display for Written<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nowhere => Ok(()),
            Self::Exactly(value) => value.fmt(f),
            Self::AtMost(high) => write!(f, "max {high}"),
            Self::Between(low, high) if low.unit == high.unit => {
                write!(f, "{}..{high}", low.number)
            }
            Self::Between(low, high) => write!(f, "{low}..{high}"),
            Self::Steps(steps) => {
                for (at, step) in steps.iter().enumerate() {
                    write!(f, "{}+{step}", if at == 0 { "" } else { " " })?;
                }
                Ok(())
            }
        }
    }
}

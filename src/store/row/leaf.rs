//! The small values of a row that are neither records nor choices: units,
//! quantities, threads, days. Each is checked when it is read, so that a row
//! that decodes is a sound record.

use std::fmt;
use std::marker::PhantomData;
use std::sync::LazyLock;

use jiff::Timestamp;
use jiff::civil::Date;
use serde::de::{Deserialize as _, Deserializer, EnumAccess, Error as _, SeqAccess};
use serde::de::{VariantAccess as _, Visitor};
use serde::ser::{Serialize as _, SerializeTuple as _, Serializer};

use crate::quantity::{
    Extent, Kind, Length, Number, NumberForm, Quantity, Stated, Stress, UNITS, Unit,
};
use crate::store::row::list::List;
use crate::store::row::numbers::UNIT;
use crate::store::row::rows::{KeyOf, Numbered, VariantOf, Variants, WordOf, not_in};
use crate::store::row::stored::{Put, Stored, Take};
use crate::thread::{Pitch, Series, Size, Thread};

type StaticUnit = &'static Unit;

/// Numbers of the units, in the order of [`UNITS`].
static NUMBERS: LazyLock<Vec<Option<u16>>> =
    LazyLock::new(|| UNITS.iter().map(|unit| UNIT.number_of(unit.symbol)).collect());

/// Units by their number.
static BY_NUMBER: LazyLock<Vec<Option<StaticUnit>>> = LazyLock::new(|| {
    let by_symbol = |symbol: &str| UNITS.iter().find(|unit| unit.symbol == symbol);
    (0..=UNIT.highest()).map(|number| UNIT.name_of(number).and_then(by_symbol)).collect()
});

impl Stored for StaticUnit {
    fn put<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if serializer.is_human_readable() {
            return serializer.serialize_str(self.symbol);
        }
        let place = UNITS.iter().position(|unit| std::ptr::eq(unit, *self));
        match place.and_then(|place| NUMBERS[place]) {
            Some(number) => serializer.serialize_u16(number),
            None => {
                let what = format!("the unit `{}` has no number on the disk", self.symbol);
                Err(serde::ser::Error::custom(what))
            }
        }
    }
    fn take<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        if deserializer.is_human_readable() {
            let find = |symbol: &str| UNITS.iter().find(|unit| unit.symbol == symbol);
            return deserializer.deserialize_str(WordOf(&UNIT, find));
        }
        let number = deserializer.deserialize_u16(KeyOf(&UNIT))?;
        let unit = BY_NUMBER.get(usize::from(number)).copied().flatten();
        unit.ok_or_else(|| not_in(&UNIT, &number))
    }
}

/// Typed values in base units: mm, MPa (see `quantity::Dimension`).
macro_rules! base {
    ($($kind:ty),*) => {$(
        impl Stored for $kind {
            fn put<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                self.base().put(serializer)
            }
            fn take<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                f64::take(deserializer).map(Self::from_base)
            }
        }
    )*};
}

base!(Length, Stress);

/// How a number was written: the digits after its point, or what is under its
/// stroke.
pub(crate) const FORM_OF_NUMBER: List =
    List { name: "form-of-number", entries: &[(1, "places"), (2, "under")] };

impl Numbered for NumberForm {
    const LIST: &'static List = &FORM_OF_NUMBER;
}

impl Variants for NumberForm {
    fn take_variant<'de, A: EnumAccess<'de>>(access: A) -> Result<Self, A::Error> {
        let (number, access) = access.variant_seed(KeyOf(Self::LIST))?;
        let form = match number {
            1 => Self::Decimal { places: access.newtype_variant_seed(Take::new())? },
            2 => Self::Fraction { denominator: access.newtype_variant_seed(Take::new())? },
            other => return Err(not_in(Self::LIST, &other)),
        };
        match form {
            Self::Decimal { places: 0..=9 } | Self::Fraction { denominator: 1.. } => Ok(form),
            _ => Err(A::Error::custom("no number is written like that")),
        }
    }
}

impl Stored for NumberForm {
    fn put<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let name = Self::LIST.name;
        match self {
            Self::Decimal { places } => to.serialize_newtype_variant(name, 1, "places", places),
            Self::Fraction { denominator } => {
                to.serialize_newtype_variant(name, 2, "under", denominator)
            }
        }
    }
    fn take<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_enum(Self::LIST.name, &[], VariantOf(PhantomData))
    }
}

/// Value, how it was written, unit. In a text (a backup) as it is printed, if
/// that reads back exactly.
impl<K: Kind> Stored for Stated<K> {
    fn put<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if serializer.is_human_readable() {
            let text = self.to_string();
            if Self::parse(&text).is_ok_and(|read| read == *self) {
                return serializer.serialize_str(&text);
            }
        }
        let Quantity { number, unit } = self.written();
        let mut parts = serializer.serialize_tuple(3)?;
        parts.serialize_element(&number.value())?;
        parts.serialize_element(&Put(&number.form()))?;
        parts.serialize_element(&Put(&unit))?;
        parts.end()
    }
    fn take<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        if deserializer.is_human_readable() {
            deserializer.deserialize_any(QuantityOf(PhantomData))
        } else {
            deserializer.deserialize_tuple(3, QuantityOf(PhantomData))
        }
    }
}

struct QuantityOf<K>(PhantomData<K>);

impl<'de, K: Kind> Visitor<'de> for QuantityOf<K> {
    type Value = Stated<K>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "a {}", K::DIMENSION.name())
    }

    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Stated<K>, E> {
        Stated::parse(text).map_err(E::custom)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut parts: A) -> Result<Stated<K>, A::Error> {
        let bad = || A::Error::custom("not a quantity");
        let value: f64 = parts.next_element()?.ok_or_else(bad)?;
        let form = parts.next_element_seed(Take::new())?.ok_or_else(bad)?;
        let unit: StaticUnit = parts.next_element_seed(Take::new())?.ok_or_else(bad)?;
        let number = Number::from_parts(value, form).ok_or_else(bad)?;
        Stated::new(Quantity::new(number, unit)).map_err(A::Error::custom)
    }
}

/// What a sheet states of a quantity.
pub(crate) const EXTENT: List =
    List { name: "extent", entries: &[(1, "exactly"), (2, "between"), (3, "at_most")] };

impl<K: Kind> Numbered for Extent<K> {
    const LIST: &'static List = &EXTENT;
}

impl<K: Kind> Variants for Extent<K> {
    fn take_variant<'de, A: EnumAccess<'de>>(access: A) -> Result<Self, A::Error> {
        let (number, access) = access.variant_seed(KeyOf(&EXTENT))?;
        match number {
            1 => access.newtype_variant_seed(Take::new()).map(Self::Exactly),
            2 => {
                let (low, high) = access.newtype_variant_seed(Take::new())?;
                Ok(Self::Between(low, high))
            }
            3 => access.newtype_variant_seed(Take::new()).map(Self::AtMost),
            other => Err(not_in(&EXTENT, &other)),
        }
    }
}

impl<K: Kind> Stored for Extent<K> {
    fn put<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let name = EXTENT.name;
        match self {
            Self::Exactly(value) => to.serialize_newtype_variant(name, 1, "exactly", &Put(value)),
            Self::Between(low, high) => {
                to.serialize_newtype_variant(name, 2, "between", &Put(&(*low, *high)))
            }
            Self::AtMost(value) => to.serialize_newtype_variant(name, 3, "at_most", &Put(value)),
        }
    }
    fn take<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_enum(EXTENT.name, &[], VariantOf(PhantomData))
    }
}

/// A thread in numbers: series, size, pitch, left hand, class (empty where none
/// is written). In a text as it is printed.
impl Stored for Thread {
    fn put<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if serializer.is_human_readable() {
            return serializer.collect_str(self);
        }
        let mut parts = serializer.serialize_tuple(5)?;
        parts.serialize_element(&Put(&self.series()))?;
        parts.serialize_element(&self.size().key())?;
        parts.serialize_element(&self.pitch().key())?;
        parts.serialize_element(&self.is_left_hand())?;
        parts.serialize_element(self.class().unwrap_or_default())?;
        parts.end()
    }
    fn take<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        if deserializer.is_human_readable() {
            let text = String::deserialize(deserializer)?;
            return Self::parse(&text).map_err(D::Error::custom);
        }
        deserializer.deserialize_tuple(5, ThreadOf)
    }
}

struct ThreadOf;

impl<'de> Visitor<'de> for ThreadOf {
    type Value = Thread;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a thread")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut parts: A) -> Result<Thread, A::Error> {
        let bad = || A::Error::custom("not a thread");
        let series: Series = parts.next_element_seed(Take::new())?.ok_or_else(bad)?;
        let size = parts.next_element()?.and_then(Size::from_key).ok_or_else(bad)?;
        let pitch = parts.next_element()?.and_then(Pitch::from_key).ok_or_else(bad)?;
        let left_hand: bool = parts.next_element()?.ok_or_else(bad)?;
        let class: &str = parts.next_element()?.ok_or_else(bad)?;
        let class = (!class.is_empty()).then_some(class);
        Thread::from_parts(series, size, pitch, left_hand, class).map_err(A::Error::custom)
    }
}

/// A value that a text prints and a row has in numbers.
macro_rules! in_numbers {
    ($($type:ty = $what:literal: $parts:ty, $put:expr, $take:expr;)*) => {$(
        impl Stored for $type {
            fn put<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                if serializer.is_human_readable() {
                    return serializer.collect_str(self);
                }
                let put: fn(&Self) -> $parts = $put;
                put(self).serialize(serializer)
            }
            fn take<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let bad = || D::Error::custom(concat!("not a ", $what));
                if deserializer.is_human_readable() {
                    let text = String::deserialize(deserializer)?;
                    return text.parse().map_err(|_| bad());
                }
                let take: fn($parts) -> Result<Self, jiff::Error> = $take;
                take(<$parts>::deserialize(deserializer)?).map_err(|_| bad())
            }
        }
    )*};
}

in_numbers!(
    Date = "day": (i16, i8, i8),
        |day| (day.year(), day.month(), day.day()),
        |(year, month, day)| Self::new(year, month, day);
    Timestamp = "time": (i64, i32),
        |time| (time.as_second(), time.subsec_nanosecond()),
        |(second, nanosecond)| Self::new(second, nanosecond);
);

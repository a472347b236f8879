//! What can be a value in a row, and the plain values.

use std::fmt;
use std::marker::PhantomData;
use std::sync::Arc;

use serde::de::{Deserialize, DeserializeSeed, Deserializer, Error as _, SeqAccess, Visitor};
use serde::ser::{Serialize, SerializeSeq as _, SerializeTuple as _, Serializer};

use crate::text::hidden_in;

/// A value of a member. Its bytes never change their meaning: another type is
/// another number.
pub(crate) trait Stored: Sized {
    /// Whether it stands in the row of its record at all.
    fn is_stated(&self) -> bool {
        true
    }

    /// The value of a member that does not stand in the row; `None` for one
    /// that must.
    fn unstated() -> Option<Self> {
        None
    }

    fn put<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error>;

    /// Checks what it reads.
    fn take<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error>;
}

/// A value on its way into a row.
pub(crate) struct Put<'a, T>(pub(crate) &'a T);

impl<T: Stored> Serialize for Put<'_, T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.0.put(serializer)
    }
}

/// A value out of a row.
pub(crate) struct Take<T>(PhantomData<T>);

impl<T> Take<T> {
    pub(crate) fn new() -> Self {
        Self(PhantomData)
    }
}

impl<'de, T: Stored> DeserializeSeed<'de> for Take<T> {
    type Value = T;
    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<T, D::Error> {
        T::take(deserializer)
    }
}

/// Types that serde keeps as they are.
macro_rules! plain {
    ($($plain:ty),*) => {$(
        impl Stored for $plain {
            fn put<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                self.serialize(serializer)
            }
            fn take<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                Self::deserialize(deserializer)
            }
        }
    )*};
}

plain!(u8, u16, u32, u64, i16, i32, i64);

/// No text with a character that cannot be seen gets into a book, whichever way
/// it came: an export holds none.
impl Stored for String {
    fn put<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if let Some(hidden) = hidden_in(self) {
            let code = u32::from(hidden);
            let what = format!("it holds a character that cannot be seen, U+{code:04X}");
            return Err(serde::ser::Error::custom(what));
        }
        self.serialize(serializer)
    }
    fn take<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::deserialize(deserializer)
    }
}

impl Stored for bool {
    fn is_stated(&self) -> bool {
        *self
    }
    fn unstated() -> Option<Self> {
        Some(false)
    }
    fn put<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.serialize(serializer)
    }
    fn take<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::deserialize(deserializer)
    }
}

impl Stored for f64 {
    fn put<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.serialize(serializer)
    }
    fn take<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let number = Self::deserialize(deserializer)?;
        if number.is_finite() { Ok(number) } else { Err(D::Error::custom("not a number")) }
    }
}

impl Stored for usize {
    fn put<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        (*self as u64).serialize(serializer)
    }
    fn take<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::try_from(u64::deserialize(deserializer)?).map_err(D::Error::custom)
    }
}

impl<T: Stored> Stored for Option<T> {
    fn is_stated(&self) -> bool {
        self.is_some()
    }
    fn unstated() -> Option<Self> {
        Some(None)
    }
    fn put<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Some(value) => value.put(serializer),
            // A list of values that may be missing is a list of records.
            None => Err(serde::ser::Error::custom("nothing is stated here")),
        }
    }
    fn take<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        T::take(deserializer).map(Some)
    }
}

/// What lies behind a pointer is kept in its place.
macro_rules! pointer {
    ($($pointer:ident),*) => {$(
        impl<T: Stored> Stored for $pointer<T> {
            fn is_stated(&self) -> bool {
                (**self).is_stated()
            }
            fn unstated() -> Option<Self> {
                T::unstated().map(Self::new)
            }
            fn put<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                (**self).put(serializer)
            }
            fn take<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                T::take(deserializer).map(Self::new)
            }
        }
    )*};
}

pointer!(Box, Arc);

impl<T: Stored> Stored for Vec<T> {
    fn is_stated(&self) -> bool {
        !self.is_empty()
    }
    fn unstated() -> Option<Self> {
        Some(Self::new())
    }
    fn put<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut list = serializer.serialize_seq(Some(self.len()))?;
        self.iter().try_for_each(|item| list.serialize_element(&Put(item)))?;
        list.end()
    }
    fn take<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_seq(ListOf(PhantomData))
    }
}

/// A hostile count asks for no more room than this many items.
const ROOM: usize = 256;

struct ListOf<T>(PhantomData<T>);

impl<'de, T: Stored> Visitor<'de> for ListOf<T> {
    type Value = Vec<T>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a list")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Vec<T>, A::Error> {
        let mut items = Vec::with_capacity(list.size_hint().unwrap_or(0).min(ROOM));
        while let Some(item) = list.next_element_seed(Take::new())? {
            items.push(item);
        }
        Ok(items)
    }
}

impl<A: Stored, B: Stored> Stored for (A, B) {
    fn put<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut pair = serializer.serialize_tuple(2)?;
        pair.serialize_element(&Put(&self.0))?;
        pair.serialize_element(&Put(&self.1))?;
        pair.end()
    }
    fn take<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_tuple(2, PairOf(PhantomData))
    }
}

struct PairOf<A, B>(PhantomData<(A, B)>);

impl<'de, A: Stored, B: Stored> Visitor<'de> for PairOf<A, B> {
    type Value = (A, B);

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("two values")
    }

    fn visit_seq<S: SeqAccess<'de>>(self, mut pair: S) -> Result<(A, B), S::Error> {
        let short = || S::Error::custom("one of two values is missing");
        let first = pair.next_element_seed(Take::new())?.ok_or_else(short)?;
        let second = pair.next_element_seed(Take::new())?.ok_or_else(short)?;
        Ok((first, second))
    }
}

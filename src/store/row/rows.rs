//! `rows!`: the reader and writer of each record, choice and enum, made from
//! its list of numbers.

use std::fmt;
use std::marker::PhantomData;

use serde::de::{DeserializeSeed, Deserializer, EnumAccess, Error, MapAccess, Visitor};
use serde::ser::{Serialize, SerializeMap, Serializer};

use crate::store::row::list::List;
use crate::store::row::stored::{Put, Stored, Take};

/// What has a list of numbers.
pub(crate) trait Numbered {
    const LIST: &'static List;
}

/// A record taken apart.
pub(crate) trait Record: Numbered + Sized {
    /// How many of its members are stated.
    fn count(&self) -> usize;
    fn put_members<M: SerializeMap>(&self, row: &mut M) -> Result<(), M::Error>;
    fn take_members<'de, A: MapAccess<'de>>(row: A, order: MemberOrder) -> Result<Self, A::Error>;
}

/// An enum whose variants hold values.
pub(crate) trait Variants: Numbered + Sized {
    fn take_variant<'de, A: EnumAccess<'de>>(access: A) -> Result<Self, A::Error>;
}

/// The number of a member or variant in a book, its name in a backup.
struct MemberKey(u16, &'static str);

impl Serialize for MemberKey {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if serializer.is_human_readable() {
            serializer.serialize_str(self.1)
        } else {
            serializer.serialize_u16(self.0)
        }
    }
}

/// Reads a [`MemberKey`] of a list; gives its number.
#[derive(Clone, Copy)]
pub(crate) struct KeyOf(pub(crate) &'static List);

impl<'de> DeserializeSeed<'de> for KeyOf {
    type Value = u16;
    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<u16, D::Error> {
        if deserializer.is_human_readable() {
            deserializer.deserialize_identifier(self)
        } else {
            deserializer.deserialize_u16(self)
        }
    }
}

impl Visitor<'_> for KeyOf {
    type Value = u16;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "a number or name of the list `{}`", self.0.name)
    }

    fn visit_u64<E: Error>(self, number: u64) -> Result<u16, E> {
        u16::try_from(number).map_err(|_| not_in(self.0, &number))
    }

    fn visit_str<E: Error>(self, name: &str) -> Result<u16, E> {
        self.0.number_of(name).ok_or_else(|| not_in(self.0, &name))
    }
}

pub(crate) fn not_in<E: Error>(list: &List, found: &dyn fmt::Display) -> E {
    E::custom(format!("`{found}` is not in the list `{}`", list.name))
}

pub(crate) fn missing<E: Error>(list: &List, number: u16) -> E {
    let name = list.name_of(number).unwrap_or_default();
    E::custom(format!("a {} lacks its {name}", list.name))
}

/// The order in which the members of a record come. In a book their numbers rise. A
/// text may have been through hands that keep no order (a database does not): there each
/// comes once at most.
#[derive(Clone, Copy)]
pub(crate) struct MemberOrder {
    is_free: bool,
    last: u16,
    seen: u128,
}

impl MemberOrder {
    pub(crate) fn of_text(is_text: bool) -> Self {
        Self { is_free: is_text, last: 0, seen: 0 }
    }

    fn admits(&mut self, number: u16) -> bool {
        let own = 1_u128 << (number % 128);
        let admitted = if self.is_free { self.seen & own == 0 } else { number > self.last };
        self.seen |= own;
        self.last = number;
        admitted
    }
}

/// The next number of a row, if it may stand there.
pub(crate) fn next_number<'de, A: MapAccess<'de>>(
    row: &mut A,
    list: &'static List,
    order: &mut MemberOrder,
) -> Result<Option<u16>, A::Error> {
    let Some(number) = row.next_key_seed(KeyOf(list))? else { return Ok(None) };
    let last = order.last;
    if !order.admits(number) {
        let what = format!("in a {} member {number} stands behind member {last}", list.name);
        return Err(A::Error::custom(what));
    }
    Ok(Some(number))
}

pub(crate) fn put_member<M: SerializeMap, T: Stored>(
    row: &mut M,
    number: u16,
    name: &'static str,
    value: &T,
) -> Result<(), M::Error> {
    if value.is_stated() {
        row.serialize_entry(&MemberKey(number, name), &Put(value))
    } else {
        Ok(())
    }
}

/// Reads the value of a member. Not in line: a record has forty members of a dozen types, and
/// a copy of the reader for each made the program a tenth of a MiB longer.
#[inline(never)]
pub(crate) fn take_member<'de, A: MapAccess<'de>, T: Stored>(
    row: &mut A,
    member: &mut Option<T>,
) -> Result<(), A::Error> {
    *member = Some(row.next_value_seed(Take::new())?);
    Ok(())
}

pub(crate) fn put_record<T: Record, S: Serializer>(
    record: &T,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    let mut row = serializer.serialize_map(Some(record.count()))?;
    record.put_members(&mut row)?;
    row.end()
}

/// Reads one record by its numbered members.
pub(crate) struct RecordOf<T>(pub(crate) PhantomData<T>, pub(crate) MemberOrder);

impl<'de, T: Record> Visitor<'de> for RecordOf<T> {
    type Value = T;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "a {}", T::LIST.name)
    }
    fn visit_map<A: MapAccess<'de>>(self, row: A) -> Result<T, A::Error> {
        T::take_members(row, self.1)
    }
}

/// Reads one variant by its number.
pub(crate) struct VariantOf<T>(pub(crate) PhantomData<T>);

impl<'de, T: Variants> Visitor<'de> for VariantOf<T> {
    type Value = T;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "a {}", T::LIST.name)
    }
    fn visit_enum<A: EnumAccess<'de>>(self, access: A) -> Result<T, A::Error> {
        T::take_variant(access)
    }
}

/// The word of a choice in a text.
pub(crate) struct WordOf<F>(pub(crate) &'static List, pub(crate) F);

impl<T, F: Fn(&str) -> Option<T>> Visitor<'_> for WordOf<F> {
    type Value = T;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "a word of the list `{}`", self.0.name)
    }
    fn visit_str<E: Error>(self, word: &str) -> Result<T, E> {
        (self.1)(word).ok_or_else(|| not_in(self.0, &word))
    }
}

/// Makes every reader and writer, and `LISTS` of all of them. See `numbers.rs`.
macro_rules! rows {
    (
        also { $($more:path),* $(,)? }
        $($kind:ident $type:ident $name:literal { $($body:tt)* })*
    ) => {
        $($kind!($type $name { $($body)* });)*

        /// Every list of numbers on the disk.
        pub(crate) const LISTS: &[&List] = &[$(<$type as Numbered>::LIST,)* $(&$more),*];
    };
}

/// A record: `NUMBER member`.
macro_rules! record {
    ($record:ident $name:literal { $($number:literal $member:ident),* $(,)? }) => {
        impl Numbered for $record {
            const LIST: &'static List =
                &List { name: $name, entries: &[$(($number, stringify!($member))),*] };
        }
        const _: () = assert!(<$record as Numbered>::LIST.rises(), "numbers of a record rise");
        const _: () = assert!(<$record as Numbered>::LIST.highest() < 128, "`MemberOrder` holds them");

        impl Record for $record {
            fn count(&self) -> usize {
                let Self { $($member),* } = self;
                [$(Stored::is_stated($member)),*].into_iter().filter(|stated| *stated).count()
            }
            fn put_members<M: SerializeMap>(&self, row: &mut M) -> Result<(), M::Error> {
                let Self { $($member),* } = self;
                $(put_member(row, $number, stringify!($member), $member)?;)*
                Ok(())
            }
            fn take_members<'de, A: MapAccess<'de>>(
                mut row: A,
                mut order: MemberOrder,
            ) -> Result<Self, A::Error> {
                $(let mut $member = Stored::unstated();)*
                while let Some(number) = next_number(&mut row, Self::LIST, &mut order)? {
                    match number {
                        $($number => take_member(&mut row, &mut $member)?,)*
                        other => return Err(not_in(Self::LIST, &other)),
                    }
                }
                // One way out for all members: with one for each the machine code is a third longer.
                let lacks = [$(($number, $member.is_none())),*].into_iter().find(|(_, lacks)| *lacks);
                match ($($member,)*) {
                    ($(Some($member),)*) => Ok(Self { $($member),* }),
                    _ => Err(missing(Self::LIST, lacks.map_or(0, |(number, _)| number))),
                }
            }
        }

        impl Stored for $record {
            fn is_stated(&self) -> bool {
                self.count() > 0
            }
            fn unstated() -> Option<Self> {
                Some(Self { $($member: Stored::unstated()?),* })
            }
            fn put<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                put_record(self, serializer)
            }
            fn take<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let order = MemberOrder::of_text(deserializer.is_human_readable());
                deserializer.deserialize_map(RecordOf(PhantomData, order))
            }
        }
    };
}

/// A closed list of words: `NUMBER Variant`, and the method that prints it.
macro_rules! choice {
    ($choice:ident $name:literal { by $word:ident: $($number:literal $variant:ident),* $(,)? }) => {
        impl Numbered for $choice {
            const LIST: &'static List =
                &List { name: $name, entries: &[$(($number, stringify!($variant))),*] };
        }
        const _: () = assert!(<$choice as Numbered>::LIST.rises(), "numbers of a choice rise");

        impl Stored for $choice {
            fn put<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                if serializer.is_human_readable() {
                    return serializer.serialize_str(self.$word());
                }
                serializer.serialize_u16(match self { $(Self::$variant => $number),* })
            }
            fn take<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                if deserializer.is_human_readable() {
                    const ALL: &[$choice] = &[$($choice::$variant),*];
                    let find = |word: &str| ALL.iter().copied().find(|one| one.$word() == word);
                    return deserializer.deserialize_str(WordOf(Self::LIST, find));
                }
                match deserializer.deserialize_u16(KeyOf(Self::LIST))? {
                    $($number => Ok(Self::$variant),)*
                    other => Err(not_in(Self::LIST, &other)),
                }
            }
        }
    };
}

/// An enum with values: `NUMBER "name" Variant` or `NUMBER "name" Variant(value)`.
macro_rules! variants {
    ($enum:ident $name:literal {
        $($number:literal $word:literal $variant:ident $(($value:ident))?),* $(,)?
    }) => {
        impl Numbered for $enum {
            const LIST: &'static List = &List { name: $name, entries: &[$(($number, $word)),*] };
        }
        const _: () = assert!(<$enum as Numbered>::LIST.rises(), "numbers of variants rise");

        impl Variants for $enum {
            fn take_variant<'de, A: EnumAccess<'de>>(access: A) -> Result<Self, A::Error> {
                let (number, access) = access.variant_seed(KeyOf(Self::LIST))?;
                match number {
                    $($number => variants!(@take access, Self::$variant $(, $value)?),)*
                    other => Err(not_in(Self::LIST, &other)),
                }
            }
        }

        impl Stored for $enum {
            fn put<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                match self {
                    $(Self::$variant $(($value))? =>
                        variants!(@put serializer, $name, $number, $word $(, $value)?),)*
                }
            }
            fn take<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                deserializer.deserialize_enum($name, &[], VariantOf(PhantomData))
            }
        }
    };
    (@put $to:ident, $name:literal, $number:literal, $word:literal) => {
        $to.serialize_unit_variant($name, $number, $word)
    };
    (@put $to:ident, $name:literal, $number:literal, $word:literal, $value:ident) => {
        $to.serialize_newtype_variant($name, $number, $word, &Put($value))
    };
    (@take $from:ident, $variant:path) => {
        $from.unit_variant().map(|()| $variant)
    };
    (@take $from:ident, $variant:path, $value:ident) => {
        $from.newtype_variant_seed(Take::new()).map($variant)
    };
}

pub(crate) use {choice, record, rows, variants};

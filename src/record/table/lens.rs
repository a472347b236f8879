//! Where in its record a field is kept.

use std::any::Any;

use super::{FieldKind, Leaf, Owner, Value};

/// A member of a record, whatever the record: how it is read, written and
/// compared. Every lens knows its own record; a table hands it no other.
pub(crate) trait Lens: Sync {
    fn get<'a>(&self, record: &'a dyn Any) -> Value<'a>;
    /// What `text` in clean notation means; nothing is "not stated". The error
    /// says what was expected.
    fn read(&self, text: &str) -> Result<Value<'static>, String>;
    fn put(&self, record: &mut dyn Any, value: Value<'_>) -> Result<(), String>;
    fn copy(&self, from: &dyn Any, into: &mut dyn Any);
    fn is_same(&self, one: &dyn Any, other: &dyn Any) -> bool;
    /// Its texts one by one, if it is a list of them.
    fn texts<'a>(&self, _record: &'a dyn Any) -> Option<&'a [String]> {
        None
    }
    /// Adds what `from` says to what `into` says; false where only one can hold.
    fn join(&self, _from: &dyn Any, _into: &mut dyn Any) -> bool {
        false
    }
}

/// What the type of a lens tells of its field.
pub(crate) trait Placed: Lens {
    const KIND: FieldKind;
    const OWNER: Owner;
}

/// A record that has a table; of its own, where it does not say otherwise.
pub(crate) trait Record: Any {
    const OWNER: Owner = Owner::Alone;
}

/// `record` as the one that a lens looks into.
fn seen<R: Any>(record: &dyn Any) -> &R {
    record.downcast_ref().expect(OWN)
}

fn seen_mut<R: Any>(record: &mut dyn Any) -> &mut R {
    record.downcast_mut().expect(OWN)
}

const OWN: &str = "a table is asked about records of its own kind, as its test does for each";

/// How a member of type `T` is read, written and joined.
pub(crate) trait Form<T>: Sync {
    const KIND: FieldKind;
    fn value<'a>(&self, member: &'a T) -> Value<'a>;
    fn read(&self, text: &str) -> Result<Value<'static>, String>;
    fn take(&self, value: Value<'_>) -> Result<T, String>;
    fn texts<'a>(&self, _member: &'a T) -> Option<&'a [String]> {
        None
    }
    fn join(&self, _from: &T, _into: &mut T) -> bool {
        false
    }
}

/// The form that the type of the member has by itself.
pub(crate) struct Plain;

impl<T: Leaf> Form<T> for Plain {
    const KIND: FieldKind = T::KIND;

    fn value<'a>(&self, member: &'a T) -> Value<'a> {
        member.value()
    }

    fn read(&self, text: &str) -> Result<Value<'static>, String> {
        T::read(text).map(|leaf| leaf.value().into_owned())
    }

    fn take(&self, value: Value<'_>) -> Result<T, String> {
        T::take(value)
    }
}

/// A member of `R`.
pub(crate) struct At<R: 'static, T: 'static, F> {
    pub(crate) get: fn(&R) -> &T,
    pub(crate) get_mut: fn(&mut R) -> &mut T,
    pub(crate) form: F,
}

impl<R: Record, T: Clone + PartialEq, F: Form<T>> Placed for At<R, T, F> {
    const KIND: FieldKind = F::KIND;
    const OWNER: Owner = R::OWNER;
}

impl<R: Record, T: Clone + PartialEq, F: Form<T>> Lens for At<R, T, F> {
    fn get<'a>(&self, record: &'a dyn Any) -> Value<'a> {
        self.form.value((self.get)(seen(record)))
    }

    fn read(&self, text: &str) -> Result<Value<'static>, String> {
        self.form.read(text)
    }

    fn put(&self, record: &mut dyn Any, value: Value<'_>) -> Result<(), String> {
        *(self.get_mut)(seen_mut(record)) = self.form.take(value)?;
        Ok(())
    }

    fn copy(&self, from: &dyn Any, into: &mut dyn Any) {
        (self.get_mut)(seen_mut(into)).clone_from((self.get)(seen(from)));
    }

    fn is_same(&self, one: &dyn Any, other: &dyn Any) -> bool {
        (self.get)(seen(one)) == (self.get)(seen(other))
    }

    fn texts<'a>(&self, record: &'a dyn Any) -> Option<&'a [String]> {
        self.form.texts((self.get)(seen(record)))
    }

    fn join(&self, from: &dyn Any, into: &mut dyn Any) -> bool {
        self.form.join((self.get)(seen(from)), (self.get_mut)(seen_mut(into)))
    }
}

/// What is no member by itself, but is made of some and put into some.
pub(crate) struct Through<R: 'static, T: 'static> {
    pub(crate) get: fn(&R) -> T,
    pub(crate) put: fn(&mut R, T) -> Result<(), String>,
}

impl<R: Record, T: Leaf> Placed for Through<R, T> {
    const KIND: FieldKind = T::KIND;
    const OWNER: Owner = R::OWNER;
}

impl<R: Record, T: Leaf> Lens for Through<R, T> {
    fn get<'a>(&self, record: &'a dyn Any) -> Value<'a> {
        (self.get)(seen(record)).value().into_owned()
    }

    fn read(&self, text: &str) -> Result<Value<'static>, String> {
        T::read(text).map(|leaf| leaf.value().into_owned())
    }

    fn put(&self, record: &mut dyn Any, value: Value<'_>) -> Result<(), String> {
        (self.put)(seen_mut(record), T::take(value)?)
    }

    fn copy(&self, from: &dyn Any, into: &mut dyn Any) {
        // What has no place in the other record stays out of it.
        drop((self.put)(seen_mut(into), (self.get)(seen(from))));
    }

    fn is_same(&self, one: &dyn Any, other: &dyn Any) -> bool {
        (self.get)(seen(one)) == (self.get)(seen(other))
    }
}

/// A lens to a member: `at!(Fastener.grip)`, or in a form that its type does not tell.
macro_rules! at {
    ($record:ident.$($member:ident).+) => {
        at!($record.$($member).+, $crate::record::table::Plain)
    };
    ($record:ident.$($member:ident).+, $form:expr) => {
        $crate::record::table::At::<$record, _, _> {
            get: |record| &record.$($member).+,
            get_mut: |record| &mut record.$($member).+,
            form: $form,
        }
    };
}

pub(crate) use at;

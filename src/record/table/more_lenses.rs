//! Lenses to members that are no single leaf: lists, words that add up, the two
//! diameters of a bearing ring.

use std::any::Any;

use super::lens::{Form, Lens, Placed, Record, seen, seen_mut};
use super::{FieldKind, Leaf, Owner, Value};
use crate::quantity::{Length, Stated};
use crate::record::{Bearing, Fastener};

/// A list of texts in one cell: what stands between two when they are printed, and
/// what parts them when they are read.
pub(crate) struct List(&'static str, &'static [char]);

/// Short texts with a comma between them.
pub(crate) const BY_COMMA: List = List(", ", &[',', ';']);
/// Whole sentences, which hold commas: parted by semicolons and lines.
pub(crate) const BY_SEMICOLON: List = List("; ", &[';', '\n']);

impl List {
    /// The texts in `text`, each once.
    fn parted(&self, text: &str) -> Vec<String> {
        let mut texts: Vec<String> = Vec::new();
        for one in text.split(self.1).filter_map(super::given) {
            if texts.iter().all(|known| known != one) {
                texts.push(one.to_owned());
            }
        }
        texts
    }
}

impl Form<Vec<String>> for List {
    const KIND: FieldKind = FieldKind::List;

    fn value<'a>(&self, member: &'a Vec<String>) -> Value<'a> {
        match member.as_slice() {
            [one] => Value::text(one),
            texts => Value::made(texts.join(self.0)),
        }
    }

    fn read(&self, text: &str) -> Result<Value<'static>, String> {
        Ok(Value::made(self.parted(text).join(self.0)))
    }

    fn take(&self, value: Value<'_>) -> Result<Vec<String>, String> {
        Ok(self.parted(&value.cell().unwrap_or_default()))
    }

    fn texts<'a>(&self, member: &'a Vec<String>) -> Option<&'a [String]> {
        Some(member)
    }

    fn join(&self, from: &Vec<String>, into: &mut Vec<String>) -> bool {
        for text in from {
            if !into.contains(text) {
                into.push(text.clone());
            }
        }
        true
    }
}

/// Words that several rows may add to.
pub(crate) struct Words;

impl Form<Option<String>> for Words {
    const KIND: FieldKind = FieldKind::Text;

    fn value<'a>(&self, member: &'a Option<String>) -> Value<'a> {
        member.value()
    }

    fn read(&self, text: &str) -> Result<Value<'static>, String> {
        Ok(super::given(text).map_or(Value::NotStated, |text| Value::made(text.to_owned())))
    }

    fn take(&self, value: Value<'_>) -> Result<Option<String>, String> {
        Leaf::take(value)
    }

    fn join(&self, from: &Option<String>, into: &mut Option<String>) -> bool {
        let Some(more) = from else { return true };
        match into {
            Some(text) if text.contains(more.as_str()) => {}
            Some(text) => {
                text.push_str("; ");
                text.push_str(more);
            }
            none => *none = Some(more.clone()),
        }
        true
    }
}

/// A diameter of the bearing ring. A ring has two: while only one of them was
/// put, the other is the same, which no check lets pass.
pub(crate) enum Ring {
    Outer,
    Hole,
}

type Diameter = Option<Stated<Length>>;

impl Placed for Ring {
    const KIND: FieldKind = <Diameter as Leaf>::KIND;
    const OWNER: Owner = Fastener::OWNER;
}

impl Ring {
    fn diameter(&self, fastener: &Fastener) -> Diameter {
        fastener.bearing.map(|ring| match self {
            Self::Outer => ring.outer,
            Self::Hole => ring.hole,
        })
    }

    fn change(&self, fastener: &mut Fastener, new: Diameter) {
        fastener.bearing = new.map(|new| {
            let Bearing { outer, hole } =
                fastener.bearing.unwrap_or(Bearing { outer: new, hole: new });
            match self {
                Self::Outer => Bearing { outer: new, hole },
                Self::Hole => Bearing { outer, hole: new },
            }
        });
    }
}

impl Lens for Ring {
    fn get<'a>(&self, record: &'a dyn Any) -> Value<'a> {
        Value::stated(self.diameter(seen(record)))
    }

    fn read(&self, text: &str) -> Result<Value<'static>, String> {
        <Diameter as Leaf>::read(text).map(Value::stated)
    }

    fn put(&self, record: &mut dyn Any, value: Value<'_>) -> Result<(), String> {
        self.change(seen_mut(record), <Diameter as Leaf>::take(value)?);
        Ok(())
    }

    fn copy(&self, from: &dyn Any, into: &mut dyn Any) {
        self.change(seen_mut(into), self.diameter(seen(from)));
    }

    fn is_same(&self, one: &dyn Any, other: &dyn Any) -> bool {
        self.diameter(seen(one)) == self.diameter(seen(other))
    }
}

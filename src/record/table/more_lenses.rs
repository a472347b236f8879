//! Lenses to members that are no single leaf: lists, words that add up, the two
//! diameters of a bearing ring.

use std::any::Any;

use super::lens::{Lens, Placed, Record, seen, seen_mut};
use super::{FieldKind, Leaf, Owner, Value};
use crate::quantity::{Length, Stated};
use crate::record::{Bearing, Fastener};

/// A list of texts in one cell.
pub(crate) struct List<R: 'static> {
    pub(crate) get: fn(&R) -> &Vec<String>,
    pub(crate) get_mut: fn(&mut R) -> &mut Vec<String>,
    /// What stands between two texts when it is printed.
    pub(crate) between: &'static str,
    /// What parts them when it is read.
    pub(crate) marks: &'static [char],
}

/// Texts with `"; "` or `", "` between them. Where a comma parts them a semicolon
/// does so too; whole sentences hold commas and are parted by semicolons and lines.
macro_rules! list {
    ($record:ident.$member:ident, ", ") => {
        list!($record.$member, ", ", &[',', ';'])
    };
    ($record:ident.$member:ident, "; ") => {
        list!($record.$member, "; ", &[';', '\n'])
    };
    ($record:ident.$member:ident, $between:literal, $marks:expr) => {
        $crate::record::table::List::<$record> {
            get: |record| &record.$member,
            get_mut: |record| &mut record.$member,
            between: $between,
            marks: $marks,
        }
    };
}

pub(crate) use list;

impl<R: Record> Placed for List<R> {
    const KIND: FieldKind = FieldKind::List;
    const OWNER: Owner = R::OWNER;
}

impl<R: Record> List<R> {
    /// The texts in `text`, each once.
    fn texts(&self, text: &str) -> Vec<String> {
        let mut texts: Vec<String> = Vec::new();
        for one in text.split(self.marks).filter_map(super::given) {
            if texts.iter().all(|known| known != one) {
                texts.push(one.to_owned());
            }
        }
        texts
    }
}

impl<R: Record> Lens for List<R> {
    fn get<'a>(&self, record: &'a dyn Any) -> Value<'a> {
        match (self.get)(seen(record)).as_slice() {
            [one] => Value::text(one),
            texts => Value::made(texts.join(self.between)),
        }
    }

    fn read(&self, text: &str) -> Result<Value<'static>, String> {
        Ok(Value::made(self.texts(text).join(self.between)))
    }

    fn put(&self, record: &mut dyn Any, value: Value<'_>) -> Result<(), String> {
        *(self.get_mut)(seen_mut(record)) = self.texts(&value.cell().unwrap_or_default());
        Ok(())
    }

    fn copy(&self, from: &dyn Any, into: &mut dyn Any) {
        (self.get_mut)(seen_mut(into)).clone_from((self.get)(seen(from)));
    }

    fn is_same(&self, one: &dyn Any, other: &dyn Any) -> bool {
        (self.get)(seen(one)) == (self.get)(seen(other))
    }

    fn texts<'a>(&self, record: &'a dyn Any) -> Option<&'a [String]> {
        Some((self.get)(seen(record)))
    }

    fn join(&self, from: &dyn Any, into: &mut dyn Any) -> bool {
        let known = (self.get_mut)(seen_mut(into));
        for text in (self.get)(seen(from)) {
            if !known.contains(text) {
                known.push(text.clone());
            }
        }
        true
    }
}

/// Words that several rows may add to.
pub(crate) struct Words<R: 'static> {
    pub(crate) get: fn(&R) -> &Option<String>,
    pub(crate) get_mut: fn(&mut R) -> &mut Option<String>,
}

macro_rules! words {
    ($record:ident.$member:ident) => {
        $crate::record::table::Words::<$record> {
            get: |record| &record.$member,
            get_mut: |record| &mut record.$member,
        }
    };
}

pub(crate) use words;

impl<R: Record> Placed for Words<R> {
    const KIND: FieldKind = FieldKind::Text;
    const OWNER: Owner = R::OWNER;
}

impl<R: Record> Lens for Words<R> {
    fn get<'a>(&self, record: &'a dyn Any) -> Value<'a> {
        (self.get)(seen(record)).value()
    }

    fn read(&self, text: &str) -> Result<Value<'static>, String> {
        Ok(super::given(text).map_or(Value::NotStated, |text| Value::made(text.to_owned())))
    }

    fn put(&self, record: &mut dyn Any, value: Value<'_>) -> Result<(), String> {
        *(self.get_mut)(seen_mut(record)) = Leaf::take(value)?;
        Ok(())
    }

    fn copy(&self, from: &dyn Any, into: &mut dyn Any) {
        (self.get_mut)(seen_mut(into)).clone_from((self.get)(seen(from)));
    }

    fn is_same(&self, one: &dyn Any, other: &dyn Any) -> bool {
        (self.get)(seen(one)) == (self.get)(seen(other))
    }

    fn join(&self, from: &dyn Any, into: &mut dyn Any) -> bool {
        let Some(more) = (self.get)(seen(from)) else { return true };
        match (self.get_mut)(seen_mut(into)) {
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

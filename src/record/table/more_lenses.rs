//! Lenses to members that are no single leaf: lists, words that add up, the two
//! diameters of a bearing ring.

use super::lens::Form;
use super::{FieldKind, Leaf, Value};

/// A list of texts in one cell: what stands between two when they are printed, and
/// what parts them when they are read.
pub(crate) struct TextList(&'static str, &'static [char]);

/// Short texts with a comma between them.
pub(crate) const BY_COMMA: TextList = TextList(", ", &[',', ';']);
/// Whole sentences, which hold commas: parted by semicolons and lines.
pub(crate) const BY_SEMICOLON: TextList = TextList("; ", &[';', '\n']);

impl TextList {
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

impl Form<Vec<String>> for TextList {
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
pub(crate) struct AddedWords;

impl Form<Option<String>> for AddedWords {
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

/// A diameter of the bearing ring. A ring has two: while only one of them was put, the
/// other is the same, which no check lets pass.
macro_rules! ring {
    ($end:ident) => {
        $crate::record::table::Through::<Fastener, Option<Stated<Length>>> {
            get: |fastener| fastener.bearing.map(|ring| ring.$end),
            put: |fastener, new| {
                fastener.bearing = new.map(|$end| {
                    let both = Bearing { outer: $end, hole: $end };
                    Bearing { $end, ..fastener.bearing.unwrap_or(both) }
                });
                Ok(())
            },
        }
    };
}

pub(crate) use ring;

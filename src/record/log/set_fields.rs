//! The fields of a bolt set, and how one bolt is written in a line.

use std::fmt;

use crate::quantity::Stated;
use crate::record::table::{FieldKind, Leaf, Record, RecordTable, Value, at, field, given};
use crate::record::{Bolt, BoltSet};
use crate::text::fold_name;

const EXPECTED: &str = "write `1: new 1.9986 in, mark A, earlier 2`";

impl Bolt {
    /// Reads `1: new 1.9986 in, mark A, earlier 2`, any of them; a bare
    /// position or a bare length is enough.
    pub fn parse(text: &str) -> Result<Self, String> {
        let (position, rest) = text.split_once(':').unwrap_or((text, ""));
        let mut bolt = Self { position: position.trim().to_owned(), ..Self::default() };
        if bolt.position.is_empty() {
            return Err(format!("`{}`: {EXPECTED}", text.trim()));
        }
        for part in rest.split(',').map(str::trim).filter(|part| !part.is_empty()) {
            match part.split_once(' ') {
                Some(("mark", mark)) => bolt.mark = Some(mark.trim().to_owned()),
                Some(("earlier", count)) => {
                    let wrong = |_| format!("`{part}`: a number of tightenings was expected");
                    bolt.earlier = count.trim().parse().map_err(wrong)?;
                }
                _ => {
                    let length = part.strip_prefix("new ").unwrap_or(part);
                    let read = Stated::parse(length);
                    bolt.new = Some(read.map_err(|error| format!("{error}; {EXPECTED}"))?);
                }
            }
        }
        Ok(bolt)
    }
}

impl fmt::Display for Bolt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let values: Vec<String> = [
            self.new.map(|length| format!("new {length}")),
            self.mark.as_ref().map(|mark| format!("mark {mark}")),
            (self.earlier > 0).then(|| format!("earlier {}", self.earlier)),
        ]
        .into_iter()
        .flatten()
        .collect();
        if values.is_empty() {
            return f.write_str(&self.position);
        }
        write!(f, "{}: {}", self.position, values.join(", "))
    }
}

/// Bolts, parted by semicolons; `1 to 12` stands for twelve that are known by
/// number alone.
fn bolts(text: &str) -> Result<Vec<Bolt>, String> {
    let mut bolts: Vec<Bolt> = Vec::new();
    for piece in text.split(';').map(str::trim).filter(|piece| !piece.is_empty()) {
        let range = piece.contains(" to ") || piece.contains("..");
        let read = match crate::record::hole_numbers(piece).filter(|_| range) {
            Some(numbers) => numbers
                .into_iter()
                .map(|number| Bolt { position: number.to_string(), ..Bolt::default() })
                .collect(),
            None => vec![Bolt::parse(piece)?],
        };
        for bolt in read {
            if bolts.iter().any(|known| fold_name(&known.position) == fold_name(&bolt.position)) {
                return Err(format!("bolt `{}` is there twice", bolt.position));
            }
            bolts.push(bolt);
        }
    }
    Ok(bolts)
}

impl Leaf for Vec<Bolt> {
    const KIND: FieldKind = FieldKind::Text;

    fn value(&self) -> Value<'_> {
        Value::joined(self, "; ")
    }

    fn read(text: &str) -> Result<Self, String> {
        bolts(given(text).unwrap_or_default())
    }
}

impl Record for BoltSet {}

#[rustfmt::skip] // one row a line, read as a table
pub static BOLT_SETS: RecordTable = RecordTable { what: "bolt set", listed: "sets", needed: &["name", "fastener", "bolts"], fields: &[
    field!("name" | "set" => at!(BoltSet.name), "name", "its name"),
    field!("fastener" | "key" | "of" => at!(BoltSet.fastener), "fastener", "key of the fastener that the bolts are"),
    field!("bolts" | "bolt" | "positions" => at!(BoltSet.bolts), "bolts", "each bolt: 1: new 1.9986 in, mark A, earlier 2; 2: new 1.9987 in; or 1 to 12"),
    field!("notes" | "note" => at!(BoltSet.notes), "notes", "anything else"),
] };

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bolts_print_what_they_read() {
        let mut set = BoltSet::default();
        let text = "1: new 1.9986 in, mark A, earlier 2; 2: new 1.9987 in; 3";
        let field = BOLT_SETS.field("bolts").unwrap();
        let read = |set: &mut BoltSet, text: &str| BOLT_SETS.set(set, "bolts", text);
        read(&mut set, text).unwrap();
        assert_eq!(field.value(&set).cell().as_deref(), Some(text));
        assert_eq!((set.bolts[0].earlier, set.bolts[0].mark.as_deref()), (2, Some("A")));
        read(&mut set, "1 to 12").unwrap();
        assert_eq!(set.bolts.len(), 12);
        for wrong in ["1: x", "1; 1", ": new 2 in", "1: new 3 kN", "1: earlier two"] {
            assert!(read(&mut set, wrong).is_err(), "{wrong}");
        }
    }
}

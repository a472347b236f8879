//! The fields in which two states of a record differ, by walking its table.

use std::any::Any;
use std::borrow::Cow;

use crate::record::{FIELDS, Fastener, Field, Owner, SheetLine};

/// One field that differs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldChange {
    /// Key or name of the record.
    pub key: String,
    pub field: Cow<'static, str>,
    /// As it was; none is "not stated".
    pub old: Option<String>,
    /// As it is; none is "not stated".
    pub new: Option<String>,
}

/// The fields of `table` in which two states of the record `key` differ, in the
/// order of the table; all that are stated where there is only one state.
pub fn changes_of(
    key: &str,
    table: &'static [Field],
    old: Option<&dyn Any>,
    new: Option<&dyn Any>,
) -> Vec<FieldChange> {
    let text = |record: Option<&dyn Any>, field: &Field| text_of(field.value(record?).cell());
    let change = |field: &'static Field| (field, text(old, field), text(new, field));
    changes(key, table.iter().map(change))
}

/// The fields in which two states of a fastener differ, in the order of the
/// fields: those of the fastener first, then those of each setting.
///
/// Settings are matched by their place where none came or went, so that a
/// changed lube is one change; else by their key.
pub fn differences(old: &Fastener, new: &Fastener) -> Vec<FieldChange> {
    let (before, after) = (SheetLine::each(old), SheetLine::each(new));
    let mut found = compare(&old.key, before.first(), after.first(), false);
    let set = |lines: &[SheetLine<'_>]| lines.iter().filter(|line| line.setting.is_some()).count();
    let (before, after) = (&before[..set(&before)], &after[..set(&after)]);
    if before.len() == after.len() {
        for (before, after) in before.iter().zip(after) {
            found.extend(compare(&before.key, Some(before), Some(after), true));
        }
        return found;
    }
    for before in before {
        let after = after.iter().find(|after| after.key == before.key);
        found.extend(compare(&before.key, Some(before), after, true));
    }
    for after in after.iter().filter(|after| before.iter().all(|line| line.key != after.key)) {
        found.extend(compare(&after.key, None, Some(after), true));
    }
    found
}

/// Compares the fields of the setting, or all the others.
fn compare(
    key: &str,
    before: Option<&SheetLine<'_>>,
    after: Option<&SheetLine<'_>>,
    of_setting: bool,
) -> Vec<FieldChange> {
    let is_meant = |field: &&Field| {
        field.is_stored() && field.name != "key" && (field.owner == Owner::Setting) == of_setting
    };
    let text = |line: Option<&SheetLine<'_>>, field: &Field| text_of(line?.value(field).cell());
    let fields = FIELDS.iter().filter(is_meant);
    changes(key, fields.map(|field| (field, text(before, field), text(after, field))))
}

type Pair = (&'static Field, Option<String>, Option<String>);

pub(super) fn changes(key: &str, pairs: impl Iterator<Item = Pair>) -> Vec<FieldChange> {
    let differ = pairs.filter(|(_, old, new)| old != new);
    let change = |(field, old, new): Pair| {
        let (key, field) = (key.to_owned(), Cow::Borrowed(field.name));
        FieldChange { key, field, old, new }
    };
    differ.map(change).collect()
}

fn text_of(cell: Option<Cow<'_, str>>) -> Option<String> {
    cell.map(Cow::into_owned).filter(|text| !text.is_empty())
}

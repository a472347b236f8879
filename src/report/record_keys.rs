//! The keys of a record for programs, by walking its table.

use std::any::Any;

use serde_json::Value as Json;

use crate::record::{Field, FieldKind, RecordTable, Row, Value, find_field};
use crate::report::page::Table;

/// Adds a key for each field of `of` but those in `without`: a quantity as written
/// and in SI units, a list as a list, anything else as what it is; null is "not
/// stated". `record` is what the table of fields knows of a row.
pub(crate) fn record_keys<'a, R: 'a>(
    mut table: Table<'a, R>,
    of: &'static RecordTable,
    without: &[&str],
    record: fn(&R) -> &dyn Any,
) -> Table<'a, R> {
    for field in of.fields.iter().filter(|field| !without.contains(&field.name)) {
        if let FieldKind::Quantity(_) = field.kind {
            let key = field.name.replace('-', "_");
            table = table.key(key, move |row| field.value(record(row)).cell().map(String::from));
        }
        table = table.key(field.json, move |row| value(field, record(row)));
    }
    table
}

/// Adds a key for each of these fields of a row.
pub(crate) fn field_keys<'a, R: 'a, const N: usize>(
    mut table: Table<'a, R>,
    names: [&str; N],
    row: fn(&R) -> &Row,
) -> Table<'a, R> {
    for name in names {
        let field = find_field(name).expect("a page asks for fields by their own names");
        table = table.key(field.json, move |one| value_of(&field.get(row(one))));
    }
    table
}

fn value(field: &Field, record: &dyn Any) -> Json {
    match (field.texts(record), field.value(record)) {
        (Some(texts), _) => texts.into(),
        (None, value) => value_of(&value),
    }
}

/// The value of a field: base units for a quantity (the low end of a range), text
/// for words.
pub(crate) fn value_of(value: &Value<'_>) -> Json {
    match value {
        Value::NotStated => Json::Null,
        Value::Text(text) => Json::from(&**text),
        Value::Number(number) if number.fract() == 0.0 && *number >= 0.0 => {
            Json::from(*number as u64)
        }
        Value::Number(number) => (*number).into(),
        Value::Measure(measure) => measure.low.into(),
        Value::Thread(thread) => thread.to_string().into(),
        Value::Flag(flag) => (*flag).into(),
    }
}

//! The fasteners of a book as JSON, for another program.

use std::borrow::Cow;
use std::sync::Arc;

use crate::record::{Fastener, SheetLine, Value};
use crate::report::csv::stored_fields;
use crate::report::json::Json;

/// `{"settings": [{…}]}`: one object a setting, the stored fields under the
/// names of [`FIELDS`](crate::record::FIELDS) as import reads them, quantities
/// as written. What is not stated has no key.
pub fn export_json(fasteners: &[Arc<Fastener>]) -> String {
    let lines = fasteners.iter().flat_map(|fastener| SheetLine::each(fastener));
    let settings = lines.map(|line| setting(&line));
    Json::object(vec![("settings", Json::List(settings.collect()))]).lines()
}

/// The same objects, one a line.
pub fn export_json_lines(fasteners: &[Arc<Fastener>]) -> String {
    let mut text = String::new();
    for line in fasteners.iter().flat_map(|fastener| SheetLine::each(fastener)) {
        text += &setting(&line).to_string();
        text.push('\n');
    }
    text
}

fn setting(line: &SheetLine<'_>) -> Json {
    let entry = |field: &'static crate::record::Field| {
        let value = match line.value(field) {
            Value::NotStated => return None,
            Value::Flag(flag) => flag.into(),
            Value::Number(number) => Json::Count(number as u64),
            value => value.cell().map(Cow::into_owned).into(),
        };
        // A program finds the count of fasteners under one key everywhere.
        let key = if field.aliases.contains(&field.json) { field.json } else { field.name };
        Some((Cow::Borrowed(key), value))
    };
    Json::Object(stored_fields().filter_map(entry).collect())
}

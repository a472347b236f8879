//! The fasteners of a book as JSON, for another program.

use std::borrow::Cow;
use std::sync::Arc;

use crate::record::{Fastener, Owner, Row, Value};
use crate::report::csv::{export_rows, stored_fields};
use crate::report::json::Json;

/// `{"settings": [{…}]}`: one object a setting, the stored fields under the
/// names of [`FIELDS`](crate::record::FIELDS) as import reads them, quantities
/// as written. What is not stated has no key.
pub fn export_json(fasteners: &[Arc<Fastener>]) -> String {
    let settings = fasteners.iter().flat_map(|fastener| {
        let has_setting = !fastener.settings.is_empty();
        export_rows(fastener).into_iter().map(move |row| setting(&row, has_setting))
    });
    Json::object(vec![("settings", Json::List(settings.collect()))]).lines()
}

/// The same objects, one a line.
pub fn export_json_lines(fasteners: &[Arc<Fastener>]) -> String {
    let mut text = String::new();
    for fastener in fasteners {
        let has_setting = !fastener.settings.is_empty();
        for row in export_rows(fastener) {
            text += &setting(&row, has_setting).to_string();
            text.push('\n');
        }
    }
    text
}

fn setting(row: &Row, has_setting: bool) -> Json {
    let mut entries = Vec::new();
    for field in stored_fields().filter(|field| has_setting || field.owner != Owner::Setting) {
        let value = match (field.name, (field.get)(row)) {
            ("source", _) => row.setting.source.title.as_ref().into(),
            (_, Value::NotStated) => Json::Null,
            (_, Value::Flag(flag)) => flag.into(),
            (_, Value::Text(text)) => text.into(),
            (_, Value::Number(number)) => Json::Count(number as u64),
            (_, Value::Measure(measure)) => measure.written.into(),
            (_, Value::Thread(thread)) => thread.to_string().into(),
        };
        if value != Json::Null {
            entries.push((Cow::Borrowed(field.name), value));
        }
    }
    Json::Object(entries)
}

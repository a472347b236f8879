//! The fasteners of a book as JSON, for another program.

use std::borrow::Cow;
use std::io::{self, Write};
use std::sync::Arc;

use serde::Serializer;
use serde::ser::SerializeMap;

use crate::record::{Fastener, SheetLine, Value};
use crate::report::csv::stored_fields;

/// `{"settings": [{…}]}`: one object a setting, the stored fields under the
/// names of [`FIELDS`](crate::record::FIELDS) as import reads them, quantities
/// as written. What is not stated has no key.
///
/// # Errors
/// What `to` returns.
pub fn export_json(fasteners: &[Arc<Fastener>], to: &mut dyn Write) -> io::Result<()> {
    let mut before: &[u8] = b"{\"settings\":[\n";
    for fastener in fasteners {
        for line in SheetLine::each(fastener) {
            to.write_all(before)?;
            setting(&line, to)?;
            before = b",\n";
        }
    }
    if before.starts_with(b"{") {
        to.write_all(before)?;
    }
    to.write_all(b"\n]}\n")
}

/// The same objects, one a line.
///
/// # Errors
/// What `to` returns.
pub fn export_json_lines(fasteners: &[Arc<Fastener>], to: &mut dyn Write) -> io::Result<()> {
    for fastener in fasteners {
        for line in SheetLine::each(fastener) {
            setting(&line, to)?;
            to.write_all(b"\n")?;
        }
    }
    Ok(())
}

fn setting(line: &SheetLine<'_>, to: &mut dyn Write) -> io::Result<()> {
    let mut json = serde_json::Serializer::new(to);
    let mut map = json.serialize_map(None)?;
    for field in stored_fields() {
        // A program finds the count of fasteners under one key everywhere.
        let name = if field.aliases.contains(&field.json) { field.json } else { field.name };
        match line.value(field) {
            Value::NotStated => {}
            Value::Flag(flag) => map.serialize_entry(name, &flag)?,
            Value::Number(number) => map.serialize_entry(name, &(number as u64))?,
            value => map.serialize_entry(name, &value.cell().map(Cow::into_owned))?,
        }
    }
    Ok(map.end()?)
}

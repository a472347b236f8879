//! The fasteners of a book as JSON, for another program.

use std::borrow::Cow;
use std::io::{self, Write};

use serde::Serializer;
use serde::ser::SerializeMap;

use crate::record::{SheetLine, Value, stored_fields};
use crate::report::exported::Fasteners;

/// `{"settings": [{…}]}`: one object a setting, the stored fields under the
/// names of [`FIELDS`](crate::record::FIELDS) as import reads them, quantities
/// as written. What is not stated has no key.
///
/// # Errors
/// What `to` returns.
pub fn export_json(fasteners: &(impl Fasteners + ?Sized), to: &mut dyn Write) -> io::Result<()> {
    let mut before: &[u8] = b"{\"settings\":[\n";
    fasteners.each(&mut |fastener| {
        SheetLine::each(fastener).iter().try_for_each(|line| {
            to.write_all(before)?;
            before = b",\n";
            setting(line, to)
        })
    })?;
    if before.starts_with(b"{") {
        to.write_all(before)?;
    }
    to.write_all(b"\n]}\n")
}

/// The same objects, one a line.
///
/// # Errors
/// What `to` returns.
pub fn export_json_lines(
    fasteners: &(impl Fasteners + ?Sized),
    to: &mut dyn Write,
) -> io::Result<()> {
    fasteners.each(&mut |fastener| {
        SheetLine::each(fastener).iter().try_for_each(|line| {
            setting(line, to)?;
            to.write_all(b"\n")
        })
    })
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

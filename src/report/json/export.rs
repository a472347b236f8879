//! The fasteners of a book as JSON, for another program.

use std::borrow::Cow;
use std::io::{self, Write};

use serde::Serializer;
use serde::ser::SerializeMap;

use crate::record::{SheetLine, Value, stored_fields};
use crate::report::exported::{Fasteners, Line, own_lines};

/// `{"settings": [{…}]}`: one object a setting, the stored fields under the
/// names of [`FIELDS`](crate::record::FIELDS) as import reads them, quantities
/// as written. What is not stated has no key. The shop's own lubes and strengths
/// follow as `lubes` and `strengths`, under the fields of their tables.
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
    to.write_all(b"\n]")?;
    for (table, lines) in own_lines(fasteners.own()) {
        write!(to, ",\n\"{}\":", table.listed)?;
        records(&lines, to)?;
    }
    to.write_all(b"}\n")
}

/// The same objects, one a line; the shop's own records in a last one.
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
    })?;
    let mut before = "{";
    for (table, lines) in own_lines(fasteners.own()) {
        write!(to, "{before}\"{}\":", table.listed)?;
        records(&lines, to)?;
        before = ",";
    }
    if before == "," { to.write_all(b"}\n") } else { Ok(()) }
}

fn records(lines: &[Line], to: &mut dyn Write) -> io::Result<()> {
    let object = |line: &Line| -> serde_json::Map<String, serde_json::Value> {
        line.iter().map(|(field, cell)| (field.name.to_owned(), cell.as_str().into())).collect()
    };
    let objects: Vec<_> = lines.iter().map(object).collect();
    Ok(serde_json::to_writer(to, &objects)?)
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

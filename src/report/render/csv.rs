//! A page as CSV: its main rows under a header of their keys.
//!
//! A page without rows is one line of its values. A page with several kinds of
//! rows has `block` as its first column, and what stands beside the rows is a line
//! of the block `page`, so that nothing is left out.
//!
//! A cell that a spreadsheet would take for a formula (`=`, `+`, `-` or `@`
//! first) gets an apostrophe in front, as does one that starts with an
//! apostrophe before such a sign or another apostrophe; import takes one off.

use std::io::{self, Write};

use csv::{QuoteStyle, Writer, WriterBuilder};
use serde_json::{Map, Value};

use crate::report::page::{Data, Key, Page, Rows};

/// Between the texts of a list in one cell.
const BETWEEN: &str = "; ";
/// The first column of a page with several kinds of rows.
const BLOCK: &str = "block";
/// The block of what stands beside the rows.
const PAGE: &str = "page";

pub(super) fn write(page: &Page<'_>, to: &mut dyn Write) -> io::Result<()> {
    let kinds: Vec<(&Key, &dyn Rows)> = page.data.iter().filter_map(rows).collect();
    let facts = facts(page);
    match kinds.as_slice() {
        [] => {
            let mut csv = CsvRows::new(to, facts.keys().cloned().collect())?;
            csv.object(&facts)?;
            csv.end()
        }
        [(_, rows)] if facts.is_empty() => {
            let mut csv = CsvRows::new(to, rows.keys().iter().map(Key::to_string).collect())?;
            rows.each(&mut |row| csv.object(&row))?;
            csv.end()
        }
        several => blocks(facts, several, to),
    }
}

fn rows<'p>((key, data): &'p (Key, Data<'_>)) -> Option<(&'p Key, &'p dyn Rows)> {
    match data {
        Data::Rows(rows) => Some((key, rows.as_ref())),
        Data::Value(_) | Data::Fact(_) => None,
    }
}

/// What was asked for beside the rows; all there is, if there are no rows. An
/// object has a column for each of its keys.
fn facts(page: &Page<'_>) -> Map<String, Value> {
    let has_rows = page.data.iter().any(|entry| rows(entry).is_some());
    let mut facts = Map::new();
    for (key, data) in &page.data {
        match data {
            Data::Fact(Value::Object(object)) => {
                let inner = object.iter();
                facts.extend(inner.map(|(name, value)| (format!("{key}_{name}"), value.clone())));
            }
            Data::Fact(value) => {
                facts.insert(key.to_string(), value.clone());
            }
            Data::Value(value) if !has_rows => {
                facts.insert(key.to_string(), value.clone());
            }
            Data::Value(_) | Data::Rows(_) => {}
        }
    }
    facts
}

fn blocks(
    facts: Map<String, Value>,
    kinds: &[(&Key, &dyn Rows)],
    to: &mut dyn Write,
) -> io::Result<()> {
    let mut keys = vec![BLOCK.to_owned()];
    let of_kinds = kinds.iter().flat_map(|(_, rows)| rows.keys());
    for key in facts.keys().cloned().chain(of_kinds.map(Key::into_owned)) {
        if !keys.contains(&key) {
            keys.push(key);
        }
    }
    let mut csv = CsvRows::new(to, keys)?;
    let mut line = |block: &str, mut object: Map<String, Value>| {
        object.insert(BLOCK.to_owned(), block.into());
        csv.object(&object)
    };
    if !facts.is_empty() {
        line(PAGE, facts)?;
    }
    for (name, rows) in kinds {
        rows.each(&mut |row| line(name, row))?;
    }
    csv.end()
}

/// Lines of cells under a header.
pub(crate) struct CsvRows<W: Write> {
    keys: Vec<String>,
    csv: Writer<W>,
}

impl<W: Write> CsvRows<W> {
    /// Writes the header.
    ///
    /// # Errors
    /// What `to` returns; so do the others.
    pub(crate) fn new(to: W, keys: Vec<String>) -> io::Result<Self> {
        let mut csv = WriterBuilder::new().quote_style(QuoteStyle::Necessary).from_writer(to);
        csv.write_record(&keys).map_err(plain)?;
        Ok(Self { keys, csv })
    }

    pub(crate) fn object(&mut self, object: &Map<String, Value>) -> io::Result<()> {
        let cells = self.keys.iter().map(|key| object.get(key).map_or_else(String::new, cell));
        self.csv.write_record(cells).map_err(plain)
    }

    pub(crate) fn line(&mut self, cells: impl Iterator<Item = String>) -> io::Result<()> {
        self.csv.write_record(cells).map_err(plain)
    }

    pub(crate) fn end(mut self) -> io::Result<()> {
        self.csv.flush()
    }
}

/// The failure of the writer itself: a closed pipe must be known as one.
fn plain(error: csv::Error) -> io::Error {
    match error.into_kind() {
        csv::ErrorKind::Io(error) => error,
        other => io::Error::other(format!("{other:?}")),
    }
}

/// A value in a cell: nothing for null, a list joined.
fn cell(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::Bool(true) => "yes".to_owned(),
        Value::Bool(false) => "no".to_owned(),
        Value::Number(number) => number_cell(number),
        Value::String(text) => guarded(text),
        Value::Array(values) => {
            let texts: Vec<String> = values.iter().map(cell).collect();
            guarded(&texts.join(BETWEEN))
        }
        Value::Object(_) => guarded(&value.to_string()),
    }
}

/// `95` for 95.0: a spreadsheet knows one kind of number.
fn number_cell(number: &serde_json::Number) -> String {
    match (number.as_u64(), number.as_f64()) {
        (None, Some(float)) => float.to_string(),
        _ => number.to_string(),
    }
}

/// A text that no spreadsheet takes for a formula.
pub(crate) fn guarded(text: &str) -> String {
    let text = text.trim();
    if is_dangerous(text) { format!("'{text}") } else { text.to_owned() }
}

/// Whether a sign that starts a formula stands first, or an apostrophe that
/// import would take off.
fn is_dangerous(text: &str) -> bool {
    match text.strip_prefix('\'') {
        Some(rest) => rest.starts_with(['=', '+', '-', '@', '\'', '\t']),
        None => text.starts_with(['=', '+', '-', '@', '\t']),
    }
}

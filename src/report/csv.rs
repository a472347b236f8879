//! Comma-separated output: answers, and the whole of the fasteners as import
//! reads them back.
//!
//! A cell that a spreadsheet would take for a formula (`=`, `+`, `-` or `@`
//! first) gets an apostrophe in front, as does one that starts with an
//! apostrophe before such a sign or another apostrophe; import takes one off.
//! In an export so does one of which a spreadsheet would make a date.

use std::borrow::Cow;
use std::sync::Arc;

use csv::{QuoteStyle, WriterBuilder};

use crate::correction::Comparison;
use crate::query::run::Answer;
use crate::record::{FIELDS, Fastener, Field, Joint, Origin, Row, SheetLine, Value};
use crate::report::json::{Json, column_key, find_value, row_json};
use crate::report::show::carries_torque;
use crate::text::is_spoilt;

/// Between the texts of a list in one cell.
const BETWEEN: &str = "; ";

/// The answer as CSV: the keys of the JSON answer as header, the same values.
///
/// With a `show` clause only its columns, and the lube and basis of a torque.
pub fn find_csv(answer: &Answer) -> String {
    if answer.tally.is_some() {
        return tally_csv(answer);
    }
    let rows: Vec<Json> = (0..answer.rows.len())
        .map(|index| row_json(&answer.rows[index], index, &answer.columns))
        .collect();
    if answer.columns.is_empty() {
        return keyed(&row_keys(&rows), &rows);
    }
    let mut keys: Vec<String> = answer.columns.iter().map(column_key).collect();
    let mut brought = Vec::new();
    if answer.columns.iter().any(carries_torque) {
        brought = ["lube", "basis", "torque"].map(str::to_owned).to_vec();
    }
    keys.extend(brought.into_iter().filter(|key| !keys.contains(key)).collect::<Vec<_>>());
    keyed(&keys, &rows)
}

/// Every lube for each fastener as CSV, with the keys of a row.
pub fn lubes_csv(all: &[Comparison]) -> String {
    let rows = all.iter().flat_map(|one| &one.rows);
    let rows: Vec<Json> = rows.map(|row| row_json(row, 0, &[])).collect();
    keyed(&row_keys(&rows), &rows)
}

/// The keys of a row, and those that only some of `rows` have.
fn row_keys(rows: &[Json]) -> Vec<String> {
    let nothing = Arc::new(Fastener::new(Joint::named("", ""), ""));
    let empty = Row::refused(&nothing, None, String::new());
    let every = [row_json(&empty, 0, &[])];
    let mut keys: Vec<String> = Vec::new();
    for row in every.iter().chain(rows) {
        let Json::Object(entries) = row else { continue };
        let new: Vec<String> = entries
            .iter()
            .filter(|(key, _)| !keys.iter().any(|known| known == key))
            .map(|(key, _)| key.to_string())
            .collect();
        keys.extend(new);
    }
    keys
}

/// `rows` under a header of `keys`.
pub(crate) fn keyed(keys: &[String], rows: &[Json]) -> String {
    let mut csv = Csv::with_header(keys.iter().map(String::as_str));
    for row in rows {
        csv.line(keys.iter().map(|key| row.get(key).map_or_else(String::new, json_cell)));
    }
    csv.end()
}

/// One object as a header of its keys and a line of its values.
pub(crate) fn one_line(json: &Json) -> String {
    let Json::Object(entries) = json else { return String::new() };
    let keys: Vec<String> = entries.iter().map(|(key, _)| key.to_string()).collect();
    keyed(&keys, std::slice::from_ref(json))
}

fn tally_csv(answer: &Answer) -> String {
    let json = find_value(answer);
    let Some(Json::List(groups)) = json.get("groups") else { return String::new() };
    let keys: Vec<String> = match groups.first() {
        Some(Json::Object(entries)) => entries.iter().map(|(key, _)| key.to_string()).collect(),
        _ => vec!["count".to_owned()],
    };
    keyed(&keys, groups)
}

/// A value in a cell: nothing for null, a list joined.
fn json_cell(value: &Json) -> String {
    match value {
        Json::Bool(true) => "yes".to_owned(),
        Json::Bool(false) => "no".to_owned(),
        Json::Count(count) => count.to_string(),
        Json::Number(number) if number.is_finite() => number.to_string(),
        Json::Null | Json::Number(_) => String::new(),
        Json::Text(text) => guarded(text),
        Json::List(values) => {
            let texts: Vec<String> = values.iter().map(json_cell).collect();
            guarded(&texts.join(BETWEEN))
        }
        Json::Object(_) => guarded(&value.to_string()),
    }
}

/// Every fastener with every setting, quantities as written: one line a
/// setting, one column a stored field of [`FIELDS`]. Empty is "not stated".
///
/// Importing it changes nothing: lists are joined by commas as import parts
/// them, `source` holds the title alone, and a fastener without a setting has a
/// line without one.
pub fn export_csv(fasteners: &[Arc<Fastener>]) -> String {
    let fields: Vec<&Field> = stored_fields().collect();
    let headings: Vec<String> = fields.iter().map(|field| field.heading()).collect();
    let mut csv = Csv::with_header(headings.iter().map(String::as_str));
    for line in fasteners.iter().flat_map(|fastener| SheetLine::each(fastener)) {
        csv.line(fields.iter().map(|field| kept(&csv_cell(field, &line))));
    }
    csv.end()
}

/// The fields that a book keeps, in order.
pub(crate) fn stored_fields() -> impl Iterator<Item = &'static Field> {
    FIELDS.iter().filter(|field| field.origin == Origin::Stored)
}

/// A field for a CSV file: a thread of figures alone, of which a spreadsheet
/// makes a date, has the name of its series too: 7/16-20 UNF.
fn csv_cell<'a>(field: &Field, line: &'a SheetLine<'a>) -> Cow<'a, str> {
    match line.value(field) {
        Value::Thread(thread) => {
            let cell = thread.to_string();
            let is_date = is_spoilt(&cell);
            (if is_date { format!("{cell} {}", thread.series().symbol()) } else { cell }).into()
        }
        value => value.cell().unwrap_or_default(),
    }
}

/// A text that a spreadsheet shows as it is, with an apostrophe in front where
/// it would change it.
fn kept(text: &str) -> String {
    let text = text.trim();
    let bare = text.strip_prefix('\'');
    let is_changed = bare.map_or_else(|| is_spoilt(text), |b| b.starts_with('\'') || is_spoilt(b));
    if is_changed { format!("'{text}") } else { text.to_owned() }
}

/// A text that no spreadsheet takes for a formula.
pub(crate) fn guarded(text: &str) -> String {
    let text = text.trim();
    if is_dangerous(text) { format!("'{text}") } else { text.to_owned() }
}

/// A text for a cell that is told to be text: only the apostrophe that import
/// would take off gets another in front.
#[cfg(feature = "spreadsheet")]
pub(crate) fn without_sign(text: &str) -> String {
    let text = text.trim();
    if text.starts_with('\'') { kept(text) } else { text.to_owned() }
}

/// Whether a sign that starts a formula stands first, or an apostrophe that
/// import would take off.
fn is_dangerous(text: &str) -> bool {
    match text.strip_prefix('\'') {
        Some(rest) => rest.starts_with(['=', '+', '-', '@', '\'', '\t']),
        None => text.starts_with(['=', '+', '-', '@', '\t']),
    }
}

/// A CSV text being written.
struct Csv(csv::Writer<Vec<u8>>);

impl Csv {
    fn with_header<'a>(header: impl Iterator<Item = &'a str>) -> Self {
        let writer =
            WriterBuilder::new().quote_style(QuoteStyle::Necessary).from_writer(Vec::new());
        let mut csv = Self(writer);
        csv.line(header.map(str::to_owned));
        csv
    }

    fn line(&mut self, cells: impl Iterator<Item = String>) {
        // Invariant: a vector takes every write, and each line of one text has
        // as many cells as its header.
        let _ = self.0.write_record(cells);
    }

    fn end(self) -> String {
        // Invariant: cells are strings, so the bytes are UTF-8.
        let bytes = self.0.into_inner().unwrap_or_default();
        String::from_utf8(bytes).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What import does with a cell.
    fn unguarded(cell: &str) -> &str {
        match cell.strip_prefix('\'') {
            Some(rest) if rest.starts_with('\'') || is_spoilt(rest) => rest,
            _ => cell,
        }
    }

    #[test]
    fn a_guarded_cell_is_no_formula_and_reads_back() {
        for text in ["=1+1", "+90° +90°", "-", "@x", "'=x", "''+", "''", "'plain", "70 lb-ft", ""]
        {
            let cell = guarded(text);
            assert!(!cell.starts_with(['=', '+', '-', '@', '\t', '\r']), "{cell}");
            assert_eq!(unguarded(&cell), text);
        }
        assert_eq!(guarded("\r\n=1+1"), "'=1+1");
        for text in ["7/16", "'7/16", "''7/16", "5-12", "007", "=1", "'", "24-017", "7/16-20 UNF"] {
            let cell = kept(text);
            assert!(!is_spoilt(&cell), "{cell}");
            assert_eq!(unguarded(&cell), text);
        }
    }
}

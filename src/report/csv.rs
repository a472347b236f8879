//! The whole of the fasteners as comma-separated values, as import reads them back.
//!
//! A cell gets an apostrophe in front by the rule of `render/csv.rs`, and where a
//! spreadsheet would make a date of it.

use std::borrow::Cow;
use std::io::{self, Write};

use crate::record::{Field, SheetLine, Value, stored_fields};
use crate::report::exported::Fasteners;
use crate::report::render::CsvRows;
use crate::text::is_changed_by_a_spreadsheet;

/// Every fastener with every setting, quantities as written: one line a
/// setting, one column a stored field of `FIELDS`. Empty is "not stated".
///
/// Importing it changes nothing: lists are joined by commas as import parts
/// them, `source` holds the title alone, and a fastener without a setting has a
/// line without one.
///
/// # Errors
/// What `to` returns.
pub fn export_csv(fasteners: &(impl Fasteners + ?Sized), to: &mut dyn Write) -> io::Result<()> {
    let fields: Vec<&Field> = stored_fields().collect();
    let headings = fields.iter().map(|field| field.heading()).collect();
    let mut csv = CsvRows::new(to, headings)?;
    fasteners.each(&mut |fastener| {
        let mut lines = SheetLine::each(fastener).into_iter();
        lines.try_for_each(|line| {
            csv.line(fields.iter().map(|field| shielded(&csv_cell(field, &line))))
        })
    })?;
    csv.end()
}

/// A field for a CSV file: a thread of figures alone, of which a spreadsheet
/// makes a date, has the name of its series too: 7/16-20 UNF.
fn csv_cell<'a>(field: &Field, line: &'a SheetLine<'a>) -> Cow<'a, str> {
    match line.value(field) {
        Value::Thread(thread) => {
            let cell = thread.to_string();
            let is_date = is_changed_by_a_spreadsheet(&cell);
            (if is_date { format!("{cell} {}", thread.series().symbol()) } else { cell }).into()
        }
        value => value.cell().unwrap_or_default(),
    }
}

/// A text that a spreadsheet shows as it is, with an apostrophe in front where
/// it would change it.
fn shielded(text: &str) -> String {
    let text = text.trim();
    let bare = text.strip_prefix('\'');
    let is_changed = bare.map_or_else(
        || is_changed_by_a_spreadsheet(text),
        |b| b.starts_with('\'') || is_changed_by_a_spreadsheet(b),
    );
    if is_changed { format!("'{text}") } else { text.to_owned() }
}

/// A text for a cell that is told to be text: only the apostrophe that import
/// would take off gets another in front.
#[cfg(feature = "spreadsheet")]
pub(crate) fn without_sign(text: &str) -> String {
    let text = text.trim();
    if text.starts_with('\'') { shielded(text) } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::render::guarded;

    /// What import does with a cell.
    fn unguarded(cell: &str) -> &str {
        match cell.strip_prefix('\'') {
            Some(rest) if rest.starts_with('\'') || is_changed_by_a_spreadsheet(rest) => rest,
            _ => cell,
        }
    }

    #[test]
    fn a_guarded_cell_is_no_formula_and_reads_back() {
        for text in ["=1+1", "+90° +90°", "-", "@x", "'=x", "''+", "''", "'plain", "65 lb-ft", ""]
        {
            let cell = guarded(text);
            assert!(!cell.starts_with(['=', '+', '-', '@', '\t', '\r']), "{cell}");
            assert_eq!(unguarded(&cell), text);
        }
        assert_eq!(guarded("\r\n=1+1"), "'=1+1");
        for text in ["7/16", "'7/16", "''7/16", "5-12", "007", "=1", "'", "24-017", "7/16-20 UNF"] {
            let cell = shielded(text);
            assert!(!is_changed_by_a_spreadsheet(&cell), "{cell}");
            assert_eq!(unguarded(&cell), text);
        }
    }
}

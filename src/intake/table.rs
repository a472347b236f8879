//! A table whose first filled row is its header: reference tables, wrenches,
//! the holes of a layout. Read by the same reader as a sheet: any delimiter,
//! quoted cells, any encoding.

use crate::intake::IntakeError;
use crate::intake::sheet::{Sheet, read_commas, read_csv};
use crate::intake::split::RawRow;

/// A table taken apart into cells.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// What parts its cells.
    pub delimiter: char,
    /// The headings as written.
    pub headings: Vec<String>,
    pub(crate) rows: Vec<RawRow>,
}

impl Table {
    /// Its rows that are not blank, each with its line from 1.
    pub fn rows(&self) -> impl Iterator<Item = (u32, Vec<&str>)> {
        self.rows.iter().map(|row| (row.line, row.cells().collect()))
    }
}

/// Reads a table; `name` is what messages call it.
pub fn read_table(bytes: &[u8], name: &str) -> Result<Table, IntakeError> {
    table(&read_csv(bytes, name)?, name)
}

/// The same for a table that is known to have its cells parted by commas.
pub fn read_comma_table(bytes: &[u8], name: &str) -> Result<Table, IntakeError> {
    table(&read_commas(bytes, name)?, name)
}

fn table(sheet: &Sheet, name: &str) -> Result<Table, IntakeError> {
    let mut lines = sheet.rows()?;
    let mut rows = Vec::new();
    while let Some(row) = lines.next()? {
        if !row.is_blank() {
            rows.push(row.clone());
        }
    }
    if rows.is_empty() {
        return Err(IntakeError::Empty { file: name.to_owned() });
    }
    let headings = rows.remove(0).cells().map(str::to_owned).collect();
    Ok(Table { delimiter: sheet.delimiter.unwrap_or(','), headings, rows })
}

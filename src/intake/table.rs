//! A table whose first filled row is its header: reference tables, wrenches,
//! the holes of a layout. Read by the same reader as a sheet: any delimiter,
//! quoted cells, any encoding.

use crate::intake::IntakeError;
use crate::intake::decode::decode;
use crate::intake::sheet::stated_delimiter;
use crate::intake::split::{RawRow, Splitter};

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

/// Reads a table; the delimiter is the one that parts its first line most.
/// `name` is what messages call it.
pub fn read_table(bytes: &[u8], name: &str) -> Result<Table, IntakeError> {
    let (text, _) = decode(bytes, name)?;
    let (stated, skip) = stated_delimiter(&text);
    let delimiter = stated.unwrap_or_else(|| likeliest(&text));
    let (start, line) = (skip.min(text.len()), if skip == 0 { 1 } else { 2 });
    let mut splitter = Splitter::new(&text[start..], delimiter, line);
    let mut row = RawRow::default();
    let mut rows = Vec::new();
    while splitter.next_into(&mut row, name)? {
        if !row.is_blank() {
            rows.push(row.clone());
        }
    }
    if rows.is_empty() {
        return Err(IntakeError::Empty { file: name.to_owned() });
    }
    let headings = rows.remove(0).cells().map(str::to_owned).collect();
    Ok(Table { delimiter: char::from(delimiter), headings, rows })
}

fn likeliest(text: &str) -> u8 {
    let first = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    let cells = |mark: &u8| {
        let mut row = RawRow::default();
        let whole = Splitter::new(first, *mark, 1).next_into(&mut row, "").unwrap_or(false);
        if whole { row.len() } else { 0 }
    };
    // The last of equals is taken.
    *b"\t;,".iter().max_by_key(|mark| cells(mark)).expect("the list is not empty")
}

//! A file as rows under a header row, not yet read as fasteners.
//!
//! The delimiter and the header row are found together: of the first lines,
//! split by each delimiter, the one with the most known headings wins. What
//! stands above it is a title and is kept.

use crate::intake::IntakeError;
use std::path::Path;

use crate::intake::decode::{Encoding, TextFile, decode};
use crate::intake::header_row::{Found, Wanted, find_header};
use crate::intake::split::{RawRow, Splitter};

/// From this length on fasteners are handed on as soon as they are whole.
const BIG_TEXT: usize = 2 * 1024 * 1024;
/// The same for rows already taken apart.
const BIG_ROWS: usize = 20_000;

/// A file taken apart: its header row and, when asked, its rows.
#[derive(Debug, Clone)]
pub struct Sheet {
    /// Name of the file, for messages.
    pub name: String,
    /// How its bytes were read.
    pub encoding: Encoding,
    /// What parts the cells; none for a spreadsheet or JSON.
    pub delimiter: Option<char>,
    /// Line of the header row.
    pub header_line: u32,
    /// The headings as written.
    pub headings: Vec<String>,
    /// What stands above the header row.
    pub titles: Vec<String>,
    body: Body,
}

#[derive(Debug, Clone)]
enum Body {
    /// The text of the file, with the byte and line where the rows start.
    Text { text: String, start: usize, line: u32 },
    /// A file read piece by piece, each time from its start.
    File(TextFile),
    /// Rows already taken apart.
    Rows(Vec<RawRow>),
}

/// The same as [`read_csv`] for a file that is not held in memory: it is read
/// through once now, and once for each walk over its rows.
pub fn open_csv(path: &Path, name: &str) -> Result<Sheet, IntakeError> {
    open_csv_with(path, name, &Wanted::default())
}

pub(crate) fn open_csv_with(
    path: &Path,
    name: &str,
    wanted: &Wanted,
) -> Result<Sheet, IntakeError> {
    let file = TextFile::open(path, name)?;
    let mut top = String::new();
    let mut pieces = file.pieces()?;
    pieces.fill(&mut top)?;
    let found = find_header(&top, name, wanted)?;
    Ok(found.sheet(name, file.encoding(), Body::File(file)))
}

/// Reads a file of comma-, semicolon- or tab-separated values. `name` is what
/// messages call it.
pub fn read_csv(bytes: &[u8], name: &str) -> Result<Sheet, IntakeError> {
    read_csv_with(bytes, name, &Wanted::default())
}

pub(crate) fn read_csv_with(
    bytes: &[u8],
    name: &str,
    wanted: &Wanted,
) -> Result<Sheet, IntakeError> {
    let (text, encoding) = decode(bytes, name)?;
    let found = find_header(&text, name, wanted)?;
    let (start, line) = (found.start, found.next_line);
    Ok(found.sheet(name, encoding, Body::Text { text, start, line }))
}

impl Found {
    fn sheet(self, name: &str, encoding: Encoding, body: Body) -> Sheet {
        Sheet {
            name: name.to_owned(),
            encoding,
            delimiter: Some(char::from(self.delimiter)),
            header_line: self.line,
            headings: self.headings,
            titles: self.titles,
            body,
        }
    }
}

impl Sheet {
    /// A sheet of rows already taken apart (a spreadsheet, JSON); the header
    /// row is the one given.
    pub(crate) fn of_rows(
        name: &str,
        headings: Vec<String>,
        (header_line, titles): (u32, Vec<String>),
        rows: Vec<RawRow>,
    ) -> Self {
        Self {
            name: name.to_owned(),
            encoding: Encoding::Utf8,
            delimiter: None,
            header_line,
            headings,
            titles,
            body: Body::Rows(rows),
        }
    }

    /// Walks the rows below the header.
    pub(crate) fn rows(&self) -> Result<Rows<'_>, IntakeError> {
        let delimiter = self.delimiter.map_or(b',', |mark| mark as u8);
        let walk = match &self.body {
            Body::Text { text, start, line } => {
                Walk::Text(Splitter::new(&text[*start..], delimiter, *line))
            }
            Body::File(file) => Walk::Text(Splitter::over(file.pieces()?, delimiter)),
            Body::Rows(rows) => Walk::Rows(rows.iter()),
        };
        let count = if let Body::Rows(rows) = &self.body { rows.len() } else { 0 };
        Ok(Rows { name: &self.name, walk, count, after: self.header_line, row: RawRow::default() })
    }

    /// Whether its rows are too many to hold all fasteners at once.
    pub fn is_big(&self) -> bool {
        match &self.body {
            Body::Text { text, .. } => text.len() > BIG_TEXT,
            Body::File(_) => true,
            Body::Rows(rows) => rows.len() > BIG_ROWS,
        }
    }
}

/// The rows of a sheet, one buffer used for all.
pub(crate) struct Rows<'a> {
    name: &'a str,
    walk: Walk<'a>,
    /// Rows already taken apart.
    count: usize,
    /// Rows up to this line are titles and the header.
    after: u32,
    row: RawRow,
}

enum Walk<'a> {
    Text(Splitter<'a>),
    Rows(std::slice::Iter<'a, RawRow>),
}

impl Rows<'_> {
    /// Which share of the rows was walked over, 0 to 1.
    pub(crate) fn share(&self) -> f64 {
        match &self.walk {
            Walk::Text(splitter) => splitter.share(),
            Walk::Rows(rest) => 1.0 - rest.len() as f64 / self.count.max(1) as f64,
        }
    }

    /// The next row; none at the end.
    pub(crate) fn next(&mut self) -> Result<Option<&RawRow>, IntakeError> {
        match &mut self.walk {
            Walk::Rows(rows) => Ok(rows.next()),
            Walk::Text(splitter) => {
                while splitter.next_into(&mut self.row, self.name)? {
                    if self.row.line > self.after {
                        return Ok(Some(&self.row));
                    }
                }
                Ok(None)
            }
        }
    }
}

//! Draws any [`Page`]: as text for people, as JSON or CSV for programs.

mod csv;
mod json;
mod text;

use std::io::{self, Write};

use crate::report::page::Page;
use crate::report::style::Style;
use crate::text::ForPeople;

pub(crate) use csv::CsvRows;
#[cfg(test)]
pub(crate) use csv::guarded;

/// How an answer is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Format {
    /// A table for a person.
    #[default]
    Table,
    /// JSON, unrounded, null for what is not stated.
    Json,
    /// The main rows as comma-separated values.
    Csv,
}

/// What an answer is drawn on.
#[derive(Debug, Clone, Copy)]
pub struct Canvas {
    /// Columns of the text.
    pub width: usize,
    /// Whether it may be coloured.
    pub style: Style,
    /// JSON on one line, as an answer in a stream of answers; else each main row
    /// stands on a line of its own.
    pub one_line: bool,
}

impl Format {
    /// Whether a person reads it: then no hidden character goes through.
    pub fn is_for_people(self) -> bool {
        self == Self::Table
    }
}

/// Writes `page` to `to`.
///
/// # Errors
/// What `to` returns.
pub fn render(
    page: &Page<'_>,
    format: Format,
    canvas: Canvas,
    to: &mut dyn Write,
) -> io::Result<()> {
    match format {
        Format::Table => {
            let mut to = ForPeople { to, is_coloured: canvas.style.is_coloured() };
            text::write(page, canvas, &mut to)
        }
        Format::Json => json::write(page, canvas.one_line, to),
        Format::Csv => csv::write(page, to),
    }
}

/// What CSV has no column for, to be said beside it; nothing for the other
/// formats, which hold it.
pub fn beside(page: &Page<'_>, format: Format, canvas: Canvas) -> String {
    if format == Format::Csv { text::remarks(page, canvas) } else { String::new() }
}

/// The page as one text.
pub fn rendered(page: &Page<'_>, format: Format, width: usize) -> String {
    let mut bytes = Vec::new();
    let canvas = Canvas { width, style: Style::plain(), one_line: false };
    render(page, format, canvas, &mut bytes).expect("a vector takes every write");
    String::from_utf8(bytes).expect("every renderer writes UTF-8")
}

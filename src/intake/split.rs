//! A text taken apart into rows and cells, each with its line.
//!
//! Written here and not taken from a library because an unclosed quote must be
//! an error that names the place where it opened: a forgiving reader swallows
//! the rest of the file into one cell, and rows are lost without a word.

use std::borrow::Cow;

use crate::intake::IntakeError;
use crate::intake::decode::Pieces;
use crate::text::{hidden_in, without_hidden};

/// One row of cells; its buffers are used again for the next row.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct RawRow {
    /// Line of its first cell in the file, from 1.
    pub(crate) line: u32,
    /// Its worksheet, from 0.
    pub(crate) page: u16,
    /// The workbook does not show it.
    pub(crate) is_hidden: bool,
    text: String,
    /// End of each cell in `text`.
    ends: Vec<usize>,
    /// Cells that hold line ends, and how many.
    breaks: Vec<(usize, u32)>,
    /// Cells that hold a quote where none belongs.
    stray: Vec<u16>,
    /// Characters that cannot be seen and were taken out, by cell.
    taken_out: Vec<(usize, Vec<char>)>,
}

impl RawRow {
    /// An empty row that stands on `line`.
    pub(crate) fn on_line(line: u32) -> Self {
        Self { line, ..Self::default() }
    }

    pub(crate) fn push(&mut self, cell: &str) {
        match without_hidden(cell.trim()) {
            None => self.text.push_str(cell.trim()),
            Some((clean, found)) => {
                self.text.push_str(clean.trim());
                if !found.is_empty() {
                    self.taken_out.push((self.ends.len(), found));
                }
            }
        }
        self.ends.push(self.text.len());
    }

    /// Ends a cell that was appended piece by piece, with line ends in it.
    fn end_quoted(&mut self, lines: u32) {
        let start = self.ends.last().copied().unwrap_or(0);
        if lines > 0 {
            self.breaks.push((self.ends.len(), lines));
        }
        let cell = &self.text[start..];
        if cell.len() == cell.trim().len() && hidden_in(cell).is_none() {
            self.ends.push(self.text.len());
            return;
        }
        let cell = cell.to_owned();
        self.text.truncate(start);
        self.push(&cell);
    }

    /// Becomes the place of `other` without its cells.
    pub(crate) fn place_of(&mut self, other: &Self) {
        self.clear(other.line);
        self.page = other.page;
        self.is_hidden = other.is_hidden;
        self.breaks.clone_from(&other.breaks);
        self.stray.clone_from(&other.stray);
        self.taken_out.clone_from(&other.taken_out);
    }

    /// Bytes of its longest cell.
    pub(crate) fn longest(&self) -> usize {
        if self.text.len() <= LONGEST_CELL {
            0
        } else {
            self.cells().map(str::len).max().unwrap_or(0)
        }
    }

    /// Becomes the same as `other`, keeping its buffers.
    pub(crate) fn copy_from(&mut self, other: &Self) {
        self.line = other.line;
        self.page = other.page;
        self.is_hidden = other.is_hidden;
        self.text.clone_from(&other.text);
        self.ends.clone_from(&other.ends);
        self.breaks.clone_from(&other.breaks);
        self.stray.clone_from(&other.stray);
        self.taken_out.clone_from(&other.taken_out);
    }

    /// How many cells it has.
    pub(crate) fn len(&self) -> usize {
        self.ends.len()
    }

    /// Whether every cell is blank.
    pub(crate) fn is_blank(&self) -> bool {
        self.text.is_empty()
    }

    /// Whether it only draws a line: `|----|:---|`.
    pub(crate) fn is_rule(&self) -> bool {
        !self.is_blank()
            && self.text.len() > 2
            && self.text.bytes().all(|byte| b"-=+:_".contains(&byte))
    }

    /// The cell at `index` without surrounding blanks; empty past the last.
    pub(crate) fn cell(&self, index: usize) -> &str {
        let Some(end) = self.ends.get(index) else { return "" };
        let start = if index == 0 { 0 } else { self.ends[index - 1] };
        &self.text[start..*end]
    }

    /// The cells in order.
    pub(crate) fn cells(&self) -> impl Iterator<Item = &str> {
        (0..self.len()).map(|index| self.cell(index))
    }

    /// The line on which the cell at `index` starts: a cell before it may hold
    /// line ends.
    pub(crate) fn line_of(&self, index: usize) -> u32 {
        let before = self.breaks.iter().filter(|(cell, _)| *cell < index);
        self.line + before.map(|(_, lines)| lines).sum::<u32>()
    }

    /// Whether the cell at `index` held a quote where none belongs.
    pub(crate) fn has_stray_quote(&self, index: usize) -> bool {
        u16::try_from(index).is_ok_and(|index| self.stray.contains(&index))
    }

    /// The cells that characters were taken out of, and which.
    pub(crate) fn taken_out(&self) -> &[(usize, Vec<char>)] {
        &self.taken_out
    }

    fn clear(&mut self, line: u32) {
        self.line = line;
        self.text.clear();
        self.ends.clear();
        self.breaks.clear();
        self.stray.clear();
        self.taken_out.clear();
    }
}

/// A cell longer than this is no cell of a sheet.
pub(crate) const LONGEST_CELL: usize = 64 * 1024;

/// A quoted cell that never ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct OpenQuote {
    /// Line on which it starts.
    line: u32,
    /// Its column, from 1.
    column: u16,
}

/// Walks the rows of a text, or of a file piece by piece.
#[derive(Debug)]
pub(crate) struct Splitter<'a> {
    text: Cow<'a, str>,
    at: usize,
    line: u32,
    delimiter: u8,
    /// What follows `text`, where it is a file.
    pieces: Option<Pieces>,
}

/// The longest row of a file that is read piece by piece: a quote that is
/// never closed must not pull the whole file into memory.
const LONGEST_ROW: usize = 16 * 1024 * 1024;

impl<'a> Splitter<'a> {
    /// Over `text`, cells parted by `delimiter` (an ASCII character), the
    /// first line being line `line` of the file.
    pub(crate) fn new(text: &'a str, delimiter: u8, line: u32) -> Self {
        Self { text: Cow::Borrowed(text), at: 0, line, delimiter, pieces: None }
    }

    /// Over the text of a file from its first line.
    pub(crate) fn over(pieces: Pieces, delimiter: u8) -> Self {
        let text = Cow::Owned(String::new());
        Self { text, at: 0, line: 1, delimiter, pieces: Some(pieces) }
    }

    /// Which share of the text was split, 0 to 1; of a file that is its pieces.
    pub(crate) fn share(&self) -> f64 {
        match &self.pieces {
            Some(pieces) => pieces.share(),
            None if matches!(self.text, Cow::Owned(_)) => 1.0,
            None => self.at as f64 / self.text.len().max(1) as f64,
        }
    }

    /// Reads the next row into `row`; false at the end of the text. `file`
    /// names the file in an error.
    pub(crate) fn next_into(&mut self, row: &mut RawRow, file: &str) -> Result<bool, IntakeError> {
        loop {
            let (at, line) = (self.at, self.line);
            let found = self.row(row);
            // A row that reaches the end of the piece may go on in the next.
            let cut = found.is_err() || self.at >= self.text.len();
            if cut && self.refill(at)? {
                (self.at, self.line) = (0, line);
                continue;
            }
            return found.map_err(|open| IntakeError::OpenQuote {
                file: file.to_owned(),
                line: open.line,
                column: open.column,
            });
        }
    }

    /// Appends the next piece of the file and drops what is before `at`; false
    /// if there is none.
    fn refill(&mut self, at: usize) -> Result<bool, IntakeError> {
        let Some(pieces) = &mut self.pieces else { return Ok(false) };
        if self.text.len() - at > LONGEST_ROW {
            return Ok(false);
        }
        let text = self.text.to_mut();
        text.drain(..at);
        if !pieces.fill(text)? {
            self.pieces = None;
        }
        Ok(true)
    }

    fn row(&mut self, row: &mut RawRow) -> Result<bool, OpenQuote> {
        row.clear(self.line);
        if self.at >= self.text.len() {
            return Ok(false);
        }
        loop {
            let quoted = self.cell_starts_with_quote();
            let ended = if quoted { self.quoted_cell(row)? } else { self.plain_cell(row) };
            if ended {
                self.line += 1;
                return Ok(true);
            }
        }
    }

    /// Skips blanks before a quote, as some programs write `a, "b"`.
    fn cell_starts_with_quote(&mut self) -> bool {
        let rest = &self.text.as_bytes()[self.at..];
        let blanks = rest.iter().take_while(|byte| **byte == b' ').count();
        let quoted = rest.get(blanks) == Some(&b'"') && !self.is_ditto(&rest[blanks + 1..]);
        if quoted {
            self.at += blanks;
        }
        quoted
    }

    /// Whether the quote before `rest` is a ditto mark alone in its cell: what stands up
    /// to the next quote of the line begins and ends cells, or that quote means inches, or
    /// there is none.
    fn is_ditto(&self, rest: &[u8]) -> bool {
        let ends = |byte: Option<&u8>| byte.is_some_and(|b| *b == self.delimiter || *b == b'\n');
        // Bars draw a table: the mark stands between blanks.
        if self.delimiter == b'|' {
            return ends(rest.iter().find(|byte| **byte != b' '));
        }
        if !ends(rest.first()) {
            return false;
        }
        let line = rest.iter().position(|byte| *byte == b'\n').filter(|at| *at > 0);
        let line = &rest[..line.unwrap_or(rest.len())];
        match line.iter().position(|byte| *byte == b'"') {
            // `",5",` is half of something where cells are parted by commas.
            Some(at) => {
                let is_inch = line[..at].last().is_some_and(u8::is_ascii_digit);
                let is_cell = self.delimiter == b',' && ends(line.get(at + 1));
                ends(line[..at].last()) || is_inch && !is_cell
            }
            None => line.len() < rest.len() || self.pieces.is_none(),
        }
    }

    /// Takes a cell up to the delimiter or line end; true at a line end.
    fn plain_cell(&mut self, row: &mut RawRow) -> bool {
        let bytes = self.text.as_bytes();
        let stop = bytes[self.at..]
            .iter()
            .position(|byte| *byte == self.delimiter || *byte == b'\n' || *byte == b'\r')
            .map_or(bytes.len(), |length| self.at + length);
        row.push(&self.text[self.at..stop]);
        self.at = stop;
        self.step_over_end()
    }

    /// Steps over the delimiter or line end at the present place; true at a
    /// line end or the end of the text.
    fn step_over_end(&mut self) -> bool {
        let bytes = self.text.as_bytes();
        match bytes.get(self.at) {
            Some(b'\r') if bytes.get(self.at + 1) == Some(&b'\n') => {
                self.at += 2;
                true
            }
            Some(b'\r' | b'\n') => {
                self.at += 1;
                true
            }
            Some(_) => {
                self.at += 1;
                false
            }
            None => true,
        }
    }

    /// Takes a quoted cell; true if the row ends with it.
    fn quoted_cell(&mut self, row: &mut RawRow) -> Result<bool, OpenQuote> {
        let column = u16::try_from(row.ends.len() + 1).unwrap_or(u16::MAX);
        let opened = OpenQuote { line: self.line, column };
        let bytes = self.text.as_bytes();
        self.at += 1;
        loop {
            let Some(length) = bytes[self.at..].iter().position(|byte| *byte == b'"') else {
                return Err(opened);
            };
            let piece = &self.text[self.at..self.at + length];
            self.line += u32::try_from(piece.matches('\n').count()).unwrap_or(0);
            row.text.push_str(piece);
            self.at += length + 1;
            let rest = &bytes[self.at..];
            let blanks = rest.iter().take_while(|byte| **byte == b' ').count();
            match rest.first() {
                Some(b'"') => {
                    row.text.push('"');
                    self.at += 1;
                }
                _ if self.ends_at(self.at + blanks) => {
                    row.end_quoted(self.line - opened.line);
                    self.at += blanks;
                    return Ok(self.step_over_end());
                }
                // `"3/8" bolt"`: the quote means inches and should be doubled.
                _ => {
                    row.text.push('"');
                    row.stray.push(column - 1);
                }
            }
        }
    }

    fn ends_at(&self, at: usize) -> bool {
        match self.text.as_bytes().get(at) {
            None | Some(b'\r' | b'\n') => true,
            Some(byte) => *byte == self.delimiter,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(text: &str) -> Vec<(u32, Vec<String>)> {
        let mut splitter = Splitter::new(text, b',', 1);
        let mut row = RawRow::default();
        let mut out = Vec::new();
        while splitter.next_into(&mut row, "x").unwrap() {
            out.push((row.line, row.cells().map(str::to_owned).collect()));
        }
        out
    }

    #[test]
    fn lines_and_cells_keep_their_places() {
        let text = "a,b\r\n\r\n\"x\ny\", \"3/8\"\" nut\" \nz,18\"lbs\r";
        assert_eq!(
            rows(text),
            vec![
                (1, vec!["a".into(), "b".into()]),
                (2, vec![String::new()]),
                (3, vec!["x\ny".into(), "3/8\" nut".into()]),
                (5, vec!["z".into(), "18\"lbs".into()]),
            ]
        );
    }

    #[test]
    fn a_cell_after_a_line_end_knows_its_line() {
        let mut splitter = Splitter::new("\"x\ny\",b\n", b',', 7);
        let mut row = RawRow::default();
        assert!(splitter.next_into(&mut row, "x").unwrap());
        assert_eq!((row.line_of(0), row.line_of(1)), (7, 8));
    }

    #[test]
    fn an_open_quote_is_named_where_it_opened() {
        let mut splitter = Splitter::new("a,b\nc,\"d\ne,f\n", b',', 1);
        let mut row = RawRow::default();
        assert!(splitter.next_into(&mut row, "x").unwrap());
        let open = splitter.next_into(&mut row, "x");
        assert!(matches!(open, Err(IntakeError::OpenQuote { line: 2, column: 2, .. })));
    }

    #[test]
    fn a_stray_quote_is_kept_and_marked() {
        let mut splitter = Splitter::new("\"3/8\" bolt\",b\n", b',', 1);
        let mut row = RawRow::default();
        assert!(splitter.next_into(&mut row, "x").unwrap());
        assert_eq!(row.cell(0), "3/8\" bolt");
        assert!(row.has_stray_quote(0) && !row.has_stray_quote(1));
    }
}

//! The header row of a text, found together with its delimiter: of the first
//! lines, split by each delimiter, the one with the most known headings wins.

use std::collections::HashMap;

use crate::intake::IntakeError;
use crate::intake::header::{fold_header, is_heading};
use crate::intake::split::{RawRow, Splitter};

/// How many lines at the top of a file may be titles.
pub(crate) const HEADER_WITHIN: usize = 30;

/// What the caller knows of the header row.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Wanted<'a> {
    /// Headings of the file that a mapping explains.
    pub(crate) columns: Option<&'a HashMap<String, String>>,
    /// The line that it stands on.
    pub(crate) line: Option<u32>,
}

impl Wanted<'_> {
    /// Whether `cell` is a heading, of FIELDS or of the mapping.
    pub(crate) fn is_heading(&self, cell: &str) -> bool {
        let mapped = || self.columns.is_some_and(|known| known.contains_key(&fold_header(cell)));
        is_heading(cell) || (!cell.is_empty() && mapped())
    }

    /// How much a row is a header row; none if it is not. `cells` are its
    /// filled cells.
    pub(crate) fn score<'c>(
        &self,
        line: u32,
        cells: impl Iterator<Item = &'c str>,
    ) -> Option<Score> {
        let (mut known, mut filled) = (0, 0);
        for cell in cells.filter(|cell| !cell.is_empty()) {
            filled += 1;
            known += usize::from(self.is_heading(cell));
        }
        match self.line {
            Some(wanted) => {
                (wanted == line && filled > 0).then_some(Score { points: filled, is_sure: true })
            }
            // Two headings, so that a title is not taken for a header; mostly
            // headings, and it is one: a row of figures below may hold words
            // that are headings too (head, angle, stretch).
            None => (known >= 2).then_some(Score { points: known, is_sure: known * 2 >= filled }),
        }
    }
}

/// How much a row is a header row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Score {
    pub(crate) points: usize,
    pub(crate) is_sure: bool,
}

/// A header row found.
pub(crate) struct Found {
    points: usize,
    pub(crate) delimiter: u8,
    pub(crate) headings: Vec<String>,
    /// Line that it starts on.
    pub(crate) line: u32,
    /// What stands above it.
    pub(crate) titles: Vec<String>,
    /// Byte and line where the rows start.
    pub(crate) start: usize,
    pub(crate) next_line: u32,
}

/// Finds the header row of `text`.
pub(crate) fn find_header(text: &str, file: &str, wanted: &Wanted) -> Result<Found, IntakeError> {
    let (stated, skip) = stated_delimiter(text);
    let tried: &[u8] = match &stated {
        Some(one) => std::slice::from_ref(one),
        None => b",;\t|",
    };
    let mut best: Option<Found> = None;
    for delimiter in tried {
        let found = find_header_with(text, *delimiter, skip, wanted);
        if let Some(found) = found.filter(|f| best.as_ref().is_none_or(|b| f.points > b.points)) {
            best = Some(found);
        }
    }
    best.ok_or_else(|| IntakeError::NoHeader {
        file: file.to_owned(),
        looked: text.lines().take(HEADER_WITHIN).count(),
        hint: first_line_hint(text),
    })
}

fn first_line_hint(text: &str) -> String {
    let first = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    let short: String = first.trim().chars().take(60).collect();
    format!("; the first line is `{short}`")
}

/// A first line `sep=;`, as some spreadsheets write and read it.
pub(crate) fn stated_delimiter(text: &str) -> (Option<u8>, usize) {
    let line = text.lines().next().unwrap_or_default();
    let mark = line.trim_end().strip_prefix("sep=").map(str::as_bytes);
    match mark {
        Some([mark]) if mark.is_ascii() => (Some(*mark), line.len() + 1),
        Some([]) if line.contains('\t') => (Some(b'\t'), line.len() + 1),
        _ => (None, 0),
    }
}

/// The best header row of a text split by `delimiter`.
fn find_header_with(text: &str, delimiter: u8, skip: usize, wanted: &Wanted) -> Option<Found> {
    let start = skip.min(text.len());
    let mut splitter = Splitter::new(&text[start..], delimiter, if skip == 0 { 1 } else { 2 });
    let mut row = RawRow::default();
    let mut best: Option<Found> = None;
    let mut above: Vec<String> = Vec::new();
    let within = wanted.line.map_or(HEADER_WITHIN, |line| line as usize);
    for _ in 0..within {
        if !matches!(splitter.next_into(&mut row, ""), Ok(true)) {
            break;
        }
        let score = wanted.score(row.line, row.cells());
        if let Some(score) = score
            && best.as_ref().is_none_or(|best| score.points > best.points)
        {
            best = Some(Found {
                points: score.points,
                delimiter,
                headings: row.cells().map(str::to_owned).collect(),
                line: row.line,
                titles: above.clone(),
                start: start + splitter.position(),
                next_line: splitter.line(),
            });
            if score.is_sure {
                break;
            }
        }
        if !row.is_blank() {
            let cells: Vec<&str> = row.cells().filter(|cell| !cell.is_empty()).collect();
            above.push(cells.join(" "));
        }
    }
    best
}

//! A file as pages of rows, not yet understood.

use std::path::Path;

use crate::intake::IntakeError;
use crate::intake::decode::{Encoding, TextFile, decode};
use crate::intake::fixed_width;
use crate::intake::header::{Weight, known_heading};
use crate::intake::leaders;
use crate::intake::names::Names;
use crate::intake::sideways::turned;
use crate::intake::split::{LONGEST_CELL, RawRow, Splitter};
use crate::record::Tables;
use crate::text::without_hidden;

/// From this length on fasteners are handed on as soon as they are whole.
const BIG_TEXT: usize = 2 * 1024 * 1024;
/// The same for rows already taken apart.
const BIG_ROWS: usize = 20_000;
/// Most columns of a sheet.
pub(crate) const MOST_COLUMNS: usize = 2_000;
/// Blank cells that any sheet may have, and that none has.
const SOME_BLANKS: usize = 1_000_000;
const MOST_BLANKS: usize = 16_000_000;
/// How many lines are split to find what parts the cells.
const TRIED: usize = 40;

/// A file taken apart into pages of rows.
#[derive(Debug, Clone)]
pub struct Sheet {
    /// Name of the file, for messages.
    pub name: String,
    /// How its bytes were read.
    pub encoding: Encoding,
    /// What parts the cells; none for a spreadsheet or JSON.
    pub delimiter: Option<char>,
    /// Its worksheets; a text has one without a name.
    pub pages: Vec<Page>,
    /// It was typed and is no file: nothing is concluded from what it lacks.
    pub(crate) is_typed: bool,
    /// Lubes and strengths that an export brings along.
    pub own: Tables,
    /// What it says outside of its rows and no row takes: told, so that it is not lost
    /// in silence.
    pub(crate) left_over: Vec<String>,
    body: Body,
}

/// A worksheet of a workbook; other files have one.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Page {
    pub name: String,
    /// The joint that its rows stand under, where it says one (keys of JSON).
    pub(crate) joint: Option<String>,
    /// Its headings, where they are no row of it (keys of JSON).
    pub(crate) headings: Option<Vec<String>>,
    /// Columns that the workbook does not show, from 0.
    pub(crate) hidden_columns: Vec<usize>,
    /// It stood on its side: its rows are the columns of the file.
    pub(crate) is_turned: bool,
}

impl Page {
    /// Its name becomes one of the book's, its headings words of notes.
    fn cleaned(mut self) -> Self {
        let texts = std::iter::once(&mut self.name).chain(self.headings.iter_mut().flatten());
        for text in texts {
            if let Some((clean, _)) = without_hidden(text) {
                *text = clean;
            }
        }
        self
    }
}

#[derive(Debug, Clone)]
enum Body {
    /// A long text, with the byte and line where its rows start.
    Text { text: String, start: usize, line: u32 },
    /// A file read piece by piece, each time from its start; lines to skip.
    File(TextFile, u32),
    /// Rows already taken apart.
    Rows(Vec<RawRow>),
}

/// The same as [`read_csv`] for a file that is not held in memory: it is read
/// through once now, and once for each walk over its rows.
pub fn open_csv(path: &Path, name: &str) -> Result<Sheet, IntakeError> {
    let file = TextFile::open(path, name)?;
    let mut top = String::new();
    file.pieces()?.fill(&mut top)?;
    let (delimiter, skip, _) = delimiter_of(&top, &Names::new(&Tables::default()));
    let encoding = file.encoding();
    Ok(Sheet::of_text(name, encoding, delimiter, Body::File(file, u32::from(skip > 0))))
}

/// Reads a file of comma-, semicolon- or tab-separated values. `name` is what
/// messages call it.
pub fn read_csv(bytes: &[u8], name: &str) -> Result<Sheet, IntakeError> {
    let (text, encoding) = decode(bytes, name)?;
    let tables = Tables::default();
    let names = Names::new(&tables);
    let (delimiter, skip, headings) = delimiter_of(&text, &names);
    if let Some(rows) = fixed_width::rows(&text, name, &names, headings)? {
        rows.iter().try_for_each(|row| check(row, name))?;
        return Ok(Sheet::of_text(name, encoding, b' ', Body::Rows(rows)).upright());
    }
    if let Some(rows) = leaders::rows(&text).filter(|_| headings < 2) {
        rows.iter().try_for_each(|row| check(row, name))?;
        return Ok(Sheet::of_text(name, encoding, b'.', Body::Rows(rows)));
    }
    Ok(read_parted(text, encoding, (delimiter, skip), name)?.upright())
}

/// The same for a text that is known to have its cells parted by commas: finding that out
/// takes longer than reading a small table.
pub fn read_commas(bytes: &[u8], name: &str) -> Result<Sheet, IntakeError> {
    let (text, encoding) = decode(bytes, name)?;
    read_parted(text, encoding, (b',', 0), name)
}

fn read_parted(
    text: String,
    encoding: Encoding,
    (delimiter, skip): (u8, usize),
    name: &str,
) -> Result<Sheet, IntakeError> {
    let (start, line) = (skip.min(text.len()), if skip == 0 { 1 } else { 2 });
    if text.len() > BIG_TEXT {
        return Ok(Sheet::of_text(name, encoding, delimiter, Body::Text { text, start, line }));
    }
    let mut splitter = Splitter::new(&text[start..], delimiter, line);
    let mut rows = Vec::new();
    let mut row = RawRow::default();
    while splitter.next_into(&mut row, name)? {
        check(&row, name)?;
        rows.push(std::mem::take(&mut row));
    }
    Ok(Sheet::of_text(name, encoding, delimiter, Body::Rows(rows)))
}

/// A cell of a megabyte is no cell of a sheet, a thousand columns are none.
pub(crate) fn check(row: &RawRow, name: &str) -> Result<(), IntakeError> {
    let (longest, width) = (row.longest(), row.len());
    let problem = if longest > LONGEST_CELL {
        format!("a cell of {longest} bytes; no cell of a sheet is longer than {LONGEST_CELL}")
    } else if width > MOST_COLUMNS {
        format!("a row of {width} cells; no sheet has more than {MOST_COLUMNS} columns")
    } else {
        return Ok(());
    };
    let advice = "look whether it is the right file, or shorten it there";
    Err(IntakeError::notation(name, format!(", line {}", row.line), problem, advice))
}

/// Whether `all` cells, with the blanks that the rows reach over, are no hoax of a few
/// `filled` ones: an export of all fields fills one in five.
pub(crate) fn few_blanks(name: &str, filled: usize, all: usize) -> Result<(), IntakeError> {
    let blanks = all - filled;
    if blanks <= (SOME_BLANKS + 20 * filled).min(MOST_BLANKS) {
        return Ok(());
    }
    let problem = format!("{blanks} blank cells lie between {filled} filled ones");
    Err(IntakeError::notation(name, "", problem, "save the part that is filled as CSV"))
}

impl Sheet {
    fn of_text(name: &str, encoding: Encoding, delimiter: u8, body: Body) -> Self {
        let (name, pages) = (name.to_owned(), vec![Page::default()]);
        let delimiter = Some(char::from(delimiter));
        let (is_typed, own, left_over) = Default::default();
        Self { name, encoding, delimiter, pages, is_typed, own, left_over, body }
    }

    /// A sheet of rows already taken apart (a spreadsheet, JSON).
    pub(crate) fn of_rows(name: &str, pages: Vec<Page>, rows: Vec<RawRow>) -> Self {
        let (name, encoding) = (name.to_owned(), Encoding::Utf8);
        let pages = pages.into_iter().map(Page::cleaned).collect();
        let body = Body::Rows(rows);
        let (delimiter, is_typed, own, left_over) = Default::default();
        Self { name, encoding, delimiter, pages, is_typed, own, left_over, body }
    }

    /// With the pages that stand on their side turned.
    pub(crate) fn upright(mut self) -> Self {
        let Body::Rows(rows) = &mut self.body else { return self };
        let tables = Tables::default();
        let names = Names::new(&tables);
        for (at, page) in self.pages.iter_mut().enumerate() {
            let is_own = |row: &RawRow| usize::from(row.page) == at;
            let Some(start) = rows.iter().position(is_own) else { continue };
            let end = start + rows[start..].iter().take_while(|row| is_own(row)).count();
            if let Some(turned) = turned(&rows[start..end], &names) {
                rows.splice(start..end, turned);
                page.is_turned = true;
            }
        }
        self
    }

    /// Takes its first page out of which `is_meant` by its name and headings: the
    /// headings and the rows below them.
    pub(crate) fn take_page(
        &mut self,
        is_meant: impl Fn(&str, &[String]) -> bool,
    ) -> Option<(Vec<String>, Vec<RawRow>)> {
        let Body::Rows(all) = &mut self.body else { return None };
        let texts = |row: &RawRow| row.cells().map(str::to_owned).collect::<Vec<_>>();
        let (at, headings) = self.pages.iter().enumerate().find_map(|(at, page)| {
            let first = || all.iter().find(|row| usize::from(row.page) == at).map(texts);
            let headings = page.headings.clone().or_else(first)?;
            is_meant(&page.name, &headings).then_some((at, headings))
        })?;
        let is_apart = self.pages.remove(at).headings.is_some();
        let (own, mut rest): (Vec<RawRow>, Vec<RawRow>) =
            std::mem::take(all).into_iter().partition(|row| usize::from(row.page) == at);
        let later = rest.iter_mut().filter(|row| usize::from(row.page) > at);
        later.for_each(|row| row.page -= 1);
        *all = rest;
        let own = own.into_iter().filter(|row| !row.is_blank()).skip(usize::from(!is_apart));
        Some((headings, own.collect()))
    }

    /// Walks its rows, page by page.
    pub(crate) fn rows(&self) -> Result<Rows<'_>, IntakeError> {
        let delimiter = self.delimiter.map_or(b',', |mark| mark as u8);
        let mut after = 0;
        let walk = match &self.body {
            Body::Text { text, start, line } => {
                RowWalk::Text(Splitter::new(&text[*start..], delimiter, *line))
            }
            Body::File(file, skip) => {
                after = *skip;
                RowWalk::Text(Splitter::over(file.pieces()?, delimiter))
            }
            Body::Rows(rows) => RowWalk::Rows(rows.iter()),
        };
        let count = if let Body::Rows(rows) = &self.body { rows.len() } else { 0 };
        Ok(Rows { name: &self.name, walk, count, after, row: RawRow::default() })
    }

    /// Its rows, where they are held.
    pub(crate) fn held_rows(&self) -> Option<&[RawRow]> {
        match &self.body {
            Body::Rows(rows) => Some(rows),
            Body::Text { .. } | Body::File(..) => None,
        }
    }

    pub(crate) fn first_rows(&self, most: usize) -> Result<Vec<RawRow>, IntakeError> {
        let mut rows = self.rows()?;
        let mut first = Vec::new();
        while first.len() < most {
            // A quote left open further down is met by the walk.
            match rows.next() {
                Ok(Some(row)) => first.push(row.clone()),
                Ok(None) => break,
                Err(error) if first.is_empty() => return Err(error),
                Err(_) => break,
            }
        }
        Ok(first)
    }

    /// Whether its rows are too many to hold all fasteners at once.
    pub fn is_big(&self) -> bool {
        match &self.body {
            Body::Text { .. } | Body::File(..) => true,
            Body::Rows(rows) => rows.len() > BIG_ROWS,
        }
    }
}

/// The rows of a sheet, one buffer used for all.
pub(crate) struct Rows<'a> {
    name: &'a str,
    walk: RowWalk<'a>,
    /// Rows already taken apart.
    count: usize,
    /// Lines to skip.
    after: u32,
    row: RawRow,
}

enum RowWalk<'a> {
    Text(Splitter<'a>),
    Rows(std::slice::Iter<'a, RawRow>),
}

impl Rows<'_> {
    /// Which share of the rows was walked over, 0 to 1.
    pub(crate) fn share(&self) -> f64 {
        match &self.walk {
            RowWalk::Text(splitter) => splitter.share(),
            RowWalk::Rows(rest) => 1.0 - rest.len() as f64 / self.count.max(1) as f64,
        }
    }

    /// The next row; none at the end.
    pub(crate) fn next(&mut self) -> Result<Option<&RawRow>, IntakeError> {
        match &mut self.walk {
            RowWalk::Rows(rows) => Ok(rows.next()),
            RowWalk::Text(splitter) => {
                while splitter.next_into(&mut self.row, self.name)? {
                    if self.row.line > self.after {
                        check(&self.row, self.name)?;
                        return Ok(Some(&self.row));
                    }
                }
                Ok(None)
            }
        }
    }
}

/// What parts the cells of a text, how many bytes at its start say so, and how many
/// headings it parts.
fn delimiter_of(text: &str, names: &Names) -> (u8, usize, usize) {
    if let (Some(stated), skip) = stated_delimiter(text) {
        return (stated, skip, usize::MAX);
    }
    // The last of equals is taken.
    let tried = b"|\t;,".iter().map(|mark| (parts(text, *mark, names), *mark));
    let ((headings, _), best) =
        tried.max_by_key(|(parts, _)| *parts).expect("the list is not empty");
    (best, 0, headings)
}

/// How well `mark` parts the first lines: known headings in one of them, then
/// lines that have as many cells as most.
fn parts(text: &str, mark: u8, names: &Names) -> (usize, usize) {
    let mut splitter = Splitter::new(text, mark, 1);
    let mut row = RawRow::default();
    let mut widths = Vec::new();
    let (mut headings, mut is_found) = (0, false);
    while widths.len() < TRIED && matches!(splitter.next_into(&mut row, ""), Ok(true)) {
        let is_known = |cell: &&str| {
            known_heading(cell, names).is_some_and(|heading| heading.weight >= Weight::Weak)
        };
        let width = row.cells().filter(|cell| !cell.is_empty()).count();
        if row.len() > 1 && widths.len() < 30 && !is_found {
            // A row of a million cells is refused further on.
            let cells = row.cells().take(MOST_COLUMNS).filter(|cell| !cell.is_empty());
            let known = cells.filter(is_known).count();
            headings = headings.max(known);
            // Below the headings stand cells, which take long to be known as none.
            is_found = known > 2 && known * 2 > width;
        }
        widths.push(width);
    }
    let most = widths
        .iter()
        .copied()
        .filter(|width| *width > 1)
        .max_by_key(|width| widths.iter().filter(|other| *other == width).count());
    let alike = most.map_or(0, |most| widths.iter().filter(|width| **width == most).count());
    (headings, alike)
}

/// A first line `sep=;`, as some spreadsheets write and read it: the mark, and
/// the bytes of the line.
fn stated_delimiter(text: &str) -> (Option<u8>, usize) {
    let line = text.lines().next().unwrap_or_default();
    let mark = line.trim_end().strip_prefix("sep=").map(str::as_bytes);
    match mark {
        Some([mark]) if mark.is_ascii() => (Some(*mark), line.len() + 1),
        Some([]) if line.contains('\t') => (Some(b'\t'), line.len() + 1),
        _ => (None, 0),
    }
}

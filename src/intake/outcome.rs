//! What an import found, as data: report and the command line draw it.

use std::collections::HashMap;

use crate::intake::gone::Gone;
use crate::intake::header::Heading;
use crate::intake::survey::{Block, ColumnRead, Conclusion, Plan};
use crate::intake::verdict::{CellPlace, CellVerdict, Verdict};
use crate::intake::{Encoding, Sheet};
use crate::record::Fastener;

/// How many cells or rows of one reason are kept in full; the rest are
/// counted. A file of a million rows may say the same thing a million times.
const KEPT_OF_ONE_REASON: usize = 1000;

/// How many cells ended how.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Counts {
    /// Taken without a word, or only said how it was read.
    pub taken: usize,
    /// Taken with a warning.
    pub warned: usize,
    pub asked: usize,
    pub refused: usize,
}

/// What becomes of a setting in the book.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Change {
    Added,
    /// Known, with other figures.
    Changed,
    /// New, and it disagrees with a listed value of another source, which is
    /// kept beside it.
    Beside,
}

/// One setting with what becomes of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SettingChange {
    /// Line of its row in the file.
    pub line: u32,
    /// Key of the fastener.
    pub key: String,
    /// Assembly, joint and part.
    pub name: String,
    /// Its thread, where one is stated.
    pub thread: Option<String>,
    /// The setting in words: `oil 88 lb-ft`.
    pub setting: String,
    /// What becomes of it.
    pub change: Change,
    /// What it differs from, where it does.
    pub against: Option<String>,
}

/// How many settings end how.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Changes {
    pub added: usize,
    /// Settings with other figures than before.
    pub changed: usize,
    /// Settings that are the same.
    pub unchanged: usize,
    /// New settings beside one that disagrees.
    pub beside: usize,
}

/// A row of which a cell was not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BadRow {
    /// Its worksheet, from 0.
    pub page: u16,
    /// Its line in the file.
    pub line: u32,
    /// Its cells as written; empty where more than ten thousand rows are bad.
    pub cells: Vec<String>,
    /// Why, one sentence for each cell.
    pub reasons: Vec<String>,
}

/// What an import found.
#[derive(Debug, Clone, Default)]
pub struct Report {
    /// Name of the file.
    pub file: String,
    /// How its bytes were read.
    pub encoding: Encoding,
    /// What parts its cells.
    pub delimiter: Option<char>,
    /// Line of its header row.
    pub header_line: u32,
    /// The columns of its first table and how each heading was read.
    pub headings: Vec<Heading>,
    /// Every column of every table with some of its cells.
    pub columns: Vec<ColumnRead>,
    /// What was concluded of the file as a whole.
    pub conclusions: Vec<Conclusion>,
    /// How many tables the file has.
    pub table_count: usize,
    /// Names of its worksheets, where it has several.
    pub(crate) pages: Vec<String>,
    /// The headings of the table that the walk is in, and its worksheet.
    current: (Vec<Heading>, u16),
    /// Rows below the header that are not blank.
    pub rows: usize,
    /// Rows that are only a remark, with their line: not taken.
    pub remarks: Vec<(u32, String)>,
    /// Cells that are worth a word, in the order of the file. Of one reason,
    /// the first thousand.
    pub verdicts: Vec<CellVerdict>,
    /// How many cells had a reason, by its code.
    pub reasons: HashMap<&'static str, usize>,
    /// How many cells ended how.
    pub counts: Counts,
    /// Rows that cannot be taken.
    pub bad_rows: Vec<BadRow>,
    /// What becomes of the settings of the sound rows, the first thousand of
    /// each change; the unchanged ones are only counted.
    pub settings: Vec<SettingChange>,
    /// How many settings end how.
    pub changes: Changes,
    /// Settings of the book from the same source that the file no longer has, the
    /// first thousand; none while a row cannot be taken.
    pub gone: Vec<Gone>,
    /// How many they are.
    pub gone_count: usize,
    /// Whether they are marked superseded.
    pub retires: bool,
    /// Fasteners of the sound rows that are new or changed, whole.
    pub fasteners: Vec<Fastener>,
}

impl Report {
    /// A report on `sheet` that says nothing yet.
    pub(crate) fn on(sheet: &Sheet, plan: &Plan) -> Self {
        let first = plan.blocks.first();
        let headings = first.map(|block| block.headings.clone()).unwrap_or_default();
        let is_several = sheet.pages.len() > 1;
        let pages = sheet.pages.iter().filter(|_| is_several).map(|page| page.name.clone());
        let name = match sheet.pages.as_slice() {
            [page] if !page.name.is_empty() => format!("{}/{}", sheet.name, page.name),
            _ => sheet.name.clone(),
        };
        Self {
            columns: plan.columns.clone(),
            conclusions: plan.conclusions.clone(),
            table_count: plan.blocks.len(),
            pages: pages.collect(),
            current: (headings.clone(), 0),
            file: name,
            encoding: sheet.encoding,
            delimiter: sheet.delimiter,
            header_line: first.map_or(0, |block| block.header),
            headings,
            ..Self::default()
        }
    }

    /// Takes over what was said while the rows were read: it comes first.
    pub(crate) fn absorb(&mut self, read: Self) {
        let Self { rows, remarks, counts, reasons, verdicts, bad_rows, current, .. } = read;
        self.rows += rows;
        self.remarks.splice(..0, remarks);
        self.counts.taken += counts.taken;
        self.counts.warned += counts.warned;
        self.counts.asked += counts.asked;
        self.counts.refused += counts.refused;
        for (code, count) in reasons {
            *self.reasons.entry(code).or_default() += count;
        }
        self.verdicts.splice(..0, verdicts);
        self.bad_rows.splice(..0, bad_rows);
        self.current = current;
    }

    /// Counts a conclusion drawn from a row.
    pub(crate) fn conclude(&mut self, text: &str) {
        match self.conclusions.iter_mut().find(|known| known.text == text) {
            Some(known) => known.count += 1,
            None => self.conclusions.push(Conclusion { text: text.to_owned(), count: 1 }),
        }
    }

    /// Goes on with another table.
    pub(crate) fn enter(&mut self, block: &Block) {
        self.current = (block.headings.clone(), block.page);
    }

    /// Whether every row was taken. Otherwise the import as a whole is
    /// refused, unless the caller takes the sound rows alone.
    pub fn is_sound(&self) -> bool {
        self.bad_rows.is_empty()
    }

    /// The cells that stand in the way.
    pub fn bad_cells(&self) -> impl Iterator<Item = &CellVerdict> {
        self.verdicts.iter().filter(|cell| cell.verdict.is_bad())
    }

    /// Counts a cell and keeps it if it is worth a word.
    pub(crate) fn note(&mut self, cell: CellVerdict) {
        match cell.verdict {
            Verdict::Taken => self.counts.taken += 1,
            Verdict::TakenWithWarning => self.counts.warned += 1,
            Verdict::Question { .. } => self.counts.asked += 1,
            Verdict::Refused => self.counts.refused += 1,
        }
        let seen = self.reasons.entry(cell.code).or_default();
        *seen += 1;
        if *seen <= KEPT_OF_ONE_REASON {
            self.verdicts.push(cell);
        }
    }

    /// Refuses the row on `line` for what it says in the column at `column`.
    pub(crate) fn refuse_row(
        &mut self,
        line: u32,
        column: Option<usize>,
        code: &'static str,
        reason: String,
        advice: &str,
    ) {
        let place = self.place(line, column);
        let header = if place.header.is_empty() { "row" } else { place.header.as_str() };
        let words = format!("{header}: {reason}");
        match self.bad_rows.iter_mut().find(|row| row.line == line) {
            Some(row) => row.reasons.push(words),
            None => {
                let (cells, reasons, page) = (Vec::new(), vec![words], self.current.1);
                self.bad_rows.push(BadRow { page, line, cells, reasons });
            }
        }
        let (raw, advice) = (String::new(), advice.to_owned());
        let verdict = Verdict::Refused;
        self.note(CellVerdict { place, raw, verdict, read_as: None, code, reason, advice });
    }

    /// Refuses the row on `line`.
    pub(crate) fn refuse(&mut self, line: u32, reasons: Vec<String>) {
        self.bad_rows.push(BadRow { page: 0, line, cells: Vec::new(), reasons });
    }

    /// Puts the verdicts into the order of the file.
    pub(crate) fn sort(&mut self) {
        self.verdicts.sort_by(|one, two| one.place.cmp(&two.place));
        self.bad_rows.sort_by_key(|row| (row.page, row.line));
        self.settings.sort_by_key(|setting| setting.line);
    }

    /// The place of a cell; the row as a whole if `column` is none.
    pub(crate) fn place(&self, line: u32, column: Option<usize>) -> CellPlace {
        let (headings, page) = &self.current;
        let header = column.and_then(|at| headings.get(at)).map(|h| h.text.clone());
        let origin = |at: usize| headings.get(at).and_then(|h| h.origin).unwrap_or(at);
        let number = column.map_or(0, |at| u16::try_from(origin(at) + 1).unwrap_or(u16::MAX));
        let sheet = self.pages.get(usize::from(*page)).cloned().unwrap_or_default();
        CellPlace { sheet, line, column: number, header: header.unwrap_or_default() }
    }

    /// The headings of the table that the walk is in.
    pub(crate) fn current(&self) -> &[Heading] {
        &self.current.0
    }
}

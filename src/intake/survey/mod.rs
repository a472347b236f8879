//! A sheet understood before its cells are read: where its tables stand, what
//! their columns hold, and what titles, units and notes around them say.
//!
//! `rows` finds the heading rows and tells entries from titles, totals and
//! notes; `columns` settles each column by its heading and by what it holds;
//! `titles` reads what stands around, `title_names` which name in it is the machine's, `title_facts` what holds for all below. Whatever was concluded is kept to be said.

mod around;
mod columns;
mod columns_beside;
mod columns_content;
mod columns_once;
mod columns_side;
mod columns_torque;
mod columns_unknown;
mod content;
mod pages;
mod rows;
mod second_row;
mod tell;
mod title_facts;
mod title_names;
mod titles;

use std::collections::HashMap;

use crate::intake::header::Heading;
use crate::intake::leftovers::WHY;
use crate::intake::names::Names;
use crate::intake::reshape::Reshape;
use crate::intake::row::Footnotes;
use crate::intake::split::RawRow;
use crate::intake::{IntakeError, Options, Sheet};
use crate::quantity::{DecimalMark, Unit};
use crate::record::{Basis, Tables};

pub(crate) use columns::headings_of;
pub(crate) use tell::score;

/// Something concluded about the sheet, and for how many rows or columns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conclusion {
    /// One sentence without a full stop.
    pub text: String,
    /// How often it was drawn.
    pub count: usize,
}

/// A column as it was read, with cells to recognise it by.
#[derive(Debug, Clone, PartialEq)]
pub struct ColumnRead {
    /// The worksheet; empty where there is one only.
    pub page: String,
    /// Its heading and what it holds.
    pub heading: Heading,
    /// Its first different cells.
    pub examples: Vec<String>,
}

/// What rows say by standing where they do.
#[derive(Debug, Clone, Default)]
pub(crate) struct Given {
    pub(crate) assembly: Option<String>,
    pub(crate) joint: Option<String>,
    pub(crate) lube: Option<String>,
    pub(crate) strength: Option<String>,
    pub(crate) source: Option<String>,
    pub(crate) revision: Option<String>,
    /// Unit of a torque that has none in cell, heading or unit column.
    pub(crate) unit: Option<&'static Unit>,
    /// The same from a title among the rows, which goes before the heading.
    pub(crate) section_unit: Option<&'static Unit>,
    /// Series of a bare inch size: `UNC`, `UNF`.
    pub(crate) series: Option<&'static str>,
    pub(crate) basis: Option<Basis>,
    /// Words of titles that have no field.
    pub(crate) words: Option<String>,
    /// The row was typed: what it lacks is not made up.
    pub(crate) is_typed: bool,
}

/// One table of the sheet.
#[derive(Debug)]
pub(crate) struct Block {
    pub(crate) page: u16,
    /// Line of its heading row; 0 where the headings are no row.
    pub(crate) header: u32,
    pub(crate) headings: Vec<Heading>,
    pub(crate) reshape: Reshape,
    pub(crate) given: Given,
    /// Titles above its headings.
    pub(crate) titles: Vec<String>,
    /// Blank names below filled ones repeat them.
    pub(crate) fills_down: bool,
    /// Cells stand for those above them.
    pub(crate) has_dittos: bool,
}

/// What a row is, where it is no entry.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Mark {
    /// Headings, units, the headings once more.
    Skip,
    /// A title that holds for the rows below it.
    Section(Section),
    /// Words that are no entry.
    Remark,
}

/// A title among the rows.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Section {
    pub(crate) assembly: Option<String>,
    pub(crate) joint: Option<String>,
    pub(crate) unit: Option<&'static Unit>,
    pub(crate) lube: Option<String>,
    pub(crate) series: Option<&'static str>,
    pub(crate) words: Option<String>,
}

impl Section {
    /// Whether it says more than the names of machine and joint.
    pub(crate) fn says_more(&self) -> bool {
        let Self { assembly: _, joint: _, unit, lube, series, words } = self;
        unit.is_some() || lube.is_some() || series.is_some() || words.is_some()
    }
}

/// The sheet as understood.
#[derive(Debug, Default)]
pub(crate) struct Plan {
    pub(crate) blocks: Vec<Block>,
    pub(crate) columns: Vec<ColumnRead>,
    pub(crate) conclusions: Vec<Conclusion>,
    /// Notes below the tables of each worksheet, by the mark that points at them.
    pub(super) footnotes: HashMap<u16, Footnotes>,
    no_footnotes: Footnotes,
    pub(crate) decimal: DecimalMark,
    /// Numbers are none of its texts, as in a workbook: a point in one is a decimal point.
    pub(crate) has_numbers: bool,
    /// Whether dates have their day first; none if no cell shows it.
    pub(crate) day_first: Option<bool>,
    marks: HashMap<(u16, u32), Mark>,
}

impl Plan {
    /// Whether the file holds the rows that an earlier import did not take.
    pub(crate) fn is_rest(&self) -> bool {
        self.blocks.iter().flat_map(|block| &block.headings).any(|heading| heading.text == WHY)
    }

    /// For cells under known headings, without a sheet around them.
    pub(crate) fn of_cells(headings: Vec<Heading>) -> Self {
        let block = Block {
            page: 0,
            header: 0,
            headings,
            reshape: Reshape::default(),
            given: Given::default(),
            titles: Vec::new(),
            fills_down: false,
            has_dittos: false,
        };
        Self { blocks: vec![block], ..Self::default() }
    }

    /// The notes below the tables of a worksheet.
    pub(crate) fn footnotes(&self, page: u16) -> &Footnotes {
        self.footnotes.get(&page).unwrap_or(&self.no_footnotes)
    }

    /// What the row is, if it is no plain entry.
    pub(crate) fn mark(&self, row: &RawRow) -> Option<&Mark> {
        self.marks.get(&(row.page, row.line))
    }

    pub(crate) fn conclude(&mut self, text: impl Into<String>) {
        let text = text.into();
        match self.conclusions.iter_mut().find(|known| known.text == text) {
            Some(known) => known.count += 1,
            None => self.conclusions.push(Conclusion { text, count: 1 }),
        }
    }
}

/// Whether a title says a unit of torque.
pub(crate) fn says_unit(title: &str) -> bool {
    title_facts::unit_in(title).is_some()
}

/// How many rows of a long file are looked at.
const SAMPLE: usize = 1000;

/// Whether an import of `sheet` can begin. Errors as [`crate::intake::take`] does where
/// the file as a whole cannot be used, before a row is read.
pub fn check(sheet: &Sheet, tables: &Tables, options: &Options) -> Result<(), IntakeError> {
    survey(sheet, &Names::new(tables), options).map(|_| ())
}

/// Understands `sheet`. Errors where no table is found in it, or its columns
/// contradict each other.
pub(crate) fn survey(sheet: &Sheet, names: &Names, options: &Options) -> Result<Plan, IntakeError> {
    let sample;
    let rows: &[RawRow] = match sheet.held_rows() {
        Some(rows) => rows,
        None => {
            sample = sheet.first_rows(SAMPLE)?;
            &sample
        }
    };
    let mut found = rows::Finder::new(sheet, names, options);
    let mut start = 0;
    while start < rows.len() {
        let page = rows[start].page;
        let length = rows[start..].iter().take_while(|row| row.page == page).count();
        found.page(&rows[start..start + length]);
        start += length;
    }
    for page in 0..sheet.pages.len() {
        // A table of headings alone has no rows to be met.
        found.empty_page(u16::try_from(page).unwrap_or(u16::MAX));
    }
    columns::settle(found, rows)
}

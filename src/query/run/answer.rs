//! What a question returns, before anything is drawn.

use std::time::Duration;

use crate::quantity::{System, Unit};
use crate::query::run::{OnWrench, Overview};
use crate::record::{Field, Row, Value};
use crate::thread::Thread;

/// The units in which an answer is to be drawn.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum UnitsWanted {
    /// The sheet's own unit first, its counterpart beside it.
    #[default]
    AsWritten,
    /// Both units, that of this family first: the habit of the shop.
    First(System),
    /// One family throughout.
    System(System),
    /// These units for what they measure; the rest as written.
    Units(Vec<&'static Unit>),
}

/// A column that the question asked for, with its value in each row.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// The heading: the field's name, or the expression as typed.
    pub heading: String,
    /// The field, if the column is one.
    pub field: Option<&'static Field>,
    /// One value for each row of the answer.
    pub values: Vec<Value<'static>>,
}

/// One group of a tally.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// The values that its rows share, in the order of the tally's columns.
    pub values: Vec<Value<'static>>,
    pub count: usize,
}

/// The groups of a tally, most first.
#[derive(Debug, Clone, PartialEq)]
pub struct Tally {
    /// Headings of the columns.
    pub columns: Vec<(String, Option<&'static Field>)>,
    pub groups: Vec<Group>,
}

/// What a question returns.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Answer {
    /// The rows, sorted and cut as asked.
    pub rows: Vec<Row>,
    /// Set in place of `rows` where they are more than were to be held.
    pub overview: Option<Overview>,
    /// Columns of a `show` clause; empty for the usual ones.
    pub columns: Vec<Column>,
    /// Set by an `on` clause: the wrench, with its setting for each row.
    pub on: Option<OnWrench>,
    /// Set by a `tally` clause, in place of the rows.
    pub tally: Option<Tally>,
    /// Stored rows for which the filter is true.
    pub matched: usize,
    /// Rows of general charts that the filter finds, which are not among `rows`.
    pub charts: usize,
    /// Rows left out because the question cannot be answered for them.
    pub left_out: usize,
    /// Their joints and parts, where they are few and were read.
    pub unknown: Vec<String>,
    /// The fields for want of which they are left out.
    pub unstated: Vec<&'static Field>,
    /// Rows of the answer that state a range of which only a part passes.
    pub partly: usize,
    /// Rows or groups cut off that are level with the last one kept in the order asked for.
    pub level: usize,
    /// Settings read from the book.
    pub read: usize,
    /// Time from text to answer.
    pub took: Duration,
    /// How a doubtful question was read.
    pub readings: Vec<String>,
    /// What else mentions its words, and what else is to be said of the whole.
    pub remarks: Vec<String>,
    /// Where there are no rows: the nearest things that exist.
    pub near: Vec<String>,
    pub units: UnitsWanted,
    /// How the rows were found: index, estimate, read.
    pub plan: String,
}

impl Answer {
    /// Whether the question found nothing in the book's joints and charts.
    pub fn is_empty(&self) -> bool {
        let groups = self.tally.as_ref().map_or(0, |tally| tally.groups.len());
        self.count() + groups + self.charts == 0
    }

    /// Whether at least one row has a figure that is not refused, and the
    /// wrench of an `on` clause serves one.
    pub fn has_answer(&self) -> bool {
        let is_served = |on: &OnWrench| match &self.overview {
            Some(overview) => overview.served > 0,
            None => on.serves_any(),
        };
        if self.on.as_ref().is_some_and(|on| !is_served(on)) {
            return false;
        }
        self.tally.as_ref().is_some_and(|tally| !tally.groups.is_empty()) || self.is_answered()
    }

    /// How many rows it has, held or not.
    pub fn count(&self) -> usize {
        self.overview.as_ref().map_or(self.rows.len(), |overview| overview.rows)
    }

    /// Whether a row has a figure that is not refused.
    pub fn is_answered(&self) -> bool {
        match &self.overview {
            Some(overview) => overview.answered > 0,
            None => self.rows.iter().any(|row| row.refused.is_none()),
        }
    }

    /// The threads of its rows; of rows that are not held those alone that the
    /// question asks the look-alikes for.
    pub(crate) fn threads(&self) -> Vec<&Thread> {
        match &self.overview {
            Some(overview) => overview.threads.iter().collect(),
            None => self.rows.iter().flat_map(ends).collect(),
        }
    }
}

/// The threads of both ends.
pub(super) fn ends(row: &Row) -> impl Iterator<Item = &Thread> {
    row.fastener.thread.iter().chain(&row.fastener.hole_thread)
}

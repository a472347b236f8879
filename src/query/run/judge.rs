//! From a fastener to the rows that answer: tested as stored, restated, tested
//! again. All of it for one fastener at a time, so that two cores share a large
//! book.

use std::sync::Arc;

use crate::correction::stored_row;
use crate::query::resolve::{Question, Test};
use crate::query::run::restated;
use crate::query::run::truth::{Truth, holds};
use crate::record::{Fastener, Row, Tables, setting_keys};

/// What came of some fasteners.
#[derive(Debug, Default)]
pub(super) struct Judged {
    /// The rows that answer, in the order of the book.
    pub(super) rows: Vec<Row>,
    /// Stored rows for which the filter is true.
    pub(super) matched: usize,
    /// Stored rows for which the filter is unknown.
    pub(super) left_out: usize,
    /// Rows for which `keep` is unknown.
    pub(super) keep_left_out: usize,
    /// Keys of the matched rows, where they are asked for.
    pub(super) keys: Vec<String>,
    /// Whether a row of a general chart is among the matched.
    pub(super) has_charts: bool,
}

/// The same, general charts apart: they are for no joint in particular.
#[derive(Debug, Default)]
pub(super) struct Sides {
    pub(super) joints: Judged,
    pub(super) charts: Judged,
}

impl Judged {
    fn append(&mut self, mut other: Self) {
        self.rows.append(&mut other.rows);
        self.keys.append(&mut other.keys);
        self.matched += other.matched;
        self.left_out += other.left_out;
        self.keep_left_out += other.keep_left_out;
    }
}

impl Sides {
    /// Parts that follow each other as one.
    pub(super) fn joined(parts: Vec<Self>) -> Self {
        let mut all = Self::default();
        for part in parts {
            all.joints.append(part.joints);
            all.charts.append(part.charts);
        }
        all
    }

    /// Charts behind the joints.
    pub(super) fn into_one(self) -> Judged {
        let Self { mut joints, charts } = self;
        joints.has_charts = charts.matched > 0;
        joints.append(charts);
        joints
    }
}

/// A question as it is put to one fastener.
#[derive(Clone, Copy)]
pub(super) struct Judge<'a> {
    question: &'a Question,
    tables: &'a Tables,
    /// Whether the filter tests the key of a row.
    tests_keys: bool,
    /// Whether the keys of matched rows are asked for.
    wants_keys: bool,
}

impl<'a> Judge<'a> {
    pub(super) fn new(question: &'a Question, tables: &'a Tables, wants_keys: bool) -> Self {
        let tests_keys = question.filter.as_ref().is_some_and(|test| test.is_about("key"));
        Self { question, tables, tests_keys, wants_keys }
    }

    /// Adds what comes of `fastener` to its side.
    pub(super) fn take(self, sides: &mut Sides, fastener: &Arc<Fastener>) {
        let side = if fastener.is_chart() { &mut sides.charts } else { &mut sides.joints };
        let matched = self.matched(side, fastener);
        side.matched += matched.len();
        if self.wants_keys {
            side.keys.extend(matched.iter().map(|row| row.key.clone()));
        }
        let restates = !self.question.with.is_empty() || self.question.target.is_some();
        let rows = if restates && !matched.is_empty() {
            restated::rows(self.question, &matched, self.tables)
        } else {
            matched
        };
        let Some(keep) = &self.question.keep else {
            side.rows.extend(rows);
            return;
        };
        for row in rows {
            match holds(keep, &row) {
                Truth::True => side.rows.push(row),
                Truth::Unknown => side.keep_left_out += 1,
                Truth::False => {}
            }
        }
    }

    /// The stored rows for which the filter is true; those for which it is
    /// unknown are counted.
    fn matched(self, side: &mut Judged, fastener: &Arc<Fastener>) -> Vec<Row> {
        let filter = self.question.filter.as_ref();
        let holds = |row: &Row| filter.map_or(Truth::True, |test: &Test| holds(test, row));
        let mut keys = if self.tests_keys { setting_keys(fastener) } else { Vec::new() };
        let mut rows: Vec<Row> = Vec::new();
        for (at, setting) in fastener.settings.iter().enumerate() {
            let mut row = stored_row(fastener, setting, self.tables);
            if let Some(key) = keys.get(at) {
                row.key.clone_from(key);
            }
            match holds(&row) {
                Truth::True => {
                    if keys.is_empty() {
                        keys = setting_keys(fastener);
                    }
                    if let Some(key) = keys.get(at) {
                        row.key.clone_from(key);
                    }
                    rows.push(row);
                }
                Truth::Unknown => side.left_out += 1,
                Truth::False => {}
            }
        }
        rows
    }
}

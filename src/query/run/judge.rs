//! From a fastener to the rows that answer: tested as stored, restated, tested
//! again. All of it for one fastener at a time, so that the cores of the machine
//! share a large book.

use std::sync::Arc;

use crate::correction::stored_row;
use crate::query::resolve::{Question, Test};
use crate::query::run::arrange::{self, Groups};
use crate::query::run::overview::Overview;
use crate::query::run::restated;
use crate::query::run::truth::{self, Truth, holds};
use crate::record::{Fastener, Field, Row, Tables, Wrench, setting_keys};
use crate::thread::Thread;

/// What came of some fasteners.
#[derive(Debug, Default)]
pub(super) struct Judged {
    /// The rows that answer, in the order of the book; none where they are counted.
    pub(super) rows: Vec<Row>,
    /// What is said of them where they are too many to be held.
    pub(super) overview: Option<Overview>,
    /// Where rows are counted: by what.
    pub(super) groups: Groups,
    /// Stored rows for which the filter is true.
    pub(super) matched: usize,
    /// Of those, rows of general charts, which are left out of the answer.
    pub(super) charts: usize,
    /// Rows for which the filter or `keep` is unknown.
    pub(super) left_out: usize,
    /// Joint and part of the first of them.
    pub(super) unknown: Vec<String>,
    /// The fields for want of which they are.
    pub(super) unstated: Vec<&'static Field>,
}

/// Rows left out that are named where nothing is found.
const NAMED: usize = 4;

impl Judged {
    /// Counts a row of which it is unknown whether `test` holds.
    fn leave_out(&mut self, row: &Row, test: &Test) {
        self.left_out += 1;
        truth::add_unknown(test, row, &mut self.unstated);
        if self.unknown.len() < NAMED {
            let fastener = &row.fastener;
            self.unknown.push(format!("{}, {}", fastener.joint.name, fastener.part));
        }
    }

    /// That rows are left out for want of these fields too.
    pub(super) fn lacks(&mut self, fields: impl IntoIterator<Item = &'static Field>) {
        for field in fields {
            if !self.unstated.contains(&field) {
                self.unstated.push(field);
            }
        }
    }
}

/// A question as it is put to one fastener.
pub(super) struct Judge<'a> {
    question: &'a Question,
    tables: &'a Tables,
    /// The wrench of an `on` clause.
    wrench: Option<&'a Wrench>,
    /// How many rows are held at most.
    holds: usize,
    /// Whether the filter tests the key of a row.
    tests_keys: bool,
    /// Rows that are counted are not shown by their keys.
    wants_keys: bool,
    /// Rows of general charts are for no joint in particular: only a question
    /// about the basis sees them.
    wants_charts: bool,
}

/// More rows than are asked for that are kept, because they may be level with the last
/// one; when there are twice as many, the others are dropped.
const SURPLUS: usize = 512;

impl<'a> Judge<'a> {
    /// `question` as it is put to the fasteners of a book with these `tables`. Rows beyond
    /// `holds`, in each part of the book, are looked at and not held, if their order is
    /// that of the book.
    pub(super) fn new(
        question: &'a Question,
        tables: &'a Tables,
        wrench: Option<&'a Wrench>,
        holds: usize,
    ) -> Self {
        let is_arranged = question.tally.is_some()
            || question.first.is_some()
            || !question.sort.is_empty()
            || question.filter.as_ref().is_some_and(Test::names_ends);
        let holds = if is_arranged { usize::MAX } else { holds };
        let tests_keys = question.filter.as_ref().is_some_and(|test| test.is_about("key"));
        let wants_keys = question.tally.is_none() || question.asks_for("key");
        let wants_charts = question.asks_for("basis");
        Self { question, tables, wrench, holds, tests_keys, wants_keys, wants_charts }
    }

    /// Adds what comes of `fastener`.
    pub(super) fn take(&self, judged: &mut Judged, fastener: &Arc<Fastener>) {
        if fastener.is_chart() && !self.wants_charts {
            judged.charts += self.matched(&mut Judged::default(), fastener).len();
            return;
        }
        let matched = self.matched(judged, fastener);
        if matched.is_empty() {
            return;
        }
        judged.matched += matched.len();
        let restates = !self.question.with.is_empty() || self.question.target.is_some();
        let rows =
            if restates { restated::rows(self.question, &matched, self.tables) } else { matched };
        for row in rows {
            match &self.question.keep {
                Some(keep) => match holds(keep, &row) {
                    Truth::True => self.keep(judged, row),
                    Truth::Unknown => judged.leave_out(&row, keep),
                    Truth::False => {}
                },
                None => self.keep(judged, row),
            }
        }
    }

    /// Counts a row of the answer, or keeps it if it can be among the first.
    fn keep(&self, judged: &mut Judged, row: Row) {
        if let Some(tally) = &self.question.tally {
            return judged.groups.add(self.question, tally, &row);
        }
        judged.rows.push(row);
        let Some(first) = self.question.first else {
            if judged.rows.len() > self.holds {
                self.let_go(judged);
            }
            return;
        };
        if judged.rows.len() > first.saturating_add(2 * SURPLUS) {
            arrange::first(self.question, &mut judged.rows, SURPLUS);
        }
    }

    /// Looks at the rows in place of holding them.
    fn let_go(&self, judged: &mut Judged) {
        let overview = judged.overview.get_or_insert_default();
        judged.rows.drain(..).for_each(|row| overview.add(self.question, self.wrench, row));
    }

    /// Parts that follow each other as one.
    pub(super) fn joined(&self, mut parts: Vec<Judged>) -> Judged {
        if parts.iter().any(|part| part.overview.is_some()) {
            parts.iter_mut().for_each(|part| self.let_go(part));
        }
        let mut all = Judged::default();
        for mut part in parts {
            if let Some(overview) = part.overview {
                all.overview.get_or_insert_default().join(overview);
            }
            all.rows.append(&mut part.rows);
            all.groups.append(part.groups);
            all.matched += part.matched;
            all.charts += part.charts;
            all.left_out += part.left_out;
            all.unknown.append(&mut part.unknown);
            all.lacks(part.unstated);
        }
        all
    }

    /// The stored rows for which the filter is true; those for which it is
    /// unknown are counted.
    fn matched(&self, judged: &mut Judged, fastener: &Arc<Fastener>) -> Vec<Row> {
        let everything = Test::All(Vec::new());
        let filter = self.question.filter.as_ref().unwrap_or(&everything);
        let mut keys = if self.tests_keys { setting_keys(fastener) } else { Vec::new() };
        let mut rows: Vec<Row> = Vec::new();
        for (at, setting) in fastener.settings.iter().enumerate() {
            let mut row = stored_row(fastener, setting, self.tables);
            if self.tests_keys {
                row.key.clone_from(&keys[at]);
            }
            match holds(filter, &row) {
                Truth::True => {
                    if self.wants_keys {
                        if keys.is_empty() {
                            keys = setting_keys(fastener);
                        }
                        row.key.clone_from(&keys[at]);
                    }
                    rows.push(row);
                }
                Truth::Unknown => judged.leave_out(&row, filter),
                Truth::False => {}
            }
        }
        rows
    }
}

/// Whether `row` of the answer states a range of which only a part passes: the
/// filter as it was stored, `keep` as it is restated.
pub(super) fn is_partly(question: &Question, row: &Row) -> bool {
    let fails = |test: Option<&Test>| test.is_some_and(|test| truth::is_partly(test, row));
    let is_stored = question.with.is_empty() && question.target.is_none();
    is_stored && fails(question.filter.as_ref()) || fails(question.keep.as_ref())
}

/// Says on a row that was found by the hole end of a stud alone that the torque
/// belongs to the other end.
pub(super) fn say_which_end(filter: &Test, row: &mut Row) {
    let (Some(turned), Some(hole)) = (&row.fastener.thread, &row.fastener.hole_thread) else {
        return;
    };
    if asks_for(filter, hole) && !asks_for(filter, turned) {
        row.warnings.push(format!("{hole} is the hole end: the torque belongs to {turned}"));
    }
}

/// Whether the ends of a stud are two of the threads that `test` looks for.
pub(super) fn has_both_ends(test: &Test, row: &Row) -> bool {
    let (Some(turned), Some(hole)) = (&row.fastener.thread, &row.fastener.hole_thread) else {
        return false;
    };
    match test {
        Test::All(tests) => tests.iter().any(|test| has_both_ends(test, row)),
        Test::Any(tests) => {
            let place = |thread: &Thread| tests.iter().position(|test| asks_for(test, thread));
            let (one, other) = (place(turned), place(hole));
            one.is_some() && other.is_some() && one != other
        }
        _ => false,
    }
}

/// Whether `test` looks for `thread` at either end.
fn asks_for(test: &Test, thread: &Thread) -> bool {
    match test {
        Test::All(tests) | Test::Any(tests) => tests.iter().any(|test| asks_for(test, thread)),
        Test::Thread(pattern) => pattern.matches(thread),
        _ => false,
    }
}

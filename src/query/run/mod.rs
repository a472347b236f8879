//! Running a planned question: records to rows to an answer.
//!
//! The order of evaluation, whatever the order written: filter on stored rows
//! with their own lube, then `with`, `target`, `keep`, `sort`, `first`; `show`
//! and `units` only draw; `tally` counts what is kept.

mod answer;
mod besides;
mod columns;
mod ends;
mod near;
mod restated;
mod truth;
mod wrench;

pub use answer::{Answer, Column, Group, Tally, UnitsWanted};
pub use wrench::{OnWrench, WrenchSetting};

use std::collections::HashSet;

use crate::correction::stored_rows;
use crate::query::plan::Plan;
use crate::query::resolve::{Question, Units};
use crate::record::{Row, Tables};
use crate::store::{Book, Found, StoreError};
use truth::{Truth, holds};

/// Answers `question` from `book` by `plan`.
pub fn run(question: &Question, plan: &Plan, book: &Book) -> Result<Answer, StoreError> {
    let found = book.find(&plan.access)?;
    let mut kept = filtered(question, &found, book.tables());
    let charts = leave_charts_aside(question, &mut kept);
    let said = near::also_said(question, &kept.rows, book)?;
    let besides = besides::remarks(question, &found, &kept.rows, book.tables());
    let matched = kept.rows.len();
    let mut answer = Answer { left_out: kept.left_out, read: found.read, ..Answer::default() };
    answer.rows = if question.with.is_empty() && question.target.is_none() {
        kept.rows
    } else {
        restated::rows(question, &kept.rows, book.tables())
    };
    if let Some(filter) = &question.filter {
        answer.rows.iter_mut().for_each(|row| ends::say(filter, row));
    }
    if let Some(keep) = &question.keep {
        let verdicts: Vec<Truth> = answer.rows.iter().map(|row| holds(keep, row)).collect();
        answer.left_out += verdicts.iter().filter(|truth| **truth == Truth::Unknown).count();
        let mut verdicts = verdicts.into_iter();
        answer.rows.retain(|_| verdicts.next() == Some(Truth::True));
    }
    columns::arrange(question, &mut answer);
    if let Some(name) = question.on.as_ref().filter(|_| answer.tally.is_none()) {
        answer.on = wrench::on(name, &answer.rows, book)?;
        let column = answer.on.as_ref().map(|on| columns::on_wrench(&on.wrench.name, on.values()));
        answer.columns.extend(column);
    }
    answer.units = match &question.units {
        Units::AsWritten => UnitsWanted::AsWritten,
        Units::System(system) => UnitsWanted::System(*system),
        Units::Each(units) => UnitsWanted::Units(units.clone()),
    };
    answer.remarks =
        question.readings.iter().cloned().chain(besides).chain(charts).chain(said).collect();
    if answer.rows.is_empty() && answer.tally.is_none() {
        answer.near = near::misses(question, matched, book)?;
    }
    answer.plan =
        format!("{}; about {} settings expected, {} read", plan.words, plan.estimate, answer.read);
    Ok(answer)
}

/// The stored rows that a filter keeps, and how many it cannot judge.
struct Kept {
    rows: Vec<Row>,
    /// Rows for which the filter is unknown.
    left_out: usize,
    /// Those among them that are rows of general charts.
    charts_left_out: usize,
}

/// The stored rows for which the filter is true; those for which it is unknown
/// are counted. General charts stand after the joints.
fn filtered(question: &Question, found: &Found, tables: &Tables) -> Kept {
    let mut kept = Kept { rows: Vec::new(), left_out: 0, charts_left_out: 0 };
    let (charts, joints): (Vec<_>, Vec<_>) = found.fasteners.iter().partition(|f| f.is_chart());
    for fastener in joints.into_iter().chain(charts) {
        let every: Vec<usize> = (0..fastener.settings.len()).collect();
        for row in stored_rows(fastener, &every, tables) {
            match question.filter.as_ref().map_or(Truth::True, |test| holds(test, &row)) {
                Truth::True => kept.rows.push(row),
                Truth::Unknown => {
                    kept.left_out += 1;
                    kept.charts_left_out += usize::from(fastener.is_chart());
                }
                Truth::False => {}
            }
        }
    }
    kept
}

/// Rows of general charts are for no joint in particular: where a joint of the
/// book has an answer they are left aside, and the answer says how many and how
/// to see them. A question that asks for a basis sees all.
fn leave_charts_aside(question: &Question, kept: &mut Kept) -> Option<String> {
    let all = kept.rows.len();
    let joints = kept.rows.iter().filter(|row| !row.fastener.is_chart()).count();
    if joints == 0 || question.asks_for("basis") {
        return None;
    }
    kept.left_out -= kept.charts_left_out;
    kept.rows.retain(|row| !row.fastener.is_chart());
    let aside = all - joints;
    let words = format!("{aside} rows of general charts left aside: add `basis chart` to see them");
    (aside > 0).then_some(words)
}

/// The keys of `rows`.
fn keys(rows: &[Row]) -> HashSet<&str> {
    rows.iter().map(|row| row.key.as_str()).collect()
}

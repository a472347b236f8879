//! Running a planned question: records to rows to an answer.
//!
//! The order of evaluation, whatever the order written: filter on stored rows
//! with their own lube, then `with`, `target`, `keep`, `sort`, `first`; `show`
//! and `units` only draw; `tally` counts what is kept.

mod answer;
mod columns;
mod near;
mod truth;

pub use answer::{Answer, Column, Group, Tally, UnitsWanted};

use std::sync::Arc;

use crate::correction::{reach, stored_rows, with_lubes};
use crate::quantity::{Extent, Unit, find_unit};
use crate::query::plan::Plan;
use crate::query::resolve::{Question, Units};
use crate::record::{Basis, Derived, Fastener, Lube, Method, Row, Setting, Tables};
use crate::store::{Book, Found, StoreError};
use truth::{Truth, holds};

/// Answers `question` from `book` by `plan`.
pub fn run(question: &Question, plan: &Plan, book: &Book) -> Result<Answer, StoreError> {
    let found = book.find(&plan.access)?;
    let mut answer = filtered(question, &found, book.tables());
    answer.read = found.read;
    let charts = leave_charts_aside(question, &mut answer);
    if !question.with.is_empty() || question.target.is_some() {
        answer.rows = restated(question, &answer.rows, book.tables());
    }
    if let Some(keep) = &question.keep {
        let verdicts: Vec<Truth> = answer.rows.iter().map(|row| holds(keep, row)).collect();
        answer.left_out += verdicts.iter().filter(|truth| **truth == Truth::Unknown).count();
        let mut verdicts = verdicts.into_iter();
        answer.rows.retain(|_| verdicts.next() == Some(Truth::True));
    }
    columns::arrange(question, &mut answer);
    answer.units = match &question.units {
        Units::AsWritten => UnitsWanted::AsWritten,
        Units::System(system) => UnitsWanted::System(*system),
        Units::Each(units) => UnitsWanted::Units(units.clone()),
    };
    answer.remarks.clone_from(&question.readings);
    answer.remarks.extend(charts);
    answer.remarks.extend(near::also_said(question, &answer, book)?);
    if answer.rows.is_empty() && answer.tally.is_none() {
        answer.near = near::misses(question, book)?;
    }
    answer.plan =
        format!("{}; about {} settings expected, {} read", plan.words, plan.estimate, answer.read);
    Ok(answer)
}

/// The stored rows for which the filter is true; those for which it is unknown
/// are counted. General charts stand after the joints.
fn filtered(question: &Question, found: &Found, tables: &Tables) -> Answer {
    let mut answer = Answer::default();
    let (charts, joints): (Vec<_>, Vec<_>) = found.fasteners.iter().partition(|f| f.is_chart());
    for fastener in joints.into_iter().chain(charts) {
        let every: Vec<usize> = (0..fastener.settings.len()).collect();
        for row in stored_rows(fastener, &every, tables) {
            match question.filter.as_ref().map_or(Truth::True, |test| holds(test, &row)) {
                Truth::True => answer.rows.push(row),
                Truth::Unknown => answer.left_out += 1,
                Truth::False => {}
            }
        }
    }
    answer
}

/// Rows of general charts are for no joint in particular: where a joint of the
/// book has an answer they are left aside, and the answer says how many and how
/// to see them. A question that asks for a basis sees all.
fn leave_charts_aside(question: &Question, answer: &mut Answer) -> Option<String> {
    let all = answer.rows.len();
    let joints = answer.rows.iter().filter(|row| !row.fastener.is_chart()).count();
    if joints == 0 || joints == all || question.asks_for("basis") {
        return None;
    }
    answer.rows.retain(|row| !row.fastener.is_chart());
    let aside = all - joints;
    Some(format!("{aside} rows of general charts left aside: add `basis chart` to see them"))
}

/// One row or more for each fastener and lube asked for, or for the target.
fn restated(question: &Question, rows: &[Row], tables: &Tables) -> Vec<Row> {
    let same = |a: &Row, b: &Row| Arc::ptr_eq(&a.fastener, &b.fastener);
    let mut out = Vec::new();
    for matched in rows.chunk_by(same) {
        let fastener = &matched[0].fastener;
        let lubes = lubes_for(question, matched, tables);
        match question.target {
            Some(target) => {
                let unit = torque_unit(matched);
                let reached = lubes.iter().map(|lube| {
                    reach(fastener, target, lube, unit, tables)
                        .unwrap_or_else(|reason| refused(fastener, lube, &reason.to_string()))
                });
                out.extend(reached);
            }
            None => {
                let settings = settings_of(fastener, matched);
                out.extend(with_lubes(fastener, &settings, &lubes, tables));
            }
        }
    }
    out
}

/// The lubes asked for; without `with`, those of the matched settings.
fn lubes_for<'a>(question: &Question, matched: &[Row], tables: &'a Tables) -> Vec<&'a Lube> {
    if !question.with.is_empty() {
        return question.with.iter().filter_map(|name| tables.lube(name)).collect();
    }
    let mut lubes: Vec<&Lube> = Vec::new();
    for row in matched {
        let lube = row.setting.lube.as_deref().and_then(|name| tables.lube(name));
        lubes.extend(lube.filter(|lube| !lubes.iter().any(|known| known.name == lube.name)));
    }
    lubes
}

/// The fastener's own settings behind the matched rows.
fn settings_of<'a>(fastener: &'a Arc<Fastener>, matched: &[Row]) -> Vec<&'a Setting> {
    let is_matched = |setting: &&Setting| matched.iter().any(|row| row.setting == **setting);
    fastener.settings.iter().filter(is_matched).collect()
}

/// The unit in which the first matched torque is written; N·m where none is.
fn torque_unit(matched: &[Row]) -> &'static Unit {
    let written = matched.iter().find_map(|row| row.setting.torque).map(Extent::unit);
    // Invariant: the table of units holds N·m; its own test walks it.
    written.or_else(|| find_unit("N·m")).unwrap_or(&crate::quantity::UNITS[0])
}

fn refused(fastener: &Arc<Fastener>, lube: &Lube, reason: &str) -> Row {
    let mut setting = Setting::new(Method::Torque, Basis::Computed);
    setting.lube = Some(lube.name.clone());
    Row {
        key: format!("{}/{}", fastener.key, crate::record::slug(&[&lube.name])),
        fastener: Arc::clone(fastener),
        setting,
        derived: Derived::default(),
        restated: None,
        refused: Some(reason.to_owned()),
        warnings: Vec::new(),
    }
}

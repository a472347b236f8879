//! Running a planned question: records to rows to an answer.
//!
//! The order of evaluation, whatever the order written: filter on stored rows
//! with their own lube, then `with`, `target`, `keep`, `sort`, `first`; `show`
//! and `units` only draw; `tally` counts what is kept.

mod answer;
mod arrange;
mod column;
mod judge;
mod restated;
mod truth;
mod wrench;

pub use answer::{Answer, Column, Group, Tally, UnitsWanted};
pub use wrench::{OnWrench, WrenchSetting};

pub(super) use truth::is_twin;

use crate::correction::stored_row;
use crate::query::plan::Plan;
use crate::query::resolve::{Question, Test, Units};
use crate::record::Fastener;
use crate::store::{Access, Book, StoreError, Which};
use judge::{Judge, Judged};
use std::sync::Arc;
use truth::{Truth, holds};

/// Answers `question` from `book` by `plan`.
pub fn run(question: &Question, plan: &Plan, book: &Book) -> Result<Answer, StoreError> {
    let (judged, read) = judged(question, plan, book)?;
    let mut answer = Answer {
        rows: judged.rows,
        matched: judged.matched,
        charts: judged.charts,
        left_out: judged.left_out,
        unknown: Some(judged.unknown)
            .filter(|names| names.len() == judged.left_out)
            .unwrap_or_default(),
        read,
        readings: question.readings.clone(),
        plan: format!("{}; about {} settings expected, {read} read", plan.words, plan.estimate),
        ..Answer::default()
    };
    arrange::arrange(question, judged.groups, &mut answer);
    answer.partly = answer.rows.iter().filter(|row| judge::is_partly(question, row)).count();
    if let Some(filter) = &question.filter {
        answer.rows.iter_mut().for_each(|row| judge::say_which_end(filter, row));
    }
    if let Some(name) = question.on.as_ref().filter(|_| answer.tally.is_none()) {
        answer.on = wrench::on(name, &answer.rows, book)?;
        let column = answer.on.as_ref().map(|on| arrange::on_wrench(&on.wrench.name, on.values()));
        answer.columns.extend(column);
    }
    answer.units = match &question.units {
        Units::AsWritten => UnitsWanted::AsWritten,
        Units::System(system) => UnitsWanted::System(*system),
        Units::Each(units) => UnitsWanted::Units(units.clone()),
    };
    Ok(answer)
}

/// The rows that answer, and how many settings were read for them.
fn judged(question: &Question, plan: &Plan, book: &Book) -> Result<(Judged, usize), StoreError> {
    if let Some(asked) = plan.column
        && let Some(judged) = column::judged(question, asked, book)?
    {
        return Ok(judged);
    }
    let judge = Judge::new(question, book.tables());
    let work = |judged: &mut Judged, fastener| judge.take(judged, &fastener);
    let (parts, read) = book.share(Which::Access(&plan.access), work)?;
    Ok((Judge::joined(parts), read))
}

/// How many stored rows a test holds for: those of joints, and those of general
/// charts.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Counted {
    pub(super) joints: usize,
    pub(super) charts: usize,
}

/// Counts the stored rows for which `test` holds, and `except`, if there is
/// one, does not.
pub(super) fn count(
    test: &Test,
    except: Option<&Test>,
    access: &Access,
    book: &Book,
) -> Result<Counted, StoreError> {
    let wanted = |fastener: &Arc<Fastener>| {
        let rows = fastener.settings.iter().map(|s| stored_row(fastener, s, book.tables()));
        let is_wanted = |row: &crate::record::Row| {
            holds(test, row) == Truth::True
                && except.is_none_or(|except| holds(except, row) != Truth::True)
        };
        rows.filter(is_wanted).count()
    };
    let work = |counted: &mut Counted, fastener: Arc<Fastener>| {
        let rows = wanted(&fastener);
        let side = if fastener.is_chart() { &mut counted.charts } else { &mut counted.joints };
        *side += rows;
    };
    let (parts, _) = book.share(Which::Access(access), work)?;
    Ok(parts.into_iter().fold(Counted::default(), |all, part| Counted {
        joints: all.joints + part.joints,
        charts: all.charts + part.charts,
    }))
}

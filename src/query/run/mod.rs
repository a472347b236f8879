//! Running a planned question: records to rows to an answer.
//!
//! The order of evaluation, whatever the order written: filter on stored rows
//! with their own lube, then `with`, `target`, `keep`, `sort`, `first`; `show`
//! and `units` only draw; `tally` counts what is kept.

mod answer;
mod arrange;
mod column;
mod judge;
mod overview;
mod restated;
mod truth;
mod wrench;

pub use answer::{Answer, Column, Group, Tally, UnitsWanted};
pub use overview::Overview;
pub use wrench::{OnWrench, WrenchSetting};

pub(super) use truth::is_twin;

use crate::correction::stored_row;
use crate::query::plan::Plan;
use crate::query::resolve::{Question, Test, Units};
use crate::record::{Fastener, Wrench};
use crate::store::{Access, Book, StoreError, Which};
use judge::{Judge, Judged};
use std::io;
use std::sync::Arc;
use truth::{Truth, holds};

/// Answers `question` from `book` by `plan`. Of more rows than `holds`, about, only an
/// overview is made; `each_part` forms them again.
pub fn run(
    question: &Question,
    plan: &Plan,
    book: &Book,
    holds: usize,
) -> Result<Answer, StoreError> {
    let wrench = wrench(question, book)?;
    let judge = Judge::new(question, book.tables(), wrench, holds);
    let (judged, read) = judged(&judge, question, plan, book)?;
    let Judged { matched, charts, left_out, .. } = judged;
    let (unknown, unstated) = (judged.unknown.clone(), judged.unstated.clone());
    let mut answer = formed(question, judged, wrench);
    (answer.matched, answer.charts, answer.left_out) = (matched, charts, left_out);
    answer.unstated = unstated;
    // They come in the order in which rows are read, which differs from way to way.
    answer.unstated.sort_by_key(|field| field.name);
    if unknown.len() == left_out {
        answer.unknown = unknown;
    }
    answer.read = read;
    answer.readings.clone_from(&question.readings);
    answer.plan = format!("{}; about {} settings expected, {read} read", plan.words, plan.estimate);
    Ok(answer)
}

/// Calls `take` with the rows that answer `question`, part after part in the order of the
/// book, each as an answer of its own.
pub(super) fn each_part(
    question: &Question,
    plan: &Plan,
    book: &Book,
    take: &mut dyn FnMut(Answer) -> io::Result<()>,
) -> io::Result<()> {
    let wrench = wrench(question, book)?;
    let judge = Judge::new(question, book.tables(), wrench, usize::MAX);
    let work = |judged: &mut Judged, fastener| judge.take(judged, &fastener);
    book.share_in_turn(Which::Access(&plan.access), work, &mut |judged| {
        take(formed(question, judged, wrench))
    })
}

/// The wrench of an `on` clause.
fn wrench<'a>(question: &Question, book: &'a Book) -> Result<Option<&'a Wrench>, StoreError> {
    let asked = question.on.as_ref().filter(|_| question.tally.is_none());
    asked.map_or(Ok(None), |name| wrench::named(name, book))
}

/// What was judged, sorted and cut, with the columns asked for.
fn formed(question: &Question, judged: Judged, wrench: Option<&Wrench>) -> Answer {
    let Judged { rows, overview, groups, .. } = judged;
    let mut answer = Answer { rows, overview, ..Answer::default() };
    arrange::arrange(question, groups, &mut answer);
    answer.partly = match &answer.overview {
        Some(overview) => overview.partly,
        None => answer.rows.iter().filter(|row| judge::is_partly(question, row)).count(),
    };
    if let Some(filter) = &question.filter {
        answer.rows.iter_mut().for_each(|row| judge::say_which_end(filter, row));
    }
    if let Some(wrench) = wrench {
        let on = wrench::on(wrench, &answer.rows);
        answer.columns.push(arrange::on_wrench(&wrench.name, on.values()));
        answer.on = Some(on);
    }
    answer.units = match &question.units {
        Units::AsWritten => UnitsWanted::AsWritten,
        Units::System(system) => UnitsWanted::System(*system),
        Units::Each(units) => UnitsWanted::Units(units.clone()),
    };
    answer
}

/// The rows that answer, and how many settings were read for them.
fn judged(
    judge: &Judge<'_>,
    question: &Question,
    plan: &Plan,
    book: &Book,
) -> Result<(Judged, usize), StoreError> {
    if let Some(asked) = plan.column
        && let Some(judged) = column::judged(judge, question, asked, book)?
    {
        return Ok(judged);
    }
    let work = |judged: &mut Judged, fastener| judge.take(judged, &fastener);
    let (parts, read) = book.share(Which::Access(&plan.access), work)?;
    Ok((judge.joined(parts), read))
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

//! Running a planned question: records to rows to an answer.
//!
//! The order of evaluation, whatever the order written: filter on stored rows
//! with their own lube, then `with`, `target`, `keep`, `sort`, `first`; `show`
//! and `units` only draw; `tally` counts what is kept.

mod answer;
mod besides;
mod columns;
mod ends;
mod first;
mod judge;
mod near;
mod restated;
mod sweep;
mod truth;
mod wrench;

pub use answer::{Answer, Column, Group, Tally, UnitsWanted};
pub use wrench::{OnWrench, WrenchSetting};

use crate::query::plan::{Plan, Short};
use crate::query::resolve::{Question, Units};
use crate::store::{Book, StoreError, Which};
use judge::{Judge, Sides};

/// Answers `question` from `book` by `plan`.
pub fn run(question: &Question, plan: &Plan, book: &Book) -> Result<Answer, StoreError> {
    let bare = near::bare_names_of(question);
    let wider = besides::wider(question);
    let wants_keys = !bare.is_empty() || !wider.is_empty();
    let (mut sides, read) = judged(question, plan, book, wants_keys)?;
    let charts = leave_charts_aside(question, &mut sides);
    let judged = sides.into_one();
    let said = near::also_said(question, &bare, &judged, book)?;
    let besides = besides::remarks(question, wider, &judged, read, book)?;
    let mut answer = Answer {
        rows: judged.rows,
        left_out: judged.left_out + judged.keep_left_out,
        read,
        ..Answer::default()
    };
    if let Some(filter) = &question.filter {
        answer.rows.iter_mut().for_each(|row| ends::say(filter, row));
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
        answer.near = near::misses(question, judged.matched, book)?;
    }
    answer.plan =
        format!("{}; about {} settings expected, {} read", plan.words, plan.estimate, answer.read);
    Ok(answer)
}

/// The rows that answer, and how many settings were read for them.
fn judged(
    question: &Question,
    plan: &Plan,
    book: &Book,
    wants_keys: bool,
) -> Result<(Sides, usize), StoreError> {
    let short = match plan.short {
        Some(Short::Figure(asked)) => sweep::judged(question, asked, book)?,
        Some(Short::First(asked)) => first::judged(question, asked, book)?,
        None => None,
    };
    if let Some(judged) = short {
        return Ok(judged);
    }
    let judge = Judge::new(question, book.tables(), wants_keys);
    let work = |sides: &mut Sides, fastener| judge.take(sides, &fastener);
    let (parts, read) = book.share(Which::Access(&plan.access), work)?;
    Ok((Sides::joined(parts), read))
}

/// Rows of general charts are for no joint in particular: where a joint of the
/// book has an answer they are left aside, and the answer says how many and how
/// to see them. A question that asks for a basis sees all.
fn leave_charts_aside(question: &Question, sides: &mut Sides) -> Option<String> {
    if sides.joints.matched == 0 || question.asks_for("basis") {
        return None;
    }
    let aside = std::mem::take(&mut sides.charts).matched;
    let words = format!("{aside} rows of general charts left aside: add `basis chart` to see them");
    (aside > 0).then_some(words)
}

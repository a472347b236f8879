//! A question to the book, and its answer: what every command asks that takes one.

use std::collections::HashSet;
use std::sync::Arc;

use crate::cli::clock;
use crate::cli::exit::{Code, Failure};
use crate::cli::globals::Globals;
use crate::cli::out::Out;
use crate::cli::progress::Progress;
use crate::cli::{open, settings};
use crate::query::run::{Answer, UnitsWanted};
use crate::query::{self, Asked, syntax};
use crate::record::Fastener;
use crate::report;
use crate::store::{Access, Book};

/// Rows beyond these are formed when they are written, in place of being held.
pub(super) const HELD: usize = 2_000;

/// The answer to `words`, in the units of `--units` unless the question says.
pub(super) fn ask(globals: &Globals, words: &[String], book: &Book) -> Result<Answer, Failure> {
    Ok(ask_holding(usize::MAX, globals, &syntax::join_arguments(words), book)?.answer)
}

/// The same; of many more rows than these none is held.
pub(super) fn ask_holding<'a>(
    holds: usize,
    globals: &Globals,
    text: &str,
    book: &'a Book,
) -> Result<Asked<'a>, Failure> {
    let progress = Progress::spinner("searching", globals);
    let mut asked = query::ask(text, book, holds).map_err(|e| Failure::of_question(text, e))?;
    drop(progress);
    let answer = &mut asked.answer;
    if answer.units == UnitsWanted::AsWritten {
        answer.units = settings::units(globals, Some(book))?;
    }
    if let Some(on) = &answer.on
        && let Some(warning) = on.wrench.calibration(clock::today()).warning()
    {
        answer.remarks.push(format!("{}: {warning}", on.wrench.name));
    }
    Ok(asked)
}

/// The units for what needs no book: those of one that is there all the same.
pub(super) fn units(globals: &Globals) -> Result<UnitsWanted, Failure> {
    let book = if globals.demo { None } else { open::at_hand(globals) };
    settings::units(globals, book.as_ref())
}

/// Writes an answer without rows in the format asked for.
pub(super) fn draw(answer: &Answer, out: &mut Out) {
    out.page(&report::find_page(answer, None));
}

pub(super) fn code(answer: &Answer) -> Code {
    if answer.has_answer() { Code::Answered } else { Code::Nothing }
}

/// The fasteners that a question finds, or all of them without one.
pub(super) fn fasteners(
    globals: &Globals,
    question: &[String],
    book: &Book,
) -> Result<Vec<Arc<Fastener>>, Failure> {
    if question.is_empty() {
        return Ok(book.find(&Access::All)?.fasteners);
    }
    let rows = ask(globals, question, book)?.rows;
    let mut fasteners: Vec<Arc<Fastener>> = rows.into_iter().map(|row| row.fastener).collect();
    // Sorted rows of one fastener need not stand together.
    let mut seen = HashSet::new();
    fasteners.retain(|one| seen.insert(one.key.clone()));
    Ok(fasteners)
}

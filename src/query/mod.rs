//! A question, from text to answer.
//!
//! text → [`ear::hear`] (what people type, as the language writes it) →
//! [`syntax::parse`] → tree with places → [`resolve`](resolve::resolve)
//! (names, dimensions) → [`Question`](resolve::Question) →
//! [`plan`](plan::plan) (pure) → access and residual filter →
//! [`run`](run::run) → [`Answer`](run::Answer) → [`besides`](besides::add)
//! (what else the book has) → `report` draws it. What finds nothing is read once more
//! where its words do stand ([`besides::meant`]); what cannot be read is answered with
//! forms that can.

pub mod besides;
pub mod ear;
mod offers;
pub mod plan;
pub mod resolve;
pub mod run;
pub mod syntax;

use std::io;
use std::time::Instant;

use crate::record::field_words;
use crate::store::{Book, StoreError};
use crate::text::Diagnostic;

/// Why a question has no answer.
#[derive(Debug, thiserror::Error)]
pub enum QueryError {
    /// The question itself is wrong, at a place.
    #[error("{}", .0.message)]
    Wrong(Box<Diagnostic>),
    #[error(transparent)]
    Book(#[from] StoreError),
}

fn wrong(diagnostic: Diagnostic) -> QueryError {
    QueryError::Wrong(Box::new(diagnostic))
}

/// Answers `text` from `book`, every row held.
pub fn answer(text: &str, book: &Book) -> Result<run::Answer, QueryError> {
    Ok(ask(text, book, usize::MAX)?.answer)
}

/// A question with its answer.
#[derive(Debug)]
pub struct Asked<'a> {
    pub answer: run::Answer,
    question: resolve::Question,
    plan: plan::Plan,
    book: &'a Book,
}

impl Asked<'_> {
    /// Calls `take` with the rows, part after part, each as an answer of its own: all at
    /// once where they are held, else formed again from the book.
    ///
    /// # Errors
    /// What `take` returns, or the [`StoreError`] why the book cannot be read.
    pub fn each_part(
        &self,
        take: &mut dyn FnMut(&run::Answer) -> io::Result<()>,
    ) -> io::Result<()> {
        if self.answer.overview.is_none() {
            return take(&self.answer);
        }
        run::each_part(&self.question, &self.plan, self.book, &mut |mut part| {
            part.units = self.answer.units.clone();
            take(&part)
        })
    }
}

/// Answers `text` from `book`. Of many more rows than `holds` none is held, if their order
/// is that of the book: [`Asked::each_part`] forms them when they are written.
pub fn ask<'a>(text: &str, book: &'a Book, holds: usize) -> Result<Asked<'a>, QueryError> {
    asked(text, book, holds).map_err(|error| match error {
        QueryError::Wrong(found) => QueryError::Wrong(offers::check(found, text, book)),
        QueryError::Book(error) => QueryError::Book(error),
    })
}

fn asked<'a>(text: &str, book: &'a Book, holds: usize) -> Result<Asked<'a>, QueryError> {
    let began = Instant::now();
    let names =
        resolve::Names { vocabulary: book.vocabulary()?, tables: book.tables(), is_second: false };
    let heard = ear::hear(text, names.vocabulary).map_err(wrong)?;
    let wrong = |found: Diagnostic| wrong(heard.of_typed(found));
    let tree = syntax::parse(&heard.text, field_words()).map_err(|e| wrong(e.diagnostic()))?;
    let mut question = resolve::resolve(&tree, names).map_err(|e| wrong(e.diagnostic()))?;
    if heard.is_changed() {
        question.readings.insert(0, format!("read as {tree}"));
    }
    let mut question = besides::denied(question, book)?;
    let mut plan = plan::plan(&question, |access| book.estimate(access));
    let mut answer = run::run(&question, &plan, book, holds)?;
    if answer.matched + answer.charts == 0
        && let Some(meant) = meant(&question, &tree, names, book)?
    {
        question = meant;
        plan = plan::plan(&question, |access| book.estimate(access));
        answer = run::run(&question, &plan, book, holds)?;
    }
    besides::add(&question, &mut answer, book)?;
    answer.took = began.elapsed();
    Ok(Asked { answer, question, plan, book })
}

/// A question that finds nothing, read as something that does.
fn meant(
    question: &resolve::Question,
    tree: &syntax::Question,
    names: resolve::Names<'_>,
    book: &Book,
) -> Result<Option<resolve::Question>, StoreError> {
    let second = resolve::resolve(tree, resolve::Names { is_second: true, ..names });
    let second = second.ok().filter(|second| second.filter != question.filter);
    let Some(second) = second.filter(|_| question.filter.is_some()) else {
        return besides::meant(question, book);
    };
    let (second, finds) = besides::second(second, book)?;
    if finds {
        return Ok(Some(second));
    }
    let meant = besides::meant(question, book)?;
    if meant.is_some() { Ok(meant) } else { besides::meant(&second, book) }
}

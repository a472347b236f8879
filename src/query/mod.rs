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
    /// The book cannot be read.
    #[error(transparent)]
    Book(#[from] StoreError),
}

fn wrong(diagnostic: Diagnostic) -> QueryError {
    QueryError::Wrong(Box::new(diagnostic))
}

/// Answers `text` from `book`.
pub fn answer(text: &str, book: &Book) -> Result<run::Answer, QueryError> {
    asked(text, book).map_err(|error| match error {
        QueryError::Wrong(found) => QueryError::Wrong(offers::check(found, text, book)),
        other => other,
    })
}

fn asked(text: &str, book: &Book) -> Result<run::Answer, QueryError> {
    let began = Instant::now();
    let names = resolve::Names { vocabulary: book.vocabulary()?, tables: book.tables() };
    let heard = ear::hear(text, names.vocabulary).map_err(wrong)?;
    let wrong = |found: Diagnostic| wrong(heard.of_typed(found));
    let tree = syntax::parse(&heard.text, field_words()).map_err(|e| wrong(e.diagnostic()))?;
    let mut question = resolve::resolve(&tree, names).map_err(|e| wrong(e.diagnostic()))?;
    if heard.is_changed() {
        question.readings.insert(0, format!("read as {tree}"));
    }
    let mut answer = found(&question, book)?;
    if answer.matched + answer.charts == 0
        && let Some(meant) = besides::meant(&question, book)?
    {
        question = meant;
        answer = found(&question, book)?;
    }
    besides::add(&question, &mut answer, book)?;
    answer.took = began.elapsed();
    Ok(answer)
}

fn found(question: &resolve::Question, book: &Book) -> Result<run::Answer, StoreError> {
    let plan = plan::plan(question, |access| book.estimate(access));
    run::run(question, &plan, book)
}

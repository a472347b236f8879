//! A question, from text to answer.
//!
//! text → [`syntax::parse`] → tree with places → [`resolve`](resolve::resolve)
//! (names, dimensions) → [`Question`](resolve::Question) →
//! [`plan`](plan::plan) (pure) → access and residual filter →
//! [`run`](run::run) → [`Answer`](run::Answer) → [`besides`](besides::add)
//! (what else the book has) → `report` draws it.

pub mod besides;
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
    let began = Instant::now();
    let tree = syntax::parse(text, field_words()).map_err(|e| wrong(e.diagnostic()))?;
    let names = resolve::Names { vocabulary: book.vocabulary()?, tables: book.tables() };
    let question = resolve::resolve(&tree, names).map_err(|e| wrong(e.diagnostic()))?;
    let plan = plan::plan(&question, |access| book.estimate(access));
    let mut answer = run::run(&question, &plan, book)?;
    besides::add(&question, &mut answer, book)?;
    answer.took = began.elapsed();
    Ok(answer)
}

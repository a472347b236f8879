//! Names to fields, lubes, strengths and threads; dimensions checked.
//!
//! In: the tree of a question and the names of the book. Out: a [`Question`]
//! in which nothing is left to look up, or a [`ResolveError`] with its place.

mod alternatives;
mod clause;
mod compare;
mod date;
mod equal;
mod error;
mod expr;
mod filter;
mod item;
mod material;
mod message;
mod names;
mod normal;
mod question;
mod value;

pub use clause::parse_target;
pub(crate) use date::is_date;
pub use error::ResolveError;
pub use expr::{Expr, Operand, Powers, coherent};
pub(crate) use names::{LISTS, field_of, is_sized};
pub(crate) use question::names_a_key;
pub use question::{ColumnAsked, ColumnOf, Compare, Name, Question, Tallied, Test, Units, stem};

use std::collections::HashSet;

use crate::query::syntax::{self as tree, ClauseKind};
use crate::record::{Tables, Vocabulary};

/// The names that a question is resolved against.
#[derive(Debug, Clone, Copy)]
pub struct Names<'a> {
    /// Assemblies, joints, parts, lubes, strengths.
    pub vocabulary: &'a Vocabulary,
    /// Lubes and strengths with all their spellings.
    pub tables: &'a Tables,
    /// The second reading, of what finds nothing by the first: names that `and` joins are
    /// alternatives, `the press and the mill`, and a name is no value of the field of words
    /// before it, `hardened washers press`.
    pub is_second: bool,
}

/// Resolves `tree` with the names of a book.
pub fn resolve(typed: &tree::Question, names: Names<'_>) -> Result<Question, ResolveError> {
    let mut question = Question::default();
    let tree = &normal::question(typed, names);
    let mut continuing = HashSet::new();
    if let Some(filter) = &tree.filter {
        continuing = filter::continuing(filter, names);
        question.shown_alone = filter::alone(filter, &continuing);
        question.confused = filter::confused_threads(filter);
        question.filter = Some(filter::filter(filter, names)?);
    }
    question.clauses = tree.clauses.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ");
    for clause in &tree.clauses {
        if let ClauseKind::Keep(filter) = &clause.what {
            continuing.extend(filter::continuing(filter, names));
        }
        clause::apply(&mut question, clause, names)?;
    }
    let mut twice = Vec::new();
    question.filter.iter().for_each(|test| filter::read_twice(test, &mut twice));
    let parts = tree.filter.iter().map(|filter| filter.parts.len()).sum();
    twice.extend(question.filter.as_ref().and_then(|test| alternatives::joined(test, parts)));
    question.readings = tree.readings(&|item| continuing.contains(&item.place.0));
    question.readings.append(&mut twice);
    clause::sort_by_count(&mut question, tree);
    clause::check(&question, tree)?;
    Ok(question)
}

//! The tree of a question: what was typed, with places, before any name is
//! looked up.
//!
//! Two trees are equal if they ask the same in the same words, wherever those
//! words stand: places are left out of the comparison (see [`Place`]).

mod clause;
mod filter;
mod leaf;
mod sum;

pub use clause::{Clause, ClauseKind, Phrase, SortColumn, Target, Units};
pub use filter::{All, Bare, Compared, Filter, Item, Join, Part, Test, What};
pub use leaf::{Leaf, Name, Read};
pub use sum::{Atom, Product, Sum};

use crate::text::Span;

/// Where a part of the tree was typed. All places are equal, so that `==` on
/// trees compares what was asked and not the blanks around it.
#[derive(Debug, Clone, Copy, Default)]
pub struct Place(pub Span);

impl PartialEq for Place {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Eq for Place {}

impl Place {
    /// The place from the start of this one to the end of `other`.
    pub fn to(self, other: Self) -> Self {
        Self(self.0.to(other.0))
    }
}

/// A question as it was written, nothing looked up yet.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Which rows; all of them if there is none.
    pub filter: Option<Filter>,
    /// What is done with the rows, as written; no clause stands twice.
    pub clauses: Vec<Clause>,
}

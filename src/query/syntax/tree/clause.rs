//! What is done with the rows.

use super::{Filter, Leaf, Place, Sum};
use crate::quantity::Unit;
use crate::query::syntax::words::{Family, Keyword, Share};

/// One clause and where its keyword stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Clause {
    pub what: ClauseKind,
    pub keyword: Place,
    /// From its keyword to its last character.
    pub place: Place,
}

/// What a clause says.
#[derive(Debug, Clone, PartialEq)]
pub enum ClauseKind {
    With(Vec<Phrase>),
    Target(Target),
    Keep(Filter),
    Show(Vec<Sum>),
    Sort(Vec<SortColumn>),
    /// `first` so many rows, at least one.
    First(u32),
    /// `tally` by these columns; without one all rows are one group.
    Tally {
        /// What the rows of a group share.
        by: Vec<Sum>,
        total: Option<Sum>,
    },
    Units(Units),
    On(Phrase),
}

impl Clause {
    /// The keyword that opens this clause.
    pub fn word(&self) -> Keyword {
        match self.what {
            ClauseKind::With(_) => Keyword::With,
            ClauseKind::Target(_) => Keyword::Target,
            ClauseKind::Keep(_) => Keyword::Keep,
            ClauseKind::Show(_) => Keyword::Show,
            ClauseKind::Sort(_) => Keyword::Sort,
            ClauseKind::First(_) => Keyword::First,
            ClauseKind::Tally { .. } => Keyword::Tally,
            ClauseKind::Units(_) => Keyword::Units,
            ClauseKind::On(_) => Keyword::On,
        }
    }
}

/// A name of one or more words, of a lube or a wrench.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Phrase {
    /// The words with one blank between them, or the text in the quotes.
    pub text: String,
    /// Whether it stood in quotes.
    pub quoted: bool,
    /// From its first to its last character.
    pub place: Place,
}

/// What `target` asks for.
#[derive(Debug, Clone, PartialEq)]
pub struct Target {
    /// A percentage, a force, or quoted text to be read as one of them (the
    /// text may hold the word of `share` too).
    pub amount: Leaf,
    /// Always there after a percentage, never after a force.
    pub share: Option<Share>,
}

/// One key of the order, the first counts most.
#[derive(Debug, Clone, PartialEq)]
pub struct SortColumn {
    pub sum: Sum,
    /// Largest first.
    pub down: bool,
}

/// What `units` asks for.
#[derive(Debug, Clone, PartialEq)]
pub enum Units {
    Family(Family),
    /// These units, each with its place.
    Each(Vec<(&'static Unit, Place)>),
}

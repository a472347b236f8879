//! What may be changed in a book.

use crate::record::{Fastener, Kept, KeptKind, Pull};

/// One change; [`crate::store::Writer::apply`] takes several as one.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Enters a fastener, or replaces the one of the same key in its place.
    Put(Box<Fastener>),
    /// Removes the fastener of this key.
    Remove(String),
    /// Enters a record that has a name, or replaces the one of the same (folded).
    PutRecord(Kept),
    /// Removes the record of that kind and name.
    RemoveRecord(KeptKind, String),
    /// Adds lines at the end of the log; each is given its number. Nothing
    /// changes or removes a line: a correction is a line that points at it.
    AppendPulls(Vec<Pull>),
    /// Puts a note on a shelf, or replaces the one of the same key.
    PutNote {
        /// Which shelf, such as "log".
        shelf: String,
        /// Its key there.
        key: String,
        text: String,
    },
    /// Takes a note off a shelf.
    RemoveNote {
        shelf: String,
        /// Its key there.
        key: String,
    },
}

impl Change {
    /// Whether it changes more than the ledger.
    pub(crate) fn is_of_the_book(&self) -> bool {
        let is_of_the_book = |kind| matches!(kind, KeptKind::Lube | KeptKind::Strength);
        match self {
            Self::Put(_) | Self::Remove(_) => true,
            Self::PutRecord(record) => is_of_the_book(record.kind()),
            Self::RemoveRecord(kind, _) => is_of_the_book(*kind),
            Self::AppendPulls(_) | Self::PutNote { .. } | Self::RemoveNote { .. } => false,
        }
    }
}

impl From<Kept> for Change {
    fn from(record: Kept) -> Self {
        Self::PutRecord(record)
    }
}

impl From<Fastener> for Change {
    fn from(fastener: Fastener) -> Self {
        Self::Put(Box::new(fastener))
    }
}

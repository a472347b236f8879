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
    /// Puts a note on a topic in place of the one of the same key, or without a text
    /// takes that away.
    Note {
        /// Which topic, such as "log".
        topic: String,
        /// Its key there.
        key: String,
        text: Option<String>,
    },
}

impl Change {
    /// A note, see [`Change::Note`].
    pub fn note(topic: &str, key: &str, text: Option<&str>) -> Self {
        let (topic, key) = (topic.to_owned(), key.to_owned());
        Self::Note { topic, key, text: text.map(str::to_owned) }
    }

    /// Whether it changes more than the ledger.
    pub(crate) fn is_of_the_book(&self) -> bool {
        let is_of_the_book = |kind| matches!(kind, KeptKind::Lube | KeptKind::Strength);
        match self {
            Self::Put(_) | Self::Remove(_) => true,
            Self::PutRecord(record) => is_of_the_book(record.kind()),
            Self::RemoveRecord(kind, _) => is_of_the_book(*kind),
            Self::AppendPulls(_) | Self::Note { .. } => false,
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

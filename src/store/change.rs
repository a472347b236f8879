//! What may be changed in a book.

use crate::record::{BoltSet, Fastener, Kept, KeptKind, Layout, Lube, Pull, StrengthClass, Wrench};

/// One change; [`crate::store::Writer::apply`] takes several as one.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Enters a fastener, or replaces the one of the same key in its place.
    Put(Box<Fastener>),
    /// Removes the fastener of this key.
    Remove(String),
    /// Enters a lube, or replaces the one of the same name (folded).
    PutLube(Lube),
    /// Removes the lube of this name.
    RemoveLube(String),
    /// Enters a strength, or replaces the one of the same name (folded).
    PutStrength(StrengthClass),
    /// Removes the strength of this name.
    RemoveStrength(String),
    /// Enters a wrench, or replaces the one of the same name (folded).
    PutWrench(Wrench),
    /// Removes the wrench of this name.
    RemoveWrench(String),
    /// Enters a layout, or replaces the one of the same name (folded).
    PutLayout(Layout),
    /// Removes the layout of this name.
    RemoveLayout(String),
    /// Enters a bolt set, or replaces the one of the same name (folded).
    PutBoltSet(BoltSet),
    /// Removes the bolt set of this name.
    RemoveBoltSet(String),
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

    /// Removes the record of that kind and name.
    pub fn removal(kind: KeptKind, name: String) -> Self {
        match kind {
            KeptKind::Wrench => Self::RemoveWrench(name),
            KeptKind::Layout => Self::RemoveLayout(name),
            KeptKind::BoltSet => Self::RemoveBoltSet(name),
            KeptKind::Lube => Self::RemoveLube(name),
            KeptKind::Strength => Self::RemoveStrength(name),
        }
    }

    /// Whether it changes more than the ledger.
    pub(crate) fn is_of_the_book(&self) -> bool {
        match self {
            Self::Put(_)
            | Self::Remove(_)
            | Self::PutLube(_)
            | Self::RemoveLube(_)
            | Self::PutStrength(_)
            | Self::RemoveStrength(_) => true,
            Self::PutWrench(_)
            | Self::RemoveWrench(_)
            | Self::PutLayout(_)
            | Self::RemoveLayout(_)
            | Self::PutBoltSet(_)
            | Self::RemoveBoltSet(_)
            | Self::AppendPulls(_)
            | Self::Note { .. } => false,
        }
    }
}

impl From<Kept> for Change {
    fn from(record: Kept) -> Self {
        match record {
            Kept::Wrench(wrench) => Self::PutWrench(wrench),
            Kept::Layout(layout) => Self::PutLayout(layout),
            Kept::BoltSet(set) => Self::PutBoltSet(set),
            Kept::Lube(lube) => Self::PutLube(lube),
            Kept::Strength(class) => Self::PutStrength(class),
        }
    }
}

impl From<Fastener> for Change {
    fn from(fastener: Fastener) -> Self {
        Self::Put(Box::new(fastener))
    }
}

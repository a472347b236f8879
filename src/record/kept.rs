//! Records that are kept by name: wrenches, layouts, bolt sets, lubes, strengths.

use std::any::Any;

use crate::record::{
    BOLT_SETS, BoltSet, FieldChange, LAYOUTS, LUBES, Layout, Lube, LubeClass, RecordTable,
    STRENGTHS, StrengthClass, WRENCHES, Wrench, changes_of,
};

/// A kind of record that is kept by name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum KeptKind {
    Wrench,
    Layout,
    BoltSet,
    Lube,
    Strength,
}

/// A record that stands in the book by its name, apart from fasteners.
#[derive(Debug, Clone, PartialEq)]
pub enum Kept {
    Wrench(Wrench),
    Layout(Layout),
    BoltSet(BoltSet),
    Lube(Lube),
    Strength(StrengthClass),
}

impl KeptKind {
    /// Every kind, with the words that come before a name.
    pub const WORDS: [(&'static str, Self); 6] = [
        ("wrench", Self::Wrench),
        ("layout", Self::Layout),
        ("bolt set", Self::BoltSet),
        ("set", Self::BoltSet),
        ("lube", Self::Lube),
        ("strength", Self::Strength),
    ];

    /// The kind and the name that words such as `wrench W2` mean.
    pub fn of_words(words: &str) -> Option<(Self, &str)> {
        Self::WORDS.into_iter().find_map(|(word, kind)| {
            let (start, rest) = words.split_at_checked(word.len())?;
            let is_it = start.eq_ignore_ascii_case(word) && rest.starts_with([' ', '\t']);
            (is_it || start.len() == words.len() && start.eq_ignore_ascii_case(word))
                .then(|| (kind, rest.trim()))
        })
    }

    /// The table of fields that such records have.
    pub fn table(self) -> &'static RecordTable {
        match self {
            Self::Wrench => &WRENCHES,
            Self::Layout => &LAYOUTS,
            Self::BoltSet => &BOLT_SETS,
            Self::Lube => &LUBES,
            Self::Strength => &STRENGTHS,
        }
    }

    /// A record of which only the name is known.
    pub fn named(self, name: &str) -> Kept {
        let name = name.to_owned();
        match self {
            Self::Wrench => Kept::Wrench(Wrench::named(name)),
            Self::Layout => Kept::Layout(Layout { name, ..Layout::default() }),
            Self::BoltSet => Kept::BoltSet(BoltSet { name, ..BoltSet::default() }),
            Self::Lube => Kept::Lube(Lube::named(name, LubeClass::Wet)),
            Self::Strength => Kept::Strength(StrengthClass::line(name)),
        }
    }
}

impl Kept {
    /// What kind of record it is.
    pub fn kind(&self) -> KeptKind {
        match self {
            Self::Wrench(_) => KeptKind::Wrench,
            Self::Layout(_) => KeptKind::Layout,
            Self::BoltSet(_) => KeptKind::BoltSet,
            Self::Lube(_) => KeptKind::Lube,
            Self::Strength(_) => KeptKind::Strength,
        }
    }

    /// The name under which the book has it.
    pub fn name(&self) -> &str {
        match self {
            Self::Wrench(wrench) => &wrench.name,
            Self::Layout(layout) => &layout.name,
            Self::BoltSet(set) => &set.name,
            Self::Lube(lube) => &lube.name,
            Self::Strength(class) => &class.name,
        }
    }

    /// What it is called before its changes: `wrench W2`.
    pub fn title(&self) -> String {
        format!("{} {}", self.kind().table().what, self.name())
    }

    /// It as its table sees it.
    fn record(&self) -> &dyn Any {
        match self {
            Self::Wrench(wrench) => wrench,
            Self::Layout(layout) => layout,
            Self::BoltSet(set) => set,
            Self::Lube(lube) => lube,
            Self::Strength(class) => class,
        }
    }

    /// The same, to be changed.
    pub fn record_mut(&mut self) -> &mut dyn Any {
        match self {
            Self::Wrench(wrench) => wrench,
            Self::Layout(layout) => layout,
            Self::BoltSet(set) => set,
            Self::Lube(lube) => lube,
            Self::Strength(class) => class,
        }
    }

    /// The fields in which it differs from what it was; all that are stated if it
    /// is new.
    pub fn changes_from(&self, old: Option<&Self>) -> Vec<FieldChange> {
        let title = self.title();
        if let Self::Strength(class) = self {
            let old = old.and_then(|old| match old {
                Self::Strength(class) => Some(class),
                _ => None,
            });
            return class.changes_from(&title, old);
        }
        let fields = self.kind().table().fields;
        changes_of(&title, fields, old.map(Self::record), Some(self.record()))
    }
}

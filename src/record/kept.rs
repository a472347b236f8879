//! Records that are kept by name: wrenches, layouts, bolt sets, lubes, strengths.

use std::any::Any;

use crate::record::{
    BOLT_SETS, BoltSet, FieldChange, LAYOUTS, LUBES, Layout, Lube, LubeClass, RecordTable,
    STRENGTHS, StrengthClass, Tables, WRENCHES, Wrench, changes_of,
};
use crate::text::fold_name;

/// The kinds of such records from one list: variant, record, table, and how one is made
/// of which only the name is known.
macro_rules! kept {
    ($($kind:ident, $record:ty, $table:ident, $named:expr;)*) => {
        /// A kind of record that is kept by name.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum KeptKind { $($kind),* }

        /// A record that stands in the book by its name, apart from fasteners.
        #[derive(Debug, Clone, PartialEq)]
        pub enum Kept { $($kind($record)),* }

        impl KeptKind {
            pub const ALL: &'static [Self] = &[$(Self::$kind),*];

            /// The table of fields that such records have.
            pub fn table(self) -> &'static RecordTable {
                match self { $(Self::$kind => &$table),* }
            }

            /// A record of which only the name is known.
            pub fn named(self, name: &str) -> Kept {
                match self { $(Self::$kind => {
                    let named: fn(String) -> $record = $named;
                    Kept::$kind(named(name.to_owned()))
                }),* }
            }
        }

        impl Kept {
            /// What kind of record it is.
            pub fn kind(&self) -> KeptKind {
                match self { $(Self::$kind(_) => KeptKind::$kind),* }
            }

            /// The name under which the book has it.
            pub fn name(&self) -> &str {
                match self { $(Self::$kind(record) => &record.name),* }
            }

            fn record(&self) -> &dyn Any {
                match self { $(Self::$kind(record) => record),* }
            }

            /// It as its table sees it, to be changed.
            pub fn record_mut(&mut self) -> &mut dyn Any {
                match self { $(Self::$kind(record) => record),* }
            }
        }

        $(impl Named for $record {
            const KIND: KeptKind = KeptKind::$kind;

            fn name(&self) -> &str {
                &self.name
            }
        })*
    };
}

/// A record that is found by its name, whatever its case and blanks.
pub trait Named {
    const KIND: KeptKind;
    fn name(&self) -> &str;
}

/// Where the record of that name stands.
pub fn place_of_name<T: Named>(records: &[T], name: &str) -> Option<usize> {
    let folded = fold_name(name);
    records.iter().position(|known| fold_name(known.name()) == folded)
}

/// The record of that name.
pub fn find_by_name<'a, T: Named>(records: &'a [T], name: &str) -> Option<&'a T> {
    place_of_name(records, name).map(|at| &records[at])
}

/// Enters a record, or replaces the one of its name.
pub fn put_by_name<T: Named>(records: &mut Vec<T>, new: T) {
    match place_of_name(records, new.name()) {
        Some(at) => records[at] = new,
        None => records.push(new),
    }
}

kept! {
    Wrench, Wrench, WRENCHES, Wrench::named;
    Layout, Layout, LAYOUTS, |name| Layout { name, ..Layout::default() };
    BoltSet, BoltSet, BOLT_SETS, |name| BoltSet { name, ..BoltSet::default() };
    Lube, Lube, LUBES, |name| Lube::named(name, LubeClass::Wet);
    Strength, StrengthClass, STRENGTHS, StrengthClass::line;
}

impl KeptKind {
    /// What a person types before its name: `wrench`, `set`.
    pub fn word(self) -> &'static str {
        let what = self.table().what;
        what.rsplit(' ').next().unwrap_or(what)
    }

    /// The kind and the name that words such as `wrench W2` mean.
    pub fn of_words(words: &str) -> Option<(Self, &str)> {
        let ways = |kind: &Self| [kind.table().what, kind.word()].map(|word| (word, *kind));
        Self::ALL.iter().flat_map(ways).find_map(|(word, kind)| {
            let (start, rest) = words.split_at_checked(word.len())?;
            let is_it = start.eq_ignore_ascii_case(word) && rest.starts_with([' ', '\t']);
            (is_it || start.len() == words.len() && start.eq_ignore_ascii_case(word))
                .then(|| (kind, rest.trim()))
        })
    }
}

impl Tables {
    /// Enters a lube or strength, in place of the one of its name.
    pub fn put(&mut self, record: Kept) {
        match record {
            Kept::Lube(lube) => put_by_name(&mut self.lubes, lube),
            Kept::Strength(class) => put_by_name(&mut self.strengths, class),
            _ => {}
        }
    }

    /// Its lubes and then its strengths.
    pub fn records(&self) -> impl Iterator<Item = Kept> + '_ {
        let strengths = self.strengths.iter().cloned().map(Kept::Strength);
        self.lubes.iter().cloned().map(Kept::Lube).chain(strengths)
    }
}

impl Kept {
    /// What it is called before its changes: `wrench W2`.
    pub fn title(&self) -> String {
        format!("{} {}", self.kind().table().what, self.name())
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

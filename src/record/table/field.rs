//! One row of a table.

use std::any::Any;

use super::lens::{Lens, Placed};
use super::{FieldError, Value};
use crate::quantity::Dimension;
use crate::record::{Fastener, Row, Setting};

/// What a field holds, which decides what it may be compared with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FieldKind {
    /// Words; matched by whole words.
    Text,
    /// A word of a closed list; the list of words.
    Choice(&'static [&'static str]),
    Number,
    Quantity(Dimension),
    Share,
    Thread,
    Lube,
    Strength,
    Flag,
    Day,
    List,
}

/// Which record a stored field belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Owner {
    Joint,
    Fastener,
    Setting,
    /// A record with a table of its own: a lube, a strength, a wrench, …
    Alone,
}

/// What a further key of a field holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KeyPart {
    /// It as it is followed, in words.
    InWords,
    /// The high end of a range or a maximum, in the SI unit; none for one value.
    High,
    /// Its steps one by one, in the SI unit.
    Steps,
}

/// One row of a table.
pub struct Field {
    /// What a person types.
    pub name: &'static str,
    /// Other words for it in a question or before `=`.
    pub aliases: &'static [&'static str],
    /// Further headers that mean it in an imported file, lower case.
    pub headers: &'static [&'static str],
    pub kind: FieldKind,
    pub owner: Owner,
    /// Key in JSON, with the SI unit as suffix where there is one.
    pub json: &'static str,
    pub more_json: &'static [(&'static str, KeyPart)],
    /// Whether its keys are in every row of an answer, null where nothing is
    /// stated; those of another kept field are there where it is stated.
    pub is_promised: bool,
    pub help: &'static str,
    /// The member; none of a derived field.
    lens: Option<&'static dyn Lens>,
    /// What a question is answered, where that is not the member's own value.
    answer: Option<for<'a> fn(&'a Row) -> Value<'a>>,
}

impl std::fmt::Debug for Field {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name)
    }
}

impl PartialEq for &'static Field {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(*self, *other)
    }
}

/// Names of a field: its own, other words for it, further headings.
pub(crate) type FieldNames = (&'static str, &'static [&'static str], &'static [&'static str]);

impl Field {
    pub(crate) const fn kept_at<L: Placed>(
        (name, aliases, headers): FieldNames,
        lens: &'static L,
        json: &'static str,
        help: &'static str,
    ) -> Self {
        let field = Self::bare((name, aliases), L::KIND, json, help);
        Self { headers, owner: L::OWNER, lens: Some(lens), ..field }
    }

    pub(crate) const fn computed(
        names: (&'static str, &'static [&'static str]),
        kind: FieldKind,
        json: &'static str,
        help: &'static str,
        answer: for<'a> fn(&'a Row) -> Value<'a>,
    ) -> Self {
        Self { answer: Some(answer), ..Self::bare(names, kind, json, help) }
    }

    const fn bare(
        (name, aliases): (&'static str, &'static [&'static str]),
        kind: FieldKind,
        json: &'static str,
        help: &'static str,
    ) -> Self {
        Self {
            name,
            aliases,
            headers: &[],
            kind,
            owner: Owner::Setting,
            json,
            more_json: &[],
            is_promised: false,
            help,
            lens: None,
            answer: None,
        }
    }

    /// The same, of a kind that the type of the member does not tell.
    pub(crate) const fn of_kind(mut self, kind: FieldKind) -> Self {
        self.kind = kind;
        self
    }

    pub(crate) const fn promised(mut self) -> Self {
        self.is_promised = true;
        self
    }

    pub(crate) const fn and_keys(mut self, more: &'static [(&'static str, KeyPart)]) -> Self {
        self.more_json = more;
        self
    }

    pub(crate) const fn answering(mut self, answer: for<'a> fn(&'a Row) -> Value<'a>) -> Self {
        self.answer = Some(answer);
        self
    }

    /// The heading of its column: "hole-thread" is "Hole thread".
    pub fn heading(&self) -> String {
        let words = self.name.replace('-', " ");
        let mut letters = words.chars();
        letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or(words)
    }

    /// Whether it is kept in the book and has a column in import and export; else it
    /// follows from others.
    pub fn is_stored(&self) -> bool {
        self.lens.is_some()
    }

    /// Whether `name`, folded, is one of its names.
    pub fn is_named(&self, name: &str) -> bool {
        self.name == name || self.aliases.contains(&name)
    }

    /// What it answers for a row of a question.
    pub fn get<'a>(&self, row: &'a Row) -> Value<'a> {
        match self.answer {
            Some(answer) => answer(row),
            None => self.stored(&row.fastener, Some(&row.setting)),
        }
    }

    /// What is kept of a fastener and one of its settings; nothing of a setting
    /// that is not there.
    pub fn stored<'a>(&self, fastener: &'a Fastener, setting: Option<&'a Setting>) -> Value<'a> {
        match (self.owner, setting) {
            (Owner::Joint, _) => self.value(&fastener.joint),
            (Owner::Fastener, _) => self.value(fastener),
            (Owner::Setting | Owner::Alone, Some(setting)) => self.value(setting),
            (Owner::Setting | Owner::Alone, None) => Value::NotStated,
        }
    }

    /// What `record`, which must be its owner, keeps of it.
    pub fn value<'a>(&self, record: &'a dyn Any) -> Value<'a> {
        self.lens.map_or(Value::NotStated, |lens| lens.get(record))
    }

    /// Its texts one by one, if it is a list of them.
    pub fn texts<'a>(&self, record: &'a dyn Any) -> Option<&'a [String]> {
        self.lens.and_then(|lens| lens.texts(record))
    }

    /// What `text` in clean notation means; nothing is "not stated". The error
    /// says what was expected.
    pub fn read(&self, text: &str) -> Result<Value<'static>, String> {
        self.lens().read(text)
    }

    /// Puts a value into `record`, which must be its owner.
    pub fn put(&self, record: &mut dyn Any, value: Value<'_>) -> Result<(), String> {
        self.lens().put(record, value)
    }

    /// Puts what `text` in clean notation means into `record`.
    pub fn set(&self, record: &mut dyn Any, text: &str) -> Result<(), FieldError> {
        let set = self.read(text).and_then(|value| self.put(record, value));
        set.map_err(|why| FieldError::Value { field: self.name, why })
    }

    pub(crate) fn copy(&self, from: &dyn Any, into: &mut dyn Any) {
        self.lens().copy(from, into);
    }

    pub(crate) fn is_same(&self, one: &dyn Any, other: &dyn Any) -> bool {
        self.lens().is_same(one, other)
    }

    /// Adds what `from` says to what `into` says. False, and nothing done, where
    /// only one of the two can hold.
    pub(crate) fn join(&self, from: &dyn Any, into: &mut dyn Any) -> bool {
        self.lens().join(from, into)
    }

    /// The record of `fastener` and `setting` that it belongs to.
    pub(crate) fn owner_of<'a>(&self, fastener: &'a Fastener, setting: &'a Setting) -> &'a dyn Any {
        match self.owner {
            Owner::Joint => &fastener.joint,
            Owner::Fastener => fastener,
            Owner::Setting | Owner::Alone => setting,
        }
    }

    pub(crate) fn owner_of_mut<'a>(
        &self,
        fastener: &'a mut Fastener,
        setting: &'a mut Setting,
    ) -> &'a mut dyn Any {
        match self.owner {
            Owner::Joint => &mut fastener.joint,
            Owner::Fastener => fastener,
            Owner::Setting | Owner::Alone => setting,
        }
    }

    fn lens(&self) -> &'static dyn Lens {
        self.lens.expect("only fields that are kept are read, put and compared")
    }
}

/// A row: names, lens, JSON key, help.
macro_rules! field {
    ($name:literal $(| $alias:literal)* $(, [$($header:literal),* $(,)?])? => $lens:expr, $json:literal, $help:literal) => {
        $crate::record::table::Field::kept_at(
            ($name, &[$($alias),*], &[$($($header),*)?]),
            const { &$lens },
            $json,
            $help,
        )
    };
}

/// A row that is computed: names, kind, JSON key, help, answer.
macro_rules! derived {
    ($name:literal $(| $alias:literal)* => $kind:expr, $json:literal, $help:literal, $answer:expr) => {
        $crate::record::table::Field::computed(($name, &[$($alias),*]), $kind, $json, $help, $answer)
    };
}

pub(crate) use {derived, field};

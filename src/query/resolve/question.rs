//! A question whose every name is known: what plan and run work on.

use crate::mechanics::Target;
use crate::quantity::{System, Unit};
use crate::query::resolve::{Expr, field_of};
use crate::query::syntax::Relation;
use crate::record::{Field, Material, NameOf, find_field};
use crate::thread::{Pattern, Thread};

/// A question whose fields, lubes, strengths and units are all known.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Question {
    /// Which rows; all if none.
    pub filter: Option<Test>,
    /// Lubes to restate for, by their names in the book.
    pub with: Vec<String>,
    /// The clamp to reach in place of the listed torque.
    pub target: Option<Target>,
    /// Test of the rows after `with` and `target`.
    pub keep: Option<Test>,
    /// Columns to draw; the usual ones if none.
    pub show: Vec<ColumnAsked>,
    /// Columns to sort by, and whether largest first.
    pub sort: Vec<(ColumnAsked, bool)>,
    pub first: Option<usize>,
    pub tally: Option<Tallied>,
    /// The wrench to give settings for, by its name in the book.
    pub on: Option<String>,
    pub units: Units,
    /// What is done with the rows, as it is written.
    pub clauses: String,
    /// How doubtful parts were read.
    pub readings: Vec<String>,
    /// Threads whose look-alikes are asked for.
    pub confused: Vec<Thread>,
    /// Fields that stood alone: stated, and to be shown.
    pub shown_alone: Vec<&'static Field>,
}

impl Question {
    /// Whether the filter, or a column to count or sort by, is about the field
    /// of that name.
    pub fn asks_for(&self, name: &str) -> bool {
        let column =
            |column: &ColumnAsked| matches!(column.what, ColumnOf::Field(f) if f.name == name);
        self.filter.as_ref().is_some_and(|test| test.is_about(name))
            || self.tally.iter().flat_map(|tally| tally.by.iter().chain(&tally.total)).any(column)
            || self.sort.iter().any(|(by, _)| column(by))
    }
}

/// What a `tally` counts.
#[derive(Debug, Clone, PartialEq)]
pub struct Tallied {
    /// What the rows of a group share; nothing makes one group of all.
    pub by: Vec<ColumnAsked>,
    /// What is added up in each group; what belongs to a fastener once for each.
    pub total: Option<ColumnAsked>,
    /// Whether groups are sorted by how many rows they have, and most first; the
    /// columns of `sort` go before it.
    pub by_count: Option<bool>,
}

/// Units to draw in.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Units {
    /// As written, the counterpart beside.
    #[default]
    AsWritten,
    System(System),
    Each(Vec<&'static Unit>),
}

/// A column to show, sort or count by.
#[derive(Debug, Clone, PartialEq)]
pub struct ColumnAsked {
    /// As typed, or the field's name.
    pub heading: String,
    pub what: ColumnOf,
}

/// What a column shows.
#[derive(Debug, Clone, PartialEq)]
pub enum ColumnOf {
    Field(&'static Field),
    Expr(Expr),
}

/// A test of a row: true, false, or unknown where the row does not say.
#[derive(Debug, Clone, PartialEq)]
pub enum Test {
    All(Vec<Test>),
    Any(Vec<Test>),
    Not(Box<Test>),
    /// A thread at either end.
    Thread(Pattern),
    /// A thread in one field.
    ThreadIn(&'static Field, Pattern),
    /// One of these threads at either end: look-alikes.
    OneOf(Vec<Thread>),
    /// The field says this name of the book.
    Named(&'static Field, Name),
    /// A name that was typed without a field: of what has its words in the name
    /// of its assembly, joint or part, or of a lube or strength; it may also
    /// occur as text in rows that this test leaves out.
    Bare(Name),
    /// A word of a closed list.
    Choice(&'static Field, &'static str),
    /// How it is stated: a fine or coarse thread, a maximum, a range.
    Form(&'static Field, &'static str),
    /// What the hole is cut in, in whatever words the book states it.
    HoleOf(Material),
    /// The words occur in a text field, each as the start of a word.
    Says(&'static Field, String),
    /// A date, which may be shortened, against one as typed.
    Date {
        field: &'static Field,
        relation: Relation,
        /// A day, a month or a year: `2020-05`.
        date: String,
    },
    /// A date from the first to the second.
    DateWithin {
        field: &'static Field,
        low: String,
        high: String,
    },
    /// A comparison of quantities or numbers.
    Compare(Compare),
    /// The low end of the first and the high end of the second enclose it, each
    /// with what is equal to it.
    Within {
        left: Expr,
        /// Low end, base units of the left side.
        low: f64,
        high: f64,
        /// As it is asked.
        asked: String,
    },
    Flag(&'static Field),
    Stated(&'static Field),
    /// A field is not stated, or says that there is none.
    None(&'static Field),
}

impl Test {
    /// That one of `tests` holds.
    pub(crate) fn any_of(mut tests: Vec<Self>) -> Self {
        if tests.len() == 1 { tests.remove(0) } else { Self::Any(tests) }
    }

    /// Whether it looks for one of two threads, which may be the ends of a stud.
    pub fn names_ends(&self) -> bool {
        match self {
            Self::All(tests) => tests.iter().any(Self::names_ends),
            Self::Any(tests) => {
                tests.iter().filter(|test| matches!(test, Self::Thread(_))).count() > 1
            }
            _ => false,
        }
    }

    /// Whether some part of it is about the field of that name.
    pub fn is_about(&self, name: &str) -> bool {
        self.fields().iter().any(|field| field.name == name)
    }

    /// The fields that it is about, each once.
    pub fn fields(&self) -> Vec<&'static Field> {
        let mut fields = Vec::new();
        self.each_field(&mut |field| {
            if !fields.contains(&field) {
                fields.push(field);
            }
        });
        fields
    }

    fn each_field(&self, take: &mut dyn FnMut(&'static Field)) {
        match self {
            Self::All(tests) | Self::Any(tests) => {
                tests.iter().for_each(|test| test.each_field(take));
            }
            Self::Not(inner) => inner.each_field(take),
            Self::ThreadIn(field, _)
            | Self::Named(field, ..)
            | Self::Date { field, .. }
            | Self::DateWithin { field, .. }
            | Self::Choice(field, _)
            | Self::Form(field, _)
            | Self::Says(field, _)
            | Self::Flag(field)
            | Self::Stated(field)
            | Self::None(field) => take(field),
            Self::HoleOf(_) => find_field("hole-material").into_iter().for_each(take),
            Self::Bare(bare) => field_of(bare.what).into_iter().for_each(take),
            Self::Thread(_) | Self::OneOf(_) => find_field("thread").into_iter().for_each(take),
            Self::Compare(Compare { left, right, .. }) => {
                left.each_field(take);
                right.each_field(take);
            }
            Self::Within { left, .. } => left.each_field(take),
        }
    }
}

/// A name of the book.
#[derive(Debug, Clone, PartialEq)]
pub struct Name {
    pub what: NameOf,
    /// As entered.
    pub name: String,
    /// Everything that spells the same, folded.
    pub spellings: Vec<String>,
}

/// A word without the ending of a plural, as the start of the words that it
/// stands for: `studs` and `stud` begin alike.
pub fn stem(word: &str) -> &str {
    word.strip_suffix('s').filter(|rest| rest.len() > 2).unwrap_or(word)
}

/// A comparison of two sums of the same dimension.
#[derive(Debug, Clone, PartialEq)]
pub struct Compare {
    pub left: Expr,
    pub relation: Relation,
    pub right: Expr,
    /// What differs by no more is equal, in coherent units.
    pub slack: f64,
    /// As it is asked.
    pub asked: String,
}

/// Whether `words` are the beginning of a key, not some words of one: they have its
/// hyphens.
pub(crate) fn names_a_key(field: &Field, words: &str) -> bool {
    field.name == "key" && words.contains('-')
}

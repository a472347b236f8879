//! The tree of a question: what was typed, with places, before any name is
//! looked up.
//!
//! Two trees are equal if they ask the same in the same words, wherever those
//! words stand: places are left out of the comparison (see [`Place`]).

use super::words::{Family, Keyword, Operator, Relation, Share};
use crate::quantity::{Number, Quantity, Unit};
use crate::text::Span;
use crate::thread::Pattern;

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

/// A whole question.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Which rows; all of them if there is none.
    pub filter: Option<Filter>,
    /// What is done with the rows, as written; no clause stands twice.
    pub clauses: Vec<Clause>,
}

/// Parts between commas; every one must hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Filter {
    /// At least one.
    pub parts: Vec<Part>,
}

/// Alternatives between `or`; one must hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// At least one.
    pub alternatives: Vec<All>,
}

/// Items side by side or joined by `and`; every one must hold.
#[derive(Debug, Clone, PartialEq)]
pub struct All {
    /// At least one.
    pub items: Vec<Item>,
}

/// How an item is joined to the one before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Join {
    /// It is the first of its alternative.
    First,
    /// It stands beside the one before: the two may be one name.
    Beside,
    /// By the word `and`.
    And,
}

/// One thing that must hold, or with `not` must not.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// How it is joined to the item before it.
    pub join: Join,
    /// Where `not` stands, if it does.
    pub not: Option<Place>,
    /// What must hold.
    pub what: What,
    /// From its first to its last character, `not` included.
    pub place: Place,
}

/// What an item says.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// A filter in parentheses.
    Group(Filter),
    /// A test of a field.
    Test(Test),
    /// Something that stands without a field.
    Bare(Bare),
}

/// A test of a field.
#[derive(Debug, Clone, PartialEq)]
pub enum Test {
    /// `FIELD value`. A field stands as the value where the field before it
    /// takes it (`lube sealant`) and nothing compares it.
    Is {
        /// The field.
        field: Name,
        /// The value beside it.
        value: Leaf,
    },
    /// `FIELD low..high`.
    Range {
        /// The field.
        field: Name,
        /// Number or quantity; a number takes the unit of `high`.
        low: Leaf,
        /// Quantity, or number if `low` is one.
        high: Leaf,
    },
    /// `sum REL sum`. [`Sum::single`] tells a plain field or value.
    Compare {
        /// Before the relation.
        left: Sum,
        /// How they are compared.
        relation: Compared,
        /// After the relation.
        right: Sum,
    },
    /// `WORD REL sum`: no field of that name is known to the syntax.
    Unknown {
        /// What was typed in place of a field.
        word: Name,
        /// How it is compared.
        relation: Compared,
        /// After the relation.
        right: Sum,
    },
    /// `has FIELD` or `needs FIELD`.
    Has {
        /// The field that is stated.
        field: Name,
    },
    /// `lacks FIELD` or `no FIELD`.
    Lacks {
        /// The field that is not stated.
        field: Name,
    },
    /// `confused-with THREAD`.
    ConfusedWith {
        /// A thread, or quoted text to be read as one.
        thread: Leaf,
    },
}

/// Something that stands without a field.
#[derive(Debug, Clone, PartialEq)]
pub enum Bare {
    /// A thread, quantity, number, word, quoted text or field.
    Value(Leaf),
    /// `7/16-14 x 3.5 in`.
    ThreadAndLength {
        /// The thread.
        thread: Leaf,
        /// A quantity, or quoted text to be read as one.
        length: Leaf,
    },
}

/// A relation and where it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Compared {
    /// Which.
    pub relation: Relation,
    /// Where.
    pub place: Place,
}

/// A name as typed: of a field, or in place of one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Name {
    /// As typed, odd signs made plain and runs of blanks made one.
    pub text: String,
    /// Where.
    pub place: Place,
}

/// The smallest thing that was typed, with what it was read as.
#[derive(Debug, Clone, PartialEq)]
pub struct Leaf {
    /// As typed, odd signs made plain and runs of blanks made one; without the
    /// quotes.
    pub text: String,
    /// What it was read as.
    pub read: Read,
    /// Where, the quotes included.
    pub place: Place,
}

/// What a leaf was read as.
#[derive(Debug, Clone, PartialEq)]
pub enum Read {
    /// A word that is nothing else.
    Word,
    /// The name of a field.
    Field,
    /// Text in quotes.
    Quoted,
    /// A number without a unit.
    Number(Number),
    /// A number with its unit.
    Quantity(Quantity),
    /// A thread.
    Thread(Pattern),
}

/// Products added and subtracted, from left to right.
#[derive(Debug, Clone, PartialEq)]
pub struct Sum {
    /// The first product.
    pub first: Product,
    /// The others, each with `+` or `-` before it.
    pub rest: Vec<(Operator, Product)>,
    /// From its first to its last character.
    pub place: Place,
}

/// Atoms multiplied and divided, from left to right.
#[derive(Debug, Clone, PartialEq)]
pub struct Product {
    /// The first atom.
    pub first: Atom,
    /// The others, each with [`Operator::Times`] or [`Operator::Per`] before it.
    pub rest: Vec<(Operator, Atom)>,
}

/// A part of a product.
#[derive(Debug, Clone, PartialEq)]
pub enum Atom {
    /// A field, quantity, number, thread or quoted text; never a word.
    Leaf(Leaf),
    /// A sum in parentheses.
    Group(Box<Sum>),
}

impl Sum {
    /// The only leaf of this sum, if it is no more than that.
    pub fn single(&self) -> Option<&Leaf> {
        match (&self.first.first, self.first.rest.is_empty() && self.rest.is_empty()) {
            (Atom::Leaf(leaf), true) => Some(leaf),
            (Atom::Group(inner), true) => inner.single(),
            _ => None,
        }
    }
}

/// One clause and where its keyword stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Clause {
    /// What it says.
    pub what: ClauseKind,
    /// The keyword.
    pub keyword: Place,
    /// From its keyword to its last character.
    pub place: Place,
}

/// What a clause says.
#[derive(Debug, Clone, PartialEq)]
pub enum ClauseKind {
    /// `with` these lubes.
    With(Vec<Phrase>),
    /// `target` a share or a force.
    Target(Target),
    /// `keep` the rows that pass this filter.
    Keep(Filter),
    /// `show` these columns.
    Show(Vec<Sum>),
    /// `sort` by these columns.
    Sort(Vec<SortColumn>),
    /// `first` so many rows, at least one.
    First(u32),
    /// `tally` by these columns.
    Tally(Vec<Sum>),
    /// `units` to draw in.
    Units(Units),
    /// `on` this wrench.
    On(Phrase),
}

impl Clause {
    /// Its keyword.
    pub fn word(&self) -> Keyword {
        match self.what {
            ClauseKind::With(_) => Keyword::With,
            ClauseKind::Target(_) => Keyword::Target,
            ClauseKind::Keep(_) => Keyword::Keep,
            ClauseKind::Show(_) => Keyword::Show,
            ClauseKind::Sort(_) => Keyword::Sort,
            ClauseKind::First(_) => Keyword::First,
            ClauseKind::Tally(_) => Keyword::Tally,
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

/// A column of `sort`.
#[derive(Debug, Clone, PartialEq)]
pub struct SortColumn {
    /// What is sorted by.
    pub sum: Sum,
    /// Largest first.
    pub down: bool,
}

/// What `units` asks for.
#[derive(Debug, Clone, PartialEq)]
pub enum Units {
    /// A whole family.
    Family(Family),
    /// These units, each with its place.
    Each(Vec<(&'static Unit, Place)>),
}

//! The smallest things that were typed.

use super::Place;
use crate::quantity::{Number, Quantity};
use crate::thread::Pattern;

/// A name as typed: of a field, or in place of one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Name {
    /// As typed, odd signs made plain and runs of blanks made one.
    pub text: String,
    pub place: Place,
}

/// The smallest thing that was typed, with what it was read as.
#[derive(Debug, Clone, PartialEq)]
pub struct Leaf {
    /// As typed, odd signs made plain and runs of blanks made one; without the
    /// quotes.
    pub text: String,
    pub read: Read,
    /// Where, the quotes included.
    pub place: Place,
}

/// What a leaf was read as.
#[derive(Debug, Clone, PartialEq)]
pub enum Read {
    /// A word that is nothing else.
    Word,
    Field,
    Quoted,
    Number(Number),
    Quantity(Quantity),
    Thread(Pattern),
}

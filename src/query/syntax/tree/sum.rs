//! Sums: what is compared, shown and sorted by.

use super::{Leaf, Place};
use crate::query::syntax::words::Operator;

/// Products added and subtracted, from left to right.
#[derive(Debug, Clone, PartialEq)]
pub struct Sum {
    pub first: Product,
    /// The others, each with `+` or `-` before it.
    pub rest: Vec<(Operator, Product)>,
    /// From its first to its last character.
    pub place: Place,
}

/// Atoms multiplied and divided, from left to right.
#[derive(Debug, Clone, PartialEq)]
pub struct Product {
    pub first: Atom,
    /// The others, each with [`Operator::Times`] or [`Operator::Per`] before it.
    pub rest: Vec<(Operator, Atom)>,
}

/// A part of a product.
#[derive(Debug, Clone, PartialEq)]
pub enum Atom {
    /// A field, quantity, number, thread or quoted text; never a word.
    Leaf(Leaf),
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

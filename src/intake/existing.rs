//! What the book already holds, asked for by key and by name.

use std::sync::Arc;

use crate::record::Fastener;

/// The fasteners of a book, as far as an import has to know them.
pub trait Existing {
    /// The fastener with that key.
    fn by_key(&self, key: &str) -> Option<Arc<Fastener>>;
    /// Every fastener of that assembly, joint and part; case and blanks do
    /// not matter.
    fn by_name(&self, assembly: &str, joint: &str, part: &str) -> Vec<Arc<Fastener>>;
    /// Every fastener of that assembly and joint.
    fn of_joint(&self, assembly: &str, joint: &str) -> Vec<Arc<Fastener>>;
    /// How many fasteners that assembly has at most, so that they need not be read.
    fn count_of(&self, assembly: &str) -> usize;
    /// Calls `visit` with each fastener of that assembly.
    fn each_of(&self, assembly: &str, visit: &mut dyn FnMut(&Arc<Fastener>));
}

/// A book of which nothing is known yet: everything is new.
#[derive(Debug, Clone, Copy, Default)]
pub struct EmptyBook;

impl Existing for EmptyBook {
    fn by_key(&self, _: &str) -> Option<Arc<Fastener>> {
        None
    }
    fn by_name(&self, _: &str, _: &str, _: &str) -> Vec<Arc<Fastener>> {
        Vec::new()
    }
    fn of_joint(&self, _: &str, _: &str) -> Vec<Arc<Fastener>> {
        Vec::new()
    }
    fn count_of(&self, _: &str) -> usize {
        0
    }
    fn each_of(&self, _: &str, _: &mut dyn FnMut(&Arc<Fastener>)) {
        // It has none.
    }
}

//! What the book already holds, asked for by key and by name.

use std::collections::HashMap;
use std::sync::Arc;

use crate::record::Fastener;
use crate::text::fold_name;

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

/// Fasteners held in memory, indexed once.
#[derive(Debug, Default)]
pub struct Held {
    by_key: HashMap<String, Arc<Fastener>>,
    by_joint: HashMap<[String; 2], Vec<Arc<Fastener>>>,
}

impl Held {
    /// The fasteners of a book.
    pub fn new(fasteners: impl IntoIterator<Item = Arc<Fastener>>) -> Self {
        let mut held = Self::default();
        for fastener in fasteners {
            let joint =
                [&fastener.joint.assembly, &fastener.joint.name].map(|name| fold_name(name));
            held.by_joint.entry(joint).or_default().push(Arc::clone(&fastener));
            held.by_key.insert(fastener.key.clone(), fastener);
        }
        held
    }
}

impl Existing for Held {
    fn by_key(&self, key: &str) -> Option<Arc<Fastener>> {
        self.by_key.get(key).cloned()
    }

    fn by_name(&self, assembly: &str, joint: &str, part: &str) -> Vec<Arc<Fastener>> {
        let part = fold_name(part);
        let mut found = self.of_joint(assembly, joint);
        found.retain(|fastener| fold_name(&fastener.part) == part);
        found
    }

    fn of_joint(&self, assembly: &str, joint: &str) -> Vec<Arc<Fastener>> {
        let joint = [fold_name(assembly), fold_name(joint)];
        self.by_joint.get(&joint).cloned().unwrap_or_default()
    }

    fn count_of(&self, assembly: &str) -> usize {
        let mut count = 0;
        self.each_of(assembly, &mut |_| count += 1);
        count
    }

    fn each_of(&self, assembly: &str, visit: &mut dyn FnMut(&Arc<Fastener>)) {
        let assembly = fold_name(assembly);
        let of_it = self.by_joint.iter().filter(|([own, _], _)| *own == assembly);
        of_it.flat_map(|(_, fasteners)| fasteners).for_each(visit);
    }
}

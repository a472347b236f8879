//! A book in memory, for what an import has to know of it.

#![allow(dead_code)] // each group uses its part

use std::collections::HashMap;
use std::sync::Arc;

use clampbook::intake::{Existing, Report};
use clampbook::record::Fastener;
use clampbook::text::fold_name;

/// Fasteners held in memory, indexed once.
#[derive(Debug, Default)]
pub(crate) struct Held {
    by_key: HashMap<String, Arc<Fastener>>,
    by_joint: HashMap<[String; 2], Vec<Arc<Fastener>>>,
}

impl Held {
    /// The fasteners of a book.
    pub(crate) fn new(fasteners: impl IntoIterator<Item = Arc<Fastener>>) -> Self {
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

/// What a report took, where it took everything.
pub(crate) trait Accepted {
    fn accepted(&self) -> Option<&[Fastener]>;
}

impl Accepted for Report {
    fn accepted(&self) -> Option<&[Fastener]> {
        self.is_sound().then_some(self.fasteners.as_slice())
    }
}

//! The names of a book, each once, for the vocabulary.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::record::{Fastener, NameOf, Tables, Vocabulary};
use crate::store::codec::{self, Unreadable};
use crate::text::QuickMap;
use crate::thread::Thread;

/// Names met while an image is written.
#[derive(Debug, Default)]
pub(crate) struct NamesMet {
    assemblies: BTreeSet<String>,
    joints: BTreeSet<String>,
    parts: BTreeSet<String>,
    threads: QuickMap<Thread, u64>,
    pairs: BTreeSet<(String, String)>,
    last: Option<(String, String)>,
}

/// Names as they lie on the disk.
pub(crate) struct NamesRow {
    pub(crate) assemblies: Vec<String>,
    pub(crate) joints: Vec<String>,
    pub(crate) parts: Vec<String>,
    /// Threads as printed, with how often each is met.
    pub(crate) threads: Vec<(String, u64)>,
}

impl NamesMet {
    /// The names of one more fastener.
    pub(crate) fn add(&mut self, fastener: &Fastener) {
        let joint = &fastener.joint;
        note(&mut self.parts, &fastener.part);
        for thread in fastener.thread.iter().chain(&fastener.hole_thread) {
            match self.threads.get_mut(thread) {
                Some(count) => *count += 1,
                None => drop(self.threads.insert(thread.clone(), 1)),
            }
        }
        // Fasteners of one joint mostly follow each other.
        let same = |(assembly, name): &(String, String)| {
            *assembly == joint.assembly && *name == joint.name
        };
        if !self.last.as_ref().is_some_and(same) {
            note(&mut self.assemblies, &joint.assembly);
            note(&mut self.joints, &joint.name);
            let pair = (joint.assembly.clone(), joint.name.clone());
            self.pairs.insert(pair.clone());
            self.last = Some(pair);
        }
    }

    pub(crate) fn count_joints(&self) -> u64 {
        self.pairs.len() as u64
    }

    pub(crate) fn encode(self) -> Result<Vec<u8>, Unreadable> {
        let mut threads: BTreeMap<String, u64> = BTreeMap::new();
        for (thread, count) in &self.threads {
            *threads.entry(thread.to_string()).or_default() += count;
        }
        codec::encode_list(&NamesRow {
            assemblies: self.assemblies.into_iter().collect(),
            joints: self.joints.into_iter().collect(),
            parts: self.parts.into_iter().collect(),
            threads: threads.into_iter().collect(),
        })
    }
}

fn note(names: &mut BTreeSet<String>, name: &str) {
    if !names.contains(name) {
        names.insert(name.to_owned());
    }
}

/// The vocabulary of the names in `bytes`, of `tables` and of `others`, worked
/// out when a name is first asked for.
pub(crate) fn read(bytes: Vec<u8>, tables: Arc<Tables>, others: Vec<Arc<Fastener>>) -> Vocabulary {
    Vocabulary::deferred(move || {
        let others = others.iter().map(AsRef::as_ref);
        let mut vocabulary = Vocabulary::collect(others, &tables);
        // The bytes were checked when they were read: they are what we wrote.
        if let Ok(names) = codec::decode::<NamesRow>(&bytes) {
            names.fill(&mut vocabulary);
        }
        vocabulary
    })
}

/// Whether `bytes` are names.
pub(crate) fn check(bytes: &[u8]) -> Result<(), Unreadable> {
    codec::decode::<NamesRow>(bytes).map(drop)
}

impl NamesRow {
    fn fill(&self, vocabulary: &mut Vocabulary) {
        let lists = [
            (NameOf::Assembly, &self.assemblies),
            (NameOf::Joint, &self.joints),
            (NameOf::Part, &self.parts),
        ];
        for (what, list) in lists {
            for name in list {
                vocabulary.add(what, name, name);
            }
        }
        for (thread, count) in &self.threads {
            vocabulary.add_thread(thread, *count as usize);
        }
    }
}

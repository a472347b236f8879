//! Finding many fasteners of a large book, one after the other: by key, or by
//! assembly and joint. One walk over the book makes two small tables, so that an
//! import of a file that the book has already takes as long as the file, not as
//! long as an index with cold pages.

use std::ops::{ControlFlow, Range};
use std::sync::Arc;

use crate::record::{Fastener, Joint};
use crate::store::book::Book;
use crate::store::error::StoreError;
use crate::store::image::{Candidates, on_cores, threads};
use crate::text::{fold_name, folds_to, quick_hash};

/// A hash and the ordinal that has it: 16 bytes a fastener.
type HashedAt = (u64, u32);

/// The fasteners of a book by key and by joint.
#[derive(Debug)]
pub struct Finder<'a> {
    book: &'a Book,
    keys: Vec<HashedAt>,
    joints: Vec<HashedAt>,
    /// Those that have changed since the image was written, in order.
    changed: Vec<Arc<Fastener>>,
}

impl Book {
    /// Reads all of the book once, on the cores of the machine, for many look-ups.
    pub fn finder(&self) -> Result<Finder<'_>, StoreError> {
        let part = |range: Range<u32>| {
            let (mut keys, mut joints) = (Vec::new(), Vec::new());
            let read = self.image().visit(&Candidates::All, range, &mut |at, (_, fastener)| {
                if !self.overlay().hides(at) {
                    keys.push((quick_hash(&fastener.key), at));
                    joints.push((hash_of(&fastener.joint), at));
                }
                Ok(ControlFlow::Continue(()))
            });
            read.map(|()| (keys, joints))
        };
        let parts = on_cores(&self.parts(&Candidates::All, threads), part);
        let parts = parts.map_err(|error| self.bad(error))?;
        let (keys, joints): (Vec<_>, Vec<_>) = parts.into_iter().unzip();
        let (mut keys, mut joints) = (keys.concat(), joints.concat());
        keys.sort_unstable();
        joints.sort_unstable();
        let changed = self.overlay().changed.values();
        let changed = changed.filter_map(|changed| changed.fastener.clone()).collect();
        Ok(Finder { book: self, keys, joints, changed })
    }
}

fn hash_of(joint: &Joint) -> u64 {
    quick_hash(&(fold_name(&joint.assembly), fold_name(&joint.name)))
}

impl Finder<'_> {
    /// The fastener of that key.
    pub fn by_key(&self, key: &str) -> Result<Option<Arc<Fastener>>, StoreError> {
        if let Some(found) = self.changed.iter().find(|fastener| fastener.key == key) {
            return Ok(Some(Arc::clone(found)));
        }
        let found = self.at(&self.keys, quick_hash(&key))?;
        Ok(found.into_iter().find(|fastener| fastener.key == key))
    }

    /// The fasteners of a joint, by names as they are compared, in the order
    /// entered; changed ones come last.
    pub fn of_joint(&self, assembly: &str, name: &str) -> Result<Vec<Arc<Fastener>>, StoreError> {
        let (assembly, name) = (fold_name(assembly), fold_name(name));
        let mut found = self.at(&self.joints, quick_hash(&(&assembly, &name)))?;
        found.extend(self.changed.iter().cloned());
        found.retain(|fastener| {
            folds_to(&fastener.joint.assembly, &assembly) && folds_to(&fastener.joint.name, &name)
        });
        Ok(found)
    }

    fn at(&self, places: &[HashedAt], hash: u64) -> Result<Vec<Arc<Fastener>>, StoreError> {
        let from = places.partition_point(|(other, _)| *other < hash);
        let here = places[from..].iter().take_while(|(other, _)| *other == hash);
        let image = self.book.image();
        let fasteners = here.map(|(_, ordinal)| Ok(image.fastener(*ordinal)?.1));
        fasteners.collect::<Result<_, _>>().map_err(|error| self.book.bad(error))
    }
}

//! Finding many fasteners of a large book, one after the other: by key, or by
//! assembly and joint. Three indexes read once make two small tables, so that an
//! import of a file that the book has already takes as long as the file, not as
//! long as an index with cold pages.

use std::sync::Arc;

use crate::record::Fastener;
use crate::store::book::Book;
use crate::store::error::StoreError;
use crate::store::terms::{Index, named};
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
    /// Reads what many look-ups by key and joint need.
    pub fn finder(&self) -> Result<Finder<'_>, StoreError> {
        let keys = self.hashed(&[Index::Key])?;
        let joints = self.hashed(&[Index::Assembly, Index::Joint])?;
        let changed = self.overlay().changed.values();
        let changed = changed.filter_map(|changed| changed.fastener.clone()).collect();
        Ok(Finder { book: self, keys, joints, changed })
    }

    /// The fasteners of the image by their terms in `indexes`, in each of which they have one.
    fn hashed(&self, indexes: &[Index]) -> Result<Vec<HashedAt>, StoreError> {
        let count = self.image().counts().fasteners as u32;
        let mut places: Vec<HashedAt> = (0..count).map(|ordinal| (0, ordinal)).collect();
        for index in indexes {
            let read = self.image().each_term(*index, |term, ordinal| {
                if let Some((hash, _)) = places.get_mut(ordinal as usize) {
                    *hash = with(*hash, term);
                }
            });
            read.map_err(|error| self.bad(error))?;
        }
        places.retain(|(_, ordinal)| !self.overlay().hides(*ordinal));
        places.sort_unstable();
        Ok(places)
    }
}

/// The hash of terms one after the other.
fn with(hash: u64, term: &[u8]) -> u64 {
    quick_hash(&(hash, term))
}

fn hash_of(names: &[&str]) -> u64 {
    names.iter().fold(0, |hash, name| with(hash, named(&mut Vec::new(), name)))
}

impl Finder<'_> {
    /// The fastener of that key.
    pub fn by_key(&self, key: &str) -> Result<Option<Arc<Fastener>>, StoreError> {
        if let Some(found) = self.changed.iter().find(|fastener| fastener.key == key) {
            return Ok(Some(Arc::clone(found)));
        }
        let found = self.at(&self.keys, hash_of(&[key]))?;
        Ok(found.into_iter().find(|fastener| fastener.key == key))
    }

    /// The fasteners of a joint, by names as they are compared, in the order
    /// entered; changed ones come last.
    pub fn of_joint(&self, assembly: &str, name: &str) -> Result<Vec<Arc<Fastener>>, StoreError> {
        let (assembly, name) = (fold_name(assembly), fold_name(name));
        let mut found = self.at(&self.joints, hash_of(&[&assembly, &name]))?;
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

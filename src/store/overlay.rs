//! The overlay: what has changed since the image was written, in one small
//! checksummed file, so that an edit of a large book need not rewrite it.

use std::collections::{BTreeMap, HashMap, HashSet};
use std::io;
use std::path::Path;
use std::sync::Arc;

use crate::record::{Fastener, Tables};
use crate::store::codec::{self, Unreadable};
use crate::store::disk;
use crate::store::image::Counts;
use crate::store::seal::{sealed, unsealed};

const MAGIC: &[u8; 8] = b"clampovl";

/// No overlay is larger; more than that belongs into an image.
const LARGEST: usize = 2 << 20;
/// Nor does it hold more fasteners than this, or than one in this many.
const MOST: u64 = 1024;
const ONE_IN: u64 = 512;

/// A fastener that differs from the image.
#[derive(Debug, Clone)]
pub(crate) struct Changed {
    /// Its ordinal in the image, unless it is new.
    pub(crate) base: Option<u32>,
    /// What it is now; nothing if it is removed.
    pub(crate) fastener: Option<Arc<Fastener>>,
}

/// What has changed since an image, by number.
#[derive(Debug, Clone, Default)]
pub(crate) struct Overlay {
    /// What the book says of itself with the changes.
    pub(crate) counts: Counts,
    /// The tables, if they changed.
    pub(crate) tables: Option<Tables>,
    pub(crate) changed: BTreeMap<u64, Changed>,
    keys: HashMap<String, u64>,
    hidden: HashSet<u32>,
}

/// An overlay as it lies on the disk.
pub(crate) struct OverlayRow {
    /// Generation of the image below.
    pub(crate) base: u64,
    pub(crate) counts: Counts,
    pub(crate) tables: Option<Tables>,
    pub(crate) changed: Vec<ChangedRow>,
}

/// A [`Changed`] with its number.
pub(crate) struct ChangedRow {
    pub(crate) number: u64,
    pub(crate) base: Option<u32>,
    pub(crate) fastener: Option<Arc<Fastener>>,
}

impl Overlay {
    /// An overlay of these changes.
    pub(crate) fn new(
        counts: Counts,
        tables: Option<Tables>,
        changed: BTreeMap<u64, Changed>,
    ) -> Self {
        let mut overlay = Self { counts, tables, changed, ..Self::default() };
        for (number, change) in &overlay.changed {
            overlay.hidden.extend(change.base);
            if let Some(fastener) = &change.fastener {
                overlay.keys.insert(fastener.key.clone(), *number);
            }
        }
        overlay
    }

    /// The number of the changed fastener of that key.
    pub(crate) fn number_of(&self, key: &str) -> Option<u64> {
        self.keys.get(key).copied()
    }

    /// Whether the image's fastener at `ordinal` is replaced or removed.
    pub(crate) fn hides(&self, ordinal: u32) -> bool {
        !self.hidden.is_empty() && self.hidden.contains(&ordinal)
    }

    /// Whether an image of `fasteners` may have an overlay of so many.
    pub(crate) fn may_hold(fasteners: u64, changed: usize) -> bool {
        changed as u64 <= MOST.min(fasteners / ONE_IN)
    }

    /// The bytes over the image of generation `base`; `None` if it is too large.
    pub(crate) fn encode(&self, base: u64) -> Result<Option<Vec<u8>>, Unreadable> {
        let row = |(number, changed): (&u64, &Changed)| {
            let Changed { base, fastener } = changed.clone();
            ChangedRow { number: *number, base, fastener }
        };
        let bytes = codec::encode(&OverlayRow {
            base,
            counts: self.counts,
            tables: self.tables.clone(),
            changed: self.changed.iter().map(row).collect(),
        })?;
        if bytes.len() > LARGEST {
            return Ok(None);
        }
        let packed = lz4_flex::block::compress_prepend_size(&bytes);
        Ok(Some([&MAGIC[..], &sealed(&packed)].concat()))
    }

    /// Reads the overlay at `path` of the image of generation `base`.
    pub(crate) fn open(path: &Path, base: u64) -> io::Result<Result<Self, Unreadable>> {
        Ok(Self::decode(&disk::read(path)?, base))
    }

    fn decode(bytes: &[u8], base: u64) -> Result<Self, Unreadable> {
        let bad = || Unreadable("it is not what was written".to_owned());
        let packed = bytes.strip_prefix(MAGIC).and_then(unsealed).ok_or_else(bad)?;
        let (size, packed) = lz4_flex::block::uncompressed_size(packed).map_err(|_| bad())?;
        if size > LARGEST {
            return Err(bad());
        }
        let bytes = lz4_flex::block::decompress(packed, size).map_err(|_| bad())?;
        let row: OverlayRow = codec::decode(&bytes)?;
        if row.base != base {
            return Err(Unreadable("it belongs to another image".to_owned()));
        }
        let changed = row.changed.into_iter().map(|row| {
            let ChangedRow { number, base, fastener } = row;
            (number, Changed { base, fastener })
        });
        Ok(Self::new(row.counts, row.tables, changed.collect()))
    }

    /// Writes the overlay's `bytes` to `path`, durably.
    pub(crate) fn write(path: &Path, bytes: &[u8]) -> io::Result<()> {
        disk::write_durably(path, bytes)
    }
}

//! The read image: what answers questions. One immutable, checksummed file.

use std::collections::HashMap;
use std::fs;
use std::path::Path;
use std::sync::Arc;

use crate::record::{Fastener, Tables};
use crate::store::block::{self, Entry};
use crate::store::codec::{self, Unreadable};
use crate::store::engine::{Meta, sealed, unsealed};
use crate::store::folder;
use crate::store::row::Mirror;

const MAGIC: &[u8; 8] = b"clampimg";

/// An open image.
#[derive(Debug)]
pub(crate) struct Image {
    /// What the book says of itself at this generation.
    pub(crate) meta: Meta,
    /// The reference tables.
    pub(crate) tables: Tables,
    /// Fasteners with their numbers, in the order entered.
    pub(crate) entries: Vec<(u64, Arc<Fastener>)>,
    places: HashMap<String, usize>,
}

impl Image {
    /// Reads the image at `path`. The outer error is the system's.
    pub(crate) fn open(path: &Path) -> std::io::Result<Result<Self, Unreadable>> {
        Ok(Self::decode(&fs::read(path)?))
    }

    fn decode(bytes: &[u8]) -> Result<Self, Unreadable> {
        let not_ours = || Unreadable("it is not an image, or not what was written".to_owned());
        let body = bytes.strip_prefix(MAGIC).and_then(unsealed).ok_or_else(not_ours)?;
        let (meta, tables, entries): (Meta, Vec<u8>, Vec<Entry>) = codec::decode(body)?;
        let entries = entries
            .into_iter()
            .map(|entry| (entry.number, Arc::new(entry.row.into_record())))
            .collect();
        Ok(Self::new(meta, block::read_tables(&tables)?, entries))
    }

    /// An image in memory.
    pub(crate) fn new(meta: Meta, tables: Tables, entries: Vec<(u64, Arc<Fastener>)>) -> Self {
        let places = entries.iter().enumerate().map(|(at, (_, f))| (f.key.clone(), at)).collect();
        Self { meta, tables, entries, places }
    }

    /// Where the fastener of that key is in `entries`.
    pub(crate) fn place(&self, key: &str) -> Option<usize> {
        self.places.get(key).copied()
    }

    /// Writes the image to `path`, durably.
    pub(crate) fn write(&self, path: &Path) -> std::io::Result<Result<(), Unreadable>> {
        let entries: Vec<Entry> =
            self.entries.iter().map(|(number, f)| Entry::new(*number, f)).collect();
        let tables = match block::write_tables(&self.tables) {
            Ok(tables) => tables,
            Err(error) => return Ok(Err(error)),
        };
        let body = match codec::encode(&(self.meta, tables, entries)) {
            Ok(body) => body,
            Err(error) => return Ok(Err(error)),
        };
        folder::write_durably(path, &[&MAGIC[..], &sealed(&body)].concat())?;
        Ok(Ok(()))
    }
}

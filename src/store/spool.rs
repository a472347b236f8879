//! Fasteners set aside on the disk until their turn comes.

use std::fs::File;
use std::io::{self, BufWriter, Read, Seek, SeekFrom, Write};
use std::path::Path;

use crate::record::Fastener;
use crate::store::codec;
use crate::store::error::StoreError;

/// A file of fasteners, found again by their place in it.
#[derive(Debug)]
pub(crate) struct Spool {
    dir: std::path::PathBuf,
    out: BufWriter<File>,
    at: u64,
    places: Vec<(u64, u32)>,
    row: Vec<u8>,
}

impl Spool {
    /// An empty spool in `dir`; the system removes it when it is closed.
    pub(crate) fn new(dir: &Path) -> Result<Self, StoreError> {
        let file = tempfile::tempfile_in(dir)
            .map_err(|error| StoreError::unchanged("write", dir, error))?;
        let out = BufWriter::with_capacity(1 << 18, file);
        Ok(Self { dir: dir.to_owned(), out, at: 0, places: Vec::new(), row: Vec::new() })
    }

    /// Sets a fastener aside; returns its place.
    pub(crate) fn push(&mut self, fastener: &Fastener) -> Result<usize, StoreError> {
        self.row.clear();
        codec::encode_to(fastener, &mut self.row)
            .map_err(|why| StoreError::TooLarge { key: fastener.key.clone(), why: why.0 })?;
        self.out
            .write_all(&self.row)
            .map_err(|error| StoreError::unchanged("write", &self.dir, error))?;
        self.places.push((self.at, self.row.len() as u32));
        self.at += self.row.len() as u64;
        Ok(self.places.len() - 1)
    }

    /// The fastener at `place`.
    pub(crate) fn get(&mut self, place: usize) -> Result<Fastener, StoreError> {
        let read = self.read(place).map_err(|error| StoreError::io("read", &self.dir, error))?;
        codec::decode(&read).map_err(|why| StoreError::damaged(&self.dir, why.0))
    }

    fn read(&mut self, place: usize) -> io::Result<Vec<u8>> {
        let (offset, length) = self.places[place];
        self.out.flush()?;
        let file = self.out.get_mut();
        file.seek(SeekFrom::Start(offset))?;
        let mut bytes = vec![0; length as usize];
        file.read_exact(&mut bytes)?;
        file.seek(SeekFrom::Start(self.at))?;
        Ok(bytes)
    }
}

//! Adding rows behind the valid part of the ledger, one at a time: a change of a
//! million fasteners holds none of them.

use std::fs::{self, File};
use std::io::{self, BufWriter, Seek as _, SeekFrom, Write as _};
use std::path::{Path, PathBuf};

use crate::store::codec;
use crate::store::disk;
use crate::store::error::StoreError;
use crate::store::frames::{self, FIRST, MAGIC};
use crate::store::ledger::{LedgerRow, check};

/// Name of a ledger and its valid length.
pub(crate) type Valid = (String, u64);

/// Rows on their way into the ledger. Nothing of it counts until `current` says
/// so; dropped before it is finished it leaves the ledger as it was.
pub(crate) struct Appender {
    dir: PathBuf,
    old: Option<Valid>,
    name: String,
    /// Where the valid part ends, and where the next row begins.
    start: u64,
    at: u64,
    /// Open from the first row on.
    out: Option<BufWriter<File>>,
    frame: Vec<u8>,
}

impl Appender {
    /// Rows behind the ledger `old`, or the first ones, of `generation`.
    pub(crate) fn new(dir: &Path, old: Option<&Valid>, generation: u64) -> Self {
        let (name, start) = old.cloned().unwrap_or_else(|| (format!("ledger-{generation}"), FIRST));
        let (dir, old) = (dir.to_owned(), old.cloned());
        Self { dir, old, name, start, at: start, out: None, frame: Vec::new() }
    }

    pub(crate) fn push(&mut self, row: &LedgerRow) -> Result<(), StoreError> {
        if self.out.is_none() {
            if let Some(old) = &self.old {
                // What is damaged is not written behind.
                check(&self.dir, old)?;
            }
            self.out = Some(self.open().map_err(|error| self.failed(error))?);
        }
        let row = codec::encode(row)
            .map_err(|why| StoreError::TooLarge { key: "the history".to_owned(), why: why.0 })?;
        self.frame.clear();
        frames::put(self.at, &row, &mut self.frame);
        let written = self.out.as_mut().map_or(Ok(()), |out| out.write_all(&self.frame));
        written.map_err(|error| self.failed(error))?;
        self.at += self.frame.len() as u64;
        Ok(())
    }

    fn open(&self) -> io::Result<BufWriter<File>> {
        let path = self.dir.join(&self.name);
        let mut file =
            if self.old.is_none() { disk::create(&path)? } else { disk::open_to_write(&path)? };
        if self.old.is_none() {
            file.write_all(MAGIC)?;
        }
        // What a broken change may have left after the valid part goes.
        file.set_len(self.start)?;
        file.seek(SeekFrom::Start(self.start))?;
        Ok(BufWriter::with_capacity(1 << 18, file))
    }

    /// Waits until all rows are on the disk; the ledger that is then valid.
    pub(crate) fn finish(mut self) -> Result<Option<Valid>, StoreError> {
        let Some(out) = &mut self.out else { return Ok(self.old.take()) };
        let synced = out.flush().and_then(|()| out.get_ref().sync_all());
        synced.and_then(|()| disk::sync_folder(&self.dir)).map_err(|error| self.failed(error))?;
        self.out = None;
        Ok(Some((std::mem::take(&mut self.name), self.at)))
    }

    fn failed(&self, error: io::Error) -> StoreError {
        StoreError::unchanged("write", &self.dir.join(&self.name), error)
    }
}

impl Drop for Appender {
    fn drop(&mut self) {
        let Some(out) = self.out.take() else { return };
        // What is still in the buffer is not written.
        let (file, _) = out.into_parts();
        let _ = match self.old {
            Some(_) => file.set_len(self.start),
            None => fs::remove_file(self.dir.join(&self.name)),
        };
    }
}

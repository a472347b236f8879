//! Positioned, checked reads, and the writing side of the same chunks.

use std::collections::HashMap;
use std::fs::File;
use std::io::{self, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use crate::store::codec::Unreadable;
use crate::store::disk;
use crate::store::image::header::{Header, PAGE};
use crate::store::seal::check_at;

/// Bytes of a checksum at the end of every chunk.
pub(crate) const CHECK: usize = 4;

/// No chunk that is read whole is larger.
const LARGEST_CHUNK: u64 = 1 << 30;

/// Chunks kept in memory, bytes.
const CACHE: usize = 8 << 20;

/// Why a read failed.
#[derive(Debug)]
pub(crate) enum ReadError {
    Io(io::Error),
    /// The bytes are not what was written.
    Bad(Unreadable),
    /// A newer program wrote it; what of it this one does not know.
    Newer(String),
}

impl From<Unreadable> for ReadError {
    fn from(bad: Unreadable) -> Self {
        Self::Bad(bad)
    }
}

impl From<io::Error> for ReadError {
    fn from(error: io::Error) -> Self {
        match error.kind() {
            io::ErrorKind::UnexpectedEof => bad("it is cut off"),
            _ => Self::Io(error),
        }
    }
}

/// Damage found while reading.
pub(crate) fn bad(what: impl Into<String>) -> ReadError {
    ReadError::Bad(Unreadable(what.into()))
}

/// An image file open for reading.
#[derive(Debug)]
pub(crate) struct ImageFile {
    file: File,
    /// Its first page.
    pub(crate) header: Header,
    cache: Mutex<Cache>,
}

#[derive(Debug, Default)]
struct Cache {
    chunks: HashMap<u64, Arc<[u8]>>,
    bytes: usize,
}

impl ImageFile {
    /// Opens `path` and checks its first page.
    pub(crate) fn open(path: &Path) -> Result<Self, ReadError> {
        let file = disk::open(path)?;
        let length = file.metadata()?.len();
        if length < PAGE as u64 {
            return Err(bad("it is cut off"));
        }
        let mut page = [0; PAGE];
        exactly_at(&file, &mut page, 0)?;
        let header = Header::decode(&page, length)?;
        Ok(Self { file, header, cache: Mutex::default() })
    }

    /// The chunk of `length` bytes, checksum included, at `offset`; the
    /// checksum is taken off.
    pub(crate) fn chunk(&self, offset: u64, length: u64) -> Result<Arc<[u8]>, ReadError> {
        if let Some(known) = self.cache().chunks.get(&offset) {
            return Ok(Arc::clone(known));
        }
        let chunk: Arc<[u8]> = self.chunk_once(offset, length)?.into();
        let mut cache = self.cache();
        if cache.bytes + chunk.len() > CACHE {
            *cache = Cache::default();
        }
        cache.bytes += chunk.len();
        cache.chunks.insert(offset, Arc::clone(&chunk));
        Ok(chunk)
    }

    /// The same, for chunks that are not read again.
    pub(crate) fn chunk_once(&self, offset: u64, length: u64) -> Result<Vec<u8>, ReadError> {
        let fits = offset.checked_add(length).is_some_and(|end| end <= self.header.length);
        if !fits || length < CHECK as u64 || length > LARGEST_CHUNK {
            return Err(bad(format!("it points outside itself at byte {offset}")));
        }
        let mut bytes = vec![0; length as usize];
        exactly_at(&self.file, &mut bytes, offset)?;
        let body = bytes.len() - CHECK;
        if check_at(offset, &bytes[..body]).to_le_bytes() != bytes[body..] {
            return Err(bad(format!("the bytes from {offset} on are not what was written")));
        }
        bytes.truncate(body);
        Ok(bytes)
    }

    /// A section that is one chunk.
    pub(crate) fn whole(&self, section: usize) -> Result<Vec<u8>, ReadError> {
        let section = self.header.sections[section];
        self.chunk_once(section.offset, section.length)
    }

    fn cache(&self) -> std::sync::MutexGuard<'_, Cache> {
        // Nothing panics while it is held; a poisoned cache is still sound.
        self.cache.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

#[cfg(unix)]
fn exactly_at(file: &File, buffer: &mut [u8], offset: u64) -> io::Result<()> {
    std::os::unix::fs::FileExt::read_exact_at(file, buffer, offset)
}

#[cfg(windows)]
fn exactly_at(file: &File, mut buffer: &mut [u8], mut offset: u64) -> io::Result<()> {
    while !buffer.is_empty() {
        match std::os::windows::fs::FileExt::seek_read(file, buffer, offset)? {
            0 => return Err(io::ErrorKind::UnexpectedEof.into()),
            read => {
                buffer = &mut buffer[read..];
                offset += read as u64;
            }
        }
    }
    Ok(())
}

/// A file being written chunk by chunk. Dropped before [`ChunkWriter::finish`]
/// it removes the file.
#[derive(Debug)]
pub(crate) struct ChunkWriter {
    path: PathBuf,
    out: io::BufWriter<File>,
    at: u64,
    done: bool,
}

impl ChunkWriter {
    /// Begins a file at `path`, after room for the first page.
    pub(crate) fn create(path: &Path) -> io::Result<Self> {
        let mut out = io::BufWriter::with_capacity(1 << 18, disk::create(path)?);
        let begun = out.write_all(&[0; PAGE]);
        let writer = Self { path: path.to_owned(), out, at: PAGE as u64, done: false };
        begun.map(|()| writer)
    }

    /// Where the next chunk goes.
    pub(crate) fn position(&self) -> u64 {
        self.at
    }

    /// Writes a chunk and its checksum; returns its length with the checksum.
    pub(crate) fn chunk(&mut self, bytes: &[u8]) -> io::Result<u64> {
        self.out.write_all(bytes)?;
        self.out.write_all(&check_at(self.at, bytes).to_le_bytes())?;
        let length = (bytes.len() + CHECK) as u64;
        self.at += length;
        Ok(length)
    }

    /// Writes the first page and waits until all is on the disk.
    pub(crate) fn finish(mut self, mut header: Header) -> io::Result<()> {
        header.length = self.at;
        self.out.flush()?;
        let file = self.out.get_mut();
        file.seek(SeekFrom::Start(0))?;
        file.write_all(&header.encode())?;
        file.sync_all()?;
        self.done = true;
        Ok(())
    }
}

impl Drop for ChunkWriter {
    fn drop(&mut self) {
        if !self.done {
            let _ = std::fs::remove_file(&self.path);
        }
    }
}

//! A whole book in another place, as it is: generation, history and log too.

use std::fs;
use std::io::{self, Write};
use std::path::Path;
use std::time::Duration;

use crate::store::append::Appender;
use crate::store::book::Book;
use crate::store::disk;
use crate::store::error::StoreError;
use crate::store::folder::{BEGINNING, CHANGING};
use crate::store::ledger::{self, KINDS};
use crate::store::lock::Lock;
use crate::store::pipeline::Pipeline;
use crate::store::publish::{publish, refuse_if_taken, remove_leftovers};

/// What the copy holds, for the one who compares both places.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Copied {
    pub generation: u64,
    pub fasteners: u64,
    pub settings: u64,
    /// CRC-32 of both as a backup, in hexadecimal.
    pub check: String,
}

/// Copies `from` into the folder `dir`, where no book is, and compares the two.
///
/// # Errors
/// Where there is a book, or the copy is another.
pub fn copy_to_folder(from: &Book, dir: &Path, wait: Duration) -> Result<Copied, StoreError> {
    refuse_if_taken(dir)?;
    fs::create_dir_all(dir).map_err(|error| StoreError::io("make", dir, error))?;
    let _lock = Lock::take(dir, wait)?;
    refuse_if_taken(dir)?;
    let changing = dir.join(CHANGING);
    disk::write_durably(&changing, BEGINNING)
        .and_then(|()| disk::sync_folder(dir))
        .map_err(|error| StoreError::io("write", &changing, error))?;
    let done = fill(from, dir).and_then(|()| compared(from, &Book::open(dir)?));
    if done.is_err() {
        // Nothing named it before.
        let _ = fs::remove_file(dir.join(crate::store::folder::CURRENT));
        remove_leftovers(dir, None);
    }
    let _ = fs::remove_file(&changing);
    done.map_err(StoreError::without_book)
}

fn fill(from: &Book, dir: &Path) -> Result<(), StoreError> {
    let mut pipeline = Pipeline::begin(dir, from.generation(), from.tables().clone())?;
    from.each_entry(&mut |_, fastener| pipeline.push(fastener))?;
    let mut appender = Appender::new(dir, None, from.generation());
    ledger::each(from.dir(), from.current(), &KINDS, &mut |row| appender.push(&row))?;
    let doubt = publish(dir, &pipeline.finish()?, appender.finish()?)?;
    doubt.map_or(Ok(()), Err)
}

/// What both hold, if it is the same.
pub(crate) fn compared(from: &Book, to: &Book) -> Result<Copied, StoreError> {
    let check = check_of(from)?;
    if check_of(to)? != check {
        return Err(StoreError::damaged(to.dir(), "the copy is not what was copied"));
    }
    let info = to.info();
    let (fasteners, settings) = (info.fasteners, info.settings);
    Ok(Copied { generation: info.generation, fasteners, settings, check })
}

/// The checksum of a book as a backup: all of it, its counts too.
fn check_of(book: &Book) -> Result<String, StoreError> {
    let mut sum = Crc(crc32fast::Hasher::new());
    book.backup(&mut sum, book.dir())?;
    Ok(format!("{:08x}", sum.0.finalize()))
}

struct Crc(crc32fast::Hasher);

impl Write for Crc {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.update(bytes);
        Ok(bytes.len())
    }
    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

//! Checking a whole book.

use std::hash::{DefaultHasher, Hasher};
use std::path::Path;
use std::time::Duration;

use crate::store::bench::Bench;
use crate::store::book::{Book, read_error};
use crate::store::book_of_record::{BookOfRecord, Sled};
use crate::store::codec;
use crate::store::error::StoreError;
use crate::store::ledger::{self, KINDS};
use crate::store::lock::Lock;
use crate::store::rebuild::meta_of;
use crate::store::row::Stored;

/// What a check of the whole book found.
#[derive(Debug)]
pub struct BookVerdict {
    /// What is wrong with the read image; nothing if it is whole.
    pub image: Option<StoreError>,
    /// What is wrong with the book of record; nothing if it is whole.
    pub record: Option<StoreError>,
    /// What is wrong with the ledger; nothing if it is whole.
    pub ledger: Option<StoreError>,
    /// Why the book of record was not looked at: a read-only folder, or
    /// somebody is changing it.
    pub skipped: Option<StoreError>,
    /// A change was broken off after it was stored: the next one finishes it.
    pub pending: bool,
    /// How many fasteners were read.
    pub fasteners: u64,
    pub settings: u64,
}

impl BookVerdict {
    /// Whether everything that was looked at is whole.
    pub fn is_whole(&self) -> bool {
        self.image.is_none() && self.record.is_none() && self.ledger.is_none()
    }
}

/// Reads all of the book at `dir` and compares its two halves. The error is
/// one that leaves nothing to check.
pub fn verify(dir: &Path, wait: Duration) -> Result<BookVerdict, StoreError> {
    verify_with(dir, wait, &|book| Ok(Box::new(Sled::open(dir, book.current())?)))
}

/// What opens the book of record of a book.
type Opens<'a> = &'a dyn Fn(&Book) -> Result<Box<dyn BookOfRecord>, StoreError>;

/// The same with the book of record that `open` gives.
pub(crate) fn verify_with(
    dir: &Path,
    wait: Duration,
    open: Opens<'_>,
) -> Result<BookVerdict, StoreError> {
    let lock = Lock::take_existing(dir, wait);
    let book = Book::open(dir)?;
    let mut sums = Sums::default();
    let ledger = ledger::each(dir, book.current(), &KINDS, &mut |row| {
        sums.ledger.add(&row);
        Ok(())
    });
    let ledger = ledger.and_then(|()| Bench::read(dir, book.current()).map(drop)).err();
    let (image, record, skipped, pending) = (None, None, None, false);
    let mut verdict =
        BookVerdict { image, record, ledger, skipped, pending, fasteners: 0, settings: 0 };
    let read = book.each_entry(&mut |number, fastener| {
        verdict.fasteners += 1;
        verdict.settings += fastener.settings.len() as u64;
        sums.fasteners.add(&(number, fastener));
        Ok(())
    });
    let image = book.image().verify().map_err(|error| {
        let what = format!("its read image {}", book.current());
        read_error(dir, &dir.join(&book.current().image), &what, error)
    });
    verdict.image = read.and(image).err();
    match lock {
        Err(error) => verdict.skipped = Some(error),
        Ok(_lock) => match open(&book).and_then(|mut record| {
            compare(dir, &book, &mut *record, &sums, verdict.image.is_none())
        }) {
            Ok(pending) => verdict.pending = pending,
            Err(error @ StoreError::Unreachable { .. }) => verdict.skipped = Some(error),
            Err(error) => verdict.record = Some(error.without_book()),
        },
    }
    Ok(verdict)
}

/// The book of record against what the image gave; whether it has a change that
/// is still to be published.
fn compare(
    dir: &Path,
    book: &Book,
    record: &mut dyn BookOfRecord,
    sums: &Sums,
    image_is_whole: bool,
) -> Result<bool, StoreError> {
    let meta = record.meta()?;
    let mut own = Sums::default();
    let tables = record.tables()?;
    record.each_entry(&mut |number, fastener| {
        own.fasteners.add(&(number, fastener));
        Ok(())
    })?;
    let keeps_ledger = record.each_ledger_row(&mut |row| {
        own.ledger.add(&row);
        Ok(())
    })?;
    if !image_is_whole {
        return Ok(false);
    }
    let differs = |what: &str| {
        Err(StoreError::damaged(dir, format!("the book of record and the read image: {what}")))
    };
    if meta.generation > meta_of(book.counts()).generation {
        return Ok(true);
    }
    if own.fasteners != sums.fasteners || meta != meta_of(book.counts()) {
        return differs("they hold different fasteners");
    }
    if tables != *book.tables() {
        return differs("they hold different tables");
    }
    if keeps_ledger && own.ledger != sums.ledger {
        return differs("they hold different histories, logs or notes");
    }
    Ok(false)
}

/// What one half of a book holds.
#[derive(Default)]
struct Sums {
    fasteners: Sum,
    ledger: Sum,
}

/// Rows in their order, by number and checksum.
#[derive(Default, PartialEq)]
struct Sum {
    rows: u64,
    check: u64,
}

impl Sum {
    fn add(&mut self, row: &impl Stored) {
        let mut hasher = DefaultHasher::new();
        hasher.write_u64(self.check);
        // What cannot be encoded could not have been read.
        hasher.write(&codec::encode_list(row).unwrap_or_default());
        (self.rows, self.check) = (self.rows + 1, hasher.finish());
    }
}

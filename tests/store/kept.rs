//! Books in folders, for the tests that hold wherever a book is kept.

use std::path::Path;
use std::time::Duration;

use clampbook::store::{self, Book, Restored, StoreError, Writer};

pub(crate) fn begin(dir: &Path) -> Writer {
    Writer::create(dir).unwrap()
}

pub(crate) fn open(dir: &Path, wait: Duration) -> Result<Writer, StoreError> {
    Writer::open(dir, wait)
}

pub(crate) fn read(dir: &Path) -> Book {
    Book::open(dir).unwrap()
}

pub(crate) fn restore(dir: &Path) -> Restored {
    store::restore(dir, Duration::ZERO).unwrap()
}

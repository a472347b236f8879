//! The seam: what the read image is derived from, and where a change is kept.
//!
//! sled in the book's own folder ([`Sled`]) is one such book of record, a server
//! (`server`) another. Readers see neither: they open the read image.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::record::{Fastener, Tables};
use crate::store::book::Book;
use crate::store::engine::Engine;
use crate::store::error::StoreError;
use crate::store::folder::Current;
use crate::store::ledger::{self, LedgerRow};
use crate::store::next::Next;
use crate::store::publish::write_files;
use crate::store::rebuild::meta_of;
use crate::store::recover;
use crate::store::seal::Meta;

/// What is called with each number and fastener of a book of record.
pub(crate) type Visit<'a> = &'a mut dyn FnMut(u64, Arc<Fastener>) -> Result<(), StoreError>;

/// What is called with each row of a ledger.
pub(crate) type VisitRow<'a> = &'a mut dyn FnMut(LedgerRow) -> Result<(), StoreError>;

/// What a writer needs of the place where changes are kept: sled in a folder, or a server.
pub(crate) trait BookOfRecord: Send {
    /// What it says of itself.
    fn meta(&mut self) -> Result<Meta, StoreError>;

    /// Its lubes and strengths.
    fn tables(&mut self) -> Result<Tables, StoreError>;

    /// Visits every fastener with its number, rising.
    fn each_entry(&mut self, visit: Visit<'_>) -> Result<(), StoreError>;

    /// Visits every row of the ledger, in order, where it keeps that too; whether it does.
    fn each_ledger_row(&mut self, _: VisitRow<'_>) -> Result<bool, StoreError> {
        Ok(false)
    }

    /// Makes what it holds and `current` does not name the book; whether there was
    /// anything.
    fn catch_up(&mut self, current: &Current) -> Result<bool, StoreError>;

    /// Stores `next`, which was worked out from `book`, in both halves, whole or not at
    /// all: rows, history and log. What may be wrong after it is stored is handed back.
    ///
    /// # Errors
    /// [`StoreError::Moved`] if it is no longer as `book` says: nothing is stored.
    fn store(&mut self, book: &Book, next: &Next) -> Result<Option<StoreError>, StoreError>;

    /// Whether the last change that failed may be stored all the same.
    fn may_have_stored(&self) -> bool;
}

/// The book of record in the book's own folder.
pub(crate) struct Sled {
    dir: PathBuf,
    engine: Engine,
    /// It was asked to store a change, and has not said that it did.
    is_asked: bool,
}

impl Sled {
    /// The one that `current` of the book at `dir` names.
    pub(crate) fn open(dir: &Path, current: &Current) -> Result<Self, StoreError> {
        Ok(Self::over(dir, Engine::open(&dir.join(&current.sled), false)?))
    }

    pub(crate) fn over(dir: &Path, engine: Engine) -> Self {
        Self { dir: dir.to_owned(), engine, is_asked: false }
    }
}

impl BookOfRecord for Sled {
    fn meta(&mut self) -> Result<Meta, StoreError> {
        Ok(self.engine.meta()?.unwrap_or_default())
    }

    fn tables(&mut self) -> Result<Tables, StoreError> {
        recover::tables(&self.dir, &self.engine)
    }

    fn each_entry(&mut self, visit: Visit<'_>) -> Result<(), StoreError> {
        recover::each_entry(&self.dir, &self.engine, visit)
    }

    fn catch_up(&mut self, current: &Current) -> Result<bool, StoreError> {
        let meta = self.meta()?;
        let is_ahead = meta.generation > current.generation;
        if is_ahead {
            recover::publish_committed(&self.dir, current, &self.engine, meta)?;
        }
        Ok(is_ahead)
    }

    fn store(&mut self, book: &Book, next: &Next) -> Result<Option<StoreError>, StoreError> {
        let batch = next.batch(book, &self.engine, &self.dir)?;
        let (mut current, counts) = write_files(&self.dir, book, next)?;
        let old = current.ledger.take();
        current.ledger =
            ledger::append(&self.dir, old.as_ref(), next.counts.generation, &next.ledger)?;
        self.is_asked = true;
        self.engine.commit(batch, meta_of(counts))?;
        let doubt = current.publish(&self.dir)?;
        self.is_asked = false;
        Ok(doubt)
    }

    fn may_have_stored(&self) -> bool {
        self.is_asked
    }
}

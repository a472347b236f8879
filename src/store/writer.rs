//! The one writer: changes that are whole or absent.

use std::fs;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use crate::record::Tables;
use crate::store::book::Book;
use crate::store::change::Change;
use crate::store::engine::Engine;
use crate::store::error::StoreError;
use crate::store::folder::{self, CHANGING, Current};
use crate::store::image::ImageWriter;
use crate::store::ledger::{self, LedgerRow, Signature};
use crate::store::lock::Lock;
use crate::store::next::Next;
use crate::store::overlay::Overlay;
use crate::store::pipeline::Pipeline;
use crate::store::publish::{publish, refuse_if_taken, remove_leftovers};
use crate::store::rebuild::{Rebuild, Rebuilt, meta_of, write_error};
use crate::store::recover;
use crate::store::seal::Meta;

/// A change of this many fasteners, if it is also one in [`BULK_SHARE`], is
/// written as a new state beside the old one.
const BULK: usize = 2000;
const BULK_SHARE: u64 = 8;

/// The right to change a book, held until dropped.
pub struct Writer {
    pub(crate) dir: PathBuf,
    pub(crate) book: Book,
    engine: Option<Engine>,
    pub(crate) signature: Signature,
    // Last, so that it is given back last.
    _lock: Lock,
}

impl Writer {
    /// Makes a new, empty book at `dir`, with its parents.
    pub fn create(dir: &Path) -> Result<Self, StoreError> {
        refuse_if_taken(dir)?;
        fs::create_dir_all(dir).map_err(|error| StoreError::io("make", dir, error))?;
        let lock = Lock::take(dir, Duration::ZERO)?;
        // Somebody may have been quicker.
        refuse_if_taken(dir)?;
        remove_leftovers(dir, None);
        let rebuilt = Rebuild::begin(dir, 0, Arc::default())?.finish()?;
        publish(dir, &rebuilt, None)?;
        let book = Book::open(dir)?;
        let (engine, signature) = (Some(rebuilt.engine), Signature::default());
        Ok(Self { dir: dir.to_owned(), book, engine, signature, _lock: lock })
    }

    /// Takes the book at `dir` for changing, waiting up to `wait` for another
    /// writer to finish.
    pub fn open(dir: &Path, wait: Duration) -> Result<Self, StoreError> {
        Current::read(dir)?;
        let lock = Lock::take(dir, wait)?;
        let book = Book::open(dir)?;
        let signature = Signature::default();
        let mut writer = Self { dir: dir.to_owned(), book, engine: None, signature, _lock: lock };
        if dir.join(CHANGING).exists() {
            writer.open_engine()?;
            writer.tidy();
        }
        Ok(writer)
    }

    /// Says who makes the changes that follow, and when, for their history.
    pub fn sign(&mut self, signature: Signature) {
        self.signature = signature;
    }

    /// The book as it is after the last change.
    pub fn book(&self) -> &Book {
        &self.book
    }

    /// Makes `changes`, all or none, and returns the new generation. An empty
    /// list changes nothing.
    pub fn apply(&mut self, changes: Vec<Change>) -> Result<u64, StoreError> {
        self.change(changes, None)
    }

    /// The same, as what takes back the generation `undoes`.
    pub(crate) fn change(
        &mut self,
        changes: Vec<Change>,
        undoes: Option<u64>,
    ) -> Result<u64, StoreError> {
        if changes.is_empty() {
            return Ok(self.book.generation());
        }
        if self.engine.is_none() && self.dir.join(CHANGING).exists() {
            // The last change of this writer failed half way.
            self.open_engine()?;
        }
        let next = Next::of(&self.book, self.signature.clone(), changes, undoes)?;
        let many =
            next.len() >= BULK && next.len() as u64 * BULK_SHARE >= self.book.counts().fasteners;
        if !next.changes_book() {
            return self.write_ledger(&next);
        }
        self.mark_changing()?;
        let done = if many { self.write_anew(&next) } else { self.write(&next) };
        self.settled(done)
    }

    /// Rewrites both files of the book to their smallest, as a new generation.
    pub fn compact(&mut self) -> Result<u64, StoreError> {
        let mut pipeline = self.begin(self.book.tables().clone())?;
        let mut pushed = Ok(());
        let walked = self.book.each_entry(&mut |(_, fastener)| {
            pushed = pipeline.push(fastener);
            if pushed.is_ok() { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
        });
        let copied = walked.and(pushed);
        let done = copied.and_then(|()| self.adopt(pipeline.finish()?, &[]));
        self.settled(done)
    }

    /// Begins a whole new state.
    pub(crate) fn begin(&self, tables: Tables) -> Result<Pipeline, StoreError> {
        self.mark_changing()?;
        Pipeline::begin(&self.dir, self.book.generation() + 1, tables).inspect_err(|_| self.tidy())
    }

    /// Makes a complete new state the book.
    /// `ledger` is what it adds to the ledger.
    pub(crate) fn adopt(
        &mut self,
        rebuilt: Rebuilt,
        ledger: &[LedgerRow],
    ) -> Result<(), StoreError> {
        let old = self.book.current().ledger.as_ref();
        let ledger = ledger::append(&self.dir, old, rebuilt.counts.generation, ledger)?;
        publish(&self.dir, &rebuilt, ledger)?;
        self.engine = Some(rebuilt.engine);
        Ok(())
    }

    /// After a change: opens the book as it is now, or puts a failed change away.
    pub(crate) fn settled(&mut self, done: Result<(), StoreError>) -> Result<u64, StoreError> {
        if let Err(error) = done {
            self.give_up();
            return Err(error);
        }
        self.book = Book::open(&self.dir)?;
        self.tidy();
        Ok(self.book.generation())
    }

    fn write_anew(&mut self, next: &Next) -> Result<(), StoreError> {
        let mut pipeline = self.begin(next.tables.clone())?;
        next.each_entry(&self.book, &mut |_, fastener| pipeline.push(Arc::clone(fastener)))?;
        self.adopt(pipeline.finish()?, &next.ledger)
    }

    fn write(&mut self, next: &Next) -> Result<(), StoreError> {
        if self.engine.is_none() {
            self.open_engine()?;
            if self.book.generation() + 1 != next.counts.generation {
                // A broken change came to light: what was worked out is void.
                return Err(StoreError::damaged(&self.dir, "a change was broken off; try again"));
            }
        }
        let Some(engine) = &self.engine else { return Err(StoreError::Stopped) };
        let batch = next.batch(&self.book, engine, &self.dir)?;
        let (mut current, counts) = self.write_files(next)?;
        let old = current.ledger.take();
        current.ledger =
            ledger::append(&self.dir, old.as_ref(), next.counts.generation, &next.ledger)?;
        engine.commit(batch, meta_of(counts)).inspect_err(|_| {
            // If it was committed all the same, the next writer finds out.
            let unused = current.overlay.as_ref().unwrap_or(&current.image);
            let _ = fs::remove_file(self.dir.join(unused));
        })?;
        current.publish(&self.dir)
    }

    /// A change of the ledger alone: the book keeps its generation.
    fn write_ledger(&mut self, next: &Next) -> Result<u64, StoreError> {
        let old = self.book.current().clone();
        let generation = old.generation;
        let ledger = ledger::append(&self.dir, old.ledger.as_ref(), generation, &next.ledger)?;
        Current { ledger, ..old }.publish(&self.dir)?;
        self.book = Book::open(&self.dir)?;
        Ok(generation)
    }

    /// Writes the overlay, or a new image where that has become too large.
    fn write_files(
        &self,
        next: &Next,
    ) -> Result<(Current, crate::store::image::Counts), StoreError> {
        let generation = next.counts.generation;
        let old = self.book.current().clone();
        let base = self.book.image().counts();
        let overlay = next.overlay(&self.book);
        let unfit = |why: crate::store::codec::Unreadable| StoreError::TooLarge {
            key: "the change".to_owned(),
            why: why.0,
        };
        if Overlay::may_hold(base.fasteners, overlay.changed.len())
            && let Some(bytes) = overlay.encode(base.generation).map_err(unfit)?
        {
            let name = format!("overlay-{generation}");
            let path = self.dir.join(&name);
            Overlay::write(&path, &bytes).map_err(|error| StoreError::io("write", &path, error))?;
            return Ok((Current { generation, overlay: Some(name), ..old }, next.counts));
        }
        let image = format!("image-{generation}");
        let path = self.dir.join(&image);
        let mut writer = ImageWriter::create(&path, Arc::new(next.tables.clone()))
            .map_err(|error| StoreError::io("write", &path, error))?;
        next.each_entry(&self.book, &mut |number, fastener| {
            let pushed = writer.push(number, fastener);
            pushed.map(drop).map_err(|error| write_error(&path, &fastener.key, error))
        })?;
        let counts = writer
            .finish(generation, next.counts.next)
            .map_err(|error| write_error(&path, "the book", error))?;
        Ok((Current { generation, image, overlay: None, ..old }, counts))
    }

    /// Opens the book of record and compares it with `current`: a change that
    /// was broken off after it was committed is published now.
    fn open_engine(&mut self) -> Result<(), StoreError> {
        let engine = Engine::open(&self.dir.join(&self.book.current().sled), false)?;
        let meta = engine.meta()?.unwrap_or_default();
        if meta.generation > self.book.generation() {
            recover::publish_committed(&self.dir, self.book.current(), &engine, meta)?;
            self.book = Book::open(&self.dir)?;
        }
        self.agree(meta)?;
        self.engine = Some(engine);
        Ok(())
    }

    fn agree(&self, meta: Meta) -> Result<(), StoreError> {
        if meta == meta_of(self.book.counts()) {
            return Ok(());
        }
        let what = "the book of record and the read image are of different generations";
        Err(StoreError::damaged(&self.dir, what))
    }

    pub(crate) fn mark_changing(&self) -> Result<(), StoreError> {
        let path = self.dir.join(CHANGING);
        folder::write_durably(&path, b"a change is being written\n")
            .and_then(|()| folder::sync_folder(&self.dir))
            .map_err(|error| StoreError::io("write", &path, error))
    }

    /// After a failed change: whether it was committed all the same is found
    /// out at once, or, where the book of record cannot be opened now, by the
    /// next change.
    fn give_up(&mut self) {
        let was_open = self.engine.take().is_some();
        if !was_open || self.open_engine().is_ok() {
            self.tidy();
        }
    }

    /// Removes the mark and files that `current` does not name.
    pub(crate) fn tidy(&self) {
        let _ = fs::remove_file(self.dir.join(CHANGING));
        remove_leftovers(&self.dir, Some(self.book.current()));
    }
}

impl std::fmt::Debug for Writer {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Writer").field("dir", &self.dir).finish_non_exhaustive()
    }
}

//! The one writer: changes that are whole or absent.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use crate::record::{Fastener, Tables};
use crate::store::append::Appender;
use crate::store::bench::Bench;
use crate::store::book::Book;
use crate::store::book_of_record::{BookOfRecord, Sled};
use crate::store::change::Change;
use crate::store::disk;
use crate::store::engine::Engine;
use crate::store::error::StoreError;
use crate::store::folder::{BEGINNING, CHANGING, Current};
use crate::store::ledger::{self, Signature};
use crate::store::lock::Lock;
use crate::store::next::Next;
use crate::store::pipeline::Pipeline;
use crate::store::publish::{publish, refuse_if_taken, remove_leftovers};
use crate::store::rebuild::{Rebuild, Rebuilt, meta_of};
use crate::store::seal::Meta;
#[cfg(feature = "postgres")]
use crate::store::server::Remote;
use crate::store::undo::Undoes;

/// A change of this many fasteners, if it is also one in [`BULK_SHARE`], is
/// written as a new state beside the old one.
const BULK: usize = 2000;
const BULK_SHARE: u64 = 8;

/// Whether the command at work has stored a change. Whatever fails after that, the
/// program must not end as if nothing had happened: a change made again is made
/// twice.
static STORED: AtomicBool = AtomicBool::new(false);

/// Whether the command at work has changed a book.
pub fn has_stored() -> bool {
    STORED.load(Ordering::Relaxed)
}

/// A command begins: what an earlier one of the prompt stored is not its doing.
pub fn begin_command() {
    STORED.store(false, Ordering::Relaxed);
}

/// The change is stored.
pub(crate) fn note_stored() {
    STORED.store(true, Ordering::Relaxed);
}

/// The right to change a book, held until dropped.
pub struct Writer {
    pub(crate) dir: PathBuf,
    pub(crate) book: Book,
    /// Open from the first change on that needs it.
    pub(crate) record: Option<Box<dyn BookOfRecord>>,
    pub(crate) signature: Signature,
    /// The server that keeps the book of record, if one does.
    #[cfg(feature = "postgres")]
    pub(crate) remote: Option<Remote>,
    /// What went wrong after the last change was stored.
    doubt: Option<StoreError>,
    // Last, so that it is given back last.
    _lock: Lock,
}

impl Writer {
    /// Makes a new, empty book at `dir`, with its parents.
    pub fn create(dir: &Path) -> Result<Self, StoreError> {
        Self::create_with(dir, Duration::ZERO, Contents::default())
    }

    /// Makes a new book at `dir`, with its parents, that holds `contents` from
    /// the first moment that there is one. Waits up to `wait` for somebody else
    /// who is making it.
    pub fn create_with(dir: &Path, wait: Duration, contents: Contents) -> Result<Self, StoreError> {
        Self::make(dir, wait, contents).map_err(StoreError::without_book)
    }

    fn make(dir: &Path, wait: Duration, contents: Contents) -> Result<Self, StoreError> {
        refuse_if_taken(dir)?;
        fs::create_dir_all(dir).map_err(|error| StoreError::io("make", dir, error))?;
        let lock = Lock::take(dir, wait)?;
        // Somebody may have been quicker.
        refuse_if_taken(dir)?;
        remove_leftovers(dir, None);
        let changing = dir.join(CHANGING);
        disk::write_durably(&changing, BEGINNING)
            .and_then(|()| disk::sync_folder(dir))
            .map_err(|error| StoreError::unchanged("write", &changing, error))?;
        let begun = begin_with(dir, contents).inspect_err(|_| {
            remove_leftovers(dir, None);
            let _ = fs::remove_file(&changing);
        });
        let (engine, doubt) = begun?;
        let book = Book::open(dir).map_err(StoreError::after_storing)?;
        let mut writer = Self::over(dir, book, lock);
        writer.record = Some(Box::new(Sled::over(dir, engine)));
        writer.tidy();
        doubt.map_or(Ok(writer), Err)
    }

    /// Takes the book at `dir` for changing, waiting up to `wait` for another
    /// writer to finish.
    pub fn open(dir: &Path, wait: Duration) -> Result<Self, StoreError> {
        if Current::read(dir)?.server.is_some() {
            return Err(StoreError::ReadImage(dir.to_owned()));
        }
        let lock = Lock::take(dir, wait)?;
        let mut writer = Self::over(dir, Book::open(dir)?, lock);
        if dir.join(CHANGING).exists() {
            writer.open_record()?;
            writer.tidy();
        }
        Ok(writer)
    }

    pub(crate) fn over(dir: &Path, book: Book, lock: Lock) -> Self {
        Self {
            dir: dir.to_owned(),
            book,
            record: None,
            signature: Signature::default(),
            #[cfg(feature = "postgres")]
            remote: None,
            doubt: None,
            _lock: lock,
        }
    }

    /// Whether a server keeps the book of record.
    #[cfg(feature = "postgres")]
    pub(crate) fn is_served(&self) -> bool {
        self.book.current().server.is_some()
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
        self.change(changes, Undoes::Nothing)
    }

    /// The same, as what takes an earlier change back.
    pub(crate) fn change(
        &mut self,
        changes: Vec<Change>,
        undoes: Undoes,
    ) -> Result<u64, StoreError> {
        if changes.is_empty() {
            return Ok(self.book.generation());
        }
        #[cfg(feature = "postgres")]
        if self.is_served() {
            return self.change_on_server(changes, undoes);
        }
        // What the last change left half done comes to light here.
        if self.record.is_none() && changes.iter().any(Change::is_of_the_book) {
            self.open_record()?;
        }
        let next = Next::prepare(&self.book, self.signature.clone(), changes, undoes)?;
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
        #[cfg(feature = "postgres")]
        if self.is_served() {
            return self.fetch_anew();
        }
        let mut pipeline = self.begin(self.book.tables().clone())?;
        let copied = self.book.each_entry(&mut |_, fastener| pipeline.push(fastener));
        let done = copied.and_then(|()| self.adopt(pipeline.finish()?, self.appender()));
        self.settled(done)
    }

    /// Begins a whole new state.
    pub(crate) fn begin(&self, tables: Tables) -> Result<Pipeline, StoreError> {
        self.mark_changing()?;
        Pipeline::begin(&self.dir, self.book.generation() + 1, tables).inspect_err(|_| self.tidy())
    }

    /// What adds to the ledger of the next generation.
    pub(crate) fn appender(&self) -> Appender {
        let old = self.book.current().ledger.as_ref();
        Appender::new(&self.dir, old, self.book.generation() + 1)
    }

    /// Makes a complete new state the book.
    /// `ledger` is what it adds to the ledger.
    pub(crate) fn adopt(&mut self, rebuilt: Rebuilt, ledger: Appender) -> Result<(), StoreError> {
        let ledger = ledger.finish()?;
        self.doubt = publish(&self.dir, &rebuilt, ledger)?;
        self.record = Some(Box::new(Sled::over(&self.dir, rebuilt.engine)));
        Ok(())
    }

    /// After a change: opens the book as it is now, or puts a failed change away.
    pub(crate) fn settled(&mut self, done: Result<(), StoreError>) -> Result<u64, StoreError> {
        if let Err(error) = done {
            return Err(self.give_up(error));
        }
        // From here on it is stored, whatever comes.
        note_stored();
        self.book = Book::open(&self.dir).map_err(StoreError::after_storing)?;
        self.tidy();
        self.doubt.take().map_or(Ok(self.book.generation()), Err)
    }

    fn write_anew(&mut self, next: &Next) -> Result<(), StoreError> {
        let mut pipeline = self.begin(next.tables.clone())?;
        next.each_entry(&self.book, &mut |_, fastener| pipeline.push(fastener))?;
        let mut ledger = self.appender();
        next.ledger.iter().try_for_each(|row| ledger.push(row))?;
        self.adopt(pipeline.finish()?, ledger)
    }

    fn write(&mut self, next: &Next) -> Result<(), StoreError> {
        let Some(record) = &mut self.record else { return Err(StoreError::Stopped) };
        self.doubt = record.store(&self.book, next)?;
        Ok(())
    }

    /// A change of the ledger alone: the book keeps its generation.
    fn write_ledger(&mut self, next: &Next) -> Result<u64, StoreError> {
        let old = self.book.current().clone();
        let generation = old.generation;
        let ledger = ledger::append(&self.dir, old.ledger.as_ref(), generation, &next.ledger)?;
        let doubt = Current { ledger, ..old }.publish(&self.dir)?;
        note_stored();
        self.book = Book::open(&self.dir).map_err(StoreError::after_storing)?;
        doubt.map_or(Ok(generation), Err)
    }

    /// Opens the book of record and compares it with `current`: a change that
    /// was broken off after it was committed is published now.
    fn open_record(&mut self) -> Result<(), StoreError> {
        let mut record = Sled::open(&self.dir, self.book.current())?;
        if record.catch_up(self.book.current())? {
            self.book = Book::open(&self.dir)?;
        }
        self.agree(record.meta()?)?;
        self.record = Some(Box::new(record));
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
        disk::write_durably(&path, b"a change is being written\n")
            .and_then(|()| disk::sync_folder(&self.dir))
            .map_err(|error| StoreError::unchanged("write", &path, error))
    }

    /// After a failed change: whether it was committed all the same is found
    /// out at once, or, where the book of record cannot be opened now, by the
    /// next change. The error says which.
    fn give_up(&mut self, error: StoreError) -> StoreError {
        let before = self.book.generation();
        let record = self.record.take();
        let is_asked = record.as_ref().is_some_and(|record| record.may_have_stored());
        let was_open = record.is_some();
        drop(record);
        if was_open && self.open_record().is_err() {
            return if is_asked { StoreError::Unsure(error.cause()) } else { error };
        }
        self.tidy();
        if self.book.generation() > before { error.after_storing() } else { error }
    }

    /// Removes the mark and files that `current` does not name.
    pub(crate) fn tidy(&self) {
        let _ = fs::remove_file(self.dir.join(CHANGING));
        remove_leftovers(&self.dir, Some(self.book.current()));
    }
}

/// What a new book holds from the first.
#[derive(Debug, Default)]
pub struct Contents {
    /// Its lubes and strengths.
    pub tables: Tables,
    /// Its fasteners, in the order entered.
    pub fasteners: Vec<Fastener>,
    /// Wrenches, layouts, bolt sets and notes.
    pub bench: Vec<Change>,
}

/// Writes a whole first state and makes it current.
fn begin_with(dir: &Path, contents: Contents) -> Result<(Engine, Option<StoreError>), StoreError> {
    let Contents { tables, fasteners, bench } = contents;
    let is_empty = tables == Tables::default() && fasteners.is_empty() && bench.is_empty();
    let generation = u64::from(!is_empty);
    let mut rebuild = Rebuild::begin(dir, generation, Arc::new(tables))?;
    fasteners.iter().try_for_each(|fastener| rebuild.push(fastener))?;
    let (mut own, mut rows) = (Bench::default(), Vec::new());
    for change in bench {
        rows.extend(own.take(&Signature::default(), change, false)?);
    }
    let rebuilt = rebuild.finish()?;
    let ledger = ledger::append(dir, None, generation, &rows)?;
    let doubt = publish(dir, &rebuilt, ledger)?;
    Ok((rebuilt.engine, doubt))
}

impl std::fmt::Debug for Writer {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Writer").field("dir", &self.dir).finish_non_exhaustive()
    }
}

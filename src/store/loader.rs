//! Bulk load: many fasteners as one change, in bounded memory.

use std::collections::HashMap;
use std::sync::Arc;

use crate::record::Fastener;
use crate::store::append::Appender;
use crate::store::book::Book;
use crate::store::error::StoreError;
use crate::store::ledger::{LedgerRow, Step};
use crate::store::pipeline::Pipeline;
use crate::store::spool::Spool;
use crate::store::writer::Writer;

/// Fasteners on their way into a book. Dropped before [`Loader::finish`] it
/// leaves the book as it was.
pub trait Loader {
    /// Enters a fastener, or replaces the one of the same key in its place.
    ///
    /// # Errors
    /// Here or at the end where the same key comes twice in one load.
    fn push(&mut self, fastener: Fastener) -> Result<(), StoreError>;

    /// Forgets all that was entered, and begins again.
    ///
    /// # Errors
    /// Where the book cannot be written.
    fn start_over(&mut self) -> Result<(), StoreError>;

    /// Makes all of it the book, durably; returns the new generation.
    ///
    /// # Errors
    /// Where the book cannot be written; it is as it was.
    fn finish(self: Box<Self>) -> Result<u64, StoreError>;
}

/// Fasteners on their way into a book in a folder.
struct Loading<'a> {
    writer: &'a mut Writer,
    /// The new state: the old fasteners and those entered so far. None where the old ones
    /// are more than a few, or one of them was replaced: they are copied at the end.
    pipeline: Option<Pipeline>,
    /// Set where the book holds fasteners already: they go first.
    aside: Option<Aside>,
    /// What is new.
    step: Step,
}

/// New fasteners set aside, for where the old ones are copied at the end.
struct Aside {
    spool: Spool,
    /// Places in the spool of those that replace an old one, by its number.
    replacing: HashMap<u64, usize>,
    /// Places of the new ones, in order.
    new: Vec<usize>,
    /// The numbers of the old ones by their keys, from the first new one on: a file that
    /// the book has already has none.
    numbers: Option<HashMap<String, u64>>,
}

/// A book of more fasteners is asked for each key: their keys would be held for
/// nothing where few rows are entered.
const MOST_KEYS: u64 = 50_000;

/// No more old fasteners go into the new state before it is known that none of them is
/// replaced, so that those of a file follow while it is read: the charts of a new book.
const FEW: u64 = 1000;

impl Writer {
    /// Begins a bulk load.
    pub fn load(&mut self) -> Result<Box<dyn Loader + '_>, StoreError> {
        #[cfg(feature = "postgres")]
        if self.is_served() {
            return self.load_on_server();
        }
        let mut loading =
            Loading { writer: self, pipeline: None, aside: None, step: Step::default() };
        loading.begin()?;
        Ok(Box::new(loading))
    }
}

impl Loading<'_> {
    fn begin(&mut self) -> Result<(), StoreError> {
        let (book, old) = (&self.writer.book, self.writer.book.counts().fasteners);
        self.aside = if old == 0 { None } else { Some(Aside::new(self.writer)?) };
        if old <= FEW {
            let mut pipeline = self.writer.begin(book.tables().clone())?;
            book.each_entry(&mut |_, fastener| pipeline.push(fastener))?;
            self.pipeline = Some(pipeline);
        }
        Ok(())
    }
}

impl Loader for Loading<'_> {
    fn push(&mut self, fastener: Fastener) -> Result<(), StoreError> {
        let Some(aside) = &mut self.aside else {
            let Some(pipeline) = &mut self.pipeline else { return Err(StoreError::Stopped) };
            self.step.enter(&fastener);
            return pipeline.push(Arc::new(fastener));
        };
        let place = aside.spool.push(&fastener)?;
        match aside.number_of(&fastener.key, &self.writer.book)? {
            None => {
                self.step.enter(&fastener);
                aside.new.push(place);
                self.pipeline.as_mut().map_or(Ok(()), |begun| begun.push(Arc::new(fastener)))
            }
            Some(number) => {
                drop(self.pipeline.take());
                match aside.replacing.insert(number, place) {
                    Some(_) => Err(StoreError::SameKey(fastener.key)),
                    None => Ok(()),
                }
            }
        }
    }

    fn start_over(&mut self) -> Result<(), StoreError> {
        drop(self.pipeline.take());
        self.step = Step::default();
        self.begin()
    }

    fn finish(mut self: Box<Self>) -> Result<u64, StoreError> {
        let (generation, signature) =
            (self.writer.book.generation() + 1, self.writer.signature.clone());
        let step = Step { generation, signature, ..std::mem::take(&mut self.step) };
        let mut ledger = self.writer.appender();
        let whole = match (self.pipeline.take(), self.aside.take()) {
            (Some(pipeline), _) => Ok(pipeline),
            (None, Some(aside)) => aside.copy(self.writer, &mut ledger),
            (None, None) => Err(StoreError::Stopped),
        };
        let done = whole.and_then(|pipeline| {
            step.row().iter().try_for_each(|row| ledger.push(row))?;
            self.writer.adopt(pipeline.finish()?, ledger)
        });
        self.writer.settled(done)
    }
}

impl Drop for Loading<'_> {
    fn drop(&mut self) {
        let is_open = self.pipeline.is_some() || self.aside.is_some();
        (self.pipeline, self.aside) = (None, None);
        if is_open {
            self.writer.tidy();
        }
    }
}

impl Aside {
    fn new(writer: &Writer) -> Result<Self, StoreError> {
        let spool = Spool::new(&writer.dir)?;
        Ok(Self { spool, replacing: HashMap::new(), new: Vec::new(), numbers: None })
    }

    fn number_of(&mut self, key: &str, book: &Book) -> Result<Option<u64>, StoreError> {
        if book.counts().fasteners > MOST_KEYS {
            return Ok(book.locate(key)?.map(|located| located.number));
        }
        if self.numbers.is_none() {
            let mut numbers = HashMap::new();
            book.each_entry(&mut |number, fastener| {
                numbers.insert(fastener.key.clone(), number);
                Ok(())
            })?;
            self.numbers = Some(numbers);
        }
        Ok(self.numbers.as_ref().and_then(|numbers| numbers.get(key).copied()))
    }

    /// Copies the old fasteners and the new, and earlier states into the ledger.
    fn copy(mut self, writer: &Writer, ledger: &mut Appender) -> Result<Pipeline, StoreError> {
        let mut pipeline = writer.begin(writer.book.tables().clone())?;
        let generation = writer.book.generation() + 1;
        writer.book.each_entry(&mut |number, old| {
            let Some(place) = self.replacing.get(&number) else { return pipeline.push(old) };
            let new = Arc::new(self.spool.get(*place)?);
            let past = LedgerRow::past(generation, &writer.signature, old, Some(&new));
            past.map_or(Ok(()), |past| ledger.push(&past))?;
            pipeline.push(new)
        })?;
        for place in std::mem::take(&mut self.new) {
            pipeline.push(Arc::new(self.spool.get(place)?))?;
        }
        Ok(pipeline)
    }
}

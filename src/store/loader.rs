//! Bulk load: many fasteners as one change, in bounded memory.

use std::collections::HashMap;
use std::sync::Arc;

use crate::record::Fastener;
use crate::store::append::Appender;
use crate::store::book::Book;
use crate::store::error::StoreError;
use crate::store::ledger::{LedgerRow, Past, Step};
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
    /// Taken at the end.
    pipeline: Option<Pipeline>,
    /// Set where the book holds fasteners already: they go first.
    aside: Option<Aside>,
    /// What is new.
    step: Step,
}

/// New fasteners set aside until the old ones are copied.
struct Aside {
    spool: Spool,
    /// Places in the spool of those that replace an old one, by its number.
    replacing: HashMap<u64, usize>,
    /// Places of the new ones, in order.
    new: Vec<usize>,
    /// The numbers of the old ones by their keys, while they are not too many.
    numbers: Option<HashMap<String, u64>>,
}

/// A book of more fasteners is asked for each key: their keys would be held for
/// nothing where few rows are entered.
const MOST_KEYS: u64 = 50_000;

impl Writer {
    /// Begins a bulk load.
    pub fn load(&mut self) -> Result<Box<dyn Loader + '_>, StoreError> {
        #[cfg(feature = "postgres")]
        if self.is_served() {
            return self.load_on_server();
        }
        let aside = if self.book.counts().fasteners == 0 { None } else { Some(Aside::new(self)?) };
        let pipeline = Some(self.begin(self.book.tables().clone())?);
        Ok(Box::new(Loading { writer: self, pipeline, aside, step: Step::default() }))
    }
}

impl Loader for Loading<'_> {
    fn push(&mut self, fastener: Fastener) -> Result<(), StoreError> {
        let Some(pipeline) = &mut self.pipeline else { return Err(StoreError::Stopped) };
        let Some(aside) = &mut self.aside else {
            self.step.enter(&fastener);
            return pipeline.push(Arc::new(fastener));
        };
        let place = aside.spool.push(&fastener)?;
        match aside.number_of(&fastener.key, &self.writer.book)? {
            None => {
                self.step.enter(&fastener);
                aside.new.push(place);
            }
            Some(number) => {
                if aside.replacing.insert(number, place).is_some() {
                    return Err(StoreError::SameKey(fastener.key));
                }
            }
        }
        Ok(())
    }

    fn start_over(&mut self) -> Result<(), StoreError> {
        drop(self.pipeline.take());
        self.step = Step::default();
        if self.aside.is_some() {
            self.aside = Some(Aside::new(self.writer)?);
        }
        self.pipeline = Some(self.writer.begin(self.writer.book.tables().clone())?);
        Ok(())
    }

    fn finish(mut self: Box<Self>) -> Result<u64, StoreError> {
        let Some(mut pipeline) = self.pipeline.take() else { return Err(StoreError::Stopped) };
        let (generation, signature) =
            (self.writer.book.generation() + 1, self.writer.signature.clone());
        let step = Step { generation, signature, ..std::mem::take(&mut self.step) };
        let mut ledger = self.writer.appender();
        let copied = self
            .aside
            .take()
            .map_or(Ok(()), |aside| aside.copy(self.writer, &mut pipeline, &mut ledger))
            .and_then(|()| step.row().iter().try_for_each(|row| ledger.push(row)));
        let done = copied.and_then(|()| self.writer.adopt(pipeline.finish()?, ledger));
        self.writer.settled(done)
    }
}

impl Drop for Loading<'_> {
    fn drop(&mut self) {
        if let Some(pipeline) = self.pipeline.take() {
            drop(pipeline);
            self.writer.tidy();
        }
    }
}

impl Aside {
    fn new(writer: &Writer) -> Result<Self, StoreError> {
        let mut numbers = HashMap::new();
        let few = writer.book.counts().fasteners <= MOST_KEYS;
        if few {
            writer.book.each_entry(&mut |number, fastener| {
                numbers.insert(fastener.key.clone(), number);
                Ok(())
            })?;
        }
        let (spool, numbers) = (Spool::new(&writer.dir)?, few.then_some(numbers));
        Ok(Self { spool, replacing: HashMap::new(), new: Vec::new(), numbers })
    }

    fn number_of(&self, key: &str, book: &Book) -> Result<Option<u64>, StoreError> {
        match &self.numbers {
            Some(numbers) => Ok(numbers.get(key).copied()),
            None => Ok(book.locate(key)?.map(|located| located.number)),
        }
    }

    /// Copies the old fasteners and the new, and earlier states into the ledger.
    fn copy(
        mut self,
        writer: &Writer,
        pipeline: &mut Pipeline,
        ledger: &mut Appender,
    ) -> Result<(), StoreError> {
        let generation = writer.book.generation() + 1;
        let mut past = |old: Arc<Fastener>, new: Arc<Fastener>| {
            if old != new {
                let (signature, new) = (writer.signature.clone(), Some(Arc::clone(&new)));
                let past = Past { generation, signature, old, new };
                ledger.push(&LedgerRow::Past(Box::new(past)))?;
            }
            Ok::<Arc<Fastener>, StoreError>(new)
        };
        writer.book.each_entry(&mut |number, old| {
            let next = match self.replacing.get(&number) {
                Some(place) => past(old, Arc::new(self.spool.get(*place)?))?,
                None => old,
            };
            pipeline.push(next)
        })?;
        for place in std::mem::take(&mut self.new) {
            pipeline.push(Arc::new(self.spool.get(place)?))?;
        }
        Ok(())
    }
}

//! Bulk load: many fasteners as one change, in bounded memory.

use std::collections::{HashMap, HashSet};
use std::ops::ControlFlow;
use std::sync::Arc;

use crate::record::Fastener;
use crate::store::append::Appender;
use crate::store::book::Book;
use crate::store::change::Change;
use crate::store::error::StoreError;
use crate::store::ledger::{LedgerRow, MOST_ENTERED, Past, Step};
use crate::store::pipeline::Pipeline;
use crate::store::spool::Spool;
use crate::store::writer::Writer;

/// Fasteners on their way into a book. Dropped before [`Loader::finish`] it
/// leaves the book as it was.
pub struct Loader<'a> {
    writer: &'a mut Writer,
    /// Taken at the end.
    pipeline: Option<Pipeline>,
    /// Set where the book holds fasteners already: they go first.
    aside: Option<Aside>,
    /// For a book on a server: all that is new goes there as one change.
    sent: Option<(Vec<Change>, HashSet<String>)>,
    /// Keys of what is new, as far as they are listed, and how many.
    entered: Vec<String>,
    count: u64,
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
    pub fn load(&mut self) -> Result<Loader<'_>, StoreError> {
        if self.is_served() {
            let sent = Some((Vec::new(), HashSet::new()));
            let (pipeline, aside, entered) = (None, None, Vec::new());
            return Ok(Loader { writer: self, pipeline, aside, sent, entered, count: 0 });
        }
        let aside = if self.book.counts().fasteners == 0 { None } else { Some(Aside::new(self)?) };
        let pipeline = Some(self.begin(self.book.tables().clone())?);
        Ok(Loader { writer: self, pipeline, aside, sent: None, entered: Vec::new(), count: 0 })
    }
}

impl Loader<'_> {
    /// The book as it still is.
    pub fn book(&self) -> &crate::store::Book {
        self.writer.book()
    }

    /// Enters a fastener, or replaces the one of the same key in its place.
    /// The same key twice in one load is an error at the end.
    pub fn push(&mut self, fastener: Fastener) -> Result<(), StoreError> {
        if let Some((changes, keys)) = &mut self.sent {
            if !keys.insert(fastener.key.clone()) {
                return Err(StoreError::SameKey(fastener.key));
            }
            changes.push(Change::from(fastener));
            return Ok(());
        }
        let Some(pipeline) = &mut self.pipeline else { return Err(StoreError::Stopped) };
        let Some(aside) = &mut self.aside else {
            note(&mut self.entered, &mut self.count, &fastener);
            return pipeline.push(Arc::new(fastener));
        };
        match aside.number_of(&fastener.key, &self.writer.book)? {
            None => {
                note(&mut self.entered, &mut self.count, &fastener);
                let place = aside.spool.push(&fastener)?;
                aside.new.push(place);
            }
            Some(number) => {
                let place = aside.spool.push(&fastener)?;
                if aside.replacing.insert(number, place).is_some() {
                    return Err(StoreError::SameKey(fastener.key));
                }
            }
        }
        Ok(())
    }

    /// Forgets all that was entered, and begins again.
    pub fn start_over(&mut self) -> Result<(), StoreError> {
        if let Some(sent) = &mut self.sent {
            *sent = (Vec::new(), HashSet::new());
            return Ok(());
        }
        drop(self.pipeline.take());
        (self.entered, self.count) = (Vec::new(), 0);
        if self.aside.is_some() {
            self.aside = Some(Aside::new(self.writer)?);
        }
        self.pipeline = Some(self.writer.begin(self.writer.book.tables().clone())?);
        Ok(())
    }

    /// Makes all of it the book, durably; returns the new generation.
    pub fn finish(mut self) -> Result<u64, StoreError> {
        if let Some((changes, _)) = self.sent.take() {
            return self.writer.apply(changes);
        }
        let Some(mut pipeline) = self.pipeline.take() else { return Err(StoreError::Stopped) };
        let aside = self.aside.take();
        let step = Step {
            generation: self.writer.book.generation() + 1,
            signature: self.writer.signature.clone(),
            entered: std::mem::take(&mut self.entered),
            count: self.count,
            ..Step::default()
        };
        let mut ledger = self.writer.appender();
        let copied = aside
            .map_or(Ok(()), |aside| aside.copy(self.writer, &mut pipeline, &mut ledger))
            .and_then(|()| step.row().iter().try_for_each(|row| ledger.push(row)));
        let done = copied.and_then(|()| self.writer.adopt(pipeline.finish()?, ledger));
        self.writer.settled(done)
    }
}

/// Counts a new fastener, and lists its key while there are not too many.
fn note(entered: &mut Vec<String>, count: &mut u64, fastener: &Fastener) {
    *count += 1;
    if entered.len() <= MOST_ENTERED {
        entered.push(fastener.key.clone());
    }
}

impl Drop for Loader<'_> {
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
            writer.book.each_entry(&mut |(number, fastener)| {
                numbers.insert(fastener.key.clone(), number);
                ControlFlow::Continue(())
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
        let mut failed = Ok(());
        let generation = writer.book.generation() + 1;
        let mut past = |old: Arc<Fastener>, new: Arc<Fastener>| {
            if old != new {
                let (signature, new) = (writer.signature.clone(), Some(Arc::clone(&new)));
                let past = Past { generation, signature, old, new };
                ledger.push(&LedgerRow::Past(Box::new(past)))?;
            }
            Ok(new)
        };
        writer.book.each_entry(&mut |(number, old)| {
            let next = match self.replacing.get(&number) {
                Some(place) => self.spool.get(*place).and_then(|new| past(old, Arc::new(new))),
                None => Ok(old),
            };
            failed = next.and_then(|next| pipeline.push(next));
            if failed.is_ok() { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
        })?;
        failed?;
        for place in std::mem::take(&mut self.new) {
            pipeline.push(Arc::new(self.spool.get(place)?))?;
        }
        Ok(())
    }
}

impl std::fmt::Debug for Loader<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Loader").finish_non_exhaustive()
    }
}

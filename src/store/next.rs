//! The state after a list of changes, worked out before anything is written.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::path::Path;
use std::sync::Arc;

use crate::record::{Fastener, Kept, KeptKind, Tables};
use crate::store::bench::{Bench, take};
use crate::store::book::{Book, Located};
use crate::store::book_of_record::Visit;
use crate::store::change::Change;
use crate::store::codec::{self, Unreadable};
use crate::store::engine::Engine;
use crate::store::error::StoreError;
use crate::store::image::Counts;
use crate::store::ledger::{LedgerRow, NoteRow, Signature, Step};
use crate::store::overlay::{Changed, Overlay};
use crate::store::piece::{self, BLOCK, Entry};
use crate::store::seal::Batch;
use crate::store::undo::Undoes;

/// The state after a change.
pub(crate) struct Next {
    /// What the book then says of itself.
    pub(crate) counts: Counts,
    pub(crate) tables: Tables,
    /// Whether they differ.
    tables_changed: bool,
    /// Everything that differs from the image, by number.
    pub(crate) changed: BTreeMap<u64, Changed>,
    /// The numbers that this change touches.
    touched: BTreeSet<u64>,
    /// Keys of this change.
    numbers: HashMap<String, Option<u64>>,
    /// The bench as this change has left it so far; read if it is changed.
    bench: Option<Bench>,
    /// Who makes it.
    signature: Signature,
    /// What it takes back.
    undoes: Undoes,
    /// Keys of the fasteners that it enters.
    entered: Vec<String>,
    /// What it adds to the ledger.
    pub(crate) ledger: Vec<LedgerRow>,
    /// The UUID by which a server knows the change.
    #[cfg(feature = "postgres")]
    pub(crate) id: u128,
}

impl Next {
    /// The state after `changes` of `book`, which may take an earlier change back.
    pub(crate) fn prepare(
        book: &Book,
        signature: Signature,
        changes: Vec<Change>,
        undoes: Undoes,
    ) -> Result<Self, StoreError> {
        let mut next = Self {
            counts: book.counts(),
            tables: book.tables().clone(),
            tables_changed: false,
            changed: book.overlay().changed.clone(),
            touched: BTreeSet::new(),
            numbers: HashMap::new(),
            bench: None,
            signature,
            undoes,
            entered: Vec::new(),
            ledger: Vec::new(),
            #[cfg(feature = "postgres")]
            id: 0,
        };
        for change in changes {
            next.take(book, change)?;
        }
        if next.changes_book() {
            next.counts.generation += 1;
            let step = Step {
                generation: next.counts.generation,
                signature: next.signature.clone(),
                count: next.entered.len() as u64,
                entered: std::mem::take(&mut next.entered),
                before: next.tables_changed.then(|| book.tables().clone()),
                undoes: undoes.generation(),
            };
            next.ledger.extend(step.row());
        }
        Ok(next)
    }

    /// The state of `book` after changes that were made elsewhere: `changed` is all that
    /// then differs from the image.
    #[cfg(feature = "postgres")]
    pub(crate) fn fetched(
        book: &Book,
        counts: Counts,
        tables: Option<Tables>,
        changed: BTreeMap<u64, Changed>,
    ) -> Result<Self, StoreError> {
        let next = Self::prepare(book, Signature::default(), Vec::new(), Undoes::Nothing)?;
        let tables_changed = tables.is_some();
        let tables = tables.unwrap_or(next.tables);
        Ok(Self { counts, tables, tables_changed, changed, ..next })
    }

    /// The fasteners that it touches, by number, rising; none where one is removed.
    #[cfg(feature = "postgres")]
    pub(crate) fn touched(&self) -> impl Iterator<Item = (u64, Option<Arc<Fastener>>)> {
        let now = |number| self.changed.get(number).and_then(|changed| changed.fastener.clone());
        self.touched.iter().map(move |number| (*number, now(number)))
    }

    /// Lubes and strengths, if it changes them.
    #[cfg(feature = "postgres")]
    pub(crate) fn new_tables(&self) -> Option<&Tables> {
        self.tables_changed.then_some(&self.tables)
    }

    /// Whether anything but the ledger changes.
    pub(crate) fn changes_book(&self) -> bool {
        self.tables_changed || !self.touched.is_empty()
    }

    /// How many fasteners this change touches.
    pub(crate) fn len(&self) -> usize {
        self.touched.len()
    }

    /// The fastener of that key as it is now.
    fn known(&self, book: &Book, key: &str) -> Result<Option<Located>, StoreError> {
        let Some(number) = self.numbers.get(key) else { return book.locate(key) };
        Ok(number.and_then(|number| {
            let Changed { base, fastener } = self.changed.get(&number)?.clone();
            Some(Located { number, base, fastener: fastener? })
        }))
    }

    fn take(&mut self, book: &Book, change: Change) -> Result<(), StoreError> {
        match change {
            Change::Put(fastener) => return self.put_fastener(book, *fastener),
            Change::Remove(key) => return self.remove_fastener(book, key),
            Change::PutRecord(of_tables @ (Kept::Lube(_) | Kept::Strength(_))) => {
                self.tables.put(of_tables);
            }
            Change::RemoveRecord(KeptKind::Lube, name) => {
                drop(take(&mut self.tables.lubes, &name)?);
            }
            Change::RemoveRecord(KeptKind::Strength, name) => {
                drop(take(&mut self.tables.strengths, &name)?);
            }
            Change::Note { topic, key, text } => {
                let signature = self.signature.clone();
                self.ledger.push(LedgerRow::Note(NoteRow { topic, key, text, signature }));
                return Ok(());
            }
            bench @ (Change::PutRecord(_) | Change::RemoveRecord(..) | Change::AppendPulls(_)) => {
                return self.take_bench(book, bench);
            }
        }
        self.tables_changed = true;
        Ok(())
    }

    fn take_bench(&mut self, book: &Book, change: Change) -> Result<(), StoreError> {
        let mut bench = match self.bench.take() {
            Some(bench) => bench,
            None => book.bench()?.clone(),
        };
        let takes_back = self.undoes == Undoes::Bench;
        self.ledger.extend(bench.take(&self.signature, change, takes_back)?);
        self.bench = Some(bench);
        Ok(())
    }

    fn put_fastener(&mut self, book: &Book, fastener: Fastener) -> Result<(), StoreError> {
        let fastener = Arc::new(fastener);
        let old = self.known(book, &fastener.key)?;
        let (number, base) = match &old {
            Some(old) => (old.number, old.base),
            None => (self.counts.next, None),
        };
        match old {
            Some(old) => {
                self.remember(old.fastener.clone(), Some(&fastener));
                self.counts.settings -= old.fastener.settings.len() as u64;
            }
            None => {
                self.counts.next += 1;
                self.counts.fasteners += 1;
                self.entered.push(fastener.key.clone());
            }
        }
        self.counts.settings += fastener.settings.len() as u64;
        self.numbers.insert(fastener.key.clone(), Some(number));
        self.touched.insert(number);
        self.changed.insert(number, Changed { base, fastener: Some(fastener) });
        Ok(())
    }

    fn remember(&mut self, old: Arc<Fastener>, new: Option<&Arc<Fastener>>) {
        let generation = self.counts.generation + 1;
        self.ledger.extend(LedgerRow::past(generation, &self.signature, old, new));
    }

    fn remove_fastener(&mut self, book: &Book, key: String) -> Result<(), StoreError> {
        let Some(old) = self.known(book, &key)? else {
            return Err(StoreError::Unknown { what: "fastener", name: key });
        };
        self.remember(Arc::clone(&old.fastener), None);
        self.counts.fasteners -= 1;
        self.entered.retain(|entered| *entered != key);
        self.counts.settings -= old.fastener.settings.len() as u64;
        self.numbers.insert(key, None);
        self.touched.insert(old.number);
        self.changed.insert(old.number, Changed { base: old.base, fastener: None });
        Ok(())
    }

    /// Everything that differs from the image, as an overlay.
    pub(crate) fn overlay(&self, book: &Book) -> Overlay {
        let tables = self.tables_changed || book.overlay().tables.is_some();
        let mut changed = self.changed.clone();
        // A fastener that came and went since the image leaves nothing.
        changed.retain(|_, changed| changed.base.is_some() || changed.fastener.is_some());
        Overlay::new(self.counts, tables.then(|| self.tables.clone()), changed)
    }

    /// The whole state after the change, in the order entered.
    pub(crate) fn each_entry(&self, book: &Book, visit: Visit<'_>) -> Result<(), StoreError> {
        let now = |visit: Visit<'_>, (number, change): (&u64, &Changed)| match &change.fastener {
            Some(fastener) => visit(*number, Arc::clone(fastener)),
            None => Ok(()),
        };
        let mut changed = self.changed.iter().peekable();
        book.each_entry(&mut |number, fastener| {
            while let Some(before) = changed.next_if(|(at, _)| **at < number) {
                now(visit, before)?;
            }
            match changed.next_if(|(at, _)| **at == number) {
                Some(instead) => now(visit, instead),
                None => visit(number, fastener),
            }
        })?;
        changed.try_for_each(|after| now(visit, after))
    }

    /// The blocks and tables of the book of record to write.
    pub(crate) fn batch(
        &self,
        book: &Book,
        engine: &Engine,
        dir: &Path,
    ) -> Result<Batch, StoreError> {
        let mut blocks: BTreeMap<u64, Vec<Entry>> = BTreeMap::new();
        for number in &self.touched {
            let block = number / BLOCK;
            if let std::collections::btree_map::Entry::Vacant(empty) = blocks.entry(block) {
                empty.insert(old_block(book, engine, dir, block)?);
            }
            let Some(entries) = blocks.get_mut(&block) else { continue };
            entries.retain(|(known, _)| known != number);
            if let Some(Changed { fastener: Some(fastener), .. }) = self.changed.get(number) {
                entries.push((*number, Arc::clone(fastener)));
                entries.sort_unstable_by_key(|(number, _)| *number);
            }
        }
        let mut batch = Batch::default();
        for (number, entries) in blocks {
            let kept = !entries.is_empty();
            let bytes = kept.then(|| unfit(piece::write_block(&entries))).transpose()?;
            batch.blocks.push((number, bytes));
        }
        if self.tables_changed {
            batch.tables = Some(unfit(codec::encode(&self.tables))?);
        }
        Ok(batch)
    }
}

/// The entries of a block, which must be those that the image has.
fn old_block(
    book: &Book,
    engine: &Engine,
    dir: &Path,
    block: u64,
) -> Result<Vec<Entry>, StoreError> {
    let entries = match engine.block(block)? {
        Some(bytes) => sound(dir, piece::read_block(&bytes))?,
        None => Vec::new(),
    };
    let numbers = book.numbers(block * BLOCK..(block + 1) * BLOCK)?;
    if !entries.iter().map(|(number, _)| *number).eq(numbers) {
        let what = format!("block {block} of the book of record does not hold its fasteners");
        return Err(StoreError::damaged(dir, what));
    }
    Ok(entries)
}

/// Bytes of the book of record that do not decode.
fn sound<T>(dir: &Path, result: Result<T, Unreadable>) -> Result<T, StoreError> {
    result.map_err(|error| StoreError::damaged(dir, format!("the book of record: {}", error.0)))
}

/// A record that cannot be encoded.
fn unfit<T>(result: Result<T, Unreadable>) -> Result<T, StoreError> {
    result.map_err(|error| StoreError::TooLarge { key: "a record".to_owned(), why: error.0 })
}

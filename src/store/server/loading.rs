//! A bulk load of a book on a server: row by row into one transaction, which holds the
//! book from its first row on.

use std::collections::HashSet;
use std::sync::Arc;

use uuid::Uuid;

use crate::record::Fastener;
use crate::store::error::StoreError;
use crate::store::image::Counts;
use crate::store::ledger::{LedgerRow, Step};
use crate::store::loader::Loader;
use crate::store::rebuild::meta_of;
use crate::store::server::served::Served;
use crate::store::writer::Writer;

/// Fasteners on their way to a server.
struct Loading<'a> {
    writer: &'a mut Writer,
    id: Uuid,
    /// What the book will say of itself.
    counts: Counts,
    keys: HashSet<String>,
    step: Step,
    is_begun: bool,
}

impl Writer {
    pub(crate) fn load_on_server(&mut self) -> Result<Box<dyn Loader + '_>, StoreError> {
        let (counts, keys, step) = (self.book.counts(), HashSet::new(), Step::default());
        let mut loading =
            Loading { writer: self, id: Uuid::new_v4(), counts, keys, step, is_begun: false };
        loading.start_over()?;
        Ok(Box::new(loading))
    }
}

impl Loading<'_> {
    fn served(&mut self) -> Result<&mut Served, StoreError> {
        let unreachable = self.writer.unreachable();
        self.writer.served().ok_or(unreachable)
    }
}

impl Loader for Loading<'_> {
    fn push(&mut self, fastener: Fastener) -> Result<(), StoreError> {
        if !self.keys.insert(fastener.key.clone()) {
            return Err(StoreError::SameKey(fastener.key));
        }
        let old = self.writer.book.locate(&fastener.key)?;
        let new = Arc::new(fastener);
        self.counts.settings += new.settings.len() as u64;
        let number = match old {
            None => {
                self.step.enter(&new);
                self.counts.fasteners += 1;
                self.counts.next += 1;
                self.counts.next - 1
            }
            Some(old) => {
                self.counts.settings -= old.fastener.settings.len() as u64;
                let (generation, signature) = (self.counts.generation, &self.step.signature);
                if let Some(past) = LedgerRow::past(generation, signature, old.fastener, Some(&new))
                {
                    self.served()?.row(&past)?;
                }
                old.number
            }
        };
        self.served()?.fastener(number, Some(new))
    }

    fn start_over(&mut self) -> Result<(), StoreError> {
        self.counts = self.writer.book.counts();
        self.counts.generation += 1;
        self.keys.clear();
        let (generation, signature) = (self.counts.generation, self.writer.signature.clone());
        self.step = Step { generation, signature, ..Step::default() };
        let (id, unreachable) = (self.id, self.writer.unreachable());
        let (book, served) = self.writer.book_and_served();
        let served = served.ok_or(unreachable)?;
        if std::mem::replace(&mut self.is_begun, true) {
            served.roll_back();
        }
        let rows = book.current().server.as_ref().map_or(0, |fetched| fetched.rows);
        served.begin(id, generation, rows).and_then(|()| served.hold(book))
    }

    fn finish(mut self: Box<Self>) -> Result<u64, StoreError> {
        self.is_begun = false;
        let (id, meta) = (self.id, meta_of(self.counts));
        let step = std::mem::take(&mut self.step).row();
        let unreachable = self.writer.unreachable();
        let (book, served) = self.writer.book_and_served();
        let served = served.ok_or(unreachable)?;
        let rest = step.iter().try_for_each(|row| served.row(row)).and_then(|()| served.flush());
        let rows = served.waiting.before;
        let sent = rest
            .and_then(|()| served.move_on(book, meta, rows, None))
            .and_then(|()| served.commit());
        served.settled(id, sent)?;
        self.writer.has_stored_on_server()
    }
}

impl Drop for Loading<'_> {
    fn drop(&mut self) {
        if self.is_begun
            && let Some(served) = self.writer.served()
        {
            served.roll_back();
        }
    }
}

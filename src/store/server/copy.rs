//! A whole book onto a server.

use std::ops::ControlFlow;
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use postgres::IsolationLevel;
use uuid::Uuid;

use crate::store::backup::BackupLine;
use crate::store::book::Book;
use crate::store::copy::{Copied, compared};
use crate::store::error::StoreError;
use crate::store::ledger::{self, BENCH, LedgerRow, NOTE, PAST, STEP};
use crate::store::lock::Lock;
use crate::store::rebuild::meta_of;
use crate::store::row::in_use;
use crate::store::server::address::Server;
use crate::store::server::served::{
    Sender, Served, number, put_change, put_ledger, reference_of, text_of,
};
use crate::store::server::{make_folder, note_refreshed};

/// Rows of the ledger that are held at once.
const HELD: usize = 500;

impl Server {
    /// Copies `from` to the server, where no book is, fetches it into `dir` and compares
    /// the two.
    ///
    /// # Errors
    /// Where there is a book, or the copy is another.
    pub fn copy(
        self: &Arc<Self>,
        from: &Book,
        dir: &Path,
        wait: Duration,
    ) -> Result<Copied, StoreError> {
        make_folder(dir)?;
        let _lock = Lock::take(dir, wait)?;
        let mut served = Served::connect(self, dir)?;
        if served.head()?.is_some() {
            return Err(self.refused("there is a book already"));
        }
        let id = Uuid::new_v4();
        match self.send(&mut served, from, id) {
            Err(StoreError::Moved) => return Err(self.refused("there is a book already")),
            Err(StoreError::Unreachable { book, why }) => {
                // Whether it is there is asked before anything else is said.
                let mut again = Served::connect(self, dir)?;
                if again.stored_of(&[id])?.is_empty() {
                    return Err(StoreError::Unreachable { book, why });
                }
                served = again;
            }
            other => other?,
        }
        served.fetch(None).map_err(StoreError::after_storing)?;
        note_refreshed(dir).map_err(StoreError::after_storing)?;
        compared(from, &Book::open(dir)?).map_err(StoreError::after_storing)
    }

    fn send(&self, served: &mut Served, from: &Book, id: Uuid) -> Result<(), StoreError> {
        let failed = |error: postgres::Error| self.failed(&error);
        served.limit()?;
        let begun = served.client.build_transaction().isolation_level(IsolationLevel::Serializable);
        let mut transaction = begun.start().map_err(failed)?;
        let meta = meta_of(from.counts());
        put_change(self, &mut transaction, id, meta.generation)?;
        let mut sender = Sender::new(self, &mut transaction, meta.generation);
        let mut sent = Ok(());
        from.each_entry(&mut |(number, fastener)| {
            let line = text_of(&BackupLine::Fastener(fastener));
            sent = line.and_then(|line| sender.fastener(number, Some(line)));
            if sent.is_ok() { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
        })?;
        sent?;
        sender.finish()?;
        let (mut held, mut rows): (Vec<LedgerRow>, u64) = (Vec::new(), 0);
        ledger::each(from.dir(), from.current(), &[PAST, NOTE, BENCH, STEP], &mut |row| {
            held.push(row);
            if held.len() < HELD {
                return Ok(());
            }
            put_ledger(self, &mut transaction, id, rows, &held)?;
            rows += held.len() as u64;
            held.clear();
            Ok(())
        })?;
        put_ledger(self, &mut transaction, id, rows, &held)?;
        rows += held.len() as u64;
        let put = transaction.execute(
            "INSERT INTO clampbook.book (id, form, lists, generation, change, next, fasteners, \
             settings, ledger, reference, reference_generation) \
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10::text::jsonb, $4)",
            &[
                &Uuid::new_v4(),
                &i16::from(meta.form),
                &in_use(),
                &number(meta.generation),
                &id,
                &number(meta.next),
                &number(meta.fasteners),
                &number(meta.settings),
                &number(rows),
                &reference_of(from.tables())?,
            ],
        );
        put.map_err(failed)?;
        transaction.commit().map_err(failed)
    }
}

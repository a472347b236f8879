//! A whole book onto a server.

use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use uuid::Uuid;

use crate::store::book::Book;
use crate::store::copy::{Copied, compared};
use crate::store::error::StoreError;
use crate::store::ledger::{self, KINDS};
use crate::store::lock::Lock;
use crate::store::rebuild::meta_of;
use crate::store::row::in_use;
use crate::store::server::address::Server;
use crate::store::server::served::{Served, number, reference_of};
use crate::store::server::{make_folder, note_refreshed};

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
        let sent = self.send(&mut served, from, id);
        served.settled(id, sent).map_err(|error| match error {
            // Somebody else began one meanwhile.
            StoreError::Moved => self.refused("there is a book already"),
            other => other,
        })?;
        served.fetch(None).map_err(StoreError::after_storing)?;
        note_refreshed(dir).map_err(StoreError::after_storing)?;
        compared(from, &Book::open(dir)?).map_err(StoreError::after_storing)
    }

    fn send(&self, served: &mut Served, from: &Book, id: Uuid) -> Result<(), StoreError> {
        let meta = meta_of(from.counts());
        served.begin(id, meta.generation, 0)?;
        from.each_entry(&mut |number, fastener| served.fastener(number, Some(fastener)))?;
        ledger::each(from.dir(), from.current(), &KINDS, &mut |row| served.row(&row))?;
        served.flush()?;
        let put = served.client.execute(
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
                &number(served.waiting.before),
                &reference_of(from.tables())?,
            ],
        );
        put.map_err(|error| self.failed(&error))?;
        served.commit()
    }
}

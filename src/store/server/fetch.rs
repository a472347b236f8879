//! Bringing the read image of this machine up to what the server holds.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use postgres::types::Type;
use postgres::{IsolationLevel, Transaction};

use crate::store::append::Appender;
use crate::store::backup::BackupLine;
use crate::store::book::Book;
use crate::store::error::StoreError;
use crate::store::folder::{Current, Fetched};
use crate::store::next::Next;
use crate::store::overlay::Changed;
use crate::store::publish::{remove_leftovers, write_files, write_image};
use crate::store::rebuild::meta_of;
use crate::store::server::address::Server;
use crate::store::server::served::{
    Served, ServerHead, damaged, each_entry, each_ledger_row, head, is_stored, line_of, number,
    tables, uuid,
};

/// A difference of more fasteners is not worked out: the whole book is fetched, row by row.
const MOST: i64 = 5000;

/// Files of a whole fetch are numbered from here: no generation gets there.
const WHOLE: u64 = 1 << 62;

impl Served {
    /// Makes the read image what the server holds; whether it was another. `known` is
    /// what the image is of, if there is one that can be used.
    pub(crate) fn fetch(&mut self, known: Option<&Current>) -> Result<bool, StoreError> {
        let (server, dir) = (Arc::clone(&self.server), self.dir.clone());
        let Some(known_head) = self.head()? else {
            return Err(StoreError::NoBookYet(server.to_string()));
        };
        if known.is_some_and(|known| is_up_to(known, &known_head)) {
            return Ok(false);
        }
        let begun = self.client.build_transaction().read_only(true);
        let begun = begun.isolation_level(IsolationLevel::RepeatableRead).start();
        let mut look = begun.map_err(|error| server.failed(&error))?;
        // By now it may have moved on; from here on it stays.
        let Some(head) = head(&server, &mut look)? else {
            return Err(StoreError::NoBookYet(server.to_string()));
        };
        let mut fetching = Fetching { server: &server, dir: &dir, look, head };
        let book = known.map(|known| fetching.usable(known)).transpose()?.flatten();
        let current = match book {
            Some(book) => fetching.difference(&book)?,
            None => None,
        };
        let current = current.map_or_else(|| fetching.whole(), Ok)?;
        let doubt = current.publish(&dir)?;
        remove_leftovers(&dir, Some(&Current::read(&dir)?));
        doubt.map_or(Ok(true), Err)
    }
}

/// Whether the image that `known` names is the book that `head` is of.
pub(crate) fn is_up_to(known: &Current, head: &ServerHead) -> bool {
    known.generation == head.meta.generation && known.server.as_ref() == Some(&head.fetched)
}

/// One state of the book on the server, on its way here.
struct Fetching<'a> {
    server: &'a Server,
    dir: &'a Path,
    look: Transaction<'a>,
    head: ServerHead,
}

impl Fetching<'_> {
    /// The book of the image, if the server's went on from it: it has its last change.
    fn usable(&mut self, known: &Current) -> Result<Option<Book>, StoreError> {
        let Some(Fetched { book, change, rows }) = &known.server else { return Ok(None) };
        let ServerHead { meta, fetched, .. } = &self.head;
        if *book != fetched.book || known.generation > meta.generation || *rows > fetched.rows {
            return Ok(None);
        }
        let found = is_stored(&mut self.look, uuid(self.server, change)?);
        let found = found.map_err(|error| self.server.failed(&error))?;
        // An image that is damaged is fetched anew.
        Ok(if found { Book::open_files(self.dir, known.clone()).ok() } else { None })
    }

    /// What changed since the image of `book`, as files beside it; none where that is
    /// too much.
    fn difference(&mut self, book: &Book) -> Result<Option<Current>, StoreError> {
        let failed = |error: postgres::Error| self.server.failed(&error);
        let known = book.current();
        let sql = "SELECT number, row::text FROM clampbook.fasteners WHERE generation > $1 \
                   ORDER BY number LIMIT $2";
        let since = number(known.generation);
        let rows = self
            .look
            .query_typed(sql, &[(&since, Type::INT8), (&(MOST + 1), Type::INT8)])
            .map_err(failed)?;
        if rows.len() as u64 > MOST.cast_unsigned() {
            return Ok(None);
        }
        let mut changed: BTreeMap<u64, Changed> = book.overlay().changed.clone();
        for row in rows {
            let at = row.get::<_, i64>(0).cast_unsigned();
            let fastener = match row.get::<_, Option<&str>>(1) {
                None => None,
                Some(text) => match line_of(self.server, text)? {
                    BackupLine::Fastener(fastener) => Some(fastener),
                    _ => return Err(damaged(self.server, "a row of its fasteners is none")),
                },
            };
            let base = match changed.get(&at) {
                Some(known) => known.base,
                None => book.ordinal(at)?,
            };
            changed.insert(at, Changed { base, fastener });
        }
        let is_new = self.head.reference > known.generation;
        let tables = is_new.then(|| tables(self.server, &mut self.look)).transpose()?;
        let mut counts = book.counts();
        counts.generation = self.head.meta.generation;
        counts.next = self.head.meta.next;
        counts.fasteners = self.head.meta.fasteners;
        counts.settings = self.head.meta.settings;
        let next = Next::fetched(book, counts, tables, changed)?;
        let is_same = counts.generation == known.generation;
        let (current, counts) = match is_same {
            true => (known.clone(), counts),
            false => write_files(self.dir, book, &next)?,
        };
        if meta_of(counts) != self.head.meta {
            return Ok(None);
        }
        let old = known.server.as_ref().map_or(0, |fetched| fetched.rows);
        let ledger = self.ledger(known.ledger.as_ref(), old, counts.generation)?;
        Ok(Some(Current { ledger, server: Some(self.head.fetched.clone()), ..current }))
    }

    /// The whole book as an image and a ledger, one row at a time.
    fn whole(&mut self) -> Result<Current, StoreError> {
        let generation = self.head.meta.generation;
        // What is there stays whole until this is, at the same generation too.
        let taken = |number: &u64| {
            ["image", "ledger"]
                .iter()
                .any(|kind| self.dir.join(format!("{kind}-{number}")).exists())
        };
        let number = (WHOLE..u64::MAX).find(|number| !taken(number)).unwrap_or(u64::MAX);
        let name = format!("image-{number}");
        let path = self.dir.join(&name);
        let tables = Arc::new(tables(self.server, &mut self.look)?);
        let counts = write_image(&path, tables, (generation, self.head.meta.next), |visit| {
            each_entry(self.server, &mut self.look, visit)
        })?;
        if meta_of(counts) != self.head.meta {
            return Err(damaged(self.server, "it lacks fasteners that it counts"));
        }
        let ledger = self.ledger(None, 0, number)?;
        let server = Some(self.head.fetched.clone());
        Ok(Current { server, ledger, ..Current::plain(generation, String::new(), name) })
    }

    /// Adds the rows of the ledger behind the first `known` ones to the file `old`; a
    /// first one has that number.
    fn ledger(
        &mut self,
        old: Option<&(String, u64)>,
        known: u64,
        file: u64,
    ) -> Result<Option<(String, u64)>, StoreError> {
        let mut appender = Appender::new(self.dir, old, file);
        let mut count = known;
        each_ledger_row(self.server, &mut self.look, known, &mut |row| {
            count += 1;
            appender.push(&row)
        })?;
        if count != self.head.fetched.rows {
            return Err(damaged(self.server, "its ledger lacks rows that it counts"));
        }
        appender.finish()
    }
}

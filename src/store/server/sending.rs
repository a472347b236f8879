//! A change on its way to the server: one serializable transaction, of which no more than
//! a statement's rows are held here.

use std::sync::Arc;

use postgres::error::SqlState;
use postgres::types::Type;
use uuid::Uuid;

use crate::record::{Fastener, Tables};
use crate::store::backup::BackupLine;
use crate::store::book::Book;
use crate::store::error::StoreError;
use crate::store::ledger::LedgerRow;
use crate::store::next::Next;
use crate::store::rebuild::meta_of;
use crate::store::row::in_use;
use crate::store::seal::Meta;
use crate::store::server::served::{Served, ledger_text, number, reference_of, text_of, uuid};

/// Rows sent in one statement.
const ROWS: usize = 500;

/// Rows of a change that are still to be sent, and what they are of.
#[derive(Default)]
pub(crate) struct Waiting {
    change: Uuid,
    generation: u64,
    /// Rows of the ledger before those that wait.
    pub(super) before: u64,
    numbers: Vec<i64>,
    fasteners: Vec<Option<String>>,
    ledger: Vec<String>,
}

impl Served {
    /// Stores `next`, worked out from `book`, as the change `id`.
    pub(super) fn send(&mut self, id: Uuid, book: &Book, next: &Next) -> Result<(), StoreError> {
        let meta = meta_of(next.counts);
        let rows = book.current().server.as_ref().map_or(0, |fetched| fetched.rows);
        self.begin(id, meta.generation, rows)?;
        self.move_on(book, meta, rows + next.ledger.len() as u64, next.new_tables())?;
        for (number, fastener) in next.touched() {
            self.fastener(number, fastener)?;
        }
        next.ledger.iter().try_for_each(|row| self.row(row))?;
        self.commit()
    }

    /// Begins the change `id`, which makes `generation`, behind `before` rows of the ledger.
    ///
    /// # Errors
    /// [`StoreError::StoredBefore`] if the server has it.
    pub(super) fn begin(
        &mut self,
        id: Uuid,
        generation: u64,
        before: u64,
    ) -> Result<(), StoreError> {
        self.limit()?;
        self.waiting = Waiting { change: id, generation, before, ..Waiting::default() };
        self.run("BEGIN ISOLATION LEVEL SERIALIZABLE")?;
        let put = self.client.execute_typed(
            "INSERT INTO clampbook.changes (id, generation) VALUES ($1, $2)",
            &[(&id, Type::UUID), (&number(generation), Type::INT8)],
        );
        put.map(drop).map_err(|error| match error.code() {
            Some(&SqlState::UNIQUE_VIOLATION) => StoreError::StoredBefore,
            _ => self.server.failed(&error),
        })
    }

    /// Keeps the book as it is in `book` for this change, which takes its time.
    pub(super) fn hold(&mut self, book: &Book) -> Result<(), StoreError> {
        let from = book.current().server.as_ref().ok_or(StoreError::Moved)?;
        let id = uuid(&self.server, &from.book)?;
        self.run("SET LOCAL idle_in_transaction_session_timeout = '5min'")?;
        let held = self.client.query_typed_opt(
            "SELECT 1 FROM clampbook.book WHERE id = $1 AND generation = $2 AND ledger = $3 \
             FOR UPDATE",
            &[
                (&id, Type::UUID),
                (&number(book.generation()), Type::INT8),
                (&number(from.rows), Type::INT8),
            ],
        );
        let held = held.map_err(|error| self.server.failed(&error))?;
        held.map(drop).ok_or(StoreError::Moved)
    }

    /// Makes the book say `meta` and `ledger` rows, if it still is as `book` says.
    pub(super) fn move_on(
        &mut self,
        book: &Book,
        meta: Meta,
        ledger: u64,
        tables: Option<&Tables>,
    ) -> Result<(), StoreError> {
        let from = book.current().server.as_ref().ok_or(StoreError::Moved)?;
        let id = uuid(&self.server, &from.book)?;
        let reference = tables.map(reference_of).transpose()?;
        let moved = self.client.execute_typed(
            "UPDATE clampbook.book SET lists = $1, generation = $2, change = $3, next = $4, \
             fasteners = $5, settings = $6, ledger = $7, \
             reference = coalesce($8::jsonb, reference), reference_generation = \
             CASE WHEN $8 IS NULL THEN reference_generation ELSE $2 END \
             WHERE id = $9 AND generation = $10 AND ledger = $11",
            &[
                (&in_use(), Type::TEXT),
                (&number(meta.generation), Type::INT8),
                (&self.waiting.change, Type::UUID),
                (&number(meta.next), Type::INT8),
                (&number(meta.fasteners), Type::INT8),
                (&number(meta.settings), Type::INT8),
                (&number(ledger), Type::INT8),
                (&reference, Type::TEXT),
                (&id, Type::UUID),
                (&number(book.generation()), Type::INT8),
                (&number(from.rows), Type::INT8),
            ],
        );
        match moved.map_err(|error| self.server.failed(&error))? {
            0 => Err(StoreError::Moved),
            _ => Ok(()),
        }
    }

    /// Enters or replaces the fastener of that number; without one it is removed.
    pub(super) fn fastener(
        &mut self,
        at: u64,
        fastener: Option<Arc<Fastener>>,
    ) -> Result<(), StoreError> {
        let line = fastener.map(|fastener| text_of(&BackupLine::Fastener(fastener))).transpose()?;
        self.waiting.numbers.push(number(at));
        self.waiting.fasteners.push(line);
        if self.waiting.fasteners.len() < ROWS { Ok(()) } else { self.flush() }
    }

    /// Adds a row to the ledger.
    pub(super) fn row(&mut self, row: &LedgerRow) -> Result<(), StoreError> {
        self.waiting.ledger.push(ledger_text(row)?);
        if self.waiting.ledger.len() < ROWS { Ok(()) } else { self.flush() }
    }

    /// Sends the rows that wait here, and forgets them.
    pub(super) fn flush(&mut self) -> Result<(), StoreError> {
        let Waiting { change, generation, before, numbers, fasteners, ledger } = &self.waiting;
        let failed = |error: postgres::Error| self.server.failed(&error);
        if !numbers.is_empty() {
            let sql = "INSERT INTO clampbook.fasteners (number, generation, row) \
                       SELECT number, $1, row::jsonb FROM unnest($2, $3) \
                       AS each (number, row) ON CONFLICT (number) DO UPDATE \
                       SET generation = excluded.generation, row = excluded.row";
            let values: [(&(dyn postgres::types::ToSql + Sync), Type); 3] = [
                (&number(*generation), Type::INT8),
                (numbers, Type::INT8_ARRAY),
                (fasteners, Type::TEXT_ARRAY),
            ];
            self.client.execute_typed(sql, &values).map_err(failed)?;
        }
        if !ledger.is_empty() {
            let sql = "INSERT INTO clampbook.ledger (place, change, row) \
                       SELECT $1 + place, $2, row::jsonb FROM \
                       unnest($3) WITH ORDINALITY AS each (row, place)";
            let values: [(&(dyn postgres::types::ToSql + Sync), Type); 3] =
                [(&number(*before), Type::INT8), (change, Type::UUID), (ledger, Type::TEXT_ARRAY)];
            self.client.execute_typed(sql, &values).map_err(failed)?;
        }
        self.waiting.before += self.waiting.ledger.len() as u64;
        self.waiting.numbers.clear();
        self.waiting.fasteners.clear();
        self.waiting.ledger.clear();
        Ok(())
    }

    /// Sends the rest, and makes it the book's.
    pub(super) fn commit(&mut self) -> Result<(), StoreError> {
        self.flush()?;
        self.may_have_stored = true;
        self.run("COMMIT")
    }

    /// Forgets what was sent since the beginning. Where that cannot be said the connection
    /// has ended, and it is forgotten with that.
    pub(super) fn roll_back(&mut self) {
        let _ = self.run("ROLLBACK");
    }

    fn run(&mut self, statement: &str) -> Result<(), StoreError> {
        self.client.batch_execute(statement).map_err(|error| self.server.failed(&error))
    }
}

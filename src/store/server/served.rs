//! The book of record on a server: reading its rows and storing a change.
//!
//! A change is one serializable transaction that first moves the book on from the
//! generation, and the rows of the ledger, that it was worked out from. What the server
//! answers last may be lost with the connection; then the change's UUID is asked for.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use postgres::fallible_iterator::FallibleIterator as _;
use postgres::types::{ToSql, Type};
use postgres::{Client, GenericClient, SimpleQueryMessage, SimpleQueryRow};
use uuid::Uuid;

use crate::record::Tables;
use crate::store::backup::{self, BackupLine};
use crate::store::book::Book;
use crate::store::book_of_record::{BookOfRecord, Visit, VisitRow};
use crate::store::error::StoreError;
use crate::store::folder::{Current, Fetched};
use crate::store::image::newer_form;
use crate::store::ledger::LedgerRow;
use crate::store::next::Next;
use crate::store::row::{FORM, Put, Stored, Unusable, known};
use crate::store::seal::Meta;
use crate::store::server::address::Server;
use crate::store::server::fetch::is_up_to;
use crate::store::server::sending::Waiting;

/// What a book on a server says of itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ServerHead {
    pub(crate) meta: Meta,
    /// The book, its last change, and rows of its ledger.
    pub(crate) fetched: Fetched,
    /// The generation that changed lubes or strengths last.
    pub(crate) reference: u64,
}

/// A book on a server, connected.
pub(crate) struct Served {
    pub(crate) server: Arc<Server>,
    pub(crate) client: Client,
    /// The folder of its read image on this machine.
    pub(crate) dir: PathBuf,
    is_limited: bool,
    pub(super) may_have_stored: bool,
    pub(super) waiting: Waiting,
}

const HEAD: &str = "SELECT id, form, lists, generation, change, next, fasteners, settings, ledger, \
     reference_generation FROM clampbook.book";

/// What a transaction of ours may wait for another, and the server for us.
const LIMITS: &str = "SET lock_timeout = '10s'; SET idle_in_transaction_session_timeout = '30s'";

impl Served {
    /// Connects to `server`, whose read image lies in `dir`.
    pub(crate) fn connect(server: &Arc<Server>, dir: &Path) -> Result<Self, StoreError> {
        let (client, server) = (server.connect()?, Arc::clone(server));
        let (dir, waiting) = (dir.to_owned(), Waiting::default());
        Ok(Self { server, client, dir, is_limited: false, may_have_stored: false, waiting })
    }

    /// Before a change: no transaction of ours waits, or is waited for, without end.
    pub(crate) fn limit(&mut self) -> Result<(), StoreError> {
        if !self.is_limited {
            let set = self.client.batch_execute(LIMITS);
            set.map_err(|error| self.server.failed(&error))?;
            self.is_limited = true;
        }
        Ok(())
    }

    /// The same, which from here on looks at the one state that `current` is of, if that
    /// agrees with itself.
    pub(crate) fn sound_at(mut self, current: &Current) -> Result<Self, StoreError> {
        let failed = |error: postgres::Error| self.server.failed(&error);
        let begun = self.client.batch_execute("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY");
        begun.map_err(failed)?;
        if !head(&self.server, &mut self.client)?.is_some_and(|head| is_up_to(current, &head)) {
            return Err(StoreError::Moved);
        }
        match self.client.query_typed_opt(include_str!("check.sql"), &[]).map_err(failed)? {
            Some(fault) => Err(damaged(&self.server, fault.get(0))),
            None => Ok(self),
        }
    }

    /// What it says of itself, by one query; none before there is a book.
    pub(crate) fn head(&mut self) -> Result<Option<ServerHead>, StoreError> {
        head(&self.server, &mut self.client)
    }

    /// What became of the change `id`, whose sending ended so; asked for where that does not
    /// tell.
    pub(crate) fn settled(
        &mut self,
        id: Uuid,
        sent: Result<(), StoreError>,
    ) -> Result<(), StoreError> {
        let may_have_stored = std::mem::take(&mut self.may_have_stored);
        match sent {
            Ok(()) | Err(StoreError::StoredBefore) => Ok(()),
            Err(StoreError::Unreachable { .. }) if may_have_stored => {
                // As long as that is not known it may be.
                self.may_have_stored = true;
                let stored = self.has(id).map_err(|error| StoreError::Unsure(error.cause()))?;
                if stored {
                    return Ok(());
                }
                let why = "the connection was cut off, and the change is not stored".to_owned();
                Err(StoreError::Unreachable { book: self.server.to_string(), why })
            }
            Err(other) => {
                self.roll_back();
                Err(other)
            }
        }
    }

    /// Whether the change `id` is stored: asked behind whatever still works at the book.
    fn has(&mut self, id: Uuid) -> Result<bool, StoreError> {
        let mut again = Self::connect(&self.server, &self.dir)?;
        again.limit()?;
        let failed = |error: postgres::Error| again.server.failed(&error);
        let mut transaction = again.client.transaction().map_err(failed)?;
        // Waits for a transaction that was cut off while it was being committed.
        transaction.execute("SELECT 1 FROM clampbook.book FOR UPDATE", &[]).map_err(failed)?;
        let found = is_stored(&mut transaction, id).map_err(failed)?;
        transaction.commit().map_err(failed)?;
        *self = again;
        Ok(found)
    }

    /// Which of these changes are stored, where none can be under way.
    pub(crate) fn stored_of(&mut self, ids: &[Uuid]) -> Result<Vec<Uuid>, StoreError> {
        let sql = "SELECT id FROM clampbook.changes WHERE id = ANY ($1)";
        let rows = self.client.query(sql, &[&ids]).map_err(|e| self.server.failed(&e))?;
        Ok(rows.iter().map(|row| row.get(0)).collect())
    }
}

impl BookOfRecord for Served {
    fn meta(&mut self) -> Result<Meta, StoreError> {
        let head = self.head()?;
        head.map(|head| head.meta).ok_or_else(|| StoreError::NoBookYet(self.server.to_string()))
    }

    fn tables(&mut self) -> Result<Tables, StoreError> {
        tables(&Arc::clone(&self.server), &mut self.client)
    }

    fn each_entry(&mut self, visit: Visit<'_>) -> Result<(), StoreError> {
        each_entry(&Arc::clone(&self.server), &mut self.client, visit)
    }

    fn each_ledger_row(&mut self, visit: VisitRow<'_>) -> Result<bool, StoreError> {
        each_ledger_row(&Arc::clone(&self.server), &mut self.client, 0, visit)?;
        Ok(true)
    }

    fn catch_up(&mut self, current: &Current) -> Result<bool, StoreError> {
        self.fetch(Some(current))
    }

    fn store(&mut self, book: &Book, next: &Next) -> Result<Option<StoreError>, StoreError> {
        let id = Uuid::from_u128(next.id);
        let sent = self.send(id, book, next);
        self.settled(id, sent)?;
        Ok(self.catch_up(book.current()).err().map(StoreError::after_storing))
    }

    fn may_have_stored(&self) -> bool {
        self.may_have_stored
    }
}

/// What the book says of itself.
pub(crate) fn head(
    server: &Server,
    client: &mut impl GenericClient,
) -> Result<Option<ServerHead>, StoreError> {
    let said = client.simple_query(HEAD).map_err(|error| server.failed(&error))?;
    let row = said.iter().find_map(|message| match message {
        SimpleQueryMessage::Row(row) => Some(row),
        _ => None,
    });
    row.map(|row| head_of(server, row)).transpose()
}

fn head_of(server: &Server, row: &SimpleQueryRow) -> Result<ServerHead, StoreError> {
    let text = |name: &str| row.try_get(name).ok().flatten().unwrap_or_default();
    let newer = |what| Err(StoreError::Newer { path: PathBuf::from(server.to_string()), what });
    let count = |name: &str| {
        text(name).parse::<u64>().map_err(|_| damaged(server, &format!("its {name} is no number")))
    };
    match (count("form")?, known(text("lists"))) {
        (form, _) if form > u64::from(FORM) => return newer(newer_form(form)),
        (_, Err(Unusable::Newer(what))) => return newer(what),
        (form, Ok(())) if form == u64::from(FORM) => {}
        _ => return Err(damaged(server, "its form is none that was released")),
    }
    let meta = Meta {
        form: FORM,
        generation: count("generation")?,
        next: count("next")?,
        fasteners: count("fasteners")?,
        settings: count("settings")?,
    };
    let (book, change) = (text("id").to_owned(), text("change").to_owned());
    let fetched = Fetched { book, change, rows: count("ledger")? };
    Ok(ServerHead { meta, fetched, reference: count("reference_generation")? })
}

/// Whether the change `id` is stored, as far as `client` sees.
pub(crate) fn is_stored(
    client: &mut impl GenericClient,
    id: Uuid,
) -> Result<bool, postgres::Error> {
    let sql = "SELECT 1 FROM clampbook.changes WHERE id = $1";
    Ok(client.query_typed_opt(sql, &[(&id, Type::UUID)])?.is_some())
}

/// Damage of the rows on a server.
pub(crate) fn damaged(server: &Server, what: &str) -> StoreError {
    StoreError::Server {
        book: server.to_string(),
        why: format!(
            "what it holds is damaged: {what}. If it was altered there, whoever owns the database \
             puts it back from its own backup; `clampbook book restore` fetches what it holds"
        ),
    }
}

/// A count as the server keeps it.
pub(crate) fn number(count: u64) -> i64 {
    i64::try_from(count).expect("no book counts so far")
}

pub(crate) fn uuid(server: &Server, text: &str) -> Result<Uuid, StoreError> {
    Uuid::parse_str(text).map_err(|_| damaged(server, "a UUID is none"))
}

/// A line of a backup as text.
pub(crate) fn text_of(line: &BackupLine) -> Result<String, StoreError> {
    json_of(line, "a record")
}

fn json_of<T: Stored>(row: &T, key: &str) -> Result<String, StoreError> {
    let key = key.to_owned();
    serde_json::to_string(&Put(row))
        .map_err(|error| StoreError::TooLarge { key, why: error.to_string() })
}

pub(crate) fn line_of(server: &Server, text: &str) -> Result<BackupLine, StoreError> {
    backup::line_of(text.as_bytes()).map_err(|error| damaged(server, &error.to_string()))
}

/// Lubes and strengths as one list of lines of a backup.
pub(crate) fn reference_of(tables: &Tables) -> Result<String, StoreError> {
    let lubes = tables.lubes.iter().cloned().map(BackupLine::Lube);
    let lines = lubes.chain(tables.strengths.iter().cloned().map(BackupLine::Strength));
    let lines: Vec<String> = lines.map(|line| text_of(&line)).collect::<Result<_, _>>()?;
    Ok(format!("[{}]", lines.join(",")))
}

pub(crate) fn tables(
    server: &Server,
    client: &mut impl GenericClient,
) -> Result<Tables, StoreError> {
    let sql = "SELECT line::text FROM clampbook.book, \
               jsonb_array_elements(reference) WITH ORDINALITY AS each (line, place) ORDER BY place";
    let lines = client.query_typed(sql, &[]).map_err(|error| server.failed(&error))?;
    let mut tables = Tables::default();
    for line in lines {
        match line_of(server, line.get(0))? {
            BackupLine::Lube(lube) => tables.lubes.push(lube),
            BackupLine::Strength(class) => tables.strengths.push(class),
            _ => return Err(damaged(server, "a line of its tables is none")),
        }
    }
    Ok(tables)
}

/// Visits every fastener of a book on a server, one row at a time.
pub(crate) fn each_entry(
    server: &Server,
    client: &mut impl GenericClient,
    visit: Visit<'_>,
) -> Result<(), StoreError> {
    let failed = |error: postgres::Error| server.failed(&error);
    let sql = "SELECT number, row::text FROM clampbook.fasteners WHERE row IS NOT NULL \
               ORDER BY number";
    let none: [(&(dyn ToSql + Sync), Type); 0] = [];
    let mut rows = client.query_typed_raw(sql, none).map_err(failed)?;
    while let Some(row) = rows.next().map_err(failed)? {
        let BackupLine::Fastener(fastener) = line_of(server, row.get(1))? else {
            return Err(damaged(server, "a row of its fasteners is none"));
        };
        visit(row.get::<_, i64>(0).cast_unsigned(), fastener)?;
    }
    Ok(())
}

/// Visits the rows of the ledger behind the first `known` ones.
pub(crate) fn each_ledger_row(
    server: &Server,
    client: &mut impl GenericClient,
    known: u64,
    visit: VisitRow<'_>,
) -> Result<(), StoreError> {
    let failed = |error: postgres::Error| server.failed(&error);
    let sql = "SELECT row::text FROM clampbook.ledger WHERE place > $1 ORDER BY place";
    let mut rows = client.query_typed_raw(sql, [(number(known), Type::INT8)]).map_err(failed)?;
    while let Some(row) = rows.next().map_err(failed)? {
        let BackupLine::Ledger(row) = line_of(server, row.get(0))? else {
            return Err(damaged(server, "a row of its ledger is none"));
        };
        visit(*row)?;
    }
    Ok(())
}

/// A row of the ledger as `{"ledger": …}`.
pub(crate) fn ledger_text(row: &LedgerRow) -> Result<String, StoreError> {
    Ok(format!("{{\"ledger\":{}}}", json_of(row, "the history")?))
}

//! Changing a book on a server, together with others who do.

use std::sync::Arc;
use std::time::{Duration, Instant};

use uuid::Uuid;

use crate::record::{Kept, Pull};
use crate::store::book::Book;
use crate::store::book_of_record::BookOfRecord as _;
use crate::store::change::Change;
use crate::store::error::StoreError;
use crate::store::folder::Current;
use crate::store::next::Next;
use crate::store::server::address::Server;
use crate::store::server::served::Served;
use crate::store::server::unsent::{self, Unsent};
use crate::store::undo::Undoes;
use crate::store::writer::{Writer, note_stored};
use crate::text::fold_name;

/// How long a change goes on trying while others change the book before it.
const PATIENCE: Duration = Duration::from_secs(30);
/// Pauses between two tries: up to the longest, then up to half of that and so on, so that
/// whoever has waited longest comes first.
const LONGEST_PAUSE: Duration = Duration::from_millis(128);
const SHORTEST_PAUSE: Duration = Duration::from_millis(2);

/// The server of a writer.
pub(crate) struct Remote {
    server: Arc<Server>,
    /// The connection, or why there is none.
    served: Result<Served, String>,
    /// What waited is being sent: the log is looked at without it.
    is_sending: bool,
}

impl Writer {
    pub(crate) fn connected_to(&mut self, server: &Arc<Server>, served: Served) {
        let (server, served) = (Arc::clone(server), Ok(served));
        self.remote = Some(Remote { server, served, is_sending: false });
    }

    /// The server is not there: `why`.
    pub(crate) fn cut_off_from(&mut self, server: &Arc<Server>, why: &StoreError) {
        let why = match why {
            StoreError::Unreachable { why, .. } => why.clone(),
            other => other.to_string(),
        };
        let (server, served) = (Arc::clone(server), Err(why));
        self.remote = Some(Remote { server, served, is_sending: false });
    }

    /// Stores `changes` on the server as one change; lines of the log are kept here where
    /// it cannot be reached.
    pub(crate) fn change_on_server(
        &mut self,
        changes: Vec<Change>,
        undoes: Undoes,
    ) -> Result<u64, StoreError> {
        let id = Uuid::new_v4();
        // A correction names a line by its number, which the server gives.
        let is_new = |pulls: &[Pull]| pulls.iter().all(|pull| pull.corrects.is_none());
        let is_line = |change: &Change| matches!(change, Change::AppendPulls(all) if is_new(all));
        let is_log = changes.iter().all(is_line);
        let is_correction = matches!(changes.as_slice(), [Change::AppendPulls(_)]) && !is_log;
        match self.send(id, &changes, undoes) {
            Err(StoreError::Unreachable { book, why }) if is_correction => {
                let why = format!(
                    "{why}. A correction names its line by a number, and the server settles the \
                     numbers: correct the line once the server is there"
                );
                Err(StoreError::Unreachable { book, why })
            }
            // It is not known whether they are there: with the same UUID they are once.
            Err(StoreError::Unreachable { .. } | StoreError::Unsure(_)) if is_log => {
                self.keep(id, changes)
            }
            other => other,
        }
    }

    /// Keeps lines of the log until the server is there.
    fn keep(&mut self, id: Uuid, changes: Vec<Change>) -> Result<u64, StoreError> {
        let next = Next::prepare(&self.book, self.signature.clone(), changes, Undoes::Nothing)?;
        unsent::keep(&self.dir, id, &next.ledger)?;
        note_stored();
        self.book = Book::open(&self.dir).map_err(StoreError::after_storing)?;
        Ok(self.book.generation())
    }

    /// Sends what waits, in order, each line once.
    pub(crate) fn send_unsent(&mut self) -> Result<(), StoreError> {
        if !unsent::is_any(&self.dir) {
            return Ok(());
        }
        let signature = self.signature.clone();
        let Some(remote) = &self.remote else { return Ok(()) };
        let waiting = unsent::read(&self.dir)?;
        let ids: Vec<Uuid> = waiting.iter().map(|one| one.id).collect();
        // What was sent and never heard of is there: it is part of the book by now.
        let stored = Served::connect(&remote.server, &self.dir)?.stored_of(&ids)?;
        unsent::forget(&self.dir, &stored)?;
        let left: Vec<Unsent> =
            waiting.into_iter().filter(|one| !stored.contains(&one.id)).collect();
        self.set_sending(true)?;
        let sent = left.iter().try_for_each(|one| {
            self.signature = one.signature.clone();
            self.send(one.id, &[one.change()], Undoes::Nothing)?;
            unsent::forget(&self.dir, &[one.id])
        });
        self.signature = signature;
        self.set_sending(false)?;
        sent
    }

    fn set_sending(&mut self, is_sending: bool) -> Result<(), StoreError> {
        if let Some(remote) = &mut self.remote {
            remote.is_sending = is_sending;
        }
        self.book = self.reopened()?;
        Ok(())
    }

    /// The book as it is in its folder by now.
    fn reopened(&self) -> Result<Book, StoreError> {
        let book = Book::open(&self.dir)?;
        let is_sending = self.remote.as_ref().is_some_and(|remote| remote.is_sending);
        Ok(if is_sending { book.without_unsent() } else { book })
    }

    fn send(&mut self, id: Uuid, changes: &[Change], undoes: Undoes) -> Result<u64, StoreError> {
        let until = Instant::now() + PATIENCE;
        let mut pause = LONGEST_PAUSE;
        loop {
            let mut next =
                Next::prepare(&self.book, self.signature.clone(), changes.to_vec(), undoes)?;
            next.id = id.as_u128();
            let (book, served) = self.book_and_served();
            let Some(served) = served else { return Err(self.unreachable()) };
            match served.store(book, &next) {
                Ok(doubt) => {
                    note_stored();
                    self.book = self.reopened().map_err(StoreError::after_storing)?;
                    return doubt.map_or(Ok(self.book.generation()), Err);
                }
                Err(StoreError::Moved) if Instant::now() < until => {
                    // Others wait for the same row: not all again at once.
                    let share = f64::from(Uuid::new_v4().as_u128() as u16) / f64::from(u16::MAX);
                    std::thread::sleep(pause.mul_f64(share));
                    pause = (pause / 2).max(SHORTEST_PAUSE);
                    self.follow(changes, undoes)?;
                }
                Err(other) => return Err(self.given_up(other)),
            }
        }
    }

    /// What the failure of a change means; what follows begins with a connection of its own.
    fn given_up(&mut self, error: StoreError) -> StoreError {
        let error = match error {
            StoreError::Moved => StoreError::Unreachable {
                book: self.server_name(),
                why: "others have been changing it for half a minute".to_owned(),
            },
            other => other,
        };
        if let StoreError::Unreachable { why, .. } | StoreError::Unsure(why) = &error
            && let Some(remote) = &mut self.remote
        {
            remote.served = Err(why.clone());
        }
        error
    }

    pub(super) fn served(&mut self) -> Option<&mut Served> {
        self.book_and_served().1
    }

    /// The book as it is known here, and the connection.
    pub(super) fn book_and_served(&mut self) -> (&Book, Option<&mut Served>) {
        (&self.book, self.remote.as_mut().and_then(|remote| remote.served.as_mut().ok()))
    }

    /// A change is stored on the server: brings the book up to it.
    pub(super) fn has_stored_on_server(&mut self) -> Result<u64, StoreError> {
        note_stored();
        let (book, served) = self.book_and_served();
        let caught_up = served.map_or(Ok(false), |served| served.catch_up(book.current()));
        caught_up.and_then(|_| self.reopened()).map_err(StoreError::after_storing).map(|book| {
            self.book = book;
            self.book.generation()
        })
    }

    pub(super) fn unreachable(&self) -> StoreError {
        let why = self.remote.as_ref().and_then(|remote| remote.served.as_ref().err().cloned());
        StoreError::Unreachable { book: self.server_name(), why: why.unwrap_or_default() }
    }

    fn server_name(&self) -> String {
        self.remote.as_ref().map(|remote| remote.server.to_string()).unwrap_or_default()
    }

    /// Brings the book up to the server's, unless what `changes` would change was
    /// changed there since.
    fn follow(&mut self, changes: &[Change], undoes: Undoes) -> Result<(), StoreError> {
        let (book, served) = self.book_and_served();
        served.ok_or(StoreError::Stopped)?.catch_up(book.current())?;
        let now = self.reopened()?;
        let is_undo = undoes != Undoes::Nothing && now.current() != self.book.current();
        for change in changes {
            if is_undo || is_changed(&self.book, &now, change)? {
                return Err(StoreError::Moved);
            }
        }
        self.book = now;
        Ok(())
    }

    /// Fetches the whole book: its read image at its smallest.
    pub(crate) fn fetch_anew(&mut self) -> Result<u64, StoreError> {
        let nothing = Current::plain(0, String::new(), String::new());
        let Some(served) = self.served() else { return Err(self.unreachable()) };
        served.catch_up(&nothing)?;
        self.book = Book::open(&self.dir)?;
        Ok(self.book.generation())
    }
}

/// Whether what `change` is about is another in `now` than it was in `old`.
fn is_changed(old: &Book, now: &Book, change: &Change) -> Result<bool, StoreError> {
    let fastener = |key: &str| Ok(old.fastener(key)? != now.fastener(key)?);
    let record = |kind, name: &str| {
        let wanted = fold_name(name);
        let find = |book: &Book| -> Result<Option<Kept>, StoreError> {
            Ok(book.records(kind)?.into_iter().find(|record| fold_name(record.name()) == wanted))
        };
        Ok(find(old)? != find(now)?)
    };
    match change {
        Change::Put(new) => fastener(&new.key),
        Change::Remove(key) => fastener(key),
        Change::PutRecord(new) => record(new.kind(), new.name()),
        Change::RemoveRecord(kind, name) => record(*kind, name),
        // A line is only added, and the last note is the one that counts.
        Change::AppendPulls(_) | Change::Note { .. } => Ok(false),
    }
}

//! A book whose book of record is kept by a PostgreSQL server, or by any that speaks
//! its protocol: one book for several benches.
//!
//! Each machine has a read image in a folder of its own, which is brought up to the
//! server's generation before a look-up; without the server the image answers alone.
//! Locking, replication and what survives a crash are the server's: nothing of that is
//! done here. `tables.sql` has the tables.

mod address;
mod copy;
mod fetch;
mod loading;
mod sending;
mod served;
pub(crate) mod unsent;
mod writing;

use std::fs::{self, File};
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, SystemTime};

use crate::store::book::Book;
use crate::store::error::StoreError;
use crate::store::folder::{Current, REFRESHED};
use crate::store::lock::Lock;
use crate::store::restore::Restored;
use crate::store::verify::{BookVerdict, verify_with};
use crate::store::writer::Writer;

pub use address::{AskPassword, Server};
use fetch::is_up_to;
use served::{Served, damaged};
pub(crate) use writing::Remote;

/// How often a check begins again where others change the book meanwhile.
const TRIES: usize = 8;

/// What keeps a read image and its server apart.
#[derive(Debug)]
pub struct Behind {
    pub why: StoreError,
    /// When the image was last known to be the book; nothing where that cannot be told.
    pub since: Option<SystemTime>,
    /// The image is the book; what waits here could not be sent.
    pub is_fetched: bool,
}

impl Server {
    /// Brings the read image in `dir` up to date, and sends what waits. Nothing where it
    /// then is the book of the server.
    ///
    /// # Errors
    /// Where there is no image that could answer alone, or the server has no book.
    pub fn refresh(
        self: &Arc<Self>,
        dir: &Path,
        wait: Duration,
    ) -> Result<Option<Behind>, StoreError> {
        let known = Current::read(dir).ok();
        let since = fs::metadata(dir.join(REFRESHED)).and_then(|data| data.modified()).ok();
        match self.bring_up(dir, known.as_ref(), wait) {
            Ok(sent) => Ok(sent.err().map(|why| Behind { why, since, is_fetched: true })),
            Err(why) if known.is_some() && is_for_now(&why) => {
                Ok(Some(Behind { why, since, is_fetched: false }))
            }
            Err(other) => Err(other),
        }
    }

    /// Fetches, then sends what waits; the error within is one of sending.
    fn bring_up(
        self: &Arc<Self>,
        dir: &Path,
        known: Option<&Current>,
        wait: Duration,
    ) -> Result<Result<(), StoreError>, StoreError> {
        let mut served = Served::connect(self, dir)?;
        if !unsent::is_any(dir)
            && let Some(known) = known
            && served.head()?.is_some_and(|head| is_up_to(known, &head))
        {
            return note_refreshed(dir).map(Ok);
        }
        make_folder(dir)?;
        let lock = Lock::take(dir, wait)?;
        served.fetch(Current::read(dir).ok().as_ref())?;
        note_refreshed(dir)?;
        let mut writer = Writer::over(dir, Book::open(dir)?, lock);
        writer.connected_to(self, served);
        Ok(writer.send_unsent())
    }

    /// Takes the book for changing. Where the server cannot be reached only the log can
    /// be added to.
    ///
    /// # Errors
    /// Where there is no image of it either.
    pub fn writer(self: &Arc<Self>, dir: &Path, wait: Duration) -> Result<Writer, StoreError> {
        make_folder(dir)?;
        let lock = Lock::take(dir, wait)?;
        let known = Current::read(dir).ok();
        let connected = Served::connect(self, dir).and_then(|mut served| {
            served.fetch(known.as_ref())?;
            note_refreshed(dir)?;
            Ok(served)
        });
        match connected {
            Ok(served) => {
                let mut writer = Writer::over(dir, Book::open(dir)?, lock);
                writer.connected_to(self, served);
                match writer.send_unsent() {
                    Err(why) if is_for_now(&why) => writer.cut_off_from(self, &why),
                    other => other?,
                }
                Ok(writer)
            }
            Err(why) if known.is_some() && is_for_now(&why) => {
                let mut writer = Writer::over(dir, Book::open(dir)?, lock);
                writer.cut_off_from(self, &why);
                Ok(writer)
            }
            Err(other) => Err(other),
        }
    }

    /// Fetches the whole book anew into `dir`, whatever is there.
    ///
    /// # Errors
    /// Where the server cannot be reached; the image is as it was.
    pub fn restore(self: &Arc<Self>, dir: &Path, wait: Duration) -> Result<Restored, StoreError> {
        make_folder(dir)?;
        let _lock = Lock::take(dir, wait)?;
        Served::connect(self, dir)?.fetch(None)?;
        note_refreshed(dir)?;
        let (lost, kept_in) = unsent::mend(dir)?;
        let info = Book::open(dir)?.info();
        Ok(Restored {
            from: format!("the server {self}"),
            of: Some(info.generation),
            generation: info.generation,
            fasteners: info.fasteners,
            settings: info.settings,
            lost,
            kept_in,
            lines_kept: 0,
        })
    }

    /// Reads all of the read image in `dir` and all rows of the server, and compares.
    ///
    /// # Errors
    /// One that leaves nothing to check.
    pub fn verify(self: &Arc<Self>, dir: &Path, wait: Duration) -> Result<BookVerdict, StoreError> {
        for _ in 0..TRIES {
            self.refresh(dir, wait)?;
            let mut verdict = verify_with(dir, wait, &|book| {
                Ok(Box::new(Served::connect(self, dir)?.sound_at(book.current())?))
            })?;
            if matches!(verdict.record, Some(StoreError::Moved)) {
                continue;
            }
            // Which of the two is right nobody can say from here.
            if let Some(StoreError::Damaged { what, .. }) = &verdict.record {
                verdict.record = Some(damaged(self, what));
            }
            return Ok(verdict);
        }
        Err(self.refused("it is changed faster than it can be read"))
    }
}

/// Whether the image, and the log, go on where this comes in the way of the server.
/// What waited and was stored is found to be so the next time.
fn is_for_now(error: &StoreError) -> bool {
    matches!(error, StoreError::Unreachable { .. } | StoreError::Held { .. }) || error.is_stored()
}

fn make_folder(dir: &Path) -> Result<(), StoreError> {
    fs::create_dir_all(dir).map_err(|error| StoreError::io("make", dir, error))
}

/// Notes that the read image is the book just now.
fn note_refreshed(dir: &Path) -> Result<(), StoreError> {
    let path = dir.join(REFRESHED);
    let noted = File::options().create(true).truncate(false).write(true).open(&path);
    noted
        .and_then(|file| file.set_modified(SystemTime::now()))
        .map_err(|error| StoreError::io("write", &path, error))
}

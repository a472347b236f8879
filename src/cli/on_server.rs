//! A book on a server: its name, its password and what is said of it.

use std::fmt;
use std::io::IsTerminal as _;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use etcetera::{AppStrategy as _, choose_app_strategy};
use jiff::Timestamp;
use jiff::tz::TimeZone;

use crate::cli::clock::WAIT;
use crate::cli::exit::Failure;
use crate::cli::globals::Globals;
use crate::cli::open::app;
use crate::cli::out;
use crate::record::Log;
use crate::store::{Behind, Book, Restored, Server, StoreError};

/// A look-up does not wait for a writer of this machine: the image answers.
const WAIT_OF_A_READER: std::time::Duration = std::time::Duration::from_secs(1);

/// A book on a server.
pub(super) struct OnServer {
    pub server: Arc<Server>,
}

/// The server that `url` names, and the folder of its read image on this machine.
pub(super) fn named(url: &str) -> Result<(PathBuf, OnServer), Failure> {
    let server = Server::parse(url, ask_password).map_err(Failure::Argument)?;
    let platform = choose_app_strategy(app()).map_err(|_| {
        Failure::Argument("no home folder is known, where what is fetched would be kept".to_owned())
    })?;
    let folder = platform.cache_dir().join(server.folder_name());
    Ok((folder, OnServer { server: Arc::new(server) }))
}

/// Asks on a terminal, without showing what is typed.
fn ask_password(book: &str) -> Option<String> {
    let is_there = std::io::stdin().is_terminal();
    is_there.then(|| rpassword::prompt_password(format!("password of {book}: ")).ok()).flatten()
}

impl OnServer {
    /// The book, brought up to the server's; what keeps it from that is said.
    pub(super) fn book(&self, folder: &Path, globals: &Globals) -> Result<Book, StoreError> {
        let behind = self.server.refresh(folder, WAIT_OF_A_READER)?;
        let book = Book::open(folder)?;
        if let Some(behind) = behind
            && globals.used.get().is_none()
        {
            out::note(globals, &warning(behind, &book));
        }
        Ok(book)
    }

    /// The book as it is on the server now.
    pub(super) fn book_of_now(&self, folder: &Path) -> Result<Book, StoreError> {
        match self.server.refresh(folder, WAIT)? {
            None => Book::open(folder),
            Some(behind) => Err(behind.why),
        }
    }

    pub(super) fn restore(
        &self,
        folder: &Path,
        backup: Option<&Path>,
    ) -> Result<Restored, StoreError> {
        match backup {
            None => self.server.restore(folder, WAIT),
            Some(_) => Err(StoreError::Server {
                book: self.to_string(),
                why: "a backup never replaces it: restore the backup into a folder, and `book \
                      copy` that to an empty database"
                    .to_owned(),
            }),
        }
    }
}

/// What an answer is from that may be older than the book, or what waits all the same.
fn warning(behind: Behind, book: &Book) -> String {
    let since = behind.since.and_then(|since| Timestamp::try_from(since).ok());
    let since = since.map_or("an unknown time".to_owned(), |since| {
        since.to_zoned_datetime(TimeZone::system()).strftime("%Y-%m-%d %H:%M").to_string()
    });
    // Where the log cannot be read, that is what is said.
    let waiting = match book.log().map_or(0, Log::unsent) {
        0 => String::new(),
        1 => "; 1 line of the log is not sent yet".to_owned(),
        lines => format!("; {lines} lines of the log are not sent yet"),
    };
    let why = match behind.why {
        why if behind.is_fetched => {
            return format!("what waits for the server was not sent: {}{waiting}", why.cause());
        }
        StoreError::Held { .. } => "another clampbook on this machine is changing it".to_owned(),
        StoreError::Unreachable { why, .. } => format!("the server cannot be reached ({why})"),
        other => format!("the server cannot be reached ({other})"),
    };
    let revision = book.generation();
    format!("{why}: this is revision {revision}, not refreshed since {since}{waiting}")
}

impl fmt::Display for OnServer {
    /// The URL, as it may be shown.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.server.fmt(f)
    }
}

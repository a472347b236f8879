//! What can go wrong with a book, each with what to do about it.

use std::io;
use std::path::{Path, PathBuf};

use crate::record::LogError;

/// Why a book could not be opened, read or changed.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum StoreError {
    /// Nothing at that place.
    #[error(
        "there is no book at {}: import or add something to begin one there, or name another folder with --book",
        .0.display()
    )]
    Missing(PathBuf),
    /// A folder with nothing in it.
    #[error(
        "the folder {} is empty: import or add something to begin a book there, or name another folder with --book",
        .0.display()
    )]
    Empty(PathBuf),
    /// A folder or file of something else.
    #[error("{} is not a book: it holds other files. Name the book's own folder with --book", .0.display())]
    NotABook(PathBuf),
    /// A new book was asked for where one is.
    #[error("there is a book at {} already: nothing was changed", .0.display())]
    Exists(PathBuf),
    /// Made by a newer clampbook.
    #[error(
        "the book at {} was made by a newer clampbook and has what this one does not know: {what}. Use that clampbook, or restore a backup of this one's into another folder",
        path.display()
    )]
    Newer {
        path: PathBuf,
        /// What this program does not know, by name and number.
        what: String,
    },
    /// Of a form that no released program wrote.
    #[error(
        "the book at {} has format {found}, which was never released and is not read any more: export it with the clampbook that made it, and import that here",
        path.display()
    )]
    Unreleased {
        path: PathBuf,
        /// Its form.
        found: u32,
    },
    /// Somebody else is changing it.
    #[error("the book at {} is being changed by {by}: looking things up still works; try again when that is done", path.display())]
    Held {
        path: PathBuf,
        /// Who holds it, in words.
        by: String,
    },
    /// Bytes that are not what was written.
    #[error(
        "the book at {} is damaged: {what}. `clampbook book restore` mends it from what is whole or from a backup; nothing was changed",
        path.display()
    )]
    Damaged {
        path: PathBuf,
        /// What is damaged, in words.
        what: String,
    },
    /// A change of something that is not in the book.
    #[error("there is no {what} `{name}` in the book")]
    Unknown {
        /// "fastener", "lube", "strength", "wrench", "layout" or "bolt set".
        what: &'static str,
        /// The name asked for.
        name: String,
    },
    /// Two new fasteners with one key.
    #[error("the key `{0}` is given to two fasteners: nothing was changed")]
    SameKey(String),
    /// A record that cannot be kept.
    #[error("`{key}` cannot be kept: {why}")]
    TooLarge {
        /// The fastener, lube or strength.
        key: String,
        /// Why not.
        why: String,
    },
    /// A line of the log that cannot be added.
    #[error("the log takes no such line: {0}")]
    Log(#[from] LogError),
    /// A change of a line of the log.
    #[error("line {0} of the log is never altered: add a line that corrects it")]
    LogKeeps(u64),
    /// A backup that cannot be read.
    #[error("line {line} of the backup {}: {why}", path.display())]
    Backup {
        path: PathBuf,
        /// Its line, from 1.
        line: usize,
        /// What is wrong with it.
        why: String,
    },
    /// Somebody else changed the same on the server since it was read.
    #[error(
        "the same was changed from elsewhere meanwhile: nothing was changed; look at it again first"
    )]
    Moved,
    /// A change that the server has already.
    #[error("this change is stored already")]
    StoredBefore,
    /// A server that does not answer.
    #[error(
        "the server of the book {book} cannot be reached: {why}. Nothing was changed; looking things up and `log add` go on without it"
    )]
    Unreachable {
        /// Its URL, which has no password.
        book: String,
        why: String,
    },
    /// A server that says no.
    #[error("the server of the book {book}: {why}. Nothing was changed")]
    Server {
        /// Its URL, which has no password.
        book: String,
        why: String,
    },
    /// A server that has the tables, and no book in them.
    #[error(
        "there is no book on the server {0} yet: import or add something to begin one there, or copy one to it with `clampbook book copy`"
    )]
    NoBookYet(String),
    /// A folder that holds what was fetched from a server.
    #[error("{} is the read image of a book on a server: name that with --book", .0.display())]
    ReadImage(PathBuf),
    /// It is stored, and something went wrong after that.
    #[error("stored; but {0}")]
    Stored(String),
    /// The book of record could not say whether it is stored.
    #[error("whether it is stored is not known yet, the next change finds out: {0}")]
    Unsure(String),
    /// Nothing to take back, or not any more.
    #[error("nothing was taken back: {0}")]
    Undo(String),
    /// The work was stopped from outside.
    #[error("stopped: the book is as it was")]
    Stopped,
    /// The system said no to a change of a book.
    #[error("cannot {doing} {}: {}. The book is as it was", path.display(), plain_cause(source))]
    Unchanged {
        /// What was tried: "write", "lock".
        doing: &'static str,
        /// On which file.
        path: PathBuf,
        /// The system's own word.
        source: io::Error,
    },
    /// The system said no where no book was to be changed: one was read or begun, or a
    /// file of the user's was read or written.
    #[error("cannot {doing} {}: {}", path.display(), plain_cause(source))]
    Io {
        /// What was tried: "write", "open".
        doing: &'static str,
        /// On which file.
        path: PathBuf,
        /// The system's own word.
        source: io::Error,
    },
}

/// As the error of a writer that reads the book while it writes.
impl From<StoreError> for io::Error {
    fn from(error: StoreError) -> Self {
        Self::other(error)
    }
}

impl StoreError {
    /// A system error while `doing` something with `path` for a change of the book,
    /// before that is stored.
    pub(crate) fn unchanged(doing: &'static str, path: &Path, source: io::Error) -> Self {
        Self::Unchanged { doing, path: path.to_owned(), source }
    }

    /// The same error where there is no book that a change was to be made of.
    pub(crate) fn without_book(self) -> Self {
        match self {
            Self::Unchanged { doing, path, source } => Self::Io { doing, path, source },
            other => other,
        }
    }

    /// A system error while `doing` something with `path`.
    pub(crate) fn io(doing: &'static str, path: &Path, source: io::Error) -> Self {
        Self::Io { doing, path: path.to_owned(), source }
    }

    /// Damage of the book at `path`.
    pub(crate) fn damaged(path: &Path, what: impl Into<String>) -> Self {
        Self::Damaged { path: path.to_owned(), what: what.into() }
    }

    /// The same error, met when the change was stored already.
    pub(crate) fn after_storing(self) -> Self {
        Self::Stored(self.cause())
    }

    /// What happened, without what it means for the change.
    pub(crate) fn cause(self) -> String {
        match self {
            Self::Damaged { path, what } => {
                format!("the book at {} cannot be read: {what}", path.display())
            }
            Self::Io { doing, path, source } | Self::Unchanged { doing, path, source } => {
                format!("cannot {doing} {}: {source}", path.display())
            }
            Self::Stored(cause) | Self::Unsure(cause) => cause,
            Self::Unreachable { book, why } | Self::Server { book, why } => {
                format!("the server of the book {book}: {why}")
            }
            other => other.to_string(),
        }
    }

    /// Whether the change is in the book, or may be: to make it again would
    /// make it twice.
    pub fn is_stored(&self) -> bool {
        matches!(self, Self::Stored(_) | Self::Unsure(_))
    }

    /// Whether no book is there yet, so that one may be made without asking.
    pub fn is_absent(&self) -> bool {
        matches!(self, Self::Missing(_) | Self::Empty(_) | Self::NoBookYet(_))
    }
}

/// The usual causes with what to do; else the system's own word.
fn plain_cause(source: &io::Error) -> String {
    match source.kind() {
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
            "the disk is full; make room and try again".to_owned()
        }
        io::ErrorKind::PermissionDenied => "no permission".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "the folder is read-only".to_owned(),
        _ => source.to_string(),
    }
}

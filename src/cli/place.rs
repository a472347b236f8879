//! Where a book is: a folder, or a server with a folder for what was fetched from it.

use std::path::{Path, PathBuf};

use crate::cli::clock::WAIT;
use crate::cli::exit::Failure;
use crate::cli::globals::Globals;
use crate::store::{self, Book, BookVerdict, Copied, Restored, StoreError, Writer};

#[cfg(feature = "postgres")]
use crate::cli::on_server::{self, OnServer as Remote};

/// A program that was built without servers has none.
#[cfg(not(feature = "postgres"))]
enum Remote {}

/// Where a book is.
pub(super) struct BookPlace {
    /// The folder of the book, or of the read image of one on a server.
    folder: PathBuf,
    remote: Option<Remote>,
}

const SCHEMES: [&str; 2] = ["postgres://", "postgresql://"];

impl BookPlace {
    pub(super) fn folder_at(folder: PathBuf) -> Self {
        Self { folder, remote: None }
    }

    /// What `--book`, `CLAMPBOOK_DIR` or `book copy` name.
    pub(super) fn named(name: &Path) -> Result<Self, Failure> {
        let is_url = |text: &&str| SCHEMES.iter().any(|scheme| text.starts_with(scheme));
        match name.to_str().filter(is_url) {
            None => Ok(Self::folder_at(name.to_owned())),
            Some(url) => Self::on_server(url),
        }
    }

    #[cfg(feature = "postgres")]
    fn on_server(url: &str) -> Result<Self, Failure> {
        let (folder, remote) = on_server::named(url)?;
        Ok(Self { folder, remote: Some(remote) })
    }

    #[cfg(not(feature = "postgres"))]
    fn on_server(_: &str) -> Result<Self, Failure> {
        crate::cli::exit::argument(
            "this clampbook was built without books on servers: cargo build --release \
             --features postgres",
        )
    }

    pub(super) fn folder(&self) -> &Path {
        &self.folder
    }

    /// How a person is told of it.
    pub(super) fn shown(&self) -> String {
        match &self.remote {
            #[cfg(feature = "postgres")]
            Some(remote) => remote.to_string(),
            _ => self.folder.display().to_string(),
        }
    }

    /// The name of the server's book; nothing for a folder.
    pub(super) fn server(&self) -> Option<String> {
        self.remote.as_ref().map(|_| self.shown())
    }

    /// The book for reading; what was fetched of one on a server is brought up to it
    /// first, or said to be older.
    #[cfg_attr(not(feature = "postgres"), allow(unused_variables))]
    pub(super) fn book(&self, globals: &Globals) -> Result<Book, StoreError> {
        match &self.remote {
            #[cfg(feature = "postgres")]
            Some(remote) => remote.book(&self.folder, globals),
            _ => Book::open(&self.folder),
        }
    }

    /// The book as it is now: what is only what was fetched once is not enough.
    pub(super) fn book_of_now(&self) -> Result<Book, StoreError> {
        match &self.remote {
            #[cfg(feature = "postgres")]
            Some(remote) => remote.book_of_now(&self.folder),
            _ => Book::open(&self.folder),
        }
    }

    pub(super) fn writer(&self) -> Result<Writer, StoreError> {
        match &self.remote {
            #[cfg(feature = "postgres")]
            Some(remote) => remote.server.writer(&self.folder, WAIT),
            _ => Writer::open(&self.folder, WAIT),
        }
    }

    pub(super) fn verify(&self) -> Result<BookVerdict, StoreError> {
        match &self.remote {
            #[cfg(feature = "postgres")]
            Some(remote) => remote.server.verify(&self.folder, WAIT),
            _ => store::verify(&self.folder, WAIT),
        }
    }

    /// Mends the book, from a backup if there is one; a server is never written over.
    pub(super) fn restore(&self, backup: Option<&Path>) -> Result<Restored, StoreError> {
        match (&self.remote, backup) {
            #[cfg(feature = "postgres")]
            (Some(remote), backup) => remote.restore(&self.folder, backup),
            (_, Some(file)) => store::restore_backup(&self.folder, file, WAIT),
            (_, None) => store::restore(&self.folder, WAIT),
        }
    }

    /// Makes it a copy of `from`; there must be no book.
    pub(super) fn copy(&self, from: &Book) -> Result<Copied, StoreError> {
        match &self.remote {
            #[cfg(feature = "postgres")]
            Some(remote) => remote.server.copy(from, &self.folder, WAIT),
            _ => store::copy_to_folder(from, &self.folder, WAIT),
        }
    }
}

//! The book on the disk.
//!
//! A [`Book`] reads: it opens in about a millisecond, takes no lock and works
//! on a read-only folder. A [`Writer`] changes: one at a time, each change
//! whole or absent. Behind them lie a book of record (sled) and a derived
//! read image; nothing outside this folder knows either.

mod access;
mod append;
mod backup;
mod bench;
mod book;
mod book_of_record;
mod change;
mod codec;
mod copy;
mod disk;
mod engine;
mod error;
mod finder;
mod folder;
mod frames;
mod image;
mod info;
mod ledger;
mod loader;
mod lock;
mod next;
mod overlay;
mod piece;
mod pipeline;
mod probe;
mod publish;
mod rebuild;
mod recover;
mod restore;
mod row;
mod seal;
#[cfg(feature = "postgres")]
mod server;
mod server_tables;
mod spool;
mod terms;
mod undo;
mod varint;
mod verify;
mod walk;
mod watch;
mod writer;

pub use access::{Access, Figure, Found, Lacking};
pub use book::Book;
pub use change::Change;
pub use copy::{Copied, copy_to_folder};
pub use error::StoreError;
pub use finder::Finder;
pub use folder::SETTINGS;
pub(crate) use image::{Swept, Wanted};
pub use ledger::{Lost, Note, Past, Signature};
pub use loader::Loader;
pub use restore::{Restored, look_at_backup, restore, restore_backup};
#[cfg(feature = "postgres")]
pub use server::{AskPassword, Behind, Server};
pub use server_tables::tables_for;
pub use undo::{BenchStep, LastChange, Revision};
pub use verify::{BookVerdict, verify};
pub(crate) use walk::Which;
pub use writer::{Contents, Writer, begin_command, has_stored};

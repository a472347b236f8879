//! Which book, and opening it.
//!
//! The first run creates the book in its usual place with the reference tables,
//! so that there is no set-up step. A folder named by `--book` or
//! `CLAMPBOOK_DIR` is created only by a command that writes: a mistyped name
//! never makes a new book out of a question.

use std::path::{Path, PathBuf};
use std::time::Duration;

use etcetera::{AppStrategy, AppStrategyArgs, choose_app_strategy};

use crate::cli::exit::Failure;
use crate::cli::globals::Globals;
use crate::cli::interrupt;
use crate::cli::seed;
use crate::cli::sign::signature;
use crate::store::{Book, StoreError, Writer};

/// How long a second writer waits for the first.
pub(super) const WAIT: Duration = Duration::from_secs(5);

/// A book with what must live as long as it is used.
pub(super) struct Opened {
    /// The book.
    pub book: Book,
    /// The throw-away folder of `--demo` or of a trial, removed at the end.
    _demo: Option<ThrowAway>,
}

/// A folder that is removed when it is dropped, and by Ctrl-C.
pub(super) struct ThrowAway(tempfile::TempDir);

impl ThrowAway {
    pub(super) fn path(&self) -> &Path {
        self.0.path()
    }
}

impl Drop for ThrowAway {
    fn drop(&mut self) {
        interrupt::forget(self.0.path());
    }
}

/// The book for a command that reads.
pub(super) fn reader(globals: &Globals) -> Result<Opened, Failure> {
    if globals.demo {
        let _held = interrupt::hold();
        let folder = demo_folder()?;
        let book = demo(folder.path())?;
        return Ok(Opened { book, _demo: Some(folder) });
    }
    let (dir, named) = place(globals)?;
    match Book::open(&dir) {
        Err(error) if error.is_absent() && !named => {
            seed::create(&dir)?;
            Ok(Opened { book: Book::open(&dir)?, _demo: None })
        }
        opened => Ok(Opened { book: opened?, _demo: None }),
    }
}

/// The book for a command that only tries: where there is none, a throw-away
/// one as a first run would make it, so that nothing is created.
pub(super) fn trial(globals: &Globals) -> Result<Opened, Failure> {
    if globals.demo {
        return reader(globals);
    }
    match Book::open(&place(globals)?.0) {
        Err(error) if error.is_absent() => {
            let _held = interrupt::hold();
            let folder = demo_folder()?;
            let dir = folder.path().join("book");
            seed::create(&dir)?;
            Ok(Opened { book: Book::open(&dir)?, _demo: Some(folder) })
        }
        opened => Ok(Opened { book: opened?, _demo: None }),
    }
}

/// The book for a command that writes; created if it is not there.
pub(super) fn writer(globals: &Globals) -> Result<Writer, Failure> {
    let dir = place_to_write(globals)?;
    match Book::open(&dir) {
        Err(error) if error.is_absent() => seed::create(&dir)?,
        Err(error) => return Err(error.into()),
        Ok(_) => {}
    }
    Ok(Writer::open(&dir, WAIT)?)
}

/// The book for a change that is signed. A book that is not there is not made:
/// there is nothing in it to change.
pub(super) fn changing(globals: &Globals, who: Option<&str>) -> Result<Writer, Failure> {
    if !globals.demo {
        reader(globals)?;
    }
    let mut writer = writer(globals)?;
    writer.sign(signature(who));
    Ok(writer)
}

/// The folder of a book that is to be changed. That of `--demo` is none: it must
/// not stand for the user's own.
pub(super) fn place_to_write(globals: &Globals) -> Result<PathBuf, Failure> {
    if globals.demo {
        let message = "the demo book is thrown away: name a book with --book to write to";
        return Err(Failure::Argument(message.to_owned()));
    }
    Ok(place(globals)?.0)
}

/// The folder of the user's book, and whether the user named it.
fn place(globals: &Globals) -> Result<(PathBuf, bool), Failure> {
    if let Some(dir) = &globals.book {
        return Ok((dir.clone(), true));
    }
    let platform = choose_app_strategy(app()).map_err(|_| {
        let message = "no home folder is known: name the book with --book DIR or CLAMPBOOK_DIR";
        Failure::Argument(message.to_owned())
    })?;
    Ok((platform.data_dir(), false))
}

/// What the platform's folders are named after.
pub(super) fn app() -> AppStrategyArgs {
    AppStrategyArgs {
        top_level_domain: String::new(),
        author: String::new(),
        app_name: "clampbook".to_owned(),
    }
}

/// A folder for a book that is thrown away with it.
pub(super) fn demo_folder() -> Result<ThrowAway, Failure> {
    let folder = tempfile::Builder::new().prefix("clampbook-demo-").tempdir();
    let folder = folder.map_err(|error| {
        Failure::Book(StoreError::Io { doing: "make", path: std::env::temp_dir(), source: error })
    })?;
    interrupt::remove_at_the_end(folder.path());
    Ok(ThrowAway(folder))
}

fn demo(dir: &Path) -> Result<Book, Failure> {
    let dir = dir.join("book");
    seed::create_demo(&dir)?;
    Ok(Book::open(&dir)?)
}

//! Which book, and opening it.
//!
//! The first run creates the book in its usual place with the reference tables,
//! so that there is no set-up step. A folder named by `--book` or
//! `CLAMPBOOK_DIR` is created only by a command that writes: a mistyped name
//! never makes a new book out of a question.

use std::path::{Path, PathBuf};

use etcetera::{AppStrategy, AppStrategyArgs, choose_app_strategy};

use crate::cli::exit::{Failure, argument};
use crate::cli::globals::Globals;
use crate::cli::place::BookPlace;
use crate::cli::sign::signature;
use crate::cli::{interrupt, out, seed};
use crate::store::{Book, StoreError, Writer};

/// What to do first, where nothing was entered yet.
pub(super) const NEXT: &str = "
  clampbook tour                        shows an invented shop in seven steps
  clampbook --demo                      the prompt, on that shop
  clampbook import FILE --dry-run       looks at your own specs";

/// Where a book is, with what must live as long as it is used.
pub(super) struct Folder {
    pub place: BookPlace,
    /// The throw-away folder of `--demo` or of a trial, removed at the end.
    _throw_away: Option<ThrowAway>,
}

/// A folder that is removed when it is dropped, and by Ctrl-C.
struct ThrowAway(tempfile::TempDir);

impl Drop for ThrowAway {
    fn drop(&mut self) {
        interrupt::forget(self.0.path());
    }
}

impl Folder {
    fn lasting(place: BookPlace) -> Self {
        Self { place, _throw_away: None }
    }
}

/// A book in its folder.
pub(super) struct Opened {
    pub book: Book,
    pub folder: Folder,
}

impl Opened {
    pub(super) fn folder(&self) -> &Path {
        self.folder.place.folder()
    }

    fn open(folder: Folder, globals: &Globals) -> Result<Self, Failure> {
        let book = folder.place.book(globals)?;
        let _ = globals.used.set(folder.place.folder().to_owned());
        Ok(Self { book, folder })
    }
}

/// The book for a command that reads. In its usual place it is made where there is
/// none: a first question is answered from the reference tables.
pub(super) fn reader(globals: &Globals) -> Result<Opened, Failure> {
    reader_saying(globals, NEXT)
}

/// The same, with other words for what to do next where the book is new.
pub(super) fn reader_saying(globals: &Globals, next: &str) -> Result<Opened, Failure> {
    match existing(globals) {
        Err(Failure::Book(error)) if error.is_absent() && !is_named(globals) => {
            let folder = Folder::lasting(place(globals)?);
            create(globals, &folder.place, next)?;
            Opened::open(folder, globals)
        }
        opened => opened,
    }
}

/// The book if it is there; the demo shop always is.
pub(super) fn existing(globals: &Globals) -> Result<Opened, Failure> {
    Opened::open(folder(globals)?, globals)
}

/// The book of a command that only looks something up on the way: nobody waits for a
/// server, and nothing is said of it.
pub(super) fn at_hand(globals: &Globals) -> Option<Book> {
    Book::open(folder(globals).ok()?.place.folder()).ok()
}

/// The demo shop for a shell that asks with each Tab: made once for this program and
/// kept in the platform's cache; where that cannot be, made anew.
pub(super) fn demo_for_a_shell() -> Result<Opened, Failure> {
    let globals = Globals { demo: true, ..Globals::default() };
    let kept = || {
        let cache = choose_app_strategy(app()).ok()?.cache_dir();
        let kept = cache.join(format!("demo-{:016x}", seed::mark()));
        if Book::open(&kept).is_err() {
            std::fs::create_dir_all(&cache).ok()?;
            let made = tempfile::Builder::new().prefix("making-").tempdir_in(&cache).ok()?;
            seed::create_demo(&made.path().join("book")).ok()?;
            // Another Tab may have been quicker.
            let _ = std::fs::remove_dir_all(&kept);
            std::fs::rename(made.path().join("book"), &kept).ok()?;
        }
        Opened::open(Folder::lasting(BookPlace::folder_at(kept)), &globals).ok()
    };
    kept().map_or_else(|| existing(&globals), Ok)
}

/// Where the book is or would be.
pub(super) fn folder(globals: &Globals) -> Result<Folder, Failure> {
    match (&globals.demo_folder, globals.demo) {
        (Some(folder), _) => Ok(Folder::lasting(BookPlace::folder_at(folder.clone()))),
        (None, true) => throw_away(seed::create_demo),
        (None, false) => place(globals).map(Folder::lasting),
    }
}

fn create(globals: &Globals, place: &BookPlace, next: &str) -> Result<(), Failure> {
    if place.server().is_some() {
        let made = throw_away(seed::create)?;
        place.copy(&Book::open(made.place.folder())?)?;
    } else {
        seed::create(place.folder())?;
    }
    let home = std::env::var_os("HOME").filter(|home| !home.is_empty() && place.server().is_none());
    let below = home.and_then(|home| place.folder().strip_prefix(home).ok().map(Path::to_owned));
    let shown = match &below {
        Some(below) => format!("~/{}", below.display()),
        None => place.shown(),
    };
    let message = format!("made a book at {shown} with the reference tables and general charts");
    out::note(globals, &(message + next));
    Ok(())
}

pub(super) fn throw_away(create: fn(&Path) -> Result<(), Failure>) -> Result<Folder, Failure> {
    // An interrupt waits until the book is made, and then removes it.
    let _held = interrupt::hold();
    let throw_away = tempfile::Builder::new().prefix("clampbook-demo-").tempdir();
    let throw_away = throw_away.map_err(|error| {
        Failure::Book(StoreError::Io { doing: "make", path: std::env::temp_dir(), source: error })
    })?;
    interrupt::remove_at_the_end(throw_away.path());
    let path = throw_away.path().join("book");
    create(&path)?;
    Ok(Folder { place: BookPlace::folder_at(path), _throw_away: Some(ThrowAway(throw_away)) })
}

/// The book for a command that only tries: where there is none, a throw-away
/// one as a first run would make it, so that nothing is created.
pub(super) fn trial(globals: &Globals) -> Result<Opened, Failure> {
    match existing(globals) {
        Err(Failure::Book(error)) if error.is_absent() => {
            Opened::open(throw_away(seed::create)?, globals)
        }
        opened => opened,
    }
}

/// The book for a command that writes; created if it is not there.
pub(super) fn writer(globals: &Globals) -> Result<Writer, Failure> {
    let place = own(globals)?;
    match place.book(globals) {
        Err(error) if error.is_absent() => create(globals, &place, "")?,
        Err(error) => return Err(error.into()),
        Ok(_) => {}
    }
    Ok(place.writer()?)
}

/// The book for a change that is signed. A book that is named and not there is not
/// made: there is nothing in it to change.
pub(super) fn changing(globals: &Globals, who: Option<&str>) -> Result<Writer, Failure> {
    if !globals.demo {
        reader(globals)?;
    }
    let mut writer = writer(globals)?;
    writer.sign(signature(who, writer.book()));
    Ok(writer)
}

pub(super) fn own(globals: &Globals) -> Result<BookPlace, Failure> {
    if globals.demo {
        return argument("the demo book is thrown away: name a book with --book to write to");
    }
    place(globals)
}

fn named(globals: &Globals) -> Option<PathBuf> {
    let of_environment = || std::env::var_os("CLAMPBOOK_DIR").filter(|dir| !dir.is_empty());
    globals.book.clone().or_else(|| of_environment().map(PathBuf::from))
}

fn is_named(globals: &Globals) -> bool {
    named(globals).is_some()
}

fn place(globals: &Globals) -> Result<BookPlace, Failure> {
    if let Some(name) = named(globals) {
        return BookPlace::named(&name);
    }
    let platform = choose_app_strategy(app()).map_err(|_| {
        let message = "no home folder is known: name the book with --book DIR or CLAMPBOOK_DIR";
        Failure::Argument(message.to_owned())
    })?;
    Ok(BookPlace::folder_at(platform.data_dir()))
}

pub(super) fn app() -> AppStrategyArgs {
    AppStrategyArgs {
        top_level_domain: String::new(),
        author: String::new(),
        app_name: "clampbook".to_owned(),
    }
}

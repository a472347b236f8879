//! Books on a server, for the tests that hold wherever a book is kept: the folder of a
//! test names its book and holds what is fetched of it.

use std::hash::{DefaultHasher, Hash as _, Hasher as _};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex, OnceLock};
use std::time::Duration;

use clampbook::store::{Book, BookVerdict, Restored, Server, StoreError, Writer, tables_for};

use crate::databases::Postgres;

/// The role that works with books here.
pub(crate) const ROLE: &str = "bench";
const TEMPLATE: &str = "tables";

/// A server with a template of the tables. Nobody drops it: a shell that waits for the
/// end of this process does.
fn shared() -> Option<&'static Postgres> {
    static SERVER: OnceLock<Option<(Postgres, Mutex<Child>)>> = OnceLock::new();
    let server = SERVER.get_or_init(|| {
        let server = started("")?;
        let watch = format!("read -r _; kill -QUIT {}; rm -rf {}", server.process(), server.home());
        let watch = Command::new("sh").args(["-c", &watch]).stdin(Stdio::piped()).spawn().unwrap();
        Some((server, Mutex::new(watch)))
    });
    server.as_ref().map(|(server, _)| server)
}

/// A server with the role, and the template of a database for a book.
pub(crate) fn started(access: &str) -> Option<Postgres> {
    let server = Postgres::started(access)?;
    server.run("postgres", &format!("CREATE ROLE {ROLE} LOGIN"));
    server.run("postgres", &format!("CREATE DATABASE {TEMPLATE}"));
    server.run_script(TEMPLATE, &tables_for(ROLE));
    Some(server)
}

/// A database with tables and no book; its URL.
pub(crate) fn database(server: &Postgres, name: &str) -> String {
    // One at a time: a template is copied while nobody else does.
    static ONE: Mutex<()> = Mutex::new(());
    let _one = ONE.lock();
    server.run("postgres", &format!("CREATE DATABASE {name} TEMPLATE {TEMPLATE}"));
    format!("postgres://{ROLE}@127.0.0.1:{}/{name}", server.port())
}

pub(crate) fn at(url: &str) -> Arc<Server> {
    Arc::new(Server::parse(url, |_| None).unwrap())
}

fn name_of(dir: &Path) -> String {
    let mut hasher = DefaultHasher::new();
    dir.hash(&mut hasher);
    format!("book_{:016x}", hasher.finish())
}

/// The server of the book of `dir`. Without PostgreSQL the test ends here, well.
fn of(dir: &Path) -> Arc<Server> {
    let Some(server) = shared() else { std::process::exit(0) };
    at(&format!("postgres://{ROLE}@127.0.0.1:{}/{}", server.port(), name_of(dir)))
}

/// An empty book.
pub(crate) fn begin(dir: &Path) -> Writer {
    let server = of(dir);
    database(shared().unwrap(), &name_of(dir));
    let empty = tempfile::tempdir().unwrap();
    let book = Writer::create(empty.path()).unwrap();
    server.copy(book.book(), dir, Duration::ZERO).unwrap();
    server.writer(dir, Duration::ZERO).unwrap()
}

pub(crate) fn open(dir: &Path, wait: Duration) -> Result<Writer, StoreError> {
    of(dir).writer(dir, wait)
}

pub(crate) fn read(dir: &Path) -> Book {
    assert!(of(dir).refresh(dir, Duration::ZERO).unwrap().is_none());
    Book::open(dir).unwrap()
}

pub(crate) fn restore(dir: &Path) -> Restored {
    let verdict: BookVerdict = of(dir).verify(dir, Duration::ZERO).unwrap();
    assert!(verdict.is_whole() && verdict.skipped.is_none(), "{verdict:?}");
    of(dir).restore(dir, Duration::ZERO).unwrap()
}

//! One writer at a time: a lock that the system drops when its holder dies,
//! and a file that says who holds it.

use std::fs::{self, File, TryLockError};
use std::io::{self, Read as _, Write as _};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use crate::store::disk;
use crate::store::error::StoreError;
use crate::text::printable;

const LOCK: &str = "lock";
const OWNER: &str = "owner";

/// How often a held lock is tried again.
const PAUSE: Duration = Duration::from_millis(20);

/// The right to change a book, until dropped.
#[derive(Debug)]
pub(crate) struct Lock {
    file: File,
    owner: PathBuf,
}

impl Lock {
    /// The same for a book that is only looked at: makes no lock file.
    pub(crate) fn take_existing(dir: &Path, wait: Duration) -> Result<Self, StoreError> {
        let path = dir.join(LOCK);
        match fs::metadata(&path) {
            Ok(_) => Self::take(dir, wait).map_err(StoreError::without_book),
            Err(error) => Err(StoreError::io("lock", &path, error)),
        }
    }

    /// Takes the lock of the book at `dir`, waiting up to `wait` for another
    /// holder to finish.
    pub(crate) fn take(dir: &Path, wait: Duration) -> Result<Self, StoreError> {
        let path = dir.join(LOCK);
        let owner = dir.join(OWNER);
        let file = disk::open_or_create(&path);
        let file = file.map_err(|error| StoreError::unchanged("open", &path, error))?;
        let until = Instant::now() + wait;
        loop {
            match file.try_lock() {
                Ok(()) => break,
                Err(TryLockError::WouldBlock) if Instant::now() < until => {
                    std::thread::sleep(PAUSE);
                }
                Err(TryLockError::WouldBlock) => {
                    return Err(StoreError::Held { path: dir.to_owned(), by: holder(&owner) });
                }
                Err(TryLockError::Error(error)) => {
                    return Err(StoreError::unchanged("lock", &path, error));
                }
            }
        }
        let lock = Self { file, owner };
        lock.sign().map_err(|error| StoreError::unchanged("write", &lock.owner, error))?;
        Ok(lock)
    }

    /// Writes down who holds it. It is a courtesy: it need not survive anything.
    fn sign(&self) -> io::Result<()> {
        let who = ["USER", "LOGNAME", "USERNAME"].iter().find_map(|name| std::env::var(name).ok());
        let who = who.map(|who| format!(" of {who}")).unwrap_or_default();
        // The time of the place would be looked up in all the system's time zones.
        let since = jiff::Timestamp::now().strftime("%Y-%m-%d %H:%M:%S UTC");
        let line = format!("process {}{who} since {since}\n", std::process::id());
        disk::create(&self.owner)?.write_all(line.as_bytes())
    }
}

/// Who holds it by the file `owner`, in one short line; nobody is made to read
/// more of it.
fn holder(owner: &Path) -> String {
    const MOST: u64 = 200;
    let mut said = Vec::new();
    let read = disk::open(owner).and_then(|file| file.take(MOST).read_to_end(&mut said));
    let said = String::from_utf8_lossy(&said);
    let line = said.lines().next().filter(|line| read.is_ok() && !line.is_empty());
    line.map_or_else(|| "another process".to_owned(), printable)
}

impl Drop for Lock {
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.owner);
        let _ = self.file.unlock();
    }
}

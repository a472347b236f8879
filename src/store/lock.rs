//! One writer at a time: a lock that the system drops when its holder dies,
//! and a file that says who holds it.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use crate::store::error::StoreError;

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
            Ok(_) => Self::take(dir, wait),
            Err(error) => Err(StoreError::io("lock", &path, error)),
        }
    }

    /// Takes the lock of the book at `dir`, waiting up to `wait` for another
    /// holder to finish.
    pub(crate) fn take(dir: &Path, wait: Duration) -> Result<Self, StoreError> {
        let path = dir.join(LOCK);
        let owner = dir.join(OWNER);
        let file = OpenOptions::new()
            .create(true)
            .truncate(false)
            .write(true)
            .open(&path)
            .map_err(|error| StoreError::io("open", &path, error))?;
        let until = Instant::now() + wait;
        loop {
            match file.try_lock() {
                Ok(()) => break,
                Err(TryLockError::WouldBlock) if Instant::now() < until => {
                    std::thread::sleep(PAUSE);
                }
                Err(TryLockError::WouldBlock) => {
                    let by = fs::read_to_string(&owner).unwrap_or_default();
                    let by = by.lines().next().filter(|line| !line.is_empty());
                    let by = by.unwrap_or("another process").to_owned();
                    return Err(StoreError::Held { path: dir.to_owned(), by });
                }
                Err(TryLockError::Error(error)) => {
                    return Err(StoreError::io("lock", &path, error));
                }
            }
        }
        let lock = Self { file, owner };
        lock.sign().map_err(|error| StoreError::io("write", &lock.owner, error))?;
        Ok(lock)
    }

    /// Writes down who holds it. It is a courtesy: it need not survive anything.
    fn sign(&self) -> io::Result<()> {
        let who = ["USER", "LOGNAME", "USERNAME"].iter().find_map(|name| std::env::var(name).ok());
        let who = who.map(|who| format!(" of {who}")).unwrap_or_default();
        let since = jiff::ZonedDateTime::now().strftime("%Y-%m-%d %H:%M:%S");
        let line = format!("process {}{who} since {since}\n", std::process::id());
        fs::write(&self.owner, line)
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.owner);
        let _ = self.file.unlock();
    }
}

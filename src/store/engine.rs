//! sled behind a watch: every call runs on one thread of its own, a panic is
//! caught, and a call that does not answer in time is given up.
//!
//! Nothing else in the program names sled.

use std::cell::Cell;
use std::io::Read as _;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender};
use std::thread;
use std::time::{Duration, Instant};

use sled::Transactional;
use sled::transaction::{ConflictableTransactionError, TransactionError};

use crate::store::codec;
use crate::store::disk;
use crate::store::error::StoreError;
use crate::store::folder;
use crate::store::row::Stored;
use crate::store::seal::{Batch, Meta, sealed, unsealed};
use crate::store::watch::{self, Watched};

/// Memory that sled may keep pages in. Blocks are read once, so more is waste.
const CACHE_BYTES: u64 = 24 << 20;

/// So many blocks have their keys in before they come. sled parts a leaf at its 17th entry
/// and writes all of it again: parted while they are empty, they are written once, where
/// blocks in their order were written more than three times.
const AHEAD: u64 = 32;

/// Time for a call to one that was made just now: it is not damaged, and a
/// full load may wait for a slow disk.
const PATIENCE_WITH_A_NEW_ONE: Duration = Duration::from_mins(5);
/// Time on top for each started 16 MiB.
const PATIENCE_PER_16_MIB: Duration = Duration::from_millis(500);
/// Time between two looks at one that does not answer.
const LOOKING_AGAIN: Duration = Duration::from_millis(200);
/// Time for closing it.
const CLOSING: Duration = Duration::from_secs(1);

type Job = Box<dyn FnOnce(&Opened) + Send>;

/// sled's trees, while they are open.
struct Opened {
    db: sled::Db,
    blocks: sled::Tree,
    meta: sled::Tree,
}

const META: &[u8] = b"meta";
const TABLES: &[u8] = b"tables";

/// The open book of record.
pub(crate) struct Engine {
    dir: PathBuf,
    jobs: Option<Sender<Job>>,
    ended: Receiver<()>,
    patience: Duration,
    /// Its thread, where the system tells how threads fare.
    watched: Option<Watched>,
    /// It did not answer once: nobody waits for it again.
    given_up: Cell<bool>,
}

impl Engine {
    /// Opens the book of record in `dir`, which is made if `fresh`.
    pub(crate) fn open(dir: &Path, fresh: bool) -> Result<Self, StoreError> {
        if !fresh && !dir.is_dir() {
            return Err(StoreError::damaged(dir, "the folder of the book of record is gone"));
        }
        hush_engine_panics();
        remove_unfinished_snapshots(dir);
        if !fresh {
            read_through(dir)?;
        }
        let pieces = folder::size_of_tree(dir) >> 24;
        let least = if fresh { PATIENCE_WITH_A_NEW_ONE } else { watch::PATIENCE };
        let patience = least + PATIENCE_PER_16_MIB * u32::try_from(pieces).unwrap_or(u32::MAX);
        let (jobs, work) = mpsc::channel::<Job>();
        let (opened, first) = mpsc::channel();
        let (end, ended) = mpsc::channel();
        let place = dir.to_owned();
        let (tell, told) = mpsc::channel();
        let run = move || {
            let _ = tell.send(Watched::this_thread());
            match catch_unwind(|| open_trees(&place)) {
                Ok(Ok(trees)) => {
                    let _ = opened.send(Ok(()));
                    drop(opened);
                    while let Ok(job) = work.recv() {
                        job(&trees);
                    }
                    let _ = catch_unwind(AssertUnwindSafe(|| drop(trees)));
                }
                Ok(Err(error)) => drop(opened.send(Err(error))),
                Err(_) => drop(opened),
            }
            drop(end);
        };
        let spawned = thread::Builder::new().name(THREAD.to_owned()).spawn(run);
        spawned.map_err(|error| StoreError::io("start a thread for", dir, error))?;
        // The thread says this first of all.
        let watched = told.recv().unwrap_or(None);
        let (jobs, given_up) = (Some(jobs), Cell::new(false));
        let engine = Self { dir: dir.to_owned(), jobs, ended, patience, watched, given_up };
        engine.wait(&first)?.map_err(|error| engine.failed(error))?;
        Ok(engine)
    }

    /// What the book of record says of itself; `None` in a fresh one.
    pub(crate) fn meta(&self) -> Result<Option<Meta>, StoreError> {
        match self.run(|trees| trees.meta.get(META))? {
            Some(bytes) => self.checked(&bytes, "its own description").map(Some),
            None => Ok(None),
        }
    }

    pub(crate) fn tables(&self) -> Result<Option<Vec<u8>>, StoreError> {
        let bytes = self.run(|trees| trees.meta.get(TABLES))?;
        bytes.map(|bytes| self.unsealed(&bytes, "the reference tables")).transpose()
    }

    /// Block `number`, if there is one.
    pub(crate) fn block(&self, number: u64) -> Result<Option<Vec<u8>>, StoreError> {
        let bytes = self.run(move |trees| trees.blocks.get(number.to_be_bytes()))?;
        bytes.map(|bytes| self.unsealed(&bytes, &format!("block {number}"))).transpose()
    }

    /// The first block after `last` (from the start for `None`), with its number.
    pub(crate) fn block_after(
        &self,
        last: Option<u64>,
    ) -> Result<Option<(u64, Vec<u8>)>, StoreError> {
        let found = self.run(move |trees| match last {
            None => trees.blocks.first(),
            Some(last) => trees.blocks.get_gt(last.to_be_bytes()),
        })?;
        let Some((key, bytes)) = found else { return Ok(None) };
        let key = <[u8; 8]>::try_from(key.as_ref());
        let number = key.map_err(|_| StoreError::damaged(&self.dir, "a block has no number"))?;
        let number = u64::from_be_bytes(number);
        Ok(Some((number, self.unsealed(&bytes, &format!("block {number}"))?)))
    }

    /// Writes `batch` and `meta` whole, and waits until they are on the disk.
    pub(crate) fn commit(&self, batch: Batch, meta: Meta) -> Result<(), StoreError> {
        let meta = self.encoded(&meta)?;
        let tables = batch.tables.map(|bytes| sealed(&bytes));
        let blocks: Vec<_> = batch
            .blocks
            .into_iter()
            .map(|(number, bytes)| (number.to_be_bytes(), bytes.map(|bytes| sealed(&bytes))))
            .collect();
        self.run(move |trees| {
            let done = (&trees.blocks, &trees.meta).transaction(|(block_tree, meta_tree)| {
                for (number, bytes) in &blocks {
                    match bytes {
                        Some(bytes) => block_tree.insert(number, bytes.as_slice())?,
                        None => block_tree.remove(number)?,
                    };
                }
                if let Some(tables) = &tables {
                    meta_tree.insert(TABLES, tables.as_slice())?;
                }
                meta_tree.insert(META, meta.as_slice())?;
                Ok::<(), ConflictableTransactionError<()>>(())
            });
            match done {
                Err(TransactionError::Storage(error)) => Err(error),
                // Nothing in it aborts.
                Ok(()) | Err(TransactionError::Abort(())) => trees.db.flush().map(drop),
            }
        })?;
        // sled's own flush does not ask the disk on every system.
        disk::sync_tree(&self.dir).map_err(|error| StoreError::unchanged("write", &self.dir, error))
    }

    /// Adds a block to a book of record that nothing names yet: the first is block 0, then
    /// each after the one before.
    pub(crate) fn add(&self, number: u64, block: &[u8]) -> Result<(), StoreError> {
        let block = sealed(block);
        self.run(move |trees| {
            let first = if number == 0 { 0 } else { number + AHEAD };
            for ahead in first..=number + AHEAD {
                trees.blocks.insert(ahead.to_be_bytes(), &[])?;
            }
            trees.blocks.insert(number.to_be_bytes(), block).map(drop)
        })
    }

    /// Says that `count` blocks were all to add.
    pub(crate) fn added(&self, count: u64) -> Result<(), StoreError> {
        let last = if count == 0 { 0 } else { count + AHEAD };
        self.run(move |trees| {
            (count..last).try_for_each(|ahead| trees.blocks.remove(ahead.to_be_bytes()).map(drop))
        })
    }

    /// Runs `job` on sled's thread and waits for its answer.
    fn run<T: Send + 'static>(
        &self,
        job: impl FnOnce(&Opened) -> sled::Result<T> + Send + 'static,
    ) -> Result<T, StoreError> {
        let (answer, first) = mpsc::channel();
        let job: Job = Box::new(move |trees| {
            // A panic drops `answer`, which is how the caller learns of it.
            if let Ok(result) = catch_unwind(AssertUnwindSafe(|| job(trees))) {
                let _ = answer.send(result);
            }
        });
        let sent = self.jobs.as_ref().is_some_and(|jobs| jobs.send(job).is_ok());
        if !sent {
            return Err(self.damaged("the book of record has stopped"));
        }
        self.wait(&first)?.map_err(|error| self.failed(error))
    }

    fn wait<T>(&self, first: &Receiver<T>) -> Result<T, StoreError> {
        if self.given_up.get() {
            return Err(self.damaged("the book of record does not answer"));
        }
        let before = self.watched.and_then(Watched::computed).unwrap_or_default();
        let (began, mut patience) = (Instant::now(), self.patience);
        loop {
            match first.recv_timeout(patience) {
                Ok(answer) => return Ok(answer),
                Err(RecvTimeoutError::Disconnected) => {
                    return Err(self.damaged("the book of record cannot be read"));
                }
                Err(RecvTimeoutError::Timeout) => {}
            }
            let stuck = self.watched.is_none_or(|watched| watched.is_stuck(before));
            if stuck || began.elapsed() > self.patience + watch::LONGEST {
                self.given_up.set(true);
                return Err(self.damaged("the book of record does not answer"));
            }
            patience = LOOKING_AGAIN;
        }
    }

    fn failed(&self, error: sled::Error) -> StoreError {
        match error {
            sled::Error::Io(error) if error.kind() != std::io::ErrorKind::Other => {
                StoreError::unchanged("write", &self.dir, error)
            }
            sled::Error::Io(error) => StoreError::io("open", &self.dir, error),
            sled::Error::Corruption { .. } => {
                self.damaged("bytes of the book of record are not what was written")
            }
            other => self.damaged(&format!("the book of record says: {other}")),
        }
    }

    fn damaged(&self, what: &str) -> StoreError {
        StoreError::damaged(self.dir.parent().unwrap_or(&self.dir), what)
    }

    fn encoded<T: Stored>(&self, row: &T) -> Result<Vec<u8>, StoreError> {
        let bytes = codec::encode(row).map_err(|error| self.damaged(&error.0))?;
        Ok(sealed(&bytes))
    }

    fn checked<T: Stored>(&self, bytes: &[u8], what: &str) -> Result<T, StoreError> {
        let bytes = self.unsealed(bytes, what)?;
        codec::decode(&bytes).map_err(|error| self.damaged(&format!("{what}: {}", error.0)))
    }

    fn unsealed(&self, bytes: &[u8], what: &str) -> Result<Vec<u8>, StoreError> {
        unsealed(bytes)
            .map(<[u8]>::to_vec)
            .ok_or_else(|| self.damaged(&format!("{what} is not what was written")))
    }
}

impl Drop for Engine {
    /// Lets sled close its files, so that they can be opened again; a sled
    /// that hangs is left behind.
    fn drop(&mut self) {
        self.jobs = None;
        if !self.given_up.get() {
            let _ = self.ended.recv_timeout(CLOSING);
        }
    }
}

/// sled writes a snapshot under another name first. One that was broken off is
/// of no use, and sled refuses to open beside it.
fn remove_unfinished_snapshots(dir: &Path) {
    let Ok(entries) = std::fs::read_dir(dir) else { return };
    for entry in entries.filter_map(Result::ok) {
        let name = entry.file_name();
        if name.to_string_lossy().ends_with(".generating") {
            // If it stays, opening says why.
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

/// Reads every file in `dir`. sled takes what it cannot read while it opens for never
/// written, and writes over it: an error of the disk must be met before that.
fn read_through(dir: &Path) -> Result<(), StoreError> {
    let failed = |path: &Path, error| StoreError::io("read", path, error);
    let mut piece = vec![0; 1 << 18];
    for entry in std::fs::read_dir(dir).map_err(|error| failed(dir, error))? {
        let path = entry.map_err(|error| failed(dir, error))?.path();
        if path.is_dir() {
            read_through(&path)?;
            continue;
        }
        let mut file = disk::open(&path).map_err(|error| failed(&path, error))?;
        while file.read(&mut piece).map_err(|error| failed(&path, error))? > 0 {}
    }
    Ok(())
}

fn open_trees(dir: &Path) -> sled::Result<Opened> {
    let config = sled::Config::new().path(dir).cache_capacity(CACHE_BYTES).flush_every_ms(None);
    let db = open_patiently(&config)?;
    let (blocks, meta) = (db.open_tree("blocks")?, db.open_tree("meta")?);
    Ok(Opened { db, blocks, meta })
}

/// sled frees its own lock a moment after it is closed; our lock says that
/// nobody else can hold it.
fn open_patiently(config: &sled::Config) -> sled::Result<sled::Db> {
    let mut tries = 0;
    loop {
        match config.open() {
            Err(sled::Error::Io(error))
                if tries < 40 && error.to_string().contains("could not acquire lock") =>
            {
                tries += 1;
                thread::sleep(Duration::from_millis(25));
            }
            done => return done,
        }
    }
}

const THREAD: &str = "book of record";

/// A damaged sled panics on its own threads; the error that we return says
/// all that a person needs, so those panics are not printed as well.
fn hush_engine_panics() {
    static ONCE: std::sync::Once = std::sync::Once::new();
    ONCE.call_once(|| {
        let usual = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |info| {
            let name = thread::current().name().unwrap_or_default().to_owned();
            if name != THREAD && !name.starts_with("sled") {
                usual(info);
            }
        }));
    });
}

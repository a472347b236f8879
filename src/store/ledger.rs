//! The ledger: what is only ever added. Earlier states of changed fasteners,
//! and notes of other floors (pull log, wrenches, layouts) on shelves.
//!
//! One file of frames, each with its length and checksum. `current` says how
//! far it is valid, so that a frame is there with the change it belongs to or
//! not at all, and a line of the log never rewrites the book.

use std::fs::{File, OpenOptions};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::Path;
use std::sync::Arc;

use crate::record::{Fastener, Tables};
use crate::store::bench::BenchRow;
use crate::store::codec::{self, Unreadable};
use crate::store::error::StoreError;
use crate::store::folder::{self, Current};

const MAGIC: &[u8; 16] = b"clampled\x01\0\0\0\0\0\0\0";
/// The byte after the version of a row that is [`LedgerRow::Bench`]: its number.
const BENCH: u8 = 3;
/// The same byte of a [`LedgerRow::Note`].
const NOTE: u8 = 2;
/// Bytes before a frame's row: its length and checksum.
const HEAD: usize = 8;

/// Who makes a change, and when.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Signature {
    /// Who; empty if not stated.
    pub who: String,
    /// When, UTC, as ISO 8601 text; empty if not stated.
    pub when: String,
}

/// An earlier state of a fastener.
#[derive(Debug, Clone, PartialEq)]
pub struct Past {
    /// The generation that the change made.
    pub generation: u64,
    /// Who made it, and when.
    pub signature: Signature,
    /// The fastener before the change.
    pub old: Arc<Fastener>,
    /// The fastener after it; none if it was removed.
    pub new: Option<Arc<Fastener>>,
}

/// A note on a shelf.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// Which shelf, such as "log" or "wrenches".
    pub shelf: String,
    /// Its key on the shelf.
    pub key: String,
    /// What it says, in whatever form its floor writes it.
    pub text: String,
    /// Who wrote it, and when.
    pub signature: Signature,
}

/// A frame's row.
#[derive(Debug)]
pub(crate) enum LedgerRow {
    /// A changed or removed fastener.
    Past(Box<Past>),
    /// A note; without text it is taken off the shelf.
    Note(NoteRow),
    /// A wrench, layout, bolt set or line of the log.
    Bench(Box<BenchRow>),
    /// What a change did besides changing and removing fasteners.
    Step(Box<Step>),
}

/// What a change did besides changing and removing fasteners, whose earlier states
/// are [`Past`]: enough to take it back.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Step {
    /// The generation that it made.
    pub(crate) generation: u64,
    pub(crate) signature: Signature,
    /// Keys of the fasteners that it entered; none where they were too many to list.
    pub(crate) entered: Vec<String>,
    /// How many it entered.
    pub(crate) count: u64,
    /// The lubes and strengths before it, if it changed them.
    pub(crate) before: Option<Tables>,
    /// The generation that it took back, if it did.
    pub(crate) undoes: Option<u64>,
}

/// Beyond so many new fasteners their keys are not listed: an import of a million
/// costs nothing more, and is taken back by a backup.
pub(crate) const MOST_ENTERED: usize = 20_000;

impl Step {
    /// A step, if there is anything to say of it. The first of a book is none: what
    /// every book begins with is not taken back.
    pub(crate) fn row(mut self) -> Option<LedgerRow> {
        if self.entered.len() > MOST_ENTERED {
            self.entered = Vec::new();
        }
        let is_any = self.count > 0 || self.before.is_some() || self.undoes.is_some();
        (is_any && self.generation > 1).then(|| LedgerRow::Step(Box::new(self)))
    }
}

/// See [`Note`].
#[derive(Debug)]
pub(crate) struct NoteRow {
    pub(crate) shelf: String,
    pub(crate) key: String,
    pub(crate) text: Option<String>,
    pub(crate) signature: Signature,
}

/// Checksum of a frame at `offset`; its place is part of it.
fn check(offset: u64, row: &[u8]) -> u32 {
    let mut hasher = crc32fast::Hasher::new();
    hasher.update(&offset.to_le_bytes());
    hasher.update(row);
    hasher.finalize()
}

/// Adds `rows` after the valid part of the ledger, durably. Returns the name
/// and new valid length; nothing counts until `current` says so.
pub(crate) fn append(
    dir: &Path,
    ledger: Option<&(String, u64)>,
    generation: u64,
    rows: &[LedgerRow],
) -> Result<Option<(String, u64)>, StoreError> {
    if rows.is_empty() {
        return Ok(ledger.cloned());
    }
    let (name, start) =
        ledger.cloned().unwrap_or_else(|| (format!("ledger-{generation}"), MAGIC.len() as u64));
    let mut bytes = Vec::new();
    for row in rows {
        let row = codec::encode(row)
            .map_err(|why| StoreError::TooLarge { key: "the history".to_owned(), why: why.0 })?;
        let offset = start + bytes.len() as u64;
        bytes.extend_from_slice(&(row.len() as u32).to_le_bytes());
        bytes.extend_from_slice(&check(offset, &row).to_le_bytes());
        bytes.extend_from_slice(&row);
    }
    let path = dir.join(&name);
    write(&path, ledger.is_none(), start, &bytes)
        .and_then(|()| folder::sync_folder(dir))
        .map_err(|error| StoreError::io("write", &path, error))?;
    Ok(Some((name, start + bytes.len() as u64)))
}

fn write(path: &Path, fresh: bool, start: u64, bytes: &[u8]) -> io::Result<()> {
    let mut file = OpenOptions::new().write(true).create(fresh).truncate(false).open(path)?;
    if fresh {
        file.write_all(MAGIC)?;
    }
    // What a broken change may have left after the valid part goes.
    file.set_len(start)?;
    file.seek(SeekFrom::Start(start))?;
    let written = file.write_all(bytes).and_then(|()| file.sync_all());
    if written.is_err() {
        let _ = file.set_len(start);
    }
    written
}

/// The rows in the valid part of the ledger.
pub(crate) fn read(dir: &Path, current: &Current) -> Result<Vec<LedgerRow>, StoreError> {
    let Some((name, bytes)) = valid_part(dir, current)? else { return Ok(Vec::new()) };
    let (rows, end) = rows_of(&bytes);
    if end == bytes.len() { Ok(rows) } else { Err(not_as_written(dir, name)) }
}

/// The rows of the bench in the valid part of the ledger. The history, which is
/// the larger part, is passed over.
pub(crate) fn read_bench(dir: &Path, current: &Current) -> Result<Vec<BenchRow>, StoreError> {
    let bench = |row| if let LedgerRow::Bench(row) = row { Some(*row) } else { None };
    Ok(read_kind(dir, current, BENCH)?.into_iter().filter_map(bench).collect())
}

/// The notes in the valid part of the ledger, the rest passed over.
pub(crate) fn read_notes(dir: &Path, current: &Current) -> Result<Vec<LedgerRow>, StoreError> {
    read_kind(dir, current, NOTE)
}

/// The rows of one kind.
fn read_kind(dir: &Path, current: &Current, kind: u8) -> Result<Vec<LedgerRow>, StoreError> {
    let Some((name, bytes)) = valid_part(dir, current)? else { return Ok(Vec::new()) };
    let (mut rows, mut at) = (Vec::new(), MAGIC.len());
    while at < bytes.len() {
        let frame = frame_at(&bytes, at).filter(|_| bytes.starts_with(MAGIC));
        let (row, next) = frame.ok_or_else(|| not_as_written(dir, name))?;
        if row.get(1) == Some(&kind) {
            rows.push(codec::decode(row).map_err(|_| not_as_written(dir, name))?);
        }
        at = next;
    }
    Ok(rows)
}

/// The name of the ledger and its valid bytes, if there is one.
fn valid_part<'a>(
    dir: &Path,
    current: &'a Current,
) -> Result<Option<(&'a str, Vec<u8>)>, StoreError> {
    let Some((name, length)) = &current.ledger else { return Ok(None) };
    let mut bytes = read_file(dir, name)?;
    match usize::try_from(*length) {
        Ok(length) if length <= bytes.len() => bytes.truncate(length),
        _ => return Err(StoreError::damaged(dir, format!("its ledger {name}: it is cut off"))),
    }
    Ok(Some((name, bytes)))
}

fn not_as_written(dir: &Path, name: &str) -> StoreError {
    StoreError::damaged(dir, format!("its ledger {name}: it is not what was written"))
}

/// Every whole row from the start, for a restore: of the valid part that
/// `current` names, else of the newest ledger. Also whether any was lost.
pub(crate) fn salvage(dir: &Path, current: Option<&Current>) -> (Vec<LedgerRow>, bool) {
    let newest = || folder::numbered(dir, "ledger-").pop().map(|(_, path)| folder::name_of(&path));
    let (name, valid) = match current {
        Some(Current { ledger: None, .. }) => return (Vec::new(), false),
        Some(Current { ledger: Some((name, valid)), .. }) => (name.clone(), Some(*valid)),
        None => match newest() {
            Some(name) => (name, None),
            None => return (Vec::new(), false),
        },
    };
    let Ok(bytes) = read_file(dir, &name) else { return (Vec::new(), true) };
    let told = valid.and_then(|valid| usize::try_from(valid).ok()).unwrap_or(bytes.len());
    let (rows, end) = rows_of(&bytes[..told.min(bytes.len())]);
    (rows, end < told)
}

/// The valid length with the rows of a change that was committed but not yet
/// published: those of `generation` after the valid part.
pub(crate) fn extended(dir: &Path, current: &Current, generation: u64) -> Option<(String, u64)> {
    let (name, valid) = match &current.ledger {
        Some((name, valid)) => (name.clone(), *valid),
        None => (format!("ledger-{generation}"), MAGIC.len() as u64),
    };
    let Ok(bytes) = read_file(dir, &name) else { return current.ledger.clone() };
    let mut end = usize::try_from(valid).unwrap_or(usize::MAX);
    while let Some((row, next)) = row_at(&bytes, end) {
        let ours = match &row {
            LedgerRow::Past(past) => past.generation == generation,
            LedgerRow::Step(step) => step.generation == generation,
            LedgerRow::Note(_) | LedgerRow::Bench(_) => true,
        };
        if !ours {
            break;
        }
        end = next;
    }
    if end as u64 > valid { Some((name, end as u64)) } else { current.ledger.clone() }
}

fn read_file(dir: &Path, name: &str) -> Result<Vec<u8>, StoreError> {
    let path = dir.join(name);
    let mut bytes = Vec::new();
    File::open(&path)
        .and_then(|mut file| file.read_to_end(&mut bytes))
        .map_err(|error| StoreError::io("read", &path, error))?;
    Ok(bytes)
}

/// The whole rows from the start, and where they end.
fn rows_of(bytes: &[u8]) -> (Vec<LedgerRow>, usize) {
    if !bytes.starts_with(MAGIC) {
        return (Vec::new(), 0);
    }
    let (mut rows, mut at) = (Vec::new(), MAGIC.len());
    while let Some((row, next)) = row_at(bytes, at) {
        rows.push(row);
        at = next;
    }
    (rows, at)
}

fn row_at(bytes: &[u8], at: usize) -> Option<(LedgerRow, usize)> {
    let (row, next) = frame_at(bytes, at)?;
    let row: Result<LedgerRow, Unreadable> = codec::decode(row);
    Some((row.ok()?, next))
}

/// The bytes of a whole frame's row, and where the next frame begins.
fn frame_at(bytes: &[u8], at: usize) -> Option<(&[u8], usize)> {
    let (length, rest) = bytes.get(at..)?.split_first_chunk::<4>()?;
    let (told, rest) = rest.split_first_chunk::<4>()?;
    let length = u32::from_le_bytes(*length) as usize;
    let row = rest.get(..length)?;
    let is_whole = check(at as u64, row) == u32::from_le_bytes(*told);
    is_whole.then_some((row, at + HEAD + length))
}

/// The history of the fastener `key` in `rows`, oldest first.
pub(crate) fn history_of(rows: Vec<LedgerRow>, key: &str) -> Vec<Past> {
    let past = |row| match row {
        LedgerRow::Past(past) if past.old.key == key => Some(*past),
        _ => None,
    };
    rows.into_iter().filter_map(past).collect()
}

/// The notes on `shelf` in `rows`: each key once, in the order first written,
/// with its last text.
pub(crate) fn shelf_of(rows: Vec<LedgerRow>, shelf: &str) -> Vec<Note> {
    let mut notes: Vec<Option<Note>> = Vec::new();
    let mut places: std::collections::HashMap<String, usize> = std::collections::HashMap::new();
    for row in rows {
        let LedgerRow::Note(row) = row else { continue };
        if row.shelf != shelf {
            continue;
        }
        let Some(text) = row.text else {
            if let Some(at) = places.remove(&row.key) {
                notes[at] = None;
            }
            continue;
        };
        let NoteRow { shelf, key, signature, .. } = row;
        let note = Note { shelf, key: key.clone(), text, signature };
        match places.get(&key) {
            Some(at) => notes[*at] = Some(note),
            None => {
                places.insert(key, notes.len());
                notes.push(Some(note));
            }
        }
    }
    notes.into_iter().flatten().collect()
}

//! The ledger: what is only ever added. Earlier states of changed fasteners,
//! and notes of other floors (pull log, wrenches, layouts) on shelves.
//!
//! One file of frames, each with its length and checksum. `current` says how
//! far it is valid, so that a frame is there with the change it belongs to or
//! not at all, and a line of the log never rewrites the book.

use std::fmt;
use std::io;
use std::path::Path;
use std::sync::Arc;

use crate::record::{Fastener, Tables};
use crate::store::append::{Appender, Valid};
use crate::store::bench::{BenchChange, BenchRow};
use crate::store::book::{Book, read_error};
use crate::store::codec;
use crate::store::disk;
use crate::store::error::StoreError;
use crate::store::folder::{self, Current};
use crate::store::frames::{self, FIRST, Piece};

/// The byte after the version of a row: the number of its kind.
pub(crate) const PAST: u8 = 1;
pub(crate) const NOTE: u8 = 2;
pub(crate) const BENCH: u8 = 3;
pub(crate) const STEP: u8 = 4;

/// Every kind.
pub(crate) const KINDS: [u8; 4] = [PAST, NOTE, BENCH, STEP];

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

/// A note on a topic.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// Which topic, such as "log" or "wrenches".
    pub topic: String,
    /// Its key among them.
    pub key: String,
    /// What it says, in whatever form its floor writes it.
    pub text: String,
    /// Who wrote it, and when.
    pub signature: Signature,
}

/// The row of a frame; its second byte says which.
#[derive(Debug)]
pub(crate) enum LedgerRow {
    /// A changed or removed fastener.
    Past(Box<Past>),
    /// A note; without text it is taken away.
    Note(NoteRow),
    /// A wrench, layout, bolt set or line of the log.
    Bench(Box<BenchRow>),
    /// What a change did besides changing and removing fasteners.
    Step(Box<Step>),
}

impl LedgerRow {
    /// The state before a change; nothing if it changes nothing.
    pub(crate) fn past(
        generation: u64,
        signature: &Signature,
        old: Arc<Fastener>,
        new: Option<&Arc<Fastener>>,
    ) -> Option<Self> {
        let differs = new != Some(&old);
        let past = || Past { generation, signature: signature.clone(), old, new: new.cloned() };
        differs.then(|| Self::Past(Box::new(past())))
    }

    /// Whether it is a line of the log.
    pub(crate) fn is_line(&self) -> bool {
        matches!(self, Self::Bench(row) if matches!(row.change, BenchChange::Pull(_)))
    }
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
const MOST_ENTERED: usize = 20_000;

impl Step {
    /// Notes a new fastener; its key is listed while there are not too many.
    pub(crate) fn enter(&mut self, fastener: &Fastener) {
        self.count += 1;
        if self.entered.len() <= MOST_ENTERED {
            self.entered.push(fastener.key.clone());
        }
    }

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

/// A [`Note`] as the ledger keeps it.
#[derive(Debug)]
pub(crate) struct NoteRow {
    pub(crate) topic: String,
    pub(crate) key: String,
    pub(crate) text: Option<String>,
    pub(crate) signature: Signature,
}

/// Adds `rows` after the valid part of the ledger, durably. Returns the name
/// and new valid length; nothing counts until `current` says so.
pub(crate) fn append(
    dir: &Path,
    ledger: Option<&(String, u64)>,
    generation: u64,
    rows: &[LedgerRow],
) -> Result<Option<(String, u64)>, StoreError> {
    let mut appender = Appender::new(dir, ledger, generation);
    rows.iter().try_for_each(|row| appender.push(row))?;
    appender.finish()
}

/// An error if a frame of the ledger is not whole.
pub(crate) fn check(dir: &Path, ledger: &Valid) -> Result<(), StoreError> {
    each_frame(dir, ledger, &mut |_| Ok(()))
}

/// Calls `take` with each row of one of the `kinds` in the valid part of the
/// ledger; the others are passed over.
pub(crate) fn each(
    dir: &Path,
    current: &Current,
    kinds: &[u8],
    take: &mut dyn FnMut(LedgerRow) -> Result<(), StoreError>,
) -> Result<(), StoreError> {
    let Some(ledger) = &current.ledger else { return Ok(()) };
    let mut failed = Ok(());
    each_frame(dir, ledger, &mut |row| {
        if failed.is_ok() && row.get(1).is_some_and(|kind| kinds.contains(kind)) {
            failed = take(codec::decode(row)?);
        }
        Ok(())
    })?;
    failed
}

fn each_frame(
    dir: &Path,
    (name, valid): &(String, u64),
    take: &mut dyn FnMut(&[u8]) -> Result<(), crate::store::image::ReadError>,
) -> Result<(), StoreError> {
    let path = dir.join(name);
    frames::each(&path, *valid, take)
        .map_err(|error| read_error(dir, &path, &format!("its ledger {name}"), error))
}

/// What a restore could not bring back of a ledger.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Lost {
    /// Earlier states of fasteners, and what else a change did.
    pub earlier: usize,
    /// Notes, such as saved questions.
    pub notes: usize,
    pub log_lines: usize,
    /// Changes of wrenches, layouts, bolt sets, or last lines of the log.
    pub bench: usize,
    /// Entries that do not say what they were.
    pub unknown: usize,
    /// The whole ledger: there is no such file.
    pub whole: bool,
}

impl Lost {
    /// Whether all of it was brought back.
    pub fn is_nothing(&self) -> bool {
        *self == Self::default()
    }
}

impl fmt::Display for Lost {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.whole {
            return f.write_str("the file of history, notes, bench and log");
        }
        let Self { earlier, notes, log_lines, bench, unknown, whole: _ } = *self;
        let counts = [
            (earlier, "earlier states of fasteners"),
            (notes, "notes"),
            (log_lines, "lines of the log"),
            (bench, "entries of the bench or the end of the log"),
            (unknown, "entries that do not say what they were"),
        ];
        let some = counts.into_iter().filter(|(count, _)| *count > 0);
        let words: Vec<String> = some.map(|(count, what)| format!("{count} {what}")).collect();
        f.write_str(&words.join(", "))
    }
}

/// Every whole row for a restore, of the valid part that `current` names, else
/// of the newest ledger; and what was lost. A ledger that is there and cannot
/// be read is an error.
pub(crate) fn salvage(
    dir: &Path,
    current: Option<&Current>,
) -> Result<(Vec<LedgerRow>, Lost), StoreError> {
    let newest = || folder::numbered(dir, "ledger-").pop().map(|(_, path)| folder::name_of(&path));
    let named = match current {
        Some(current) => current.ledger.clone(),
        None => newest().map(|name| (name, u64::MAX)),
    };
    let Some((name, valid)) = named else { return Ok((Vec::new(), Lost::default())) };
    let path = dir.join(name);
    let mut bytes = match disk::read(&path) {
        Ok(bytes) => bytes,
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            return Ok((Vec::new(), Lost { whole: true, ..Lost::default() }));
        }
        Err(error) => return Err(StoreError::io("read", &path, error)),
    };
    let mut lost = Lost::default();
    match usize::try_from(valid) {
        Ok(valid) if valid <= bytes.len() => bytes.truncate(valid),
        // What is cut off behind the last whole frame does not say how many it was.
        Ok(valid) if valid < usize::MAX && frames::pieces(&bytes).iter().all(is_row) => {
            lost.unknown += 1;
        }
        _ => {}
    }
    Ok((sound_rows(&bytes, &mut lost), lost))
}

fn is_row(piece: &Piece<'_>) -> bool {
    matches!(piece, Piece::Row(_))
}

/// The rows that can be read; a line of the log that is missing between others
/// is marked, so that the others keep their numbers.
fn sound_rows(bytes: &[u8], lost: &mut Lost) -> Vec<LedgerRow> {
    let (mut rows, mut next_line) = (Vec::new(), 1);
    for piece in frames::pieces(bytes) {
        let row = match piece {
            Piece::Row(row) => codec::decode::<LedgerRow>(row).map_err(|_| row.get(1).copied()),
            Piece::Damaged(kind) => Err(kind),
        };
        match row {
            Ok(row) => {
                mark_lines_before(&row, &mut next_line, lost, &mut rows);
                rows.push(row);
            }
            Err(Some(PAST | STEP)) => lost.earlier += 1,
            Err(Some(NOTE)) => lost.notes += 1,
            Err(Some(BENCH)) => lost.bench += 1,
            Err(_) => lost.unknown += 1,
        }
    }
    rows
}

fn mark_lines_before(
    row: &LedgerRow,
    next_line: &mut u64,
    lost: &mut Lost,
    rows: &mut Vec<LedgerRow>,
) {
    let LedgerRow::Bench(bench) = row else { return };
    let number = match &bench.change {
        BenchChange::Pull(line) => line.number,
        BenchChange::LineLost(number) => *number,
        _ => return,
    };
    for missing in *next_line..number {
        let change = BenchChange::LineLost(missing);
        let marked = BenchRow { signature: Signature::default(), change, takes_back: false };
        rows.push(LedgerRow::Bench(Box::new(marked)));
        lost.log_lines += 1;
        lost.bench = lost.bench.saturating_sub(1);
    }
    *next_line = (*next_line).max(number + 1);
}

/// The valid length with the rows of a change that was committed but not yet
/// published: those of `generation` after the valid part.
pub(crate) fn extended(dir: &Path, current: &Current, generation: u64) -> Option<(String, u64)> {
    let (name, valid) =
        current.ledger.clone().unwrap_or_else(|| (format!("ledger-{generation}"), FIRST));
    let Ok(bytes) = disk::read(&dir.join(&name)) else { return current.ledger.clone() };
    let mut end = usize::try_from(valid).unwrap_or(usize::MAX);
    while let Some((row, next)) = frames::whole_at(&bytes, end) {
        match codec::decode(row) {
            Ok(LedgerRow::Past(past)) if past.generation != generation => break,
            Ok(LedgerRow::Step(step)) if step.generation != generation => break,
            Ok(_) => end = next,
            Err(_) => break,
        }
    }
    if end as u64 > valid { Some((name, end as u64)) } else { current.ledger.clone() }
}

impl Book {
    /// Earlier states of the fastener of that key, oldest first.
    pub fn history(&self, key: &str) -> Result<Vec<Past>, StoreError> {
        let mut history = Vec::new();
        each(self.dir(), self.current(), &[PAST], &mut |row| {
            if let LedgerRow::Past(past) = row
                && past.old.key == key
            {
                history.push(*past);
            }
            Ok(())
        })?;
        Ok(history)
    }

    /// The notes on a topic, in the order first written: each key once, with its
    /// last text.
    pub fn notes(&self, topic: &str) -> Result<Vec<Note>, StoreError> {
        self::notes(self.dir(), self.current(), topic)
    }

    /// What the shop wants everywhere: name and text, in the order of first setting.
    pub fn set(&self) -> &[(String, String)] {
        &self.current().set
    }
}

/// The notes on a topic of the book at `dir`, as [`Book::notes`] gives them.
pub(crate) fn notes(dir: &Path, current: &Current, topic: &str) -> Result<Vec<Note>, StoreError> {
    let mut notes: Vec<Note> = Vec::new();
    each(dir, current, &[NOTE], &mut |row| {
        let LedgerRow::Note(NoteRow { topic: own, key, text, signature }) = row else {
            return Ok(());
        };
        if own != topic {
            return Ok(());
        }
        let place = notes.iter().position(|note| note.key == key);
        match (place, text) {
            (Some(at), Some(text)) => notes[at] = Note { topic: own, key, text, signature },
            (None, Some(text)) => notes.push(Note { topic: own, key, text, signature }),
            (Some(at), None) => drop(notes.remove(at)),
            (None, None) => {}
        }
        Ok(())
    })?;
    Ok(notes)
}

//! Mending a damaged book from what is whole of it, or from a backup.

use std::collections::HashSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use crate::record::Tables;
use crate::store::backup::{self, BackupLine};
use crate::store::book::Book;
use crate::store::book_of_record::Visit;
use crate::store::codec;
use crate::store::engine::Engine;
use crate::store::error::StoreError;
use crate::store::folder::{self, CHANGING, Current};
use crate::store::image::{Image, ReadError};
use crate::store::ledger::{self, LedgerRow, Lost};
use crate::store::lock::Lock;
use crate::store::overlay::Overlay;
use crate::store::pipeline::Pipeline;
use crate::store::publish::{publish, remove_leftovers};
use crate::store::recover;
use crate::store::writer::note_stored;

/// Where the files that a restore replaced are put.
const ASIDE: &str = "damaged";

/// What a restore did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Restored {
    /// What it was restored from, in words: "read image image-12".
    pub from: String,
    /// The generation that it had.
    pub of: Option<u64>,
    /// The new generation of the book.
    pub generation: u64,
    /// How many fasteners it holds.
    pub fasteners: u64,
    pub settings: u64,
    /// What of history, notes, bench and log could not be brought back.
    pub lost: Lost,
    /// The folder within the book that has the files it replaced; none if there
    /// were none.
    pub kept_in: Option<String>,
    /// Lines of the log that are in those files alone.
    pub lines_kept: usize,
}

/// Mends the book at `dir` from its newest state that is whole: its read image
/// or its book of record. The files it had are kept in a new folder `damaged`,
/// `damaged-2` and so on within it.
pub fn restore(dir: &Path, wait: Duration) -> Result<Restored, StoreError> {
    let _lock = take_lock(dir, wait)?;
    refuse_newer(dir)?;
    let mut whole = newest_image(dir);
    if let Some((generation, record)) = from_record(dir, whole.as_ref().map(|(g, ..)| *g)) {
        whole = Some((generation, "book of record".to_owned(), record));
    }
    let Some((of, from, source)) = whole else {
        let what = "neither its read image nor its book of record is whole; name a backup";
        return Err(StoreError::damaged(dir, what));
    };
    let begin = |tables| Pipeline::begin(dir, next_generation(dir), tables);
    let pipeline = match source {
        Readable::Image(book) => {
            let mut pipeline = begin(book.tables().clone())?;
            book.each_entry(&mut |_, fastener| pipeline.push(fastener))?;
            pipeline
        }
        Readable::Record(engine) => {
            let mut pipeline = begin(recover::tables(dir, &engine)?)?;
            recover::each_entry(dir, &engine, &mut |_, fastener| pipeline.push(fastener))?;
            pipeline
        }
    };
    let (ledger, lost) = ledger::salvage(dir, Current::read(dir).ok().as_ref())?;
    complete(dir, pipeline, from, Some(of), &ledger, lost)
}

/// Replaces whatever is at `dir` by the book in the backup `file`; makes the
/// folder if there is none. Nothing changes unless all of the backup is read.
pub fn restore_backup(dir: &Path, file: &Path, wait: Duration) -> Result<Restored, StoreError> {
    let _lock = take_lock(dir, wait)?;
    let begin =
        |tables: &mut Tables| Pipeline::begin(dir, next_generation(dir), std::mem::take(tables));
    let (mut tables, mut pipeline, mut ledger) = (Tables::default(), None, Vec::new());
    backup::read(file, &mut |line| {
        match line {
            BackupLine::Lube(lube) => tables.lubes.push(lube),
            BackupLine::Strength(class) => tables.strengths.push(class),
            // The tables stand before the fasteners.
            BackupLine::Fastener(fastener) => {
                let mut open = pipeline.take().map_or_else(|| begin(&mut tables), Ok)?;
                open.push(fastener)?;
                pipeline = Some(open);
            }
            BackupLine::Ledger(row) => ledger.push(*row),
            // The reader takes these for itself.
            BackupLine::ClampbookBackup(_) | BackupLine::End(_) => {}
        }
        Ok(())
    })?;
    let pipeline = pipeline.map_or_else(|| begin(&mut tables), Ok)?;
    let from = format!("backup {}", file.display());
    // A ledger that cannot be read is put aside all the same.
    let old = ledger::salvage(dir, Current::read(dir).ok().as_ref()).map(|(rows, _)| rows);
    let lines_kept = lines_missing(&old.unwrap_or_default(), &ledger);
    let restored = complete(dir, pipeline, from, None, &ledger, Lost::default())?;
    Ok(Restored { lines_kept, ..restored })
}

/// How many lines of the log in `old` are not in `new`.
fn lines_missing(old: &[LedgerRow], new: &[LedgerRow]) -> usize {
    let lines = |rows: &[LedgerRow]| -> Vec<Vec<u8>> {
        let of_log = rows.iter().filter(|row| row.is_line());
        // What was read can be written.
        of_log.filter_map(|row| codec::encode(row).ok()).collect()
    };
    let new: HashSet<Vec<u8>> = lines(new).into_iter().collect();
    lines(old).iter().filter(|line| !new.contains(*line)).count()
}

/// Whether `file` is there and begins as a backup of this form.
///
/// # Errors
/// What a restore from it would fail with before it has read a row.
pub fn look_at_backup(file: &Path) -> Result<(), StoreError> {
    match backup::read(file, &mut |_| Err(StoreError::Stopped)) {
        // It has begun to hand out rows.
        Err(StoreError::Stopped) => Ok(()),
        other => other,
    }
}

/// A state that can be read.
enum Readable {
    Image(Box<Book>),
    Record(Engine),
}

fn take_lock(dir: &Path, wait: Duration) -> Result<Lock, StoreError> {
    match Current::read(dir) {
        Err(error) if error.is_absent() => {
            fs::create_dir_all(dir).map_err(|error| StoreError::io("make", dir, error))?;
        }
        Ok(current) if current.server.is_some() => {
            return Err(StoreError::ReadImage(dir.to_owned()));
        }
        Ok(_) | Err(StoreError::Damaged { .. }) => {}
        Err(other) => return Err(other),
    }
    Lock::take(dir, wait)
}

/// A generation above every file of the folder.
fn next_generation(dir: &Path) -> u64 {
    let current = Current::read(dir).map_or(0, |current| current.generation);
    let files = ["image-", "overlay-", "ledger-"].into_iter();
    let newest = files.filter_map(|prefix| folder::numbered(dir, prefix).pop());
    newest.map(|(number, _)| number).max().unwrap_or(0).max(current) + 1
}

/// An error if a newer program wrote an image of the folder: it is not damaged,
/// and what of it could be read would be only a part.
fn refuse_newer(dir: &Path) -> Result<(), StoreError> {
    for (_, path) in folder::numbered(dir, "image-") {
        if let Err(ReadError::Newer(what)) = Image::open(&path) {
            return Err(StoreError::Newer { path: dir.to_owned(), what });
        }
    }
    Ok(())
}

/// The newest image with its overlay whose fasteners can all be read.
fn newest_image(dir: &Path) -> Option<(u64, String, Readable)> {
    let mut states: Vec<Current> = Current::read(dir).into_iter().collect();
    let overlays = folder::numbered(dir, "overlay-");
    for (generation, path) in folder::numbered(dir, "image-").into_iter().rev() {
        let image = folder::name_of(&path);
        let plain = Current::plain(generation, String::new(), image);
        // Without `current`, an overlay that belongs to the image is the newer.
        let base = Image::open(&path).ok().map(|image| image.counts().generation);
        let fitting = overlays.iter().rev().filter(|(_, overlay)| {
            base.is_some_and(|base| matches!(Overlay::open(overlay, base), Ok(Ok(_))))
        });
        states.extend(fitting.map(|(generation, overlay)| Current {
            generation: *generation,
            overlay: Some(folder::name_of(overlay)),
            ..plain.clone()
        }));
        states.push(plain);
    }
    states.sort_by_key(|state| std::cmp::Reverse(state.generation));
    states.into_iter().find_map(|state| {
        let (generation, from) = (state.generation, format!("read image {state}"));
        let book = Book::open_files(dir, state).ok()?;
        let counted = (book.counts().fasteners, book.counts().settings);
        is_whole(|visit| book.each_entry(visit), counted)
            .then(|| (generation, from, Readable::Image(Box::new(book))))
    })
}

/// Whether `each` visits without an error as many fasteners and settings as are counted.
fn is_whole(each: impl FnOnce(Visit<'_>) -> Result<(), StoreError>, counted: (u64, u64)) -> bool {
    let (mut fasteners, mut settings) = (0, 0);
    let read = each(&mut |_, fastener| {
        fasteners += 1;
        settings += fastener.settings.len() as u64;
        Ok(())
    });
    read.is_ok() && (fasteners, settings) == counted
}

/// The newest book of record that is whole and newer than `than`.
fn from_record(dir: &Path, than: Option<u64>) -> Option<(u64, Readable)> {
    let mut newest: Option<(u64, Readable)> = None;
    for (_, path) in folder::numbered(dir, "sled-") {
        let Some((generation, engine)) = whole_record(dir, &path) else { continue };
        let least = newest.as_ref().map(|(generation, _)| *generation).or(than);
        if least.is_none_or(|least| generation > least) {
            newest = Some((generation, Readable::Record(engine)));
        }
    }
    newest
}

fn whole_record(dir: &Path, path: &Path) -> Option<(u64, Engine)> {
    let engine = Engine::open(path, false).ok()?;
    let meta = engine.meta().ok()??;
    let counted = (meta.fasteners, meta.settings);
    is_whole(|visit| recover::each_entry(dir, &engine, visit), counted)
        .then_some((meta.generation, engine))
}

/// Makes the new state the book and puts the old files aside.
fn complete(
    dir: &Path,
    pipeline: Pipeline,
    from: String,
    of: Option<u64>,
    ledger: &[LedgerRow],
    lost: Lost,
) -> Result<Restored, StoreError> {
    let rebuilt = pipeline.finish()?;
    let counts = rebuilt.counts;
    let ledger = ledger::append(dir, None, counts.generation, ledger)?;
    let mut kept = vec![dir.join(&rebuilt.image), dir.join(&rebuilt.sled)];
    kept.extend(ledger.as_ref().map(|(name, _)| dir.join(name)));
    let doubt = publish(dir, &rebuilt, ledger)?;
    note_stored();
    // The book is the new one: what is left to do is to keep the old files.
    let kept_in = put_aside(dir, &kept).map_err(StoreError::after_storing)?;
    let _ = fs::remove_file(dir.join(CHANGING));
    remove_leftovers(dir, Some(&Current::read(dir).map_err(StoreError::after_storing)?));
    let (fasteners, settings) = (counts.fasteners, counts.settings);
    let generation = counts.generation;
    let lines_kept = 0;
    let restored =
        Restored { from, of, generation, fasteners, settings, lost, kept_in, lines_kept };
    doubt.map_or(Ok(restored), Err)
}

/// Moves every file of the book that is not `kept` into a new folder; nothing
/// that an earlier restore put aside is touched.
fn put_aside(dir: &Path, kept: &[PathBuf]) -> Result<Option<String>, StoreError> {
    let old = folder::FILES.iter().flat_map(|prefix| folder::numbered(dir, prefix));
    let old: Vec<PathBuf> = old.map(|(_, path)| path).filter(|path| !kept.contains(path)).collect();
    if old.is_empty() {
        return Ok(None);
    }
    let (name, aside) = new_folder(dir)?;
    for path in old {
        fs::rename(&path, aside.join(folder::name_of(&path)))
            .map_err(|error| StoreError::io("put aside", &path, error))?;
    }
    Ok(Some(name))
}

/// A new folder for files that were replaced, and its name.
pub(crate) fn new_folder(dir: &Path) -> Result<(String, PathBuf), StoreError> {
    let mut number = 1;
    loop {
        let name = if number == 1 { ASIDE.to_owned() } else { format!("{ASIDE}-{number}") };
        let aside = dir.join(&name);
        match fs::create_dir(&aside) {
            Ok(()) => return Ok((name, aside)),
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => number += 1,
            Err(error) => return Err(StoreError::io("make", &aside, error)),
        }
    }
}

//! The one writer: changes that are whole or absent.

use std::collections::{BTreeMap, HashMap};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use crate::record::{Fastener, Tables};
use crate::store::block::{self, BLOCK, Entry};
use crate::store::book::Book;
use crate::store::change::Change;
use crate::store::codec::Unreadable;
use crate::store::engine::{Batch, Engine, Meta};
use crate::store::error::StoreError;
use crate::store::folder::{self, CHANGING, Current, FORMAT};
use crate::store::image::Image;
use crate::store::lock::Lock;
use crate::store::row::Mirror;
use crate::text::fold_name;

/// The right to change a book, held until dropped.
pub struct Writer {
    dir: PathBuf,
    book: Book,
    engine: Option<Engine>,
    // Last, so that it is given back last.
    _lock: Lock,
}

impl Writer {
    /// Makes a new, empty book at `dir`, with its parents.
    pub fn create(dir: &Path) -> Result<Self, StoreError> {
        match Current::read(dir) {
            Ok(_) => return Err(StoreError::Exists(dir.to_owned())),
            Err(error) if error.is_absent() => {}
            Err(error) => return Err(error),
        }
        fs::create_dir_all(dir).map_err(|error| StoreError::io("make", dir, error))?;
        let lock = Lock::take(dir, Duration::ZERO)?;
        // Somebody may have been quicker.
        if Current::read(dir).is_ok() {
            return Err(StoreError::Exists(dir.to_owned()));
        }
        let current = Current {
            generation: 0,
            sled: "sled-1".to_owned(),
            image: "image-0".to_owned(),
            overlay: None,
        };
        let sled = dir.join(&current.sled);
        if sled.exists() {
            // Left by a start that was broken off before anything was entered.
            fs::remove_dir_all(&sled).map_err(|error| StoreError::io("remove", &sled, error))?;
        }
        let engine = Engine::open(&sled, true)?;
        let meta = Meta { format: FORMAT, ..Meta::default() };
        let tables = encoded(dir, block::write_tables(&Tables::default()))?;
        engine.commit(Batch { tables: Some(tables), ..Batch::default() }, meta)?;
        let image = Image::new(meta, Tables::default(), Vec::new());
        write_image(dir, &current.image, &image)?;
        current.publish(dir)?;
        let book = Book::of(dir, current, image);
        Ok(Self { dir: dir.to_owned(), book, engine: Some(engine), _lock: lock })
    }

    /// Takes the book at `dir` for changing, waiting up to `wait` for another
    /// writer to finish.
    pub fn open(dir: &Path, wait: Duration) -> Result<Self, StoreError> {
        Current::read(dir)?;
        let lock = Lock::take(dir, wait)?;
        let book = Book::open(dir)?;
        let mut writer = Self { dir: dir.to_owned(), book, engine: None, _lock: lock };
        if dir.join(CHANGING).exists() {
            writer.finish_broken_change()?;
        }
        Ok(writer)
    }

    /// The book as it is after the last change.
    pub fn book(&self) -> &Book {
        &self.book
    }

    /// Makes `changes`, all or none, and returns the new generation. An empty
    /// list changes nothing.
    pub fn apply(&mut self, changes: Vec<Change>) -> Result<u64, StoreError> {
        if changes.is_empty() {
            return Ok(self.book.generation());
        }
        let next = Next::of(&self.book, changes)?;
        self.mark_changing()?;
        let changed = self.write(next);
        if changed.is_err() {
            // Nothing was committed, or the next writer finishes it.
            self.engine = None;
        }
        changed
    }

    fn write(&mut self, next: Next) -> Result<u64, StoreError> {
        let generation = next.meta.generation;
        if self.engine.is_none() {
            self.engine = Some(self.open_engine()?);
        }
        let Some(engine) = &self.engine else { return Err(StoreError::Stopped) };
        let batch = next.batch(engine, &self.dir)?;
        let image = Image::new(next.meta, next.tables, next.entries);
        let old = self.book.current().clone();
        let current = Current { generation, image: format!("image-{generation}"), ..old.clone() };
        write_image(&self.dir, &current.image, &image)?;
        if let Err(error) = engine.commit(batch, next.meta) {
            let _ = fs::remove_file(self.dir.join(&current.image));
            return Err(error);
        }
        current.publish(&self.dir)?;
        self.book = Book::of(&self.dir, current, image);
        self.tidy(&old);
        Ok(generation)
    }

    /// Opens the book of record and compares it with `current`.
    fn open_engine(&self) -> Result<Engine, StoreError> {
        let engine = Engine::open(&self.dir.join(&self.book.current().sled), false)?;
        let meta = engine.meta()?;
        if meta != Some(self.book.image().meta) {
            let what = "the book of record and the read image are of different generations";
            return Err(StoreError::damaged(&self.dir, what));
        }
        Ok(engine)
    }

    /// A change was broken off: publishes it if the book of record has it,
    /// else removes what is left of it.
    fn finish_broken_change(&mut self) -> Result<(), StoreError> {
        let old = self.book.current().clone();
        let engine = Engine::open(&self.dir.join(&old.sled), false)?;
        let meta = engine.meta()?.unwrap_or_default();
        if meta.generation > old.generation {
            let image = rebuild(&self.dir, &engine, meta)?;
            let name = format!("image-{}", meta.generation);
            write_image(&self.dir, &name, &image)?;
            let current = Current { generation: meta.generation, image: name, ..old.clone() };
            current.publish(&self.dir)?;
            self.book = Book::of(&self.dir, current, image);
        } else if meta != self.book.image().meta {
            let what = "the book of record is older than the read image";
            return Err(StoreError::damaged(&self.dir, what));
        }
        self.engine = Some(engine);
        self.tidy(&old);
        Ok(())
    }

    fn mark_changing(&self) -> Result<(), StoreError> {
        let path = self.dir.join(CHANGING);
        folder::write_durably(&path, b"a change is being written\n")
            .and_then(|()| folder::sync_folder(&self.dir))
            .map_err(|error| StoreError::io("write", &path, error))
    }

    /// Removes the mark and files that `current` no longer names.
    fn tidy(&self, _old: &Current) {
        let _ = fs::remove_file(self.dir.join(CHANGING));
        for (_, path) in folder::numbered(&self.dir, "image-") {
            if !path.ends_with(&self.book.current().image) {
                let _ = fs::remove_file(path);
            }
        }
    }
}

/// The image that the book of record asks for.
fn rebuild(dir: &Path, engine: &Engine, meta: Meta) -> Result<Image, StoreError> {
    let tables = engine.tables()?.unwrap_or_default();
    let tables = encoded(dir, block::read_tables(&tables))?;
    let mut entries = Vec::new();
    let mut last = None;
    while let Some((number, bytes)) = engine.block_after(last)? {
        let block = encoded(dir, block::read_block(&bytes))?;
        entries.extend(block.into_iter().map(|e| (e.number, Arc::new(e.row.into_record()))));
        last = Some(number);
    }
    let settings: usize =
        entries.iter().map(|(_, f): &(u64, Arc<Fastener>)| f.settings.len()).sum();
    if entries.len() as u64 != meta.fasteners || settings as u64 != meta.settings {
        return Err(StoreError::damaged(dir, "the book of record lacks fasteners that it counts"));
    }
    Ok(Image::new(meta, tables, entries))
}

fn write_image(dir: &Path, name: &str, image: &Image) -> Result<(), StoreError> {
    let path = dir.join(name);
    let written = image.write(&path).map_err(|error| StoreError::io("write", &path, error))?;
    encoded(dir, written)
}

fn encoded<T>(dir: &Path, result: Result<T, Unreadable>) -> Result<T, StoreError> {
    result.map_err(|error| StoreError::damaged(dir, error.0))
}

/// The state after a change.
struct Next {
    meta: Meta,
    tables: Tables,
    tables_changed: bool,
    entries: Vec<(u64, Arc<Fastener>)>,
    /// Changed fasteners by number; `None` is removed.
    changed: BTreeMap<u64, Option<Arc<Fastener>>>,
}

impl Next {
    fn of(book: &Book, changes: Vec<Change>) -> Result<Self, StoreError> {
        let image = book.image();
        let mut next = Self {
            meta: image.meta,
            tables: image.tables.clone(),
            tables_changed: false,
            entries: Vec::new(),
            changed: BTreeMap::new(),
        };
        let mut numbers: HashMap<String, Option<u64>> = HashMap::new();
        for change in changes {
            next.take(image, &mut numbers, change)?;
        }
        next.merge(image);
        next.meta.generation += 1;
        next.meta.fasteners = next.entries.len() as u64;
        next.meta.settings = next.entries.iter().map(|(_, f)| f.settings.len() as u64).sum();
        Ok(next)
    }

    fn take(
        &mut self,
        image: &Image,
        numbers: &mut HashMap<String, Option<u64>>,
        change: Change,
    ) -> Result<(), StoreError> {
        let known = |numbers: &HashMap<String, Option<u64>>, key: &str| match numbers.get(key) {
            Some(number) => *number,
            None => image.place(key).map(|at| image.entries[at].0),
        };
        match change {
            Change::Put(fastener) => {
                let number = known(numbers, &fastener.key).unwrap_or_else(|| {
                    self.meta.next += 1;
                    self.meta.next - 1
                });
                numbers.insert(fastener.key.clone(), Some(number));
                self.changed.insert(number, Some(Arc::new(*fastener)));
                return Ok(());
            }
            Change::Remove(key) => {
                let Some(number) = known(numbers, &key) else {
                    return Err(StoreError::Unknown { what: "fastener", name: key });
                };
                numbers.insert(key, None);
                self.changed.insert(number, None);
                return Ok(());
            }
            Change::PutLube(lube) => put(&mut self.tables.lubes, lube, |lube| &lube.name),
            Change::RemoveLube(name) => {
                remove(&mut self.tables.lubes, "lube", name, |lube| &lube.name)?;
            }
            Change::PutStrength(class) => put(&mut self.tables.strengths, class, |c| &c.name),
            Change::RemoveStrength(name) => {
                remove(&mut self.tables.strengths, "strength", name, |class| &class.name)?;
            }
        }
        self.tables_changed = true;
        Ok(())
    }

    fn merge(&mut self, image: &Image) {
        let old = image.entries.iter().filter(|(number, _)| !self.changed.contains_key(number));
        let mut entries: Vec<_> = old.cloned().collect();
        entries.extend(self.changed.iter().filter_map(|(n, f)| Some((*n, f.clone()?))));
        entries.sort_unstable_by_key(|(number, _)| *number);
        self.entries = entries;
    }

    /// The blocks and tables to write.
    fn batch(&self, engine: &Engine, dir: &Path) -> Result<Batch, StoreError> {
        let mut blocks: BTreeMap<u64, Vec<Entry>> = BTreeMap::new();
        for (number, fastener) in &self.changed {
            let block = number / BLOCK;
            if let std::collections::btree_map::Entry::Vacant(empty) = blocks.entry(block) {
                let entries = match engine.block(block)? {
                    Some(bytes) => encoded(dir, block::read_block(&bytes))?,
                    None => Vec::new(),
                };
                empty.insert(entries);
            }
            let Some(entries) = blocks.get_mut(&block) else { continue };
            entries.retain(|entry| entry.number != *number);
            if let Some(fastener) = fastener {
                entries.push(Entry::new(*number, fastener));
                entries.sort_unstable_by_key(|entry| entry.number);
            }
        }
        let mut batch = Batch::default();
        for (number, entries) in blocks {
            let kept = !entries.is_empty();
            let bytes = kept.then(|| encoded(dir, block::write_block(&entries))).transpose()?;
            batch.blocks.push((number, bytes));
        }
        if self.tables_changed {
            batch.tables = Some(encoded(dir, block::write_tables(&self.tables))?);
        }
        Ok(batch)
    }
}

fn put<T>(list: &mut Vec<T>, item: T, name: impl Fn(&T) -> &String) {
    let folded = fold_name(name(&item));
    match list.iter_mut().find(|known| fold_name(name(known)) == folded) {
        Some(known) => *known = item,
        None => list.push(item),
    }
}

fn remove<T>(
    list: &mut Vec<T>,
    what: &'static str,
    wanted: String,
    name: impl Fn(&T) -> &String,
) -> Result<(), StoreError> {
    let folded = fold_name(&wanted);
    let before = list.len();
    list.retain(|known| fold_name(name(known)) != folded);
    if list.len() == before {
        return Err(StoreError::Unknown { what, name: wanted });
    }
    Ok(())
}

impl std::fmt::Debug for Writer {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Writer").field("dir", &self.dir).finish_non_exhaustive()
    }
}

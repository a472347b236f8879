//! Writing a whole new state of the book: a new read image and a new book of
//! record beside the old ones. Nothing names them until they are complete.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::record::{Fastener, Tables};
use crate::store::codec;
use crate::store::disk;
use crate::store::engine::Engine;
use crate::store::error::StoreError;
use crate::store::folder;
use crate::store::image::{Counts, ImageWriter, WriteError};
use crate::store::piece;
use crate::store::row::FORM;
use crate::store::seal::{Batch, Meta};

/// A new state being written. Dropped before it is finished it leaves nothing.
pub(crate) struct Rebuild {
    dir: PathBuf,
    image_path: PathBuf,
    sled: PathBuf,
    image: Option<ImageWriter>,
    engine: Option<Engine>,
    pieces: Vec<Vec<u8>>,
    block: u64,
    next: u64,
    generation: u64,
    tables: Arc<Tables>,
    done: bool,
}

/// A complete new state.
pub(crate) struct Rebuilt {
    /// Name of the image.
    pub(crate) image: String,
    /// Name of the book of record.
    pub(crate) sled: String,
    /// The book of record, open.
    pub(crate) engine: Engine,
    /// What the image says of the book.
    pub(crate) counts: Counts,
}

impl Rebuild {
    /// Begins generation `generation` of the book at `dir`.
    pub(crate) fn begin(
        dir: &Path,
        generation: u64,
        tables: Arc<Tables>,
    ) -> Result<Self, StoreError> {
        let last = folder::numbered(dir, "sled-").last().map_or(0, |(number, _)| *number);
        let sled = dir.join(format!("sled-{}", last + 1));
        let image_path = dir.join(format!("image-{generation}"));
        let engine = Engine::open(&sled, true)?;
        let image = ImageWriter::create(&image_path, Arc::clone(&tables))
            .map_err(|error| StoreError::unchanged("write", &image_path, error));
        let image = match image {
            Ok(image) => image,
            Err(error) => {
                drop(engine);
                let _ = fs::remove_dir_all(&sled);
                return Err(error);
            }
        };
        Ok(Self {
            dir: dir.to_owned(),
            image_path,
            sled,
            image: Some(image),
            engine: Some(engine),
            pieces: Vec::new(),
            block: 0,
            next: 0,
            generation,
            tables,
            done: false,
        })
    }

    /// Adds the next fastener.
    pub(crate) fn push(&mut self, fastener: &Fastener) -> Result<(), StoreError> {
        let Some(image) = &mut self.image else { return Err(StoreError::Stopped) };
        let piece = image
            .push(self.next, fastener)
            .map_err(|error| write_error(&self.image_path, &fastener.key, error))?;
        self.next += 1;
        if let Some(piece) = piece {
            self.pieces.push(piece);
        }
        if self.next.is_multiple_of(piece::BLOCK) { self.close_block() } else { Ok(()) }
    }

    fn close_block(&mut self) -> Result<(), StoreError> {
        if let Some(engine) = &self.engine
            && !self.pieces.is_empty()
        {
            engine.add(self.block, &piece::join_pieces(&self.pieces))?;
            self.pieces.clear();
        }
        self.block += 1;
        Ok(())
    }

    /// Completes the state, durably.
    pub(crate) fn finish(mut self) -> Result<Rebuilt, StoreError> {
        let failed = |path: &Path| {
            let path = path.to_owned();
            move |error| write_error(&path, "the book", error)
        };
        let (Some(mut image), Some(engine)) = (self.image.take(), self.engine.take()) else {
            return Err(StoreError::Stopped);
        };
        let last = image.last_piece().map_err(failed(&self.image_path))?;
        self.pieces.extend(last);
        if !self.pieces.is_empty() {
            engine.add(self.block, &piece::join_pieces(&self.pieces))?;
            self.block += 1;
        }
        engine.added(self.block)?;
        let counts = image.finish(self.generation, self.next).map_err(failed(&self.image_path))?;
        let tables = codec::encode(&*self.tables)
            .map_err(|error| write_error(&self.image_path, "the tables", error.into()))?;
        engine.commit(Batch { tables: Some(tables), ..Batch::default() }, meta_of(counts))?;
        disk::sync_folder(&self.dir).map_err(|e| StoreError::unchanged("write", &self.dir, e))?;
        self.done = true;
        Ok(Rebuilt {
            image: folder::name_of(&self.image_path),
            sled: folder::name_of(&self.sled),
            engine,
            counts,
        })
    }
}

impl Drop for Rebuild {
    fn drop(&mut self) {
        if !self.done {
            self.image = None;
            self.engine = None;
            let _ = fs::remove_file(&self.image_path);
            let _ = fs::remove_dir_all(&self.sled);
        }
    }
}

/// What the book of record says where an image says `counts`.
pub(crate) fn meta_of(counts: Counts) -> Meta {
    let Counts { generation, next, fasteners, settings, joints: _ } = counts;
    Meta { form: FORM, generation, next, fasteners, settings }
}

/// A failed write of `path`, while writing `key`.
pub(crate) fn write_error(path: &Path, key: &str, error: WriteError) -> StoreError {
    match error {
        WriteError::Io(error) => StoreError::unchanged("write", path, error),
        WriteError::Unfit(why) => StoreError::TooLarge { key: key.to_owned(), why: why.0 },
        WriteError::SameKey(key) => StoreError::SameKey(key),
    }
}

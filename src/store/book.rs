//! A reader: open, look up. No lock, no writes; works on a read-only folder.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};

use crate::record::{Fastener, Tables, Vocabulary};
use crate::store::access::{Access, Found};
use crate::store::error::StoreError;
use crate::store::folder::{self, CHANGING, Current};
use crate::store::image::Image;
use crate::store::terms::Probe;

/// How often a reader looks again when the image it was told of has just been
/// replaced.
const TRIES: usize = 3;

/// An open book at one generation; later changes do not show in it.
#[derive(Debug)]
pub struct Book {
    dir: PathBuf,
    current: Current,
    image: Image,
    vocabulary: OnceLock<Vocabulary>,
}

/// What a book says of itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Info {
    /// Its folder.
    pub path: PathBuf,
    /// Version of its format.
    pub format: u32,
    /// Counts its changes; also the book's revision on a bench sheet.
    pub generation: u64,
    /// How many fasteners.
    pub fasteners: u64,
    /// How many settings of them.
    pub settings: u64,
    /// How many lubes.
    pub lubes: usize,
    /// How many strengths.
    pub strengths: usize,
    /// How many joints: assembly and joint name, each once.
    pub joints: usize,
    /// Bytes on the disk, all files together.
    pub bytes: u64,
    /// A change is being written just now, or one was broken off.
    pub changing: bool,
}

impl Book {
    /// Opens the book at `dir` for reading. Never creates or changes anything.
    pub fn open(dir: &Path) -> Result<Self, StoreError> {
        let mut tries = 0;
        loop {
            let current = Current::read(dir)?;
            match Image::open(&dir.join(&current.image)) {
                // A writer replaced it since: `current` names another by now.
                Err(error) if error.kind() == io::ErrorKind::NotFound && tries < TRIES => {
                    tries += 1;
                }
                Err(error) if error.kind() == io::ErrorKind::NotFound => {
                    return Err(StoreError::damaged(dir, "its read image is gone"));
                }
                Err(error) => return Err(StoreError::io("open", &dir.join(&current.image), error)),
                Ok(Err(why)) => {
                    let what = format!("its read image {}: {}", current.image, why.0);
                    return Err(StoreError::damaged(dir, what));
                }
                Ok(Ok(image)) if image.meta.generation != current.generation => {
                    return Err(StoreError::damaged(
                        dir,
                        "its read image is of another generation",
                    ));
                }
                Ok(Ok(image)) => return Ok(Self::of(dir, current, image)),
            }
        }
    }

    pub(crate) fn of(dir: &Path, current: Current, image: Image) -> Self {
        Self { dir: dir.to_owned(), current, image, vocabulary: OnceLock::new() }
    }

    pub(crate) fn current(&self) -> &Current {
        &self.current
    }

    pub(crate) fn image(&self) -> &Image {
        &self.image
    }

    /// Counts the changes of the book.
    pub fn generation(&self) -> u64 {
        self.current.generation
    }

    /// The reference tables.
    pub fn tables(&self) -> &Tables {
        &self.image.tables
    }

    /// The names that the book knows; read when first asked for.
    pub fn vocabulary(&self) -> Result<&Vocabulary, StoreError> {
        Ok(self.vocabulary.get_or_init(|| {
            let fasteners = self.image.entries.iter().map(|(_, fastener)| fastener.as_ref());
            Vocabulary::collect(fasteners, &self.image.tables)
        }))
    }

    /// The fasteners that `access` describes, in the order entered.
    pub fn find(&self, access: &Access) -> Result<Found, StoreError> {
        let probe = Probe::new(access, self.tables());
        let mut found = Found::default();
        for (_, fastener) in &self.image.entries {
            found.read += fastener.settings.len();
            if probe.matches(fastener) {
                found.fasteners.push(Arc::clone(fastener));
            }
        }
        Ok(found)
    }

    /// How many settings [`Book::find`] would read for `access`, about.
    pub fn estimate(&self, access: &Access) -> usize {
        let _ = access;
        self.image.entries.iter().map(|(_, fastener)| fastener.settings.len()).sum()
    }

    /// The fastener of that key.
    pub fn fastener(&self, key: &str) -> Result<Option<Arc<Fastener>>, StoreError> {
        Ok(self.image.place(key).map(|at| Arc::clone(&self.image.entries[at].1)))
    }

    /// What the book says of itself.
    pub fn info(&self) -> Info {
        let mut joints: Vec<_> = self
            .image
            .entries
            .iter()
            .map(|(_, f)| (f.joint.assembly.as_str(), f.joint.name.as_str()))
            .collect();
        joints.sort_unstable();
        joints.dedup();
        Info {
            path: self.dir.clone(),
            format: folder::FORMAT,
            generation: self.current.generation,
            fasteners: self.image.meta.fasteners,
            settings: self.image.meta.settings,
            lubes: self.image.tables.lubes.len(),
            strengths: self.image.tables.strengths.len(),
            joints: joints.len(),
            bytes: folder::size_of_tree(&self.dir),
            changing: self.dir.join(CHANGING).exists(),
        }
    }
}

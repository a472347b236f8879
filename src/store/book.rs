//! A reader: open, look up. No lock, no writes; works on a read-only folder.

use std::collections::BTreeSet;
use std::io;
use std::ops::{ControlFlow, Range};
use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};

use crate::record::{Fastener, NameOf, Tables, Vocabulary};
use crate::store::access::{Access, Found};
use crate::store::bench::Bench;
use crate::store::error::StoreError;
use crate::store::folder::Current;
use crate::store::image::{Candidates, Counts, Image, ReadError};
use crate::store::overlay::Overlay;
use crate::store::probe::Probe;

/// How often a reader looks again when a file it was told of has just been
/// replaced.
const TRIES: usize = 8;

/// An open book at one generation; later changes do not show in it.
#[derive(Debug)]
pub struct Book {
    dir: PathBuf,
    current: Current,
    image: Image,
    overlay: Overlay,
    vocabulary: OnceLock<Vocabulary>,
    bench: OnceLock<Bench>,
    /// Its log ends with what the server has.
    #[cfg(feature = "postgres")]
    is_as_sent: bool,
}

/// Where a fastener is.
#[derive(Debug, Clone)]
pub(crate) struct Located {
    pub(crate) number: u64,
    /// Its ordinal in the image, if it is there.
    pub(crate) base: Option<u32>,
    pub(crate) fastener: Arc<Fastener>,
}

impl Book {
    /// Opens the book at `dir` for reading. Never creates or changes anything.
    pub fn open(dir: &Path) -> Result<Self, StoreError> {
        let mut tries = 0;
        loop {
            let current = Current::read(dir)?;
            match Self::open_files(dir, current.clone()) {
                Err(StoreError::Io { source, .. }) if source.kind() == io::ErrorKind::NotFound => {
                    // A writer replaced it since: `current` names another by now.
                    tries += 1;
                    if tries > TRIES {
                        let what = format!("{current} is gone");
                        return Err(StoreError::damaged(dir, what));
                    }
                }
                done => return done,
            }
        }
    }

    pub(crate) fn open_files(dir: &Path, current: Current) -> Result<Self, StoreError> {
        let path = dir.join(&current.image);
        let image = Image::open(&path)
            .map_err(|error| read_error(dir, &path, &format!("its read image {current}"), error))?;
        let base = image.counts();
        let overlay = match &current.overlay {
            None => Overlay::new(base, None, std::collections::BTreeMap::new()),
            Some(name) => {
                let path = dir.join(name);
                let opened = Overlay::open(&path, base.generation)
                    .map_err(|error| StoreError::io("open", &path, error))?;
                let fits = |overlay: &Overlay| {
                    let bases = overlay.changed.values().filter_map(|changed| changed.base);
                    bases.map(u64::from).all(|ordinal| ordinal < base.fasteners)
                };
                opened
                    .map_err(|why| format!("its changes {name}: {}", why.0))
                    .and_then(|o| if fits(&o) { Ok(o) } else { Err(format!("its changes {name}")) })
                    .map_err(|what| StoreError::damaged(dir, what))?
            }
        };
        if overlay.counts.generation != current.generation {
            return Err(StoreError::damaged(dir, "its read image is of another generation"));
        }
        let (vocabulary, bench) = (OnceLock::new(), OnceLock::new());
        Ok(Self {
            dir: dir.to_owned(),
            current,
            image,
            overlay,
            vocabulary,
            bench,
            #[cfg(feature = "postgres")]
            is_as_sent: false,
        })
    }

    /// The same book without the lines of the log that the server does not have yet.
    #[cfg(feature = "postgres")]
    pub(crate) fn without_unsent(self) -> Self {
        Self { bench: OnceLock::new(), is_as_sent: true, ..self }
    }

    /// The same book, opened once more: at the generation that it is at now.
    pub fn again(&self) -> Result<Self, StoreError> {
        Self::open(&self.dir)
    }

    /// The folder it lies in.
    pub fn dir(&self) -> &Path {
        &self.dir
    }

    pub(crate) fn current(&self) -> &Current {
        &self.current
    }

    pub(crate) fn image(&self) -> &Image {
        &self.image
    }

    pub(crate) fn overlay(&self) -> &Overlay {
        &self.overlay
    }

    pub(crate) fn counts(&self) -> Counts {
        self.overlay.counts
    }

    /// Counts the changes of the book.
    pub fn generation(&self) -> u64 {
        self.current.generation
    }

    /// Lubes and strengths as they are now.
    pub fn tables(&self) -> &Tables {
        self.overlay.tables.as_ref().unwrap_or(&self.image.tables)
    }

    /// The names that the book knows; read when first asked for. Names of
    /// fasteners removed since the last `compact` are still known.
    pub fn vocabulary(&self) -> Result<&Vocabulary, StoreError> {
        if let Some(known) = self.vocabulary.get() {
            return Ok(known);
        }
        let tables = match &self.overlay.tables {
            Some(tables) => Arc::new(tables.clone()),
            None => Arc::clone(&self.image.tables),
        };
        let changed = self.overlay.changed.values().filter_map(|changed| changed.fastener.clone());
        let vocabulary = self.image.vocabulary(tables, changed.collect());
        let (dir, current) = (self.dir.clone(), self.current.clone());
        // Whoever asks for a wrench reads the bench, and is told what is wrong.
        let wrenches = move || {
            let bench = Bench::read(&dir, &current).unwrap_or_default();
            bench.wrenches.into_iter().map(|wrench| wrench.name).collect()
        };
        let vocabulary = vocabulary.map_err(|error| self.bad(error))?;
        let vocabulary = vocabulary.and_later(NameOf::Wrench, wrenches);
        Ok(self.vocabulary.get_or_init(|| vocabulary))
    }

    /// The fasteners that `access` describes, in the order entered.
    pub fn find(&self, access: &Access) -> Result<Found, StoreError> {
        let mut found = Found::default();
        found.read = self.each(access, &mut |fastener| {
            found.fasteners.push(fastener);
            ControlFlow::Continue(())
        })?;
        Ok(found)
    }

    /// How many settings a walk would read for `access`, about; all
    /// of them if the index cannot be read.
    pub fn estimate(&self, access: &Access) -> usize {
        let counts = self.image.counts();
        let probe = Probe::new(access, self.tables());
        let fasteners = self.image.estimate(&probe).unwrap_or(counts.fasteners);
        let each = counts.settings as f64 / counts.fasteners.max(1) as f64;
        (fasteners as f64 * each).ceil() as usize + self.overlay.changed.len()
    }

    /// How many fasteners [`Book::find`] would find for `access` at most; all of them
    /// if the index cannot be read.
    pub fn count(&self, access: &Access) -> usize {
        let probe = Probe::new(access, self.tables());
        let fasteners = self.image.estimate(&probe).unwrap_or(self.image.counts().fasteners);
        usize::try_from(fasteners).unwrap_or(usize::MAX) + self.overlay.changed.len()
    }

    /// The fastener of that key.
    pub fn fastener(&self, key: &str) -> Result<Option<Arc<Fastener>>, StoreError> {
        Ok(self.locate(key)?.map(|located| located.fastener))
    }

    /// Wrenches, layouts, bolt sets and the log; read when first asked for.
    pub(crate) fn bench(&self) -> Result<&Bench, StoreError> {
        if let Some(known) = self.bench.get() {
            return Ok(known);
        }
        #[cfg_attr(not(feature = "postgres"), expect(unused_mut, reason = "nothing waits"))]
        let mut bench = Bench::read(&self.dir, &self.current)?;
        #[cfg(feature = "postgres")]
        if self.current.server.is_some() && !self.is_as_sent {
            crate::store::server::unsent::replay(&self.dir, &mut bench)?;
        }
        Ok(self.bench.get_or_init(|| bench))
    }

    pub(crate) fn locate(&self, key: &str) -> Result<Option<Located>, StoreError> {
        if let Some(number) = self.overlay.number_of(key)
            && let Some(changed) = self.overlay.changed.get(&number)
            && let Some(fastener) = &changed.fastener
        {
            let fastener = Arc::clone(fastener);
            return Ok(Some(Located { number, base: changed.base, fastener }));
        }
        let bad = |error| self.bad(error);
        let (candidates, _) = self.image.candidates(&Probe::key(key)).map_err(bad)?;
        let Candidates::These(ordinals) = candidates else { return Ok(None) };
        for ordinal in ordinals.into_iter().filter(|ordinal| !self.overlay.hides(*ordinal)) {
            let (number, fastener) = self.image.fastener(ordinal).map_err(bad)?;
            if fastener.key == key {
                return Ok(Some(Located { number, base: Some(ordinal), fastener }));
            }
        }
        Ok(None)
    }

    /// The ordinal of the image's first fastener whose number is not below `number`.
    fn ordinal_from(&self, number: u64) -> Result<u32, StoreError> {
        // Numbers rise with the ordinals of the image.
        let (mut low, mut high) = (0, self.image.counts().fasteners as u32);
        while low < high {
            let middle = low + (high - low) / 2;
            if self.image.fastener(middle).map_err(|error| self.bad(error))?.0 < number {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
        Ok(low)
    }

    /// The ordinal of the image's fastener of that number, if it has it.
    #[cfg(feature = "postgres")]
    pub(crate) fn ordinal(&self, number: u64) -> Result<Option<u32>, StoreError> {
        if number >= self.image.counts().next {
            return Ok(None);
        }
        let at = self.ordinal_from(number)?;
        let is_there = u64::from(at) < self.image.counts().fasteners
            && self.image.fastener(at).map_err(|error| self.bad(error))?.0 == number;
        Ok(is_there.then_some(at))
    }

    /// The numbers in `range` under which there are fasteners, rising.
    pub(crate) fn numbers(&self, range: Range<u64>) -> Result<BTreeSet<u64>, StoreError> {
        let bad = |error| self.bad(error);
        let low = self.ordinal_from(range.start)?;
        let mut numbers = BTreeSet::new();
        for ordinal in low..self.image.counts().fasteners as u32 {
            let number = self.image.fastener(ordinal).map_err(bad)?.0;
            if number >= range.end {
                break;
            }
            numbers.insert(number);
        }
        for (number, changed) in self.overlay.changed.range(range) {
            match changed.fastener {
                Some(_) => numbers.insert(*number),
                None => numbers.remove(number),
            };
        }
        Ok(numbers)
    }

    pub(crate) fn bad(&self, error: ReadError) -> StoreError {
        let what = format!("its read image {}", self.current);
        read_error(&self.dir, &self.dir.join(&self.current.image), &what, error)
    }
}

/// A failed read of `what`, the file `path` of the book at `dir`.
pub(crate) fn read_error(dir: &Path, path: &Path, what: &str, error: ReadError) -> StoreError {
    match error {
        ReadError::Io(error) => StoreError::io("read", path, error),
        ReadError::Newer(what) => StoreError::Newer { path: dir.to_owned(), what },
        ReadError::Bad(why) => StoreError::damaged(dir, format!("{what}: {}", why.0)),
    }
}

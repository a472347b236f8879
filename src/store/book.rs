//! A reader: open, look up. No lock, no writes; works on a read-only folder.

use std::collections::BTreeSet;
use std::io;
use std::ops::{ControlFlow, Range};
use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};

use crate::record::{Fastener, Tables, Vocabulary};
use crate::store::access::{Access, Figure, Found};
use crate::store::error::StoreError;
use crate::store::folder::{self, CHANGING, Current};
use crate::store::image::{Candidates, Counts, Image, Numbered, ReadError, figures};
use crate::store::ledger::{self, Note, Past};
use crate::store::overlay::Overlay;
use crate::store::terms::Probe;

/// How often a reader looks again when a file it was told of has just been
/// replaced.
const TRIES: usize = 3;

/// An open book at one generation; later changes do not show in it.
#[derive(Debug)]
pub struct Book {
    dir: PathBuf,
    current: Current,
    image: Image,
    overlay: Overlay,
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
    /// How many joints, by assembly and name. Joints emptied since the last
    /// `compact` still count.
    pub joints: usize,
    /// Fasteners changed since the read image was written.
    pub overlaid: usize,
    /// Bytes on the disk, all files together.
    pub bytes: u64,
    /// A change is being written just now, or one was broken off.
    pub changing: bool,
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
        Ok(Self { dir: dir.to_owned(), current, image, overlay, vocabulary: OnceLock::new() })
    }

    pub(crate) fn dir(&self) -> &Path {
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

    /// The reference tables.
    pub fn tables(&self) -> &Tables {
        self.overlay.tables.as_ref().unwrap_or(&self.image.tables)
    }

    /// The names that the book knows; read when first asked for. Names of
    /// fasteners removed since the last `compact` are still known.
    pub fn vocabulary(&self) -> Result<&Vocabulary, StoreError> {
        if let Some(known) = self.vocabulary.get() {
            return Ok(known);
        }
        let read = self.image.vocabulary(self.tables());
        let mut vocabulary = read.map_err(|error| self.bad(error))?;
        let changed = self.overlay.changed.values().filter_map(|changed| changed.fastener.as_ref());
        changed.for_each(|fastener| vocabulary.add_fastener(fastener));
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

    /// Calls `visit` with each fastener that `access` describes, in the order
    /// entered, without holding them all; returns how many settings were read.
    pub fn each(
        &self,
        access: &Access,
        visit: &mut dyn FnMut(Arc<Fastener>) -> ControlFlow<()>,
    ) -> Result<usize, StoreError> {
        let probe = Probe::new(access, self.tables());
        self.each_probed(&probe, visit)
    }

    fn each_probed(
        &self,
        probe: &Probe,
        visit: &mut dyn FnMut(Arc<Fastener>) -> ControlFlow<()>,
    ) -> Result<usize, StoreError> {
        let mut read = 0;
        self.each_numbered(probe, &mut read, &mut |(_, fastener)| visit(fastener))?;
        Ok(read)
    }

    /// Every fastener with its number, in order.
    pub(crate) fn each_entry(
        &self,
        visit: &mut dyn FnMut(Numbered) -> ControlFlow<()>,
    ) -> Result<(), StoreError> {
        self.each_numbered(&Probe::All, &mut 0, visit)
    }

    /// Image and overlay as one sequence.
    fn each_numbered(
        &self,
        probe: &Probe,
        read: &mut usize,
        visit: &mut dyn FnMut(Numbered) -> ControlFlow<()>,
    ) -> Result<(), StoreError> {
        let (candidates, sure) = self.candidates(probe).map_err(|error| self.bad(error))?;
        let mut above = self.overlay.changed.iter().peekable();
        let mut stopped = false;
        let mut take = |numbered: Numbered, tested: bool, read: &mut usize| {
            *read += numbered.1.settings.len();
            if tested || probe.matches(&numbered.1, self.tables()) {
                visit(numbered)
            } else {
                ControlFlow::Continue(())
            }
        };
        let walked = self.image.visit(&candidates, &mut |ordinal, numbered| {
            let before = |changed: &crate::store::overlay::Changed| {
                changed.base.is_some_and(|base| base <= ordinal)
            };
            while let Some((number, changed)) = above.next_if(|(_, changed)| before(changed)) {
                let Some(fastener) = &changed.fastener else { continue };
                if take((*number, Arc::clone(fastener)), false, read).is_break() {
                    stopped = true;
                    return Ok(ControlFlow::Break(()));
                }
            }
            if self.overlay.hides(ordinal) {
                return Ok(ControlFlow::Continue(()));
            }
            let flow = take(numbered, sure, read);
            stopped = flow.is_break();
            Ok(flow)
        });
        walked.map_err(|error| self.bad(error))?;
        for (number, changed) in above {
            let Some(fastener) = &changed.fastener else { continue };
            if stopped || take((*number, Arc::clone(fastener)), false, read).is_break() {
                break;
            }
        }
        Ok(())
    }

    /// Figures of the image hold for its own tables only.
    fn candidates(&self, probe: &Probe) -> Result<(Candidates, bool), ReadError> {
        if self.overlay.tables.is_some() && probe.asks_figures() {
            return Ok((Candidates::All, false));
        }
        self.image.candidates(probe)
    }

    /// How many settings have no such figure: nothing to compute it from, or
    /// not by a torque.
    pub fn unknown(&self, figure: Figure) -> Result<usize, StoreError> {
        let mut unknown = 0;
        if self.overlay.changed.is_empty() && self.overlay.tables.is_none() {
            let counted = self.image.unknown(figure).map_err(|error| self.bad(error))?;
            return Ok(counted as usize);
        }
        self.each(&Access::All, &mut |fastener| {
            let each = fastener.settings.iter().map(|s| figures(&fastener, s, self.tables()));
            unknown += each.filter(|figures| figures[figure as usize].is_nan()).count();
            ControlFlow::Continue(())
        })?;
        Ok(unknown)
    }

    /// How many settings [`Book::find`] would read for `access`, about; all
    /// of them if the index cannot be read.
    pub fn estimate(&self, access: &Access) -> usize {
        let counts = self.image.counts();
        let probe = Probe::new(access, self.tables());
        let fasteners = self.image.estimate(&probe).unwrap_or(counts.fasteners);
        let each = counts.settings as f64 / counts.fasteners.max(1) as f64;
        (fasteners as f64 * each).ceil() as usize + self.overlay.changed.len()
    }

    /// The fastener of that key.
    pub fn fastener(&self, key: &str) -> Result<Option<Arc<Fastener>>, StoreError> {
        Ok(self.locate(key)?.map(|located| located.fastener))
    }

    /// Earlier states of the fastener of that key, oldest first.
    pub fn history(&self, key: &str) -> Result<Vec<Past>, StoreError> {
        Ok(ledger::history_of(ledger::read(&self.dir, &self.current)?, key))
    }

    /// The notes on a shelf, in the order first written.
    pub fn shelf(&self, name: &str) -> Result<Vec<Note>, StoreError> {
        Ok(ledger::shelf_of(ledger::read(&self.dir, &self.current)?, name))
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

    /// The numbers in `range` under which there are fasteners, rising.
    pub(crate) fn numbers(&self, range: Range<u64>) -> Result<BTreeSet<u64>, StoreError> {
        let bad = |error| self.bad(error);
        // Numbers rise with the ordinals of the image.
        let (mut low, mut high) = (0, self.image.counts().fasteners as u32);
        while low < high {
            let middle = low + (high - low) / 2;
            if self.image.fastener(middle).map_err(bad)?.0 < range.start {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
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

    /// What the book says of itself.
    pub fn info(&self) -> Info {
        let counts = self.counts();
        let (lubes, strengths) = (self.tables().lubes.len(), self.tables().strengths.len());
        Info {
            path: self.dir.clone(),
            format: folder::FORMAT,
            generation: self.current.generation,
            fasteners: counts.fasteners,
            settings: counts.settings,
            lubes,
            strengths,
            joints: (self.image.counts().joints + self.new_joints()) as usize,
            overlaid: self.overlay.changed.len(),
            bytes: folder::size_of_tree(&self.dir),
            changing: self.dir.join(CHANGING).exists(),
        }
    }

    /// Joints of the overlay that the image does not have.
    fn new_joints(&self) -> u64 {
        let changed = self.overlay.changed.values().filter_map(|changed| changed.fastener.as_ref());
        let joints: BTreeSet<(&str, &str)> =
            changed.map(|f| (f.joint.assembly.as_str(), f.joint.name.as_str())).collect();
        let is_new = |(assembly, name): &(&str, &str)| {
            let access = Access::And(vec![
                Access::Assembly((*assembly).to_owned()),
                Access::Joint((*name).to_owned()),
            ]);
            let probe = Probe::new(&access, self.tables());
            let found = self.image.candidates(&probe);
            matches!(found, Ok((Candidates::These(these), _)) if these.is_empty())
        };
        joints.iter().filter(|joint| is_new(joint)).count() as u64
    }

    fn bad(&self, error: ReadError) -> StoreError {
        let what = format!("its read image {}", self.current);
        read_error(&self.dir, &self.dir.join(&self.current.image), &what, error)
    }
}

/// A failed read of `what`, the file `path` of the book at `dir`.
pub(crate) fn read_error(dir: &Path, path: &Path, what: &str, error: ReadError) -> StoreError {
    match error {
        ReadError::Io(error) => StoreError::io("read", path, error),
        ReadError::Bad(why) => StoreError::damaged(dir, format!("{what}: {}", why.0)),
    }
}

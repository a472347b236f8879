//! Collecting which fasteners have which term, in bounded memory: what grows
//! too large is sorted and written aside as a run, and the runs are merged.

use std::io::{self, BufWriter, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use crate::store::disk;
use crate::store::image::merge::Run;
use crate::store::terms::Index;
use crate::store::varint;
use crate::text::QuickMap;

/// Memory for terms before a run is written, bytes, about.
const MEMORY: usize = 48 << 20;
/// What a term costs in memory besides its own bytes, about.
const OVERHEAD: usize = 96;

/// The ordinals that have a term: the first, and how far it is to each next.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Ordinals {
    /// The first ordinal.
    pub(crate) first: u32,
    /// The last ordinal.
    pub(crate) last: u32,
    pub(crate) count: u32,
    /// Distances after the first, as varints.
    pub(crate) steps: Vec<u8>,
}

impl Ordinals {
    fn new(ordinal: u32) -> Self {
        Self { first: ordinal, last: ordinal, count: 1, steps: Vec::new() }
    }

    /// Adds an ordinal above the last; the last again changes nothing.
    /// Returns by how many bytes it grew.
    pub(crate) fn push(&mut self, ordinal: u32) -> usize {
        if ordinal <= self.last {
            return 0;
        }
        let before = self.steps.capacity();
        varint::put(u64::from(ordinal - self.last), &mut self.steps);
        self.last = ordinal;
        self.count += 1;
        self.steps.capacity() - before
    }

    /// The ordinals in order.
    pub(crate) fn ordinals(&self) -> impl Iterator<Item = u32> {
        let mut steps = self.steps.as_slice();
        let mut at = self.first;
        let after = std::iter::from_fn(move || {
            at = at.checked_add(varint::take_u32(&mut steps)?)?;
            Some(at)
        });
        std::iter::once(self.first).chain(after)
    }
}

/// A term with its index before it, the order of everything here.
pub(crate) type Term = Box<[u8]>;

/// Every term met so far.
#[derive(Debug)]
pub(crate) struct Lists {
    map: QuickMap<Term, Ordinals>,
    bytes: usize,
    aside: PathBuf,
    runs: Vec<Run>,
    key: Vec<u8>,
}

impl Lists {
    /// Empty lists; runs go beside `path`.
    pub(crate) fn new(path: &Path) -> Self {
        let map = QuickMap::default();
        Self { map, bytes: 0, aside: path.to_owned(), runs: Vec::new(), key: Vec::new() }
    }

    /// Notes that fastener `ordinal` has `term`. Ordinals never fall.
    pub(crate) fn add(&mut self, index: Index, term: &[u8], ordinal: u32) {
        self.key.clear();
        self.key.push(index as u8);
        self.key.extend_from_slice(term);
        if let Some(list) = self.map.get_mut(self.key.as_slice()) {
            self.bytes += list.push(ordinal);
            return;
        }
        self.bytes += self.key.len() + OVERHEAD;
        self.map.insert(self.key.as_slice().into(), Ordinals::new(ordinal));
    }

    /// Writes a run if memory is used up; call between fasteners.
    pub(crate) fn relieve(&mut self) -> io::Result<()> {
        if self.bytes < MEMORY {
            return Ok(());
        }
        let sorted = self.sorted();
        let path = self.aside.with_extension(format!("run{}", self.runs.len()));
        let file = disk::create(&path)?;
        // Only the open handle is needed from here on, where the system allows.
        let _ = std::fs::remove_file(&path);
        let mut out = BufWriter::with_capacity(1 << 16, file);
        for (key, list) in &sorted {
            write_list(&mut out, key, list)?;
        }
        let mut file = out.into_inner().map_err(io::IntoInnerError::into_error)?;
        file.seek(SeekFrom::Start(0))?;
        self.runs.push(Run::read(file));
        Ok(())
    }

    /// All runs, the one in memory last.
    pub(crate) fn finish(mut self) -> Vec<Run> {
        let last = Run::memory(self.sorted());
        self.runs.push(last);
        self.runs
    }

    fn sorted(&mut self) -> Vec<(Term, Ordinals)> {
        self.bytes = 0;
        let mut sorted: Vec<_> = std::mem::take(&mut self.map).into_iter().collect();
        sorted.sort_unstable_by(|(a, _), (b, _)| a.cmp(b));
        sorted
    }
}

fn write_list(out: &mut impl Write, key: &[u8], list: &Ordinals) -> io::Result<()> {
    let mut head = Vec::with_capacity(key.len() + 24);
    varint::put(key.len() as u64, &mut head);
    head.extend_from_slice(key);
    for number in [list.first, list.last, list.count] {
        varint::put(u64::from(number), &mut head);
    }
    varint::put(list.steps.len() as u64, &mut head);
    out.write_all(&head)?;
    out.write_all(&list.steps)
}

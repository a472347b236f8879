//! Reading an image: which ordinals an access wants, and the fasteners there.

use std::collections::HashMap;
use std::ops::{ControlFlow, Range};
use std::path::Path;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use crate::record::{Fastener, Tables, Vocabulary};
use crate::store::codec;
use crate::store::image::build::{PLACE, PLACES};
use crate::store::image::columns::{Columns, is_between};
use crate::store::image::file::{CHECK, ImageFile, ReadError, bad};
use crate::store::image::header::{Counts, NAMES, PIECES, TABLES, fences_of};
use crate::store::image::names;
use crate::store::image::postings::{Fences, count_block, read_block};
use crate::store::image::sweep::{self, Swept, Wanted};
use crate::store::piece::{Entry, PIECE, Piece};
use crate::store::probe::{Probe, Terms};
use crate::store::terms::{Index, top_torque};

/// Decoded fasteners kept in memory.
const KEPT: usize = 2048;

/// Reading a list of this many ordinals costs about as much as decoding one
/// fastener; a list longer than that for each candidate is not read.
const LIST_PER_FASTENER: u64 = 1000;

/// An estimate reads up to this many blocks: they are read again right away.
const COUNTED: usize = 4;

/// Ordinals that an access may want.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Candidates {
    /// Every fastener.
    All,
    /// These, rising.
    These(Vec<u32>),
}

/// An image that is open; sections are read when first asked for.
#[derive(Debug)]
pub(crate) struct Image {
    pub(crate) file: ImageFile,
    /// The reference tables as they were when it was written.
    pub(crate) tables: Arc<Tables>,
    fences: [OnceLock<Fences>; Index::ALL.len()],
    kept: Mutex<HashMap<u32, Entry>>,
    /// The piece opened last, by its number: look-ups often go on in it.
    recent: Mutex<Option<(usize, Arc<Piece>)>>,
}

impl Image {
    /// Opens the image at `path`; reads its first page and the tables.
    pub(crate) fn open(path: &Path) -> Result<Self, ReadError> {
        let file = ImageFile::open(path)?;
        let tables = Arc::new(codec::decode(&file.whole(TABLES)?)?);
        Ok(Self {
            file,
            tables,
            fences: Default::default(),
            kept: Mutex::default(),
            recent: Mutex::default(),
        })
    }

    /// What it says of the book.
    pub(crate) fn counts(&self) -> Counts {
        self.file.header.counts
    }

    /// The names in it, with those of `tables` and `others`.
    pub(crate) fn vocabulary(
        &self,
        tables: Arc<Tables>,
        others: Vec<Arc<Fastener>>,
    ) -> Result<Vocabulary, ReadError> {
        Ok(names::read(self.file.whole(NAMES)?, tables, others))
    }

    /// The columns by fastener.
    pub(crate) fn sweep<T: Default + Send>(
        &self,
        wanted: Wanted,
        visit: impl Fn(&mut T, &Swept<'_>) + Sync,
    ) -> Result<Vec<T>, ReadError> {
        let columns = Columns::open(&self.file)?;
        sweep::sweep(columns, self.counts().fasteners, wanted, visit)
    }

    /// About how many ordinals would be read for `probe`.
    pub(crate) fn estimate(&self, probe: &Probe) -> Result<u64, ReadError> {
        let all = self.counts().fasteners;
        Ok(match probe {
            Probe::All => all,
            Probe::Terms(index, terms) => self.count(*index, terms)?.min(all),
            Probe::Figure { figure, low, high } => {
                let wants = |value| is_between(value, *low, *high);
                Columns::open(&self.file)?.estimate(*figure, wants)?.min(all)
            }
            Probe::Unknown(figure) => {
                Columns::open(&self.file)?.estimate(*figure, f64::is_nan)?.min(all)
            }
            Probe::And(parts) => self.estimates(parts)?.into_iter().min().unwrap_or(all),
            Probe::Or(parts) => self.estimates(parts)?.into_iter().sum::<u64>().min(all),
        })
    }

    fn estimates(&self, parts: &[Probe]) -> Result<Vec<u64>, ReadError> {
        parts.iter().map(|part| self.estimate(part)).collect()
    }

    /// The ordinals that `probe` may want, and whether it surely wants them all.
    pub(crate) fn candidates(&self, probe: &Probe) -> Result<(Candidates, bool), ReadError> {
        match probe {
            Probe::All => Ok((Candidates::All, true)),
            Probe::Terms(index, terms) => {
                Ok((Candidates::These(self.with_terms(*index, terms)?), true))
            }
            Probe::Figure { figure, low, high } => {
                let wants = |value| is_between(value, *low, *high);
                let found = Columns::open(&self.file)?.owners(*figure, wants)?;
                Ok((Candidates::These(found), true))
            }
            Probe::Unknown(figure) => {
                let found = Columns::open(&self.file)?.owners(*figure, f64::is_nan)?;
                Ok((Candidates::These(found), true))
            }
            Probe::Or(parts) => {
                let (mut joined, mut sure) = (Vec::new(), true);
                for part in parts {
                    let (candidates, exact) = self.candidates(part)?;
                    sure &= exact;
                    match candidates {
                        Candidates::All => return Ok((Candidates::All, exact)),
                        Candidates::These(these) => joined.extend(these),
                    }
                }
                joined.sort_unstable();
                joined.dedup();
                Ok((Candidates::These(joined), sure))
            }
            Probe::And(parts) => self.in_all(parts),
        }
    }

    /// Starts from the shortest list; lists too long to be worth reading are
    /// left to the test of the fastener itself.
    fn in_all(&self, parts: &[Probe]) -> Result<(Candidates, bool), ReadError> {
        let estimates = self.estimates(parts)?;
        let mut order: Vec<usize> = (0..parts.len()).collect();
        order.sort_by_key(|at| estimates[*at]);
        let (mut left, mut sure) = (Candidates::All, true);
        for at in order {
            if let Candidates::These(these) = &left
                && estimates[at] > LIST_PER_FASTENER * these.len() as u64
            {
                sure = sure && matches!(parts[at], Probe::All);
                continue;
            }
            let (candidates, exact) = self.candidates(&parts[at])?;
            sure &= exact;
            left = match (left, candidates) {
                (Candidates::All, other) | (other, Candidates::All) => other,
                (Candidates::These(these), Candidates::These(those)) => {
                    Candidates::These(intersection(&these, &those))
                }
            };
        }
        Ok((left, sure))
    }

    fn with_terms(&self, index: Index, terms: &Terms) -> Result<Vec<u32>, ReadError> {
        let mut ordinals = Vec::new();
        for fence in self.fences(index)?.of_ranges(&terms.ranges) {
            let block = self.file.chunk(fence.offset, fence.length)?;
            read_block(&block, |term| terms.take(term), |_, ordinal| ordinals.push(ordinal))?;
        }
        ordinals.sort_unstable();
        ordinals.dedup();
        if ordinals.last().is_some_and(|last| u64::from(*last) >= self.counts().fasteners) {
            return Err(bad("an index points outside the book"));
        }
        Ok(ordinals)
    }

    /// Calls `visit` with each term of `index` and each ordinal that has it.
    pub(crate) fn each_term(
        &self,
        index: Index,
        mut visit: impl FnMut(&[u8], u32),
    ) -> Result<(), ReadError> {
        for fence in self.fences(index)?.blocks() {
            let block = self.file.chunk_once(fence.offset, fence.length)?;
            read_block(&block, |_| ControlFlow::Continue(true), &mut visit)?;
        }
        Ok(())
    }

    /// Calls `visit` with each torque of the index, its high end in N·m, and each
    /// ordinal that has it.
    pub(crate) fn each_torque(&self, mut visit: impl FnMut(f64, u32)) -> Result<(), ReadError> {
        self.each_term(Index::Torque, |term, ordinal| {
            if let Some(torque) = top_torque(term) {
                visit(torque, ordinal);
            }
        })
    }

    /// How many ordinals `terms` have: counted where few blocks tell, else
    /// all of the blocks.
    fn count(&self, index: Index, terms: &Terms) -> Result<u64, ReadError> {
        let fences = self.fences(index)?;
        let blocks = fences.of_ranges(&terms.ranges);
        if blocks.len() > COUNTED {
            return Ok(blocks.iter().map(|block| fences.ordinals_in(block)).sum());
        }
        let mut count = 0;
        for fence in blocks {
            let block = self.file.chunk(fence.offset, fence.length)?;
            count += count_block(&block, |term| terms.take(term))?;
        }
        Ok(count)
    }

    pub(crate) fn fences(&self, index: Index) -> Result<&Fences, ReadError> {
        let slot = &self.fences[index as usize];
        if let Some(fences) = slot.get() {
            return Ok(fences);
        }
        let fences = Fences::decode(&self.file.whole(fences_of(index))?)?;
        Ok(slot.get_or_init(|| fences))
    }

    /// The fastener at `ordinal`.
    pub(crate) fn fastener(&self, ordinal: u32) -> Result<Entry, ReadError> {
        let mut found = None;
        let all = 0..u32::MAX;
        self.visit(&Candidates::These(vec![ordinal]), all, &mut |_, numbered| {
            found = Some(numbered);
            Ok(ControlFlow::Break(()))
        })?;
        found.ok_or_else(|| bad("a fastener is gone"))
    }

    /// Calls `visit` with the ordinal and fastener of each candidate in `range`,
    /// in order. A range that begins between pieces opens one of them twice.
    pub(crate) fn visit(
        &self,
        candidates: &Candidates,
        range: Range<u32>,
        visit: &mut dyn FnMut(u32, Entry) -> Result<ControlFlow<()>, ReadError>,
    ) -> Result<(), ReadError> {
        let end = range.end.min(self.counts().fasteners as u32);
        match candidates {
            Candidates::All => {
                for piece in range.start / PIECE as u32..end.div_ceil(PIECE as u32) {
                    let first = piece * PIECE as u32;
                    let last = end.min(first + PIECE as u32);
                    let ordinals: Vec<u32> = (first.max(range.start)..last).collect();
                    if self.visit_piece(&ordinals, false, visit)?.is_break() {
                        break;
                    }
                }
            }
            Candidates::These(these) => {
                let keep = these.len() <= KEPT;
                let these = within(these, &range);
                for ordinals in these.chunk_by(|a, b| a / PIECE as u32 == b / PIECE as u32) {
                    if self.visit_piece(ordinals, keep, visit)?.is_break() {
                        break;
                    }
                }
            }
        }
        Ok(())
    }

    /// Visits `ordinals`, all of one piece.
    fn visit_piece(
        &self,
        ordinals: &[u32],
        keep: bool,
        visit: &mut dyn FnMut(u32, Entry) -> Result<ControlFlow<()>, ReadError>,
    ) -> Result<ControlFlow<()>, ReadError> {
        let mut piece: Option<Arc<Piece>> = None;
        for &ordinal in ordinals {
            let known = if keep { self.remembered(ordinal) } else { None };
            let numbered = match known {
                Some(known) => known,
                None => {
                    let open = match piece.take() {
                        Some(open) => open,
                        None => self.piece(ordinal as usize / PIECE)?,
                    };
                    let numbered = open.entry(ordinal as usize % PIECE)?;
                    piece = Some(open);
                    if keep {
                        self.keep(ordinal, &numbered);
                    }
                    numbered
                }
            };
            if visit(ordinal, numbered)?.is_break() {
                return Ok(ControlFlow::Break(()));
            }
        }
        Ok(ControlFlow::Continue(()))
    }

    fn piece(&self, number: usize) -> Result<Arc<Piece>, ReadError> {
        let recent = || self.recent.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((known, piece)) = &*recent()
            && *known == number
        {
            return Ok(Arc::clone(piece));
        }
        let piece = Arc::new(self.open_piece(number)?);
        *recent() = Some((number, Arc::clone(&piece)));
        Ok(piece)
    }

    fn open_piece(&self, number: usize) -> Result<Piece, ReadError> {
        let table = self.file.header.sections[PIECES];
        let full = (PLACES * PLACE + CHECK) as u64;
        let page = (number / PLACES) as u64;
        let start = page * full;
        if start >= table.length {
            return Err(bad("the piece table is too short"));
        }
        let length = full.min(table.length - start);
        let page = self.file.chunk(table.offset + start, length)?;
        let at = number % PLACES * PLACE;
        let place = page.get(at..at + PLACE).ok_or_else(|| bad("the piece table is too short"))?;
        let number =
            |bytes: &[u8]| bytes.iter().rev().fold(0, |sum, byte| sum << 8 | u64::from(*byte));
        let (offset, length) = (number(&place[..8]), number(&place[8..]));
        Ok(Piece::open(&self.file.chunk_once(offset, length)?)?)
    }

    fn remembered(&self, ordinal: u32) -> Option<Entry> {
        let kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.get(&ordinal).cloned()
    }

    fn keep(&self, ordinal: u32, numbered: &Entry) {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() >= 2 * KEPT {
            kept.clear();
        }
        kept.insert(ordinal, numbered.clone());
    }
}

/// Those of a rising list that are in `range`.
fn within<'a>(these: &'a [u32], range: &Range<u32>) -> &'a [u32] {
    let from = these.partition_point(|ordinal| *ordinal < range.start);
    let to = these.partition_point(|ordinal| *ordinal < range.end);
    these.get(from..to).unwrap_or_default()
}

/// Ordinals in both of two rising lists.
fn intersection(these: &[u32], those: &[u32]) -> Vec<u32> {
    let (short, long) = if these.len() <= those.len() { (these, those) } else { (those, these) };
    let mut rest = long;
    let mut both = Vec::new();
    for ordinal in short {
        rest = &rest[rest.partition_point(|other| other < ordinal)..];
        if rest.first() == Some(ordinal) {
            both.push(*ordinal);
        }
    }
    both
}

//! Image and overlay as one sequence of fasteners.

use std::io;
use std::ops::{ControlFlow, Range};
use std::sync::Arc;

use crate::record::Fastener;
use crate::store::access::Access;
use crate::store::book::Book;
use crate::store::book_of_record::Visit;
use crate::store::error::StoreError;
use crate::store::image::{Candidates, ReadError, Swept, Wanted, on_cores, threads};
use crate::store::overlay::Changed;
use crate::store::piece::{Entry, PIECE};
use crate::store::probe::Probe;

/// Fewer fasteners than this are not worth a second thread.
const WORTH_SHARING: usize = 128;

/// Fasteners of a part where few are to be held.
const SMALL_PART: usize = 512;

/// Which fasteners to go through.
#[derive(Debug, Clone)]
pub(crate) enum Which<'a> {
    /// Those that an access describes.
    Access(&'a Access),
    /// Those of the image at these ordinals, rising, and every one that has
    /// changed since.
    Ordinals(Vec<u32>),
}

/// A walk: what is looked at, and how it is tested.
struct StoreWalk<'a> {
    candidates: &'a Candidates,
    probe: &'a Probe,
    /// Whether the image's candidates need no test.
    sure: bool,
}

impl Book {
    /// Calls `visit` with each fastener that `access` describes, in the order
    /// entered, without holding them all; returns how many settings were read.
    pub fn each(
        &self,
        access: &Access,
        visit: &mut dyn FnMut(Arc<Fastener>) -> ControlFlow<()>,
    ) -> Result<usize, StoreError> {
        self.each_of(Which::Access(access), visit)
    }

    /// Calls `visit` with each fastener that `which` names, in order, until it
    /// breaks off; returns how many settings were read.
    pub(crate) fn each_of(
        &self,
        which: Which<'_>,
        visit: &mut dyn FnMut(Arc<Fastener>) -> ControlFlow<()>,
    ) -> Result<usize, StoreError> {
        let (probe, candidates, sure) = self.which(which)?;
        let walk = StoreWalk { candidates: &candidates, probe: &probe, sure };
        let mut read = 0;
        self.walk(&walk, 0..u32::MAX, &mut read, &mut |(_, fastener)| visit(fastener))?;
        Ok(read)
    }

    fn which(&self, which: Which<'_>) -> Result<(Probe, Candidates, bool), StoreError> {
        match which {
            Which::Access(access) => {
                let probe = Probe::new(access, self.tables());
                let (candidates, sure) = self.candidates(&probe).map_err(|e| self.bad(e))?;
                Ok((probe, candidates, sure))
            }
            Which::Ordinals(these) => Ok((Probe::All, Candidates::These(these), true)),
        }
    }

    /// Goes through fasteners on the cores of the machine. Each part of the sequence has a
    /// state of its own; they are returned in order, with how many settings
    /// were read.
    pub(crate) fn share<T: Default + Send>(
        &self,
        which: Which<'_>,
        work: impl Fn(&mut T, Arc<Fastener>) + Sync,
    ) -> Result<(Vec<T>, usize), StoreError> {
        let (mut states, mut read) = (Vec::new(), 0);
        self.share_parts(which, threads, work, &mut |state, of_part| {
            states.push(state);
            read += of_part;
            Ok::<(), StoreError>(())
        })?;
        Ok((states, read))
    }

    /// The same, in parts so small that few are held: `take` gets the state of each, in
    /// order.
    ///
    /// # Errors
    /// What `take` returns, or a [`StoreError`].
    pub(crate) fn share_in_turn<T: Default + Send>(
        &self,
        which: Which<'_>,
        work: impl Fn(&mut T, Arc<Fastener>) + Sync,
        take: &mut dyn FnMut(T) -> io::Result<()>,
    ) -> io::Result<()> {
        let small = self.image().counts().fasteners as usize / SMALL_PART;
        let parts = || small.next_multiple_of(threads()).max(threads());
        self.share_parts(which, parts, work, &mut |state, _| take(state))
    }

    fn share_parts<T: Default + Send, E: From<StoreError>>(
        &self,
        which: Which<'_>,
        wanted: impl FnOnce() -> usize,
        work: impl Fn(&mut T, Arc<Fastener>) + Sync,
        take: &mut dyn FnMut(T, usize) -> Result<(), E>,
    ) -> Result<(), E> {
        let (probe, candidates, sure) = self.which(which)?;
        let walk = StoreWalk { candidates: &candidates, probe: &probe, sure };
        let part = |range: Range<u32>| -> Result<(T, usize), StoreError> {
            let (mut state, mut read) = (T::default(), 0);
            self.walk(&walk, range, &mut read, &mut |(_, fastener)| {
                work(&mut state, fastener);
                ControlFlow::Continue(())
            })?;
            Ok((state, read))
        };
        let parts = self.parts(&candidates, wanted);
        // The machine is asked for its cores, by way of several files, only where they help.
        let at_once = if parts.len() > 1 { threads() } else { 1 };
        for parts in parts.chunks(at_once) {
            let done = on_cores(parts, part)?;
            done.into_iter().try_for_each(|(state, read)| take(state, read))?;
        }
        Ok(())
    }

    /// Ranges of ordinals with about the same number of candidates, `wanted` at most and
    /// one at least.
    fn parts(&self, candidates: &Candidates, wanted: impl FnOnce() -> usize) -> Vec<Range<u32>> {
        let count = match candidates {
            Candidates::All => self.image().counts().fasteners as usize,
            Candidates::These(these) => these.len(),
        };
        let mut parts = Vec::new();
        let mut from = 0;
        if count >= WORTH_SHARING {
            let wanted = wanted();
            for nth in 1..wanted {
                let middle = count * nth / wanted;
                let ordinal = match candidates {
                    Candidates::All => middle as u32,
                    Candidates::These(these) => these[middle],
                };
                // No piece is opened by two.
                let to = ordinal - ordinal % PIECE as u32;
                parts.push(from..to);
                from = to;
            }
        }
        parts.push(from..u32::MAX);
        parts
    }

    /// Every number with its fastener, in order.
    pub(crate) fn each_entry(&self, visit: Visit<'_>) -> Result<(), StoreError> {
        let walk = StoreWalk { candidates: &Candidates::All, probe: &Probe::All, sure: true };
        let mut visited = Ok(());
        self.walk(&walk, 0..u32::MAX, &mut 0, &mut |(number, fastener)| {
            visited = visit(number, fastener);
            if visited.is_ok() { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
        })?;
        visited
    }

    /// Image and overlay as one sequence, of the ordinals in `range`; what is
    /// new since the image stands at the end of the last range.
    fn walk(
        &self,
        walk: &StoreWalk<'_>,
        range: Range<u32>,
        read: &mut usize,
        visit: &mut dyn FnMut(Entry) -> ControlFlow<()>,
    ) -> Result<(), StoreError> {
        let is_last = range.end == u32::MAX;
        let own = |changed: &Changed| match changed.base {
            Some(base) => range.contains(&base),
            None => is_last,
        };
        let mut above = self.overlay().changed.iter().filter(|(_, c)| own(c)).peekable();
        let mut stopped = false;
        let mut take = |numbered: Entry, tested: bool, read: &mut usize| {
            *read += numbered.1.settings.len();
            if tested || walk.probe.matches(&numbered.1, self.tables()) {
                visit(numbered)
            } else {
                ControlFlow::Continue(())
            }
        };
        let walked =
            self.image().visit(walk.candidates, range.clone(), &mut |ordinal, numbered| {
                let before = |changed: &Changed| changed.base.is_some_and(|base| base <= ordinal);
                while let Some((number, changed)) = above.next_if(|(_, changed)| before(changed)) {
                    let Some(fastener) = &changed.fastener else { continue };
                    if take((*number, Arc::clone(fastener)), false, read).is_break() {
                        stopped = true;
                        return Ok(ControlFlow::Break(()));
                    }
                }
                if self.overlay().hides(ordinal) {
                    return Ok(ControlFlow::Continue(()));
                }
                let flow = take(numbered, walk.sure, read);
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
        if self.overlay().tables.is_some() && probe.asks_figures() {
            return Ok((Candidates::All, false));
        }
        self.image().candidates(probe)
    }

    /// Calls `visit` with what the columns hold of every fastener of the image
    /// that has not changed since, in the way of [`Book::share`]. None where
    /// they cannot be used: the lubes and strengths have changed since.
    pub(crate) fn sweep<T: Default + Send>(
        &self,
        wanted: Wanted,
        visit: impl Fn(&mut T, &Swept<'_>) + Sync,
    ) -> Result<Option<Vec<T>>, StoreError> {
        if self.overlay().tables.is_some() {
            return Ok(None);
        }
        let swept = self.image().sweep(wanted, |state, swept: &Swept<'_>| {
            if !self.overlay().hides(swept.ordinal) {
                visit(state, swept);
            }
        });
        swept.map(Some).map_err(|error| self.bad(error))
    }

    /// Calls `visit` with the high end, N·m, of every torque of the image's index and
    /// the ordinal of its fastener; those that have changed since are passed over.
    pub(crate) fn each_torque(&self, mut visit: impl FnMut(f64, u32)) -> Result<(), StoreError> {
        let all = self.image().each_torque(|torque, ordinal| {
            if !self.overlay().hides(ordinal) {
                visit(torque, ordinal);
            }
        });
        all.map_err(|error| self.bad(error))
    }
}

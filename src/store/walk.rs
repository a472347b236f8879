//! Image and overlay as one sequence of fasteners.

use std::ops::ControlFlow;
use std::sync::Arc;

use crate::record::Fastener;
use crate::store::access::{Access, Figure};
use crate::store::book::Book;
use crate::store::error::StoreError;
use crate::store::image::{Candidates, Numbered, ReadError, figures};
use crate::store::overlay::Changed;
use crate::store::probe::Probe;

impl Book {
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
        let mut above = self.overlay().changed.iter().peekable();
        let mut stopped = false;
        let mut take = |numbered: Numbered, tested: bool, read: &mut usize| {
            *read += numbered.1.settings.len();
            if tested || probe.matches(&numbered.1, self.tables()) {
                visit(numbered)
            } else {
                ControlFlow::Continue(())
            }
        };
        let walked = self.image().visit(&candidates, &mut |ordinal, numbered| {
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
        if self.overlay().tables.is_some() && probe.asks_figures() {
            return Ok((Candidates::All, false));
        }
        self.image().candidates(probe)
    }

    /// How many settings have no such figure: nothing to compute it from, or
    /// not by a torque.
    pub fn unknown(&self, figure: Figure) -> Result<usize, StoreError> {
        let mut unknown = 0;
        if self.overlay().changed.is_empty() && self.overlay().tables.is_none() {
            let counted = self.image().unknown(figure).map_err(|error| self.bad(error))?;
            return Ok(counted as usize);
        }
        self.each(&Access::All, &mut |fastener| {
            let each = fastener.settings.iter().map(|s| figures(&fastener, s, self.tables()));
            unknown += each.filter(|figures| figures[figure as usize].is_nan()).count();
            ControlFlow::Continue(())
        })?;
        Ok(unknown)
    }
}

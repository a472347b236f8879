//! Checking a whole image: every byte, and every index against the fasteners.

use std::collections::BTreeSet;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::ops::ControlFlow;

use crate::record::Fastener;
use crate::store::image::Image;
use crate::store::image::columns::{self, Columns, is_between};
use crate::store::image::file::{ReadError, bad};
use crate::store::image::header::{NAMES, postings_of};
use crate::store::image::names;
use crate::store::image::postings::read_block;
use crate::store::image::read::Candidates;
use crate::store::terms::{Index, each_term};

fn near(kept: f32, derived: f64) -> bool {
    kept.is_nan() && derived.is_nan() || is_between(f64::from(kept), derived, derived)
}

/// A sum over terms and ordinals that does not depend on their order.
#[derive(Debug, Default, PartialEq, Eq)]
struct TermSum {
    count: u64,
    mixed: u64,
}

impl TermSum {
    fn add(&mut self, index: Index, term: &[u8], ordinal: u32) {
        let mut hasher = DefaultHasher::new();
        (index as u8, term, ordinal).hash(&mut hasher);
        self.count += 1;
        self.mixed = self.mixed.wrapping_add(hasher.finish());
    }

    fn add_fastener(&mut self, ordinal: u32, fastener: &Fastener) {
        let mut terms = BTreeSet::new();
        each_term(fastener, &mut |index, term| {
            terms.insert((index, term.to_vec()));
        });
        for (index, term) in &terms {
            self.add(*index, term, ordinal);
        }
    }
}

impl Image {
    /// Reads everything once and checks it.
    pub(crate) fn verify(&self) -> Result<(), ReadError> {
        names::check(&self.file.whole(NAMES)?)?;
        let counts = self.counts();
        let (mut settings, mut fasteners, mut sum) = (0, 0, TermSum::default());
        let mut least = 0;
        let (columns, mut page) = (Columns::open(&self.file)?, columns::AllOf::default());
        let differs = || bad("its columns are not those of its fasteners");
        self.visit(&Candidates::All, 0..u32::MAX, &mut |ordinal, (number, fastener)| {
            if number < least || number >= counts.next {
                return Err(bad("its fasteners are not in order"));
            }
            least = number + 1;
            fasteners += 1;
            // Every figure against a derivation of its own.
            for setting in &fastener.settings {
                let kept = page.at(columns, settings)?.ok_or_else(differs)?;
                settings += 1;
                let derived = columns::figures(&fastener, setting, &self.tables);
                let agree = kept.figures.iter().zip(derived).all(|(kept, own)| near(*kept, own));
                if kept.owner != (ordinal, fastener.is_chart()) || !agree {
                    return Err(differs());
                }
            }
            sum.add_fastener(ordinal, &fastener);
            Ok(ControlFlow::Continue(()))
        })?;
        if (fasteners, settings as u64) != (counts.fasteners, counts.settings) {
            return Err(bad("it lacks fasteners or settings that it counts"));
        }
        let mut indexed = TermSum::default();
        for index in Index::ALL {
            self.sum_index(index, &mut indexed)?;
        }
        if indexed == sum { Ok(()) } else { Err(bad("an index is not that of its fasteners")) }
    }

    fn sum_index(&self, index: Index, sum: &mut TermSum) -> Result<(), ReadError> {
        let section = self.file.header.sections[postings_of(index)];
        let mut end = section.offset;
        for fence in self.fences(index)?.blocks() {
            if fence.offset != end {
                return Err(bad("an index has a gap"));
            }
            end += fence.length;
            let block = self.file.chunk_once(fence.offset, fence.length)?;
            let all = |_: &[u8]| ControlFlow::Continue(true);
            read_block(&block, all, |term, ordinal| sum.add(index, term, ordinal))?;
        }
        if end == section.offset + section.length { Ok(()) } else { Err(bad("an index has a gap")) }
    }
}

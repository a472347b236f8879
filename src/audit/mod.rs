//! What is wrong or doubtful in the book: each finding with its reason and
//! what to do. Intake asks the same rules before it stores anything.

mod bench;
mod finding;
mod fit;
mod joint;
mod setting;
mod source;
mod standing;

use std::collections::BTreeMap;
use std::sync::Arc;

pub use bench::{Bench, audit_bench, is_other_lube};
pub use finding::{FINDINGS, Finding, FindingKind, Severity};
pub use setting::unit_doubt;
pub use standing::{Acknowledged, Judged, Standing, settle};

use crate::record::{Fastener, Tables};

/// Everything to say about `fasteners`, in their order; see [`Audit`].
pub fn audit(fasteners: &[Arc<Fastener>], tables: &Tables) -> Vec<Finding> {
    let mut audit = Audit::new(tables);
    fasteners.iter().for_each(|fastener| audit.take(fastener));
    audit.finish()
}

/// An audit of fasteners that come one by one, of which none is held. Findings about
/// a whole joint or assembly stand with its first fastener. Rows of general charts are
/// not anybody's settings: nothing is said of them.
#[derive(Debug)]
pub struct Audit<'a> {
    tables: &'a Tables,
    count: usize,
    /// Findings, each with the place of its fastener.
    found: Vec<(usize, Finding)>,
    /// Those about threads of an assembly, which are said after those of joints.
    of_threads: Vec<(usize, Finding)>,
    joints: BTreeMap<[String; 2], joint::Seen>,
    assemblies: BTreeMap<String, fit::Seen>,
}

impl<'a> Audit<'a> {
    /// An audit by these lubes and strengths that has looked at nothing yet.
    pub fn new(tables: &'a Tables) -> Self {
        let (found, of_threads) = (Vec::new(), Vec::new());
        let (joints, assemblies) = (BTreeMap::new(), BTreeMap::new());
        Self { tables, count: 0, found, of_threads, joints, assemblies }
    }

    /// Looks at the next fastener.
    pub fn take(&mut self, fastener: &Fastener) {
        if fastener.is_chart() {
            return;
        }
        let at = self.count;
        self.count += 1;
        let mut found = Vec::new();
        setting::check(fastener, self.tables, &mut found);
        source::check(fastener, &mut found);
        self.found.extend(found.drain(..).map(|finding| (at, finding)));
        let names = [fastener.joint.assembly.clone(), fastener.joint.name.clone()];
        let assembly = self.assemblies.entry(names[0].clone()).or_default();
        assembly.take(fastener, &mut found);
        self.of_threads.extend(found.into_iter().map(|finding| (at, finding)));
        self.joints.entry(names).or_insert_with(|| joint::Seen::begin(at, fastener)).take(fastener);
    }

    /// How many fasteners it looked at, charts apart.
    pub fn count(&self) -> usize {
        self.count
    }

    /// Everything to say, in the order of the fasteners.
    pub fn finish(self) -> Vec<Finding> {
        let mut found = self.found;
        found.extend(self.joints.into_values().filter_map(joint::Seen::judged));
        found.extend(self.of_threads);
        found.sort_by_key(|(at, _)| *at);
        found.into_iter().map(|(_, finding)| finding).collect()
    }
}

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
pub use standing::{Acknowledged, Findings, Judged, Standing, Tally, judged};

use crate::record::{Fastener, Tables};

/// Everything to say about `fasteners`, in their order.
pub fn audit(fasteners: &[Arc<Fastener>], tables: &Tables) -> Vec<Finding> {
    let mut joined = Joined::default();
    let of_each: Vec<[Vec<Finding>; 2]> = fasteners
        .iter()
        .map(|fastener| [audit_one(fastener, tables), joined.take(fastener)])
        .collect();
    let mut joints = joined.joints();
    let with_joint = |(at, [own, threads]): (usize, [Vec<Finding>; 2])| {
        own.into_iter().chain(joints.remove(&at)).chain(threads)
    };
    of_each.into_iter().enumerate().flat_map(with_joint).collect()
}

/// What is to be said of a fastener by itself. Rows of general charts are not anybody's
/// settings: nothing is said of them.
pub fn audit_one(fastener: &Fastener, tables: &Tables) -> Vec<Finding> {
    let mut found = Vec::new();
    if !fastener.is_chart() {
        setting::check(fastener, tables, &mut found);
        source::check(fastener, &mut found);
    }
    found
}

/// The joints and assemblies of fasteners that come one by one, of which none is held.
/// What is to be said of a whole joint stands with its first fastener.
#[derive(Debug, Default)]
pub struct Joined {
    met: usize,
    charts: usize,
    joints: BTreeMap<[String; 2], joint::JointSeen>,
    assemblies: BTreeMap<String, fit::ThreadsSeen>,
}

impl Joined {
    /// Looks at the next fastener, and says what it is the first to make doubtful in its
    /// assembly.
    pub fn take(&mut self, fastener: &Fastener) -> Vec<Finding> {
        let at = self.met;
        self.met += 1;
        let mut found = Vec::new();
        if fastener.is_chart() {
            self.charts += 1;
            return found;
        }
        let names = [fastener.joint.assembly.clone(), fastener.joint.name.clone()];
        self.assemblies.entry(names[0].clone()).or_default().take(fastener, &mut found);
        self.joints
            .entry(names)
            .or_insert_with(|| joint::JointSeen::begin(at, fastener))
            .take(fastener);
        found
    }

    /// How many fasteners it looked at, charts apart.
    pub fn count(&self) -> usize {
        self.met - self.charts
    }

    /// What is to be said of the joints, each by the place of its first fastener.
    pub fn joints(self) -> BTreeMap<usize, Finding> {
        self.joints.into_values().filter_map(joint::JointSeen::judged).collect()
    }
}

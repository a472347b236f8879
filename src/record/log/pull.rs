//! One line of the log.

use jiff::Timestamp;
use jiff::civil::Date;

use crate::quantity::{Extent, Stated, Torque};
use crate::record::choice::choice;
use crate::record::{Fastener, PassDone, Reached, Setting};
use crate::text::fold_name;

choice!(
    /// What a line of the log says was done with a fastener.
    PullKind {
        /// Tightened for good.
        Tightened = "tightened" ["final", "torqued"],
        /// Tightened and taken apart again: bearing clearance, honing, fitting.
        Trial = "trial assembly" ["trial", "trial fit"],
        Retorqued = "retorqued" ["retorque", "re-torqued"],
        /// Checked as left, without tightening.
        Checked = "checked" ["as left", "as-left", "audit"],
        Loosened = "loosened" ["removed"],
    }
);

/// A wrench as it stood when it was used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WrenchUsed {
    pub name: String,
    pub calibrated: Option<Date>,
    pub due: Option<Date>,
}

/// The spec as it stood when it was used: values, not a pointer.
#[derive(Debug, Clone, PartialEq)]
pub struct Snapshot {
    pub key: String,
    /// The book's revision.
    pub generation: u64,
    pub part: String,
    pub thread: Option<String>,
    pub count: Option<u32>,
    pub setting: Setting,
}

impl Snapshot {
    /// The setting of `fastener` under `key` at the book's `generation`.
    pub fn new(fastener: &Fastener, setting: &Setting, key: &str, generation: u64) -> Self {
        Self {
            key: key.to_owned(),
            generation,
            part: fastener.part.clone(),
            thread: fastener.thread.as_ref().map(ToString::to_string),
            count: fastener.count,
            setting: setting.clone(),
        }
    }
}

/// One line of the log. `None` and an empty list are "not written down": they
/// are never filled in.
#[derive(Debug, Clone, PartialEq)]
pub struct Pull {
    /// Its number in the log, from 1; 0 until it is appended.
    pub number: u64,
    /// The line that this one stands in place of.
    pub corrects: Option<u64>,
    pub job: String,
    pub at: Timestamp,
    pub who: Option<String>,
    pub kind: PullKind,
    pub assembly: String,
    pub joint: String,
    pub spec: Snapshot,
    pub wrench: Option<WrenchUsed>,
    /// What the wrench was set to, where an adapter makes it another figure than the
    /// torque at the nut: readings are what the wrench showed.
    pub set_to: Option<Stated<Torque>>,
    pub lube: Option<String>,
    pub lot: Option<String>,
    pub order: Option<String>,
    pub passes: Vec<PassDone>,
    pub reached: Vec<Reached>,
    /// The bolt set, where bolts are told apart.
    pub set: Option<String>,
    pub remarks: Option<String>,
}

impl Pull {
    /// A line for `spec` of a joint, nothing written down yet.
    pub fn new(job: &str, at: Timestamp, assembly: &str, joint: &str, spec: Snapshot) -> Self {
        Self {
            number: 0,
            corrects: None,
            job: job.to_owned(),
            at,
            who: None,
            kind: PullKind::Tightened,
            assembly: assembly.to_owned(),
            joint: joint.to_owned(),
            spec,
            wrench: None,
            set_to: None,
            lube: None,
            lot: None,
            order: None,
            passes: Vec::new(),
            reached: Vec::new(),
            set: None,
            remarks: None,
        }
    }

    /// The same with what a fitter does not type again: who of `last`, the entry
    /// before, and within the same joint of the same job its wrench, order and set, with
    /// the setting's lube its lot. Lube, results and remarks stay blank.
    pub fn with_defaults(mut self, last: Option<&Pull>) -> Self {
        let Some(last) = last else { return self };
        self.who = self.who.or_else(|| last.who.clone());
        let is_same_joint = last.joint == self.joint && last.assembly == self.assembly;
        if is_same_joint && fold_name(&last.job) == fold_name(&self.job) {
            self.wrench = self.wrench.or_else(|| last.wrench.clone());
            if last.lube == self.spec.setting.lube {
                self.lot = self.lot.or_else(|| last.lot.clone());
            }
            self.order = self.order.or_else(|| last.order.clone());
            self.set = self.set.or_else(|| last.set.clone());
        }
        self
    }

    /// How many times each fastener was brought to its final value: once, and
    /// once for each pull-and-release cycle of the spec. Trial assemblies
    /// count, a check or a loosening does not.
    pub fn tightenings(&self) -> u32 {
        match self.kind {
            PullKind::Tightened | PullKind::Trial => 1 + self.spec.setting.cycles.unwrap_or(0),
            PullKind::Retorqued => 1,
            PullKind::Checked | PullKind::Loosened => 0,
        }
    }

    /// The torque that a reading is held against: that of the setting, or the one the
    /// wrench was set to for it.
    pub fn wanted(&self) -> Option<Extent<Torque>> {
        self.set_to.map(Extent::Exactly).or(self.spec.setting.torque)
    }

    /// Which readings are off: `, OFF TARGET: 3`; empty if none is.
    pub(crate) fn off_target(&self) -> String {
        let off = self.reached.iter().filter(|reached| reached.is_off_target(self));
        let off: Vec<&str> = off.map(|reached| reached.position.as_str()).collect();
        if off.is_empty() { String::new() } else { format!(", OFF TARGET: {}", off.join(", ")) }
    }

    /// Whether the wrench was overdue on that day, UTC.
    pub fn is_wrench_overdue(&self) -> bool {
        let day = self.at.to_zoned_datetime(jiff::tz::TimeZone::UTC).date();
        self.wrench.as_ref().and_then(|wrench| wrench.due).is_some_and(|due| due < day)
    }
}

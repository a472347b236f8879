//! Doubts about an assembly: threads in it that are mistaken for each other.

use crate::audit::{Finding, FindingKind};
use crate::record::Fastener;
use crate::thread::{Danger, Thread, look_alikes};

/// The threads of an assembly, each with the joint and part where it was met first.
#[derive(Debug, Default)]
pub(super) struct ThreadsSeen(Vec<(Thread, [String; 2])>);

impl ThreadsSeen {
    /// Adds a finding for each dangerous pair of threads that `fastener` is the first
    /// to make.
    pub(super) fn take(&mut self, fastener: &Fastener, found: &mut Vec<Finding>) {
        for thread in fastener.thread.iter().chain(&fastener.hole_thread) {
            if self.0.iter().any(|(known, _)| known == thread) {
                continue;
            }
            self.pairs(thread, fastener, found);
            let place = [fastener.joint.name.clone(), fastener.part.clone()];
            self.0.push((thread.clone(), place));
        }
    }

    fn pairs(&self, thread: &Thread, fastener: &Fastener, found: &mut Vec<Finding>) {
        let mut named: Vec<&Thread> = Vec::new();
        for pair in look_alikes(thread) {
            if pair.danger < Danger::Runs {
                break;
            }
            let Some((other, place)) = self.0.iter().find(|(known, _)| *known == pair.other) else {
                continue;
            };
            if named.contains(&other) {
                continue;
            }
            named.push(other);
            let place = place.join(", ");
            let reason = format!("{thread} here, {other} at {place}: {pair}");
            let finding = Finding::about(FindingKind::LookAlike, fastener, reason);
            found.push(finding.resting_on(format!("{thread}, {other} at {place}")));
        }
    }
}

//! Doubts about an assembly: threads in it that are mistaken for each other.

use std::sync::Arc;

use crate::audit::{Finding, FindingKind};
use crate::record::Fastener;
use crate::thread::{Danger, Thread, look_alikes};

/// Adds a finding for each dangerous pair of threads in one assembly, at the
/// first fastener of the second.
pub(super) fn check(fasteners: &[&Arc<Fastener>], found: &mut Vec<Finding>) {
    let mut seen: Vec<(&Thread, &Fastener)> = Vec::new();
    for fastener in fasteners {
        for thread in fastener.thread.iter().chain(&fastener.hole_thread) {
            if seen.iter().any(|(known, _)| *known == thread) {
                continue;
            }
            pairs(thread, fastener, &seen, found);
            seen.push((thread, fastener));
        }
    }
}

fn pairs(
    thread: &Thread,
    fastener: &Fastener,
    seen: &[(&Thread, &Fastener)],
    found: &mut Vec<Finding>,
) {
    let mut named: Vec<&Thread> = Vec::new();
    for pair in look_alikes(thread) {
        if pair.danger < Danger::Runs {
            break;
        }
        let Some((other, at)) = seen.iter().find(|(known, _)| **known == pair.other) else {
            continue;
        };
        if named.contains(other) {
            continue;
        }
        named.push(other);
        let place = format!("{}, {}", at.joint.name, at.part);
        let reason = format!("{thread} here, {other} at {place}: {pair}");
        let finding = Finding::about(FindingKind::LookAlike, fastener, reason);
        found.push(finding.resting_on(format!("{thread}, {other} at {place}")));
    }
}

//! Doubts about where figures come from: none, several, superseded.

use crate::audit::{Finding, FindingKind};
use crate::quantity::{Length, Torque};
use crate::record::{Basis, Fastener, Setting, SourceKind};

/// How far apart two figures may be before they disagree: less than a wrench
/// can tell apart.
const AGREE_WITHIN: f64 = 0.01;

/// Adds what is to be said of the sources of `fastener`.
pub(super) fn check(fastener: &Fastener, found: &mut Vec<Finding>) {
    for setting in fastener.settings.iter().filter(|setting| !setting.superseded) {
        let from_memory = setting.source.kind == Some(SourceKind::Memory);
        if setting.source.title.is_none() && !from_memory {
            let reason = "no source: nobody can look it up again";
            found.push(Finding::new(FindingKind::NoSource, fastener, setting, reason));
        }
    }
    superseded(fastener, found);
    disagreements(fastener, found);
}

fn superseded(fastener: &Fastener, found: &mut Vec<Finding>) {
    for old in fastener.settings.iter().filter(|setting| setting.superseded) {
        let replaced = fastener.settings.iter().any(|new| !new.superseded && new.lube == old.lube);
        if !replaced {
            let reason = "superseded, and nothing stands in its place";
            found.push(Finding::new(FindingKind::Superseded, fastener, old, reason));
        }
    }
}

/// Listed figures for one lube and method that differ: both stay, nothing is
/// averaged.
fn disagreements(fastener: &Fastener, found: &mut Vec<Finding>) {
    let counts = |setting: &&Setting| !setting.superseded && setting.basis == Basis::Listed;
    let settings: Vec<&Setting> = fastener.settings.iter().filter(counts).collect();
    for (at, first) in settings.iter().enumerate() {
        for second in &settings[at + 1..] {
            if let Some(reason) = disagreement(first, second) {
                let figures = format!("{}, {}", first.in_words(), first.source);
                let finding = Finding::new(FindingKind::SourcesDiffer, fastener, second, reason);
                found.push(finding.resting_on(figures));
            }
        }
    }
}

fn disagreement(first: &Setting, second: &Setting) -> Option<String> {
    if first.lube != second.lube || first.method != second.method {
        return None;
    }
    let figure = |setting: &Setting| match setting.torque {
        Some(torque) => torque.target().map(Torque::nm),
        None => setting.stretch?.target().map(Length::mm),
    };
    let (one, other) = (figure(first)?, figure(second)?);
    let apart = (other / one - 1.0).abs();
    (apart > AGREE_WITHIN).then(|| {
        let percent = apart * 100.0;
        format!(
            "{} ({}) against {} ({}), {percent:.0} % apart",
            first.in_words(),
            first.source,
            second.in_words(),
            second.source
        )
    })
}

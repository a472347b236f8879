//! What is wrong or doubtful at the bench: wrenches past their day, bolts past
//! their tightenings, joints pulled with another lube than the setting's.

use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::audit::{Finding, FindingKind};
use crate::record::{BoltSet, BoltState, BoltVerdict, Log, Pull, Tables, Wrench};
use crate::text::fold_name;

/// What of the bench is looked at.
#[derive(Debug, Clone, Copy)]
pub struct Bench<'a> {
    pub wrenches: &'a [Wrench],
    /// Its bolt sets with each bolt as the log leaves it.
    pub bolts: &'a [(BoltSet, Vec<BoltState>)],
    /// The lubes, each under all its names.
    pub tables: &'a Tables,
    pub log: &'a Log,
    /// The day on which it is looked at.
    pub day: Date,
}

/// Everything to say about the bench, or what concerns the fasteners of these `keys`:
/// a wrench belongs to none.
pub fn audit_bench(bench: &Bench<'_>, keys: Option<&BTreeSet<&str>>) -> Vec<Finding> {
    let mut found = Vec::new();
    if keys.is_none() {
        found.extend(bench.wrenches.iter().filter_map(|wrench| unfit(wrench, bench.day)));
    }
    let is_asked = |key: &str| keys.is_none_or(|keys| keys.contains(key));
    for (set, states) in bench.bolts.iter().filter(|(set, _)| is_asked(&set.fastener)) {
        found.extend(states.iter().filter_map(|state| past_use(set, state)));
    }
    for (pull, reached) in bench.log.off_target(None) {
        let (setting, set) = (&pull.spec.setting, pull.set_to.map(|set| format!("set {set}")));
        let asked = set.unwrap_or_else(|| setting.in_words());
        let read = format!("{reached} was reached, the setting is for {asked}");
        found.push(of_line(FindingKind::OffTarget, bench.log, pull, &read));
    }
    for pull in bench.log.current().filter(|pull| is_other_lube(pull, bench.tables)) {
        let [put, named] = [&pull.lube, &pull.spec.setting.lube]
            .map(|lube| lube.as_deref().unwrap_or(crate::record::NOT_STATED));
        let words = format!("{put} was put on, the setting is for {named}");
        found.push(of_line(FindingKind::OtherLube, bench.log, pull, &words));
    }
    found.retain(|one| one.fastener.is_empty() || is_asked(&one.fastener));
    found
}

/// About a line of the log.
fn of_line(kind: FindingKind, log: &Log, pull: &Pull, words: &str) -> Finding {
    let line = format!("log line {}", log.numbered(pull.number));
    Finding {
        kind,
        key: pull.spec.key.clone(),
        fastener: pull.spec.key.split('/').next().unwrap_or_default().to_owned(),
        place: [pull.assembly.clone(), pull.joint.clone(), pull.spec.part.clone()],
        lube: pull.spec.setting.lube.clone(),
        figures: format!("{line}: {words}"),
        reason: format!("job {}, {line}: {words}", pull.job),
    }
}

/// Whether another lube was put on than the setting names; one lube under two
/// of its names is the same. Where either is not written down nothing is said.
pub fn is_other_lube(pull: &Pull, tables: &Tables) -> bool {
    let (Some(put), Some(named)) = (&pull.lube, &pull.spec.setting.lube) else { return false };
    let own = |name: &str| fold_name(tables.lube(name).map_or(name, |lube| &lube.name));
    own(put) != own(named)
}

fn unfit(wrench: &Wrench, day: Date) -> Option<Finding> {
    let reason = wrench.calibration(day).warning()?.to_lowercase();
    Some(Finding {
        kind: FindingKind::WrenchOverdue,
        key: wrench.name.clone(),
        fastener: String::new(),
        place: ["bench".to_owned(), "wrenches".to_owned(), wrench.name.clone()],
        lube: None,
        figures: reason.clone(),
        reason,
    })
}

fn past_use(set: &BoltSet, state: &BoltState) -> Option<Finding> {
    let BoltVerdict::Scrap(why) = &state.verdict else { return None };
    Some(Finding {
        kind: FindingKind::BoltPastUse,
        key: set.fastener.clone(),
        fastener: set.fastener.clone(),
        place: ["bench".to_owned(), format!("bolt set {}", set.name), state.bolt.position.clone()],
        lube: None,
        reason: why.clone(),
        figures: format!("{} {}: {why}", set.name, state.bolt.position),
    })
}

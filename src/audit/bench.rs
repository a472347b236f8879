//! What is wrong or doubtful at the bench: wrenches past their day, bolts past
//! their tightenings, joints pulled with another lube than the setting's.

use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::audit::{Finding, FindingKind};
use crate::record::{BoltSet, BoltState, BoltVerdict, Calibration, Log, Pull, Tables, Wrench};
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
        found.extend(bench.wrenches.iter().filter_map(|wrench| overdue(wrench, bench.day)));
    }
    let is_asked = |key: &str| keys.is_none_or(|keys| keys.contains(key));
    for (set, states) in bench.bolts.iter().filter(|(set, _)| is_asked(&set.fastener)) {
        found.extend(states.iter().filter_map(|state| past_use(set, state)));
    }
    for pull in bench.log.current().filter(|pull| is_other_lube(pull, bench.tables)) {
        let fastener = pull.spec.key.split('/').next().unwrap_or_default();
        if is_asked(fastener) {
            let named = pull.spec.setting.lube.as_deref().unwrap_or(crate::record::NOT_STATED);
            let number = bench.log.numbered(pull.number);
            let put = pull.lube.as_deref().unwrap_or(crate::record::NOT_STATED);
            found.push(Finding {
                kind: FindingKind::OtherLube,
                key: pull.spec.key.clone(),
                fastener: fastener.to_owned(),
                place: [pull.assembly.clone(), pull.joint.clone(), pull.spec.part.clone()],
                lube: pull.spec.setting.lube.clone(),
                figures: format!("line {number}: {put}, {named}"),
                reason: format!(
                    "job {}, log line {number}: {put} was put on, the setting is for {named}",
                    pull.job
                ),
            });
        }
    }
    found
}

/// Whether another lube was put on than the setting names; one lube under two
/// of its names is the same. Where either is not written down nothing is said.
pub fn is_other_lube(pull: &Pull, tables: &Tables) -> bool {
    let (Some(put), Some(named)) = (&pull.lube, &pull.spec.setting.lube) else { return false };
    let own = |name: &str| fold_name(tables.lube(name).map_or(name, |lube| &lube.name));
    own(put) != own(named)
}

fn overdue(wrench: &Wrench, day: Date) -> Option<Finding> {
    let calibration = wrench.calibration(day);
    let reason = calibration.warning()?.to_lowercase();
    let (Calibration::Overdue(end) | Calibration::FoundOut(end)) = calibration else { return None };
    Some(Finding {
        kind: FindingKind::WrenchOverdue,
        key: wrench.name.clone(),
        fastener: String::new(),
        place: ["bench".to_owned(), "wrenches".to_owned(), wrench.name.clone()],
        lube: None,
        reason,
        figures: end.to_string(),
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

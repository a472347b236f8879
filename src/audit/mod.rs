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

/// Everything to say about `fasteners`, in their order; findings about a whole
/// joint or assembly stand with its first fastener. Rows of general charts are
/// not anybody's settings: nothing is said of them.
pub fn audit(fasteners: &[Arc<Fastener>], tables: &Tables) -> Vec<Finding> {
    let own: Vec<&Arc<Fastener>> = fasteners.iter().filter(|one| !one.is_chart()).collect();
    let mut found = Vec::new();
    for fastener in &own {
        setting::check(fastener, tables, &mut found);
        source::check(fastener, &mut found);
    }
    for joint in grouped(&own, |one| (one.joint.assembly.as_str(), one.joint.name.as_str())) {
        joint::check(&joint, &mut found);
    }
    for assembly in grouped(&own, |one| (one.joint.assembly.as_str(), "")) {
        fit::check(&assembly, &mut found);
    }
    let place: BTreeMap<&str, usize> =
        own.iter().enumerate().map(|(at, one)| (one.key.as_str(), at)).collect();
    found.sort_by_key(|finding| place.get(finding.fastener.as_str()).copied());
    found
}

/// The fasteners by name, groups in the order in which they are first met.
fn grouped<'a>(
    fasteners: &[&'a Arc<Fastener>],
    name: impl Fn(&'a Fastener) -> (&'a str, &'a str),
) -> Vec<Vec<&'a Arc<Fastener>>> {
    let mut places: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    let mut groups: Vec<Vec<&Arc<Fastener>>> = Vec::new();
    for fastener in fasteners.iter().copied() {
        let next = groups.len();
        let place = *places.entry(name(fastener)).or_insert(next);
        if place == next {
            groups.push(Vec::new());
        }
        groups[place].push(fastener);
    }
    groups
}

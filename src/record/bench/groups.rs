//! Groups of a joint that are pulled one after the other.

use std::collections::BTreeMap;

use crate::record::Fastener;
use crate::record::bench::own_holes;
use crate::text::fold_name;

/// The holes of each group in the order in which the groups are pulled. None
/// unless there are two or more, each fastener has a group and positions, and
/// together they cover the `count` holes once each.
pub(crate) fn groups(fasteners: &[&Fastener], count: usize) -> Option<Vec<Vec<usize>>> {
    let mut holes: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    let mut after: BTreeMap<String, String> = BTreeMap::new();
    let mut named: Vec<String> = Vec::new();
    for fastener in fasteners {
        let group = fold_name(fastener.group.as_deref()?);
        let positions = own_holes(fastener)?;
        if let Some(before) = &fastener.after_group {
            after.insert(group.clone(), fold_name(before));
        }
        if !named.contains(&group) {
            named.push(group.clone());
        }
        holes.entry(group).or_default().extend(positions);
    }
    // Studs or bolts for the same holes: each hole once.
    for group in holes.values_mut() {
        group.sort_unstable();
        group.dedup();
    }
    let mut all: Vec<usize> = holes.values().flatten().copied().collect();
    all.sort_unstable();
    let covers = all.iter().copied().eq(1..=count);
    let chain = in_turn(&named, &after)?;
    (covers && chain.len() > 1)
        .then(|| chain.iter().filter_map(|group| holes.remove(group)).collect())
}

/// The groups so that each stands after the one that it must follow; None if
/// they run in a ring or name one that is not there.
fn in_turn(named: &[String], after: &BTreeMap<String, String>) -> Option<Vec<String>> {
    let mut chain: Vec<String> = Vec::with_capacity(named.len());
    while chain.len() < named.len() {
        let free = |group: &&String| {
            !chain.contains(*group) && after.get(*group).is_none_or(|before| chain.contains(before))
        };
        chain.push(named.iter().find(free)?.clone());
    }
    Some(chain)
}

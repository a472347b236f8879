//! Doubts about a joint as a whole: its order and its count.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::audit::{Finding, FindingKind};
use crate::procedure;
use crate::record::{Fastener, hole_numbers, listed_numbers};

/// From this many holes on a joint wants an order.
const WANTS_ORDER: usize = 4;

/// Adds what is to be said of one joint; `fasteners` are all of it.
pub(super) fn check(fasteners: &[&Arc<Fastener>], found: &mut Vec<Finding>) {
    let Some(first) = fasteners.first() else { return };
    let holes = holes(fasteners);
    match fasteners.iter().find_map(|one| one.joint.order.as_deref()) {
        None if holes.len() >= WANTS_ORDER => {
            let reason = format!("{} holes and no order listed", holes.len());
            let finding = Finding::about(FindingKind::NoOrder, first, &*reason);
            found.push(finding.resting_on(reason));
        }
        None => {}
        Some(order) => {
            if let Some(reason) = order_doubt(order, &holes, fasteners) {
                let counts: Vec<String> =
                    fasteners.iter().filter_map(|one| one.count).map(|n| n.to_string()).collect();
                let figures = format!("{order}; {}; {} holes", counts.join(" "), holes.len());
                let finding = Finding::about(FindingKind::CountDiffers, first, reason);
                found.push(finding.resting_on(figures));
            }
        }
    }
}

/// The holes that the fasteners name by number. Studs and bolts that may stand
/// in the same holes count once.
fn holes(fasteners: &[&Arc<Fastener>]) -> BTreeSet<usize> {
    let named = fasteners.iter().filter_map(|one| one.positions.as_deref());
    named.filter_map(hole_numbers).flatten().collect()
}

/// What is wrong with a listed order of numbers; an order in words is not
/// judged.
fn order_doubt(
    order: &str,
    holes: &BTreeSet<usize>,
    fasteners: &[&Arc<Fastener>],
) -> Option<String> {
    let order = listed_numbers(order).filter(|numbers| numbers.len() > 1)?;
    if let Err(error) = procedure::listed(&order, order.len()) {
        return Some(error.to_string());
    }
    let counts = || fasteners.iter().filter_map(|one| one.count).map(|count| count as usize);
    let fits = holes.len() == order.len()
        || counts().any(|count| count == order.len())
        || counts().sum::<usize>() == order.len();
    let stated = counts().map(|count| count.to_string()).collect::<Vec<_>>().join(" and ");
    (!fits && counts().next().is_some())
        .then(|| format!("the order names {} holes, the count is {stated}", order.len()))
}

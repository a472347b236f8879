//! Doubts about a joint as a whole: its order and its count.

use std::collections::BTreeSet;

use crate::audit::{Finding, FindingKind};
use crate::procedure;
use crate::record::{Fastener, listed_numbers, own_holes};

/// From this many holes on a joint wants an order.
const WANTS_ORDER: usize = 4;

/// What was seen of a joint.
#[derive(Debug)]
pub(super) struct JointSeen {
    /// The place of its first fastener, and a finding about that one.
    first: (usize, Finding),
    order: Option<String>,
    counts: Vec<u32>,
    /// The holes that its fasteners name by number. Studs and bolts that may stand in
    /// the same holes count once.
    holes: BTreeSet<usize>,
}

impl JointSeen {
    /// A joint whose first fastener, at `place`, is `first`.
    pub(super) fn begin(place: usize, first: &Fastener) -> Self {
        let first = (place, Finding::about(FindingKind::NoOrder, first, ""));
        Self { first, order: None, counts: Vec::new(), holes: BTreeSet::new() }
    }

    pub(super) fn take(&mut self, fastener: &Fastener) {
        if self.order.is_none() {
            self.order.clone_from(&fastener.joint.order);
        }
        self.counts.extend(fastener.count);
        self.holes.extend(own_holes(fastener).into_iter().flatten());
    }

    /// What is to be said of it, with the place of its first fastener.
    pub(super) fn judged(self) -> Option<(usize, Finding)> {
        let Self { first: (place, about), order, counts, holes } = self;
        let found = match order {
            None if holes.len() >= WANTS_ORDER => {
                let reason = format!("{} holes and no order listed", holes.len());
                Finding { reason: reason.clone(), ..about }.resting_on(reason)
            }
            None => return None,
            Some(order) => {
                let reason = order_doubt(&order, &holes, &counts)?;
                let counts: Vec<String> = counts.iter().map(ToString::to_string).collect();
                let figures = format!("{order}; {}; {} holes", counts.join(" "), holes.len());
                let kind = FindingKind::CountDiffers;
                Finding { kind, reason, ..about }.resting_on(figures)
            }
        };
        Some((place, found))
    }
}

/// What is wrong with a listed order of numbers; an order in words is not
/// judged.
fn order_doubt(order: &str, holes: &BTreeSet<usize>, counts: &[u32]) -> Option<String> {
    let order = listed_numbers(order).filter(|numbers| numbers.len() > 1)?;
    if let Err(error) = procedure::listed(&order, order.len()) {
        return Some(error.to_string());
    }
    let counts = || counts.iter().map(|count| *count as usize);
    let fits = holes.len() == order.len()
        || counts().any(|count| count == order.len())
        || counts().sum::<usize>() == order.len();
    let stated = counts().map(|count| count.to_string()).collect::<Vec<_>>().join(" and ");
    (!fits && counts().next().is_some())
        .then(|| format!("the order names {} holes, the count is {stated}", order.len()))
}

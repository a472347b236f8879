//! Doubts about a joint as a whole: its order and its count.

use std::sync::Arc;

use crate::audit::{Finding, FindingKind};
use crate::procedure;
use crate::record::{Duty, Fastener};

/// From this many fasteners on a joint wants an order.
const WANTS_ORDER: u32 = 4;

/// Adds what is to be said of one joint; `fasteners` are all of it.
pub(super) fn check(fasteners: &[&Arc<Fastener>], found: &mut Vec<Finding>) {
    let Some(first) = fasteners.first() else { return };
    let count: u32 = fasteners.iter().filter_map(|one| one.count).sum();
    let order = fasteners.iter().find_map(|one| one.joint.order.as_deref());
    match order {
        None => {
            let own = matches!(first.joint.duty, Some(Duty::SparkPlug | Duty::Wheel));
            let flat =
                fasteners.iter().any(|one| one.joint.layout.is_some() || one.positions.is_some());
            if count >= WANTS_ORDER && flat && !own {
                let reason = format!("{count} fasteners and no order listed");
                found.push(Finding::about(FindingKind::NoOrder, first, reason));
            }
        }
        Some(order) => {
            if let Some(reason) = order_doubt(order, count) {
                found.push(Finding::about(FindingKind::CountDiffers, first, reason));
            }
        }
    }
}

/// What is wrong with a listed order of numbers; an order in words is not
/// judged.
fn order_doubt(order: &str, count: u32) -> Option<String> {
    let numbers: Option<Vec<usize>> = order
        .split([',', '-', ' ', ';'])
        .filter(|piece| !piece.is_empty())
        .map(|piece| piece.parse().ok())
        .collect();
    let numbers = numbers.filter(|numbers| numbers.len() > 1)?;
    let holes = if count == 0 { numbers.len() } else { count as usize };
    procedure::listed(&numbers, holes).err().map(|error| error.to_string())
}

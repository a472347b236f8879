//! Threads that are easily mistaken for each other.

use crate::record::Row;
use crate::thread::{BY_FINGERS, Danger, LookAlike, Role, Thread, look_alikes};

/// Diameters further apart than this share of each other have no thread height
/// in common that could be mistaken.
const CONFUSED_WITHIN: f64 = 0.25;
/// Pairs of threads named.
const PAIRS_NAMED: usize = 3;

/// Pairs of threads of which both are in the answer: those that run on and
/// strip, or else the worst that binds.
pub(crate) fn confused(rows: &[&Row]) -> Option<String> {
    let mut threads: Vec<&Thread> = Vec::new();
    for row in rows {
        for thread in row.fastener.thread.iter().chain(&row.fastener.hole_thread) {
            if !threads.contains(&thread) {
                threads.push(thread);
            }
        }
    }
    let near = threads.iter().filter(|one| threads.iter().any(|other| may_be_confused(one, other)));
    let mut pairs: Vec<LookAlike> = near.flat_map(|thread| look_alikes(thread)).collect();
    pairs.retain(|pair| {
        let counts = pair.danger >= Danger::Binds && pair.other_is == Role::Nut;
        counts && threads.contains(&&pair.other)
    });
    // The more of the thread they share, the better a wrong pair feels.
    pairs.sort_by(|a, b| {
        let shared = b.shared.value().total_cmp(&a.shared.value());
        b.danger.cmp(&a.danger).then(shared)
    });
    let runs = pairs.iter().filter(|pair| pair.danger == Danger::Runs).count();
    pairs.truncate(runs.clamp(1, PAIRS_NAMED));
    let named: Vec<String> = pairs.iter().map(|pair| format!("{pair}.")).collect();
    (!named.is_empty()).then(|| format!("{} {BY_FINGERS}", named.join(" ")))
}

/// Whether it is worth looking the pair up: near in diameter, and not two
/// pitches of one size, which do not start in each other.
fn may_be_confused(one: &Thread, other: &Thread) -> bool {
    let (a, b) = (one.nominal(), other.nominal());
    let same_size = a == b && one.series().family() == other.series().family();
    !same_size && (a / b - 1.0).abs() < CONFUSED_WITHIN
}

//! Which end of a stud a thread that was asked for is.

use crate::query::resolve::Test;
use crate::record::Row;
use crate::thread::Thread;

/// Says so on a row that was found by its hole end alone: the torque belongs to
/// the other.
pub(super) fn say(filter: &Test, row: &mut Row) {
    let (Some(turned), Some(hole)) = (&row.fastener.thread, &row.fastener.hole_thread) else {
        return;
    };
    if asks_for(filter, hole) && !asks_for(filter, turned) {
        row.warnings.push(format!("{hole} is the hole end: the torque belongs to {turned}"));
    }
}

/// Whether `test` looks for `thread` at either end.
fn asks_for(test: &Test, thread: &Thread) -> bool {
    match test {
        Test::All(tests) | Test::Any(tests) => tests.iter().any(|test| asks_for(test, thread)),
        Test::Thread(pattern) => pattern.matches(thread),
        _ => false,
    }
}

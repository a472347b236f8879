//! The pull log: one line for each fastener of a joint and visit, appended and
//! never altered; a correction is a new line that points at the old one.

mod bolts;
mod book;
mod done;
mod fields;
mod pull;
mod recall;
mod set_fields;

pub use bolts::{Bolt, BoltSet, BoltState, BoltVerdict};
pub use book::{Log, LogError, NOT_SENT_YET};
pub use done::{PassDone, Reached};
pub use fields::LOG_LINES;
pub use pull::{Pull, PullKind, Snapshot, WrenchUsed};
pub use recall::Recall;
pub use set_fields::BOLT_SETS;

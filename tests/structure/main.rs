//! The shape of the code: floors, lengths, documentation.

#![allow(clippy::unwrap_used, reason = "a test panics on what must not be")]

mod docs;
mod fields;
mod floors;
mod lines;
#[path = "../support/made.rs"]
mod made;

//! The language of questions: threads, grammar, what is found, what is refused.

#![allow(clippy::unwrap_used, reason = "a test panics on what must not be")]

mod diagnostics;
mod grammar;
#[path = "../support/made.rs"]
mod made;
#[path = "../support/program.rs"]
mod program;
mod questions;
#[path = "../support/sample.rs"]
mod sample;
mod speed;
mod threads;

//! The bench: passes, orders, wrenches, layouts, bolt sets, the sheet and the log.

#![allow(clippy::unwrap_used, reason = "a test panics on what must not be")]
#![allow(clippy::print_stdout, reason = "a test says why it was skipped")]

#[path = "../support/answers.rs"]
mod answers;
mod commands;
mod duties;
mod log;
mod misread;
mod passes_order;
mod plain;
#[path = "../support/program.rs"]
mod program;
mod records;
mod screens;
mod sheet;

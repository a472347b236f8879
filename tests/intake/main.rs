//! Files of shops: cells, headings, whole files, questions asked, what comes back out.

#![allow(clippy::unwrap_used, reason = "a test panics on what must not be")]

mod asked;
mod by_program;
mod cells;
mod corrected;
mod doubtful;
mod export;
mod files;
mod fuzz;
mod hidden;
mod json;
mod layouts;
mod long;
#[path = "../support/made.rs"]
mod made;
mod mapping;
mod own_records;
#[path = "../support/program.rs"]
mod program;
mod progress;
#[path = "../support/sample.rs"]
mod sample;
mod seed_data;
mod sheets;
mod shop_sheets;
mod support;
#[path = "../support/terminal.rs"]
mod terminal;
mod workbooks;

//! The commands and what they print, on a terminal and for programs.

#![allow(clippy::unwrap_used, reason = "a test panics on what must not be")]
#![allow(clippy::print_stdout, reason = "a test says why it was skipped")]

#[path = "../support/answers.rs"]
mod answers;
mod basics;
mod check;
mod edit;
mod edit_tables;
mod every_form;
#[path = "../support/held.rs"]
mod held;
mod help;
#[path = "../support/program.rs"]
mod program;
mod prompt;
mod reading;
mod report;
mod saved_questions;
mod shells;
#[path = "../support/terminal.rs"]
mod terminal;
mod tour;
mod undo;
mod unknown_words;

//! Questions and the rows that answer them, on a small invented book.

#![allow(clippy::unwrap_used)] // a helper that fails fails its test

mod besides;
mod book;
mod clauses;
mod filters;
mod mistakes;
mod plans;
#[allow(dead_code, clippy::unnecessary_wraps)] // the tests of the store use the rest
#[path = "../store/sample.rs"]
mod sample;

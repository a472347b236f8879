//! A book on a server: the tests of the store that hold wherever a book is kept, many
//! benches at once through a network that fails, and a bench without its server.
//!
//! The server is PostgreSQL, started by the tests in a folder of their own. Built with
//! `cargo test --features postgres --test server`.
#![allow(clippy::unwrap_used)] // a helper that fails fails its test
#![allow(clippy::print_stdout)] // how a child process tells what it did

#[path = "../store/bench.rs"]
mod bench;
mod benches;
#[path = "../store/changes.rs"]
mod changes;
mod copies;
mod crowd;
mod cuts;
#[path = "../support/databases.rs"]
mod databases;
#[path = "../store/history.rs"]
mod history;
mod kept;
#[path = "../store/look_up.rs"]
mod look_up;
#[path = "../support/made.rs"]
mod made;
mod offline;
mod passwords;
#[path = "../support/program.rs"]
mod program;
mod proxy;
#[path = "../store/round_trip.rs"]
mod round_trip;
#[path = "../support/sample.rs"]
mod sample;
#[path = "../support/terminal.rs"]
mod terminal;
mod tls;

//! The book on the disk: round trips, changes, what is said of wrong folders,
//! and what is left after a kill, damage or a full disk.
#![allow(clippy::unwrap_used)] // a helper that fails fails its test
#![allow(clippy::print_stdout)] // how a child process tells what it did

mod bench;
mod changes;
mod child;
mod crowd;
mod damage;
mod fault;
mod folders;
mod formats;
mod frames;
mod full_disk;
mod history;
mod kept;
mod kill;
mod ledger;
mod look_up;
#[path = "../support/made.rs"]
mod made;
mod memory;
mod mend;
mod places;
#[path = "../support/program.rs"]
mod program;
mod round_trip;
#[path = "../support/sample.rs"]
mod sample;
mod speed;
mod spoiled;
mod user_files;

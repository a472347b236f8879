//! The book on the disk: round trips, changes, what is said of wrong folders.

mod changes;
mod folders;
mod look_up;
mod round_trip;
mod sample;

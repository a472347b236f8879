//! The read image: what answers questions. One immutable, checksummed file,
//! read by positioned reads of only what is needed.
//!
//! DEVELOPERS.md describes it byte by byte. In short: a header page names the
//! sections; `records` holds pieces of 16 fasteners, `pieces` where each one
//! is; `tables` and `names` are read whole; each index has blocks of sorted
//! terms with the ordinals of the fasteners that have them, and fences that
//! say which block a term is in. Everything read is checked first.

mod build;
mod columns;
mod file;
mod header;
mod lists;
mod merge;
mod names;
mod postings;
mod read;
mod sweep;
mod verify;

pub(crate) use build::{ImageWriter, WriteError};
pub(crate) use columns::{figures, is_between};
pub(crate) use file::{ReadError, bad};
pub(crate) use header::{Counts, newer_form};
pub(crate) use names::NamesRow;
pub(crate) use read::{Candidates, Image};
pub(crate) use sweep::{Swept, Wanted, on_cores, threads};

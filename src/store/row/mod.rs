//! Rows as they lie on the disk: numbered members, one list for the book and
//! for the backup.
//!
//! [`numbers`] lists every member, word and variant with the number that it
//! has for ever. A record is taken apart there without `..`, a choice matched
//! without `_`: what is missing in the list does not compile. A row is the
//! version and then the record: a count, then rising pairs of number and
//! value, of what is stated alone. In a backup a member has its name in place
//! of its number.

mod leaf;
mod list;
mod numbers;
mod rows;
mod stored;

pub(crate) use list::{Unusable, in_use, known};
pub(crate) use stored::{Put, Stored, Take};

/// The form of everything on the disk: `current`, image, rows, backup. Forms 1
/// and 2 were never released.
pub(crate) const FORM: u8 = 3;

#[cfg(test)]
mod fuzz;

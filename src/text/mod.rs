//! Text as people type it: places in it, what is wrong there, its odd blanks
//! and signs, and the nearest known word.
//!
//! Nothing here knows a quantity, a thread or a field.

mod accents;
mod clean;
mod diagnostic;
mod nearest;
mod people;
mod plain;
mod quick;
mod spreadsheet;

pub use accents::{transliterated, unmarked, without_accents};
pub use clean::{
    fold_name, folds_to, hidden_in, printable, taken_out, with_fractions, without_hidden,
};
pub use diagnostic::{Diagnostic, Span};
pub use nearest::nearest;
pub use people::{ForPeople, for_people};
pub use plain::Plain;
pub use quick::{QuickMap, QuickSet, quick_hash};
pub use spreadsheet::is_changed_by_a_spreadsheet;

//! Files to records, with a report of every cell that was not simply taken.
//!
//! The flow: bytes → [`read_csv`] → [`Sheet`] (rows under a header) → [`take()`]
//! → [`Report`]. In between, `columns` reads the headings by walking FIELDS,
//! `row` reads each cell by the reader of its kind in `cells`, `finish` makes
//! a row whole, `gather` brings the rows of one fastener together, and `merge`
//! holds them against the book. Nothing is stored here, nothing is drawn, and
//! no unit is guessed from the size of a number.

mod cells;
mod columns;
mod decode;
mod draft;
mod error;
mod existing;
mod finish;
mod gather;
mod group;
#[cfg(feature = "spreadsheet")]
mod guard;
mod header;
mod json;
mod merge;
mod names;
mod open;
mod options;
mod outcome;
mod patches;
pub mod reference;
mod row;
mod row_parts;
mod sheet;
mod slots;
mod split;
mod take;
mod verdict;
mod wide_slots;
#[cfg(feature = "spreadsheet")]
mod workbook;

pub use decode::Encoding;
pub use error::IntakeError;
pub use existing::{EmptyBook, Existing, Held};
pub use header::{Column, Heading};
pub use json::read_json;
pub use open::read_any;
pub use options::{Answers, Options};
pub use outcome::{BadRow, Change, Changes, Counts, Report, SettingChange};
pub use sheet::{Sheet, open_csv, read_csv};
pub use take::{take, take_each};
pub use verdict::{CellVerdict, Place, Verdict};
#[cfg(feature = "spreadsheet")]
pub use workbook::read_workbook;

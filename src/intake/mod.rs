//! Files to records, with a report of every cell that was not simply taken.
//!
//! The flow: bytes → [`read_any`] → [`Sheet`] (rows of cells) → [`take()`] →
//! [`Report`]. In between, `survey` understands the sheet before its cells are read:
//! where its tables stand, what each column holds by its heading and by what is below
//! it, what titles say. Then `reading` goes over the rows, `row` reads each cell by the
//! reader of its kind in `cells`, `finish` makes a row whole, `gather` brings the rows
//! of one fastener together, `merge` holds them against the book, and `gone` finds
//! what the book has from the same source and the file no longer. Nothing is stored
//! here, nothing is drawn, and no unit is guessed from the size of a number.

mod cell_reading;
mod cells;
mod decode;
mod dittos;
mod doubts;
mod draft;
mod edit;
mod ends;
mod entry;
mod error;
mod existing;
mod fields;
mod finish;
mod fixed_width;
mod gather;
mod gone;
#[cfg(feature = "spreadsheet")]
mod guard;
mod header;
mod heading_figures;
mod heading_parts;
mod heading_words;
#[cfg(feature = "spreadsheet")]
mod hidden;
mod identity;
mod json;
mod json_groups;
mod leaders;
mod leftovers;
mod lube_words;
mod mapping;
mod merge;
mod names;
#[cfg(feature = "spreadsheet")]
mod number_formats;
mod once_words;
mod open;
mod options;
mod outcome;
mod passes;
mod position;
mod questions;
mod quick_doubts;
mod reading;
pub mod reference;
mod reshape;
mod row;
mod row_parts;
mod row_reading;
mod row_words;
mod sheet;
mod sideways;
mod sink;
mod split;
mod suggest;
mod survey;
mod table;
mod take_over;
mod verdict;
mod walk;
mod words;
#[cfg(feature = "spreadsheet")]
mod workbook;

pub use decode::Encoding;
pub use edit::{Cell, EditError, Edited, cell_in_words, edited, typed};
pub use error::IntakeError;
pub use existing::{EmptyBook, Existing};
pub use gone::Gone;
pub use header::{Column, Heading};
pub use json::read_json;
pub use leftovers::leftovers;
pub use mapping::{read_mapping, with_answers};
pub use open::{open_any, read_any};
pub use options::{Answers, Columns, Options};
pub use outcome::{BadRow, Change, Changes, Counts, Report, SettingChange};
pub use questions::Question;
pub use sheet::{Page, Sheet, open_csv, read_commas, read_csv};
pub use sink::Sink;
pub use suggest::suggest_mapping;
pub use survey::{ColumnRead, Conclusion, check};
pub use table::{Table, read_comma_table, read_table};
pub use verdict::{CellPlace, CellVerdict, Verdict};
pub use walk::{take, take_into};
#[cfg(feature = "spreadsheet")]
pub use workbook::read_workbook;

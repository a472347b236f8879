//! All drawing: tables, JSON, CSV, carets under a text. Nothing here prints,
//! reads a terminal or knows the store: everything returns text.

mod cautions;
mod cells;
mod columns;
mod figures;
mod grid;
mod json;
mod lay;
mod letters;
mod notes;
mod pull;
mod show;
mod stacked;
mod style;
mod table;
mod tally;
mod units;
mod values;

pub use json::{Json, find_json};
pub use style::Style;
pub use table::find_table;

//! All drawing: tables, JSON, CSV, carets under a text. Nothing here prints,
//! reads a terminal or knows the store: everything returns text.

mod figures;
mod grid;
mod lay;
mod style;
mod units;

pub use style::Style;

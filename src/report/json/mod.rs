//! JSON: the same answers for a program, values unrounded and in SI units.

mod export;
mod row;

pub use export::{export_json, export_json_lines};
pub(crate) use row::{column_key, row_json, snake};

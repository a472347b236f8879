//! JSON: the same answers for a program, values unrounded and in SI units.

mod answer;
mod export;
mod lubes;
mod row;
mod value;

pub(crate) use answer::find_value;
pub use answer::{find_json, find_json_line};
pub use export::{export_json, export_json_lines};
pub use lubes::lubes_json;
pub(crate) use row::{column_key, row_json};
pub use value::Json;

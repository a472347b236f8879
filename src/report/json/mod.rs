//! JSON: the same answers for a program, values unrounded and in SI units.

mod answer;
mod row;
mod value;

pub use answer::find_json;
pub use value::Json;

//! Running a planned question: records to rows to an answer.

mod answer;

pub use answer::{Answer, Column, Group, Tally, UnitsWanted};

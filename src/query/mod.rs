//! Questions.
pub mod run;

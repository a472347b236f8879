//! A setting restated for another lube or for a target clamp, or refused with
//! the reason.
//!
//! Conversion keeps the clamp: T2 = T1·(K2/K1). It is allowed only where every
//! rule of [`Refusal`] is kept; a listed value always stands before a computed
//! one, and nothing is averaged.

mod chart;
mod compare;
mod limits;
mod lubes;
mod restate;
mod rules;
mod shape;
mod target;

pub use crate::record::Refusal;
pub use compare::{
    ClampVerdict, Comparison, Comparisons, WrongLube, compare, stored_row, stored_rows,
};
pub use limits::limits;
pub use lubes::with_lubes;
pub use restate::{computed_setting, restate};
pub use shape::AGREE_WITHIN;
pub use target::{target_torque, target_torque_unchecked};

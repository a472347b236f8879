//! What a person does at the bench, as pure functions: the passes in which a
//! torque is pulled, the order of the fasteners, what the wrench is set to.
//!
//! Nothing here knows a record or an adapter; whether passes may be generated
//! at all for a setting is decided where the setting is known.

mod area;
mod circle;
mod error;
mod order;
mod passes;
mod wrench;

pub use area::{Walk, area, grid};
pub use circle::{circle, circle_of, is_circle};
pub use error::ProcedureError;
pub use order::{Order, Point, Rule, ends, grouped, layout, listed};
pub use passes::{Passes, are_even, equal_passes, share_passes};
pub use wrench::{OnScale, Pick, Setting, Usable, Wrench, best_wrench};

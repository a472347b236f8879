//! A torque restated for another lube, and every reason why it is not.

mod lubes;
mod properties;
mod refusals;
pub(crate) mod sample;
mod worked;

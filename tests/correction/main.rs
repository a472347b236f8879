//! A torque restated for another lube, and every reason why it is not.

#![allow(clippy::unwrap_used)] // a helper that fails fails its test

mod lubes;
mod properties;
#[path = "../reference/mod.rs"]
mod reference;
mod refusals;
mod sample;
mod worked;

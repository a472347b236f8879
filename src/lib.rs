//! A fastener and torque specification book with a question language.

pub mod quantity;
pub mod query;
pub mod text;
pub mod thread;

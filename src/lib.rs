//! A fastener and torque specification book with a question language.

pub mod mechanics;
pub mod procedure;
pub mod quantity;
pub mod text;
pub mod thread;

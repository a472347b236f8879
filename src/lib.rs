//! A fastener and torque specification book with a question language.

pub mod correction;
pub mod mechanics;
pub mod procedure;
pub mod quantity;
pub mod query;
pub mod record;
pub mod report;
pub mod store;
pub mod text;
pub mod thread;

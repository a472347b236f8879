//! A fastener and torque specification book with a question language.
//!
//! A question flows from text to answer through [`query`]: parse, resolve, plan,
//! run; [`report`] draws what it returns. Modules below stand in floor order: each
//! imports only from those above it (see DEVELOPERS.md).

pub mod text;

pub mod quantity;

pub mod thread;

pub mod mechanics;
pub mod procedure;

pub mod record;

pub mod audit;
pub mod correction;

pub mod intake;
pub mod store;

pub mod query;

pub mod report;

pub mod cli;

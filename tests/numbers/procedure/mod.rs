//! What a person does at the wrench: passes and orders.

mod orders;
mod passes;

//! What is computed: units, mechanics, derived figures, corrections, passes, orders.

#![allow(clippy::unwrap_used, reason = "a test panics on what must not be")]

mod calc;
mod correction;
mod derive;
mod engineer;
#[path = "../support/held.rs"]
mod held;
mod mechanics;
mod procedure;
#[path = "../support/program.rs"]
mod program;
#[path = "../support/reference.rs"]
mod reference;
mod units;

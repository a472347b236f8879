//! The documents tell the truth: what they show is run and compared.

#![allow(clippy::unwrap_used, reason = "a test panics on what must not be")]

mod questions;
mod shown;
mod sixty;

//! Mechanics against hand-worked figures, published tables and worked examples.

mod by_hand;
mod properties;
mod refusals;
mod tables;
mod worked;

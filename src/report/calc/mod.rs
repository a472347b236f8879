//! Sums without a book: each form of `calc` is a [`Page`] of figures with the
//! working that leads to them, drawn as text, JSON or CSV from the one list.

mod adapter;
mod amount;
mod engage;
mod figure;
mod heat;
mod joint;
mod page;
mod prevailing;
mod stretch;
mod sum;
mod turn;

pub use adapter::AdapterSum;
pub use engage::{EngageSum, Engaged};
pub use heat::{HeatSum, Warm};
pub use joint::{JointSum, Parts};
pub use page::Page;
pub use prevailing::PrevailingSum;
pub use stretch::{FreeLength, Nearness, StretchAim, StretchSum};
pub use sum::{Aim, TorqueSum};
pub use turn::{TurnAim, TurnSum};

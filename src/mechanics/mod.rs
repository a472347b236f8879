//! The arithmetic of a bolted joint: pure functions over typed quantities and
//! [`crate::thread::Geometry`], one file per relation.
//!
//! Nothing here knows a record, a lube by its name or a file. No coefficient of
//! friction and no nut factor is a constant: both come from lube data. Every
//! function gives a finite result or a [`MechanicsError`] that names the field.
//!
//! Sources are named as: VDI 2230 = VDI 2230 Blatt 1 (2003); Shigley = Shigley's
//! Mechanical Engineering Design, 9th ed.; FED-STD-H28/2B; AC 43.13-1B (1998).

mod area;
mod error;
mod friction;
mod preload;
mod scatter;
mod stress;

pub use area::{Place, Section, Sections, round_section};
pub use error::MechanicsError;
pub use friction::{Bearing, Form, thread_lever};
pub use preload::{Strength, Target};
pub use scatter::{Band, Control, FormRange, SCATTER, ScatterRow};
pub use stress::{TORSION_LEFT, clamp_at_combined, combined, combined_after, of_strength, tension};

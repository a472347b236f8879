//! Screw threads: series, designations, basic geometry, look-alikes.

mod designation;
mod geometry;

pub use designation::{Pattern, Pitch, Series, Size, Thread, ThreadError};
pub use geometry::Geometry;

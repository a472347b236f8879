//! Screw threads: series, designations, basic geometry, look-alikes.
//!
//! [`SERIES`] is the one table of thread series with their sizes and pitches;
//! reading, printing, asking for a missing pitch and finding look-alikes all
//! walk it. A [`Thread`] is complete, a [`Pattern`] is what a question asks for.

mod cursor;
mod designation;
mod error;
mod geometry;
mod look_alike;
mod pattern;
mod read;
mod series;
mod settle;
mod size;
mod sizes;

pub use designation::Thread;
pub use error::ThreadError;
pub use geometry::Geometry;
pub use look_alike::{BY_FINGERS, Danger, LookAlike, Role, TURNS_BY, look_alikes};
pub use pattern::Pattern;
pub use series::{Family, Profile, SERIES, Series, SeriesRow};
pub use size::{Pitch, Size, SizeKind};

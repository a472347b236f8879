//! Basic geometry of a thread.

use crate::quantity::{Angle, Area, Length};

/// The basic (nominal) profile of one thread, from which mechanics computes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Geometry {
    /// Nominal major diameter d.
    pub major: Length,
    /// Axial pitch P.
    pub pitch: Length,
    /// Basic pitch diameter d2.
    pub pitch_diameter: Length,
    /// Basic minor diameter d1 (of the internal thread).
    pub minor_diameter: Length,
    /// Root diameter d3 of the external thread.
    pub root_diameter: Length,
    /// Tensile stress area.
    pub stress_area: Area,
    /// Included flank angle: 60°, 55° or 47.5°.
    pub flank_angle: Angle,
}

//! The arithmetic of a bolted joint: pure functions over typed quantities and
//! [`crate::thread::Geometry`], one file per relation.
//!
//! Nothing here knows a record, a lube by its name or a file. No coefficient of
//! friction and no nut factor is a constant: both come from lube data. Every
//! function gives a finite result or a [`MechanicsError`] that names the field.
//!
//! Sources are named as: VDI 2230 = VDI 2230 Blatt 1 (2003); Shigley = Shigley's
//! Mechanical Engineering Design, 9th ed.; FED-STD-H28/2B; AC 43.13-1B (1998).

mod adapter;
mod area;
mod bearing;
mod convert;
mod engagement;
mod error;
mod formula;
mod friction;
mod mixup;
mod preload;
mod prevailing;
mod scatter;
mod stiffness;
mod stress;
mod stretch;
mod strict;
mod thermal;

pub use adapter::Attachment;
pub use area::{Section, SectionAt, Sections, round_section};
pub use bearing::{AssumedBearing, Head, standard_bearing};
pub use convert::{RATIO_LIMIT, RatioCheck, at_equal_clamp, lever_ratio, ratio_check};
pub use engagement::{RULES_OF_THUMB, RuleOfThumb, SHEAR_SHARE, StripLimits, Strips, ThreadPair};
pub use error::{MechanicsError, Shown};
pub use formula::Formula;
pub use friction::{Bearing, Form, thread_lever};
pub use mixup::{Bounds, Doubt, Plausible, judge};
pub use preload::{Strength, Target};
pub use prevailing::{Prevailing, PrevailingRule, clamping_torque, wrench_torque};
pub use scatter::{Clamp, Control, FormRange, SCATTER, ScatterRow};
pub use stiffness::{
    Joint, Layer, Segment, SegmentPart, Spread, Stiffness, clamped_layers, in_a_row, tube_section,
};
pub use stress::{
    ROUNDING, TORSION_LEFT, clamp_at_combined, combined, combined_after, exceeds, is_past, tension,
};
pub use stretch::{
    Between, CUSTOMARY_SET, End, EndToEnd, PermanentSet, clamp_at_stretch, permanent_set,
    stretch_at,
};
pub use strict::{STRICT_ABOVE, least_pitch_diameter, nearest_drill, strict_area};
pub use thermal::{Expansion, MATERIALS, Material, Warmed, clamp_change};

/// The formulas that `--why` prints; each stands beside its function.
pub mod formulas {
    pub use super::adapter::{ADAPTER, AT_BOLT, AT_BOLT_MULTIPLIED, MULTIPLIER, ON_AXIS};
    pub use super::area::{ROUND_AREA, STRESS_AREA};
    pub use super::convert::{CHART_RULE, CONVERT_K, CONVERT_MU, RATIO};
    pub use super::engagement::{ENGAGEMENT, STRIP_EXTERNAL, STRIP_INTERNAL, STRIP_LOAD};
    pub use super::friction::{CLAMP, EQUIVALENT_K, LONG_LEVER, SHORT_LEVER, TORQUE, TWIST};
    pub use super::preload::{AT_PROOF, AT_YIELD, BREAKING, STRENGTH_LOAD};
    pub use super::prevailing::{ADD_FROM_THIRD, ADD_PREVAILING, LESS_PREVAILING};
    pub use super::scatter::{BAND_FRICTION, BAND_METHOD};
    pub use super::stiffness::{
        CLAMP_OF_TURN, CONE, CONES, LOAD_SHARE, SEGMENT, SLEEVE, TOGETHER, TURN_OF_CLAMP,
    };
    pub use super::stress::{AT_COMBINED, COMBINED, COMBINED_AFTER, OF_PROOF, OF_YIELD, TENSION};
    pub use super::stretch::{CLAMP_OF_STRETCH, SET, STRETCH};
    pub use super::strict::STRICT_AREA;
    pub use super::thermal::HEAT;
}

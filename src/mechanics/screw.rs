//! The exact screw: a nut as a load on a helix.
//!
//! The forms in [`crate::mechanics::Form`] leave out the product of slope and
//! friction; this one does not, and shows by how much they differ.

use std::f64::consts::PI;

use crate::mechanics::MechanicsError;
use crate::mechanics::error::{coefficient, positive, result, within};
use crate::quantity::{Angle, Force, Length, Ratio, Torque};
use crate::thread::Geometry;

/// A screw with a turned face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Screw {
    /// Advance in one turn, mm: the pitch, times the starts.
    pub lead: Length,
    /// Mean diameter of the thread dm, mm.
    pub mean_diameter: Length,
    /// Half the flank angle α: 30° for metric and unified, 0° for square.
    pub half_flank: Angle,
    /// Friction coefficient of the thread.
    pub thread_friction: Ratio,
    /// Friction coefficient of the face.
    pub face_friction: Ratio,
    /// Mean diameter of the face, mm.
    pub face_diameter: Length,
}

impl Screw {
    /// A fastener as textbooks take it: dm the mean of major diameter and
    /// d − 1.299·P, which is the pitch diameter, and a face of 1.25·d (Shigley
    /// eq. 8-26 with the minor diameter of its Table 8-2).
    pub fn textbook(thread: &Geometry, thread_friction: Ratio, face_friction: Ratio) -> Self {
        Self {
            lead: thread.pitch,
            mean_diameter: thread.pitch_diameter,
            half_flank: thread.flank_angle / 2.0,
            thread_friction,
            face_friction,
            face_diameter: thread.major * 1.25,
        }
    }

    /// Torque that tightens against `clamp`, N·m: F·dm/2·(tan λ + f·sec α) /
    /// (1 − f·tan λ·sec α) + F·fc·dc/2, tan λ = lead/(π·dm) (Shigley eq. 8-5,
    /// 8-6). An error where friction locks the screw.
    pub fn tightening(&self, clamp: Force) -> Result<Torque, MechanicsError> {
        let (slope, rub, face) = self.parts()?;
        let clamp = positive("clamp", clamp)?;
        let locked = result("1 - f tan", Ratio::from_value(1.0 - slope * rub), "thread friction")?;
        let arm = self.mean_diameter / 2.0 * ((slope + rub) / locked.value());
        result("torque", clamp * (arm + face), "clamp")
    }

    /// Torque that loosens under `clamp`, N·m: F·dm/2·(f·sec α − tan λ) /
    /// (1 + f·tan λ·sec α) + F·fc·dc/2. An error if the screw runs back alone.
    pub fn loosening(&self, clamp: Force) -> Result<Torque, MechanicsError> {
        let (slope, rub, face) = self.parts()?;
        let clamp = positive("clamp", clamp)?;
        let arm = self.mean_diameter / 2.0 * ((rub - slope) / (1.0 + slope * rub));
        result("loosening torque", clamp * (arm + face), "thread friction")
    }

    /// tan λ, f·sec α and the face's arm fc·dc/2.
    fn parts(&self) -> Result<(f64, f64, Length), MechanicsError> {
        let lead = positive("lead", self.lead)?;
        let mean = positive("mean diameter", self.mean_diameter)?;
        let flank = within("half flank angle", self.half_flank, 0.0, 45.0)?;
        let friction = coefficient("thread friction", self.thread_friction)?;
        let face = coefficient("face friction", self.face_friction)?;
        let arm = positive("face diameter", self.face_diameter)? / 2.0 * face.value();
        let slope = lead / (mean * PI);
        Ok((slope, friction.value() / flank.deg().to_radians().cos(), arm))
    }
}

//! Torque and clamp: the short form with a nut factor, the long form with
//! separate friction of thread and bearing face.

use std::f64::consts::TAU;

use crate::mechanics::MechanicsError;
use crate::mechanics::area::sound;
use crate::mechanics::error::{coefficient, positive, result, smaller, within};
use crate::mechanics::formula::Formula;
use crate::quantity::{Force, Length, Ratio, Torque};
use crate::thread::Geometry;

pub static LONG_LEVER: Formula = Formula::new(
    "l = P/2π + μt·(d2/2)/cos β + μb·(Do + Dh)/4",
    "VDI 2230 Blatt 1 (2003), ISO 16047; 1/cos 30° = 1.155 there",
);

pub static SHORT_LEVER: Formula = Formula::new("l = K·d", "Shigley 9th ed. eq. 8-27: T = K·F·d");

pub static EQUIVALENT_K: Formula = Formula::new("K = l/d", "Shigley 9th ed. eq. 8-27");

pub static CLAMP: Formula =
    Formula::new("F = T/l", "Shigley 9th ed. eq. 8-27; VDI 2230, M = F·lever");

pub static TORQUE: Formula =
    Formula::new("T = F·l", "Shigley 9th ed. eq. 8-27; VDI 2230, M = F·lever");

pub static TWIST: Formula = Formula::new("Tt = F·(P/2π + μt·(d2/2)/cos β)", "VDI 2230 (2003), M_G");

/// The ring on which the turned part slides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bearing {
    /// Outer diameter of the ring: washer face of the head or nut, mm.
    pub outer: Length,
    /// Diameter of the hole under it, mm.
    pub hole: Length,
}

impl Bearing {
    /// Mean radius of friction r_b = (outer + hole) / 4, mm.
    ///
    /// Valid for an even pressure on a flat ring, outer > hole. Source: VDI 2230,
    /// D_Km = (d_W + D_Ki) / 2; ISO 16047.
    pub fn radius(&self) -> Result<Length, MechanicsError> {
        positive("bearing outer", self.outer)?;
        positive("bearing hole", self.hole)?;
        smaller("bearing hole", self.hole, "bearing outer", self.outer)?;
        Ok((self.outer + self.hole) / 4.0)
    }
}

/// How torque becomes clamp. Both forms are T = F · lever.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Form {
    /// T = K·d·F. K holds pitch, thread and face friction in one number.
    Short { k: Ratio },
    /// T = F·[P/2π + μt·rt/cos β + μb·rb].
    Long {
        /// Friction coefficient of the threads, μt.
        thread: Ratio,
        /// Friction coefficient under the turned face, μb.
        bearing: Ratio,
        face: Bearing,
    },
}

impl Form {
    /// "short" or "long", as answers show it.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Short { .. } => "short",
            Self::Long { .. } => "long",
        }
    }

    /// Torque per clamp, mm.
    ///
    /// Short: K·d, d the nominal diameter (Shigley eq. 8-27). Long:
    /// P/2π + μt·(d2/2)/cos β + μb·(outer + hole)/4, β half the flank angle
    /// (VDI 2230 and ISO 16047, there with 1/cos 30° = 1.155). Valid for K from
    /// 0.02 to 1.5, μ from 0.01 to 1; elastic, no prevailing torque.
    pub fn lever(&self, thread: &Geometry) -> Result<Length, MechanicsError> {
        match *self {
            Self::Short { k } => {
                sound(thread)?;
                Ok(thread.major * within("K", k, 0.02, 1.5)?.value())
            }
            Self::Long { thread: mu, bearing, face } => {
                let bearing = coefficient("bearing friction", bearing)?;
                Ok(thread_lever(thread, mu)? + face.radius()? * bearing.value())
            }
        }
    }

    /// The torque, N·m, that makes `clamp`: T = F · lever.
    pub fn torque(&self, thread: &Geometry, clamp: Force) -> Result<Torque, MechanicsError> {
        let lever = self.lever(thread)?;
        result("torque", positive("clamp", clamp)? * lever, "clamp")
    }

    /// The clamp, N, that `torque` makes: F = T / lever.
    pub fn clamp(&self, thread: &Geometry, torque: Torque) -> Result<Force, MechanicsError> {
        let lever = self.lever(thread)?;
        result("clamp", positive("torque", torque)? / lever, "torque")
    }

    /// The nut factor that says the same at this thread: K = lever / d.
    pub fn equivalent_k(&self, thread: &Geometry) -> Result<Ratio, MechanicsError> {
        let lever = self.lever(thread)?;
        Ok(Ratio::from_value(lever / thread.major))
    }

    /// The part of the torque, N·m, that twists the fastener at `clamp`:
    /// T_thread = F·[P/2π + μt·rt/cos β] (VDI 2230, M_G). None in the short
    /// form, which does not say how its K divides.
    pub fn thread_torque(
        &self,
        thread: &Geometry,
        clamp: Force,
    ) -> Result<Option<Torque>, MechanicsError> {
        let clamp = positive("clamp", clamp)?;
        Ok(self.twisting_lever(thread)?.map(|lever| clamp * lever))
    }

    /// [`thread_lever`] of the long form, None for the short one.
    pub fn twisting_lever(&self, thread: &Geometry) -> Result<Option<Length>, MechanicsError> {
        match *self {
            Self::Short { .. } => Ok(None),
            Self::Long { thread: mu, .. } => thread_lever(thread, mu).map(Some),
        }
    }

    /// How `clamp` divides the torque: pitch, thread friction, face, each a
    /// share of 1. None in the short form.
    pub fn shares(&self, thread: &Geometry) -> Result<Option<[Ratio; 3]>, MechanicsError> {
        let Some(twisting) = self.twisting_lever(thread)? else { return Ok(None) };
        let (whole, pitch) = (self.lever(thread)?, thread.pitch / TAU);
        let share = |part: Length| Ratio::from_value(part / whole);
        Ok(Some([share(pitch), share(twisting - pitch), share(whole - twisting)]))
    }
}

/// Torque in the thread per clamp, mm: P/2π + μt·rt/cos β, rt = d2/2, β half
/// the flank angle of `thread` (30° metric and unified, 27.5° Whitworth,
/// 23.75° British Association).
///
/// Small-helix form: under 1 % from the exact screw at fastener pitches.
/// Source: VDI 2230, M_G = F·(0.16·P + 0.58·d2·μ_G).
pub fn thread_lever(thread: &Geometry, friction: Ratio) -> Result<Length, MechanicsError> {
    sound(thread)?;
    let friction = coefficient("thread friction", friction)?;
    let half_flank = (thread.flank_angle.deg() / 2.0).to_radians();
    let radius = thread.pitch_diameter / 2.0;
    Ok(thread.pitch / TAU + radius * (friction.value() / half_flank.cos()))
}

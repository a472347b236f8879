//! How long a thread must be engaged so that it does not strip.

use std::f64::consts::PI;

use crate::mechanics::MechanicsError;
use crate::mechanics::area::sound;
use crate::mechanics::error::{positive, smaller, within};
use crate::mechanics::formula::Formula;
use crate::quantity::{Angle, Area, Force, Length, Ratio, Stress};
use crate::thread::Geometry;

pub static STRIP_EXTERNAL: Formula =
    Formula::new("As = π·Le/P·Kn·[P/2 + tan β·(Es − Kn)]", "FED-STD-H28/2B");

pub static STRIP_INTERNAL: Formula =
    Formula::new("An = π·Le/P·Ds·[P/2 + tan β·(Ds − En)]", "FED-STD-H28/2B");

pub static STRIP_LOAD: Formula = Formula::new(
    "F = s·the smaller of Rb·As and Rh·An",
    "shear strength as a share of tensile; VDI 2230 tables of τB/Rm, from memory",
);

pub static ENGAGEMENT: Formula = Formula::new(
    "Le = F/(strip load per mm)",
    "FED-STD-H28/2B; with s = 0.5 and equal materials Machinery's Handbook 24th ed. formula 1",
);

/// The limits of a thread pair that shear depends on, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StripLimits {
    pub pitch: Length,
    pub flank_angle: Angle,
    /// Least major diameter of the external thread, Ds.
    pub external_major: Length,
    /// Least pitch diameter of the external thread, Es.
    pub external_pitch: Length,
    /// Greatest minor diameter of the internal thread, Kn.
    pub internal_minor: Length,
    /// Greatest pitch diameter of the internal thread, En.
    pub internal_pitch: Length,
    /// Whether these are basic sizes without tolerance: areas then come out
    /// high, to be said beside the figure.
    pub basic: bool,
}

impl StripLimits {
    /// The basic sizes of `thread`, for when its tolerance class is not known.
    pub fn basic(thread: &Geometry) -> Result<Self, MechanicsError> {
        sound(thread)?;
        Ok(Self {
            pitch: thread.pitch,
            flank_angle: thread.flank_angle,
            external_major: thread.major,
            external_pitch: thread.pitch_diameter,
            internal_minor: thread.minor_diameter,
            internal_pitch: thread.pitch_diameter,
            basic: true,
        })
    }

    /// Area that shears when the external thread strips, mm² per mm engaged:
    /// π·n·Kn·[1/(2n) + tan β·(Es − Kn)], n = 1/P, β half the flank angle, tan
    /// 30° = 0.57735 (FED-STD-H28/2B).
    fn external_per_length(&self) -> Result<Length, MechanicsError> {
        self.check()?;
        let overlap = self.external_pitch - self.internal_minor;
        self.per_length(self.internal_minor, overlap)
    }

    /// The same for the internal thread: π·n·Ds·[1/(2n) + tan β·(Ds − En)].
    fn internal_per_length(&self) -> Result<Length, MechanicsError> {
        self.check()?;
        let overlap = self.external_major - self.internal_pitch;
        self.per_length(self.external_major, overlap)
    }

    fn per_length(&self, at: Length, overlap: Length) -> Result<Length, MechanicsError> {
        let slope = (self.flank_angle.deg() / 2.0).to_radians().tan();
        let thick = positive("overlap of the threads", self.pitch / 2.0 + overlap * slope)?;
        Ok(at * (PI * (thick / self.pitch)))
    }

    fn check(&self) -> Result<(), MechanicsError> {
        positive("pitch", self.pitch)?;
        within("flank angle", self.flank_angle, 20.0, 90.0)?;
        positive("external major diameter", self.external_major)?;
        positive("external pitch diameter", self.external_pitch)?;
        positive("internal minor diameter", self.internal_minor)?;
        positive("internal pitch diameter", self.internal_pitch)?;
        let (minor, major) = (self.internal_minor, self.external_major);
        smaller("internal minor diameter", minor, "external major diameter", major)
    }

    /// Shear area of the external thread over `engaged`, mm².
    pub fn external_area(&self, engaged: Length) -> Result<Area, MechanicsError> {
        Ok(self.external_per_length()? * positive("engagement", engaged)?)
    }

    /// Shear area of the internal thread over `engaged`, mm².
    pub fn internal_area(&self, engaged: Length) -> Result<Area, MechanicsError> {
        Ok(self.internal_per_length()? * positive("engagement", engaged)?)
    }
}

/// Which of two threads gives way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Strips {
    /// The thread of the bolt or stud.
    External,
    /// The thread of the nut or hole.
    Internal,
}

/// A thread pair with the strength of both materials.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThreadPair {
    pub limits: StripLimits,
    pub external_tensile: Stress,
    pub internal_tensile: Stress,
    /// Shear strength as a share of tensile strength, [`SHEAR_SHARE`] if not
    /// known better.
    pub shear_share: Ratio,
}

/// Shear strength over tensile strength: 0.6 for steel and iron (VDI 2230
/// tables of τ_B/R_m give 0.6 to 0.7 for steel, 0.7 for aluminium; from memory).
pub const SHEAR_SHARE: Ratio = Ratio::from_value(0.6);

impl ThreadPair {
    /// The load per engaged mm at which the weaker of the two threads strips.
    fn strip_per_mm(&self) -> Result<(f64, Strips), MechanicsError> {
        let share = within("shear share", self.shear_share, 0.3, 1.0)?.value();
        let external = positive("tensile of the bolt", self.external_tensile)?;
        let internal = positive("tensile of the hole", self.internal_tensile)?;
        let external = external.mpa() * self.limits.external_per_length()?.mm() * share;
        let internal = internal.mpa() * self.limits.internal_per_length()?.mm() * share;
        Ok(if external <= internal {
            (external, Strips::External)
        } else {
            (internal, Strips::Internal)
        })
    }

    /// The load, N, at which the pair strips over `engaged`, and which thread
    /// does: share·Rm·A of the weaker one. Static load, full thread form.
    pub fn strip_load(&self, engaged: Length) -> Result<(Force, Strips), MechanicsError> {
        let engaged = positive("engagement", engaged)?;
        let (per_mm, strips) = self.strip_per_mm()?;
        Ok((Force::from_n(per_mm * engaged.mm()), strips))
    }

    /// The engagement, mm, that strips at `clamp`.
    pub fn engagement_for(&self, clamp: Force) -> Result<(Length, Strips), MechanicsError> {
        let clamp = positive("clamp", clamp)?;
        let (per_mm, strips) = self.strip_per_mm()?;
        Ok((Length::from_mm(clamp.n() / per_mm), strips))
    }

    /// The engagement, mm, at which the sum gives one load for stripping and for
    /// breaking the bolt: `engagement_for(Rm·A)`, `stress_area` in mm². No
    /// engagement to use: a nut widens under load and its threads bend, which
    /// this sum leaves out, so that a thread strips below it.
    ///
    /// With a shear share of 0.5 and equal materials this is formula 1 of
    /// Machinery's Handbook, Le = 2At / (π·Kn·[1/2 + 0.57735·n·(Es − Kn)]); a
    /// weaker hole lengthens it as factor J of FED-STD-H28 does.
    pub fn even_strength(&self, stress_area: Area) -> Result<(Length, Strips), MechanicsError> {
        let area = positive("stress area", stress_area)?;
        self.engagement_for(positive("tensile of the bolt", self.external_tensile)? * area)
    }
}

/// A rule of thumb for engagement, in diameters. Common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RuleOfThumb {
    pub material: &'static str,
    /// Least engagement in diameters.
    pub from: f64,
    /// Customary engagement in diameters.
    pub to: f64,
}

/// Customary engagement by material of the hole. Common practice only: with
/// very strong studs it is not enough, compute instead.
pub static RULES_OF_THUMB: &[RuleOfThumb] = &[
    RuleOfThumb { material: "steel", from: 1.0, to: 1.0 },
    RuleOfThumb { material: "cast iron", from: 1.25, to: 1.5 },
    RuleOfThumb { material: "aluminium", from: 2.0, to: 2.0 },
];

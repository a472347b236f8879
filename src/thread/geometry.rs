//! Basic geometry of a thread.

use std::f64::consts::FRAC_PI_4;

use crate::quantity::{Angle, Area, Length};
use crate::thread::{Family, Profile, Thread, ThreadError};

/// The basic (nominal) profile of one thread, from which mechanics computes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Geometry {
    /// Nominal major diameter d.
    pub major: Length,
    /// Axial pitch P.
    pub pitch: Length,
    /// Basic pitch diameter d2; effective diameter of a British thread.
    pub pitch_diameter: Length,
    /// Basic minor diameter d1 (of the internal thread).
    pub minor_diameter: Length,
    /// Root diameter d3 of the external thread.
    pub root_diameter: Length,
    pub stress_area: Area,
    /// Included flank angle: 60°, 55° or 47.5°.
    pub flank_angle: Angle,
}

/// What is taken from the major diameter, in pitches.
struct Depths {
    pitch: f64,
    minor: f64,
    root: f64,
    stress: f64,
}

impl Thread {
    /// The basic profile and the stress area.
    ///
    /// | thread | d2 | d1 | d3 | stress area π/4 · (…)² |
    /// | --- | --- | --- | --- | --- |
    /// | M | d − 0.649519 P (ISO 724) | d − 1.082532 P (ISO 724) | d − 1.226869 P (DIN 13-1) | d − 0.9382 P (ISO 898-1) |
    /// | UN | the same (ASME B1.1) | the same | the same | d − 0.9743 P (ASME B1.1, steel up to 100 ksi; used here for stronger too) |
    /// | MJ, UNJ | the same | d − 0.974279 P | d − 1.154701 P | as M or UN, which neglects the larger root (from memory of ISO 5855-1, ASME B1.15) |
    /// | BSW, BSF | d − 0.640327 P (BS 84) | d − 1.280654 P (BS 84) | as d1 | d − 0.960491 P: mean of effective and minor diameter |
    /// | BA | d − 0.6 P (BS 93) | d − 1.2 P (BS 93) | as d1 | d − 0.9 P: mean of effective and minor diameter |
    ///
    /// The British stress areas follow the ISO 898-1 idea; no British standard
    /// was found that states one, and BSW charts print the smaller area at the
    /// root. Errors with [`ThreadError::NoClamp`] for a pipe thread.
    pub fn geometry(&self) -> Result<Geometry, ThreadError> {
        let depths = self.depths()?;
        let (major, pitch) = (self.nominal(), self.pitch().length());
        let below = |pitches: f64| major - pitch * pitches;
        let stress = below(depths.stress);
        Ok(Geometry {
            major,
            pitch,
            pitch_diameter: below(depths.pitch),
            minor_diameter: below(depths.minor),
            root_diameter: below(depths.root),
            stress_area: stress * stress * FRAC_PI_4,
            flank_angle: self.series().row().profile.flank_angle(),
        })
    }

    fn depths(&self) -> Result<Depths, ThreadError> {
        let stress = match self.series().family() {
            Family::Metric | Family::MetricRadius => 0.9382,
            _ => 0.9743,
        };
        match self.series().row().profile {
            Profile::Iso => {
                Ok(Depths { pitch: 0.649_519, minor: 1.082_532, root: 1.226_869, stress })
            }
            Profile::IsoRadius => {
                Ok(Depths { pitch: 0.649_519, minor: 0.974_279, root: 1.154_701, stress })
            }
            Profile::Whitworth => Ok(rounded(0.640_327)),
            Profile::BritishAssociation => Ok(rounded(0.6)),
            Profile::Pipe60 | Profile::Pipe55 => Err(ThreadError::NoClamp(Box::new(self.clone()))),
        }
    }

    /// The tap drill; None for a pipe thread.
    ///
    /// Inch: the diameter that leaves 75 % of the thread height,
    /// D − 75/(76.98 n). Others: d − P, rounded to 0.1 mm (0.05 mm for pitches
    /// under 0.5 mm), halves to the even tenth. Common practice; the metric
    /// rule agrees with ISO 2306 as remembered for M1.6 to M16 coarse.
    pub fn tap_drill(&self) -> Option<Length> {
        let (major, pitch) = (self.nominal(), self.pitch().length());
        match self.series().family() {
            Family::Pipe => None,
            Family::Unified | Family::UnifiedRadius => Some(major - pitch * (75.0 / 76.98)),
            _ => {
                let step = if pitch.mm() < 0.5 { 0.05 } else { 0.1 };
                // The inner rounding frees the halves of binary dust.
                let steps = ((major - pitch).mm() / step * 1e6).round() / 1e6;
                Some(Length::from_mm((steps.round_ties_even() * step * 1e6).round() / 1e6))
            }
        }
    }
}

/// A thread rounded alike at crest and root, `depth` pitches deep.
fn rounded(depth: f64) -> Depths {
    Depths { pitch: depth, minor: 2.0 * depth, root: 2.0 * depth, stress: 1.5 * depth }
}

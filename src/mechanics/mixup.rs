//! Whether a torque can be meant in the unit in which it is written.

use crate::mechanics::MechanicsError;
use crate::mechanics::area::sound;
use crate::mechanics::error::{positive, smaller, within};
use crate::quantity::{Dimension, Ratio, Stated, Stress, Torque, UNITS, Unit};
use crate::thread::Geometry;

/// How a written torque looks against its thread.
#[derive(Debug, Clone, PartialEq)]
pub enum Plausible {
    /// Within what the thread can take and worth pulling.
    Yes,
    /// Breaks the fastener even with the most friction.
    TooHigh(Doubt),
    /// Hardly loads the fastener even with the least friction.
    VeryLow(Doubt),
}

/// Why a torque is doubted. Warn with it, never correct by it.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// The implied stress, MPa, with the most friction if too high, with the
    /// least if very low.
    pub implied: Stress,
    /// Units in which the same number would be plausible.
    pub meant: Vec<&'static Unit>,
}

/// What a fastener can take and what friction is possible.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Proof stress (or yield, if that is all that is stated), MPa.
    pub proof: Stress,
    pub tensile: Stress,
    /// Least nut factor of any lube, from lube data.
    pub least_k: Ratio,
    /// Greatest nut factor of any lube, from lube data.
    pub most_k: Ratio,
}

/// Share of proof below which a torque looks like another unit: 5 %. Common
/// practice, no source.
const HARDLY: f64 = 0.05;

/// Judges `written`: implied stress σ = T/(K·d·A). Too high when σ at the most
/// friction is above the tensile strength, very low when σ at the least
/// friction is under 5 % of proof. The units that would fit are those of
/// [`UNITS`] in which the same number is plausible (lb-in read as lb-ft is 12
/// times too high, N·m read as lb-ft 1.36 times, kgf·m read as N·m a tenth).
pub fn judge(
    thread: &Geometry,
    written: Stated<Torque>,
    bounds: &Bounds,
) -> Result<Plausible, MechanicsError> {
    sound(thread)?;
    bounds.check()?;
    let torque = positive("torque", written.value())?;
    let written = written.written();
    let Some((high, implied)) = bounds.outside(thread, torque) else { return Ok(Plausible::Yes) };
    let meant = UNITS
        .iter()
        .filter(|unit| unit.dimension == Dimension::Torque && *unit != written.unit)
        .filter(|unit| {
            let same = Torque::from_nm(written.number.value() * unit.factor);
            bounds.outside(thread, same).is_none()
        })
        .collect();
    let doubt = Doubt { implied, meant };
    Ok(if high { Plausible::TooHigh(doubt) } else { Plausible::VeryLow(doubt) })
}

impl Bounds {
    fn check(&self) -> Result<(), MechanicsError> {
        positive("proof", self.proof)?;
        positive("tensile", self.tensile)?;
        smaller("proof", self.proof, "tensile", self.tensile * 1.000_001)?;
        within("least K", self.least_k, 0.02, 1.5)?;
        within("most K", self.most_k, 0.02, 1.5)?;
        within("least K over most K", Ratio::from_value(self.least_k / self.most_k), 0.0, 1.0)?;
        Ok(())
    }

    /// Whether `torque` is too high (true) or very low (false) and the stress
    /// that says so; None if it is neither.
    fn outside(&self, thread: &Geometry, torque: Torque) -> Option<(bool, Stress)> {
        let stress = |k: Ratio| torque / (thread.major * k.value()) / thread.stress_area;
        let (least, most) = (stress(self.most_k), stress(self.least_k));
        if least > self.tensile {
            return Some((true, least));
        }
        (most < self.proof * HARDLY).then_some((false, most))
    }
}

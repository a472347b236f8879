//! From a target to the clamp that reaches it.

use crate::mechanics::MechanicsError;
use crate::mechanics::error::{positive, share, smaller};
use crate::mechanics::formula::Formula;
use crate::mechanics::stress::clamp_at_combined;
use crate::quantity::{Area, Force, Length, Ratio, Stress};

pub static AT_PROOF: Formula = Formula::new("F = f·Sp·A", "Shigley 9th ed. eq. 8-31");

pub static AT_YIELD: Formula = Formula::new("F = f·Sy·A", "as of proof, Shigley 9th ed. eq. 8-31");

pub static STRENGTH_LOAD: Formula =
    Formula::new("F = S·A", "stress times section; ISO 898-1 prints it as proof load");

pub static BREAKING: Formula =
    Formula::new("F = Rb·A", "stress times section; ISO 898-1 prints it as ultimate load");

/// What is stated of a fastener's strength. Each is "not stated" if None.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Strength {
    /// Proof stress Sp, MPa.
    pub proof: Option<Stress>,
    /// Yield strength (or 0.2 % proof, Rp0.2), MPa.
    pub yields: Option<Stress>,
    pub tensile: Option<Stress>,
}

impl Strength {
    /// Fails unless what is stated is positive and rises from proof to tensile.
    pub fn check(&self) -> Result<(), MechanicsError> {
        let stated = [("proof", self.proof), ("yield", self.yields), ("tensile", self.tensile)];
        let mut below: Option<(&'static str, Stress)> = None;
        for (field, value) in stated {
            let Some(value) = value else { continue };
            positive(field, value)?;
            if let Some((lower, least)) = below
                && least > value
            {
                smaller(lower, least, field, value)?;
            }
            below = Some((field, value));
        }
        Ok(())
    }

    fn proof(&self) -> Result<Stress, MechanicsError> {
        let purpose = "a target of proof needs the proof stress";
        self.proof.ok_or(MechanicsError::NotStated { field: "proof", purpose })
    }

    fn yields(&self) -> Result<Stress, MechanicsError> {
        let purpose = "a target of yield or combined needs the yield strength";
        self.yields.ok_or(MechanicsError::NotStated { field: "yield", purpose })
    }
}

/// How tight a fastener is to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Target {
    /// Tension as a share of the proof stress.
    OfProof(Ratio),
    /// Tension as a share of the yield strength.
    OfYield(Ratio),
    /// Tension with torsion while tightening, as a share of the yield strength.
    Combined(Ratio),
    Clamp(Force),
}

impl Target {
    /// The clamp, N, that reaches the target in a section of `area` mm².
    ///
    /// F = f·Sp·A, F = f·Sy·A (Shigley eq. 8-31 has f = 0.75 of proof for
    /// reused, 0.90 for permanent joints), or [`clamp_at_combined`], which needs
    /// `twisting_lever`, mm: the long form of friction. A target is a share
    /// from 0.01 to 2 (75 %, not 75). No result is a recommendation.
    pub fn clamp(
        &self,
        area: Area,
        strength: &Strength,
        twisting_lever: Option<Length>,
    ) -> Result<Force, MechanicsError> {
        strength.check()?;
        let area = positive("section area", area)?;
        match *self {
            Self::OfProof(part) => Ok(strength.proof()? * area * share("target", part)?.value()),
            Self::OfYield(part) => Ok(strength.yields()? * area * share("target", part)?.value()),
            Self::Clamp(force) => positive("clamp", force),
            Self::Combined(part) => {
                let purpose = "a combined target needs friction coefficients; K alone does not \
                               say how much of the torque twists the fastener";
                let missing = MechanicsError::NotStated { field: "thread friction", purpose };
                clamp_at_combined(part, strength.yields()?, area, twisting_lever.ok_or(missing)?)
            }
        }
    }
}

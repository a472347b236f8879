//! What an outside load does to a tightened joint.

use crate::mechanics::MechanicsError;
use crate::mechanics::error::{positive, smaller};
use crate::mechanics::stiffness::Joint;
use crate::quantity::{Area, Force, Ratio, Stress};

/// A joint with a clamp, pulled apart by a load along the bolt (one bolt's
/// part of it). Valid until the faces part. Source: Shigley ch. 8-7, 8-9.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loaded {
    pub joint: Joint,
    /// Clamp before the load, Fi, N.
    pub clamp: Force,
    /// Outside load per bolt, P, N.
    pub load: Force,
}

impl Loaded {
    fn checked(&self) -> Result<(f64, f64, f64), MechanicsError> {
        let clamp = positive("clamp", self.clamp)?;
        let load = positive("load", self.load)?;
        let share = self.joint.load_share().value();
        smaller("load", load * (1.0 - share), "clamp", clamp)?;
        Ok((clamp.n(), load.n(), share))
    }

    /// Tension in the bolt, N: Fb = Fi + C·P (Shigley eq. 8-24).
    pub fn bolt_tension(&self) -> Result<Force, MechanicsError> {
        let (clamp, load, share) = self.checked()?;
        Ok(Force::from_n(clamp + share * load))
    }

    /// What still presses the faces together, N: Fi − (1 − C)·P.
    pub fn face_force(&self) -> Result<Force, MechanicsError> {
        let (clamp, load, share) = self.checked()?;
        Ok(Force::from_n(clamp - (1.0 - share) * load))
    }

    /// How many times the load may grow before the faces part:
    /// n0 = Fi / (P·(1 − C)) (Shigley eq. 8-30).
    pub fn parting_factor(&self) -> Result<Ratio, MechanicsError> {
        let (clamp, load, share) = self.checked()?;
        Ok(Ratio::from_value(clamp / (load * (1.0 - share))))
    }

    /// How many times the load may grow before the bolt is at proof:
    /// nL = (Sp·A − Fi) / (C·P) (Shigley eq. 8-29).
    pub fn load_factor(&self, proof: Stress, area: Area) -> Result<Ratio, MechanicsError> {
        let (clamp, load, share) = self.checked()?;
        let strong = positive("proof", proof)? * positive("section area", area)?;
        smaller("clamp", self.clamp, "proof load", strong)?;
        Ok(Ratio::from_value((strong.n() - clamp) / (share * load)))
    }

    /// Proof load over bolt tension: np = Sp·A / (C·P + Fi) (Shigley eq. 8-28).
    pub fn proof_factor(&self, proof: Stress, area: Area) -> Result<Ratio, MechanicsError> {
        let strong = positive("proof", proof)? * positive("section area", area)?;
        Ok(Ratio::from_value(strong / self.bolt_tension()?))
    }
}

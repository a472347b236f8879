//! What a wrench must be set to when something sits between it and the bolt.

use crate::mechanics::MechanicsError;
use crate::mechanics::error::{positive, result, smaller, within};
use crate::mechanics::formula::Formula;
use crate::quantity::{Angle, Length, Ratio, Torque};

pub static ADAPTER: Formula = Formula::new(
    "Tset = T·L/(L + E·cos θ)",
    "AC 43.13-1B (1998) fig. 7-2; US Army TM 9-254 fig. 46",
);

pub static AT_BOLT: Formula = Formula::new(
    "T = Tset·(L + E·cos θ)/L",
    "AC 43.13-1B (1998) fig. 7-2; US Army TM 9-254 fig. 46",
);

pub static ON_AXIS: Formula =
    Formula::new("Tset = T", "an extension on the axis of the bolt moves nothing: statics");

pub static MULTIPLIER: Formula =
    Formula::new("Tset = T/(i·η)", "ratio and efficiency as marked on the multiplier");

pub static AT_BOLT_MULTIPLIED: Formula =
    Formula::new("T = Tset·i·η", "ratio and efficiency as marked on the multiplier");

/// What sits between wrench and bolt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Attachment {
    /// Socket or extension on the axis of the bolt: no correction.
    OnAxis,
    /// A flat adapter (crowfoot) that moves the bolt away from the drive.
    Adapter {
        /// From the drive to the centre of the hand, mm.
        lever: Length,
        /// From the drive to the centre of the bolt, mm.
        reach: Length,
        /// 0° points on along the wrench, 90° across it, 180° back to the hand.
        angle: Angle,
    },
    /// A geared torque multiplier.
    Multiplier {
        /// Ratio marked on it.
        ratio: Ratio,
        efficiency: Ratio,
    },
}

impl Attachment {
    /// Torque at the bolt over torque shown by the wrench.
    ///
    /// Adapter: (L + E·cos θ)/L, so straight ahead needs the correction and
    /// 90° needs none (AC 43.13-1B fig. 7-2; US Army TM 9-254 fig. 46; public
    /// pages are found with this reversed). Multiplier: ratio × efficiency.
    /// Valid with the hand at the marked place of the handle.
    pub fn gain(&self) -> Result<Ratio, MechanicsError> {
        let gain = match *self {
            Self::OnAxis => 1.0,
            Self::Adapter { lever, reach, angle } => {
                let lever = positive("wrench length", lever)?;
                let reach = positive("adapter length", reach)?;
                let along = cosine(within("adapter angle", angle, -360.0, 360.0)?);
                // Pointing back, the bolt must stay on the far side of the hand.
                smaller("adapter length", reach * -along, "wrench length", lever)?;
                1.0 + reach / lever * along
            }
            Self::Multiplier { ratio, efficiency } => {
                within("multiplier ratio", ratio, 1.0, 1000.0)?.value()
                    * within("multiplier efficiency", efficiency, 0.1, 1.0)?.value()
            }
        };
        result("correction", Ratio::from_value(gain), "adapter length")
    }

    /// What to set for `wanted` at the bolt: T·L/(L + E·cos θ), or T over
    /// ratio × efficiency.
    pub fn setting(&self, wanted: Torque) -> Result<Torque, MechanicsError> {
        let wanted = positive("torque", wanted)?;
        result("setting", wanted / self.gain()?.value(), "torque")
    }

    /// What reaches the bolt when the wrench shows `set`.
    pub fn at_bolt(&self, set: Torque) -> Result<Torque, MechanicsError> {
        let set = positive("setting", set)?;
        result("torque", set * self.gain()?.value(), "setting")
    }
}

/// Cosine of an angle, exactly 0 at a right angle.
fn cosine(angle: Angle) -> f64 {
    match angle.deg().abs() {
        90.0 | 270.0 => 0.0,
        degrees => degrees.to_radians().cos(),
    }
}

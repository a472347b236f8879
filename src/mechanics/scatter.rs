//! How far the clamp may lie from its nominal value.

use crate::mechanics::MechanicsError;
use crate::mechanics::error::{positive, within};
use crate::mechanics::formula::Formula;
use crate::mechanics::friction::Form;
use crate::quantity::{Force, Ratio, Torque};
use crate::thread::Geometry;

pub static BAND_METHOD: Formula = Formula::new("F·(1 − Γ) to F·(1 + Γ)", "published scatter");

pub static BAND_FRICTION: Formula = Formula::new(
    "F/(1 + √((lhigh/l − 1)² + w²)) to F·(1 + √((l/llow − 1)² + w²))",
    "independent deviations added in squares, ISO/IEC Guide 98-3 (GUM)",
);

/// What controls the clamp while a fastener is tightened.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Control {
    Feel,
    TorqueDry,
    TorqueCadmium,
    TorqueLubricated,
    /// Torque, then an angle, below yield.
    Turn,
    /// Torque, then an angle, with the yield point sensed.
    TurnToYield,
    /// A washer that shows the preload.
    IndicatingWasher,
    Tensioner,
    Stretch,
    StrainGauge,
}

/// One row of [`SCATTER`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScatterRow {
    pub control: Control,
    /// Deviation of the clamp to either side, a share of 1.
    pub either_side: f64,
    pub source: &'static str,
}

const NASA: &str = "NASA criteria for preloaded bolts (NSTS 08307), typical preload uncertainties";
const HANDBOOK: &str = "Machinery's Handbook, accuracy of bolt preload application methods";

/// Scatter of the clamp by method. Where two sources give a range the wider
/// figure stands. Both lists were read second-hand.
pub static SCATTER: &[ScatterRow] = &[
    ScatterRow { control: Control::Feel, either_side: 0.35, source: HANDBOOK },
    ScatterRow { control: Control::TorqueDry, either_side: 0.35, source: NASA },
    ScatterRow { control: Control::TorqueCadmium, either_side: 0.30, source: NASA },
    ScatterRow { control: Control::TorqueLubricated, either_side: 0.25, source: NASA },
    ScatterRow { control: Control::Turn, either_side: 0.15, source: HANDBOOK },
    ScatterRow { control: Control::TurnToYield, either_side: 0.08, source: HANDBOOK },
    ScatterRow { control: Control::IndicatingWasher, either_side: 0.10, source: NASA },
    ScatterRow { control: Control::Tensioner, either_side: 0.15, source: NASA },
    ScatterRow { control: Control::Stretch, either_side: 0.05, source: NASA },
    ScatterRow { control: Control::StrainGauge, either_side: 0.01, source: HANDBOOK },
];

impl Control {
    /// The row of [`SCATTER`] for this control.
    pub fn scatter(self) -> &'static ScatterRow {
        // Invariant: SCATTER holds one row for each control, in order; a test
        // walks both.
        &SCATTER[self as usize]
    }
}

/// A clamp with the band in which it will lie, N.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clamp {
    pub low: Force,
    pub nominal: Force,
    pub high: Force,
}

impl Clamp {
    /// The band of a torque: at each end the wider of [`Self::by_control`] and
    /// [`Self::by_friction`], for listed and computed values alike. `torques`
    /// are the low end and the top of what is pulled, equal for one value: the
    /// low end of the band is that of the low end, nominal and high end are
    /// those of the top. The wider of two published ranges: common practice.
    pub fn of_torque(
        thread: &Geometry,
        torques: [Torque; 2],
        range: &FormRange,
        control: Control,
        wrench: Ratio,
    ) -> Result<Self, MechanicsError> {
        let one = |torque: Torque| {
            let friction = Self::by_friction(thread, torque, range, wrench)?;
            let method = Self::by_control(friction.nominal, control)?;
            let low = if method.low < friction.low { method.low } else { friction.low };
            let high = if method.high > friction.high { method.high } else { friction.high };
            Ok(Self { low, nominal: friction.nominal, high })
        };
        let [bottom, top] = torques;
        Ok(Self { low: one(bottom)?.low, ..one(top)? })
    }

    /// `nominal`, plus and minus the scatter of `control`: F·(1 ∓ Γ), Γ from
    /// [`SCATTER`].
    pub fn by_control(nominal: Force, control: Control) -> Result<Self, MechanicsError> {
        let nominal = positive("clamp", nominal)?;
        let part = control.scatter().either_side;
        Ok(Self { low: nominal * (1.0 - part), nominal, high: nominal * (1.0 + part) })
    }

    /// The band of friction range and wrench tolerance by root-sum-square.
    ///
    /// With l the lever T/F of the form at low, nominal and high friction and w
    /// the tolerance of the wrench (0.04 is ±4 %, 0 to 0.5):
    /// high = F·(1 + √((l_nom/l_low − 1)² + w²)),
    /// low = F / (1 + √((l_high/l_nom − 1)² + w²)).
    /// The low end is divided, not subtracted, so that it stays above 0 whatever
    /// the range; to first order both are the same. Independent deviations are
    /// added in squares (ISO/IEC Guide 98-3, GUM).
    pub fn by_friction(
        thread: &Geometry,
        torque: Torque,
        range: &FormRange,
        wrench: Ratio,
    ) -> Result<Self, MechanicsError> {
        let wrench = within("wrench tolerance", wrench, 0.0, 0.5)?.value();
        let nominal = range.nominal.clamp(thread, torque)?;
        let middle = range.nominal.lever(thread)?;
        let (least, most) = (range.low.lever(thread)?, range.high.lever(thread)?);
        within("low friction", Ratio::from_value(least / middle), 0.0, 1.0)?;
        within("high friction", Ratio::from_value(middle / most), 0.0, 1.0)?;
        let up = (middle / least - 1.0).hypot(wrench);
        let down = (most / middle - 1.0).hypot(wrench);
        Ok(Self { low: nominal / (1.0 + down), nominal, high: nominal * (1.0 + up) })
    }
}

/// One form at low, nominal and high friction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FormRange {
    /// Least friction: most clamp.
    pub low: Form,
    pub nominal: Form,
    /// Most friction: least clamp.
    pub high: Form,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_control_has_its_own_row() {
        for row in SCATTER {
            assert_eq!(row.control.scatter().control, row.control);
        }
    }
}

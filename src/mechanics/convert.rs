//! One torque restated for other friction at the same clamp.
//!
//! Whether a conversion is allowed at all is decided by the caller: here is
//! only the arithmetic and the one rule that both forms must be of a kind.

use crate::mechanics::MechanicsError;
use crate::mechanics::error::{positive, result};
use crate::mechanics::formula::Formula;
use crate::mechanics::friction::Form;
use crate::quantity::{Ratio, Torque};
use crate::thread::Geometry;

const EQUAL: &str = "both from one form T = F·lever, Shigley 9th ed. eq. 8-27, VDI 2230";

pub static CONVERT_K: Formula = Formula::new("T2 = T1·K2/K1", EQUAL);

pub static CONVERT_MU: Formula = Formula::new("T2 = T1·l2/l1", EQUAL);

pub static CHART_RULE: Formula = Formula::new("T2 = f·T1", "printed with the chart");

pub static RATIO: Formula = Formula::new(
    "(T2/T1)/(l2/l1) − 1",
    "over 15 % either way is flagged: common practice, no source",
);

/// T2 = T1·(lever2/lever1), in the short form T1·(K2/K1): the torque with `to`
/// that gives the clamp that `torque` gives with `from`. An error if one form
/// is short and the other long: a K of one source and friction coefficients of
/// another do not share their errors.
pub fn at_equal_clamp(
    thread: &Geometry,
    torque: Torque,
    from: &Form,
    to: &Form,
) -> Result<Torque, MechanicsError> {
    let torque = positive("torque", torque)?;
    result("torque", torque * lever_ratio(thread, from, to)?.value(), "torque")
}

/// Lever of `to` over lever of `from`: K2/K1, or the long forms' ratio.
pub fn lever_ratio(thread: &Geometry, from: &Form, to: &Form) -> Result<Ratio, MechanicsError> {
    if from.name() != to.name() {
        return Err(MechanicsError::MixedForms { field: "friction" });
    }
    result("ratio", Ratio::from_value(to.lever(thread)? / from.lever(thread)?), "friction")
}

/// Difference above which a sheet's own ratio and the factors disagree: 15 %.
/// Common practice, no source.
pub const RATIO_LIMIT: Ratio = Ratio::from_value(0.15);

/// A sheet's ratio of two torques beside the ratio of the factors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RatioCheck {
    /// Listed torque of `to` over listed torque of `from`.
    pub sheet: Ratio,
    pub factors: Ratio,
    /// Sheet over factors, less 1: negative when the sheet asks for less.
    pub difference: Ratio,
    /// Over [`RATIO_LIMIT`] either way: check the sheet or the factors, change
    /// nothing.
    pub doubtful: bool,
}

/// Compares two torques listed for one fastener with the factors of their lubes.
pub fn ratio_check(
    thread: &Geometry,
    listed: [Torque; 2],
    forms: [&Form; 2],
) -> Result<RatioCheck, MechanicsError> {
    let [first, second] = listed;
    let sheet = positive("torque", second)? / positive("torque", first)?;
    let factors = lever_ratio(thread, forms[0], forms[1])?;
    let difference = sheet / factors.value() - 1.0;
    Ok(RatioCheck {
        sheet: Ratio::from_value(sheet),
        factors,
        difference: Ratio::from_value(difference),
        doubtful: difference.abs() > RATIO_LIMIT.value(),
    })
}

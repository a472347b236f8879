//! Stress in a fastener: tension, and tension with torsion.

use std::f64::consts::FRAC_PI_4;

use crate::mechanics::MechanicsError;
use crate::mechanics::error::{positive, result, share, within};
use crate::mechanics::formula::{Formula, GEOMETRY};
use crate::quantity::{Area, Force, Length, Ratio, Stress, Torque};

pub static TENSION: Formula = Formula::new("σ = F/A", GEOMETRY);

pub static OF_PROOF: Formula =
    Formula::new("F/(Sp·A)", "Shigley 9th ed. eq. 8-31: 75 % of proof for reused joints");

pub static OF_YIELD: Formula = Formula::new("F/(Sy·A)", "tension over yield strength or Rp0.2");

pub static COMBINED: Formula = Formula::new(
    "√(σ² + 3·τ²)/Sy, τ = 12·Tt/(π·d0³), d0 = √(4·A/π)",
    "VDI 2230 (2003); the 12 is fully plastic torsion, an elastic bar has 16",
);

pub static COMBINED_AFTER: Formula = Formula::new(
    "√(σ² + 3·(k·τ)²)/Sy",
    "VDI 2230, half of the torsion left (k 0.5 from memory of its step R8)",
);

pub static AT_COMBINED: Formula = Formula::new(
    "F = f·Sy·A/√(1 + 3·(3·lt/d0)²), lt = Tt/F",
    "VDI 2230 (2003), tables of assembly preload at f = 0.9",
);

/// Share of the torsion that is left once the wrench is off: VDI 2230 takes
/// half (k_τ = 0.5, from memory of its working-stress step R8).
pub const TORSION_LEFT: Ratio = Ratio::from_value(0.5);

/// σ = F/A, MPa, of `clamp` N in a section of `area` mm².
pub fn tension(clamp: Force, area: Area) -> Result<Stress, MechanicsError> {
    Ok(positive("clamp", clamp)? / positive("section area", area)?)
}

/// What a share may pass its limit by and still be called equal to it: a torque
/// is written with nine decimals, and binary fractions carry the rest.
pub const ROUNDING: f64 = 1e-6;

/// Whether `share` passes `limit` by more than [`ROUNDING`].
pub fn exceeds(share: f64, limit: f64) -> bool {
    share > limit + ROUNDING
}

/// Whether a share that is known passes the whole.
pub fn is_past(share: Option<f64>) -> bool {
    share.is_some_and(|share| exceeds(share, 1.0))
}

/// Equivalent stress while tightening, MPa: σ_eq = √(σ² + 3τ²).
///
/// σ = F/A; τ = 12·T_thread/(π·d0³), d0 = √(4A/π), T_thread the torque in the
/// thread. The 12 (an elastic bar has 16) is the fully plastic torsion of
/// VDI 2230 from 2001 on, there written √(1 + 3·[1.5·(d2/d0)·(P/(π·d2) +
/// 1.155·μ_G)]²). Valid for a round section.
pub fn combined(clamp: Force, area: Area, twisting: Torque) -> Result<Stress, MechanicsError> {
    combined_with(clamp, area, twisting, 1.0)
}

/// Equivalent stress after the wrench is off, MPa: as [`combined`] with the
/// share `left` of the torsion, 0 to 1; [`TORSION_LEFT`] is what VDI 2230 takes.
pub fn combined_after(
    clamp: Force,
    area: Area,
    twisting: Torque,
    left: Ratio,
) -> Result<Stress, MechanicsError> {
    let left = within("share of torsion left", left, 0.0, 1.0)?;
    combined_with(clamp, area, twisting, left.value())
}

fn combined_with(
    clamp: Force,
    area: Area,
    twisting: Torque,
    left: f64,
) -> Result<Stress, MechanicsError> {
    let tension = tension(clamp, area)?;
    let lever = positive("thread torque", twisting)?.nm() * 1000.0 / clamp.n();
    let factor = twist_factor(Length::from_mm(lever), area, left);
    result("combined stress", tension * factor, "thread torque")
}

/// σ_eq/σ = √(1 + 3·(left·3·lever/d0)²): with τ/σ = 12T/(πd0³)·πd0²/(4F) =
/// 3·(T/F)/d0.
fn twist_factor(lever: Length, area: Area, left: f64) -> f64 {
    let diameter = (area.mm2() / FRAC_PI_4).sqrt();
    let torsion = left * 3.0 * lever.mm() / diameter;
    (1.0 + 3.0 * torsion * torsion).sqrt()
}

/// The clamp, N, at which [`combined`] reaches `target` of `yield_strength`:
/// F = target·Ry·A / √(1 + 3·[3·lever/d0]²), `twisting_lever` as of
/// [`thread_lever`](crate::mechanics::thread_lever), mm.
///
/// With a target of 0.9 this is F_M of the tables of VDI 2230.
pub fn clamp_at_combined(
    target: Ratio,
    yield_strength: Stress,
    area: Area,
    twisting_lever: Length,
) -> Result<Force, MechanicsError> {
    let target = share("target", target)?;
    let strength = positive("yield", yield_strength)?;
    let area = positive("section area", area)?;
    let lever = positive("thread lever", twisting_lever)?;
    let clamp = strength * area * (target.value() / twist_factor(lever, area, 1.0));
    result("clamp", clamp, "target")
}

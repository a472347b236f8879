//! How heat changes the clamp of a joint whose parts expand differently.

use crate::mechanics::MechanicsError;
use crate::mechanics::error::{positive, within};
use crate::mechanics::formula::Formula;
use crate::mechanics::stiffness::Joint;
use crate::quantity::{Force, Length, Ratio, Stress, TemperatureDifference};

pub static HEAT: Formula = Formula::new(
    "ΔF = k·[Σ αj·Lj·ΔTj − αb·Lb·ΔTb]",
    "VDI 2230, change of clamp with temperature; Shigley's joint stiffness",
);

/// Relative expansion per kelvin.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Expansion(f64);

impl Expansion {
    /// From a number of 1/K, such as 11.5e-6 for steel.
    pub const fn from_per_k(per_k: f64) -> Self {
        Self(per_k)
    }

    /// The value in 1/K.
    pub const fn per_k(self) -> f64 {
        self.0
    }
}

/// A material of bolts and clamped parts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    pub name: &'static str,
    /// Usual range of expansion near room temperature.
    pub expansion: [Expansion; 2],
    pub modulus: Stress,
    pub source: &'static str,
}

const TABLE: &str = "modulus Shigley 9th ed. Table A-5; expansion engineering handbooks, both \
                     from memory";
const GERE: &str = "modulus Shigley 9th ed. Table A-5, from memory; expansion Gere, Mechanics of \
                    Materials, 5th ed., read from a copy of its tables";
const MEMORY: &str = "engineering handbooks, from memory";

const fn material(
    name: &'static str,
    [low, high]: [f64; 2],
    gpa: f64,
    source: &'static str,
) -> Material {
    Material {
        name,
        expansion: [Expansion(low * 1e-6), Expansion(high * 1e-6)],
        modulus: Stress::from_mpa(gpa * 1000.0),
        source,
    }
}

/// Expansion (10⁻⁶/K at 20 to 100 °C) and modulus of common materials. Alloys
/// differ: a figure of the part's maker goes before it.
pub static MATERIALS: &[Material] = &[
    material("steel", [11.5, 11.5], 207.0, TABLE),
    material("stainless steel, austenitic", [16.0, 17.0], 190.0, TABLE),
    material("cast iron, grey", [10.5, 11.0], 100.0, TABLE),
    material("cast iron, ductile", [11.0, 11.5], 170.0, MEMORY),
    material("aluminium", [22.0, 23.5], 71.7, TABLE),
    material("magnesium", [26.0, 28.8], 44.8, GERE),
    material("titanium alloy", [8.6, 8.6], 114.0, TABLE),
    material("brass", [18.5, 21.2], 106.0, GERE),
];

/// A length that is warmed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Warmed {
    pub length: Length,
    pub expansion: Expansion,
    /// How much warmer it is than when tightened; negative when colder.
    pub rise: TemperatureDifference,
}

impl Warmed {
    /// ΔL = α·L·ΔT, mm.
    fn growth(&self) -> Result<f64, MechanicsError> {
        let length = positive("length", self.length)?;
        let rise = within("temperature rise", self.rise, -300.0, 1500.0)?;
        within("expansion per K", Ratio::from_value(self.expansion.0), 0.0, 1e-4)?;
        Ok(self.expansion.0 * length.mm() * rise.k())
    }
}

/// The change of clamp, N, positive for a gain, when bolt and parts warm up:
/// ΔF = k·[Σ αj·Lj·ΔTj − Σ αb·Lb·ΔTb], k = kb·kj/(kb + kj).
///
/// Elastic, moduli as when cold, no creep of gasket or casting. The lengths of
/// bolt and parts between the faces are the same length. Source: VDI 2230
/// ΔF_Vth; Shigley's joint stiffness.
///
/// A steel stud in a 90 mm aluminium head, all 80 K warmer, gains; the same
/// stud in an iron head loses a little:
/// ```
/// use clampbook::mechanics::{Expansion, Joint, MATERIALS, Stiffness, Warmed, clamp_change};
/// use clampbook::quantity::{Length, TemperatureDifference};
/// # fn main() -> Result<(), clampbook::mechanics::MechanicsError> {
/// let joint = Joint {
///     bolt: Stiffness::new("bolt", 150e3)?,
///     parts: Stiffness::new("parts", 600e3)?,
/// };
/// let warm = |name| {
///     let material = MATERIALS.iter().find(|material| material.name == name).unwrap();
///     let [low, high] = material.expansion.map(Expansion::per_k);
///     Warmed {
///         length: Length::from_mm(90.0),
///         expansion: Expansion::from_per_k(f64::midpoint(low, high)),
///         rise: TemperatureDifference::from_k(80.0),
///     }
/// };
/// let aluminium = clamp_change(&joint, &[warm("aluminium")], &[warm("steel")])?;
/// assert!((aluminium.n() / 1000.0 - 9.7).abs() < 0.1);
/// let iron = clamp_change(&joint, &[warm("cast iron, grey")], &[warm("steel")])?;
/// assert!((iron.n() / 1000.0 + 0.65).abs() < 0.02);
/// # Ok(()) }
/// ```
pub fn clamp_change(
    joint: &Joint,
    parts: &[Warmed],
    bolt: &[Warmed],
) -> Result<Force, MechanicsError> {
    let sum = |all: &[Warmed]| {
        all.iter().try_fold(0.0, |sum, one| Ok::<f64, MechanicsError>(sum + one.growth()?))
    };
    let misfit = Length::from_mm(sum(parts)? - sum(bolt)?);
    Ok(joint.together().force(misfit))
}

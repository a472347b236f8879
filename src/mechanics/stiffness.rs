//! How stiff bolt and clamped parts are, and what a turn of the nut does.

use std::f64::consts::{FRAC_PI_4, PI};
use std::fmt;

use crate::mechanics::MechanicsError;
use crate::mechanics::error::{positive, result, smaller, within};
use crate::mechanics::formula::{Formula, HOOKE};
use crate::quantity::{Angle, Area, Force, Length, Ratio, Stress};

pub static SEGMENT: Formula = Formula::new("1/k = Σ L/(E·A)", HOOKE);

pub static CONES: Formula = Formula::new(
    "1/k = Σ ln[(1.155·t + D − d)(D + d)/((1.155·t + D + d)(D − d))]/(0.5774·π·E·d)",
    "Shigley 9th ed. eq. 8-20, two cones of 30° that meet in the middle of the grip",
);

pub static CONE: Formula = Formula::new(
    "1/k = Σ ln[(1.155·t + D − d)(D + d)/((1.155·t + D + d)(D − d))]/(0.5774·π·E·d)",
    "VDI 2230 (2003), tapped thread joint, w = 2: one cone over the whole grip (from memory); \
     30° as in Shigley 9th ed. eq. 8-20",
);

pub static SLEEVE: Formula = Formula::new("1/k = L/(E·π/4·(Do² − Di²))", HOOKE);

pub static TOGETHER: Formula =
    Formula::new("1/k = 1/kb + 1/kj", "Shigley 9th ed. ch. 8-5; VDI 2230");

pub static LOAD_SHARE: Formula = Formula::new("C = kb/(kb + kj)", "Shigley 9th ed. eq. 8-24");

pub static CLAMP_OF_TURN: Formula =
    Formula::new("F = k·P·θ/360°", "helix and elastic joint; Shigley 9th ed. ch. 8-5, VDI 2230");

pub static TURN_OF_CLAMP: Formula =
    Formula::new("θ = 360°·F/(k·P)", "helix and elastic joint; Shigley 9th ed. ch. 8-5, VDI 2230");

/// Force per length, N/mm.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Stiffness(f64);

impl Stiffness {
    /// From a number of N/mm, above 0; `field` names it in an error.
    pub fn new(field: &'static str, n_per_mm: f64) -> Result<Self, MechanicsError> {
        // A stiffness is a force at 1 mm, and is checked and shown as one.
        positive(field, Force::from_n(n_per_mm)).map(|force| Self(force.n()))
    }

    /// The value in N/mm.
    pub fn n_per_mm(self) -> f64 {
        self.0
    }

    /// Two springs one after the other: 1/k = 1/k1 + 1/k2.
    pub fn in_series(self, other: Self) -> Self {
        Self(1.0 / (1.0 / self.0 + 1.0 / other.0))
    }

    /// The force, N, that changes the length by `change`.
    pub(crate) fn force(self, change: Length) -> Force {
        Force::from_n(self.0 * change.mm())
    }

    pub(crate) fn change(self, force: Force) -> Length {
        Length::from_mm(force.n() / self.0)
    }
}

/// What a segment of a fastener is, for the working that is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SegmentPart {
    Head,
    Shank,
    Waist,
    /// Thread that carries load outside nut and hole.
    FreeThread,
    /// Thread inside nut or hole.
    EngagedThread,
    Nut,
    Hole,
    /// A clamped part, such as a sleeve.
    Clamped,
}

impl fmt::Display for SegmentPart {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Head => "head",
            Self::Shank => "shank",
            Self::Waist => "waist",
            Self::FreeThread => "free thread",
            Self::EngagedThread => "engaged thread",
            Self::Nut => "nut",
            Self::Hole => "hole threads",
            Self::Clamped => "clamped part",
        })
    }
}

/// A length of even section and material.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Segment {
    pub part: SegmentPart,
    pub length: Length,
    pub area: Area,
    pub modulus: Stress,
}

impl Segment {
    /// k = E·A/L, N/mm, below yield.
    pub fn stiffness(&self) -> Result<Stiffness, MechanicsError> {
        let length = positive("segment length", self.length)?;
        let area = positive("segment area", self.area)?;
        let modulus = positive("modulus", self.modulus)?;
        Stiffness::new("segment stiffness", (modulus * area).n() / length.mm())
    }
}

/// The stiffness of segments in a row: 1/k = Σ L/(E·A), N/mm (VDI 2230
/// resilience δ_S; Shigley eq. 8-15 to 8-17). An error without segments.
pub fn in_a_row(segments: &[Segment]) -> Result<Stiffness, MechanicsError> {
    let mut all: Option<Stiffness> = None;
    for segment in segments {
        let next = segment.stiffness()?;
        all = Some(all.map_or(next, |before| before.in_series(next)));
    }
    let purpose = "stretch and stiffness need the lengths between head and nut";
    all.ok_or(MechanicsError::NotStated { field: "segments", purpose })
}

/// A layer of the clamped parts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    pub thickness: Length,
    pub modulus: Stress,
}

/// How the pressure spreads through the clamped parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Spread {
    /// A head and a nut: two cones that meet in the middle of the grip.
    Through,
    /// A tapped hole: one cone from the head or nut to the end of the grip.
    Tapped,
}

/// Stiffness of clamped layers, N/mm, as cones of 30° from the faces (`face`
/// diameter, mm) around a `hole`, mm; the first layer lies under the head.
///
/// Each piece of a cone: k = 0.5774π·E·d / ln[(1.155t + D − d)(D + d) /
/// ((1.155t + D + d)(D − d))] (Shigley eq. 8-20). Head and nut: two cones to the
/// middle of the grip. Tapped hole: one cone over the whole grip, as the tapped
/// thread joint of VDI 2230 (2003), δ_P = 2·ln[(dW + d)(dW + w·l·tan φ − d) /
/// ((dW − d)(dW + w·l·tan φ + d))] / (w·E·π·d·tan φ) with w = 2 where a through
/// bolt has w = 1 (from memory; its tan φ depends on the width of the parts,
/// here it is tan 30°). Valid where the parts are wider than the cones.
pub fn clamped_layers(
    layers: &[Layer],
    hole: Length,
    face: Length,
    spread: Spread,
) -> Result<Stiffness, MechanicsError> {
    positive("bearing hole", hole)?;
    positive("bearing outer", face)?;
    smaller("bearing hole", hole, "bearing outer", face)?;
    let mut grip = 0.0;
    for layer in layers {
        grip += positive("layer thickness", layer.thickness)?.mm();
        positive("layer modulus", layer.modulus)?;
    }
    let middle = match spread {
        Spread::Through => grip / 2.0,
        Spread::Tapped => grip,
    };
    let (mut at, mut compliance) = (0.0, 0.0);
    for layer in layers {
        let end = at + layer.thickness.mm();
        // A layer across the middle is cut there: its cone opens, then closes. Over
        // a tapped hole it only opens.
        let upper = (at, end.min(middle));
        let lower = match spread {
            Spread::Through => (grip - end, (grip - at).min(middle)),
            Spread::Tapped => (0.0, 0.0),
        };
        for (from, to) in [upper, lower] {
            if to > from {
                let start = face.mm() + 2.0 * from * 30f64.to_radians().tan();
                compliance += cone(to - from, start, hole.mm(), layer.modulus.mpa());
            }
        }
        at = end;
    }
    Stiffness::new("layers", if compliance > 0.0 { 1.0 / compliance } else { f64::NAN })
}

/// Compliance, mm/N, of one piece of a 30° cone.
fn cone(thickness: f64, start: f64, hole: f64, modulus: f64) -> f64 {
    let spread = 2.0 * 30f64.to_radians().tan() * thickness;
    let inside =
        (spread + start - hole) * (start + hole) / ((spread + start + hole) * (start - hole));
    inside.ln() / (30f64.to_radians().tan() * PI * modulus * hole)
}

/// A bolt and the parts that it clamps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joint {
    /// Stiffness of the bolt kb.
    pub bolt: Stiffness,
    /// Stiffness of the clamped parts kj.
    pub parts: Stiffness,
}

impl Joint {
    /// Clamp per relative movement, kb·kj/(kb + kj).
    pub fn together(&self) -> Stiffness {
        self.bolt.in_series(self.parts)
    }

    /// The share of an outside load that the bolt feels, C = kb/(kb + kj)
    /// (Shigley eq. 8-24, Φ of VDI 2230 with the load at the faces).
    pub fn load_share(&self) -> Ratio {
        Ratio::from_value(self.bolt.0 / (self.bolt.0 + self.parts.0))
    }

    /// The clamp, N, that a turn of the nut adds from snug: F = (θ/360)·P·k,
    /// k = [`Self::together`]. Valid below yield, faces already closed; never a
    /// way back from an angle to a torque.
    pub fn clamp_for_turn(&self, turn: Angle, pitch: Length) -> Result<Force, MechanicsError> {
        let turn = within("turn", turn, 0.01, 3600.0)?;
        let advance = positive("pitch", pitch)? * (turn.deg() / 360.0);
        result("clamp", self.together().force(advance), "turn")
    }

    /// The turn, degrees, that adds `clamp`: θ = 360·(F/P)·(1/kb + 1/kj).
    pub fn turn_for_clamp(&self, clamp: Force, pitch: Length) -> Result<Angle, MechanicsError> {
        let advance = self.together().change(positive("clamp", clamp)?);
        let turn = Angle::from_deg(360.0 * (advance / positive("pitch", pitch)?));
        result("turn", turn, "clamp")
    }

    /// The part of an advance of the nut that stretches the bolt; the rest
    /// compresses the parts: kj/(kb + kj).
    pub fn stretch_share(&self) -> Ratio {
        Ratio::from_value(self.parts.0 / (self.bolt.0 + self.parts.0))
    }
}

/// Section of a tube, mm²: π/4·(outer² − inner²).
pub fn tube_section(outer: Length, inner: Length) -> Result<Area, MechanicsError> {
    positive("outer diameter", outer)?;
    positive("inner diameter", inner)?;
    smaller("inner diameter", inner, "outer diameter", outer)?;
    Ok(Area::from_mm2(FRAC_PI_4 * (outer.mm() * outer.mm() - inner.mm() * inner.mm())))
}

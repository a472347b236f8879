//! The section of a fastener that carries the clamp, and the weakest of them.

use std::f64::consts::FRAC_PI_4;
use std::fmt;

use crate::mechanics::MechanicsError;
use crate::mechanics::error::{positive, smaller, within};
use crate::mechanics::formula::{Formula, GEOMETRY};
use crate::quantity::{Area, Length};
use crate::thread::Geometry;

/// Tensile stress area of a thread; the source is that of its series.
pub static STRESS_AREA: Formula = Formula::new("A = π/4·(d − c·P)²", "ISO 898-1, ASME B1.1");

pub static ROUND_AREA: Formula = Formula::new("A = π/4·d²", GEOMETRY);

/// Where along a fastener a section lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum SectionAt {
    /// The thread that is turned: nut end of a stud, thread of a bolt.
    Thread,
    /// The other end of a stud, in its hole.
    HoleThread,
    /// A shank turned down below the thread.
    Waist,
}

impl fmt::Display for SectionAt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Thread => "thread",
            Self::HoleThread => "hole-end thread",
            Self::Waist => "waist",
        })
    }
}

/// A section and where it lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    pub place: SectionAt,
    pub area: Area,
}

/// What is known of the sections of one fastener.
#[derive(Debug, Clone, Copy)]
pub struct Sections<'a> {
    pub thread: &'a Geometry,
    /// The other thread of a stud.
    pub hole_thread: Option<&'a Geometry>,
    /// Diameter of a reduced shank.
    pub waist: Option<Length>,
}

impl<'a> Sections<'a> {
    /// A plain bolt: nothing but its thread.
    pub fn of_thread(thread: &'a Geometry) -> Self {
        Self { thread, hole_thread: None, waist: None }
    }

    /// In the order thread, hole-end thread, waist.
    fn known(&self) -> Result<[Option<Section>; 3], MechanicsError> {
        sound(self.thread)?;
        let hole = self.hole_thread.map(|other| {
            sound(other)?;
            Ok(Section { place: SectionAt::HoleThread, area: other.stress_area })
        });
        Ok([
            Some(Section { place: SectionAt::Thread, area: self.thread.stress_area }),
            hole.transpose()?,
            self.turned_down()?,
        ])
    }

    fn turned_down(&self) -> Result<Option<Section>, MechanicsError> {
        const FIELD: &str = "waist diameter";
        let Some(diameter) = self.waist else { return Ok(None) };
        let area = round_section(FIELD, diameter)?;
        if diameter > self.largest() {
            smaller(FIELD, diameter, "major diameter", self.largest())?;
        }
        Ok(Some(Section { place: SectionAt::Waist, area }))
    }

    /// The larger major diameter: a reduced shank may still be thicker than the
    /// smaller end of a stud.
    fn largest(&self) -> Length {
        match self.hole_thread {
            Some(other) if other.major > self.thread.major => other.major,
            _ => self.thread.major,
        }
    }

    /// The section with the smallest area; of equal ones the first in the order
    /// thread, hole-end thread, waist.
    ///
    /// The clamp is the same all along a fastener, so the smallest section has
    /// the highest tension. The torsion of the turned thread goes through waist
    /// and hole end too, and twists a smaller section more, so it is also the
    /// section with the highest stress of the two together. Source: VDI 2230,
    /// A0 = smallest cross section.
    pub fn weakest(&self) -> Result<Section, MechanicsError> {
        let own = Section { place: SectionAt::Thread, area: self.thread.stress_area };
        let smaller_of = |least: Section, next: Section| {
            if next.area < least.area { next } else { least }
        };
        Ok(self.known()?.into_iter().flatten().fold(own, smaller_of))
    }
}

/// A = π/4·d², mm², of a round section of diameter `diameter`, mm; `field` is
/// what the diameter is called in an error.
pub fn round_section(field: &'static str, diameter: Length) -> Result<Area, MechanicsError> {
    let diameter = positive(field, diameter)?;
    Ok(diameter * diameter * FRAC_PI_4)
}

/// Fails unless the diameters, pitch and flank angle of `thread` can be one
/// thread: d3 <= d1 < d2 < d, the stress area inside the major diameter.
pub(crate) fn sound(thread: &Geometry) -> Result<(), MechanicsError> {
    positive("major diameter", thread.major)?;
    positive("pitch", thread.pitch)?;
    positive("pitch diameter", thread.pitch_diameter)?;
    positive("minor diameter", thread.minor_diameter)?;
    positive("root diameter", thread.root_diameter)?;
    positive("stress area", thread.stress_area)?;
    within("flank angle", thread.flank_angle, 20.0, 90.0)?;
    smaller("pitch", thread.pitch, "major diameter", thread.major)?;
    smaller("pitch diameter", thread.pitch_diameter, "major diameter", thread.major)?;
    smaller("minor diameter", thread.minor_diameter, "pitch diameter", thread.pitch_diameter)?;
    smaller("root diameter", thread.root_diameter, "pitch diameter", thread.pitch_diameter)?;
    let full = round_section("major diameter", thread.major)?;
    smaller("stress area", thread.stress_area, "area of the major diameter", full)
}

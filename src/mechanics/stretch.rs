//! Stretch of a fastener under clamp, and what is left of it afterwards.

use crate::mechanics::MechanicsError;
use crate::mechanics::area::{round_section, sound};
use crate::mechanics::error::{positive, result};
use crate::mechanics::formula::{Formula, HOOKE};
use crate::mechanics::stiffness::{Segment, SegmentPart, in_a_row};
use crate::quantity::{Force, Length, Stress};
use crate::thread::Geometry;

pub static STRETCH: Formula = Formula::new("δ = F/kb", HOOKE);

pub static CLAMP_OF_STRETCH: Formula = Formula::new("F = δ·kb", HOOKE);

pub static SET: Formula = Formula::new(
    "set = Lnow − Lnew",
    "free length against free length when new, one gauge, one temperature",
);

/// One end of a fastener, where the clamp enters it.
#[derive(Debug, Clone, Copy)]
pub enum End<'a> {
    /// A hexagon head on a shank of this diameter, mm.
    HexHead(Length),
    /// A socket head on a shank of this diameter, mm.
    SocketHead(Length),
    /// A nut on this thread, as stiff as the fastener.
    Nut(&'a Geometry),
    /// A tapped hole for this thread in a part of this modulus, MPa.
    Hole(&'a Geometry, Stress),
}

/// A length between the ends.
#[derive(Debug, Clone, Copy)]
pub enum Between<'a> {
    /// Plain shank: diameter and length, mm.
    Shank(Length, Length),
    /// Reduced shank: diameter and length, mm.
    Waist(Length, Length),
    /// Loaded thread outside nut and hole: its length, mm.
    Thread(&'a Geometry, Length),
}

/// A fastener from end to end: bolt (head, nut or hole) or stud (nut, hole).
#[derive(Debug, Clone, Copy)]
pub struct EndToEnd<'a> {
    pub modulus: Stress,
    /// What holds it: two ends, or fewer where only a length of it counts.
    pub ends: &'a [End<'a>],
    /// What lies between them; together it is the grip.
    pub between: &'a [Between<'a>],
}

impl EndToEnd<'_> {
    /// The fastener as segments, each with its part, length, section, modulus.
    ///
    /// Added to the lengths between: half a diameter inside a hexagon head, 0.4
    /// inside a socket head, half a diameter of root section d3 for the engaged
    /// thread, 0.4 of full section for a nut, 0.33 for a tapped hole with the
    /// modulus of that part. Free thread counts with the root section d3.
    /// Valid below yield. Source: VDI 2230, resilience of the bolt (5.1.1; the
    /// five factors from memory).
    pub fn segments(&self) -> Result<Vec<Segment>, MechanicsError> {
        let modulus = positive("modulus", self.modulus)?;
        let mut all = Vec::with_capacity(self.between.len() + 4);
        for end in self.ends {
            end_segments(end, modulus, &mut all)?;
        }
        for piece in self.between {
            let (part, diameter, length) = match *piece {
                Between::Shank(diameter, length) => (SegmentPart::Shank, diameter, length),
                Between::Waist(diameter, length) => (SegmentPart::Waist, diameter, length),
                Between::Thread(thread, length) => {
                    sound(thread)?;
                    (SegmentPart::FreeThread, thread.root_diameter, length)
                }
            };
            let area = round_section("diameter", diameter)?;
            all.push(Segment { part, length: positive("length", length)?, area, modulus });
        }
        Ok(all)
    }
}

fn end_segments(
    end: &End<'_>,
    modulus: Stress,
    all: &mut Vec<Segment>,
) -> Result<(), MechanicsError> {
    let mut head = |diameter: Length, share: f64| {
        let area = round_section("shank diameter", diameter)?;
        all.push(Segment { part: SegmentPart::Head, length: diameter * share, area, modulus });
        Ok(())
    };
    let (thread, part, share, around) = match *end {
        End::HexHead(diameter) => return head(diameter, 0.5),
        End::SocketHead(diameter) => return head(diameter, 0.4),
        End::Nut(thread) => (thread, SegmentPart::Nut, 0.4, modulus),
        End::Hole(thread, hole) => {
            (thread, SegmentPart::Hole, 0.33, positive("hole modulus", hole)?)
        }
    };
    sound(thread)?;
    let root = round_section("root diameter", thread.root_diameter)?;
    let full = round_section("major diameter", thread.major)?;
    all.push(Segment {
        part: SegmentPart::EngagedThread,
        length: thread.major * 0.5,
        area: root,
        modulus,
    });
    all.push(Segment { part, length: thread.major * share, area: full, modulus: around });
    Ok(())
}

/// The stretch, mm, under `clamp`: δ = F·Σ L/(E·A). Elastic only: compare the
/// clamp with yield before trusting it.
pub fn stretch_at(clamp: Force, segments: &[Segment]) -> Result<Length, MechanicsError> {
    let stiffness = in_a_row(segments)?;
    result("stretch", stiffness.change(positive("clamp", clamp)?), "clamp")
}

/// The clamp, N, at a measured `stretch`, mm: F = δ / Σ L/(E·A). The lubricant
/// does not enter. Valid below yield.
pub fn clamp_at_stretch(stretch: Length, segments: &[Segment]) -> Result<Force, MechanicsError> {
    let stiffness = in_a_row(segments)?;
    result("clamp", stiffness.force(positive("stretch", stretch)?), "stretch")
}

/// Growth at which a bolt is given up when its sheet states no limit: 0.001 in.
/// Common practice, no standard.
pub const CUSTOMARY_SET: Length = Length::from_mm(0.0254);

/// What the free length says of a used bolt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PermanentSet {
    /// No free length when new on record: cannot judge.
    CannotJudge,
    /// Shorter than when new by more than the limit: other gauge, other
    /// temperature, or another bolt.
    Shorter(Length),
    /// Grown by this, within the limit (a little below zero is gauge error).
    Within(Length),
    /// Grown by this, over the limit: scrap.
    Over(Length),
}

/// Permanent set = free length now − free length new, judged against `limit`,
/// mm, all at one temperature with one gauge.
pub fn permanent_set(
    now: Length,
    new: Option<Length>,
    limit: Length,
) -> Result<PermanentSet, MechanicsError> {
    let now = positive("free length now", now)?;
    let limit = positive("limit of growth", limit)?;
    let Some(new) = new else { return Ok(PermanentSet::CannotJudge) };
    let growth = now - positive("free length new", new)?;
    // A millionth of a millimetre is below any gauge: growth equal to the limit
    // must not fail on the last bit.
    let slack = Length::from_mm(1e-6);
    Ok(if growth > limit + slack {
        PermanentSet::Over(growth)
    } else if -growth > limit + slack {
        PermanentSet::Shorter(-growth)
    } else {
        PermanentSet::Within(growth)
    })
}

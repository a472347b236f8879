//! Rows of a fastener and its joint.

use crate::quantity::{Length, Stress, Torque};
use crate::record::{
    Bearing, Bottom, Duty, Fastener, Joint, Kind, Prevailing, Reuse, Strength, Turned, Wet,
};
use crate::store::row::leaf::{Amount, AsText};
use crate::store::row::mirror::{Mirror, mirror};
use crate::store::row::setting::SettingRow;
use crate::thread::Thread;

mirror!(
    /// A joint; it is kept with each of its fasteners.
    JointRow of Joint {
        assembly: String,
        name: String,
        duty: Option<AsText<Duty>>,
        gasket: Option<String>,
        machining: Option<String>,
        place: Option<u32>,
        layout: Option<String>,
        order: Option<String>,
    }
);

mirror!(
    /// A strength by name or in figures.
    StatedStrengthRow of Strength {
        name: Option<String>,
        proof: Option<Amount<Stress>>,
        yield_: Option<Amount<Stress>>,
        tensile: Option<Amount<Stress>>,
    }
);

mirror!(
    /// The ring under the turned part.
    BearingRow of Bearing {
        outer: Amount<Length>,
        hole: Amount<Length>,
    }
);

/// Whether a fastener may be used again.
#[derive(Debug, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum ReuseRow {
    /// May be.
    Reusable,
    /// Thrown away.
    SingleUse,
    /// So many times.
    UpTo(u32),
    /// Until a free length.
    FreeLength(Amount<Length>),
}

impl Mirror<Reuse> for ReuseRow {
    fn row_of(record: &Reuse) -> Self {
        match record {
            Reuse::Reusable => Self::Reusable,
            Reuse::SingleUse => Self::SingleUse,
            Reuse::UpTo(cycles) => Self::UpTo(*cycles),
            Reuse::FreeLength(limit) => Self::FreeLength(Mirror::row_of(limit)),
        }
    }
    fn into_record(self) -> Reuse {
        match self {
            Self::Reusable => Reuse::Reusable,
            Self::SingleUse => Reuse::SingleUse,
            Self::UpTo(cycles) => Reuse::UpTo(cycles),
            Self::FreeLength(limit) => Reuse::FreeLength(limit.into_record()),
        }
    }
}

mirror!(
    /// A fastener with its settings.
    FastenerRow of Fastener {
        key: String,
        joint: JointRow,
        part: String,
        kind: Option<AsText<Kind>>,
        part_number: Option<String>,
        count: Option<u32>,
        positions: Option<String>,
        group: Option<String>,
        after_group: Option<String>,
        thread: Option<AsText<Thread>>,
        hole_thread: Option<AsText<Thread>>,
        hole_end_lube: Option<String>,
        hole_end_fitting: Option<String>,
        turned: Option<AsText<Turned>>,
        strength: StatedStrengthRow,
        finish: Option<String>,
        waist: Option<Amount<Length>>,
        length: Option<Amount<Length>>,
        grip: Option<Amount<Length>>,
        engagement: Option<Amount<Length>>,
        hole_depth: Option<Amount<Length>>,
        hole_material: Option<String>,
        insert: Option<bool>,
        head: Option<String>,
        drive: Option<String>,
        seat: Option<String>,
        bearing: Option<BearingRow>,
        bottom: Option<AsText<Bottom>>,
        wet: Option<AsText<Wet>>,
        sealant: Option<String>,
        washer: Option<String>,
        reuse: Option<ReuseRow>,
        prevailing: Option<Amount<Torque>>,
        prevailing_rule: Option<AsText<Prevailing>>,
        tags: Vec<String>,
        notes: Option<String>,
        verbatim: Option<String>,
        settings: Vec<SettingRow>,
    }
);

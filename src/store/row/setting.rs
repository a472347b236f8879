//! Rows of a setting and its source.

use jiff::civil::Date;

use crate::quantity::{Angle, Length, Ratio, Torque};
use crate::record::{Basis, Method, Pass, Setting, Source, SourceKind};
use crate::store::row::leaf::{Amount, AsText, ExtentRow};
use crate::store::row::mirror::{Mirror, mirror};

/// One step of a tightening.
#[derive(Debug, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum PassRow {
    /// To a torque.
    Torque(Amount<Torque>),
    /// To a share of the final torque.
    Share(Amount<Ratio>),
    /// Through an angle.
    Turn(Amount<Angle>),
    /// To snug.
    Snug,
}

impl Mirror<Pass> for PassRow {
    fn row_of(record: &Pass) -> Self {
        match record {
            Pass::Torque(torque) => Self::Torque(Mirror::row_of(torque)),
            Pass::Share(share) => Self::Share(Mirror::row_of(share)),
            Pass::Turn(angle) => Self::Turn(Mirror::row_of(angle)),
            Pass::Snug => Self::Snug,
        }
    }
    fn into_record(self) -> Pass {
        match self {
            Self::Torque(torque) => Pass::Torque(torque.into_record()),
            Self::Share(share) => Pass::Share(share.into_record()),
            Self::Turn(angle) => Pass::Turn(angle.into_record()),
            Self::Snug => Pass::Snug,
        }
    }
}

mirror!(
    /// The paper a figure stands on.
    SourceRow of Source {
        title: Option<String>,
        page: Option<String>,
        revision: Option<String>,
        date: Option<AsText<Date>>,
        kind: Option<AsText<SourceKind>>,
    }
);

mirror!(
    /// A setting.
    SettingRow of Setting {
        lube: Option<String>,
        face_lube: Option<String>,
        method: AsText<Method>,
        torque: Option<ExtentRow<Torque>>,
        snug: Option<Amount<Torque>>,
        angles: Vec<Amount<Angle>>,
        stretch: Option<ExtentRow<Length>>,
        passes: Vec<PassRow>,
        cycles: Option<u32>,
        tolerance: Option<Amount<Ratio>>,
        this_lube_only: bool,
        retorque: Option<String>,
        recheck: Option<String>,
        basis: AsText<Basis>,
        source: SourceRow,
        entered_on: Option<AsText<Date>>,
        entered_by: Option<String>,
        checked_by: Option<String>,
        supersedes: Option<String>,
        superseded: bool,
        warnings: Vec<String>,
    }
);

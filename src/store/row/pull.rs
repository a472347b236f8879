//! Rows of the log.

use jiff::Timestamp;
use jiff::civil::Date;

use crate::quantity::{Angle, Length, Torque};
use crate::record::{PassDone, Pull, PullKind, Reached, Snapshot, WrenchUsed};
use crate::store::row::leaf::{Amount, AsText};
use crate::store::row::mirror::mirror;
use crate::store::row::setting::SettingRow;

mirror!(
    /// A setting as it stood when it was used.
    SnapshotRow of Snapshot {
        key: String,
        generation: u64,
        part: String,
        thread: Option<String>,
        count: Option<u32>,
        setting: SettingRow,
    }
);

mirror!(
    /// A wrench as it stood when it was used.
    WrenchUsedRow of WrenchUsed {
        name: String,
        calibrated: Option<AsText<Date>>,
        due: Option<AsText<Date>>,
    }
);

mirror!(
    /// One pass.
    PassDoneRow of PassDone {
        to: String,
        done: bool,
        value: Option<Amount<Torque>>,
    }
);

mirror!(
    /// What was reached at a fastener.
    ReachedRow of Reached {
        position: String,
        torque: Option<Amount<Torque>>,
        angle: Option<Amount<Angle>>,
        stretch: Option<Amount<Length>>,
        before: Option<Amount<Length>>,
        after: Option<Amount<Length>>,
    }
);

mirror!(
    /// One line of the log.
    PullRow of Pull {
        number: u64,
        corrects: Option<u64>,
        job: String,
        at: AsText<Timestamp>,
        who: Option<String>,
        kind: AsText<PullKind>,
        assembly: String,
        joint: String,
        spec: SnapshotRow,
        wrench: Option<WrenchUsedRow>,
        lube: Option<String>,
        lot: Option<String>,
        order: Option<String>,
        passes: Vec<PassDoneRow>,
        reached: Vec<ReachedRow>,
        set: Option<String>,
        remarks: Option<String>,
    }
);

//! The records of the book: fasteners with their settings, lubricants,
//! strengths, and the one catalogue of fields.
//!
//! A [`Fastener`] belongs to a [`Joint`] and has one [`Setting`] for each way
//! it is tightened; a question returns [`Row`]s, one setting each. [`FIELDS`]
//! is the one table of what can be asked, shown, imported and exported;
//! [`derive()`] is the one place where a clamp follows from a setting.

mod bench;
mod calibration;
mod choice;
mod derive;
mod differences;
pub(crate) mod duty_words;
mod fastener;
mod fields;
mod finish;
mod friction;
mod info;
mod kept;
mod key;

mod log;
mod material;
mod ratio;
mod reference;
mod refusal;
mod row;
mod setting;
mod sheet_line;
mod strength;
mod table;
mod tables;
mod vocabulary;
mod words;
mod wrench;

pub use crate::mechanics::Clamp;
pub use bench::{
    JointOrder, LAYOUTS, Layout, LayoutError, PassFrom, PassPlan, PassStep, PassWish, Pattern,
    Places, TorqueStep, WrenchWish, hole_numbers, is_of_order, joint_order, listed_numbers,
    own_holes, plan_passes, plan_torque, prevailing_of, read_layout,
};
pub use calibration::{AsFound, Calibrated};
pub use derive::{
    NEAR_STRENGTH, Unsettled, WRENCH_TOLERANCE, control, derive, derive_with, prevailing_part,
};
pub use differences::{FieldChange, changes_of, differences};
pub use fastener::{
    Bearing, Bottom, Duty, Fastener, Joint, Kind, Prevailing, Reuse, Strength, Turned, Wet,
};
pub(crate) use fields::place_of;
pub use fields::{FIELDS, field_words, find_field, stored_fields};
pub use finish::{Finish, FinishStated, finish_of, lube_finish};
pub use friction::{Friction, Lubes, NoForm, Ring, bearing_ring, best_form, same_form};
pub use info::BookInfo;
pub use kept::{Kept, KeptKind, Named, find_by_name, place_of_name, put_by_name};
pub use key::{setting_keys, slug, unique_slug};
pub use log::{
    BOLT_SETS, Bolt, BoltSet, BoltState, BoltVerdict, LOG_LINES, Log, LogError, NOT_SENT_YET,
    PassDone, Pull, PullKind, Reached, Recall, Snapshot, WrenchUsed,
};
pub use material::{
    Material, Stuff, bolt_material, foreign_factor, hole_material, lube_material, material_of,
};
pub use ratio::{LubeRatio, lube_ratios};
pub use reference::{LUBES, STRENGTHS};
pub use refusal::Refusal;
pub use row::{Derived, Restated, Row};
pub use setting::{Basis, Method, NOT_STATED, Pass, Setting, Source, SourceKind};
pub use sheet_line::SheetLine;
pub use table::{
    Field, FieldError, FieldKind, KeyPart, Measure, Owner, RecordTable, Value, Written,
};
pub use tables::{Band, Lube, LubeClass, StrengthClass, StrengthRow, Tables};
pub use vocabulary::{NameOf, Vocabulary};
pub(crate) use words::Phrases;
pub use wrench::{Aids, Calibration, WRENCHES, Wrench, WrenchError, best_of};

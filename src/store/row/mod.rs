//! Rows as they lie on the disk: the store's own types, one version byte
//! before each.
//!
//! A row mirrors a record field by field; the mirror is made by taking the
//! record apart completely, so that a new field cannot be forgotten here.
//! What a row refers to (units, closed lists of words, threads, days) is kept
//! as printed text, which outlives a reordered table.

mod bench;
mod fastener;
mod leaf;
mod mirror;
mod pull;
mod setting;
mod tables;

pub(crate) use bench::{BoltSetRow, LayoutRow, WrenchRow};
pub(crate) use fastener::FastenerRow;
pub(crate) use mirror::Mirror;
pub(crate) use pull::PullRow;
pub(crate) use tables::{LubeRow, StrengthRow};

/// The version of every row type in this folder. A change of any of them
/// makes a new set of types beside these, and a new number.
pub(crate) const ROW_VERSION: u8 = 1;

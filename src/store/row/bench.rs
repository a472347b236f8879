//! Rows of what belongs to the bench: wrenches, layouts, bolt sets.

use jiff::civil::Date;

use crate::procedure::Point;
use crate::quantity::{Length, Torque};
use crate::record::{Bolt, BoltSet, Layout, Wrench};
use crate::store::row::leaf::{Amount, AsText};
use crate::store::row::mirror::{Mirror, mirror};
use crate::store::row::tables::Base;

mirror!(
    /// A torque wrench.
    WrenchRow of Wrench {
        name: String,
        low: Option<Amount<Torque>>,
        high: Option<Amount<Torque>>,
        graduation: Option<Amount<Torque>>,
        shop_low: Option<Amount<Torque>>,
        shop_high: Option<Amount<Torque>>,
        lever: Option<Amount<Length>>,
        calibrated: Option<AsText<Date>>,
        due: Option<AsText<Date>>,
        notes: Option<String>,
    }
);

/// A hole: mm to the right and away.
#[derive(Debug, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct PointRow {
    x: Base,
    y: Base,
}

impl Mirror<Point> for PointRow {
    fn row_of(record: &Point) -> Self {
        let Point { x, y } = record;
        Self { x: Mirror::<Length>::row_of(x), y: Mirror::<Length>::row_of(y) }
    }
    fn into_record(self) -> Point {
        Point { x: self.x.into_record(), y: self.y.into_record() }
    }
}

/// A group of holes.
#[derive(Debug, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct GroupRow {
    name: String,
    holes: Vec<u32>,
}

impl Mirror<(String, Vec<usize>)> for GroupRow {
    fn row_of((name, holes): &(String, Vec<usize>)) -> Self {
        // A layout has 400 holes at most.
        let holes = holes.iter().map(|hole| *hole as u32).collect();
        Self { name: name.clone(), holes }
    }
    fn into_record(self) -> (String, Vec<usize>) {
        (self.name, self.holes.into_iter().map(|hole| hole as usize).collect())
    }
}

mirror!(
    /// Where the holes of a joint lie.
    LayoutRow of Layout {
        name: String,
        points: Vec<PointRow>,
        groups: Vec<GroupRow>,
        notes: Option<String>,
    }
);

mirror!(
    /// One bolt of a set.
    BoltRow of Bolt {
        position: String,
        mark: Option<String>,
        new: Option<Amount<Length>>,
        earlier: u32,
    }
);

mirror!(
    /// Bolts that are told apart.
    BoltSetRow of BoltSet {
        name: String,
        fastener: String,
        bolts: Vec<BoltRow>,
        notes: Option<String>,
    }
);

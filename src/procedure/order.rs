//! The sequence in which the fasteners of a joint are pulled.

use std::fmt;

use crate::procedure::ProcedureError;
use crate::procedure::area::{Walk, area_around, centre_of};
use crate::procedure::circle::{circle_of, is_circle};
use crate::quantity::Length;

/// Where a hole lies, looking at the heads: x to the right, y away.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    pub x: Length,
    pub y: Length,
}

/// Where the box around `points` begins and ends along one side, mm; infinite of none.
pub fn ends(points: &[Point], along: fn(&Point) -> Length) -> (f64, f64) {
    let values = points.iter().map(|point| along(point).mm());
    let wider = |(low, high): (f64, f64), value: f64| (low.min(value), high.max(value));
    values.fold((f64::INFINITY, f64::NEG_INFINITY), wider)
}

/// Where an order comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Rule {
    Listed,
    CircleTable,
    CircleCross,
    CircleStride,
    AreaCross,
    AreaSpiral,
    Groups,
}

impl Rule {
    /// Whether clampbook made the order.
    pub fn is_generated(self) -> bool {
        self != Self::Listed
    }
}

impl fmt::Display for Rule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Listed => "as listed",
            Self::CircleTable => "circle, table of ASME PCC-1",
            Self::CircleCross => "circle, opposite pairs into the widest gap",
            Self::CircleStride => "circle of 3, 5 or 7, just under half way round",
            Self::AreaCross => "from the middle outwards, crossing over",
            Self::AreaSpiral => "from the middle outwards, in a spiral",
            Self::Groups => "group after group",
        })
    }
}

/// An order over the holes 1 to n: each exactly once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Order {
    holes: Vec<usize>,
    rule: Rule,
}

impl Order {
    /// Wraps `holes`, which the caller has made a permutation of 1 to n.
    pub(crate) fn new(holes: Vec<usize>, rule: Rule) -> Self {
        debug_assert!(check_each_once(&holes, holes.len()).is_ok(), "{holes:?}");
        Self { holes, rule }
    }

    /// Hole numbers in the order in which they are pulled.
    pub fn holes(&self) -> &[usize] {
        &self.holes
    }

    /// Where the order comes from.
    pub fn rule(&self) -> Rule {
        self.rule
    }

    /// For hole 1, 2, … its place in the order: what a map shows at each hole.
    pub fn place_of_each(&self) -> Vec<usize> {
        let mut places = vec![0; self.holes.len()];
        for (at, hole) in self.holes.iter().enumerate() {
            places[hole - 1] = at + 1;
        }
        places
    }

    /// The order in which the fasteners are loosened: the reverse.
    pub fn loosening(&self) -> Vec<usize> {
        self.holes.iter().rev().copied().collect()
    }
}

/// A listed order over `count` holes, if it names each exactly once.
pub fn listed(holes: &[usize], count: usize) -> Result<Order, ProcedureError> {
    check_each_once(holes, count)?;
    Ok(Order::new(holes.to_vec(), Rule::Listed))
}

fn check_each_once(holes: &[usize], count: usize) -> Result<(), ProcedureError> {
    let mut named = vec![0_usize; count];
    let mut unknown = Vec::new();
    for &hole in holes {
        match hole.checked_sub(1).and_then(|at| named.get_mut(at)) {
            Some(times) => *times += 1,
            None => unknown.push(hole),
        }
    }
    let which = |wanted: fn(usize) -> bool| -> Vec<usize> {
        (1..=count).filter(|hole| wanted(named[hole - 1])).collect()
    };
    let (twice, never) = (which(|times| times > 1), which(|times| times == 0));
    if twice.is_empty() && never.is_empty() && unknown.is_empty() {
        return Ok(());
    }
    Err(ProcedureError::NotEachOnce { holes: count, twice, never, unknown })
}

/// The order for holes at `points`: a circle if they lie on one, else an area.
pub fn layout(points: &[Point], walk: Walk) -> Result<Order, ProcedureError> {
    check_places(points)?;
    if is_circle(points) {
        return circle_of(points, None);
    }
    area_around(points, walk, centre_of(points))
}

/// The order for holes in groups that are pulled one after the other, such as
/// the small outer bolts of a head after the main ones. Each group names holes
/// of `points` by number; together they must name each exactly once. A group
/// after the first is ordered around the middle of the whole part.
pub fn grouped(
    points: &[Point],
    groups: &[Vec<usize>],
    walk: Walk,
) -> Result<Order, ProcedureError> {
    check_places(points)?;
    let all: Vec<usize> = groups.iter().flatten().copied().collect();
    check_each_once(&all, points.len())?;
    let middle = centre_of(points);
    let mut holes = Vec::with_capacity(points.len());
    for group in groups.iter().filter(|group| !group.is_empty()) {
        let places: Vec<Point> = group.iter().map(|hole| points[hole - 1]).collect();
        let inner = if is_circle(&places) {
            circle_of(&places, None)?
        } else {
            area_around(&places, walk, middle)?
        };
        holes.extend(inner.holes().iter().map(|at| group[at - 1]));
    }
    Ok(Order::new(holes, Rule::Groups))
}

/// Most holes of one joint.
pub(crate) const MOST_HOLES: usize = 400;

/// Fails unless there are 1 to [`MOST_HOLES`] points, each with a place of its
/// own.
pub(crate) fn check_places(points: &[Point]) -> Result<(), ProcedureError> {
    let found = points.len();
    if !(1..=MOST_HOLES).contains(&found) {
        return Err(ProcedureError::OutOfRange { field: "holes", found, low: 1, high: MOST_HOLES });
    }
    for (at, point) in points.iter().enumerate() {
        let sound = |length: Length| length.mm().abs() <= 1e7;
        if !sound(point.x) || !sound(point.y) {
            return Err(ProcedureError::NoPlace(at + 1));
        }
        let same = |other: &Point| {
            (other.x - point.x).mm().abs() < 0.01 && (other.y - point.y).mm().abs() < 0.01
        };
        if let Some(before) = points[..at].iter().position(same) {
            return Err(ProcedureError::SamePlace { first: before + 1, second: at + 1 });
        }
    }
    Ok(())
}

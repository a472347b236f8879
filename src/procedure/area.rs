//! Orders for holes spread over an area: heads, covers, pans, rows.

use crate::procedure::ProcedureError;
use crate::procedure::circle::milli;
use crate::procedure::order::{MOST_HOLES, Order, Point, Rule, check_places, ends};
use crate::quantity::Length;

/// How the holes of one ring follow each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Walk {
    /// The farthest next: both ends of the part close evenly.
    #[default]
    Cross,
    /// The nearest next, as many engine charts have it.
    Spiral,
}

/// The order for holes at `points`, from the middle of their box outwards.
///
/// Rings are holes at a like distance from the middle, measured along the longer
/// side where the holes lie in one or two rows, straight where in more; inner
/// rings first, so that no hole comes before one that is nearer by a pitch.
/// Within a ring the next hole is the farthest from the last one
/// ([`Walk::Cross`]) or the nearest ([`Walk::Spiral`]); of equal ones the one
/// farther along, then the one farther across. A straight row of nine gives
/// 9 7 5 3 1 2 4 6 8, left to right (US Army TM 5-3805-248-23-1). For rings and
/// columns there is no published rule: common practice, from the middle out.
pub fn area(points: &[Point], walk: Walk) -> Result<Order, ProcedureError> {
    area_around(points, walk, centre_of(points))
}

/// The order for `rows` × `columns` holes, numbered left to right in the top
/// row first.
pub fn grid(rows: usize, columns: usize, walk: Walk) -> Result<Order, ProcedureError> {
    let found = rows.saturating_mul(columns);
    if !(1..=MOST_HOLES).contains(&found) {
        let field = "holes of the grid";
        return Err(ProcedureError::OutOfRange { field, found, low: 1, high: MOST_HOLES });
    }
    let at = |row: usize, column: usize| Point {
        x: Length::from_mm(100.0 * column as f64),
        y: Length::from_mm(100.0 * (rows - row) as f64),
    };
    let points: Vec<Point> =
        (0..rows).flat_map(|row| (0..columns).map(move |column| at(row, column))).collect();
    area(&points, walk)
}

/// The middle of the box around `points`.
pub(crate) fn centre_of(points: &[Point]) -> Point {
    let middle = |(low, high)| Length::from_mm(f64::midpoint(low, high));
    Point { x: middle(ends(points, |point| point.x)), y: middle(ends(points, |point| point.y)) }
}

/// [`area`] around a given middle.
pub(crate) fn area_around(
    points: &[Point],
    walk: Walk,
    middle: Point,
) -> Result<Order, ProcedureError> {
    check_places(points)?;
    let places = along_and_across(points, middle);
    let mut holes: Vec<usize> = Vec::with_capacity(points.len());
    let mut last = (0.0, 0.0);
    for mut ring in rings(&places, &distances(&places)) {
        while !ring.is_empty() {
            let best = next_in(&ring, &places, last, walk, holes.is_empty());
            let hole = ring.swap_remove(best);
            last = places[hole];
            holes.push(hole + 1);
        }
    }
    let rule = match walk {
        Walk::Cross => Rule::AreaCross,
        Walk::Spiral => Rule::AreaSpiral,
    };
    Ok(Order::new(holes, rule))
}

/// Places as (along, across) the longer side of their box, from `middle`.
fn along_and_across(points: &[Point], middle: Point) -> Vec<(f64, f64)> {
    let places: Vec<(f64, f64)> =
        points.iter().map(|point| ((point.x - middle.x).mm(), (point.y - middle.y).mm())).collect();
    let ((left, right), (bottom, top)) = (ends(points, |p| p.x), ends(points, |p| p.y));
    if milli(top - bottom) > milli(right - left) {
        return places.into_iter().map(|(x, y)| (y, x)).collect();
    }
    places
}

/// How far each hole lies from the middle: along the part where there are one or
/// two rows, straight where there are more.
fn distances(places: &[(f64, f64)]) -> Vec<f64> {
    if rows(places) <= 2 {
        return places.iter().map(|place| place.0.abs()).collect();
    }
    places.iter().map(|place| place.0.hypot(place.1)).collect()
}

/// The number of rows across the part: a new one begins more than 0.35 pitches
/// from the hole before.
fn rows(places: &[(f64, f64)]) -> usize {
    let mut across: Vec<f64> = places.iter().map(|place| place.1).collect();
    across.sort_by(f64::total_cmp);
    let least = milli(0.35 * nearest_pitch(places));
    let apart = |pair: &&[f64]| milli(pair[1] - pair[0]) > least;
    1 + across.windows(2).filter(apart).count()
}

/// The holes grouped by distance, inner first. A new ring begins more than 0.35
/// pitches outside the first hole of the one before.
fn rings(places: &[(f64, f64)], distances: &[f64]) -> Vec<Vec<usize>> {
    let mut by_distance: Vec<usize> = (0..places.len()).collect();
    by_distance.sort_by(|a, b| milli(distances[*a]).cmp(&milli(distances[*b])).then(a.cmp(b)));
    let pitch = if rows(places) <= 2 { column_pitch(places) } else { nearest_pitch(places) };
    let limit = milli(0.35 * pitch);
    let mut rings: Vec<Vec<usize>> = Vec::new();
    let mut first = 0.0;
    for hole in by_distance {
        match rings.last_mut() {
            Some(ring) if milli(distances[hole]) - milli(first) <= limit => ring.push(hole),
            _ => {
                first = distances[hole];
                rings.push(vec![hole]);
            }
        }
    }
    rings
}

/// The upper median of the distances to the nearest other hole.
fn nearest_pitch(places: &[(f64, f64)]) -> f64 {
    let nearest = |(at, place): (usize, &(f64, f64))| {
        let others = places.iter().enumerate().filter(|(other, _)| *other != at);
        let apart = others.map(|(_, other)| (other.0 - place.0).hypot(other.1 - place.1));
        milli(apart.fold(f64::INFINITY, f64::min))
    };
    let mut all: Vec<i64> = places.iter().enumerate().map(nearest).collect();
    all.sort_unstable();
    all.get(all.len() / 2).copied().unwrap_or(0) as f64 / 1000.0
}

/// The upper median of the gaps between different distances along, but at least
/// the even spacing 2·max/n.
fn column_pitch(places: &[(f64, f64)]) -> f64 {
    let mut distances: Vec<i64> = places.iter().map(|place| milli(place.0.abs())).collect();
    distances.sort_unstable();
    distances.dedup();
    let mut gaps: Vec<i64> = distances.windows(2).map(|pair| pair[1] - pair[0]).collect();
    gaps.sort_unstable();
    let median = gaps.get(gaps.len() / 2).copied().unwrap_or(0) as f64 / 1000.0;
    let farthest = distances.last().copied().unwrap_or(0) as f64 / 1000.0;
    median.max(2.0 * farthest / places.len() as f64)
}

/// The index in `ring` of the hole to pull next.
fn next_in(
    ring: &[usize],
    places: &[(f64, f64)],
    last: (f64, f64),
    walk: Walk,
    is_first: bool,
) -> usize {
    let key = |hole: usize| {
        let (along, across) = places[hole];
        let distance = milli((along - last.0).hypot(across - last.1));
        // The very first is the nearest to the middle, where `last` starts.
        let wanted = if is_first || walk == Walk::Spiral { -distance } else { distance };
        (wanted, milli(along), milli(across), std::cmp::Reverse(hole))
    };
    (1..ring.len()).fold(0, |best, at| if key(ring[at]) > key(ring[best]) { at } else { best })
}

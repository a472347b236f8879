//! The map of holes as SVG: each ring holds its hole's number, and beside it stands
//! its turn, 1st, 2nd.

use maud::{Markup, html};

use crate::procedure::{Point, ends};
use crate::report::map::ordinal;

/// A hole of the map.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Hole {
    pub(crate) number: usize,
    /// Its place in the order; none where the order is not known.
    pub(crate) order: Option<usize>,
    /// Which outline it has, so that long and short bolts are told apart.
    pub(crate) outline: usize,
}

/// Room that a map may take, em of its page.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Room {
    pub(crate) width: f64,
    pub(crate) height: f64,
}

/// Largest and smallest ring, em.
const LARGEST: f64 = 1.6;
const SMALLEST: f64 = 0.75;
/// Smallest and largest turn, em: nothing is smaller than the type of the page.
const LABELS: (f64, f64) = (1.0, 1.2);

/// Draws `holes[i]` at `points[i]`, as large as `room` lets it.
pub(crate) fn map(points: &[Point], holes: &[Hole], room: Room) -> Map {
    let Placed { at, ring, width, height } = place(points, room);
    let size = (ring * 0.7).clamp(LABELS.0, LABELS.1);
    let inner = (ring * 1.05).max(LABELS.0);
    let svg = html! {
        svg width=(em(width)) height=(em(height))
            viewBox=(format!("0 0 {width:.2} {height:.2}")) role="img" aria-label="bolt map" {
            @for ((hole, (x, y)), turn) in holes.iter().zip(&at).zip(turns(holes, &at, ring, size)) {
                g data-hole=(hole.number) {
                    (outline(hole.outline, *x, *y, ring, hole.order == Some(1)))
                    text class="hole-number" x=(coordinate(*x)) y=(coordinate(y + inner * 0.36))
                        font-size=(coordinate(inner)) { (hole.number) }
                    @if let Some(order) = hole.order {
                        text class="turn" x=(coordinate(turn.0)) y=(coordinate(turn.1))
                            text-anchor="middle" font-size=(coordinate(size)) { (ordinal(order)) }
                    }
                }
            }
        }
    };
    Map { svg, height }
}

/// A map that was drawn.
#[derive(Debug, Clone)]
pub(crate) struct Map {
    pub(crate) svg: Markup,
    /// Its height, em.
    pub(crate) height: f64,
}

/// A part of the map that is taken, em.
#[derive(Clone, Copy)]
struct Space {
    middle: (f64, f64),
    /// Half its width and height.
    half: (f64, f64),
}

impl Space {
    fn overlap(&self, other: &Self) -> f64 {
        let along = |at: f64, half: f64, to: f64, other: f64| {
            (half + other - (at - to).abs()).clamp(0.0, 2.0 * half.min(other))
        };
        along(self.middle.0, self.half.0, other.middle.0, other.half.0)
            * along(self.middle.1, self.half.1, other.middle.1, other.half.1)
    }
}

/// Half the width of a letter of a turn, em of its size, in a wide font.
const HALF_LETTER: f64 = 0.33;

/// The middles of the turns of all holes: outside the circle that the holes lie on; else
/// each where it covers least of the rings and of the turns before it, below its ring for
/// choice.
fn turns(holes: &[Hole], all: &[(f64, f64)], ring: f64, size: f64) -> Vec<(f64, f64)> {
    let rings = holes.iter().zip(all).map(|(hole, middle)| {
        let half = ring * depth(hole.outline);
        Space { middle: *middle, half: (half, half) }
    });
    let mut occupied: Vec<Space> = rings.collect();
    let circle = middle_of_circle(all);
    let place = |hole: &Hole, at: (f64, f64), occupied: &[Space]| {
        let out = ring * depth(hole.outline);
        if let Some((x, y)) = circle {
            let away = (at.0 - x).hypot(at.1 - y);
            let factor = (away + out + size * 1.15) / away;
            return Space {
                middle: (x + (at.0 - x) * factor, y + (at.1 - y) * factor),
                half: (size, size / 2.0),
            };
        }
        let letters = hole.order.map_or(0, |order| ordinal(order).chars().count());
        let half = (letters as f64 * HALF_LETTER * size, size * 0.5);
        let (across, down) = (out + 0.1 + half.0, out + 0.1 + half.1);
        let near = (out * 0.72 + half.0, out * 0.72 + half.1);
        let ways = [
            (0.0, down),
            (-across, 0.0),
            (across, 0.0),
            (0.0, -down),
            (-near.0, near.1),
            (near.0, near.1),
            (-near.0, -near.1),
            (near.0, -near.1),
        ];
        let spaces = ways.map(|way| Space { middle: (at.0 + way.0, at.1 + way.1), half });
        let covers = |one: &Space| occupied.iter().map(|other| one.overlap(other)).sum::<f64>();
        spaces.into_iter().min_by(|a, b| covers(a).total_cmp(&covers(b))).unwrap_or(spaces[0])
    };
    let mut turns = Vec::with_capacity(holes.len());
    for (hole, at) in holes.iter().zip(all) {
        let space = place(hole, *at, &occupied);
        occupied.push(space);
        turns.push((space.middle.0, space.middle.1 + size * 0.35));
    }
    turns
}

/// The middle of the holes, if they lie about on one circle round it.
fn middle_of_circle(all: &[(f64, f64)]) -> Option<(f64, f64)> {
    let count = all.len() as f64;
    let sum = all.iter().fold((0.0, 0.0), |sum, at| (sum.0 + at.0, sum.1 + at.1));
    let middle = (sum.0 / count, sum.1 / count);
    let away = |at: &(f64, f64)| (at.0 - middle.0).hypot(at.1 - middle.1);
    let mean = all.iter().map(away).sum::<f64>() / count;
    let is_round = all.len() > 2 && all.iter().all(|at| (away(at) - mean).abs() < 0.05 * mean);
    is_round.then_some(middle)
}

/// How far an outline reaches down, in rings.
fn depth(outline: usize) -> f64 {
    [1.0, 0.92, 1.25, 0.95][outline % 4]
}

/// The outline alone, for a heading.
pub(crate) fn marker(which: usize) -> Markup {
    html! {
        svg viewBox="0 0 4 4" aria-hidden="true" { (outline(which, 2.0, 2.0, 1.4, false)) }
    }
}

/// Ring, square, diamond and triangle, in turn.
fn outline(which: usize, x: f64, y: f64, ring: f64, is_first: bool) -> Markup {
    let class = if is_first { "hole-ring first" } else { "hole-ring" };
    let corners = |corners: &[(f64, f64)]| {
        let each = corners
            .iter()
            .map(|(across, down)| format!("{:.2},{:.2}", x + across * ring, y + down * ring));
        each.collect::<Vec<_>>().join(" ")
    };
    let points = match which % 4 {
        0 => {
            return html! {
                circle class=(class) cx=(coordinate(x)) cy=(coordinate(y)) r=(coordinate(ring)) {}
            };
        }
        1 => corners(&[(-0.92, -0.92), (0.92, -0.92), (0.92, 0.92), (-0.92, 0.92)]),
        2 => corners(&[(0.0, -1.25), (1.25, 0.0), (0.0, 1.25), (-1.25, 0.0)]),
        _ => corners(&[(0.0, -1.35), (1.3, 0.95), (-1.3, 0.95)]),
    };
    html! { polygon class=(class) points=(points) {} }
}

fn em(length: f64) -> String {
    format!("{length:.2}em")
}

fn coordinate(value: f64) -> String {
    format!("{value:.2}")
}

/// Where everything goes, em from the top left corner.
struct Placed {
    at: Vec<(f64, f64)>,
    ring: f64,
    width: f64,
    height: f64,
}

fn place(points: &[Point], room: Room) -> Placed {
    let ((left, right), (bottom, top)) = (ends(points, |p| p.x), ends(points, |p| p.y));
    // Outside the largest outline there is room for a hole number.
    let edge = LARGEST + LABELS.1 * 2.4;
    let fit = |room: f64, span: f64| if span > 0.0 { (room - 2.0 * edge) / span } else { f64::MAX };
    let nearest = nearest(points);
    // No two rings farther apart than a hand's breadth: a map of two bolts is small. None
    // nearer than can be told apart, even if the map is then higher than the room.
    let apart = |length: f64| nearest.map_or(1.0, |near| length / near);
    let scale = fit(room.height, top - bottom)
        .max(apart(2.5 * SMALLEST))
        .min(fit(room.width, right - left))
        .min(apart(5.0 * LARGEST));
    let ring = nearest.map_or(LARGEST, |near| near * scale * 0.34).clamp(SMALLEST, LARGEST);
    let at = points
        .iter()
        .map(|point| (edge + (point.x.mm() - left) * scale, edge + (top - point.y.mm()) * scale));
    Placed {
        at: at.collect(),
        ring,
        width: 2.0 * edge + (right - left) * scale,
        height: 2.0 * edge + (top - bottom) * scale + 0.4,
    }
}

/// Between the two nearest points, mm; none for one point.
fn nearest(points: &[Point]) -> Option<f64> {
    let apart = |one: &Point, other: &Point| (one.x - other.x).mm().hypot((one.y - other.y).mm());
    let pairs = points.iter().enumerate().flat_map(|(at, one)| {
        let before = points[..at].iter();
        before.map(move |other| apart(one, other))
    });
    pairs.min_by(f64::total_cmp).filter(|least| *least > 0.0)
}

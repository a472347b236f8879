//! Orders for bolts on a circle.

use crate::procedure::ProcedureError;
use crate::procedure::order::{MOST_HOLES, Order, Point, Rule, check_places};

/// Published orders for the counts where the rule below gives another, equally
/// valid star. Bolts numbered clockwise. ASME PCC-1 legacy cross pattern, from
/// memory.
static TABLES: &[&[usize]] = &[
    &[1, 11, 6, 16, 3, 13, 8, 18, 5, 15, 10, 20, 2, 12, 7, 17, 4, 14, 9, 19],
    &[1, 13, 7, 19, 4, 16, 10, 22, 2, 14, 8, 20, 5, 17, 11, 23, 3, 15, 9, 21, 6, 18, 12, 24],
    &[
        1, 15, 8, 22, 4, 18, 11, 25, 6, 20, 13, 27, 2, 16, 9, 23, 5, 19, 12, 26, 7, 21, 14, 28, 3,
        17, 10, 24,
    ],
    &[
        1, 17, 9, 25, 5, 21, 13, 29, 3, 19, 11, 27, 7, 23, 15, 31, 2, 18, 10, 26, 6, 22, 14, 30, 4,
        20, 12, 28, 8, 24, 16, 32,
    ],
];

/// The order for `count` bolts evenly round a circle, numbered clockwise.
///
/// 20, 24, 28 and 32 by the published table; 3, 5 and 7 by a stride of (n − 1)/2
/// (from nine bolts on a stride pulls two clusters first); any other number in
/// opposite pairs, each next into the widest gap, which gives the published
/// orders for 4, 8, 12 and 16 (ASME PCC-1). Of an odd number the bolt nearest to
/// the opposite is the partner: common practice, no source.
pub fn circle(count: usize) -> Result<Order, ProcedureError> {
    if !(3..=MOST_HOLES).contains(&count) {
        let field = "bolts on the circle";
        return Err(ProcedureError::OutOfRange { field, found: count, low: 3, high: MOST_HOLES });
    }
    let even: Vec<f64> = (0..count).map(|at| at as f64 * 360.0 / count as f64).collect();
    Ok(by_angles(&even))
}

/// The order for bolts at `points` on a circle. Counting goes clockwise from
/// hole `first`, or from the topmost (of equal ones the leftmost); the numbers
/// in the order are those of `points`.
pub fn circle_of(points: &[Point], first: Option<usize>) -> Result<Order, ProcedureError> {
    check_places(points)?;
    let count = points.len();
    if count < 3 {
        let field = "bolts on the circle";
        return Err(ProcedureError::OutOfRange { field, found: count, low: 3, high: MOST_HOLES });
    }
    let start = match first {
        Some(hole) if (1..=count).contains(&hole) => hole - 1,
        Some(found) => {
            let field = "first hole";
            return Err(ProcedureError::OutOfRange { field, found, low: 1, high: count });
        }
        None => topmost(points),
    };
    let (x, y, _) = fitted(points);
    // Clockwise from straight up: atan2 with the axes swapped.
    let angle = |point: &Point| (point.x.mm() - x).atan2(point.y.mm() - y).to_degrees();
    let zero = angle(&points[start]);
    let mut round: Vec<(f64, usize)> = points
        .iter()
        .enumerate()
        .map(|(at, point)| (if at == start { 0.0 } else { turn(angle(point) - zero) }, at))
        .collect();
    round.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let angles: Vec<f64> = round.iter().map(|(angle, _)| *angle).collect();
    let order = by_angles(&angles);
    let holes = order.holes().iter().map(|place| round[place - 1].1 + 1).collect();
    Ok(Order::new(holes, order.rule()))
}

fn topmost(points: &[Point]) -> usize {
    let key = |at: usize| (milli(points[at].y.mm()), -milli(points[at].x.mm()));
    (1..points.len()).fold(0, |best, at| if key(at) > key(best) { at } else { best })
}

/// Whether `points` lie on one circle with no wide gap: radii within 3 % of
/// their mean, largest gap under 1.6 times the even one.
pub fn is_circle(points: &[Point]) -> bool {
    let count = points.len();
    if count < 3 {
        return false;
    }
    let (x, y, radius) = fitted(points);
    let place = |point: &Point| (point.x.mm() - x, point.y.mm() - y);
    let round = |point: &Point| {
        let (x, y) = place(point);
        (x.hypot(y) - radius).abs() <= 0.03 * radius
    };
    if !(radius.is_finite() && radius > 0.0 && points.iter().all(round)) {
        return false;
    }
    let mut angles: Vec<f64> = points
        .iter()
        .map(|point| {
            let (x, y) = place(point);
            turn(x.atan2(y).to_degrees())
        })
        .collect();
    angles.sort_by(f64::total_cmp);
    let widest = gaps(&angles).fold(0.0, f64::max);
    widest < 1.6 * 360.0 / count as f64
}

/// Centre and radius of the circle nearest to `points` (least squares on
/// x² + y² = 2ax + 2by + c). Not a number if they lie on a line.
fn fitted(points: &[Point]) -> (f64, f64, f64) {
    let count = points.len() as f64;
    let mean_x = points.iter().map(|point| point.x.mm()).sum::<f64>() / count;
    let mean_y = points.iter().map(|point| point.y.mm()).sum::<f64>() / count;
    let (mut xx, mut yy, mut xy, mut xz, mut yz, mut z) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
    for point in points {
        let (x, y) = (point.x.mm() - mean_x, point.y.mm() - mean_y);
        let square = x * x + y * y;
        xx += x * x;
        yy += y * y;
        xy += x * y;
        xz += x * square;
        yz += y * square;
        z += square;
    }
    let det = 2.0 * (xx * yy - xy * xy);
    if det.abs() < 1e-9 * (xx + yy) * (xx + yy) {
        return (f64::NAN, f64::NAN, f64::NAN);
    }
    let (a, b) = ((xz * yy - yz * xy) / det, (yz * xx - xz * xy) / det);
    (mean_x + a, mean_y + b, (a * a + b * b + z / count).sqrt())
}

/// An angle in 0 to 360.
fn turn(angle: f64) -> f64 {
    angle.rem_euclid(360.0)
}

/// The gaps between neighbours of rising `angles`, the last back to the first.
fn gaps(angles: &[f64]) -> impl Iterator<Item = f64> + '_ {
    let count = angles.len();
    (0..count).map(move |at| turn(angles[(at + 1) % count] - angles[at]))
}

/// Thousandths, for comparisons that must not hang on the last bit. The nudge
/// puts exact halves (360°/128) on one side whatever that bit is.
pub(crate) fn milli(value: f64) -> i64 {
    (value * 1000.0 + 1e-4).round() as i64
}

/// Fewer bolts than this, of an odd number, are pulled by a stride.
const FEW: usize = 9;

/// The order of bolts at rising `angles`, the first at 0.
fn by_angles(angles: &[f64]) -> Order {
    let count = angles.len();
    let even = 360.0 / count as f64;
    let is_even = gaps(angles).all(|gap| (gap - even).abs() <= 3.0);
    if let Some(table) = TABLES.iter().find(|table| is_even && table.len() == count) {
        return Order::new(table.to_vec(), Rule::CircleTable);
    }
    if count % 2 == 1 && count < FEW {
        let stride = (count - 1) / 2;
        let holes = (0..count).map(|step| step * stride % count + 1).collect();
        return Order::new(holes, Rule::CircleStride);
    }
    Order::new(crossing(angles), Rule::CircleCross)
}

/// Opposite pairs: the next bolt is the one whose nearest tightened bolt is
/// farthest away; of equal ones the one whose diameter is farthest from that of
/// the last pair, then the lowest number.
fn crossing(angles: &[f64]) -> Vec<usize> {
    let count = angles.len();
    let mut holes = Vec::with_capacity(count);
    let mut nearest = vec![i64::MAX; count];
    let mut next = 0;
    loop {
        take(next, angles, &mut holes, &mut nearest);
        let pair = next;
        let opposite = |at: &usize| (milli(apart(angles[*at], angles[pair] + 180.0)), *at);
        if let Some(partner) = left(&nearest).min_by_key(opposite) {
            take(partner, angles, &mut holes, &mut nearest);
        }
        let widest = |at: &usize| {
            let across = apart(2.0 * angles[*at], 2.0 * angles[pair]) / 2.0;
            (nearest[*at], milli(across), std::cmp::Reverse(*at))
        };
        match left(&nearest).max_by_key(widest) {
            Some(found) => next = found,
            None => return holes,
        }
    }
}

/// Marks a taken bolt in `nearest`.
const TAKEN: i64 = -1;

fn left(nearest: &[i64]) -> impl Iterator<Item = usize> + '_ {
    (0..nearest.len()).filter(|at| nearest[*at] != TAKEN)
}

fn take(at: usize, angles: &[f64], holes: &mut Vec<usize>, nearest: &mut [i64]) {
    holes.push(at + 1);
    for (other, distance) in nearest.iter_mut().enumerate() {
        if *distance != TAKEN {
            *distance = (*distance).min(milli(apart(angles[other], angles[at])));
        }
    }
    nearest[at] = TAKEN;
}

/// The smaller angle between two directions, 0 to 180.
fn apart(one: f64, other: f64) -> f64 {
    let between = turn(one - other);
    between.min(360.0 - between)
}

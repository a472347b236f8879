//! Orders: the published ones, the worked ones, and what holds for every
//! number of holes and every layout.

use std::fmt::Write as _;

use clampbook::procedure::{
    Order, Point, ProcedureError, Rule, Walk, area, circle, circle_of, grid, grouped, is_circle,
    layout, listed,
};
use clampbook::quantity::Length;
use proptest::prelude::*;

fn at(x: f64, y: f64) -> Point {
    Point { x: Length::from_mm(x * 40.0), y: Length::from_mm(y * 40.0) }
}

fn row(xs: &[f64], y: f64) -> Vec<Point> {
    xs.iter().map(|x| at(*x, y)).collect()
}

/// `count` points round a circle, clockwise from the top.
fn round(count: usize, radius: f64) -> Vec<Point> {
    (0..count)
        .map(|step| {
            let angle = (step as f64 * 360.0 / count as f64).to_radians();
            at(radius * angle.sin(), radius * angle.cos())
        })
        .collect()
}

/// ASME PCC-1 legacy cross patterns, bolts numbered clockwise. The list for 12
/// was read; those for the other numbers are from memory.
#[test]
fn published_circles() {
    let published: &[(usize, &[usize])] = &[
        (4, &[1, 3, 2, 4]),
        (8, &[1, 5, 3, 7, 2, 6, 4, 8]),
        (12, &[1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12]),
        (16, &[1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16]),
        (20, &[1, 11, 6, 16, 3, 13, 8, 18, 5, 15, 10, 20, 2, 12, 7, 17, 4, 14, 9, 19]),
        (
            24,
            &[
                1, 13, 7, 19, 4, 16, 10, 22, 2, 14, 8, 20, 5, 17, 11, 23, 3, 15, 9, 21, 6, 18, 12,
                24,
            ],
        ),
        (
            28,
            &[
                1, 15, 8, 22, 4, 18, 11, 25, 6, 20, 13, 27, 2, 16, 9, 23, 5, 19, 12, 26, 7, 21, 14,
                28, 3, 17, 10, 24,
            ],
        ),
        (
            32,
            &[
                1, 17, 9, 25, 5, 21, 13, 29, 3, 19, 11, 27, 7, 23, 15, 31, 2, 18, 10, 26, 6, 22,
                14, 30, 4, 20, 12, 28, 8, 24, 16, 32,
            ],
        ),
    ];
    for (count, order) in published {
        assert_eq!(circle(*count).unwrap().holes(), *order, "{count} bolts");
        // The same from coordinates, numbered clockwise from the top.
        assert_eq!(circle_of(&round(*count, 3.0), None).unwrap().holes(), *order, "{count}");
        assert!(is_circle(&round(*count, 3.0)));
    }
    assert_eq!(circle(12).unwrap().rule(), Rule::CircleCross);
    assert_eq!(circle(24).unwrap().rule(), Rule::CircleTable);
}

/// Half a ring, or holes well off the ring, are no circle.
#[test]
fn what_is_no_circle() {
    let half: Vec<Point> = round(16, 3.0).into_iter().take(9).collect();
    assert!(!is_circle(&half));
    let mut dented = round(12, 3.0);
    dented[4] = at(1.9, -1.1);
    assert!(!is_circle(&dented));
    assert!(!is_circle(&row(&[0.0, 1.0, 2.0], 0.0)));
    // One hole of sixteen left out is a gap of twice the pitch; of a ring with
    // one hole a little aside, the largest gap is still small.
    assert!(!is_circle(&round(16, 3.0)[1..]));
    let mut aside = round(8, 3.0);
    aside[0] = at(3.0 * 15f64.to_radians().sin(), 3.0 * 15f64.to_radians().cos());
    assert!(is_circle(&aside));
}

/// Worked by the rule on paper; six is common practice.
#[test]
fn worked_circles() {
    let worked: &[(usize, &[usize])] = &[
        (3, &[1, 2, 3]),
        (5, &[1, 3, 5, 2, 4]),
        (6, &[1, 4, 2, 5, 3, 6]),
        (7, &[1, 4, 7, 3, 6, 2, 5]),
        (9, &[1, 5, 3, 7, 6, 2, 4, 8, 9]),
        (11, &[1, 6, 9, 3, 7, 2, 4, 10, 8, 5, 11]),
        (10, &[1, 6, 3, 8, 5, 10, 2, 7, 4, 9]),
        (14, &[1, 8, 4, 11, 6, 13, 2, 9, 5, 12, 3, 10, 7, 14]),
    ];
    for (count, order) in worked {
        assert_eq!(circle(*count).unwrap().holes(), *order, "{count} bolts");
    }
    assert_eq!(circle(5).unwrap().rule(), Rule::CircleStride);
    let starting_at_4 = circle_of(&round(8, 3.0), Some(4)).unwrap();
    assert_eq!(starting_at_4.holes(), [4, 8, 6, 2, 5, 1, 7, 3]);
}

/// A straight row of nine, left to right: 9 7 5 3 1 2 4 6 8 (US Army
/// TM 5-3805-248-23-1), whichever way it lies.
#[test]
fn published_row_of_nine() {
    let places: Vec<f64> = (0..9).map(f64::from).collect();
    let wanted = [9, 7, 5, 3, 1, 2, 4, 6, 8];
    let across = area(&row(&places, 0.0), Walk::Cross).unwrap();
    assert_eq!(across.place_of_each(), wanted);
    assert_eq!(area(&row(&places, 0.0), Walk::Spiral).unwrap().holes()[0], 5);
    let along: Vec<Point> = places.iter().map(|y| at(0.0, *y)).collect();
    assert_eq!(area(&along, Walk::Cross).unwrap().place_of_each(), wanted);
    assert_eq!(grid(1, 9, Walk::Cross).unwrap().place_of_each(), wanted);
}

/// The map: the order number at each position, rows as seen from above.
fn map(points: &[Point], order: &Order) -> String {
    let places = order.place_of_each();
    let mut rows: Vec<f64> = points.iter().map(|point| point.y.mm()).collect();
    rows.sort_by(|a, b| b.total_cmp(a));
    rows.dedup();
    let mut text = String::new();
    for y in rows {
        let mut here: Vec<usize> = (0..points.len()).filter(|i| points[*i].y.mm() == y).collect();
        here.sort_by(|a, b| points[*a].x.mm().total_cmp(&points[*b].x.mm()));
        let separator = if text.is_empty() { "" } else { " / " };
        let numbers: Vec<String> = here.iter().map(|i| places[*i].to_string()).collect();
        write!(text, "{separator}{}", numbers.join(" ")).unwrap();
    }
    text
}

/// Heads and covers worked by the rule on paper. No published rule exists for
/// these; common practice is from the middle outwards.
#[test]
fn worked_areas() {
    let five: Vec<f64> = (0..5).map(f64::from).collect();
    let seven: Vec<f64> = (0..7).map(f64::from).collect();
    let head_10 = [row(&five, 1.0), row(&five, 0.0)].concat();
    let head_14 = [row(&seven, 1.0), row(&seven, 0.0)].concat();
    let bottom = [-0.5, 0.5, 1.3, 2.0, 2.7, 3.5, 4.5];
    let head_17 = [row(&five, 2.0), row(&five, 1.0), row(&bottom, 0.0)].concat();
    let cover_8 =
        [row(&[0.0, 1.5, 3.0], 2.0), row(&[0.0, 3.0], 1.0), row(&[0.0, 1.5, 3.0], 0.0)].concat();
    let four: Vec<f64> = (0..4).map(f64::from).collect();
    let cover_12 =
        [row(&four, 3.0), row(&[0.0, 3.0], 2.0), row(&[0.0, 3.0], 1.0), row(&four, 0.0)].concat();
    let grid_3_4 = [row(&four, 2.0), row(&four, 1.0), row(&four, 0.0)].concat();
    let six: Vec<f64> = (0..6).map(f64::from).collect();
    let between: Vec<f64> = five.iter().map(|x| x + 0.5).collect();
    let head_6_6_5 = [row(&six, 2.0), row(&six, 1.0), row(&between, 0.0)].concat();
    // Rows a quarter of a pitch apart: columns still pair up.
    let shifted: Vec<f64> = five.iter().map(|x| x + 0.25).collect();
    let staggered = [row(&five, 1.0), row(&shifted, 0.0)].concat();
    let cases = [
        (&staggered, Walk::Cross, "8 4 2 5 9 / 10 6 1 3 7"),
        (&head_10, Walk::Cross, "8 6 1 3 9 / 10 4 2 5 7"),
        (&head_10, Walk::Spiral, "8 5 1 4 9 / 7 6 2 3 10"),
        (&head_14, Walk::Cross, "14 8 6 1 3 9 11 / 12 10 4 2 5 7 13"),
        (&head_14, Walk::Spiral, "13 8 5 1 4 9 12 / 14 7 6 2 3 10 11"),
        // Three rows and more: by the straight distance from the middle.
        (&head_17, Walk::Cross, "15 9 3 8 14 / 11 6 1 5 12 / 17 13 4 7 2 10 16"),
        (&cover_8, Walk::Cross, "6 1 3 / 8 5 / 4 2 7"),
        (&cover_12, Walk::Cross, "12 6 8 10 / 4 1 / 2 3 / 9 7 5 11"),
        (&grid_3_4, Walk::Cross, "7 5 3 10 / 9 2 1 12 / 11 4 6 8"),
        (&head_6_6_5, Walk::Cross, "17 11 5 3 10 16 / 13 7 2 1 8 12 / 15 9 4 6 14"),
    ];
    for (points, walk, wanted) in cases {
        let order = area(points, walk).unwrap();
        assert_eq!(map(points, &order), wanted, "{walk:?}");
        assert_eq!(layout(points, walk).unwrap(), order, "not a circle");
    }
}

/// The listed order wins, if it is one.
#[test]
fn listed_orders_name_each_bolt_once() {
    let order = listed(&[3, 1, 4, 2], 4).unwrap();
    assert_eq!((order.holes(), order.rule()), (&[3, 1, 4, 2][..], Rule::Listed));
    assert!(!order.rule().is_generated());
    assert_eq!(order.loosening(), [2, 4, 1, 3]);
    let wrong = |holes: &[usize], count| listed(holes, count).unwrap_err().to_string();
    assert_eq!(
        wrong(&[1, 7, 4, 10, 2, 8, 5, 11, 3, 4, 6, 12], 12),
        "sequence of 12 names bolt 4 twice, bolt 9 never"
    );
    assert_eq!(wrong(&[1, 2, 3], 4), "sequence of 4 names bolt 4 never");
    assert_eq!(wrong(&[1, 2, 5], 3), "sequence of 3 names bolt 3 never, bolt 5, not a hole");
    assert_eq!(wrong(&[0, 1], 1), "sequence of 1 names bolt 0, not a hole");
}

/// Small outer bolts after the main ones.
#[test]
fn groups_follow_each_other() {
    let head = [row(&[0.0, 1.0, 2.0], 1.0), row(&[0.0, 1.0, 2.0], 0.0)].concat();
    let points = [head, row(&[-0.5, 2.5], 2.0)].concat();
    let main: Vec<usize> = (1..=6).collect();
    let order = grouped(&points, &[main.clone(), vec![7, 8]], Walk::Cross).unwrap();
    assert!(order.holes()[..6].iter().all(|hole| *hole <= 6));
    assert_eq!(&order.holes()[6..], [8, 7]);
    let error = grouped(&points, &[main, vec![7]], Walk::Cross).unwrap_err();
    assert_eq!(error.to_string(), "sequence of 8 names bolt 8 never");
}

#[test]
fn impossible_layouts_say_why() {
    let said = |result: Result<Order, ProcedureError>| result.unwrap_err().to_string();
    assert_eq!(said(circle(2)), "bolts on the circle is 2: write 3 to 400");
    assert_eq!(said(grid(0, 4, Walk::Cross)), "holes of the grid is 0: write 1 to 400");
    assert_eq!(
        said(grid(usize::MAX, 2, Walk::Cross)),
        format!("holes of the grid is {}: write 1 to 400", usize::MAX)
    );
    assert_eq!(said(area(&[], Walk::Cross)), "holes is 0: write 1 to 400");
    let twice = [at(0.0, 0.0), at(1.0, 0.0), at(0.0, 0.0)];
    assert_eq!(
        said(layout(&twice, Walk::Cross)),
        "holes 1 and 3 are in the same place: correct the layout"
    );
    let nowhere = [at(0.0, 0.0), at(f64::NAN, 0.0)];
    assert_eq!(
        said(layout(&nowhere, Walk::Cross)),
        "hole 2 has no place: write both coordinates as lengths"
    );
    assert_eq!(said(circle_of(&round(5, 1.0), Some(6))), "first hole is 6: write 1 to 5");
}

fn check_permutation(order: &Order, count: usize) {
    let mut sorted = order.holes().to_vec();
    sorted.sort_unstable();
    assert_eq!(sorted, (1..=count).collect::<Vec<_>>(), "{order:?}");
    let mut reverse = order.loosening();
    reverse.reverse();
    assert_eq!(reverse, order.holes());
    for (hole, place) in order.place_of_each().into_iter().enumerate() {
        assert_eq!(order.holes()[place - 1], hole + 1);
    }
}

#[test]
fn every_number_of_holes_gives_each_once() {
    for count in 3..=200 {
        let even = circle(count).unwrap();
        check_permutation(&even, count);
        // The second bolt is across from the first.
        let across = even.holes()[1].abs_diff(1);
        assert!(across.abs_diff(count / 2) <= 1 || count == 3, "{count}: {across}");
        // From coordinates the counting is the same.
        assert_eq!(circle_of(&round(count, 8.0), None).unwrap().holes(), even.holes(), "{count}");
        for walk in [Walk::Cross, Walk::Spiral] {
            check_permutation(&grid(1, count, walk).unwrap(), count);
            check_permutation(&grid(count, 2, walk).unwrap(), 2 * count);
        }
    }
}

/// Any holes, none in the same place.
fn holes() -> impl Strategy<Value = Vec<Point>> {
    prop::collection::btree_set((-500..500_i32, -300..300_i32), 1..200).prop_map(|places| {
        places
            .into_iter()
            .map(|(x, y)| Point {
                x: Length::from_mm(f64::from(x)),
                y: Length::from_mm(f64::from(y) * 0.77),
            })
            .collect()
    })
}

proptest! {
    #[test]
    fn every_layout_gives_each_hole_once(points in holes()) {
        for walk in [Walk::Cross, Walk::Spiral] {
            check_permutation(&area(&points, walk).unwrap(), points.len());
            check_permutation(&layout(&points, walk).unwrap(), points.len());
            let middle = points.len() / 2;
            let groups = [(1..=middle).collect(), (middle + 1..=points.len()).collect()];
            check_permutation(&grouped(&points, &groups, walk).unwrap(), points.len());
        }
    }

    #[test]
    fn uneven_circles_give_each_hole_once(angles in prop::collection::btree_set(0..720_i32, 3..60)) {
        let points: Vec<Point> = angles
            .into_iter()
            .map(|half| {
                let angle = (f64::from(half) / 2.0).to_radians();
                at(20.0 * angle.sin(), 20.0 * angle.cos())
            })
            .collect();
        check_permutation(&circle_of(&points, None).unwrap(), points.len());
        check_permutation(&circle_of(&points, Some(points.len())).unwrap(), points.len());
    }

    /// Where a part lies on the page, and how large it is, does not matter.
    #[test]
    fn moving_a_part_keeps_its_order(points in holes(), dx in -900..900_i32, dy in -900..900_i32) {
        let moved: Vec<Point> = points
            .iter()
            .map(|point| Point {
                x: point.x + Length::from_mm(f64::from(dx)),
                y: point.y + Length::from_mm(f64::from(dy)),
            })
            .collect();
        let order = |points: &[Point]| area(points, Walk::Cross).unwrap();
        prop_assert_eq!(order(&points), order(&moved));
    }
}

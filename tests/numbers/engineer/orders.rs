//! Orders spread the load, passes rise evenly.

use clampbook::procedure::{Point, Walk, are_even, area, circle, equal_passes, grid};
use clampbook::quantity::{Length, Torque};

use super::support::Numbers;

/// After 2, 4, 8 and 16 bolts of a circle the widest gap is about that of as many
/// evenly placed ones, for odd numbers too. Common practice; a stride leaves 28
/// of 61 after eight.
#[test]
fn every_circle_spreads_to_the_widest_gap() {
    for count in (9..=101).chain([151, 199]) {
        let order = circle(count).unwrap();
        for pulled in [2, 4, 8, 16].into_iter().filter(|pulled| pulled * 2 <= count) {
            let mut places = order.holes()[..pulled].to_vec();
            places.sort_unstable();
            let gap = |at: usize| {
                let next = places[(at + 1) % pulled];
                (next + count - places[at] - 1) % count + 1
            };
            let widest = (0..pulled).map(gap).max().unwrap();
            let even = count.div_ceil(pulled);
            assert!(widest <= 2 * even, "{count} bolts, after {pulled}: {widest}, even {even}");
        }
    }
    // A case that once went wrong: after eight of 61 a gap of 8, where a stride left 28.
    let mut eight = circle(61).unwrap().holes()[..8].to_vec();
    eight.sort_unstable();
    let gaps = eight.windows(2).map(|pair| pair[1] - pair[0]);
    assert!(gaps.max().unwrap() <= 8, "{eight:?}");
}

/// No bolt comes before one that is nearer the middle by more than a pitch
/// (TRADE, common practice: from the middle outwards).
#[test]
fn an_area_goes_from_the_middle_outwards() {
    for (rows, columns) in [(3, 4), (3, 5), (4, 4), (4, 7), (5, 5), (3, 9), (6, 3)] {
        let order = grid(rows, columns, Walk::Cross).unwrap();
        let middle = ((columns as f64 - 1.0) / 2.0, (rows as f64 - 1.0) / 2.0);
        let far = |hole: usize| {
            let (row, column) = ((hole - 1) / columns, (hole - 1) % columns);
            (column as f64 - middle.0).hypot(row as f64 - middle.1)
        };
        let mut farthest: f64 = 0.0;
        for hole in order.holes() {
            assert!(far(*hole) > farthest - 1.0 - 1e-9, "{rows}x{columns}: {:?}", order.holes());
            farthest = farthest.max(far(*hole));
        }
    }
    assert_eq!(grid(3, 4, Walk::Cross).unwrap().holes()[..2], [7, 6]);
    // A head of 6 + 6 + 5 begins with the two bolts in its middle.
    let at = |x: f64, y: f64| Point { x: Length::from_mm(x), y: Length::from_mm(y) };
    let rows = [(200.0, 6, 0.0), (100.0, 6, 0.0), (0.0, 5, 50.0)];
    let points = rows.into_iter().flat_map(|(y, count, from)| {
        (0..count).map(move |column| at(from + 100.0 * f64::from(column), y))
    });
    let points: Vec<Point> = points.collect();
    let holes = area(&points, Walk::Cross).unwrap().holes()[..2].to_vec();
    assert_eq!(holes, [10, 9]);
}

/// The largest step is at most 1.75 times the smallest, else there are fewer:
/// 83 on marks of 20 is 40, 83, not 20, 60, 83. Common practice, no source.
#[test]
fn passes_rise_evenly_on_a_coarse_scale() {
    let nm = |number: f64| Torque::from_nm(number);
    let passes = equal_passes(nm(83.0), 3, Some(nm(20.0))).unwrap();
    assert_eq!(passes.steps, [nm(40.0), nm(83.0)]);
    assert_eq!(passes.asked, 3);
    let mut numbers = Numbers(0x5eed_0003);
    for _ in 0..2000 {
        let last = numbers.between(20.0, 400.0);
        let mark = numbers.between(0.5, 60.0);
        let count = 1 + (numbers.next() * 6.0) as usize;
        let passes = equal_passes(nm(last), count, Some(nm(mark))).unwrap();
        assert!(are_even(&passes.steps), "{last} in {count} on {mark}: {:?}", passes.steps);
        assert_eq!(passes.steps.last(), Some(&nm(last)));
        assert!(passes.steps.len() <= count);
    }
}

//! A map of holes on a terminal: a number where each hole lies.

use crate::procedure::{Point, ends};
use crate::report::lay::pad;

const MOST_LINES: usize = 48;
/// A character is about twice as high as it is wide.
const HIGH: f64 = 2.0;
/// Blanks between two numbers on a line: airy, or as close as can be read.
const GAPS: [usize; 3] = [4, 2, 1];

/// Hole `i + 1` with its turn at `points[i]`, as small as can be read well: beside
/// each other, or the turn below where that is too wide. None if they do not fit in
/// `columns`.
pub(crate) fn text_map(points: &[Point], turns: &[usize], columns: usize) -> Option<Vec<String>> {
    let frame = Frame::around(points);
    let holes = (1..=turns.len()).map(|hole| hole.to_string());
    let both: Vec<[String; 2]> =
        holes.zip(turns.iter().map(|turn| ordinal(*turn))).map(<[_; 2]>::from).collect();
    let beside: Vec<[String; 1]> =
        both.iter().map(|[hole, turn]| [format!("{hole}:{turn}")]).collect();
    frame.drawn(points, &beside, columns).or_else(|| frame.drawn(points, &both, columns))
}

/// `1st`, `2nd`, `11th`: a turn is no hole number.
pub(crate) fn ordinal(number: usize) -> String {
    let ending = match (number % 10, number % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    format!("{number}{ending}")
}

struct Frame {
    left: f64,
    top: f64,
    width: f64,
    height: f64,
}

impl Frame {
    fn around(points: &[Point]) -> Self {
        let ((left, right), (bottom, top)) = (ends(points, |p| p.x), ends(points, |p| p.y));
        Self { left, top, width: right - left, height: top - bottom }
    }

    /// `labels[i]`, each of some lines, at `points[i]`.
    fn drawn<const LINES: usize>(
        &self,
        points: &[Point],
        labels: &[[String; LINES]],
        columns: usize,
    ) -> Option<Vec<String>> {
        let cell = labels.iter().flatten().map(String::len).max()?;
        let most = columns.checked_sub(cell + 1)?;
        let high = HIGH * LINES as f64;
        let with_gap =
            |gap| (cell..=most).find_map(|width| self.spots(points, width, cell + gap, high));
        let spots = GAPS.into_iter().find_map(with_gap)?;
        let lines = spots.iter().map(|spot| spot.0).max()? + 1;
        let mut drawn = vec![String::new(); lines * LINES];
        let mut in_turn: Vec<_> = spots.iter().zip(labels).collect();
        in_turn.sort_unstable();
        for ((line, column), label) in in_turn {
            for (at, text) in label.iter().enumerate() {
                let row = &mut drawn[line * LINES + at];
                *row = pad(row, *column) + text;
            }
        }
        Some(drawn)
    }

    /// Line and column of each point where the box is `columns` wide; None if
    /// two of a line were less than `apart` columns away from each other or
    /// there would be too many lines.
    fn spots(
        &self,
        points: &[Point],
        columns: usize,
        apart: usize,
        high: f64,
    ) -> Option<Vec<(usize, usize)>> {
        let scale = if self.width > 0.0 { columns as f64 / self.width } else { 0.0 };
        // A part that is all height has no width to scale by: two lines a hole.
        let lines = if self.width > 0.0 {
            self.height * scale / high
        } else {
            (points.len().saturating_sub(1) * 2) as f64
        };
        if lines > MOST_LINES as f64 {
            return None;
        }
        // A flat part is one line, whatever its points are divided by.
        let height = if self.height > 0.0 { self.height } else { 1.0 };
        let down = |point: &Point| (self.top - point.y.mm()) / height * lines;
        let spot = |point: &Point| {
            let column = (point.x.mm() - self.left) * scale;
            (down(point).round() as usize, column.round() as usize)
        };
        let spots: Vec<(usize, usize)> = points.iter().map(spot).collect();
        let touches =
            |a: &(usize, usize), b: &(usize, usize)| a.0 == b.0 && a.1.abs_diff(b.1) < apart;
        let are_apart =
            spots.iter().enumerate().all(|(at, a)| !spots[..at].iter().any(|b| touches(a, b)));
        are_apart.then_some(spots)
    }
}

/// Where nobody knows the places: hole numbers, and under each its turn.
pub(crate) fn by_number(turns: &[usize], columns: usize) -> Vec<String> {
    let cell = turns.iter().map(|turn| ordinal(*turn).len()).max().unwrap_or(0) + 1;
    let in_line = (columns.saturating_sub(5) / cell).max(1);
    let row = |name: &str, values: &mut dyn Iterator<Item = String>| {
        let cells = values.map(|value| format!("{value:>cell$}"));
        std::iter::once(name.to_owned()).chain(cells).collect::<Vec<_>>().concat()
    };
    let mut lines = Vec::new();
    for (at, chunk) in turns.chunks(in_line).enumerate() {
        let first = at * in_line + 1;
        lines.push(row("hole ", &mut (first..first + chunk.len()).map(|hole| hole.to_string())));
        lines.push(row("turn ", &mut chunk.iter().map(|turn| ordinal(*turn))));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::procedure::Walk;
    use crate::procedure::{circle, grid};
    use crate::record::Layout;

    fn map(name: &str, numbers: &[usize], columns: usize) -> Option<Vec<String>> {
        text_map(&Layout::standard(name).unwrap().points, numbers, columns)
    }

    /// Order at position, left to right: US Army TM 5-3805-248-23-1, row of 9.
    #[test]
    fn a_row_reads_as_the_manual_prints_it() {
        let order = grid(1, 9, Walk::Cross).unwrap();
        let lines = map("row of 9", &order.place_of_each(), 80).unwrap();
        let turns: Vec<&str> =
            lines[0].split([' ', ':']).filter(|word| word.ends_with(char::is_alphabetic)).collect();
        assert_eq!(lines.len(), 1);
        assert_eq!(turns.join(" "), "9th 7th 5th 3rd 1st 2nd 4th 6th 8th");
    }

    #[test]
    fn no_two_numbers_touch_and_none_is_lost() {
        for count in 3..=60 {
            let order = circle(count).unwrap();
            let turns = order.place_of_each();
            let Some(lines) = map(&format!("circle of {count}"), &turns, 100) else {
                assert!(count > 30, "circle of {count}");
                continue;
            };
            let words: Vec<&str> = lines.iter().flat_map(|line| line.split_whitespace()).collect();
            if !words[0].contains(':') {
                // The turns stand below.
                assert!(count > 20, "circle of {count}");
                continue;
            }
            let mut found: Vec<(usize, &str)> = words
                .iter()
                .map(|word| word.split_once(':').unwrap())
                .map(|(a, b)| (a.parse().unwrap(), b))
                .collect();
            found.sort_unstable();
            let expected: Vec<(usize, String)> =
                turns.iter().enumerate().map(|(at, turn)| (at + 1, ordinal(*turn))).collect();
            assert!(
                found.iter().zip(&expected).all(|(a, b)| a.0 == b.0 && a.1 == b.1),
                "{lines:#?}"
            );
            assert_eq!(found.len(), count);
            assert!(lines.iter().all(|line| line.len() <= 100));
        }
    }

    #[test]
    fn too_narrow_for_a_map_is_a_list() {
        assert_eq!(map("row of 40", &(1..=40).collect::<Vec<_>>(), 60), None);
        let below = map("row of 9", &[9, 7, 5, 3, 1, 2, 4, 6, 8], 50).unwrap();
        assert_eq!(below.len(), 2, "{below:?}");
        let list = by_number(&[3, 1, 2], 80);
        assert_eq!(list, ["hole    1   2   3", "turn  3rd 1st 2nd"]);
        assert_eq!(by_number(&[2, 1], 9).len(), 4);
    }
}

//! Where the holes of a joint lie.

use crate::procedure::Point;
use crate::quantity::Length;
use crate::record::table::{FieldKind, Leaf, Record, RecordTable, Value, at, field};
use crate::text::fold_name;

/// Where the holes of a joint lie, looking at the heads.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Layout {
    pub name: String,
    /// Hole 1, 2, … in turn.
    pub points: Vec<Point>,
    /// Groups in the order in which they are pulled, each with its holes; empty
    /// where all are one group.
    pub groups: Vec<(String, Vec<usize>)>,
    /// How to look at it: "front of the engine on the left".
    pub notes: Option<String>,
}

pub(crate) const MOST: usize = 400;
/// A radius or pitch for layouts whose size does not matter, mm.
const PITCH: f64 = 100.0;

/// A pattern of holes that its name describes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pattern {
    Circle(usize),
    /// Rows, and how many holes each has.
    Grid(usize, usize),
}

impl Pattern {
    /// `circle of 8`, `row of 9`, `grid of 2x5` (2 rows of 5), also without `of`; none for
    /// any other text.
    pub fn parse(text: &str) -> Option<Self> {
        let folded = fold_name(text);
        let (shape, size) = folded.split_once(' ')?;
        let size = size.trim().strip_prefix("of ").unwrap_or(size).trim();
        match shape {
            "circle" => size.parse().ok().map(Self::Circle),
            "row" => size.parse().ok().map(|count| Self::Grid(1, count)),
            "grid" => rows_and_columns(size).map(|(rows, columns)| Self::Grid(rows, columns)),
            _ => None,
        }
    }

    /// Where its holes lie, whatever its size; none for too few or too many.
    pub fn points(self) -> Option<Vec<Point>> {
        match self {
            Self::Circle(count) => circle(count),
            Self::Grid(rows, columns) => grid(rows, columns),
        }
    }
}

impl Layout {
    /// A layout that its name describes as a [`Pattern`]; none for any other name.
    pub fn standard(name: &str) -> Option<Self> {
        let points = Pattern::parse(name)?.points()?;
        Some(Self { name: name.trim().to_owned(), points, ..Self::default() })
    }
}

/// `2x5`, also with blanks or ×.
fn rows_and_columns(text: &str) -> Option<(usize, usize)> {
    let text = text.replace('×', "x");
    let (rows, columns) = text.split_once(['x', 'X'])?;
    Some((rows.trim().parse().ok()?, columns.trim().parse().ok()?))
}

/// Evenly round a circle, clockwise from the top.
pub(crate) fn circle(count: usize) -> Option<Vec<Point>> {
    let place = |at: usize| {
        let angle = (at as f64 * 360.0 / count as f64).to_radians();
        point(PITCH * angle.sin(), PITCH * angle.cos())
    };
    (3..=MOST).contains(&count).then(|| (0..count).map(place).collect())
}

/// Rows from the top, each left to right.
pub(crate) fn grid(rows: usize, columns: usize) -> Option<Vec<Point>> {
    let count = rows.checked_mul(columns)?;
    let place = |at: usize| {
        let (row, column) = (at / columns, at % columns);
        point(PITCH * column as f64, -PITCH * row as f64)
    };
    (1..=MOST).contains(&count).then(|| (0..count).map(place).collect())
}

fn point(x: f64, y: f64) -> Point {
    Point { x: Length::from_mm(x), y: Length::from_mm(y) }
}

impl Record for Layout {}

impl Leaf for Vec<Point> {
    const KIND: FieldKind = FieldKind::Number;

    fn value(&self) -> Value<'_> {
        let count = u32::try_from(self.len()).ok().filter(|count| *count > 0);
        Value::number(count)
    }

    fn read(_: &str) -> Result<Self, String> {
        Err("holes come from a table of coordinates".to_owned())
    }
}

/// Groups of holes, in the order in which they are pulled.
impl Leaf for Vec<(String, Vec<usize>)> {
    const KIND: FieldKind = FieldKind::Text;

    fn value(&self) -> Value<'_> {
        let group = |(name, holes): &(String, Vec<usize>)| format!("{name} {}", holes.len());
        Value::joined(&self.iter().map(group).collect::<Vec<_>>(), ", then ")
    }

    fn read(_: &str) -> Result<Self, String> {
        Err("groups come from a table of coordinates".to_owned())
    }
}

/// The table of a layout; its holes and groups come from a table of coordinates
/// ([`crate::record::read_layout`]).
#[rustfmt::skip] // one row a line, read as a table
pub static LAYOUTS: RecordTable = RecordTable { what: "layout", listed: "layouts", needed: &["name"], fields: &[
    field!("name" | "layout" => at!(Layout.name), "name", "its name, as joints name it"),
    field!("holes" => at!(Layout.points), "count", "how many holes it has; read from a table of coordinates"),
    field!("groups" => at!(Layout.groups), "groups", "groups in the order pulled; read from a table of coordinates"),
    field!("notes" | "note" | "view" => at!(Layout.notes), "notes", "how to look at it: front of the engine on the left"),
] };

#[cfg(test)]
mod tests {
    use super::*;
    use crate::procedure::{Walk, circle, grid, layout};

    /// The orders over a drawn layout are those of the bare counts.
    #[test]
    fn names_that_describe_themselves() {
        let of = |name: &str| Layout::standard(name).map(|layout| layout.points);
        let order = |name: &str| layout(&of(name).unwrap(), Walk::Cross).unwrap();
        assert_eq!(order("Circle of 12").holes(), circle(12).unwrap().holes());
        assert_eq!(order("row of 9").holes(), grid(1, 9, Walk::Cross).unwrap().holes());
        assert_eq!(order("grid of 2x5").holes(), grid(2, 5, Walk::Cross).unwrap().holes());
        assert_eq!(of("grid 2 × 5").unwrap().len(), 10);
        for name in ["Marlow 6 head", "circle of 2", "circle of many", "grid of 5", "row of 0"] {
            assert_eq!(of(name), None, "{name}");
        }
    }
}

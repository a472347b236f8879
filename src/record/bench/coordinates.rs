//! A table of coordinates as a layout.

use crate::procedure::{Point, ProcedureError, Walk, layout as order_over};
use crate::quantity::{DecimalMark, Dimension, Length, Number, Quantity, Unit, find_unit};
use crate::record::bench::layout::{Layout, MOST};
use crate::text::{Plain, fold_name};

/// Why a table is no layout. Lines are counted from 1, the header among them.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LayoutError {
    #[error(
        "the first line names no columns: write hole, x mm, y mm and, if there are groups, group"
    )]
    NoHeader,
    #[error(
        "line {line}: `{found}` has no unit: write `x mm` in the header, or a unit in each cell"
    )]
    NoUnit { line: u32, found: String },
    #[error("line {line}: `{found}` is no {expected}")]
    Cell { line: u32, found: String, expected: &'static str },
    #[error("hole {0} is there twice: number the holes 1, 2, 3, each once")]
    Twice(usize),
    #[error("hole {0} is missing: number the holes 1, 2, 3, each once")]
    Missing(usize),
    #[error("{0} holes: a layout has 1 to 400")]
    Count(usize),
    #[error(transparent)]
    Places(#[from] ProcedureError),
}

/// Reads a table of coordinates: columns `hole`, `x`, `y` and, if there are
/// any, `group`; its rows come with their lines. Units stand in the
/// header (`x mm`) or in the cells; coordinates may be negative. Where commas do
/// not part the cells (`delimiter`), `12,5` is 12.5. x runs to the
/// right and y away, looking at the heads. Groups are pulled in the order in
/// which the table first names them.
pub fn read_layout<'t>(
    name: &str,
    headings: &[String],
    delimiter: char,
    rows: impl Iterator<Item = (u32, Vec<&'t str>)>,
) -> Result<Layout, LayoutError> {
    let columns = Columns::find(headings).ok_or(LayoutError::NoHeader)?;
    // Where commas do not part the cells, one may stand for the point.
    let marks = if delimiter == ',' { &MARKS[..1] } else { &MARKS[..] };
    let rows: Vec<Row> =
        rows.map(|(line, cells)| columns.row(line, &cells, marks)).collect::<Result<_, _>>()?;
    in_turn(name, rows)
}

struct Row {
    hole: usize,
    point: Point,
    group: Option<String>,
}

struct Columns {
    hole: usize,
    x: (usize, Option<&'static Unit>),
    y: (usize, Option<&'static Unit>),
    group: Option<usize>,
}

impl Columns {
    fn find(headings: &[String]) -> Option<Self> {
        let names: Vec<String> = headings.iter().map(|name| fold_name(name)).collect();
        let named = |wanted: &[&str]| names.iter().position(|name| wanted.contains(&name.as_str()));
        let axis = |letter: &str| {
            names.iter().enumerate().find_map(|(at, name)| {
                let rest = name.strip_prefix(letter)?;
                let unit = rest.trim().trim_matches(['(', ')', '[', ']']);
                match unit {
                    "" => Some((at, None)),
                    unit => find_unit(unit)
                        .filter(|unit| unit.dimension == Dimension::Length)
                        .map(|unit| (at, Some(unit))),
                }
            })
        };
        Some(Self {
            hole: named(&["hole", "no", "no.", "number", "bolt", "#"])?,
            x: axis("x")?,
            y: axis("y")?,
            group: named(&["group"]),
        })
    }

    fn row(&self, line: u32, cells: &[&str], marks: &[DecimalMark]) -> Result<Row, LayoutError> {
        let cell = |at: usize| cells.get(at).copied().unwrap_or("");
        let hole = cell(self.hole);
        let hole = hole.parse().ok().filter(|hole| (1..=MOST).contains(hole)).ok_or_else(|| {
            LayoutError::Cell {
                line,
                found: hole.to_owned(),
                expected: "hole number from 1 to 400",
            }
        })?;
        let length =
            |(at, unit): (usize, Option<&'static Unit>)| length(line, cell(at), unit, marks);
        let group = self.group.map(cell).filter(|group| !group.is_empty()).map(str::to_owned);
        Ok(Row { hole, point: Point { x: length(self.x)?, y: length(self.y)? }, group })
    }
}

/// What may stand between a coordinate and its tenths.
const MARKS: [DecimalMark; 2] = [DecimalMark::Point, DecimalMark::Comma];

/// A coordinate, which may be negative.
fn length(
    line: u32,
    text: &str,
    unit: Option<&'static Unit>,
    marks: &[DecimalMark],
) -> Result<Length, LayoutError> {
    let plain = Plain::new(text);
    let (sign, rest) = match plain.as_str().trim().strip_prefix('-') {
        Some(rest) => (-1.0, rest.trim()),
        None => (1.0, plain.as_str().trim()),
    };
    if let Some(number) = marks.iter().find_map(|mark| Number::parse(rest, *mark).ok()) {
        let unit = unit.ok_or_else(|| LayoutError::NoUnit { line, found: text.to_owned() })?;
        return Ok(Length::from_mm(sign * number.value() * unit.factor));
    }
    let written: Option<Length> = Quantity::parse(rest).ok().and_then(Quantity::get);
    let wrong =
        || LayoutError::Cell { line, found: text.to_owned(), expected: "length such as 12.5 mm" };
    written.map(|length| length * sign).ok_or_else(wrong)
}

/// Rows as a layout, whatever their order in the table.
fn in_turn(name: &str, mut rows: Vec<Row>) -> Result<Layout, LayoutError> {
    if rows.is_empty() || rows.len() > MOST {
        return Err(LayoutError::Count(rows.len()));
    }
    let mut groups: Vec<(String, Vec<usize>)> = Vec::new();
    for row in &rows {
        let Some(group) = &row.group else { continue };
        match groups.iter_mut().find(|(known, _)| fold_name(known) == fold_name(group)) {
            Some((_, holes)) => holes.push(row.hole),
            None => groups.push((group.clone(), vec![row.hole])),
        }
    }
    rows.sort_by_key(|row| row.hole);
    if let Some(pair) = rows.windows(2).find(|pair| pair[0].hole == pair[1].hole) {
        return Err(LayoutError::Twice(pair[0].hole));
    }
    if let Some((at, _)) = rows.iter().enumerate().find(|(at, row)| row.hole != at + 1) {
        return Err(LayoutError::Missing(at + 1));
    }
    let points: Vec<Point> = rows.iter().map(|row| row.point).collect();
    // An order can be made from it, or it says why not.
    order_over(&points, Walk::Cross)?;
    let all_grouped = groups.iter().map(|(_, holes)| holes.len()).sum::<usize>() == rows.len();
    let groups = if all_grouped && groups.len() > 1 { groups } else { Vec::new() };
    Ok(Layout { name: name.trim().to_owned(), points, groups, notes: None })
}

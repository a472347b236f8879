//! Cells that stand for the one above them: `"`, `do.`, `ídem`.

use crate::intake::cells::says_ditto;
use crate::intake::header::{Column, Heading};
use crate::intake::row_parts::dimension_of;
use crate::intake::split::RawRow;
use crate::quantity::Dimension;

/// The row above, with what its own dittos stand for.
#[derive(Debug, Default)]
pub(crate) struct Dittos {
    above: RawRow,
}

impl Dittos {
    /// Nothing above a title is repeated below it.
    pub(crate) fn forget(&mut self) {
        self.above = RawRow::default();
    }

    /// `row` with each ditto as the cell above it, and the columns where one stood. A torque
    /// is repeated for the same size and grade alone; what is not is asked by its reader.
    pub(crate) fn resolve(&mut self, row: &RawRow, headings: &[Heading]) -> (RawRow, Vec<usize>) {
        let above = |at: usize| self.above.cell(at);
        let is_name = |at: usize| {
            headings.get(at).is_some_and(|one| one.column.is("assembly") || one.column.is("joint"))
        };
        let repeats = |at: usize| says_ditto(row.cell(at)) && !above(at).is_empty();
        let differs = |name: &str| {
            let at = headings.iter().position(|heading| heading.column.is(name));
            at.is_some_and(|at| !repeats(at) && row.cell(at) != above(at))
        };
        let is_another = differs("thread") || differs("strength") || differs("lube");
        let is_torque = |at: usize| {
            let column = headings.get(at).map_or(&Column::Blank, |heading| &heading.column);
            // Shares of the torque are those of any: `half then full`.
            let is_share = column.is("passes")
                && (above(at).contains('%') || !above(at).contains(|c: char| c.is_ascii_digit()));
            dimension_of(column) == Some(Dimension::Torque) && !is_share
        };
        let stood: Vec<usize> =
            (0..row.len()).filter(|at| repeats(*at) && !(is_another && is_torque(*at))).collect();
        let (mut whole, mut kept) = (RawRow::default(), RawRow::default());
        for made in [&mut whole, &mut kept] {
            made.place_of(row);
        }
        for at in 0..row.len() {
            let cell = if stood.contains(&at) { above(at) } else { row.cell(at) };
            whole.push(cell);
            // A blank name repeats the one above, which a ditto below it then stands for.
            kept.push(if cell.is_empty() && is_name(at) { above(at) } else { cell });
        }
        self.above = kept;
        (whole, stood)
    }
}

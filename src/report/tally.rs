//! Groups of rows with their counts and totals, as `tally` asks.

use crate::query::run::{Answer, Group};
use crate::report::grid::{Grid, GridRow};
use crate::report::page::Head;
use crate::report::style::Style;
use crate::report::values::{ColumnText, column_text};

pub(crate) fn tally_table(answer: &Answer, width: usize, style: Style) -> Vec<String> {
    let Some(tally) = &answer.tally else { return Vec::new() };
    if tally.groups.is_empty() {
        return Vec::new();
    }
    let mut texts: Vec<ColumnText> = Vec::new();
    for (index, (heading, field)) in tally.columns.iter().enumerate() {
        let values: Vec<_> =
            tally.groups.iter().filter_map(|group| group.values.get(index)).collect();
        texts.push(column_text(heading, *field, &values, &answer.units));
    }
    let mut heads: Vec<Head> = texts.iter().map(ColumnText::head).collect();
    heads.push(Head::number("count"));
    let row = |(index, group): (usize, &Group)| {
        let cells = texts.iter().filter_map(|text| text.cells.get(index));
        let cells = cells.cloned().chain([group.count.to_string()]).collect();
        GridRow { cells, ..GridRow::default() }
    };
    let grid = Grid { heads, rows: tally.groups.iter().enumerate().map(row).collect() };
    grid.lines(width, style)
}

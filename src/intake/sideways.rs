//! A sheet that stands on its side, headings down its first column and a bolt in each of
//! the others: it is turned before it is understood.

use crate::intake::header::{Column, Weight, known_heading};
use crate::intake::names::Names;
use crate::intake::split::RawRow;

/// No sheet of more rows, or more bolts, stands on its side.
const MOST_ROWS: usize = 80;
const MOST_COLUMNS: usize = 200;
/// Headings that make it one.
const LEAST: usize = 4;

/// The rows of a page turned; none where they stand as they should.
pub(crate) fn turned(rows: &[RawRow], names: &Names) -> Option<Vec<RawRow>> {
    if rows.len() > MOST_ROWS || rows.iter().any(|row| row.len() > MOST_COLUMNS) {
        return None;
    }
    let heading = |text: &str| {
        let known = known_heading(text, names).filter(|one| one.weight >= Weight::Strong);
        known.map(|one| one.column)
    };
    let lead = |row: &RawRow| {
        heading(row.cell(0)).filter(|_| row.cells().skip(1).any(|cell| !cell.is_empty()))
    };
    let leads: Vec<Option<Column>> = rows.iter().map(lead).collect();
    let (start, end) =
        (leads.iter().position(Option::is_some)?, leads.iter().rposition(Option::is_some)? + 1);
    let block = &rows[start..end];
    let mut distinct: Vec<&Column> = Vec::new();
    for column in leads.iter().flatten() {
        if !distinct.contains(&column) {
            distinct.push(column);
        }
    }
    let known = leads.iter().flatten().count();
    let is_upright = block.iter().any(|row| row.cells().skip(1).filter_map(heading).count() > 1);
    let says_bolts = distinct.iter().any(|column| column.is("thread"))
        && distinct.iter().any(|column| column.is_torque());
    if is_upright
        || !says_bolts
        || distinct.len() < LEAST
        || distinct.len() * 4 < known * 3
        || known * 3 < block.iter().filter(|row| !row.is_blank()).count() * 2
    {
        return None;
    }
    let width = block.iter().map(RawRow::len).max().unwrap_or(0);
    let (first, mut out) = (block[0].line, rows[..start].to_vec());
    let line = |at: usize| first.saturating_add(u32::try_from(at).unwrap_or(u32::MAX));
    for column in 0..width {
        let mut row = RawRow::on_line(line(column));
        row.page = block[0].page;
        block.iter().filter(|row| !row.is_blank()).for_each(|from| row.push(from.cell(column)));
        out.push(row);
    }
    for (at, below) in rows[end..].iter().enumerate() {
        let mut row = below.clone();
        row.line = row.line.max(line(width + at));
        out.push(row);
    }
    Some(out)
}

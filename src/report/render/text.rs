//! A page as text: its blocks one below the other, none wider than the terminal.
//!
//! comfy-table draws the tables. What it cannot do is said here: a table whose
//! figures do not fit beside each other is drawn as records, every value after its
//! heading, because a figure is never broken.

use std::io::{self, Write};

use comfy_table::presets::NOTHING;
use comfy_table::{
    Cell as Drawn, CellAlignment, ColumnConstraint, ContentArrangement, Table, Width,
};

use crate::report::cells::DOES_NOT_APPLY;
use crate::report::lay::{flow, pad, untied, width as columns_of, wrap};
use crate::report::page::{Block, Columns, Fact, Head, Page};
use crate::report::render::Canvas;
use crate::report::style::{Style, Tone};

/// Blanks between two columns.
const GAP: u16 = 2;
/// Least columns of a value beside its name.
const LEAST_VALUE: usize = 12;

pub(super) fn write(page: &Page<'_>, canvas: Canvas, to: &mut dyn Write) -> io::Result<()> {
    for block in &page.blocks {
        let mut write = |line: &str| writeln!(to, "{}", untied(line.trim_end()));
        match block {
            Block::Long(lines) => lines(canvas.width, canvas.style, &mut write)?,
            block => lines(block, canvas).iter().try_for_each(|line| write(line))?,
        }
    }
    Ok(())
}

/// What stands beside the data.
pub(super) fn remarks(page: &Page<'_>, canvas: Canvas) -> String {
    let is_beside = |block: &&Block<'_>| matches!(block, Block::Remark(..) | Block::Drawn(_, true));
    let lines = page.blocks.iter().filter(is_beside).flat_map(|block| lines(block, canvas));
    lines.map(|line| untied(&line)).collect::<Vec<_>>().join("\n")
}

fn lines(block: &Block<'_>, canvas: Canvas) -> Vec<String> {
    let Canvas { width, style, .. } = canvas;
    match block {
        Block::Prose(tone, text) | Block::Remark(tone, text) => {
            wrap(text, width).iter().map(|line| style.paint(*tone, line)).collect()
        }
        Block::Facts(facts) => fact_lines(facts, width),
        Block::Table(table) => table_lines(table.as_ref(), width, style),
        Block::Drawn(drawing, _) => drawing(width, style),
        Block::Blank => vec![String::new()],
        // Written as it is drawn.
        Block::Long(_) => Vec::new(),
    }
}

fn fact_lines(facts: &[Fact], limit: usize) -> Vec<String> {
    let names = facts.iter().map(|fact| columns_of(&fact.name)).max().unwrap_or(0) + 2;
    let room = limit.saturating_sub(names).max(LEAST_VALUE);
    let mut lines = Vec::new();
    for fact in facts {
        let pieces = if fact.is_whole { vec![fact.text.clone()] } else { wrap(&fact.text, room) };
        for (index, piece) in pieces.iter().enumerate() {
            let name = if index == 0 { &*fact.name } else { "" };
            lines.push(format!("{}{piece}", pad(name, names)));
        }
    }
    lines
}

/// The table, or where its figures do not fit each row as its own lines.
fn table_lines(table: &dyn Columns, width: usize, style: Style) -> Vec<String> {
    let heads = table.heads();
    let rows: Vec<Vec<String>> = (0..table.len()).map(|at| table.cells(at)).collect();
    let drawn = arranged(&heads, &rows, width);
    if drawn.iter().any(|line| columns_of(line.trim_end()) > width) {
        return rows.iter().flat_map(|row| record(&heads, row, width)).collect();
    }
    let mut lines = drawn.into_iter();
    let head = lines.next().map(|head| style.paint(Tone::Heading, head.trim_end()));
    head.into_iter().chain(lines).collect()
}

/// The lines of the heading and of all rows.
pub(crate) fn arranged(heads: &[Head], rows: &[Vec<String>], width: usize) -> Vec<String> {
    let mut table = Table::new();
    table.load_style(NOTHING).set_content_arrangement(ContentArrangement::Dynamic);
    table.set_width(u16::try_from(width).unwrap_or(u16::MAX));
    table.set_header(heads.iter().map(|head| Drawn::new(&head.text)));
    for row in rows {
        table.add_row(row.iter().map(Drawn::new));
    }
    let last = heads.len().saturating_sub(1);
    for (index, (column, head)) in table.column_iter_mut().zip(heads).enumerate() {
        let gap = if index == last { 0 } else { GAP };
        column.set_padding((0, gap));
        if head.right {
            column.set_cell_alignment(CellAlignment::Right);
        }
        column.set_constraint(match head.least(rows.iter().filter_map(|row| row.get(index))) {
            Some(least) => {
                let least = u16::try_from(least).unwrap_or(u16::MAX);
                ColumnConstraint::LowerBoundary(Width::Fixed(least.saturating_add(gap)))
            }
            None => ColumnConstraint::ContentWidth,
        });
    }
    table.lines().collect()
}

/// The first value alone, a bare number with its name, the others below it.
fn record(heads: &[Head], row: &[String], width: usize) -> Vec<String> {
    let Some((title, values)) = row.split_first() else { return Vec::new() };
    let name = if heads[0].right { format!("{} ", heads[0].text) } else { String::new() };
    let named = heads[1..].iter().zip(values);
    let named = named.filter(|(_, cell)| !cell.is_empty() && *cell != DOES_NOT_APPLY);
    let facts: Vec<String> = named.map(|(head, cell)| format!("{} {cell}", head.text)).collect();
    let facts = flow(&facts, width.saturating_sub(2));
    let facts = facts.into_iter().map(|fact| format!("  {fact}"));
    wrap(&format!("{name}{title}"), width).into_iter().chain(facts).collect()
}

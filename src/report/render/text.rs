//! A page as text: its blocks one below the other, none wider than the terminal.

use std::io::{self, Write};

use crate::report::lay::{pad, untied, width as columns_of, wrap};
use crate::report::page::{Block, Fact, Page};
use crate::report::render::Canvas;

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
        Block::Table(table) => table.grid().lines(width, style),
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

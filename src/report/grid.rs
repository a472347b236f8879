//! A table: columns aligned, texts wrapped, numbers never.
//!
//! comfy-table aligns; wrapping is done here, because a number must not be broken: a
//! table whose figures do not fit beside each other is drawn as records, every value
//! after its heading.

use comfy_table::{Cell as Drawn, CellAlignment, ContentArrangement, Table, presets::NOTHING};

use crate::report::cells::DOES_NOT_APPLY;
use crate::report::lay::{fitted, flow, untied, width, wrap};
use crate::report::page::Head;
use crate::report::style::{Style, Tone};

/// Blanks between two columns: two where there is room, else one.
const GAPS: [usize; 2] = [2, 1];

/// A row: its cells, and the tone of all of them.
#[derive(Debug, Clone, Default)]
pub(crate) struct GridRow {
    pub(crate) cells: Vec<String>,
    pub(crate) tone: Tone,
}

/// A table to be drawn: headings, and rows of cells.
#[derive(Debug, Clone, Default)]
pub(crate) struct Grid {
    pub(crate) heads: Vec<Head>,
    pub(crate) rows: Vec<GridRow>,
}

impl Grid {
    /// The lines of the table, or of each row as a record of its own.
    pub(crate) fn lines(&self, limit: usize, style: Style) -> Vec<String> {
        let records = || self.rows.iter().flat_map(|row| self.record(row, limit));
        self.draw(limit, style).unwrap_or_else(|| records().collect())
    }

    /// The first value alone, a bare number with its name, the others below it.
    fn record(&self, row: &GridRow, limit: usize) -> Vec<String> {
        let Some((title, values)) = row.cells.split_first() else { return Vec::new() };
        let name = if self.heads[0].right { &*self.heads[0].text } else { "" };
        let named = self.heads[1..].iter().zip(values);
        let named = named.filter(|(_, cell)| !cell.is_empty() && *cell != DOES_NOT_APPLY);
        let facts: Vec<String> =
            named.map(|(head, cell)| format!("{} {cell}", head.text)).collect();
        let facts = flow(&facts, limit.saturating_sub(2)).into_iter();
        let title = wrap(&format!("{name} {title}"), limit).into_iter();
        title.chain(facts.map(|fact| format!("  {fact}"))).map(|line| untied(&line)).collect()
    }

    /// The lines of the table, that of the heading first, none wider than `limit`; None
    /// if the numbers do not fit beside each other.
    pub(crate) fn draw(&self, limit: usize, style: Style) -> Option<Vec<String>> {
        let (widths, gap) = self.layout(limit)?;
        let mut table = self.table(gap);
        let mut tones = vec![Tone::Heading];
        for GridRow { cells, tone } in &self.rows {
            let cells = cells.iter().zip(&widths).map(|(cell, width)| fitted(cell, *width));
            let cells: Vec<Vec<String>> = cells.collect();
            for at in 0..cells.iter().map(Vec::len).max().unwrap_or(1) {
                table.add_row(cells.iter().map(|lines| lines.get(at).map_or("", String::as_str)));
                tones.push(*tone);
            }
        }
        let lines = table.lines().zip(tones);
        Some(lines.map(|(line, tone)| style.paint(tone, &untied(line.trim_end()))).collect())
    }

    /// Widths, and the gap: two blanks between columns where all fits on one line each,
    /// else one; then words are wrapped, and what that frees goes to the first columns
    /// that it makes whole.
    fn layout(&self, limit: usize) -> Option<(Vec<usize>, usize)> {
        let cells = |index: usize| self.rows.iter().filter_map(move |row| row.cells.get(index));
        let needs = |(index, head): (usize, &Head)| {
            let widest = cells(index).map(|cell| width(cell)).max().unwrap_or(0);
            widest.max(width(&head.text))
        };
        let whole: Vec<usize> = self.heads.iter().enumerate().map(needs).collect();
        let total = |widths: &[usize], gap: usize| {
            widths.iter().sum::<usize>() + gap * widths.len().saturating_sub(1)
        };
        let gap = if total(&whole, GAPS[0]) > limit { GAPS[1] } else { GAPS[0] };
        let least = |(index, head): (usize, &Head)| head.least(cells(index));
        let least: Vec<Option<usize>> = self.heads.iter().enumerate().map(least).collect();
        let mut widths = whole.clone();
        while total(&widths, gap) > limit {
            let able = (0..widths.len())
                .filter(|index| least[*index].is_some_and(|least| widths[*index] > least));
            let index = able.max_by_key(|index| widths[*index])?;
            widths[index] -= 1;
        }
        self.tighten(&mut widths);
        for (index, whole) in whole.into_iter().enumerate() {
            let narrow = std::mem::replace(&mut widths[index], whole);
            if total(&widths, gap) > limit {
                widths[index] = narrow;
            }
        }
        Some((widths, gap))
    }

    /// Takes away what wrapping at blanks leaves unused.
    fn tighten(&self, widths: &mut [usize]) {
        for (index, (width_of, head)) in widths.iter_mut().zip(&self.heads).enumerate() {
            let cells = self.rows.iter().filter_map(|row| row.cells.get(index));
            let lines = cells.flat_map(|cell| fitted(cell, *width_of));
            let widest = lines.map(|line| width(&line)).max().unwrap_or(0);
            *width_of = widest.max(width(&head.text));
        }
    }

    fn table(&self, gap: usize) -> Table {
        let mut table = Table::new();
        table.load_style(NOTHING).set_content_arrangement(ContentArrangement::Disabled);
        table.set_header(self.heads.iter().map(|head| Drawn::new(&head.text)));
        for (column, head) in table.column_iter_mut().zip(&self.heads) {
            column.set_padding((0, gap as u16));
            if head.right {
                column.set_cell_alignment(CellAlignment::Right);
            }
        }
        table
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid() -> Grid {
        let heads = vec![Head::words("part", 6), Head::solid("lb-ft"), Head::words("notes", 5)];
        let cells = ["stud, long and slender", "70 / 95", "as long as the other one"];
        let row = GridRow { cells: cells.map(str::to_owned).into(), tone: Tone::Plain };
        Grid { heads, rows: vec![row] }
    }

    #[test]
    fn words_are_wrapped_and_numbers_not() {
        let drawn = grid().draw(40, Style::plain()).unwrap();
        assert!(drawn.len() > 2 && drawn.iter().all(|line| width(line) <= 40), "{drawn:?}");
        assert!(drawn.join("\n").contains("70 / 95"));
        assert!(grid().draw(20, Style::plain()).is_none(), "no room for the words");
    }
}

//! A table of one-line rows: columns aligned, texts wrapped, numbers never.
//!
//! comfy-table aligns; wrapping and spanning are done here, because a reason in
//! place of a torque runs across the columns and a number must not be broken.

use comfy_table::{Cell as Drawn, CellAlignment, ContentArrangement, Table, presets::NOTHING};

use crate::report::lay::{fitted, pad, untied, width};
use crate::report::page::{Cell, Head};
use crate::report::style::{Style, Tone};

/// Blanks between two columns: two where there is room, else one.
const GAPS: [usize; 2] = [2, 1];
/// Least room for a text that runs across the columns.
const LEAST_SPAN: usize = 32;

/// A row: its cells, and a text that runs on from the column after them. Of
/// several such texts the first that fits on one line stands, else the last.
#[derive(Debug, Clone, Default)]
pub(crate) struct GridRow {
    pub(crate) cells: Vec<Cell>,
    pub(crate) spans: Vec<Cell>,
}

impl GridRow {
    pub(crate) fn new(cells: Vec<Cell>) -> Self {
        Self { cells, spans: Vec::new() }
    }
}

/// A table to be drawn: headings, and rows of cells.
#[derive(Debug, Clone, Default)]
pub(crate) struct Grid {
    pub(crate) heads: Vec<Head>,
    pub(crate) rows: Vec<GridRow>,
}

/// A grid drawn: the lines of the heading, and of each row.
#[derive(Debug, Clone, Default)]
pub(crate) struct Lines {
    pub(crate) head: String,
    pub(crate) rows: Vec<Vec<String>>,
}

impl Lines {
    /// The heading and all rows, one below the other.
    pub(crate) fn into_lines(self) -> Vec<String> {
        std::iter::once(self.head).chain(self.rows.into_iter().flatten()).collect()
    }
}

#[derive(Debug, Clone)]
struct GridLayout {
    widths: Vec<usize>,
    gap: usize,
    limit: usize,
}

impl GridLayout {
    fn total(&self) -> usize {
        self.widths.iter().sum::<usize>() + self.gap * self.widths.len().saturating_sub(1)
    }

    /// The screen column at which grid column `index` starts.
    fn offset(&self, index: usize) -> usize {
        self.widths.iter().take(index).map(|width| width + self.gap).sum()
    }

    /// The lines of the text that runs on after the cells of `row`.
    fn span_lines(&self, row: &GridRow) -> Vec<String> {
        let room = self.limit.saturating_sub(self.offset(row.cells.len()));
        let fitting = row.spans.iter().find(|span| width(&span.text) <= room);
        fitting.or(row.spans.last()).map(|span| fitted(&span.text, room)).unwrap_or_default()
    }

    fn wrapped(&self, row: &GridRow) -> Vec<Vec<String>> {
        let cells = row.cells.iter().zip(&self.widths);
        let cells: Vec<Vec<String>> =
            cells.map(|(cell, width)| fitted(&cell.text, *width)).collect();
        let span = self.span_lines(row).len();
        let height = cells.iter().map(Vec::len).max().unwrap_or(1).max(span);
        let line = |at: usize| {
            let texts = cells.iter().map(|lines| lines.get(at).cloned().unwrap_or_default());
            texts.chain(std::iter::repeat(String::new())).take(self.widths.len()).collect()
        };
        (0..height).map(line).collect()
    }

    fn tones(&self, row: &GridRow) -> Vec<(usize, Tone)> {
        let cells = row.cells.iter().chain(row.spans.first()).enumerate();
        cells.map(|(index, cell)| (self.offset(index), cell.tone)).collect()
    }
}

impl Grid {
    /// The lines of the table, none wider than `limit`; None if the numbers do
    /// not fit beside each other.
    pub(crate) fn draw(&self, limit: usize, style: Style) -> Option<Lines> {
        let layout = self.layout(limit)?;
        let wrapped: Vec<Vec<Vec<String>>> =
            self.rows.iter().map(|row| layout.wrapped(row)).collect();
        let mut table = self.table(layout.gap);
        for row in wrapped.iter().flatten() {
            table.add_row(row.clone());
        }
        let mut lines = table.lines();
        let head = style.paint(Tone::Heading, lines.next()?.trim_end());
        let mut rows = Vec::with_capacity(self.rows.len());
        for (row, pieces) in self.rows.iter().zip(&wrapped) {
            let tones = layout.tones(row);
            let start = layout.offset(row.cells.len());
            let mut spans = layout.span_lines(row).into_iter();
            let drawn = lines.by_ref().take(pieces.len()).map(|line| {
                let line = line.trim_end();
                let line = spans.next().map_or_else(|| line.to_owned(), |s| pad(line, start) + &s);
                style.paint_line(&untied(&line), &tones)
            });
            rows.push(drawn.collect());
        }
        Some(Lines { head, rows })
    }

    /// Two blanks between columns where all fits on one line each, else one;
    /// then words are wrapped, and what that frees goes to the first columns
    /// that it makes whole.
    fn layout(&self, limit: usize) -> Option<GridLayout> {
        let needs = |(index, head): (usize, &Head)| {
            let cells = self.rows.iter().filter_map(|row| row.cells.get(index));
            let widest = cells.map(|cell| width(&cell.text)).max().unwrap_or(0);
            widest.max(width(&head.text))
        };
        let widths: Vec<usize> = self.heads.iter().enumerate().map(needs).collect();
        let mut layout = GridLayout { widths: widths.clone(), gap: GAPS[0], limit };
        // Where the texts that run across start: they need room too.
        let spanned = self.rows.iter().filter(|row| !row.spans.is_empty());
        let spanned = spanned.map(|row| row.cells.len()).max();
        let end = |layout: &GridLayout| spanned.map_or(0, |at| layout.offset(at) + LEAST_SPAN);
        if layout.total() > limit || end(&layout) > limit {
            layout.gap = GAPS[1];
        }
        let least = |(index, head): (usize, &Head)| {
            head.least(self.rows.iter().filter_map(|row| row.cells.get(index)))
        };
        let least: Vec<Option<usize>> = self.heads.iter().enumerate().map(least).collect();
        while layout.total() > limit || end(&layout) > limit {
            let all = layout.total() > limit;
            let among = if all { layout.widths.len() } else { spanned? };
            let able = (0..among)
                .filter(|index| least[*index].is_some_and(|least| layout.widths[*index] > least));
            let index = able.max_by_key(|index| layout.widths[*index])?;
            layout.widths[index] -= 1;
        }
        self.tighten(&mut layout.widths);
        for (index, whole) in widths.iter().enumerate() {
            let narrow = std::mem::replace(&mut layout.widths[index], *whole);
            if layout.total() > limit || end(&layout) > limit {
                layout.widths[index] = narrow;
            }
        }
        Some(layout)
    }

    /// Takes away what wrapping at blanks leaves unused.
    fn tighten(&self, widths: &mut [usize]) {
        for (index, (width_of, head)) in widths.iter_mut().zip(&self.heads).enumerate() {
            let cells = self.rows.iter().filter_map(|row| row.cells.get(index));
            let lines = cells.flat_map(|cell| fitted(&cell.text, *width_of));
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
        let mut refused = GridRow::new(vec!["stud, long".into()]);
        refused.spans = vec!["refused: wet to dry is never converted".into()];
        let row = GridRow::new(vec!["stud, long".into(), "70 / 95".into(), "a".into()]);
        Grid { heads, rows: vec![row, refused] }
    }

    fn text(lines: &Lines) -> String {
        let rows = lines.rows.iter().flatten().map(String::as_str);
        std::iter::once(lines.head.as_str()).chain(rows).collect::<Vec<_>>().join("\n")
    }

    #[test]
    fn a_reason_runs_across_the_columns() {
        let drawn = grid().draw(60, Style::plain()).unwrap();
        assert_eq!(
            text(&drawn),
            "part        lb-ft    notes\n\
             stud, long  70 / 95  a\n\
             stud, long  refused: wet to dry is never converted"
        );
    }

    #[test]
    fn words_are_wrapped_and_numbers_not() {
        let drawn = grid().draw(40, Style::plain()).unwrap();
        for line in text(&drawn).lines() {
            assert!(width(line) <= 40, "{line}");
        }
        assert!(text(&drawn).contains("70 / 95"));
        assert!(grid().draw(20, Style::plain()).is_none(), "no room for the reason");
    }
}

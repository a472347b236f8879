//! A table of one-line rows: columns aligned, texts wrapped, numbers never.
//!
//! comfy-table aligns; wrapping and spanning are done here, because a reason in
//! place of a torque runs across the columns and a number must not be broken.

use comfy_table::{Cell as Drawn, CellAlignment, ContentArrangement, Table, presets::NOTHING};

use crate::report::lay::{pad, untied, width, wrap};
use crate::report::style::{Style, Tone};

/// Blanks between two columns.
const GAP: usize = 2;
/// Least room for a text that runs across the columns.
const LEAST_SPAN: usize = 24;

/// A column.
#[derive(Debug, Clone)]
pub(crate) struct Head {
    text: String,
    /// The width below which it is not wrapped; none for numbers.
    wraps_to: Option<usize>,
    right: bool,
}

impl Head {
    /// A column whose cells are never broken.
    pub(crate) fn solid(text: impl Into<String>) -> Self {
        Self { text: text.into(), wraps_to: None, right: false }
    }

    /// A column of words, which may be wrapped down to `least` columns.
    pub(crate) fn words(text: impl Into<String>, least: usize) -> Self {
        Self { text: text.into(), wraps_to: Some(least), right: false }
    }

    /// A column of plain numbers, flush right.
    pub(crate) fn number(text: impl Into<String>) -> Self {
        Self { text: text.into(), wraps_to: None, right: true }
    }
}

/// A cell with its tone.
#[derive(Debug, Clone, Default)]
pub(crate) struct Cell {
    pub(crate) text: String,
    pub(crate) tone: Tone,
}

impl Cell {
    /// A cell of some tone.
    pub(crate) fn toned(text: impl Into<String>, tone: Tone) -> Self {
        Self { text: text.into(), tone }
    }
}

impl<T: Into<String>> From<T> for Cell {
    fn from(text: T) -> Self {
        Self { text: text.into(), tone: Tone::Plain }
    }
}

/// A row: its cells, and a text that runs on from the column after them.
#[derive(Debug, Clone, Default)]
pub(crate) struct GridRow {
    pub(crate) cells: Vec<Cell>,
    pub(crate) span: Option<Cell>,
}

impl GridRow {
    /// A row of cells, one for each column.
    pub(crate) fn of(cells: Vec<Cell>) -> Self {
        Self { cells, span: None }
    }
}

/// Columns and rows.
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

impl Grid {
    /// The lines of the table, none wider than `limit`; None if the numbers do
    /// not fit beside each other.
    pub(crate) fn draw(&self, limit: usize, style: Style) -> Option<Lines> {
        let widths = self.widths(limit)?;
        let wrapped: Vec<Vec<Vec<String>>> =
            self.rows.iter().map(|row| wrapped(row, &widths, limit)).collect();
        let mut table = self.table();
        for row in wrapped.iter().flatten() {
            table.add_row(row.clone());
        }
        let mut lines = table.lines().map(|line| untied(line.trim_end()));
        let heading: Vec<(usize, Tone)> = vec![(0, Tone::Heading)];
        let head = style.paint_line(&lines.next()?, &heading);
        let mut rows = Vec::with_capacity(self.rows.len());
        for (row, pieces) in self.rows.iter().zip(&wrapped) {
            let tones = tones(row, &widths);
            let spans = row.span.as_ref().map(|span| wrap(&span.text, limit - offset(&widths, row.cells.len())));
            let drawn = lines.by_ref().take(pieces.len()).enumerate().map(|(index, line)| {
                let span = spans.as_ref().and_then(|spans| spans.get(index));
                let line = match span {
                    Some(span) => untied(&(pad(&line, offset(&widths, row.cells.len())) + span)),
                    None => line,
                };
                style.paint_line(line.trim_end(), &tones)
            });
            rows.push(drawn.collect());
        }
        Some(Lines { head, rows })
    }

    /// The width of each column: what it needs, words wrapped where the whole
    /// does not fit.
    fn widths(&self, limit: usize) -> Option<Vec<usize>> {
        let needs = |(index, head): (usize, &Head)| {
            let cells = self.rows.iter().filter_map(|row| row.cells.get(index));
            let widest = cells.map(|cell| width(&cell.text)).max().unwrap_or(0);
            widest.max(width(&head.text))
        };
        let mut widths: Vec<usize> = self.heads.iter().enumerate().map(needs).collect();
        // Where the texts that run across start: they need room too.
        let spanned = self.rows.iter().filter(|row| row.span.is_some());
        let spanned = spanned.map(|row| row.cells.len()).max();
        let end = |widths: &[usize]| spanned.map_or(0, |at| offset(widths, at) + LEAST_SPAN);
        while total(&widths) > limit || end(&widths) > limit {
            let among = if total(&widths) > limit { widths.len() } else { spanned? };
            let index = self.widest_words(&widths, among)?;
            widths[index] -= 1;
        }
        self.tighten(&mut widths);
        Some(widths)
    }

    /// The widest of the first `among` columns that may still be wrapped.
    fn widest_words(&self, widths: &[usize], among: usize) -> Option<usize> {
        let able = self.heads.iter().take(among).enumerate().filter(|(index, head)| {
            head.wraps_to.is_some_and(|least| widths[*index] > least.max(width(&head.text)))
        });
        able.max_by_key(|(index, _)| widths[*index]).map(|(index, _)| index)
    }

    /// Takes away what wrapping at blanks leaves unused.
    fn tighten(&self, widths: &mut [usize]) {
        for (index, (width_of, head)) in widths.iter_mut().zip(&self.heads).enumerate() {
            let cells = self.rows.iter().filter_map(|row| row.cells.get(index));
            let lines = cells.flat_map(|cell| wrap_cell(&cell.text, *width_of));
            let widest = lines.map(|line| width(&line)).max().unwrap_or(0);
            *width_of = widest.max(width(&head.text));
        }
    }

    /// The table with its heading; widths follow from the contents.
    fn table(&self) -> Table {
        let mut table = Table::new();
        table.load_style(NOTHING).set_content_arrangement(ContentArrangement::Disabled);
        table.set_header(self.heads.iter().map(|head| Drawn::new(&head.text)));
        for (column, head) in table.column_iter_mut().zip(&self.heads) {
            column.set_padding((0, GAP as u16));
            if head.right {
                column.set_cell_alignment(CellAlignment::Right);
            }
        }
        table
    }
}

fn total(widths: &[usize]) -> usize {
    widths.iter().sum::<usize>() + GAP * widths.len().saturating_sub(1)
}

/// The screen column at which grid column `index` starts.
fn offset(widths: &[usize], index: usize) -> usize {
    widths.iter().take(index).map(|width| width + GAP).sum()
}

/// The lines of one row, each with a text for every column.
fn wrapped(row: &GridRow, widths: &[usize], limit: usize) -> Vec<Vec<String>> {
    let cells: Vec<Vec<String>> =
        row.cells.iter().zip(widths).map(|(cell, width)| wrap_cell(&cell.text, *width)).collect();
    let span = row.span.as_ref().map_or(1, |span| {
        wrap(&span.text, limit - offset(widths, row.cells.len())).len()
    });
    let height = cells.iter().map(Vec::len).max().unwrap_or(1).max(span);
    let line = |at: usize| {
        let texts = cells.iter().map(|lines| lines.get(at).cloned().unwrap_or_default());
        texts.chain(std::iter::repeat(String::new())).take(widths.len()).collect()
    };
    (0..height).map(line).collect()
}

/// A cell that fits keeps its blanks as they are.
fn wrap_cell(text: &str, columns: usize) -> Vec<String> {
    if width(text) <= columns { vec![text.to_owned()] } else { wrap(text, columns) }
}

/// Where each cell starts, and its tone.
fn tones(row: &GridRow, widths: &[usize]) -> Vec<(usize, Tone)> {
    let cells = row.cells.iter().chain(&row.span).enumerate();
    cells.map(|(index, cell)| (offset(widths, index), cell.tone)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid() -> Grid {
        let heads = vec![Head::words("part", 6), Head::solid("lb-ft"), Head::words("notes", 5)];
        let mut refused = GridRow::of(vec!["stud, long".into()]);
        refused.span = Some("refused: wet to dry is never converted".into());
        let row = GridRow::of(vec!["stud, long".into(), "70 / 95".into(), "a".into()]);
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
        let drawn = grid().draw(34, Style::plain()).unwrap();
        for line in text(&drawn).lines() {
            assert!(width(line) <= 34, "{line}");
        }
        assert!(text(&drawn).contains("70 / 95"));
        assert!(grid().draw(20, Style::plain()).is_none(), "no room for the reason");
    }
}

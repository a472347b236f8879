//! The columns of the usual and of the wide table.

use crate::query::run::Answer;
use crate::record::Row;
use crate::report::cells;
use crate::report::figures::symbols;
use crate::report::grid::{Cell, Grid, GridRow, Head};
use crate::report::lay::{tied, width};
use crate::report::pull::{Pull, passes, shared_units};
use crate::report::style::Tone;
use crate::report::table::Known;

/// Which columns are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shown {
    /// At 80 columns.
    Usual {
        /// The joint stands in a heading, not in a column.
        headed: bool,
    },
    /// At 140 columns.
    Wide {
        /// The joint stands in a heading, not in a column.
        headed: bool,
    },
}

impl Shown {
    /// Whether the joint stands in a heading.
    pub(crate) fn is_headed(self) -> bool {
        match self {
            Self::Usual { headed } | Self::Wide { headed } => headed,
        }
    }

    fn is_wide(self) -> bool {
        matches!(self, Self::Wide { .. })
    }
}

/// The rows of `answer` as a grid. Lube, torque and basis stand side by side.
pub(crate) fn grid(answer: &Answer, known: &Known<'_>, shown: Shown) -> Grid {
    let shared = shared_units(pulls_shown(known));
    let unit = cells::clamp_unit(&answer.units);
    let torque = match &shared {
        Some(units) => symbols(units),
        None => "torque".to_owned(),
    };
    let clamp = format!("clamp {}", unit.map_or("", |unit| unit.symbol));
    let mut heads = Vec::new();
    if !shown.is_headed() {
        heads.push(Head::words("joint", 10));
    }
    let parts = known.rows.iter().map(|row| cells::words(Some(&row.fastener.part)));
    heads.push(Head::words("part", widest_piece(parts).min(WIDEST_PART_WORD)));
    if shown.is_wide() {
        heads.push(Head::number("count"));
    }
    heads.push(Head::solid("turned"));
    if shown.is_wide() {
        heads.extend([Head::solid("hole end"), Head::solid("length")]);
    }
    let torques = (0..known.rows.len()).filter_map(|index| {
        known.rows[index]
            .refused
            .is_none()
            .then(|| torque_cell(&known.pulls[index], shared.is_some()))
    });
    let torque = Head::words(torque, widest_piece(torques));
    heads.extend([Head::words("lube", 8), torque, Head::solid("basis")]);
    if shown.is_wide() {
        heads.push(Head::words("passes", 14));
    }
    heads.extend([Head::solid(clamp), Head::solid("%yield")]);
    if shown.is_wide() {
        heads.push(Head::words("source", 16));
    }
    heads.push(Head::solid("notes"));
    let row = |index: usize| grid_row(known, index, shown, shared.is_some(), unit);
    Grid { heads, rows: (0..known.rows.len()).map(row).collect() }
}

/// A longer word of a part's name may be broken.
const WIDEST_PART_WORD: usize = 14;

/// The torques that are not refused.
fn pulls_shown<'a>(known: &'a Known<'_>) -> impl Iterator<Item = &'a Pull> {
    let rows = known.rows.iter().zip(&known.pulls);
    rows.filter(|(row, _)| row.refused.is_none()).map(|(_, pull)| pull)
}

fn grid_row(
    known: &Known<'_>,
    index: usize,
    shown: Shown,
    in_heading: bool,
    unit: Option<&'static crate::quantity::Unit>,
) -> GridRow {
    let (row, pull) = (known.rows[index], &known.pulls[index]);
    let tone = cells::tone(row);
    let mut cells = first_cells(row, shown);
    if let Some(reason) = &row.refused {
        let text = format!("refused: {}", crate::report::lay::clean(reason));
        return GridRow { cells, span: Some(Cell::toned(text, Tone::Danger)) };
    }
    cells.push(Cell::toned(torque_cell(pull, in_heading), tone));
    cells.push(Cell::toned(cells::basis(&row.setting), tone));
    if shown.is_wide() {
        cells.push(passes(row).into());
    }
    cells.push(Cell::toned(cells::clamp(row, unit), tone));
    cells.push(Cell::toned(cells::of_yield(row), tone));
    if shown.is_wide() {
        cells.push(cells::source(row).into());
    }
    let (marks, tone) = marks(row, &known.lettered.marks[index]);
    cells.push(Cell::toned(marks, tone));
    GridRow::of(cells)
}

/// The torque, which may break between its two units, or before the figures of
/// a stretch, and nowhere else.
fn torque_cell(pull: &Pull, in_heading: bool) -> String {
    let text = if in_heading { pull.bare() } else { pull.with_units() };
    let tied = tied(&text).replace("\u{a0}/\u{a0}", "\u{a0}/ ");
    match tied.strip_prefix("stretch\u{a0}") {
        Some(figures) => format!("stretch {figures}"),
        None => tied,
    }
}

/// The widest text that may not be broken.
fn widest_piece(texts: impl Iterator<Item = String>) -> usize {
    texts.flat_map(|text| text.split(' ').map(width).collect::<Vec<_>>()).max().unwrap_or(0)
}

fn first_cells(row: &Row, shown: Shown) -> Vec<Cell> {
    let fastener = &row.fastener;
    let mut cells: Vec<Cell> = Vec::new();
    if !shown.is_headed() {
        cells.push(cells::place(fastener).into());
    }
    cells.push(cells::words(Some(&fastener.part)).into());
    if shown.is_wide() {
        cells.push(cells::stated(fastener.count).into());
    }
    cells.push(cells::turned(row).into());
    if shown.is_wide() {
        cells.extend([cells::hole_end(row).into(), cells::length(fastener.length).into()]);
    }
    cells.push(cells::lube(&row.setting).into());
    cells
}

/// The footnote letters of a row, after the words that must not be missed.
pub(crate) fn marks(row: &Row, letters: &str) -> (String, Tone) {
    let mut words = Vec::new();
    if row.setting.superseded {
        words.push("SUPERSEDED");
    }
    if row.fastener.is_single_use() {
        words.push("DISCARD");
    }
    let tone = if words.is_empty() { Tone::Plain } else { Tone::Danger };
    if !letters.is_empty() {
        words.push(letters);
    }
    (words.join(" "), tone)
}

//! The columns of the usual and of the wide table.

use std::ops::Range;

use crate::query::run::{Answer, UnitsWanted};
use crate::record::Row;
use crate::report::cells;
use crate::report::figures::symbols;
use crate::report::grid::{Grid, GridRow};
use crate::report::lay::{clean, tied};
use crate::report::page::{Cell, Head};
use crate::report::pull::{Pull, Sharing, passes};
use crate::report::style::Tone;
use crate::report::table::Known;

/// Which columns are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Shown {
    /// The columns of 140, else those of 80.
    pub(crate) wide: bool,
    /// The joint stands in a heading, not in a column.
    pub(crate) headed: bool,
    /// What is long to say runs across the columns, and a torque with its own
    /// units may take two lines.
    pub(crate) brief: bool,
}

/// The width above which a torque in two units may be broken between them.
const LONGEST_TORQUE: usize = 8;

/// The rows `range` of `answer` as a grid. Lube, torque and basis stand side by
/// side.
pub(crate) fn grid(answer: &Answer, known: &Known<'_>, range: Range<usize>, shown: Shown) -> Grid {
    let sharing = known.sharing(range.clone());
    let unit = cells::clamp_unit(&answer.units);
    let torque = match &sharing {
        Sharing::All(units) => symbols(units),
        Sharing::Nothing | Sharing::Mixed => "torque".to_owned(),
    };
    let clamp = format!("clamp {}", unit.map_or("", |unit| unit.symbol));
    let mut heads = Vec::new();
    if !shown.headed {
        heads.push(Head::words("joint", 10));
    }
    heads.push(Head::words("part", 6));
    if shown.wide {
        heads.push(Head::number("count"));
    }
    heads.push(Head::solid("turned"));
    if shown.wide {
        heads.extend([Head::solid("hole end"), Head::solid("length")]);
    }
    let torque =
        if shown.brief { Head::words(torque, LONGEST_TORQUE) } else { Head::solid(torque) };
    heads.extend([Head::words("lube", 8), torque, Head::solid("basis")]);
    if shown.wide {
        heads.push(Head::words("passes", 14));
    }
    heads.extend([Head::solid(clamp), Head::solid("%yield")]);
    if shown.wide {
        heads.push(Head::words("source", 16));
    }
    heads.push(Head::words("notes", 7));
    let row = |index: usize| grid_row(known, index, shown, &sharing, &answer.units);
    Grid { heads, rows: range.map(row).collect() }
}

fn grid_row(
    known: &Known<'_>,
    index: usize,
    shown: Shown,
    sharing: &Sharing,
    wanted: &UnitsWanted,
) -> GridRow {
    let unit = cells::clamp_unit(wanted);
    let (row, pull) = (known.rows[index], &known.pulls[index]);
    let tone = cells::tone(row);
    let mut cells = first_cells(row, shown, wanted);
    let (marks, marks_tone) = marks(row, &known.lettered.marks[index]);
    if let Some(reason) = &row.refused {
        let text = format!("refused: {}", clean(reason));
        return GridRow { cells, spans: vec![Cell::toned(text, Tone::Danger)] };
    }
    let basis = cells::basis(&row.setting);
    if shown.brief && !matches!(pull, Pull::Torque(..)) {
        let span = |pull: String| {
            let pull = tied(&format!("{pull} {basis}"));
            Cell::toned(format!("{pull} {marks}").trim_end(), tone)
        };
        return GridRow { cells, spans: vec![span(pull.with_units()), span(pull.first())] };
    }
    let torque = match sharing {
        Sharing::All(_) => tied(&pull.bare()),
        Sharing::Nothing | Sharing::Mixed => {
            // It may break between its two units, and nowhere else.
            tied(&pull.with_units()).replace("\u{a0}/\u{a0}", "\u{a0}/ ")
        }
    };
    cells.push(Cell::toned(torque, tone));
    cells.push(Cell::toned(basis, tone));
    if shown.wide {
        cells.push(passes(row, wanted).into());
    }
    cells.push(Cell::toned(cells::clamp(row, unit), tone));
    cells.push(Cell::toned(cells::of_yield(row), tone));
    if shown.wide {
        cells.push(cells::source(row).into());
    }
    cells.push(Cell::toned(marks, marks_tone));
    GridRow::of(cells)
}

fn first_cells(row: &Row, shown: Shown, wanted: &UnitsWanted) -> Vec<Cell> {
    let fastener = &row.fastener;
    let mut cells: Vec<Cell> = Vec::new();
    if !shown.headed {
        cells.push(cells::place(fastener).into());
    }
    cells.push(cells::words(Some(&fastener.part)).into());
    if shown.wide {
        cells.push(cells::stated(fastener.count).into());
    }
    cells.push(cells::turned(row).into());
    if shown.wide {
        cells.extend([cells::hole_end(row).into(), cells::length(fastener.length, wanted).into()]);
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

//! The columns that a question asked for.

use crate::query::run::{Answer, Column};
use crate::record::Row;
use crate::report::cells;
use crate::report::duties::{confused, duties};
use crate::report::figures::{shared_units, symbols};
use crate::report::find::line::basis;
use crate::report::find::{refusals, torque_line};
use crate::report::grid::{Grid, GridRow};
use crate::report::lay::{clean, flow, untied, wrap};
use crate::report::pull::{Pull, passes};
use crate::report::style::{Style, Tone};
use crate::report::values::{ColumnText, column_text};

/// What a table shows side by side: asked for, or its figure's lube.
enum DrawnColumn<'a> {
    Asked(&'a Column),
    Lube,
    Basis,
}

fn is_named(column: &Column, name: &str) -> bool {
    column.field.is_some_and(|field| field.name == name)
}

/// Whether a column shows what a wrench is set to.
pub(crate) fn carries_torque(column: &Column) -> bool {
    ["torque", "snug", "passes"].iter().any(|name| is_named(column, name))
}

/// The columns asked for. A torque never stands without its lube and basis.
fn parts(columns: &[Column]) -> Vec<DrawnColumn<'_>> {
    let first = columns.iter().position(carries_torque);
    let lacks = |name: &str| first.is_some() && !columns.iter().any(|c| is_named(c, name));
    let (lube, basis) = (lacks("lube"), lacks("basis"));
    let mut parts = Vec::with_capacity(columns.len() + 2);
    for (index, column) in columns.iter().enumerate() {
        let is_first = first == Some(index);
        if is_first && lube {
            parts.push(DrawnColumn::Lube);
        }
        parts.push(DrawnColumn::Asked(column));
        if is_first && basis {
            parts.push(DrawnColumn::Basis);
        }
    }
    parts
}

/// The table of a `show` clause.
pub(crate) fn show_table(answer: &Answer, width: usize, style: Style) -> Vec<String> {
    let rows: Vec<&Row> = answer.rows.iter().collect();
    let pulls: Vec<Pull> = rows.iter().map(|row| Pull::of_row(row, &answer.units)).collect();
    let parts = parts(&answer.columns);
    let mut texts: Vec<ColumnText> =
        parts.iter().map(|part| part_text(part, answer, &pulls)).collect();
    mark_superseded(&mut texts, &rows);
    let drawn = grid(&texts, answer).draw(width, style);
    let mut lines = drawn.unwrap_or_else(|| records(&parts, &texts, answer, &pulls, width));
    if answer.columns.iter().any(carries_torque) {
        for (reason, lubes) in refusals(&rows) {
            let text = format!("refused, {}: {}", lubes.join(", "), clean(&reason));
            lines.extend(wrap(&text, width).iter().map(|line| style.paint(Tone::Danger, line)));
        }
        let tone = |is_caution| if is_caution { Tone::Danger } else { Tone::Plain };
        let is_column = |name: &str| answer.columns.iter().any(|column| is_named(column, name));
        let duties = duties(&rows, &answer.units).into_iter();
        let duties = duties.filter(|duty| !duty.field.is_some_and(is_column));
        let duties = duties.map(|duty| (tone(duty.is_caution()), duty.words()));
        let alike = confused(&rows).map(|text| (Tone::Danger, text));
        for (tone, text) in duties.chain(alike) {
            let wrapped = wrap(&text, width);
            lines.extend(wrapped.iter().map(|line| style.paint(tone, &untied(line))));
        }
    }
    lines
}

/// A figure that was replaced says so before anything else, whatever columns were asked
/// for.
fn mark_superseded(texts: &mut [ColumnText], rows: &[&Row]) {
    let Some(first) = texts.first_mut() else { return };
    for (cell, row) in first.cells.iter_mut().zip(rows) {
        if row.setting.superseded {
            *cell = format!("SUPERSEDED {cell}");
        }
    }
}

fn part_text(part: &DrawnColumn<'_>, answer: &Answer, pulls: &[Pull]) -> ColumnText {
    let words = |heading: &str, text: &dyn Fn(&Row) -> String| ColumnText {
        heading: heading.to_owned(),
        cells: answer.rows.iter().map(text).collect(),
        is_words: true,
    };
    match part {
        DrawnColumn::Lube => words("lube", &|row| cells::lube(&row.setting)),
        DrawnColumn::Basis => basis_text(answer),
        DrawnColumn::Asked(column) if is_named(column, "lube") => {
            words(&column.heading, &|row| cells::lube(&row.setting))
        }
        DrawnColumn::Asked(column) if is_named(column, "basis") => basis_text(answer),
        DrawnColumn::Asked(column) if is_named(column, "torque") => torque_text(answer, pulls),
        DrawnColumn::Asked(column) if is_named(column, "passes") => {
            words(&column.heading, &|row| passes(row, &answer.units))
        }
        DrawnColumn::Asked(column) if is_named(column, "clamp") => clamp_text(column, answer),
        DrawnColumn::Asked(column) => {
            let values: Vec<_> = column.values.iter().collect();
            column_text(&column.heading, column.field, &values, &answer.units)
        }
    }
}

fn basis_text(answer: &Answer) -> ColumnText {
    let cells = answer.rows.iter().map(cells::basis).collect();
    ColumnText { heading: "basis".to_owned(), cells, is_words: false }
}

fn torque_text(answer: &Answer, pulls: &[Pull]) -> ColumnText {
    let is_shown = |(row, _): &(&Row, &Pull)| row.refused.is_none();
    let shown = answer.rows.iter().zip(pulls).filter(is_shown);
    let shared = shared_units(shown.filter_map(|(_, pull)| pull.torque()));
    let cell = |(index, row): (usize, &Row)| match (&row.refused, &shared) {
        (Some(_), _) => "refused".to_owned(),
        (None, Some(_)) => pulls[index].bare(),
        (None, None) => pulls[index].with_units(),
    };
    let units = shared.as_ref().map_or_else(String::new, |units| format!(" {}", symbols(units)));
    ColumnText {
        heading: format!("torque{units}"),
        cells: answer.rows.iter().enumerate().map(cell).collect(),
        is_words: false,
    }
}

fn clamp_text(column: &Column, answer: &Answer) -> ColumnText {
    let unit = cells::clamp_unit(&answer.units);
    let cell = |row: &Row| match &row.refused {
        Some(_) => cells::DOES_NOT_APPLY.to_owned(),
        None => cells::clamp(row, unit),
    };
    ColumnText {
        heading: format!("{} {}", column.heading, unit.map_or("", |unit| unit.symbol)),
        cells: answer.rows.iter().map(cell).collect(),
        is_words: false,
    }
}

fn grid(texts: &[ColumnText], answer: &Answer) -> Grid {
    let row = |(index, row): (usize, &Row)| {
        let cells = texts.iter().map(|text| text.cells[index].clone()).collect();
        GridRow { cells, tone: cells::tone(row) }
    };
    Grid {
        heads: texts.iter().map(ColumnText::head).collect(),
        rows: drawn_order(answer).into_iter().map(row).collect(),
    }
}

/// The rows as they are drawn: a figure that was replaced stands last of its fastener.
fn drawn_order(answer: &Answer) -> Vec<(usize, &Row)> {
    let mut rows: Vec<(usize, &Row)> = answer.rows.iter().enumerate().collect();
    for own in rows.chunk_by_mut(|(_, a), (_, b)| a.fastener.key == b.fastener.key) {
        own.sort_by_key(|(_, row)| row.setting.superseded);
    }
    rows
}

/// Records one below the other, where the columns do not fit.
fn records(
    parts: &[DrawnColumn<'_>],
    texts: &[ColumnText],
    answer: &Answer,
    pulls: &[Pull],
    width: usize,
) -> Vec<String> {
    let is_asked =
        |name: &str| parts.iter().any(|p| matches!(p, DrawnColumn::Asked(c) if is_named(c, name)));
    let mut lines = Vec::new();
    for (index, row) in drawn_order(answer) {
        if !lines.is_empty() {
            lines.push(String::new());
        }
        let mut items = Vec::new();
        // The line of a torque says its lube and basis.
        let with_torque = row.refused.is_none() && is_asked("torque");
        let is_in_it = |column: &Column| {
            with_torque && ["lube", "basis"].iter().any(|name| is_named(column, name))
        };
        let asked = parts
            .iter()
            .zip(texts)
            .filter(|(part, _)| matches!(part, DrawnColumn::Asked(column) if !is_in_it(column)));
        for (part, text) in asked {
            let is_torque =
                matches!(part, DrawnColumn::Asked(column) if is_named(column, "torque"));
            items.push(if is_torque && row.refused.is_none() {
                let (long, short) = (basis(row, &answer.units), cells::basis(row));
                let old = if row.setting.superseded { "SUPERSEDED " } else { "" };
                let lube = format!("{old}{}", cells::lube(&row.setting));
                torque_line(&lube, &pulls[index], [&long, &short], width)
            } else {
                format!("{}: {}", text.heading, text.cells[index])
            });
        }
        lines.extend(flow(&items, width).iter().map(|line| untied(line)));
    }
    lines
}

//! The columns that a question asked for.

use crate::query::run::{Answer, Column};
use crate::record::Row;
use crate::report::cautions::cautions;
use crate::report::cells;
use crate::report::figures::symbols;
use crate::report::find::{DISCARD, refusals, torque_line};
use crate::report::grid::{Grid, GridRow};
use crate::report::lay::{clean, flow, untied, wrap};
use crate::report::notes::{Note, notes};
use crate::report::page::Cell;
use crate::report::pull::{Pull, passes, shared_units};
use crate::report::style::{Style, Tone};
use crate::report::values::{ColumnText, column_text};

/// Parts named before a caution that is not about all of them.
const PARTS_NAMED: usize = 3;

/// A column as it is drawn.
enum Part<'a> {
    /// One that was asked for.
    Asked(&'a Column),
    /// The lube, which belongs to a torque.
    Lube,
    /// The basis, which belongs to a torque.
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
fn parts(columns: &[Column]) -> Vec<Part<'_>> {
    let first = columns.iter().position(carries_torque);
    let lacks = |name: &str| first.is_some() && !columns.iter().any(|c| is_named(c, name));
    let (lube, basis) = (lacks("lube"), lacks("basis"));
    let mut parts = Vec::with_capacity(columns.len() + 2);
    for (index, column) in columns.iter().enumerate() {
        let is_first = first == Some(index);
        if is_first && lube {
            parts.push(Part::Lube);
        }
        parts.push(Part::Asked(column));
        if is_first && basis {
            parts.push(Part::Basis);
        }
    }
    parts
}

/// The table of a `show` clause.
pub(crate) fn show_table(answer: &Answer, width: usize, style: Style) -> Vec<String> {
    let rows: Vec<&Row> = answer.rows.iter().collect();
    let pulls: Vec<Pull> = rows.iter().map(|row| Pull::of(&row.setting, &answer.units)).collect();
    let parts = parts(&answer.columns);
    let texts: Vec<ColumnText> = parts.iter().map(|part| part_text(part, answer, &pulls)).collect();
    let mut lines = match grid(&texts, answer).draw(width, style) {
        Some(drawn) => {
            let mut lines = vec![drawn.head];
            lines.extend(drawn.rows.into_iter().flatten());
            lines
        }
        None => records(&parts, &texts, answer, &pulls, width),
    };
    if answer.columns.iter().any(carries_torque) {
        for (reason, lubes) in refusals(&rows) {
            let text = format!("refused, {}: {}", lubes.join(", "), clean(&reason));
            lines.extend(wrap(&text, width).iter().map(|line| style.paint(Tone::Danger, line)));
        }
        lines.extend(said(answer, &rows, &pulls, width, style));
    }
    lines
}

/// The cautions of the rows, each once, with the parts they are about.
fn said(answer: &Answer, rows: &[&Row], pulls: &[Pull], width: usize, style: Style) -> Vec<String> {
    let mut texts: Vec<(String, Vec<&Row>)> = Vec::new();
    for row in rows {
        for note in notes(row, &answer.units).into_iter().filter(Note::is_to_do) {
            match texts.iter_mut().find(|(text, _)| *text == note.text) {
                Some((_, of)) => of.push(row),
                None => texts.push((note.text, vec![row])),
            }
        }
    }
    let answered = rows.iter().filter(|row| row.refused.is_none()).count();
    let mut said: Vec<String> = texts
        .into_iter()
        .map(|(text, of)| if of.len() == answered { text } else { of_parts(&of) + &text })
        .collect();
    said.extend(cautions(rows, pulls, &answer.units));
    let lines = said.iter().flat_map(|text| wrap(text, width));
    lines.map(|line| style.paint(Tone::Danger, &untied(&line))).collect()
}

/// `stud, long: `, the parts that a caution is about; not more than a few.
fn of_parts(rows: &[&Row]) -> String {
    let mut parts: Vec<String> = Vec::new();
    for row in rows {
        let part = clean(&row.fastener.part);
        if !parts.contains(&part) {
            parts.push(part);
        }
    }
    if parts.len() > PARTS_NAMED {
        parts.truncate(PARTS_NAMED);
        parts.push("others".to_owned());
    }
    format!("{}: ", parts.join("; "))
}

fn part_text(part: &Part<'_>, answer: &Answer, pulls: &[Pull]) -> ColumnText {
    let words = |heading: &str, text: &dyn Fn(&Row) -> String| ColumnText {
        heading: heading.to_owned(),
        cells: answer.rows.iter().map(text).collect(),
        is_words: true,
    };
    match part {
        Part::Lube => words("lube", &|row| cells::lube(&row.setting)),
        Part::Basis => basis_text(answer),
        Part::Asked(column) if is_named(column, "lube") => {
            words(&column.heading, &|row| cells::lube(&row.setting))
        }
        Part::Asked(column) if is_named(column, "basis") => basis_text(answer),
        Part::Asked(column) if is_named(column, "torque") => torque_text(answer, pulls),
        Part::Asked(column) if is_named(column, "passes") => {
            words(&column.heading, &|row| passes(row, &answer.units))
        }
        Part::Asked(column) if is_named(column, "clamp") => clamp_text(column, answer),
        Part::Asked(column) => {
            let values: Vec<_> = column.values.iter().collect();
            column_text(&column.heading, column.field, &values, &answer.units)
        }
    }
}

fn basis_text(answer: &Answer) -> ColumnText {
    let cell = |row: &Row| match row.setting.superseded {
        true => format!("{}, SUPERSEDED", cells::basis(&row.setting)),
        false => cells::basis(&row.setting),
    };
    let cells = answer.rows.iter().map(cell).collect();
    ColumnText { heading: "basis".to_owned(), cells, is_words: false }
}

fn torque_text(answer: &Answer, pulls: &[Pull]) -> ColumnText {
    let is_shown = |(row, _): &(&Row, &Pull)| row.refused.is_none();
    let shared = shared_units(answer.rows.iter().zip(pulls).filter(is_shown).map(|(_, pull)| pull));
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
        let tone = cells::tone(row);
        let cells = texts.iter().map(|text| Cell::toned(text.cells[index].clone(), tone));
        GridRow::of(cells.collect())
    };
    Grid {
        heads: texts.iter().map(ColumnText::head).collect(),
        rows: answer.rows.iter().enumerate().map(row).collect(),
    }
}

/// Records one below the other, where the columns do not fit.
fn records(
    parts: &[Part<'_>],
    texts: &[ColumnText],
    answer: &Answer,
    pulls: &[Pull],
    width: usize,
) -> Vec<String> {
    let is_asked =
        |name: &str| parts.iter().any(|p| matches!(p, Part::Asked(c) if is_named(c, name)));
    let mut lines = Vec::new();
    for (index, row) in answer.rows.iter().enumerate() {
        if index > 0 {
            lines.push(String::new());
        }
        let mut items = Vec::new();
        // The line of a torque says its lube and basis.
        let with_torque = row.refused.is_none() && is_asked("torque");
        let is_said = |column: &Column| {
            with_torque && ["lube", "basis"].iter().any(|name| is_named(column, name))
        };
        let asked = parts
            .iter()
            .zip(texts)
            .filter(|(part, _)| matches!(part, Part::Asked(column) if !is_said(column)));
        for (part, text) in asked {
            let is_torque = matches!(part, Part::Asked(column) if is_named(column, "torque"));
            items.push(if is_torque && row.refused.is_none() {
                torque_line(row, &pulls[index], &answer.units, width)
            } else {
                format!("{}: {}", text.heading, text.cells[index])
            });
        }
        // The line of a torque says it itself.
        let is_marked = row.setting.superseded && !with_torque;
        items.extend(is_marked.then(|| "SUPERSEDED".to_owned()));
        items.extend(row.fastener.is_single_use().then(|| DISCARD.to_owned()));
        lines.extend(flow(&items, width).iter().map(|line| untied(line)));
    }
    lines
}

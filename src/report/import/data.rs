//! The report of an import for a program.

use serde_json::{Value, json};

use crate::intake::{Change, Column, Gone, Heading, Report, SettingChange, Verdict};
use crate::report::import::Imported;
use crate::report::page::{Page, Table};

/// The counts, and then five kinds of rows.
pub(super) fn data<'a>(page: &mut Page<'a>, report: &'a Report, done: Imported) {
    let (cells, settings) = (report.counts, report.changes);
    page.fact("file", report.file.clone());
    page.fact("encoding", report.encoding.name());
    page.fact("header_line", report.header_line);
    page.fact("dry_run", done == Imported::DryRun);
    page.fact("imported", done.has_taken(report));
    page.fact("rows", report.rows);
    page.fact(
        "cells",
        json!({
            "taken": cells.taken,
            "warned": cells.warned,
            "asked": cells.asked,
            "refused": cells.refused,
        }),
    );
    page.fact(
        "settings",
        json!({
            "added": settings.added,
            "changed": settings.changed,
            "unchanged": settings.unchanged,
            "beside": settings.beside,
            "gone": report.gone_count,
        }),
    );
    page.fact("retired", report.retires && report.gone_count > 0 && done.has_taken(report));
    column_rows(page, report);
    cell_rows(page, report);
    change_rows(page, report);
}

/// What the columns were read as.
fn column_rows<'a>(page: &mut Page<'a>, report: &'a Report) {
    let units =
        |heading: &&Heading| heading.units.iter().map(|unit| unit.symbol).collect::<Vec<&str>>();
    let headings = Table::new(&report.headings)
        .key("text", |heading| heading.text.clone())
        .key("is", |heading| meaning(&heading.column))
        .key("units", units);
    page.rows("headings", headings);
    let columns = Table::new(&report.columns)
        .key("sheet", |one| Some(one.page.clone()).filter(|page| !page.is_empty()))
        .key("text", |one| one.heading.text.clone())
        .key("is", |one| meaning(&one.heading.column))
        .key("examples", |one| one.examples.clone());
    page.rows("columns", columns);
    let conclusions = Table::new(&report.conclusions)
        .key("text", |one| one.text.clone())
        .key("count", |one| one.count);
    page.rows("conclusions", conclusions);
}

/// What became of the cells, and the rows that cannot be taken.
fn cell_rows<'a>(page: &mut Page<'a>, report: &'a Report) {
    let advice = |advice: &String| Some(advice.clone()).filter(|advice| !advice.is_empty());
    let verdicts = Table::new(&report.verdicts)
        .key("line", |cell| cell.place.line)
        .key("column", |cell| u32::from(cell.place.column))
        .key("address", |cell| cell.place.address())
        .key("header", |cell| cell.place.header.clone())
        .key("cell", |cell| cell.raw.clone())
        .key("verdict", |cell| cell.verdict.word())
        .key("readings", |cell| readings(&cell.verdict))
        .key("read_as", |cell| cell.read_as.clone())
        .key("code", |cell| cell.code)
        .key("reason", |cell| cell.reason.clone())
        .key("advice", move |cell| advice(&cell.advice));
    page.rows("verdicts", verdicts);
    let bad = Table::new(&report.bad_rows)
        .key("line", |row| row.line)
        .key("reasons", |row| row.reasons.clone())
        .key("cells", |row| row.cells.clone());
    page.rows("bad_rows", bad);
}

/// What the file changes in the book.
fn change_rows<'a>(page: &mut Page<'a>, report: &'a Report) {
    let changes = Table::new(&report.settings)
        .key("line", |one: &&SettingChange| one.line)
        .key("key", |one| one.key.clone())
        .key("name", |one| one.name.clone())
        .key("setting", |one| one.setting.clone())
        .key("change", |one| change(one.change))
        .key("against", |one| one.against.clone());
    page.rows("changes", changes);
    let gone = Table::new(&report.gone)
        .key("key", |one: &&Gone| one.key.clone())
        .key("name", |one| one.name.clone())
        .key("setting", |one| one.setting.clone())
        .key("instead_line", |one| one.instead.as_ref().map(|(line, _)| *line))
        .key("instead", |one| one.instead.as_ref().map(|(_, setting)| setting.clone()));
    page.rows("gone", gone);
    let remarks = Table::new(&report.remarks)
        .key("line", |(line, _): &&(u32, String)| *line)
        .key("text", |(_, text)| text.clone());
    page.rows("remarks", remarks);
}

/// What a column is taken for; null if its cells are not read.
fn meaning(column: &Column) -> Value {
    match column {
        Column::Field(field) | Column::Low(field) | Column::High(field) => field.name.into(),
        Column::TorqueFor(lube) => format!("torque with {lube}").into(),
        Column::Pass(number) => format!("pass {number}").into(),
        Column::TorqueUnit => "unit of the torques".into(),
        Column::Pitch => "pitch".into(),
        Column::Tpi => "tpi".into(),
        Column::Threadlocker => "threadlocker".into(),
        Column::Kept(_) => "notes".into(),
        Column::Derived(_)
        | Column::Unknown { .. }
        | Column::RowNumber
        | Column::LeftOut
        | Column::Asked { .. }
        | Column::Blank => Value::Null,
    }
}

fn readings(verdict: &Verdict) -> Vec<String> {
    match verdict {
        Verdict::Question { readings } => readings.clone(),
        Verdict::Taken | Verdict::TakenWithWarning | Verdict::Refused => Vec::new(),
    }
}

fn change(change: Change) -> &'static str {
    match change {
        Change::Added => "added",
        Change::Changed => "changed",
        Change::Beside => "beside",
    }
}

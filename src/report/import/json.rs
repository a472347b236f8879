//! The report of an import as JSON.

use crate::intake::{BadRow, CellVerdict, Change, Column, Heading, Report, SettingChange, Verdict};
use crate::report::import::Imported;
use crate::report::json::Json;

/// `{"file", "encoding", "header_line", "dry_run", "imported", "rows", "cells":
/// {taken, warned, asked, refused}, "settings": {added, changed, unchanged,
/// beside}, "headings", "verdicts", "bad_rows", "changes", "remarks"}`.
pub fn import_json(report: &Report, done: impl Into<Imported>) -> String {
    let done = done.into();
    let (cells, settings) = (report.counts, report.changes);
    let cells = [
        ("taken", cells.taken),
        ("warned", cells.warned),
        ("asked", cells.asked),
        ("refused", cells.refused),
    ];
    let settings = [
        ("added", settings.added),
        ("changed", settings.changed),
        ("unchanged", settings.unchanged),
        ("beside", settings.beside),
    ];
    let counts = |counts: [(&'static str, usize); 4]| {
        Json::object(counts.into_iter().map(|(name, count)| (name, count.into())).collect())
    };
    Json::object(vec![
        ("file", (&report.file).into()),
        ("encoding", report.encoding.name().into()),
        ("header_line", report.header_line.into()),
        ("dry_run", (done == Imported::DryRun).into()),
        ("imported", done.has_taken(report).into()),
        ("rows", report.rows.into()),
        ("cells", counts(cells)),
        ("settings", counts(settings)),
        ("headings", Json::List(report.headings.iter().map(heading).collect())),
        ("verdicts", Json::List(report.verdicts.iter().map(verdict).collect())),
        ("bad_rows", Json::List(report.bad_rows.iter().map(bad_row).collect())),
        ("changes", Json::List(report.settings.iter().map(change).collect())),
        ("remarks", Json::List(report.remarks.iter().map(remark).collect())),
    ])
    .lines()
}

fn heading(heading: &Heading) -> Json {
    let is = match &heading.column {
        Column::Field(field) | Column::Low(field) | Column::High(field) => field.name.to_owned(),
        Column::TorqueFor(lube) => format!("torque with {lube}"),
        Column::Pass(number) => format!("pass {number}"),
        Column::TorqueUnit => "unit of the torques".to_owned(),
        Column::Pitch => "pitch".to_owned(),
        Column::Tpi => "tpi".to_owned(),
        Column::Threadlocker => "threadlocker".to_owned(),
        Column::Derived(_)
        | Column::Unknown { .. }
        | Column::Kept(_)
        | Column::RowNumber
        | Column::LeftOut
        | Column::Blank => {
            return Json::object(vec![("text", (&heading.text).into()), ("is", Json::Null)]);
        }
    };
    let units: Vec<&str> = heading.units.iter().map(|unit| unit.symbol).collect();
    Json::object(vec![("text", (&heading.text).into()), ("is", is.into()), ("units", units.into())])
}

fn verdict(cell: &CellVerdict) -> Json {
    let readings = match &cell.verdict {
        Verdict::Question { readings } => readings.clone(),
        _ => Vec::new(),
    };
    Json::object(vec![
        ("line", cell.place.line.into()),
        ("column", u32::from(cell.place.column).into()),
        ("address", cell.place.address().into()),
        ("header", (&cell.place.header).into()),
        ("cell", (&cell.raw).into()),
        ("verdict", cell.verdict.word().into()),
        ("readings", readings.into()),
        ("read_as", cell.read_as.as_ref().into()),
        ("code", cell.code.into()),
        ("reason", (&cell.reason).into()),
        ("advice", (!cell.advice.is_empty()).then_some(&cell.advice).into()),
    ])
}

fn bad_row(row: &BadRow) -> Json {
    Json::object(vec![
        ("line", row.line.into()),
        ("reasons", row.reasons.clone().into()),
        ("cells", row.cells.clone().into()),
    ])
}

fn change(setting: &SettingChange) -> Json {
    let word = match setting.change {
        Change::Added => "added",
        Change::Changed => "changed",
        Change::Unchanged => "unchanged",
        Change::Beside => "beside",
    };
    Json::object(vec![
        ("line", setting.line.into()),
        ("key", (&setting.key).into()),
        ("name", (&setting.name).into()),
        ("setting", (&setting.setting).into()),
        ("change", word.into()),
        ("against", setting.against.as_ref().into()),
    ])
}

fn remark((line, text): &(u32, String)) -> Json {
    Json::object(vec![("line", (*line).into()), ("text", text.into())])
}

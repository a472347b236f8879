//! Records one below the other, for a terminal too narrow for a table.

use std::ops::Range;

use crate::query::run::Answer;
use crate::record::Row;
use crate::report::cells;
use crate::report::columns::marks;
use crate::report::lay::{clean, fitted, flow, untied, width, wrap};
use crate::report::pull::Pull;
use crate::report::style::{Style, Tone};
use crate::report::table::{Known, heading};

/// Blanks before the lines of a setting.
const INDENT: usize = 2;

/// The rows `range` as records, the joint over them, the fastener over its settings.
pub(crate) fn records(
    answer: &Answer,
    known: &Known<'_>,
    range: &Range<usize>,
    limit: usize,
    style: Style,
) -> Vec<String> {
    let mut lines = Vec::new();
    let mut index = range.start;
    for group in known.rows[range.clone()].chunk_by(|a, b| cells::same_place(a, b)) {
        if !lines.is_empty() {
            lines.push(String::new());
        }
        lines.extend(heading(group, limit, style));
        for settings in group.chunk_by(|a, b| a.fastener.key == b.fastener.key) {
            let part = clean(&settings[0].fastener.part);
            let title = flow(&[part, cells::turned(settings[0])], limit);
            lines.extend(title.iter().map(|line| untied(line)));
            for row in settings {
                lines.extend(setting(answer, known, row, index, limit, style));
                index += 1;
            }
        }
    }
    lines
}

fn setting(
    answer: &Answer,
    known: &Known<'_>,
    row: &Row,
    index: usize,
    limit: usize,
    style: Style,
) -> Vec<String> {
    let room = limit - INDENT;
    let lube = cells::lube(&row.setting);
    if let Some(reason) = &row.refused {
        let text = format!("{lube}  refused: {}", clean(reason));
        return indented(&wrap(&text, room), Tone::Danger, style);
    }
    let tone = cells::tone(row);
    let torque = torque_line(row, &known.pulls[index], room);
    let mut lines = indented(&fitted(&torque, room), tone, style);
    let unit = cells::clamp_unit(&answer.units);
    let mut facts = vec![clamp_fact(row, unit)];
    let share = cells::of_yield(row);
    if share != cells::DOES_NOT_APPLY {
        facts.push(format!("%yield {share}"));
    }
    let (marks, _) = marks(row, &known.lettered.marks[index]);
    if !marks.is_empty() {
        facts.push(format!("notes {marks}"));
    }
    let facts = flow(&facts, room - INDENT).into_iter().map(|line| format!("{:INDENT$}{line}", ""));
    lines.extend(indented(&facts.collect::<Vec<_>>(), tone, style));
    lines
}

/// `clamp 71 kN (53–89)`; `clamp by angle`.
pub(crate) fn clamp_fact(row: &Row, unit: Option<&'static crate::quantity::Unit>) -> String {
    let text = cells::clamp(row, unit);
    match (row.derived.clamp, unit, text.split_once(' ')) {
        (Some(_), Some(unit), Some((nominal, band))) => {
            format!("clamp {nominal} {} {band}", unit.symbol)
        }
        (None, _, _) if text.starts_with("no ") => text,
        _ => format!("clamp {text}"),
    }
}

/// Lube, torque and basis on one line. Where even one unit of the torque does
/// not fit beside the other two, no torque is shown: a torque without its lube
/// is half a figure.
pub(crate) fn torque_line(row: &Row, pull: &Pull, room: usize) -> String {
    let (lube, basis) = (cells::lube(&row.setting), cells::basis(&row.setting));
    let line = |torque: &str| format!("{lube}  {torque}  {basis}");
    let lines = [pull.with_units(), pull.first()].map(|torque| line(&torque));
    let needs = width(&lines[1]) + INDENT;
    let fits = |line: &&String| width(line) <= room;
    lines.iter().find(fits).cloned().unwrap_or_else(|| format!("torque: needs {needs} columns"))
}

fn indented(lines: &[String], tone: Tone, style: Style) -> Vec<String> {
    let line = |line: &String| format!("{:INDENT$}{}", "", style.paint(tone, &untied(line)));
    lines.iter().map(line).collect()
}

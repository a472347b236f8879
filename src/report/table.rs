//! The answer to a question as a table: grouped by joint, the lube and the
//! basis on the line of every torque.

use std::ops::Range;

use crate::query::run::{Answer, Column};
use crate::record::{Field, FieldKind, Origin, Row};
use crate::report::cautions::{SAFETY, cautions};
use crate::report::cells;
use crate::report::columns::{self, Shown};
use crate::report::grid::Lines;
use crate::report::lay::{clean, counted, flow, pad, untied, width, wrap};
use crate::report::letters::{Lettered, letter};
use crate::report::notes::{Note, notes};
use crate::report::pull::{Pull, Sharing};
use crate::report::show::{carries_torque, show_table};
use crate::report::stacked;
use crate::report::style::{Style, Tone};
use crate::report::tally::tally_table;

/// The width from which the wide table is drawn.
pub(crate) const WIDE: usize = 140;
/// The width below which records are stacked.
const NARROW: usize = 80;
/// The least width that is drawn for.
pub(crate) const LEAST: usize = 20;
/// Lines after which the heading is said again, before it scrolls away.
const SAY_AGAIN: usize = 20;

/// The answer as text for a terminal of `width` columns; no line is wider, and
/// no number is wrapped or cut.
pub fn find_table(answer: &Answer, width: usize, style: Style) -> String {
    let width = width.max(LEAST);
    let mut lines = if answer.tally.is_some() {
        tally_table(answer, width, style)
    } else if answer.rows.is_empty() {
        Vec::new()
    } else if answer.columns.is_empty() {
        rows_table(answer, width, style)
    } else {
        show_table(answer, width, style)
    };
    lines.extend(ending(answer, width, style));
    // How a doubtful question was read stands first: it decides what the rest is.
    let readings = answer.readings.iter();
    let first: Vec<String> = readings.flat_map(|reading| wrap(&clean(reading), width)).collect();
    let lines: Vec<String> = first.into_iter().chain(lines).collect();
    lines.join("\n") + "\n"
}

/// What an answer says besides its rows, for a format that has no place for it.
pub fn find_remarks(answer: &Answer) -> String {
    let near = answer.near.iter().map(|near| format!("nearest: {near}"));
    let readings = answer.readings.iter().cloned();
    let remarks = answer.remarks.iter().cloned();
    let lines = readings.chain([summary(answer)]).chain(near).chain(remarks);
    lines.map(|line| clean(&line) + "\n").collect()
}

/// What is known of each row, drawn once for every shape of the table.
pub(crate) struct Known<'a> {
    pub(crate) rows: Vec<&'a Row>,
    pub(crate) pulls: Vec<Pull>,
    pub(crate) lettered: Lettered,
}

impl<'a> Known<'a> {
    /// Figures and footnotes of the rows of `answer`.
    pub(crate) fn of(answer: &'a Answer) -> Self {
        let rows: Vec<&Row> = answer.rows.iter().collect();
        let pulls = rows.iter().map(|row| Pull::of(&row.setting, &answer.units)).collect();
        let texts: Vec<Vec<String>> = rows
            .iter()
            .map(|row| notes(row, &answer.units).into_iter().map(|note: Note| note.text).collect())
            .collect();
        Self { rows, pulls, lettered: letter(&texts) }
    }

    /// Whether the torques of the rows `range` share their units.
    pub(crate) fn sharing(&self, range: Range<usize>) -> Sharing {
        let answered = range.filter(|index| self.rows[*index].refused.is_none());
        Sharing::of(answered.map(|index| &self.pulls[index]))
    }

    /// Joints one after the other whose torques share their units: they stand
    /// under one heading of columns.
    fn runs(&self) -> Vec<Range<usize>> {
        let mut runs: Vec<(Range<usize>, Sharing)> = Vec::new();
        let mut start = 0;
        for group in self.rows.chunk_by(|a, b| cells::same_place(a, b)) {
            let range = start..start + group.len();
            start = range.end;
            let own = self.sharing(range.clone());
            match runs.last_mut() {
                Some((run, sharing)) if sharing.goes_with(&own) => {
                    run.end = range.end;
                    *sharing = sharing.clone().and(own);
                }
                _ => runs.push((range, own)),
            }
        }
        runs.into_iter().map(|(run, _)| run).collect()
    }

    /// Footnotes and cautions, in lines of at most `width`.
    pub(crate) fn below(&self, width: usize, style: Style) -> Vec<String> {
        let note = |(letter, text): &(String, String)| format!("{letter} {text}");
        let notes: Vec<String> = self.lettered.texts.iter().map(note).collect();
        let mut lines: Vec<String> = flow(&notes, width);
        for caution in cautions(&self.rows, &self.pulls) {
            lines.extend(wrap(&caution, width).iter().map(|line| style.paint(Tone::Danger, line)));
        }
        lines.iter().map(|line| untied(line)).collect()
    }
}

fn rows_table(answer: &Answer, width: usize, style: Style) -> Vec<String> {
    let known = Known::of(answer);
    let mut lines = Vec::new();
    let headed = !is_interleaved(&known.rows);
    let all = 0..known.rows.len();
    let runs = if headed { known.runs() } else { vec![all] };
    for run in runs {
        if !lines.is_empty() {
            lines.push(String::new());
        }
        lines.extend(run_lines(answer, &known, &run, width, style, headed));
    }
    lines.extend(known.below(width, style));
    lines
}

/// The widest table that fits, else records.
fn run_lines(
    answer: &Answer,
    known: &Known<'_>,
    run: &Range<usize>,
    width: usize,
    style: Style,
    headed: bool,
) -> Vec<String> {
    let tables = [
        (WIDE, Shown { wide: true, headed, brief: false }),
        (NARROW, Shown { wide: false, headed, brief: false }),
        (NARROW, Shown { wide: false, headed, brief: true }),
    ];
    let drawn = tables
        .into_iter()
        .filter(|(from, _)| width >= *from)
        .find_map(|(_, shown)| draw(answer, known, run, shown, width, style));
    drawn.unwrap_or_else(|| stacked::records(answer, known, run, width, style))
}

/// Whether a sort has torn joints apart, so that headings would repeat.
fn is_interleaved(rows: &[&Row]) -> bool {
    let groups = rows.chunk_by(|a, b| cells::same_place(a, b));
    let mut places: Vec<String> = groups.map(|group| cells::place(&group[0].fastener)).collect();
    let all = places.len();
    places.sort_unstable();
    places.dedup();
    places.len() < all
}

fn draw(
    answer: &Answer,
    known: &Known<'_>,
    run: &Range<usize>,
    shown: Shown,
    width: usize,
    style: Style,
) -> Option<Vec<String>> {
    let drawn: Lines = columns::grid(answer, known, run.clone(), shown).draw(width, style)?;
    let mut lines = Vec::new();
    if !shown.headed {
        lines.push(drawn.head.clone());
        lines.extend(drawn.rows.into_iter().flatten());
        return Some(lines);
    }
    let mut rows = drawn.rows.into_iter();
    let mut since = SAY_AGAIN;
    for group in known.rows[run.clone()].chunk_by(|a, b| cells::same_place(a, b)) {
        if !lines.is_empty() {
            lines.push(String::new());
        }
        lines.extend(heading(group, width, style));
        if since >= SAY_AGAIN {
            lines.push(drawn.head.clone());
            since = 0;
        }
        let before = lines.len();
        lines.extend(rows.by_ref().take(group.len()).flatten());
        since += lines.len() - before + 2;
    }
    Some(lines)
}

/// `Marlow 6 / head     lube on threads AND turned face`.
pub(crate) fn heading(group: &[&Row], limit: usize, style: Style) -> Vec<String> {
    let place = cells::place(&group[0].fastener);
    let lube = if group.iter().all(|row| cells::is_one_lube(&row.setting)) {
        "lube on threads AND turned face"
    } else {
        "lube on threads AND turned face unless it says face"
    };
    let line = format!("{}  {lube}", pad(&place, 18));
    let lines = if width(&line) <= limit {
        vec![line]
    } else {
        [wrap(&place, limit), wrap(lube, limit)].concat()
    };
    lines.iter().map(|line| style.paint(Tone::Heading, line)).collect()
}

/// The summary, the safety line, near misses and remarks.
fn ending(answer: &Answer, width: usize, style: Style) -> Vec<String> {
    let mut summary = summary(answer);
    if holds_figures(answer) {
        summary = format!("{summary} {SAFETY}");
    }
    let mut lines = wrap(&summary, width);
    if !answer.near.is_empty() {
        let near: Vec<String> = answer.near.iter().map(|near| clean(near)).collect();
        lines.extend(wrap(&format!("nearest: {}", near.join("; ")), width));
    }
    let after = answer.remarks.iter();
    lines.extend(after.flat_map(|remark| wrap(&clean(remark), width)));
    lines.iter().map(|line| style.paint(Tone::Faint, &untied(line))).collect()
}

/// Whether a torque or a clamp is shown.
fn holds_figures(answer: &Answer) -> bool {
    let figures = |column: &Column| carries_torque(column) || column.field.is_none_or(is_derived);
    let shown = answer.columns.is_empty() || answer.columns.iter().any(figures);
    answer.tally.is_none() && shown && answer.rows.iter().any(|row| row.refused.is_none())
}

fn is_derived(field: &'static Field) -> bool {
    field.origin == Origin::Derived
        && field.kind != FieldKind::Text
        && field.kind != FieldKind::Flag
}

/// `5 rows, 0 left out.`
fn summary(answer: &Answer) -> String {
    let counted = match &answer.tally {
        Some(tally) => {
            let rows = tally.groups.iter().map(|group| group.count).sum();
            format!("{}, {}", counted(tally.groups.len(), "group"), counted(rows, "row"))
        }
        None => counted(answer.rows.len(), "row"),
    };
    let why = if answer.left_out == 0 { "" } else { " (what was asked is not known of them)" };
    format!("{counted}, {} left out{why}.", answer.left_out)
}

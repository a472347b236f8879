//! A sheet taken: every row read, made whole, gathered and held against the
//! book.

use crate::intake::columns::read_columns;
use crate::intake::existing::Existing;
use crate::intake::finish::{Names as NamesAbove, RowNotes, finish};
use crate::intake::gather::Gatherer;
use crate::intake::merge::merge;
use crate::intake::names::Names;
use crate::intake::outcome::{BadRow, Report};
use crate::intake::row::{CellOutcome, RowReader, RowReading};
use crate::intake::split::RawRow;
use crate::intake::verdict::{CellVerdict, Problem, Remark, Verdict};
use crate::intake::{Column, IntakeError, Options, Sheet};
use crate::record::Tables;

/// Reads every row of `sheet` and says what would become of it. Nothing is
/// stored: the caller puts [`Report::accepted`] into the book, or not.
///
/// Errors only where the file as a whole cannot be used (no header, two
/// columns for one field, an open quote); everything else is a verdict.
pub fn take(
    sheet: &Sheet,
    tables: &Tables,
    options: &Options,
    existing: &dyn Existing,
) -> Result<Report, IntakeError> {
    let names = Names::of(tables);
    let headings = read_columns(sheet, &names, options)?;
    let mut report = Report::on(sheet, headings.clone());
    let mut taker = Taker {
        reader: RowReader::new(&names, options, headings),
        gatherer: Gatherer::default(),
        above: NamesAbove::default(),
        tables,
        options,
        report: &mut report,
    };
    let mut rows = sheet.rows();
    while let Some(row) = rows.next()? {
        taker.row(row);
    }
    let gathered = taker.gatherer.finish();
    let options = &stamped(options, &report);
    merge(gathered, existing, options, &mut report);
    report.sort();
    fill_bad_rows(sheet, &mut report)?;
    Ok(report)
}

/// Rows that the book contradicts are known by their line only: their cells
/// are read again.
fn fill_bad_rows(sheet: &Sheet, report: &mut Report) -> Result<(), IntakeError> {
    if report.bad_rows.iter().all(|row| !row.cells.is_empty()) {
        return Ok(());
    }
    let mut rows = sheet.rows();
    while let Some(row) = rows.next()? {
        let found = report.bad_rows.binary_search_by_key(&row.line, |bad| bad.line);
        if let Ok(at) = found {
            report.bad_rows[at].cells = row.cells().map(str::to_owned).collect();
        }
    }
    Ok(())
}

/// A file that has its own columns for the day and the person keeps their
/// blanks: an export reads back as it was.
fn stamped(options: &Options, report: &Report) -> Options {
    let has = |name: &str| {
        let is_it = |column: &Column| matches!(column, Column::Field(field) if field.name == name);
        report.headings.iter().any(|heading| is_it(&heading.column))
    };
    let mut options = options.clone();
    options.today = options.today.filter(|_| !has("entered-on"));
    options.who = options.who.filter(|_| !has("entered-by"));
    options
}

struct Taker<'a> {
    reader: RowReader<'a>,
    gatherer: Gatherer,
    above: NamesAbove,
    tables: &'a Tables,
    options: &'a Options,
    report: &'a mut Report,
}

impl Taker<'_> {
    fn row(&mut self, row: &RawRow) {
        if row.is_blank() || self.is_header_again(row) || self.is_remark(row) {
            return;
        }
        self.report.rows += 1;
        let RowReading { draft, notes: cells, taken } = self.reader.read(row);
        self.report.counts.taken += taken;
        let mut reasons = Vec::new();
        let mut bad = Vec::new();
        for cell in cells {
            let place = self.report.place(row.line_of(cell.column), Some(cell.column));
            let verdict = match cell.outcome {
                CellOutcome::Taken { read_as, remarks } => {
                    remarked(place, cell.raw, Some(read_as), remarks)
                }
                CellOutcome::Bad(problem) => {
                    bad.push(cell.column);
                    not_taken(place, cell.raw, problem, &mut reasons)
                }
            };
            self.report.note(verdict);
        }
        let mut notes = RowNotes::default();
        let finished = finish(draft, self.options, self.tables, &self.above, &mut notes);
        self.remember_names(&finished.fastener.joint);
        self.row_notes(row, notes, &bad, &mut reasons);
        if reasons.is_empty()
            && let Err(wrong) = self.gatherer.add(row.line, finished)
        {
            for one in wrong {
                let problem = Problem::refused("rows-disagree", one.reason, one.advice);
                self.refuse_field(row, one.field, problem, &mut reasons);
            }
        }
        if !reasons.is_empty() {
            let cells = row.cells().map(str::to_owned).collect();
            self.report.bad_rows.push(BadRow { line: row.line, cells, reasons });
        }
    }

    fn remember_names(&mut self, joint: &crate::record::Joint) {
        if !joint.assembly.is_empty() && !joint.name.is_empty() {
            self.above.assembly.clone_from(&joint.assembly);
            self.above.joint.clone_from(&joint.name);
        }
    }

    /// What is wrong with the row as a whole. What follows from a cell that
    /// was not taken is not said again.
    fn row_notes(
        &mut self,
        row: &RawRow,
        notes: RowNotes,
        bad: &[usize],
        reasons: &mut Vec<String>,
    ) {
        for (field, problem) in notes.problems {
            let at = self.reader.column_of(field);
            if at.is_none_or(|at| !bad.contains(&at)) {
                self.refuse_field(row, field, problem, reasons);
            }
        }
        if !bad.is_empty() {
            return;
        }
        for (field, remark) in notes.remarks {
            let at = self.reader.column_of(field);
            let line = at.map_or(row.line, |at| row.line_of(at));
            let raw = at.map_or("", |at| row.cell(at)).to_owned();
            let place = self.report.place(line, at);
            self.report.note(remarked(place, raw, None, vec![remark]));
        }
    }

    fn refuse_field(
        &mut self,
        row: &RawRow,
        field: &str,
        problem: Problem,
        reasons: &mut Vec<String>,
    ) {
        let at = self.reader.column_of(field);
        let line = at.map_or(row.line, |at| row.line_of(at));
        let raw = at.map_or("", |at| row.cell(at)).to_owned();
        let place = self.report.place(line, at);
        let verdict = not_taken(place, raw, problem, reasons);
        self.report.note(verdict);
    }

    /// The header row once more, as at the top of each printed page.
    fn is_header_again(&self, row: &RawRow) -> bool {
        let headings = self.reader.headings();
        let same = headings
            .iter()
            .enumerate()
            .filter(|(at, heading)| row.cell(*at).eq_ignore_ascii_case(&heading.text))
            .count();
        same == headings.len()
    }

    /// A row with one filled cell cannot be a fastener: a remark or a title,
    /// which the report repeats.
    fn is_remark(&mut self, row: &RawRow) -> bool {
        let mut filled = row.cells().filter(|cell| !cell.is_empty());
        let (Some(text), None) = (filled.next(), filled.next()) else { return false };
        let is_long = self.reader.headings().len() > 2;
        let key = self.reader.column_of("key").is_some_and(|at| !row.cell(at).is_empty());
        if is_long && !key {
            self.report.remarks.push((row.line, text.to_owned()));
            return true;
        }
        false
    }
}

fn remarked(
    place: crate::intake::Place,
    raw: String,
    read_as: Option<String>,
    remarks: Vec<Remark>,
) -> CellVerdict {
    let warned = remarks.iter().any(|remark| remark.is_warning);
    let first = remarks.iter().find(|remark| remark.is_warning == warned);
    let code = first.map_or("read", |remark| remark.code);
    let join = |words: Vec<String>| {
        words.into_iter().filter(|word| !word.is_empty()).collect::<Vec<_>>().join("; ")
    };
    let (reasons, advice): (Vec<String>, Vec<String>) =
        remarks.into_iter().map(|remark| (remark.reason, remark.advice)).unzip();
    CellVerdict {
        place,
        raw,
        verdict: if warned { Verdict::TakenWithWarning } else { Verdict::Taken },
        read_as,
        code,
        reason: join(reasons),
        advice: join(advice),
    }
}

fn not_taken(
    place: crate::intake::Place,
    raw: String,
    problem: Problem,
    reasons: &mut Vec<String>,
) -> CellVerdict {
    let column = if place.header.is_empty() { "row".to_owned() } else { place.header.clone() };
    reasons.push(format!("{column}: {}", problem.reason));
    let verdict = problem.verdict();
    let Problem { code, reason, advice, .. } = problem;
    CellVerdict { place, raw, verdict, read_as: None, code, reason, advice }
}

//! Rows read one by one into entries: what the walk over a sheet does before rows are
//! brought together.

use std::ops::ControlFlow;
use std::sync::mpsc;
use std::thread;

use crate::intake::draft::Draft;
use crate::intake::finish::{Around, Finished, RowNotes, finish};
use crate::intake::identity::{Grouper, RowNames};
use crate::intake::names::Names;
use crate::intake::outcome::{BadRow, Report};
use crate::intake::position::{Position, Step};
use crate::intake::row::{CellNote, CellOutcome, RowReader, RowReading};
use crate::intake::row_parts::column_of;
use crate::intake::split::RawRow;
use crate::intake::survey::{Block, Plan};
use crate::intake::verdict::{CellVerdict, Problem, Remark, Verdict};
use crate::intake::{CellPlace, IntakeError, Options, Sheet};
use crate::record::Tables;
use crate::text::taken_out;

/// How many rows that were not taken keep their cells in the report; of the
/// others it names the line.
pub(crate) const CELLS_KEPT: usize = 10_000;

/// Entries handed over at once, and how many hand-overs may wait.
const BATCH: usize = 64;
const WAITING: usize = 8;

/// A row that is an entry, as read.
pub(crate) struct Entry<'a> {
    /// The table in which it stands.
    pub(crate) block: &'a Block,
    pub(crate) row: RawRow,
    pub(crate) names: RowNames,
    /// None where a cell of it cannot be taken.
    pub(crate) finished: Option<Box<Finished>>,
}

/// Entries that follow each other, and which share of the file they lead to.
#[derive(Default)]
pub(crate) struct Batch<'a> {
    pub(crate) entries: Vec<Entry<'a>>,
    pub(crate) share: f64,
}

/// What the rows of a sheet are read with.
#[derive(Clone, Copy)]
pub(crate) struct Readable<'a> {
    pub(crate) sheet: &'a Sheet,
    pub(crate) plan: &'a Plan,
    pub(crate) names: &'a Names<'a>,
    pub(crate) options: &'a Options,
    pub(crate) tables: &'a Tables,
}

impl<'a> Readable<'a> {
    /// Reads every row and gives the entries to `take` until it breaks; what is to be said
    /// of the rows. A long file is read on a thread of its own, while what was read is
    /// brought together.
    pub(crate) fn read(
        self,
        mut take: impl FnMut(Batch<'a>) -> ControlFlow<()>,
    ) -> Result<Report, IntakeError> {
        if !self.sheet.is_big() {
            return self.read_here(take);
        }
        thread::scope(|scope| {
            let (give, given) = mpsc::sync_channel(WAITING);
            let reader = scope.spawn(move || {
                // Nobody listens any more where the other side has had enough.
                self.read_here(|batch| match give.send(batch) {
                    Ok(()) => ControlFlow::Continue(()),
                    Err(_) => ControlFlow::Break(()),
                })
            });
            let _ = given.into_iter().try_for_each(&mut take);
            reader.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))
        })
    }

    fn read_here(
        self,
        mut take: impl FnMut(Batch<'a>) -> ControlFlow<()>,
    ) -> Result<Report, IntakeError> {
        let mut reading = Reading::of(self);
        let (mut rows, mut entries) = (self.sheet.rows()?, Vec::new());
        while let Some(row) = rows.next()? {
            reading.row(row, &mut entries);
            if entries.len() >= BATCH {
                let batch = Batch { entries: std::mem::take(&mut entries), share: rows.share() };
                if take(batch).is_break() {
                    return Ok(reading.report);
                }
            }
        }
        let _ = take(Batch { entries, share: 1.0 });
        Ok(reading.report)
    }
}

/// Where the reading of a sheet is.
struct Reading<'a> {
    with: Readable<'a>,
    position: Position<'a>,
    reader: RowReader<'a>,
    grouper: Grouper<'a>,
    /// Of reuse, kind, lube and strength: whether the table has a column.
    has_column: [bool; 4],
    report: Report,
}

/// Fields that are taken from elsewhere where a table has no column of them.
const ELSEWHERE: [&str; 4] = ["reuse", "kind", "lube", "strength"];

impl<'a> Reading<'a> {
    fn of(with: Readable<'a>) -> Self {
        let Readable { sheet, plan, names, options, .. } = with;
        Self {
            with,
            position: Position::before(plan),
            reader: RowReader::new(names, options, plan, 0, Vec::new()),
            grouper: Grouper::new(&[], options),
            has_column: [false; 4],
            report: Report::on(sheet, plan),
        }
    }

    /// Reads one row; `entries` gets the entries that it is.
    fn row(&mut self, row: &RawRow, entries: &mut Vec<Entry<'a>>) {
        if let Some(block) = self.position.enter(row) {
            self.enter(block);
        }
        self.say_what_was_taken_out(row);
        let (block, whole, stood) = match self.position.step(row) {
            Step::Entry(block, whole, stood) => (block, whole, stood),
            Step::Section(_) => return self.section(),
            Step::Remark => return self.remark(row),
            Step::Nothing => return,
        };
        self.say_dittos(row, &whole, stood);
        let before = entries.len();
        block.reshape.each(&whole, |row| {
            let names = self.grouper.group_of(row, &self.position.given, block.fills_down);
            let finished = self.entry(row, &names).map(Box::new);
            entries.push(Entry { block, row: row.clone(), names, finished });
        });
        if entries.len() == before {
            self.remark(row);
        }
    }

    /// Says what each ditto of `row` stands for.
    fn say_dittos(&mut self, row: &RawRow, whole: &RawRow, stood: Vec<usize>) {
        for at in stood {
            let reason = format!("`{}` repeats the cell above", row.cell(at));
            let remarks = vec![Remark::echo("ditto", reason)];
            let place = self.report.place(row.line_of(at), Some(at));
            let (raw, read_as) = (row.cell(at).to_owned(), Some(whole.cell(at).to_owned()));
            self.report.note(remarked(place, raw, read_as, remarks));
        }
    }

    fn say_what_was_taken_out(&mut self, row: &RawRow) {
        for (at, found) in row.taken_out() {
            let place = self.report.place(row.line_of(*at), Some(*at));
            let remark = Remark::warning("hidden-characters", taken_out(found), "");
            self.report.note(remarked(place, row.cell(*at).to_owned(), None, vec![remark]));
        }
    }

    fn enter(&mut self, block: &Block) {
        let Readable { plan, names, options, .. } = self.with;
        self.grouper = Grouper::new(&block.headings, options);
        self.reader = RowReader::new(names, options, plan, block.page, block.headings.clone());
        self.reader.stand_under(&self.position.given);
        self.has_column = ELSEWHERE.map(|field| column_of(&block.headings, field).is_some());
        self.report.enter(block);
    }

    fn section(&mut self) {
        self.grouper.forget_above();
        self.reader.stand_under(&self.position.given);
    }

    fn remark(&mut self, row: &RawRow) {
        let words: Vec<&str> = row.cells().filter(|cell| !cell.is_empty()).collect();
        self.report.remarks.push((row.line, words.join(", ")));
    }

    fn entry(&mut self, row: &RawRow, names: &RowNames) -> Option<Finished> {
        self.report.rows += 1;
        let [reuse, kind, lube, strength] = self.has_column;
        let given = &self.reader.given_beside(row, &self.position.given);
        let around = Around {
            given,
            names: Some(names),
            infers_reuse: !reuse,
            infers_kind: !kind,
            has_column: [lube, strength],
        };
        let known = RowContext { options: self.with.options, tables: self.with.tables, around };
        let (finished, reasons) =
            read_entry(&mut self.reader, row, Draft::new(), &known, &mut self.report);
        if reasons.is_empty() {
            return Some(finished);
        }
        self.report.bad_row(row, reasons);
        None
    }
}

impl Report {
    /// The entry on `row` cannot be taken, for these reasons.
    pub(crate) fn bad_row(&mut self, row: &RawRow, reasons: Vec<String>) {
        let keep = self.bad_rows.len() < CELLS_KEPT;
        let cells = row.cells().filter(|_| keep).map(str::to_owned).collect();
        self.bad_rows.push(BadRow { page: row.page, line: row.line, cells, reasons });
    }

    /// Refuses an entry on `row` for what it says of `field`.
    pub(crate) fn refuse_field(
        &mut self,
        row: &RawRow,
        field: &str,
        problem: Problem,
        reasons: &mut Vec<String>,
    ) {
        let at = column_of(self.current(), field);
        let line = at.map_or(row.line, |at| row.line_of(at));
        let raw = at.map_or("", |at| row.cell(at)).to_owned();
        let place = self.place(line, at);
        let verdict = not_taken(place, raw, problem, reasons);
        self.note(verdict);
    }
}

/// What a row is made whole with.
pub(crate) struct RowContext<'a> {
    pub(crate) options: &'a Options,
    pub(crate) tables: &'a Tables,
    pub(crate) around: Around<'a>,
}

/// Reads `row` into `draft` and makes that whole; what is to be said of it goes
/// into `report`. With the reasons why it cannot be taken, none if it can.
pub(crate) fn read_entry(
    reader: &mut RowReader<'_>,
    row: &RawRow,
    draft: Draft,
    known: &RowContext<'_>,
    report: &mut Report,
) -> (Finished, Vec<String>) {
    let RowReading { draft, notes: mut cells, taken } = reader.read(row, draft);
    report.counts.taken += taken;
    let mut notes = RowNotes::default();
    let RowContext { options, tables, around } = *known;
    let finished = finish(draft, options, tables, around, &mut reader.said, &mut notes);
    let mut reasons = Vec::new();
    add_row_notes(reader, row, notes, &mut cells);
    cells.extend(row.is_hidden.then(hidden_row));
    for cell in cells {
        let line = cell.column.map_or(row.line, |at| row.line_of(at));
        let place = report.place(line, cell.column);
        report.note(match cell.outcome {
            CellOutcome::Taken { read_as, remarks } => remarked(place, cell.raw, read_as, remarks),
            CellOutcome::Bad(problem) => not_taken(place, cell.raw, problem, &mut reasons),
        });
    }
    (finished, reasons)
}

/// Adds what there is to say of the row as a whole to what is said of its
/// cells. What follows from a cell that was not taken is not said again.
fn add_row_notes(reader: &RowReader<'_>, row: &RawRow, notes: RowNotes, cells: &mut Vec<CellNote>) {
    let is_bad = |cell: &CellNote| matches!(cell.outcome, CellOutcome::Bad(_));
    let bad: Vec<Option<usize>> =
        cells.iter().filter(|cell| is_bad(cell)).map(|cell| cell.column).collect();
    let raw = |at: Option<usize>| at.map_or("", |at| row.cell(at)).to_owned();
    for (field, problem) in notes.problems {
        let column = reader.column_of(field);
        if column.is_none() || !bad.contains(&column) {
            let outcome = CellOutcome::Bad(problem);
            cells.push(CellNote { column, raw: raw(column), outcome });
        }
    }
    if !bad.is_empty() {
        return;
    }
    for (field, remark) in notes.remarks {
        let column = reader.column_of(field);
        let known = cells.iter_mut().find(|cell| cell.column == column && column.is_some());
        match known.map(|cell| &mut cell.outcome) {
            Some(CellOutcome::Taken { remarks, .. }) => remarks.push(remark),
            _ => {
                let outcome = CellOutcome::Taken { read_as: None, remarks: vec![remark] };
                cells.push(CellNote { column, raw: raw(column), outcome });
            }
        }
    }
}

/// What is said of a hidden row, also of one that is not taken: who puts it
/// right must first find it. On its own, so that it is not folded into what is said
/// of many rows.
fn hidden_row() -> CellNote {
    let (reason, advice) =
        ("the row is hidden in the workbook", "show it and look whether it still holds");
    let remark = Remark::warning("hidden-row", reason, advice);
    let outcome = CellOutcome::Taken { read_as: None, remarks: vec![remark] };
    CellNote { column: None, raw: String::new(), outcome }
}

fn remarked(
    place: CellPlace,
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
    place: CellPlace,
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

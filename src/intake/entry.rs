//! Rows taken one by one: read, made whole, gathered and held against the book.

use crate::intake::doubts::{Put, doubts};
use crate::intake::draft::Draft;
use crate::intake::existing::Existing;
use crate::intake::finish::{Around, Finished, RowNotes, finish};
use crate::intake::gather::{Added, Gatherer, Joints};
use crate::intake::gone::pair;
use crate::intake::identity::{Grouper, RowNames};
use crate::intake::merge::Merger;
use crate::intake::names::Names;
use crate::intake::outcome::{BadRow, Report};
use crate::intake::position::{Position, Step};
use crate::intake::quick_doubts::QuickDoubts;
use crate::intake::row::{CellNote, CellOutcome, RowReader, RowReading};
use crate::intake::sink::Sink;
use crate::intake::split::RawRow;
use crate::intake::survey::{Block, Plan};
use crate::intake::verdict::{CellVerdict, Problem, Remark, Verdict};
use crate::intake::{IntakeError, Options, Sheet};
use crate::record::{Fastener, Tables};
use crate::text::taken_out;

/// What is said of a row whose settings are those of a row before it.
const SAID_AGAIN: &str =
    "a row gives again the setting of one before it: both are one, and a count is not added up";

/// What is said of a row that is superseded by another row of the sheet.
const BESIDE_OLD: &str = "a row that no longer holds stands beside the one that does: not taken";

/// How many rows that were not taken keep their cells in the report; of the
/// others it names the line.
const CELLS_KEPT: usize = 10_000;

/// What an entry is held against.
#[derive(Clone, Copy)]
pub(crate) struct InBook<'a> {
    pub(crate) tables: &'a Tables,
    pub(crate) existing: &'a dyn Existing,
}

/// Rows that the book contradicts are known by their line only: their cells
/// are read again.
pub(crate) fn fill_bad_rows(sheet: &Sheet, report: &mut Report) -> Result<(), IntakeError> {
    if report.bad_rows.iter().all(|row| !row.cells.is_empty()) || report.bad_rows.len() > CELLS_KEPT
    {
        return Ok(());
    }
    let mut rows = sheet.rows()?;
    while let Some(row) = rows.next()? {
        let place = (row.page, row.line);
        let found = report.bad_rows.binary_search_by_key(&place, |bad| (bad.page, bad.line));
        if let Ok(at) = found {
            report.bad_rows[at].cells = row.cells().map(str::to_owned).collect();
        }
    }
    Ok(())
}

/// A file that has its own columns for the day and the person keeps their
/// blanks: an export reads back as it was.
pub(crate) fn stamped(options: &Options, plan: &Plan) -> Options {
    let has = |name: &str| {
        plan.blocks.iter().flat_map(|block| &block.headings).any(|heading| heading.column.is(name))
    };
    let mut options = options.clone();
    options.today = options.today.filter(|_| !has("entered-on"));
    options.who = options.who.filter(|_| !has("entered-by"));
    options.retire &= !plan.is_rest();
    options
}

/// Reads the rows of a file one by one and gathers them into fasteners.
pub(crate) struct Taker<'a> {
    plan: &'a Plan,
    names: &'a Names<'a>,
    position: Position<'a>,
    reader: RowReader<'a>,
    grouper: Grouper<'a>,
    merger: Merger<'a>,
    book: InBook<'a>,
    quick: QuickDoubts<'a>,
    gatherer: Gatherer,
    options: &'a Options,
    report: &'a mut Report,
    /// Fasteners are handed on before the end: each is judged by itself.
    is_long: bool,
    is_stopped: bool,
}

impl<'a> Taker<'a> {
    pub(crate) fn new(
        plan: &'a Plan,
        names: &'a Names<'a>,
        gatherer: Gatherer,
        options: &'a Options,
        book: InBook<'a>,
        report: &'a mut Report,
        is_long: bool,
    ) -> Self {
        Self {
            plan,
            names,
            position: Position::before(plan),
            grouper: Grouper::new(&[], options),
            reader: RowReader::new(names, options, plan, 0, Vec::new()),
            gatherer,
            merger: Merger::new(book.existing, options),
            book,
            quick: QuickDoubts::new(book.tables),
            options,
            report,
            is_long,
            is_stopped: false,
        }
    }

    /// Whether a fastener was handed on too early; see [`Gatherer`].
    pub(crate) fn was_too_early(&self) -> bool {
        self.gatherer.was_too_early()
    }

    /// Whether the sink takes no more.
    pub(crate) fn is_stopped(&self) -> bool {
        self.is_stopped
    }

    fn put(&mut self, fastener: Fastener, sink: &mut dyn Sink) {
        if !self.is_stopped {
            self.is_stopped = sink.put(fastener).is_break();
        }
    }

    /// Takes one row; `groups` gets the group of each entry that it is.
    pub(crate) fn row(&mut self, row: &RawRow, groups: &mut Vec<u64>) {
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
        let before = groups.len();
        block.reshape.each(&whole, |row| {
            let names = self.grouper.group_of(row, &self.position.given, block.fills_down);
            groups.push(names.group);
            self.entry(row, names);
        });
        if groups.len() == before {
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
        self.grouper = Grouper::new(&block.headings, self.options);
        let headings = block.headings.clone();
        self.reader = RowReader::new(self.names, self.options, self.plan, block.page, headings);
        self.reader.stand_under(&self.position.given);
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

    /// Forgets a group that is complete, for a walk that only learns.
    pub(crate) fn forget(&mut self, group: u64) {
        drop(self.gatherer.close(group));
    }

    /// What the rows say about each joint.
    pub(crate) fn into_joints(self) -> Joints {
        self.gatherer.into_joints()
    }

    /// Hands on a group that is complete.
    pub(crate) fn close(&mut self, group: u64, sink: &mut dyn Sink) {
        for one in self.gatherer.close(group) {
            if let Some(put) = self.merger.merge(one, self.report) {
                self.quick.judge(&put, self.report);
                self.put(put.fastener, sink);
            }
        }
    }

    /// Hands on what is left.
    pub(crate) fn close_all(&mut self, sink: &mut dyn Sink) {
        let rest = self.gatherer.close_all();
        let merged = rest.into_iter().filter_map(|one| self.merger.merge(one, self.report));
        let mut puts: Vec<Put> = merged.collect();
        if self.is_long {
            puts.iter().for_each(|put| self.quick.judge(put, self.report));
        } else {
            puts = doubts(puts, self.book.existing, self.book.tables, self.report);
        }
        for put in puts {
            self.put(put.fastener, sink);
        }
        let mut told: Vec<_> = self.gatherer.told_joints().collect();
        told.sort_unstable_by_key(|(names, _)| *names);
        let siblings = |(names, joint)| self.merger.siblings(names, joint);
        let mut renewed: Vec<Fastener> = told.into_iter().flat_map(siblings).collect();
        self.gone(&mut renewed);
        for fastener in renewed {
            self.put(fastener, sink);
        }
    }

    /// What the file no longer has is looked for where every row of it was taken: one
    /// that was not is not gone. The rest of an earlier import says nothing of the others.
    fn gone(&mut self, renewed: &mut Vec<Fastener>) {
        let report = &mut *self.report;
        report.retires = self.options.retire;
        if !report.is_sound() || self.plan.is_rest() {
            (report.gone, report.gone_count) = (Vec::new(), 0);
            return;
        }
        for retired in self.merger.gone(self.gatherer.joint_names(), report) {
            match renewed.iter_mut().find(|one| one.key == retired.key) {
                Some(one) => one.settings = retired.settings,
                None => renewed.push(retired),
            }
        }
        pair(report);
    }

    fn entry(&mut self, row: &RawRow, names: RowNames) {
        self.report.rows += 1;
        let infers_reuse = self.reader.column_of("reuse").is_none();
        let infers_kind = self.reader.column_of("kind").is_none();
        let has_column = ["lube", "strength"].map(|field| self.reader.column_of(field).is_some());
        let given = &self.reader.given_beside(row, &self.position.given);
        let around = Around { given, names: Some(&names), infers_reuse, infers_kind, has_column };
        let known = RowContext { options: self.options, tables: self.book.tables, around };
        let (finished, reasons) =
            read_entry(&mut self.reader, row, Draft::new(), &known, self.report);
        let mut reasons = reasons;
        if reasons.is_empty() {
            match self.gatherer.add((row.page, row.line), names, finished) {
                Ok(Added::New) => {}
                Ok(Added::Again) => self.report.conclude(SAID_AGAIN),
                Ok(Added::BesideOld) => self.report.conclude(BESIDE_OLD),
                Err(wrong) => {
                    for one in wrong {
                        let reason = one.reason(row.page, row.line, &self.report.pages);
                        let problem = Problem::refused("rows-disagree", reason, one.advice);
                        self.refuse_field(row, one.field, problem, &mut reasons);
                    }
                }
            }
        }
        if !reasons.is_empty() {
            let keep = self.report.bad_rows.len() < CELLS_KEPT;
            let cells = row.cells().filter(|_| keep).map(str::to_owned).collect();
            self.report.bad_rows.push(BadRow { page: row.page, line: row.line, cells, reasons });
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
    place: crate::intake::CellPlace,
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
    place: crate::intake::CellPlace,
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

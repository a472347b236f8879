//! Entries taken one by one: gathered, made whole and held against the book.

use crate::intake::doubts::{Put, doubts};
use crate::intake::existing::Existing;
use crate::intake::gather::{Added, Gatherer, Joints};
use crate::intake::gone::pair;
use crate::intake::merge::Merger;
use crate::intake::outcome::Report;
use crate::intake::quick_doubts::QuickDoubts;
use crate::intake::reading::{CELLS_KEPT, Entry};
use crate::intake::sink::Sink;
use crate::intake::survey::{Block, Plan};
use crate::intake::verdict::Problem;
use crate::intake::{IntakeError, Options, Sheet};
use crate::record::{Fastener, Tables};

/// What is said of a row whose settings are those of a row before it.
const SAID_AGAIN: &str =
    "a row gives again the setting of one before it: both are one, and a count is not added up";

/// What is said of a row that is superseded by another row of the sheet.
const BESIDE_OLD: &str = "a row that no longer holds stands beside the one that does: not taken";

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

/// Gathers the entries of a file into fasteners.
pub(crate) struct Taker<'a> {
    plan: &'a Plan,
    /// The table of the last entry.
    block: Option<&'a Block>,
    merger: Merger<'a>,
    book: InBook<'a>,
    quick: QuickDoubts<'a>,
    gatherer: Gatherer,
    report: &'a mut Report,
    /// Fasteners are handed on before the end: each is judged by itself.
    is_long: bool,
    is_stopped: bool,
}

impl<'a> Taker<'a> {
    pub(crate) fn new(
        plan: &'a Plan,
        gatherer: Gatherer,
        options: &'a Options,
        book: InBook<'a>,
        report: &'a mut Report,
        is_long: bool,
    ) -> Self {
        report.retires = options.retire;
        Self {
            plan,
            block: None,
            gatherer,
            merger: Merger::new(book.existing, options),
            book,
            quick: QuickDoubts::new(book.tables),
            report,
            is_long,
            is_stopped: false,
        }
    }

    /// Takes an entry; its group.
    pub(crate) fn entry(&mut self, entry: Entry<'a>) -> u64 {
        let Entry { block, row, names, finished } = entry;
        let group = names.group;
        if !self.block.is_some_and(|known| std::ptr::eq(known, block)) {
            self.block = Some(block);
            self.report.enter(block);
        }
        let Some(finished) = finished else { return group };
        match self.gatherer.add((row.page, row.line), names, *finished) {
            Ok(Added::New) => {}
            Ok(Added::Again) => self.report.conclude(SAID_AGAIN),
            Ok(Added::BesideOld) => self.report.conclude(BESIDE_OLD),
            Err(wrong) => {
                let mut reasons = Vec::new();
                for one in wrong {
                    let reason = one.reason(row.page, row.line, &self.report.pages);
                    let problem = Problem::refused("rows-disagree", reason, one.advice);
                    self.report.refuse_field(&row, one.field, problem, &mut reasons);
                }
                self.report.bad_row(&row, reasons);
            }
        }
        group
    }

    /// Takes over what was said while the rows were read.
    pub(crate) fn absorb(&mut self, read: Report) {
        self.report.absorb(read);
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
}

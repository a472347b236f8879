//! The walk over the rows of a sheet: which rows are entries, and when a
//! fastener is whole and can be handed on.
//!
//! A fastener of a long file is taken to be whole when no row of it came for a
//! good while. Should one come all the same, the rest is walked to learn which
//! ones are scattered so, and the walk is done once more: those wait for its end.

use std::collections::VecDeque;
use std::ops::ControlFlow;

use crate::intake::entry::{InBook, Taker, fill_bad_rows, stamped};
use crate::intake::existing::Existing;
use crate::intake::gather::{Gatherer, Joints};
use crate::intake::names::Names;
use crate::intake::outcome::Report;
use crate::intake::reading::Readable;
use crate::intake::sink::Sink;
use crate::intake::survey::survey;
use crate::intake::{IntakeError, Options, Sheet};
use crate::record::Tables;
use crate::text::{QuickMap, QuickSet};

/// How many rows of a long file after its last a fastener is taken to be whole.
/// A fastener held takes about two kilobytes.
const GOOD_WHILE: u32 = 4_000;

/// Reads every row of `sheet` and says what would become of it. Nothing is
/// stored: the caller puts the sound rows into the book, or not.
///
/// Errors only where the file as a whole cannot be used (no header, two
/// columns for one field, an open quote); everything else is a verdict.
pub fn take(
    sheet: &Sheet,
    tables: &Tables,
    options: &Options,
    existing: &dyn Existing,
) -> Result<Report, IntakeError> {
    let mut fasteners = Vec::new();
    let mut report = take_into(sheet, tables, options, existing, &mut fasteners)?;
    report.fasteners = fasteners;
    Ok(report)
}

/// The same, but each fastener to put goes to `sink` as soon as it is whole,
/// so that a long file need not be held. The caller stores nothing for good
/// before [`Report::is_sound`] is known.
pub fn take_into(
    sheet: &Sheet,
    tables: &Tables,
    options: &Options,
    existing: &dyn Existing,
    sink: &mut dyn Sink,
) -> Result<Report, IntakeError> {
    let mut learned = Learned::default();
    loop {
        match walk(sheet, tables, options, existing, learned, sink)? {
            Walked::Whole(report) => return Ok(*report),
            Walked::TooEarly(more) => learned = more,
        }
        sink.start_over();
    }
}

/// What a walk found that handed on a fastener too early.
#[derive(Default)]
struct Learned {
    joints: Joints,
    /// Groups whose rows are scattered over the file.
    scattered: QuickSet<u64>,
}

enum Walked {
    Whole(Box<Report>),
    TooEarly(Learned),
}

fn walk(
    sheet: &Sheet,
    tables: &Tables,
    options: &Options,
    existing: &dyn Existing,
    learned: Learned,
    sink: &mut dyn Sink,
) -> Result<Walked, IntakeError> {
    let names = if sheet.is_typed { Names::of_typed(tables) } else { Names::new(tables) };
    let plan = survey(sheet, &names, options)?;
    let mut report = Report::on(sheet, &plan);
    let options = &stamped(options, &plan);
    let gatherer = Gatherer::knowing(learned.joints);
    let is_long = sheet.is_big();
    let good_while = if is_long { GOOD_WHILE } else { u32::MAX };
    let mut closing = Closing { good_while, scattered: learned.scattered, ..Closing::default() };
    let book = InBook { tables, existing };
    let mut taker = Taker::new(&plan, gatherer, options, book, &mut report, is_long);
    let mut too_early = false;
    let readable = Readable { sheet, plan: &plan, names: &names, options, tables };
    let read = readable.read(|batch| {
        for entry in batch.entries {
            let is_first = closing.after(taker.entry(entry), &mut |whole| match too_early {
                true => taker.forget(whole),
                false => taker.close(whole, sink),
            });
            too_early |= !is_first || taker.was_too_early();
        }
        sink.walked(batch.share);
        if taker.is_stopped() { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    })?;
    taker.absorb(read);
    if taker.is_stopped() {
        return Ok(Walked::Whole(Box::new(report)));
    }
    if too_early {
        let joints = taker.into_joints();
        return Ok(Walked::TooEarly(Learned { joints, scattered: closing.scattered }));
    }
    taker.close_all(sink);
    report.sort();
    fill_bad_rows(sheet, &mut report)?;
    Ok(Walked::Whole(Box::new(report)))
}

/// When the fasteners of a group are whole.
#[derive(Default)]
struct Closing {
    good_while: u32,
    row: u32,
    last: QuickMap<u64, u32>,
    /// Groups in the order of their last rows.
    queue: VecDeque<(u64, u32)>,
    closed: QuickSet<u64>,
    /// Groups that wait for the end.
    scattered: QuickSet<u64>,
}

impl Closing {
    /// Says that a row of `group` came, and closes what is whole. False if the
    /// group was closed before.
    fn after(&mut self, group: u64, close: &mut dyn FnMut(u64)) -> bool {
        self.row += 1;
        if self.good_while == u32::MAX || self.scattered.contains(&group) {
            return true;
        }
        if self.last.insert(group, self.row).is_none() && self.closed.contains(&group) {
            self.scattered.insert(group);
            return false;
        }
        self.queue.push_back((group, self.row));
        let whole = self.row.saturating_sub(self.good_while);
        while let Some((group, at)) = self.queue.pop_front_if(|(_, at)| *at <= whole) {
            // Else a later row of it stands further behind.
            if self.last.get(&group) == Some(&at) {
                self.last.remove(&group);
                self.closed.insert(group);
                close(group);
            }
        }
        true
    }
}

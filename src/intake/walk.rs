//! The walk over the rows of a sheet: which rows are entries, and when a
//! fastener is whole and can be handed on.
//!
//! A short file is held until its end. A long one is handed on fastener by
//! fastener, which needs to be known: which row is its last. In one walk that
//! is taken to be so when no row of it came for a good while; should one come
//! all the same, the file is walked twice, the first time to count.

use std::collections::VecDeque;
use std::ops::ControlFlow;

use crate::intake::columns::read_columns;
use crate::intake::existing::Existing;
use crate::intake::gather::Gatherer;
use crate::intake::group::{Index, joint_columns};
use crate::intake::names::Names;
use crate::intake::outcome::Report;
use crate::intake::row::RowReader;
use crate::intake::split::RawRow;
use crate::intake::take::{RowKind, Taker, fill_bad_rows, kind_of, stamped};
use crate::intake::{IntakeError, Options, Sheet};
use crate::record::{Fastener, Tables};
use crate::text::{QuickMap, QuickSet};

/// How many rows after its last a fastener is taken to be whole. A fastener
/// held takes about two kilobytes.
const GOOD_WHILE: u32 = 4_000;

/// After how many rows [`Sink::walked`] is called.
const TOLD_AFTER: u32 = 1024;

/// What takes the fasteners of a file, one after the other.
pub trait Sink {
    /// Takes a fastener; a break ends the walk.
    fn put(&mut self, fastener: Fastener) -> ControlFlow<()>;
    /// Forgets all it has taken: they come again, as they are.
    fn start_over(&mut self);
    /// Is told now and then which share of the file was walked, 0 to 1.
    fn walked(&mut self, _share: f64) {}
}

/// A plain function as a sink, for walks that never start over.
pub(crate) struct Plain<'a>(pub(crate) &'a mut dyn FnMut(Fastener));

impl Sink for Plain<'_> {
    fn put(&mut self, fastener: Fastener) -> ControlFlow<()> {
        (self.0)(fastener);
        ControlFlow::Continue(())
    }
    fn start_over(&mut self) {
        // Nothing was kept.
    }
}

/// How a sheet is walked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum How {
    /// Once, everything held until the end.
    Held,
    /// Once, fasteners handed on after a good while.
    Once,
    /// Twice, fasteners handed on after their last row.
    Twice,
}

/// Walks over `sheet`; none if the walk has to be another one.
pub(crate) fn walk(
    sheet: &Sheet,
    tables: &Tables,
    options: &Options,
    existing: &dyn Existing,
    how: How,
    sink: &mut dyn Sink,
) -> Result<Option<Report>, IntakeError> {
    let names = Names::of(tables);
    let (headings, mut reshape) = read_columns(sheet, &names, options)?;
    let mut report = Report::on(sheet, headings.clone());
    let options = &stamped(options, &report);
    let mut reader = RowReader::new(&names, options, headings);
    let of_joint = joint_columns(reader.headings());
    let (gatherer, mut closing) = match how {
        How::Held => (Gatherer::default(), Closing::AtTheEnd),
        How::Once => (Gatherer::watching(), Closing::Later(Later::default())),
        How::Twice => {
            let headings = reader.headings().to_vec();
            let is_entry = |row: &RawRow| kind_of(row, &headings) == RowKind::Entry;
            let index = Index::of(sheet, &mut reshape, &mut reader, options, is_entry)?;
            (Gatherer::knowing(index.joints), Closing::Counted(index.rows))
        }
    };
    let mut taker = Taker::new(reader, gatherer, tables, options, existing, &mut report);
    let (mut rows, mut count) = (sheet.rows()?, 0);
    while let Some(row) = rows.next()? {
        let row = reshape.row(row);
        let bad = taker.bad_rows();
        if let Some(group) = taker.row(row) {
            // A row that is not taken may have been the one that tells of a joint.
            let told =
                taker.bad_rows() > bad && of_joint.iter().any(|at| !row.cell(*at).is_empty());
            let known = closing.after(group, &mut |group| taker.close(group, sink));
            if how == How::Once && (told || !known || taker.was_too_early()) {
                return Ok(None);
            }
        }
        count += 1;
        if count % TOLD_AFTER == 0 {
            sink.walked(rows.share());
        }
        if taker.is_stopped() {
            return Ok(Some(report));
        }
    }
    closing.rest(&mut |group| taker.close(group, sink));
    taker.close_all(sink);
    report.sort();
    fill_bad_rows(sheet, &mut report)?;
    Ok(Some(report))
}

/// When the fasteners of a group are whole.
enum Closing {
    AtTheEnd,
    /// When as many rows came as were counted.
    Counted(QuickMap<u64, u32>),
    Later(Later),
}

impl Closing {
    /// Says that a row of `group` came, and closes what is whole. False if the
    /// group was closed before.
    fn after(&mut self, group: u64, close: &mut dyn FnMut(u64)) -> bool {
        match self {
            Self::AtTheEnd => true,
            Self::Counted(left) => {
                if let Some(rows) = left.get_mut(&group) {
                    *rows -= 1;
                    if *rows == 0 {
                        left.remove(&group);
                        close(group);
                    }
                }
                true
            }
            Self::Later(later) => later.after(group, close),
        }
    }

    /// Closes what was left for later.
    fn rest(&mut self, close: &mut dyn FnMut(u64)) {
        if let Self::Later(later) = self {
            later.close_until(u32::MAX, close);
        }
    }
}

/// Groups in the order of their last rows.
#[derive(Default)]
struct Later {
    row: u32,
    last: QuickMap<u64, u32>,
    queue: VecDeque<(u64, u32)>,
    closed: QuickSet<u64>,
}

impl Later {
    fn after(&mut self, group: u64, close: &mut dyn FnMut(u64)) -> bool {
        self.row += 1;
        if self.last.insert(group, self.row).is_none() && self.closed.contains(&group) {
            return false;
        }
        self.queue.push_back((group, self.row));
        self.close_until(self.row.saturating_sub(GOOD_WHILE), close);
        true
    }

    /// Closes the groups whose last row is `row` or before.
    fn close_until(&mut self, row: u32, close: &mut dyn FnMut(u64)) {
        while let Some((group, at)) = self.queue.pop_front_if(|(_, at)| *at <= row) {
            // Else a later row of it stands further behind.
            if self.last.get(&group) == Some(&at) {
                self.last.remove(&group);
                self.closed.insert(group);
                close(group);
            }
        }
    }
}

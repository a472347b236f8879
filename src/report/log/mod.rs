//! The log, drawn: lines as a list, one in full, bolts, tins, and the text that
//! is read without clampbook.

mod bolts;
mod export;
mod keys;
mod list;

pub use bolts::{BoltRow, bolt_list};
pub use export::log_export;
pub use list::{
    job_page, log_line_page, log_list, off_target_list, recall_page, retorque_list, tin_list,
};

use jiff::civil::Date;

use crate::record::{NOT_SENT_YET, Pull, Reached};

/// A line with what is known of it besides.
#[derive(Debug, Clone, Copy)]
pub struct LogLine<'a> {
    pub pull: &'a Pull,
    /// The server of the book does not have it yet: its number is not settled.
    pub is_unsent: bool,
    /// The line that stands in its place.
    pub corrected_by: Option<u64>,
    /// The line that holds in its place, if it was corrected.
    pub instead: Option<&'a Pull>,
    /// In a recall, the day of the calibration that puts it in doubt.
    pub found_out: Option<Date>,
    /// Another lube was put on than the setting names.
    pub other_lube: bool,
    /// Who wrote it down; empty if not stated.
    pub written_by: &'a str,
    /// When it was written down, UTC.
    pub written_at: &'a str,
}

impl LogLine<'_> {
    /// Its number, once that is settled.
    pub(crate) fn number(&self) -> Option<u64> {
        (!self.is_unsent).then_some(self.pull.number)
    }

    /// What a person is told in place of its number.
    pub fn numbered(&self) -> String {
        self.number().map_or(NOT_SENT_YET.to_owned(), |number| number.to_string())
    }
}

/// A reading away from its target.
#[derive(Debug, Clone, Copy)]
pub struct OffTarget<'a> {
    pub line: LogLine<'a>,
    pub reached: &'a Reached,
}

/// A tin of lube with the lines that used it.
pub(crate) struct Tin<'a> {
    pub(crate) lube: &'a str,
    pub(crate) lot: Option<&'a str>,
    pub(crate) jobs: Vec<&'a str>,
    pub(crate) lines: usize,
    pub(crate) last: jiff::Timestamp,
}

/// The tins that `lines` name, in the order in which they were first used.
pub(crate) fn tins<'a>(lines: &[&'a Pull]) -> Vec<Tin<'a>> {
    let mut tins: Vec<Tin<'a>> = Vec::new();
    for pull in lines {
        let Some(lube) = pull.lube.as_deref() else { continue };
        let lot = pull.lot.as_deref();
        let at = tins.iter().position(|tin| tin.lube == lube && tin.lot == lot);
        let at = at.unwrap_or_else(|| {
            tins.push(Tin { lube, lot, jobs: Vec::new(), lines: 0, last: pull.at });
            tins.len() - 1
        });
        let tin = &mut tins[at];
        if !tin.jobs.contains(&pull.job.as_str()) {
            tin.jobs.push(&pull.job);
        }
        tin.lines += 1;
        tin.last = tin.last.max(pull.at);
    }
    tins
}

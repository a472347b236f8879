//! What a wrench is said to have tightened, by what its calibrations found.

use std::collections::BTreeSet;

use jiff::civil::Date;
use jiff::tz::TimeZone;

use crate::record::{AsFound, Log, Pull, Wrench};
use crate::text::fold_name;

/// Lines of the log that a calibration puts in doubt, or that none has judged yet.
#[derive(Debug, Clone, PartialEq)]
pub struct Recall<'a> {
    /// The calibration that found the wrench out; none for what was tightened since
    /// the newest one.
    pub found_out: Option<Date>,
    /// When it was last found good before that; none if never. Of the lines since the
    /// newest calibration: where they begin.
    pub since: Option<Date>,
    /// The next calibration that says how the wrench was found; none if it is still the
    /// last word.
    pub until: Option<Date>,
    /// The lines, a corrected one with the line that holds in its place.
    pub lines: Vec<(&'a Pull, Option<&'a Pull>)>,
}

impl Log {
    /// For each calibration that found `wrench` out the lines from the last one before it
    /// that found it good to the next one that says how it was found; then, unless the
    /// last word is that it is out, the lines since the newest, or since it was last
    /// found good where the newest does not say how it was found. Days are those of
    /// `clock`. A calibration's own day counts; the work of a day that begins out and ends
    /// good is in doubt, as the day alone cannot tell.
    pub fn recall(&self, wrench: &Wrench, clock: &TimeZone) -> Vec<Recall<'_>> {
        let lines = |since: Option<Date>, until: Option<Date>| {
            let is_meant = |pull: &Pull| {
                let day = pull.at.to_zoned_datetime(clock.clone()).date();
                since.is_none_or(|since| since <= day) && until.is_none_or(|until| day <= until)
            };
            let lines = self.by_wrench(&wrench.name).into_iter();
            lines.filter(|(pull, _)| is_meant(pull)).collect()
        };
        let each = wrench.calibrations.iter().enumerate();
        let out = each.filter(|(_, one)| one.found == Some(AsFound::Out)).map(|(at, one)| {
            let mut next = wrench.calibrations[at + 1..].iter();
            let until = next.find(|next| next.found.is_some()).map(|next| next.day);
            let (found_out, since) = (Some(one.day), wrench.good_before(at));
            Recall { found_out, since, until, lines: lines(since, until) }
        });
        let mut recalls: Vec<Recall<'_>> = out.collect();
        if wrench.found_out().is_some() {
            return recalls;
        }
        let since = match wrench.calibrated() {
            Some(newest) if newest.found.is_some() => Some(newest.day),
            _ => wrench.good_before(wrench.calibrations.len()),
        };
        let mut newest = Recall { found_out: None, since, until: None, lines: lines(since, None) };
        let doubted: BTreeSet<u64> =
            recalls.iter().flat_map(|one| &one.lines).map(|(pull, _)| pull.number).collect();
        newest.lines.retain(|(pull, _)| !doubted.contains(&pull.number));
        recalls.push(newest);
        recalls
    }

    /// The lines that name a wrench. One since corrected to another wrench was said of
    /// this one all the same, and stands with its correction; where the line that holds
    /// in its place names it too, that one stands alone.
    pub fn by_wrench(&self, name: &str) -> Vec<(&Pull, Option<&Pull>)> {
        let name = fold_name(name);
        let is_it = |pull: &Pull| {
            pull.wrench.as_ref().is_some_and(|wrench| fold_name(&wrench.name) == name)
        };
        let lines = self.lines().iter().filter(|pull| is_it(pull));
        let corrected = lines.map(|pull| (pull, self.holds_for(pull.number)));
        corrected.filter(|(_, later)| !later.is_some_and(is_it)).collect()
    }

    /// The line that holds in place of `number`, if it was corrected.
    pub fn holds_for(&self, number: u64) -> Option<&Pull> {
        let next = |number: &u64| self.corrected_by(*number);
        self.line(std::iter::successors(next(&number), next).last()?)
    }
}

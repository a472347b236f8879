//! A question that one figure of every setting settles: the column of that
//! figure, or the index of torques, tells which settings can be in the answer,
//! how many have no figure, and which come first. Only those are formed.

use std::ops::ControlFlow;

use crate::query::plan::{By, ByColumn};
use crate::query::resolve::Question;
use crate::query::run::arrange::sort_number;
use crate::query::run::judge::{Judge, Judged};
use crate::record::find_field;
use crate::store::{Book, StoreError, Swept, Wanted, Which};

/// A column is f32: what is within this share of a bound is formed and tested.
const SLACK: f64 = 1e-6;

/// What the columns say.
#[derive(Debug, Default)]
struct Matched {
    /// Ordinals of general charts.
    charts: Vec<u32>,
    /// Settings that can be in the answer: value, and ordinal of the fastener.
    values: Vec<(f64, u32)>,
    /// Settings without the figure, of the fasteners that have any.
    unknown: Vec<(u32, usize)>,
}

/// Judges `question` by the column that `asked` names, and counts the settings
/// read. None where the book has no columns that hold, or where rows without
/// the value would be among the first.
pub(super) fn judged(
    judge: &Judge<'_>,
    question: &Question,
    asked: ByColumn,
    book: &Book,
) -> Result<Option<(Judged, usize)>, StoreError> {
    let Some(mut found) = walked(asked, book)? else { return Ok(None) };
    if let Some((first, down)) = asked.first {
        let Some(down) = down else { return in_order(judge, asked, found, first, book) };
        let Some(least) = cut(&mut found.values, first, down) else { return Ok(None) };
        let (judged, read) = formed(judge, asked, &found, book)?;
        let is_sure = |value: f64| reaches(value, least, down, SLACK / 2.0);
        let sure = judged.rows.iter().filter(|row| sort_number(question, row).is_some_and(is_sure));
        return Ok((sure.count() >= first).then_some((judged, read)));
    }
    formed(judge, asked, &found, book).map(Some)
}

fn walked(asked: ByColumn, book: &Book) -> Result<Option<Matched>, StoreError> {
    let mut wanted = Wanted::default();
    if let By::Figure(figure) = asked.by {
        wanted.figures[figure as usize] = true;
    }
    let (low, high) = (asked.low * (1.0 - SLACK), asked.high * (1.0 + SLACK));
    let parts = book.sweep(wanted, |found: &mut Matched, swept: &Swept<'_>| {
        if swept.is_chart {
            return found.charts.push(swept.ordinal);
        }
        let By::Figure(figure) = asked.by else { return };
        let mut unknown = 0;
        for setting in swept.settings {
            let value = f64::from(setting.figures[figure as usize]);
            unknown += usize::from(value.is_nan());
            if (low..=high).contains(&value) {
                found.values.push((value, swept.ordinal));
            }
        }
        found.unknown.extend((unknown > 0).then_some((swept.ordinal, unknown)));
    })?;
    let Some(mut found) = parts.map(Matched::joined) else { return Ok(None) };
    if asked.by == By::Torque {
        let Matched { charts, values, .. } = &mut found;
        book.each_torque(|torque, ordinal| {
            if charts.binary_search(&ordinal).is_err() {
                values.push((torque, ordinal));
            }
        })?;
    }
    if asked.is_unknown_last {
        // No filter leaves them out; they are sorted behind all others.
        found.unknown.clear();
    }
    Ok(Some(found))
}

impl Matched {
    fn joined(parts: Vec<Self>) -> Self {
        let mut all = Self::default();
        for mut part in parts {
            all.charts.append(&mut part.charts);
            all.values.append(&mut part.values);
            all.unknown.append(&mut part.unknown);
        }
        all
    }

    /// The ordinals to be formed, rising, each once.
    fn ordinals(&self) -> Vec<u32> {
        let values = self.values.iter().map(|(_, ordinal)| *ordinal);
        let mut ordinals: Vec<u32> = values.chain(self.charts.iter().copied()).collect();
        ordinals.sort_unstable();
        ordinals.dedup();
        ordinals
    }

    /// Settings without the figure of the fasteners that are not `formed`.
    fn left_out(&self, formed: &[u32]) -> usize {
        let others = self.unknown.iter().filter(|(at, _)| formed.binary_search(at).is_err());
        others.map(|(_, count)| count).sum()
    }
}

/// Counts settings that lack the figure that `asked` names.
fn leave_out(judged: &mut Judged, count: usize, asked: ByColumn) {
    judged.left_out += count;
    if let By::Figure(figure) = asked.by {
        judged.lacks(find_field(figure.word()).filter(|_| count > 0));
    }
}

fn formed(
    judge: &Judge<'_>,
    asked: ByColumn,
    found: &Matched,
    book: &Book,
) -> Result<(Judged, usize), StoreError> {
    let ordinals = found.ordinals();
    let left_out = found.left_out(&ordinals);
    let work = |state: &mut Judged, fastener| judge.take(state, &fastener);
    let (parts, read) = book.share(Which::Ordinals(ordinals), work)?;
    let mut judged = judge.joined(parts);
    leave_out(&mut judged, left_out, asked);
    Ok((judged, read))
}

/// The first rows in the order entered: no more are formed than are wanted.
/// What has changed since the image is not in its order, so then all are.
fn in_order(
    judge: &Judge<'_>,
    asked: ByColumn,
    found: Matched,
    first: usize,
    book: &Book,
) -> Result<Option<(Judged, usize)>, StoreError> {
    if book.overlaid() > 0 {
        return formed(judge, asked, &found, book).map(Some);
    }
    let (mut judged, mut passed) = (Judged::default(), 0);
    let ordinals = found.ordinals();
    let read = book.each_of(Which::Ordinals(ordinals.clone()), &mut |fastener| {
        judge.take(&mut judged, &fastener);
        passed += 1;
        let is_enough = judged.rows.len() >= first;
        if is_enough { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    })?;
    leave_out(&mut judged, found.left_out(&ordinals[..passed]), asked);
    // Charts are counted, wherever they stand.
    let is_left = |ordinal: &u32| ordinals[..passed].binary_search(ordinal).is_err();
    let left = found.charts.iter().copied().filter(is_left).collect();
    let charts = book.each_of(Which::Ordinals(left), &mut |fastener| {
        judge.take(&mut judged, &fastener);
        ControlFlow::Continue(())
    })?;
    Ok(Some((judged, read + charts)))
}

/// Keeps of `values` the first `count` and all that are as near as the slack;
/// the value that those reach, none if there are not so many.
fn cut(values: &mut Vec<(f64, u32)>, count: usize, down: bool) -> Option<f64> {
    let last = count.checked_sub(1).filter(|last| *last < values.len())?;
    let order = |a: &(f64, u32), b: &(f64, u32)| {
        if down { b.0.total_cmp(&a.0) } else { a.0.total_cmp(&b.0) }
    };
    let least = values.select_nth_unstable_by(last, order).1.0;
    values.retain(|(value, _)| reaches(*value, least, down, SLACK));
    Some(least)
}

fn reaches(value: f64, least: f64, down: bool, slack: f64) -> bool {
    if down { value >= least * (1.0 - slack) } else { value <= least * (1.0 + slack) }
}

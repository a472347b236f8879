//! Figures of which a row gives the two ends: a torque, a stretch, the face of a head.

use crate::intake::cells::Tightening;
use crate::intake::draft::{Draft, Ends, between};
use crate::intake::finish::RowNotes;
use crate::quantity::{Extent, Length, Stated, Torque};
use crate::record::{Bearing, place_of};

const OUTER: usize = place_of("bearing-outer");
const HOLE: usize = place_of("bearing-hole");

/// A face needs both its diameters.
pub(crate) fn bearing(draft: &mut Draft, notes: &mut RowNotes) {
    let Some(ring) = draft.fastener.bearing else { return };
    let Bearing { outer, hole } = ring;
    match (draft.stated.has(OUTER), draft.stated.has(HOLE)) {
        (true, true) if outer.value() > hole.value() => return,
        (true, true) => {
            let reason = format!("the face of {outer} is no larger than its hole of {hole}");
            notes.refuse("bearing-outer", "bearing", reason, "check the two diameters");
        }
        (true, false) => {
            draft.notes.push(format!("bearing outer: {outer}"));
            let advice = "give the diameter of the hole too";
            let reason = "a face without its hole; kept in the notes";
            notes.warn("bearing-outer", "bearing", reason, advice);
        }
        (false, _) => {
            draft.notes.push(format!("bearing hole: {hole}"));
            let advice = "give the outer diameter of the face too";
            let reason = "a hole without its face; kept in the notes";
            notes.warn("bearing-hole", "bearing", reason, advice);
        }
    }
    draft.fastener.bearing = None;
}

/// Ends of a range from two columns.
pub(crate) fn ends(draft: &mut Draft, notes: &mut RowNotes) {
    let advice = "check the two columns";
    match between::<Torque>(draft.torque_ends) {
        Ok(None) => {}
        Ok(Some(torque)) if draft.torques.is_empty() => {
            let one = Tightening { torque: Some(torque), ..Tightening::default() };
            draft.torques.push(one);
        }
        Ok(Some(range)) => nominal(draft, range, notes),
        Err(_) if is_above_low(draft) => {
            let low = draft.torque_ends.low.map_or_else(String::new, |low| format!("min {low}"));
            keep_end(draft, &low, notes);
        }
        Err(reason) => notes.refuse("torque", "range-ends", reason, advice),
    }
    match between::<Length>(draft.stretch_ends) {
        Ok(None) => {}
        Ok(Some(stretch)) if draft.stretch.is_none() => {
            draft.stretch = Some(Tightening { stretch: Some(stretch), ..Tightening::default() });
        }
        Ok(Some(_)) => {
            let reason = "a stretch and its two ends in one row".to_owned();
            notes.refuse("stretch", "range-ends", reason, advice);
        }
        Err(reason) => notes.refuse("stretch", "range-ends", reason, advice),
    }
}

/// Whether one torque stands beside a low end alone, and is not below it.
fn is_above_low(draft: &Draft) -> bool {
    let Ends { low: Some(low), high: None } = draft.torque_ends else { return false };
    let Ok(low) = Stated::<Torque>::new(low) else { return false };
    let of_one = draft.torques.first().and_then(|one| one.torque);
    draft.torques.len() == 1 && of_one.is_some_and(|torque| torque.high() >= low.value())
}

/// The one end of a torque that states itself: a limit, no other torque.
fn keep_end(draft: &mut Draft, end: &str, notes: &mut RowNotes) {
    let torque = draft.torques.iter().find_map(|one| one.torque);
    draft.notes.extend(torque.map(|torque| format!("torque: {torque} nominal, {end}")));
    let reason = "a minimum or maximum stands beside the torque: kept in the notes";
    notes.warn("torque", "end-beside", reason, "");
}

/// A torque with its ends beside it: the range, where there are two.
fn nominal(draft: &mut Draft, range: Extent<Torque>, notes: &mut RowNotes) {
    let is_inside = |torque: Extent<Torque>| {
        torque.high() <= range.high() && range.low().is_none_or(|low| low <= torque.high())
    };
    match draft.torques.as_mut_slice() {
        [Tightening { torque: Some(torque), .. }] if is_inside(*torque) => {
            if range.low().is_none() {
                return keep_end(draft, &range.to_string(), notes);
            }
            draft.notes.push(format!("torque: {torque} nominal, {range}"));
            *torque = range;
            let reason = "a torque with its two ends: the range, the figure itself in the notes";
            notes.echo("torque", "nominal", reason);
        }
        _ => {
            let reason = format!("the torque is not within its ends {range}");
            notes.refuse("torque", "range-ends", reason, "check the columns");
        }
    }
}

//! Figures of which a row gives the two ends: a torque, a stretch, the face of a head.

use crate::intake::cells::Tightening;
use crate::intake::draft::{Draft, between};
use crate::intake::finish::RowNotes;
use crate::quantity::{Extent, Length, Torque};
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

/// A torque with its two ends beside it: one torque, the range.
fn nominal(draft: &mut Draft, range: Extent<Torque>, notes: &mut RowNotes) {
    let is_inside = |torque: Extent<Torque>| {
        torque.high() <= range.high() && range.low().is_none_or(|low| low <= torque.high())
    };
    match draft.torques.as_mut_slice() {
        [Tightening { torque: Some(torque), .. }] if is_inside(*torque) => {
            draft.notes.push(format!("torque: {torque} nominal, {range}"));
            if range.low().is_some() {
                *torque = range;
            }
        }
        _ => {
            let reason = format!("the torque is not within its ends {range}");
            notes.refuse("torque", "range-ends", reason, "check the columns");
        }
    }
}

//! The passes of a row: columns of their own, a bare count, and what they may
//! not be.

use crate::intake::cells::Tightening;
use crate::intake::draft::Draft;
use crate::intake::finish::RowNotes;
use crate::intake::row_words::NotesSaid;
use crate::intake::verdict::Problem;
use crate::intake::words::{plain_words, says_steps};
use crate::quantity::{Extent, Kind, Number, PER_CENT, Quantity, Ratio, Stated, Torque};
use crate::record::{Method, Pass, Reuse, Setting};

/// Passes with a column each. Without a torque of its own the row is pulled to
/// the last of them, and turned by the angles after it.
pub(crate) fn numbered_passes(draft: &mut Draft, notes: &mut RowNotes) {
    if draft.numbered.is_empty() {
        return;
    }
    draft.numbered.sort_by_key(|(number, _)| *number);
    let mut passes: Vec<Pass> = draft.numbered.drain(..).map(|(_, pass)| pass).collect();
    let is_stated = draft.torques.iter().any(|one| one.torque.is_some() || one.snug.is_some());
    let mut whole = Tightening::default();
    if !is_stated {
        // A last column with no more than a turn, `+60°`, is the last step.
        for last in draft.torques.extract_if(.., |one| !one.angles.is_empty()) {
            passes.extend(last.angles.into_iter().map(Pass::Turn));
            whole.notes.extend(last.notes);
            whole.single_use |= last.single_use;
        }
    }
    if let Some(listed) = draft.passes.as_ref().filter(|listed| listed.passes != passes) {
        if !listed.passes.is_empty() {
            let reason = "the passes column and the columns of each pass differ".to_owned();
            notes.refuse("passes", "cells-disagree", reason, "leave one of them empty");
        }
        return;
    }
    for pass in &passes {
        match pass {
            Pass::Torque(torque) if whole.angles.is_empty() => {
                whole.torque = Some(Extent::Exactly(*torque));
            }
            Pass::Turn(angle) => whole.angles.push(*angle),
            _ => {}
        }
    }
    let torques = passes.iter().filter(|pass| !matches!(pass, Pass::Turn(_))).count();
    if torques > 1 || is_stated || whole.torque.is_none() {
        draft.passes = Some(Tightening { passes, to_full: is_stated, ..Tightening::default() });
    }
    if !whole.angles.is_empty() {
        whole.method = Some(Method::TorqueAngle);
    }
    if !is_stated && (whole.torque.is_some() || !whole.angles.is_empty()) {
        draft.torques.retain(|one| one.torque.is_some());
        draft.torques.push(whole);
    } else if is_stated && !whole.angles.is_empty() && draft.angle.is_none() {
        draft.angle = Some(Tightening { angles: whole.angles, ..Tightening::default() });
    }
}

/// So many equal passes, where the sheet gives only their number.
pub(crate) fn equal_passes(
    draft: &mut Draft,
    setting: &mut Setting,
    count: Option<u32>,
    bare: Option<u32>,
    beside: Option<u32>,
    notes: &mut RowNotes,
) {
    let high = setting.torque.map(|torque| torque.high().nm() / torque.unit().factor);
    let few = |count: u32| high.is_some_and(|high| f64::from(count) < high / 3.0);
    if let Some(bare) = bare.filter(|bare| count.is_none() && !few(*bare)) {
        let unit = setting.torque.map_or("lb-ft", |torque| torque.unit().symbol);
        let readings = vec![format!("{bare} passes"), format!("{bare} {unit}")];
        let reason = format!("`{bare}`: how many passes, or one pass of that torque");
        notes.problems.push(("passes", Problem::question("how-many-passes", reason, readings)));
        return;
    }
    let Some(count) = count.or(bare).or(beside) else { return };
    if !setting.passes.is_empty() {
        return;
    }
    let angled = matches!(setting.method, Method::TorqueAngle | Method::Angle);
    draft.notes.push(format!("{count} passes"));
    if angled || draft.fastener.reuse == Some(Reuse::SingleUse) || setting.torque.is_none() {
        let reason = format!("{count} passes, and not which: kept in the notes");
        let advice = "give each pass as the sheet does";
        notes.warn("passes", "passes-not-made", &reason, advice);
        return;
    }
    let share = |at: u32| {
        let places = u8::from(!(100 * at).is_multiple_of(count));
        Pass::Share(share_of(100.0 * f64::from(at) / f64::from(count), places))
    };
    setting.passes = (1..=count).map(share).collect();
    notes.echo(
        "passes",
        "equal-passes",
        &format!("{count} passes: made equal, as the sheet gives only their number"),
    );
}

/// The rising figures after a word for steps in a note: `in 3 steps: 30 / 55 / 80`.
pub(crate) fn steps_in_words(note: &str) -> Option<Vec<u32>> {
    let mut figures = note.split(|c: char| !c.is_ascii_digit()).filter(|run| !run.is_empty());
    figures.nth(1)?;
    let folded = plain_words(&note.replace(['/', ';', '>', '→', '–'], " "));
    let mut words = folded.split(' ');
    words.find(|word| says_steps(word))?;
    let figures: Vec<u32> = words.map_while(|word| word.parse().ok()).collect();
    let rises = figures.windows(2).all(|pair| pair[0] < pair[1]);
    (figures.len() > 1 && rises).then_some(figures)
}

/// Steps among the notes, where the last is the torque of the row.
pub(crate) fn passes_in_notes(
    draft: &Draft,
    setting: &mut Setting,
    said: &mut NotesSaid,
    notes: &mut RowNotes,
) {
    let Some(Extent::Exactly(torque)) = setting.torque.filter(|_| setting.passes.is_empty()) else {
        return;
    };
    let written = torque.written();
    let unit = written.unit;
    let ends = |figures: &Vec<u32>| {
        figures.last().is_some_and(|last| f64::from(*last) == written.number.value())
    };
    let mut each = draft.notes.iter().filter_map(|note| said.steps.found(note, steps_in_words));
    let found = each.find(ends);
    let Some(figures) = found else { return };
    let number = |figure: u32| Number::decimal(f64::from(figure), 0);
    let pass = |figure: u32| Stated::new(Quantity::new(number(figure), unit)).ok();
    setting.passes = figures.into_iter().filter_map(pass).map(Pass::Torque).collect();
    notes.echo("passes", "passes-in-notes", "the notes give the passes up to the torque");
}

/// Passes that end in angles: the torque before them is only where they start.
pub(crate) fn turned_by_passes(setting: &mut Setting) {
    let is_turn = |pass: &Pass| matches!(pass, Pass::Turn(_));
    let torques = setting.passes.iter().rposition(|pass| !is_turn(pass)).map_or(0, |at| at + 1);
    let angles = setting.passes[torques..].iter().filter_map(|pass| match pass {
        Pass::Turn(angle) => Some(*angle),
        _ => None,
    });
    setting.angles = angles.collect();
    if let Some(Pass::Torque(last)) = torques.checked_sub(1).map(|at| &setting.passes[at])
        && !setting.angles.is_empty()
        && setting.torque.is_none()
    {
        setting.snug = setting.snug.or(Some(*last));
    }
}

/// The torque as the last of the passes that lead to it and end below.
pub(crate) fn to_full(setting: &mut Setting) {
    let whole = setting.torque.or(setting.snug.map(Extent::Exactly));
    let is_turned = setting.passes.iter().any(|pass| matches!(pass, Pass::Turn(_)));
    let last = setting.passes.iter().rev().find_map(|pass| match pass {
        Pass::Torque(last) => Some(last.value()),
        _ => None,
    });
    let is_other = is_turned || setting.method == Method::Stretch;
    let Some((whole, last)) = whole.zip(last).filter(|_| !is_other) else { return };
    if last.nm() * 1.005 < whole.low().unwrap_or(whole.high()).nm() {
        setting.passes.push(match whole {
            Extent::Exactly(torque) => Pass::Torque(torque),
            _ => Pass::Share(share_of(100.0, 0)),
        });
    }
}

/// The torque that several rising passes end in.
pub(crate) fn last_torque(passes: &Tightening) -> Option<Stated<Torque>> {
    match passes.passes.as_slice() {
        [.., Pass::Torque(before), Pass::Torque(last)] if before.value() < last.value() => {
            Some(*last)
        }
        _ => None,
    }
}

fn share_of(per_cent: f64, places: u8) -> Stated<Ratio> {
    let share = Quantity::new(Number::decimal(per_cent, places), PER_CENT);
    Stated::new(share).expect("a per cent is a ratio")
}

/// No pass is above the torque that it leads to.
pub(crate) fn above_torque(setting: &Setting, notes: &mut RowNotes) {
    let Some(torque) = setting.torque else { return };
    let most = torque.high().nm() * 1.005;
    let above = setting.passes.iter().find(|pass| match pass {
        Pass::Torque(pass) => pass.value().nm() > most,
        Pass::Share(share) => share.value().base() > 1.005,
        _ => false,
    });
    if let Some(pass) = above {
        let reason = format!("the pass {pass} is above the torque {torque}");
        notes.refuse("passes", "pass-above-torque", reason, "check both against the sheet");
    }
}

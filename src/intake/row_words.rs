//! What the notes of a row say where no column does.

use crate::intake::cells::{Tightening, passes_in_words};
use crate::intake::draft::Draft;
use crate::intake::finish::{Around, RowNotes};
use crate::intake::lube_words::lube_in_words;
use crate::intake::words;
use crate::quantity::{Angle, Quantity, Stated};
use crate::record::{Pass, Reuse, Tables};
use crate::thread::Thread;

/// What words say where no column does: a fastener that is thrown away, a left-hand
/// thread, what the part is. An export has it in its columns.
pub(crate) fn said_in_words(draft: &mut Draft, around: Around, notes: &mut RowNotes) {
    let folded = draft.notes.iter().map(|note| words::without_accents(&note.to_lowercase()));
    let folded: Vec<String> = folded.collect();
    // `Schrauben ersetzen: nein`, kept from a column, says the other thing.
    let is_no = |note: &&String| {
        note.rsplit_once(": ").is_some_and(|(_, cell)| matches!(cell, "no" | "n" | "nein" | "non"))
    };
    let says = |is_so: &dyn Fn(&str) -> bool| {
        folded.iter().filter(|note| !is_no(note)).any(|note| is_so(note))
    };
    let says_left = |note: &str| {
        let is_hand = note.contains("left hand") || note.contains("left-hand");
        words::LEFT_HAND.iter().any(|text| note.contains(text))
            || is_hand && note.contains("thread")
    };
    let fastener = &mut draft.fastener;
    if around.infers_reuse && fastener.reuse.is_none() && says(&words::says_once) {
        fastener.reuse = Some(Reuse::SingleUse);
        notes.echo("reuse", "single-use", "the notes say that it is used once: single-use");
    }
    if draft.passes.is_none()
        && let Some(count) = draft.notes.iter().find_map(|note| passes_in_words(note))
    {
        draft.passes = Some(Tightening { count: Some(count), ..Tightening::default() });
    }
    if fastener.thread.is_none() && !around.given.is_typed {
        fastener.thread = thread_in_names(&fastener.part, notes)
            .or_else(|| thread_in_names(&fastener.joint.name, notes));
    }
    if draft.angle.is_none()
        && let Some(angle) = draft.notes.iter().find_map(|note| angle_in_words(note))
        && !draft.torques.iter().any(|one| !one.angles.is_empty())
        && !draft.numbered.iter().any(|(_, pass)| matches!(pass, Pass::Turn(_)))
    {
        draft.angle = Some(Tightening { angles: vec![angle], ..Tightening::default() });
        let reason = format!("the notes say that it is turned by {angle} after the torque");
        notes.warn("angle", "angle-in-notes", &reason, "give the angle a column of its own");
    }
    let fastener = &mut draft.fastener;
    let says_old = |note: &str| words::SUPERSEDED.iter().any(|text| note.contains(text));
    if !draft.setting.superseded && says(&says_old) {
        draft.setting.superseded = true;
        notes.echo("superseded", "superseded", "the notes say that it no longer holds: superseded");
    }
    let right_hand = fastener.thread.take_if(|thread| !thread.is_left_hand() && says(&says_left));
    if let Some(thread) = right_hand {
        fastener.thread = Some(thread.with_hand(true));
        notes.echo("thread", "left-hand", "the notes say that the thread is left-hand");
    }
    if around.infers_kind && !around.given.is_typed {
        fastener.kind = fastener.kind.or(draft.kind);
    }
}

/// `then 90°`, `puis 90 deg`, `+ 60°` in a note: a turn after the torque. `At 90°` is none.
fn angle_in_words(note: &str) -> Option<Stated<Angle>> {
    const THEN: &[&str] = &[
        "then", "plus", "+", "dann", "danach", "puis", "plus", "luego", "despues", "poi", "dan",
        "daarna",
    ];
    const DEGREES: &[&str] =
        &["°", "deg", "degrees", "grad", "degres", "grados", "gradi", "graden"];
    let spaced =
        words::without_accents(&note.to_lowercase()).replace('+', " + ").replace('°', " ° ");
    let pieces: Vec<&str> =
        spaced.split([' ', ',', ';', ':', '(', ')']).filter(|word| !word.is_empty()).collect();
    pieces.windows(3).enumerate().find_map(|(at, three)| {
        let is_heat = pieces.get(at + 3).is_some_and(|next| ["c", "f"].contains(next));
        let degrees: f64 = three[1].parse().ok().filter(|one| (1.0..=720.0).contains(one))?;
        let is_so = THEN.contains(&three[0]) && DEGREES.contains(&three[2]) && !is_heat;
        let angle = is_so.then(|| Quantity::parse(&format!("{degrees}°")).ok()).flatten()?;
        Stated::<Angle>::new(angle).ok()
    })
}

/// The thread that a name says in full, `Hex screw M12x1.75`, where no cell states one.
fn thread_in_names(name: &str, notes: &mut RowNotes) -> Option<Thread> {
    let is_whole = |word: &&str| {
        let is_metric = word.starts_with('M') && word.contains(['x', 'X']);
        is_metric || word.contains('/') && word.contains('-')
    };
    let thread = name
        .split([' ', ',', '(', ')'])
        .filter(is_whole)
        .find_map(|one| Thread::parse(one).ok())?;
    let reason = format!("`{name}` says {thread}, no other cell does: taken as the thread");
    notes.warn("thread", "thread-in-name", &reason, "give the thread a column of its own");
    Some(thread)
}

/// Whether the notes of a row name a lube that is not the `lube` of the title above it:
/// `oiled unless noted`. Which one holds is then left open.
pub(crate) fn names_another(
    draft: &Draft,
    lube: &str,
    tables: &Tables,
    notes: &mut RowNotes,
) -> bool {
    let known = |piece: &[&str]| {
        let piece = piece.join(" ");
        tables.lube(&piece).or_else(|| tables.lube(lube_in_words(&piece)?))
    };
    let other = draft.notes.iter().find_map(|note| {
        let folded = words::plain_words(note);
        let words: Vec<&str> = folded.split([' ', ';', '(', ')']).collect();
        let named = (1..=3).rev().find_map(|length| words.windows(length).find_map(known))?;
        (named.name != lube).then(|| named.name.clone())
    });
    if let Some(other) = &other {
        let reason = format!("the title says {lube}, the notes of the row {other}: left open");
        notes.warn("lube", "lube-in-notes", &reason, "give the row its lube in a column");
    }
    other.is_some()
}

//! What a fitter must know of a part and of its lube.

use crate::query::run::UnitsWanted;
use crate::record::{Bottom, Fastener, NOT_STATED, Row, Wet};
use crate::report::cells::{self, face};
use crate::report::lay::{clean, untied};
use crate::report::pull::stated_words;

/// Where the lube goes: `moly on the threads AND under the nut`.
pub(crate) fn lube_words(row: &Row) -> String {
    let (face, setting) = (face(&row.fastener), &row.setting);
    let Some(lube) = &setting.lube else { return format!("lube {NOT_STATED}") };
    let name = clean(lube);
    match (&setting.face_lube, cells::lube_place(row)) {
        (Some(other), _) if other != lube => {
            format!("{name} on the threads, {} {face}", clean(other))
        }
        (_, Some(place)) => format!("{name}: {place}"),
        (_, None) => format!("{name} on the threads AND {face}"),
    }
}

/// Where the torque is that an adapter makes another than the wrench shows.
pub(crate) fn at_turned(fastener: &Fastener) -> &'static str {
    match face(fastener) {
        "under the nut" => "at the nut",
        "under the head" => "at the head",
        _ => "at the thread",
    }
}

/// Thread, ends, tools, hole, washer: one line.
pub(crate) fn fit_words(fastener: &Fastener, wanted: &UnitsWanted) -> Vec<String> {
    let mut facts = Vec::new();
    let thread = fastener.thread.as_ref().map_or(NOT_STATED.to_owned(), ToString::to_string);
    let strength = cells::strength_beside(fastener, wanted).map(|words| format!(", {words}"));
    let thread = thread + &untied(&strength.unwrap_or_default());
    match fastener.hole_thread {
        Some(_) => facts.push(format!("nut end {thread}")),
        None => facts.push(format!("thread {thread}")),
    }
    facts.extend(cells::hole_end(fastener).map(|words| untied(&words)));
    let length = fastener.length.map(|length| stated_words(length, wanted));
    facts.extend(length.map(|length| format!("length {length}")));
    facts.extend(fastener.head.as_ref().map(|head| format!("head {}", clean(head))));
    facts.extend(fastener.drive.as_ref().map(|drive| format!("drive {}", clean(drive))));
    facts.extend(hole(fastener));
    facts.extend(fastener.washer.as_ref().map(|washer| format!("washer {}", clean(washer))));
    facts.extend(fastener.seat.as_ref().map(|seat| format!("seat {}", clean(seat))));
    facts
}

fn hole(fastener: &Fastener) -> Option<String> {
    let bottom = fastener.bottom.map(|bottom| match bottom {
        Bottom::Blind => "blind hole",
        Bottom::Through => "through hole",
    });
    let wet = fastener.wet.map(|wet| match wet {
        Wet::Coolant => "wet to coolant",
        Wet::Oil => "wet to oil",
        Wet::Port => "into the port",
    });
    let insert = fastener.insert.filter(|insert| *insert).map(|_| "wire insert");
    let material = fastener.hole_material.as_ref().map(|text| format!("in {}", clean(text)));
    let words: Vec<String> =
        [bottom, wet, insert].into_iter().flatten().map(str::to_owned).chain(material).collect();
    (!words.is_empty()).then(|| words.join(" "))
}

/// `Gasket: multi-layer steel.` with one full stop, whatever the text ends in.
pub(crate) fn sentence(label: &str, text: &str) -> String {
    let text = clean(text);
    format!("{label}: {}.", text.trim_end_matches([' ', '.', ',', ';']))
}

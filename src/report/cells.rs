//! What stands in each column of a row.

use crate::mechanics::SectionAt;
use crate::quantity::{Dimension, Unit};
use crate::query::run::UnitsWanted;
use crate::record::{
    Basis, Clamp, Fastener, Kind, LubeClass, Method, NOT_STATED, Row, Setting, Turned,
};
use crate::report::figures::{clamp_figures, per_cent};
use crate::report::lay::{clean, or_not_stated, tied};
use crate::report::pull::{running_to_add, stated_words};
use crate::report::style::Tone;
use crate::report::units::units_for;
use crate::text::fold_name;

/// What stands where a column does not apply.
pub(crate) const DOES_NOT_APPLY: &str = "-";
const NO_CLAMP: &str = "no clamp";

/// Something printable, or "not stated"; kept on one line.
pub(crate) fn stated<T: ToString>(value: Option<T>) -> String {
    value.map_or_else(|| NOT_STATED.to_owned(), |value| tied(&value.to_string()))
}

/// The thread that turns under the wrench.
pub(crate) fn turned(row: &Row) -> String {
    stated(row.fastener.thread.as_ref())
}

/// The lube on the threads and, where it is another one, under the face.
pub(crate) fn lube(setting: &Setting) -> String {
    match &setting.face_lube {
        Some(face) if Some(face) != setting.lube.as_ref() => {
            format!("{}; face {}", or_not_stated(setting.lube.as_ref()), clean(face))
        }
        _ => or_not_stated(setting.lube.as_ref()),
    }
}

pub(crate) fn is_one_lube(setting: &Setting) -> bool {
    setting.face_lube.is_none() || setting.face_lube == setting.lube
}

/// Where the lube goes, unless that is on the threads and under the turned face.
///
/// A locking or sealing compound is for the threads alone: what goes under the head is
/// said only if the source says it.
pub(crate) fn lube_place(row: &Row) -> Option<String> {
    let face = face(&row.fastener);
    match row.derived.lube_class.filter(|_| is_one_lube(&row.setting))? {
        LubeClass::Dry => Some(format!("nothing on the threads or {face}")),
        LubeClass::Coating => Some("as it comes, nothing added".to_owned()),
        LubeClass::Threadlocker | LubeClass::Sealant if row.setting.face_lube.is_none() => {
            Some(format!("on the threads; {face} {NOT_STATED}"))
        }
        _ => None,
    }
}

/// The face that slides.
pub(crate) fn face(fastener: &Fastener) -> &'static str {
    match (fastener.turned, fastener.kind) {
        (Some(Turned::Nut), _) | (None, Some(Kind::Stud | Kind::Nut)) => "under the nut",
        (Some(Turned::Head), _) | (None, Some(Kind::Bolt | Kind::Screw)) => "under the head",
        (None, Some(Kind::Plug) | None) => "under the turned face",
    }
}

/// The basis, loud: `LISTED`; with the figure of the source where the prevailing torque
/// on top of it makes another one: `LISTED 55 N·m + 6 N·m`.
pub(crate) fn basis(row: &Row) -> String {
    let basis = row.setting.basis.word().to_uppercase();
    let start = row.setting.torque.map(|t| t.to_string());
    let start = start.or_else(|| row.setting.snug.map(|snug| snug.to_string()));
    match (row.fastener.prevailing.filter(|_| running_to_add(&row.fastener).is_some()), start) {
        (Some(running), Some(start)) => {
            format!("{basis} {}", tied(&format!("{start} + {running}")))
        }
        _ => basis,
    }
}

pub(crate) fn tone(row: &Row) -> Tone {
    match row.setting.basis {
        _ if row.setting.superseded => Tone::Faint,
        Basis::Computed => Tone::Estimate,
        _ => Tone::Plain,
    }
}

pub(crate) fn clamp_unit(wanted: &UnitsWanted) -> Option<&'static Unit> {
    units_for(wanted, Dimension::Force, None).first().copied()
}

/// The clamp with its band, without its unit: `71 (53–89)`; `by angle`.
pub(crate) fn clamp(row: &Row, unit: Option<&'static Unit>) -> String {
    match (row.derived.clamp, unit) {
        (Some(clamp), Some(unit)) => clamp_figures(clamp, unit),
        _ => match row.setting.method {
            Method::TorqueAngle | Method::Angle => "by angle".to_owned(),
            Method::Stretch => "by stretch".to_owned(),
            Method::Torque => NO_CLAMP.to_owned(),
        },
    }
}

/// Why there is no clamp, where that is not plain from the method.
pub(crate) fn no_clamp(row: &Row) -> Option<String> {
    let by_torque = row.setting.method == Method::Torque;
    let reason = row.derived.no_clamp.as_ref().filter(|_| by_torque)?;
    Some(format!("{NO_CLAMP}: {}", clean(reason)))
}

/// What a section that is weaker than the turned thread is called.
pub(crate) fn weaker(place: Option<SectionAt>) -> Option<&'static str> {
    match place? {
        SectionAt::Thread => None,
        SectionAt::HoleThread => Some("hole end"),
        SectionAt::Waist => Some("waist"),
    }
}

/// Per cent of a strength: at the turned thread and, where another section is
/// weaker, there: `75 %, hole end 84 %`.
pub(crate) fn share(
    section: Option<SectionAt>,
    turned: Option<f64>,
    weakest: Option<f64>,
    of: &str,
) -> Option<String> {
    match (turned, weakest, weaker(section)) {
        (Some(turned), Some(weakest), Some(place)) => {
            Some(format!("{} %{of}, {place} {} %", per_cent(turned), per_cent(weakest)))
        }
        (Some(share), _, _) | (None, Some(share), _) => Some(format!("{} %{of}", per_cent(share))),
        (None, None, _) => None,
    }
}

/// The share of yield, else of proof: `71 % yield, hole end 79 %`.
pub(crate) fn strain(row: &Row) -> String {
    let derived = &row.derived;
    if derived.clamp.is_none() {
        return String::new();
    }
    share(derived.section, derived.turned_of_yield, derived.of_yield, " yield")
        .or_else(|| share(derived.section, derived.turned_of_proof, derived.of_proof, " proof"))
        .unwrap_or_default()
}

/// `71 kN (53–89)`.
pub(crate) fn clamp_words(clamp: Clamp, unit: &Unit) -> String {
    let figures = clamp_figures(clamp, unit);
    match figures.split_once(' ') {
        Some((nominal, band)) => format!("{nominal} {} {band}", unit.symbol),
        None => format!("{figures} {}", unit.symbol),
    }
}

pub(crate) fn place(fastener: &Fastener) -> String {
    format!("{} · {}", clean(&fastener.joint.assembly), clean(&fastener.joint.name))
}

/// Whether the name of a part has the name of its strength in it already.
fn is_in_part(fastener: &Fastener, strength: &str) -> bool {
    let spaced = |text: &str| format!(" {} ", fold_name(text));
    spaced(&fastener.part).contains(&spaced(strength))
}

/// What is stated of the strength of a fastener and is not in the name of its part.
pub(crate) fn strength_beside(fastener: &Fastener, wanted: &UnitsWanted) -> Option<String> {
    let stated = strength_stated(fastener, wanted)?;
    let known = fastener.strength.name.as_ref().filter(|name| is_in_part(fastener, name));
    let Some(known) = known else { return Some(stated) };
    let rest = stated.strip_prefix(&*clean(known))?;
    rest.strip_prefix(", ").map(str::to_owned)
}

/// What is stated of the strength of a fastener: `10.9`, or `yield 180 ksi, tensile
/// 190 ksi`.
fn strength_stated(fastener: &Fastener, wanted: &UnitsWanted) -> Option<String> {
    let sheet = &fastener.strength;
    let figures = [("proof", sheet.proof), ("yield", sheet.yield_), ("tensile", sheet.tensile)];
    let figures = figures.into_iter().filter_map(|(name, value)| {
        Some(tied(&format!("{name} {}", stated_words(value?, wanted))))
    });
    let named = sheet.name.as_ref().map(|name| clean(name));
    let parts: Vec<String> = named.into_iter().chain(figures).collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// The same, or that it is not stated.
pub(crate) fn strength(fastener: &Fastener) -> String {
    strength_stated(fastener, &UnitsWanted::AsWritten)
        .unwrap_or_else(|| format!("strength {NOT_STATED}"))
}

/// A stud's other end: `hole end 7/16-14, finger-snug, with oil`.
pub(crate) fn hole_end(fastener: &Fastener) -> Option<String> {
    let thread = fastener.hole_thread.as_ref()?;
    let fitting = fastener.hole_end_fitting.as_ref().map(|fitting| clean(fitting));
    let lube = fastener.hole_end_lube.as_ref().map(|lube| format!("with {}", clean(lube)));
    let parts = [Some(format!("hole end {thread}")), fitting, lube];
    Some(parts.into_iter().flatten().map(|part| tied(&part)).collect::<Vec<_>>().join(", "))
}

/// Title, page and revision of the source, or that there is none; of a computed row what
/// it was restated from.
pub(crate) fn source(row: &Row) -> String {
    let cited = row.setting.source.to_string();
    match &row.restated {
        Some(restated) => format!("from {} {}", clean(&restated.from), clean(&restated.from_lube)),
        None if cited.is_empty() => NOT_STATED.to_owned(),
        None => clean(&cited),
    }
}

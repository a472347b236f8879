//! Which form of friction holds for a fastener with the lubes put on it.

use crate::mechanics::{self, Form, FormRange, Head};
use crate::quantity::Ratio;
use crate::record::{Band, Fastener, FormUsed, Kind, Lube, Setting, Tables};
use crate::text::fold_name;

/// Why no form holds, in words that follow "no clamp: ".
pub type NoForm = String;

/// The lubes of a setting: on the threads, and under the turned face.
#[derive(Debug, Clone, Copy)]
pub struct Lubes<'a> {
    /// On the threads.
    pub thread: &'a Lube,
    /// Under the head or nut; the same unless the setting says otherwise.
    pub face: &'a Lube,
}

impl<'a> Lubes<'a> {
    /// One lube on both faces.
    pub fn both(lube: &'a Lube) -> Self {
        Self { thread: lube, face: lube }
    }

    /// The lubes that `setting` names, from the tables of the book.
    pub fn of(setting: &Setting, tables: &'a Tables) -> Result<Self, NoForm> {
        let find = |name: &str| {
            tables.lube(name).ok_or_else(|| format!("lube `{name}` is not in the book"))
        };
        let thread = find(setting.lube.as_deref().ok_or("lube not stated")?)?;
        let face = setting.face_lube.as_deref().map_or(Ok(thread), find)?;
        Ok(Self { thread, face })
    }

    fn is_one(self) -> bool {
        std::ptr::eq(self.thread, self.face)
    }
}

/// The short form T = K·d·F with the K of the lube; none if the two faces
/// carry different lubes or the lube has no K.
fn short(lubes: Lubes<'_>) -> Option<FormRange> {
    let k = lubes.is_one().then_some(lubes.thread.k)??;
    let form = |k| Form::Short { k: Ratio::from_value(k) };
    Some(FormRange { low: form(k.low), nominal: form(k.nominal), high: form(k.high) })
}

/// The ring on which the turned part slides, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ring {
    /// The ring.
    pub bearing: mechanics::Bearing,
    /// What was assumed where none is stated, to be said beside every figure
    /// made with it.
    pub assumed: Option<&'static str>,
}

/// The bearing ring of `fastener`: the stated one, else that of the standard
/// head over the standard hole for its size (see
/// [`mechanics::standard_bearing`]). None where the head is stated and is
/// neither a hexagon nor a socket head, or no standard knows the size.
pub fn bearing_ring(fastener: &Fastener) -> Option<Ring> {
    if let Some(ring) = fastener.bearing {
        let bearing = mechanics::Bearing { outer: ring.outer.value(), hole: ring.hole.value() };
        return Some(Ring { bearing, assumed: None });
    }
    let geometry = fastener.thread.as_ref()?.geometry().ok()?;
    let standard = mechanics::standard_bearing(&geometry, head(fastener)?).ok()?;
    Some(Ring { bearing: standard.bearing, assumed: Some(standard.assumed) })
}

/// The standard head that the turned part may be taken for.
fn head(fastener: &Fastener) -> Option<Head> {
    let said = fastener.head.as_deref().map(fold_name).unwrap_or_default();
    match fastener.kind {
        Some(Kind::Plug) => None,
        _ if said.contains("socket") => Some(Head::SocketCap),
        _ if said.contains("hex") => Some(Head::Hex),
        _ if !said.is_empty() => None,
        Some(Kind::Screw) => Some(Head::SocketCap),
        _ => Some(Head::Hex),
    }
}

/// The long form with the μ of the lubes at the bearing ring; none if one of
/// them is missing.
fn long(fastener: &Fastener, lubes: Lubes<'_>) -> Option<FormRange> {
    let (thread, bearing) = (lubes.thread.mu_thread?, lubes.face.mu_bearing?);
    let face = bearing_ring(fastener)?.bearing;
    let form = |pick: fn(Band) -> f64| Form::Long {
        thread: Ratio::from_value(pick(thread)),
        bearing: Ratio::from_value(pick(bearing)),
        face,
    };
    Some(FormRange { low: form(|b| b.low), nominal: form(|b| b.nominal), high: form(|b| b.high) })
}

/// The given form for these lubes on this fastener, if all it needs is known.
pub fn form_range(which: FormUsed, fastener: &Fastener, lubes: Lubes<'_>) -> Option<FormRange> {
    match which {
        FormUsed::Short => short(lubes),
        FormUsed::Long => long(fastener, lubes),
    }
}

/// The best form that is known: the long one where μ and the bearing ring are,
/// else the short one. Never K for one face and μ for the other.
pub fn best_form(fastener: &Fastener, lubes: Lubes<'_>) -> Result<(FormUsed, FormRange), NoForm> {
    [FormUsed::Long, FormUsed::Short]
        .into_iter()
        .find_map(|which| form_range(which, fastener, lubes).map(|range| (which, range)))
        .ok_or_else(|| no_form(lubes))
}

fn no_form(lubes: Lubes<'_>) -> NoForm {
    let lube = &lubes.thread.name;
    if !lubes.is_one() {
        return "two lubes: friction of both and the bearing ring are needed".to_owned();
    }
    match lubes.thread.mu_thread {
        Some(_) => format!("{lube} has μ but no K: the bearing ring is needed"),
        None => format!("no K or μ for {lube}"),
    }
}

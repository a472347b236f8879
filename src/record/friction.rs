//! Which form of friction holds for a fastener with the lubes put on it.

use crate::mechanics::{self, Form, FormRange, Head, standard_bearing};
use crate::quantity::Ratio;
use crate::record::{Band, Fastener, Kind, Lube, Setting, Tables};
use crate::text::fold_name;

/// Why no form holds, in words that follow "no clamp: ".
pub type NoForm = String;

/// The lubes of a setting: on the threads, and under the turned face.
#[derive(Debug, Clone, Copy)]
pub struct Lubes<'a> {
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
    pub fn named_by(setting: &Setting, tables: &'a Tables) -> Result<Self, NoForm> {
        let find = |name: &str| {
            tables.lube(name).ok_or_else(|| format!("lube `{name}` is not in the book"))
        };
        let thread = find(setting.lube.as_deref().ok_or("lube not stated")?)?;
        let face = setting.face_lube.as_deref().map_or(Ok(thread), find)?;
        Ok(Self { thread, face })
    }

    /// Whether both faces carry the same lube.
    pub fn is_one(self) -> bool {
        std::ptr::eq(self.thread, self.face)
    }
}

/// One form that holds for a fastener and its lubes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Friction {
    /// It at low, nominal and high friction.
    pub range: FormRange,
    /// Set where the bearing ring is not stated: the standard head and hole
    /// that stand in for it, in words.
    pub assumed: Option<&'static str>,
}

/// The form that a clamp is computed with: the long one where μ and the bearing
/// ring are stated, else the short one; for lubes that have only μ the long one
/// with a standard head over a medium hole, which is then words. Never K for one
/// face and μ for the other.
pub fn best_form(fastener: &Fastener, lubes: Lubes<'_>) -> Result<Friction, NoForm> {
    let [stated, short, assumed] = forms(fastener, lubes);
    stated.or(short).or(assumed).ok_or_else(|| no_form(fastener, lubes))
}

/// The best form that holds for both of two lubes on one fastener: never K for
/// the one and μ for the other, nor two bearing rings.
pub fn same_form(fastener: &Fastener, one: Lubes<'_>, other: Lubes<'_>) -> Option<[Friction; 2]> {
    let pairs = forms(fastener, one).into_iter().zip(forms(fastener, other));
    pairs.into_iter().find_map(|(one, other)| Some([one?, other?]))
}

/// Every form that holds, best first: long with the stated ring, short, long
/// with an assumed ring.
fn forms(fastener: &Fastener, lubes: Lubes<'_>) -> [Option<Friction>; 3] {
    let ring = bearing_ring(fastener);
    let with = |ring: Ring| {
        let range = long(lubes, ring.bearing)?;
        Some(Friction { range, assumed: ring.assumed })
    };
    [
        ring.filter(|ring| ring.assumed.is_none()).and_then(with),
        short(lubes).map(|range| Friction { range, assumed: None }),
        ring.filter(|ring| ring.assumed.is_some()).and_then(with),
    ]
}

/// The short form T = K·d·F with the K of the lube; none if the two faces
/// carry different lubes or the lube has no K.
fn short(lubes: Lubes<'_>) -> Option<FormRange> {
    let k = lubes.is_one().then_some(lubes.thread.k)??;
    let form = |k| Form::Short { k: Ratio::from_value(k) };
    Some(FormRange { low: form(k.low), nominal: form(k.nominal), high: form(k.high) })
}

/// The long form with the μ of the lubes at the bearing ring `face`; none if
/// one of them is missing.
fn long(lubes: Lubes<'_>, face: mechanics::Bearing) -> Option<FormRange> {
    let (thread, bearing) = (lubes.thread.mu_thread?, lubes.face.mu_bearing?);
    let form = |pick: fn(Band) -> f64| Form::Long {
        thread: Ratio::from_value(pick(thread)),
        bearing: Ratio::from_value(pick(bearing)),
        face,
    };
    Some(FormRange { low: form(|b| b.low), nominal: form(|b| b.nominal), high: form(|b| b.high) })
}

/// The ring on which the turned part slides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ring {
    pub bearing: mechanics::Bearing,
    /// What was assumed where none is stated, to be said beside every figure
    /// made with it.
    pub assumed: Option<&'static str>,
}

/// The bearing ring of `fastener`: the stated one, else that of a standard head
/// over a medium hole (see [`mechanics::standard_bearing`]). None if the head is
/// known to be another one or no standard has this size.
pub fn bearing_ring(fastener: &Fastener) -> Option<Ring> {
    if let Some(ring) = fastener.bearing {
        return Some(Ring { bearing: ring.ring(), assumed: None });
    }
    let geometry = fastener.thread.as_ref()?.geometry().ok()?;
    let standard = standard_bearing(&geometry, standard_head(fastener)?).ok()?;
    Some(Ring { bearing: standard.bearing, assumed: Some(standard.assumed) })
}

/// Heads whose bearing face is not that of a hex or socket head.
const OTHER_HEADS: [&str; 9] =
    ["12-point", "12 point", "flange", "countersunk", "csk", "button", "pan head", "cone", "ball"];

fn standard_head(fastener: &Fastener) -> Option<Head> {
    let words = [&fastener.head, &fastener.seat, &fastener.drive];
    let words =
        words.into_iter().flatten().map(|text| fold_name(text)).collect::<Vec<_>>().join(" ");
    if OTHER_HEADS.iter().any(|head| words.contains(head)) || fastener.kind == Some(Kind::Plug) {
        return None;
    }
    let socket =
        fastener.head.as_deref().map(fold_name).is_some_and(|head| head.contains("socket"));
    let head = if socket { Head::SocketCap } else { Head::Hex };
    (socket || fastener.kind != Some(Kind::Screw)).then_some(head)
}

fn no_form(fastener: &Fastener, lubes: Lubes<'_>) -> NoForm {
    let lube = &lubes.thread.name;
    let has_friction = lubes.thread.mu_thread.is_some() && lubes.face.mu_bearing.is_some();
    if has_friction && fastener.bearing.is_none() {
        return format!("{lube} has μ but no K: the bearing ring is needed");
    }
    if lubes.is_one() {
        return format!("no K or μ for {lube}");
    }
    format!("two lubes: μ of {lube} in the thread and of {} under the face", lubes.face.name)
        + " are needed"
}

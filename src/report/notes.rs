//! What must be known beside a figure: the footnotes of a row.
//!
//! Each text stands once, whatever the number of rows it holds for; the
//! cautions have fixed words.

use crate::quantity::{Dimension, Extent, Torque};
use crate::query::run::UnitsWanted;
use crate::record::{
    Basis, Bottom, Duty, Fastener, Finish, FinishStated, Kind, Method, NOT_STATED, Prevailing,
    Reuse, Row, Setting, SourceKind, Stuff, Wet, finish_of, hole_material,
};
use crate::report::cells;
use crate::report::figures::{figure, per_cent};
use crate::report::lay::{clean, tied};
use crate::report::pull::{extent_words, pull_words, stated_words, stretch_figures};
use crate::text::fold_name;

/// One thing to know about a row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Note {
    /// The text, without a letter.
    pub(crate) text: String,
    /// Whether somebody is hurt or a part broken who does not know it.
    pub(crate) is_caution: bool,
    pub(crate) about: About,
}

/// What a note is about, for those who say some of them elsewhere.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum About {
    /// The setting that a row was restated from.
    From,
    /// The joint as a whole, with the word that its text begins with; empty where
    /// it has none.
    Joint(&'static str),
    /// What follows the tightening, or comes before its last pull.
    Later,
    /// How near the clamp may come to yield.
    Strength,
    /// Washer and the like, which a heading may name.
    Part,
    /// Anything else.
    Bolt,
}

impl Note {
    /// Whether somebody must do or know it who pulls the fastener.
    pub(crate) fn is_to_do(&self) -> bool {
        self.is_caution || matches!(self.about, About::Later | About::Strength)
    }
}

fn fact(text: impl Into<String>) -> Note {
    Note { text: text.into(), is_caution: false, about: About::Bolt }
}

fn caution(text: impl Into<String>) -> Note {
    Note { is_caution: true, ..fact(text) }
}

/// `blind: Liquid in this hole …`
fn of_joint(word: &'static str, text: &str) -> Note {
    Note { about: About::Joint(word), ..caution(format!("{word}: {text}")) }
}

/// Everything to know about `row`, in the order in which it is said.
///
/// A refused row has only its reason.
pub(crate) fn notes(row: &Row, wanted: &UnitsWanted) -> Vec<Note> {
    if row.refused.is_some() {
        return Vec::new();
    }
    let mut notes = Vec::new();
    notes.extend(origin(row));
    notes.extend(hole(&row.fastener));
    notes.extend(parts(&row.fastener, wanted));
    notes.extend(strength(row));
    notes.extend(procedure(row, wanted));
    notes.extend(duty(&row.fastener));
    notes.extend(disagreement(row, wanted));
    notes.extend(row.warnings.iter().map(|warning| caution(clean(warning))));
    let verbatim = row.setting.warnings.iter();
    notes.extend(verbatim.map(|warning| caution(format!("sheet: {}", clean(warning)))));
    notes
}

/// Where the figure comes from, if that is not plain from its basis.
fn origin(row: &Row) -> Vec<Note> {
    let mut notes = Vec::new();
    if let Some(restated) = &row.restated {
        let from = tied(&clean(&restated.from));
        let basis = source_basis(row).map_or_else(String::new, |basis| format!(" {basis}"));
        let text = format!("from {from} {}{basis}", clean(&restated.from_lube));
        notes.push(Note { about: About::From, ..fact(text) });
        notes.extend(restated.note.as_ref().map(|note| caution(clean(note))));
    }
    if row.setting.source.kind == Some(SourceKind::Memory) {
        notes.push(fact("from memory"));
    }
    if row.setting.this_lube_only {
        notes.push(caution("this lube only"));
    }
    notes
}

/// The basis of the setting that a computed row was restated from.
fn source_basis(row: &Row) -> Option<String> {
    let restated = row.restated.as_ref()?;
    let named = |setting: &&Setting| {
        setting.in_words() == restated.from
            && setting.lube.as_deref().map(fold_name) == Some(fold_name(&restated.from_lube))
    };
    row.fastener.settings.iter().find(named).map(cells::basis)
}

/// What the hole asks for.
fn hole(fastener: &Fastener) -> Vec<Note> {
    let mut notes = Vec::new();
    let opens = fastener.wet.map(|wet| match wet {
        Wet::Coolant => "coolant",
        Wet::Oil => "oil",
        Wet::Port => "port",
    });
    match (opens, &fastener.sealant) {
        (Some(opens), Some(sealant)) => {
            notes.push(caution(format!("opens into {opens}: {}", clean(sealant))));
        }
        (Some(opens), None) => {
            notes.push(caution(format!("opens into {opens}: sealant {NOT_STATED}")));
        }
        (None, Some(sealant)) => notes.push(caution(format!("sealant: {}", clean(sealant)))),
        (None, None) => {}
    }
    if fastener.bottom == Some(Bottom::Blind) {
        let text = "Liquid in this hole can crack the casting: clean, dry, depth checked.";
        notes.push(of_joint("blind", text));
    }
    if fastener.hole_material.as_ref().is_some_and(|text| fold_name(text).contains("alumin")) {
        notes.push(of_joint("aluminium", "Cold only."));
    }
    notes
}

fn parts(fastener: &Fastener, wanted: &UnitsWanted) -> Vec<Note> {
    let washer = fastener.washer.iter().map(|washer| fact(format!("washer: {}", clean(washer))));
    let mut notes: Vec<Note> = washer.map(|note| Note { about: About::Part, ..note }).collect();
    match fastener.reuse {
        Some(reuse @ Reuse::UpTo(_)) => notes.push(caution(format!("reuse: {reuse}"))),
        Some(Reuse::FreeLength(limit)) => {
            let limit = stated_words(limit, wanted);
            notes.push(caution(format!("reuse: until free length {limit}")));
        }
        Some(Reuse::Reusable | Reuse::SingleUse) | None => {}
    }
    notes
}

/// Said beside a clamp whose factor was not measured on such a hole.
fn foreign_hole(fastener: &Fastener) -> Option<String> {
    let words = match hole_material(fastener) {
        Stuff::Known(material) if !material.takes_steel_factors() => material.word().to_owned(),
        Stuff::Unknown(words) => clean(&words),
        Stuff::Known(_) | Stuff::NotStated => return None,
    };
    Some(format!("hole of {words}: the clamp is by steel's factor"))
}

/// Said beside a clamp whose factor was measured on another finish.
fn foreign_finish(row: &Row) -> Option<String> {
    let (finish, lube) = row.fastener.finish.as_deref().zip(row.setting.lube.as_deref())?;
    let measured_on = match row.derived.is_of_coat {
        true => finish_of(lube),
        false => FinishStated::Known(Finish::Plain),
    };
    (finish_of(finish) != measured_on)
        .then(|| format!("finish {}: the clamp is by the factor of {}", clean(finish), clean(lube)))
}

/// How near the figure brings the fastener to its strength.
fn strength(row: &Row) -> Vec<Note> {
    let derived = &row.derived;
    let mut notes: Vec<Note> = cells::no_clamp(row).map(fact).into_iter().collect();
    let Some(clamp) = derived.clamp else { return notes };
    notes.extend(foreign_hole(&row.fastener).map(fact));
    notes.extend(foreign_finish(row).map(fact));
    if let Some(ring) = derived.assumed_bearing {
        notes.push(fact(format!("bearing ring assumed: {ring}")));
    }
    let passes =
        |share: Option<f64>| share.is_some_and(|share| crate::mechanics::exceeds(share, 1.0));
    let is_computed = row.setting.basis == Basis::Computed;
    if derived.yield_.is_none() && derived.proof.is_none() && !is_computed {
        notes.push(fact("strength not stated: how near yield is not known"));
    }
    if let (None, Some(share)) = (derived.yield_, derived.of_proof) {
        notes.push(fact(format!("{} % of proof, yield not stated", per_cent(share))));
    }
    let limit = match (passes(derived.of_yield), passes(derived.of_proof)) {
        (true, _) => Some("yield"),
        (false, true) => Some("proof"),
        (false, false) => None,
    };
    if let Some(limit) = limit.filter(|_| !is_computed) {
        let basis = row.setting.basis;
        notes.push(caution(format!(
            "{basis} value passes {limit} by the book's friction: check it or the sheet"
        )));
    }
    if limit.is_none() && derived.yield_load.is_some_and(|load| passes(Some(clamp.high / load))) {
        let text = "the high end of the clamp band is past yield: ask the maker or measure stretch";
        // What the scatter of a listed torque may do is no reason to doubt it.
        let note = if is_computed { caution(text) } else { fact(text) };
        notes.push(Note { about: About::Strength, ..note });
    }
    notes
}

/// What else belongs to the tightening.
fn procedure(row: &Row, wanted: &UnitsWanted) -> Vec<Note> {
    let (fastener, setting) = (&row.fastener, &row.setting);
    let mut notes = Vec::new();
    match setting.method {
        Method::Stretch if setting.torque.is_some() => {
            let mut guide = setting.clone();
            guide.method = Method::Torque;
            notes.push(fact(format!("as a guide {}", pull_words(&guide, wanted))));
        }
        Method::Torque => {
            let window =
                setting.stretch.map(|window| tied(&stretch_figures(window, wanted).with_units()));
            notes.extend(window.map(|window| fact(format!("or stretch {window}"))));
        }
        _ => {}
    }
    match (fastener.prevailing_rule, fastener.prevailing) {
        (Some(Prevailing::ToAdd), Some(running)) => {
            let sum = setting.torque.filter(|torque| torque.low().is_some()).map(|torque| {
                let unit = torque.unit();
                let nm = torque.high().nm() + running.value().nm();
                let sum = figure(Dimension::Torque, nm, unit);
                tied(&format!(": {sum} {} in all", unit.symbol))
            });
            notes.push(caution(format!(
                "add the prevailing torque, {}{}",
                tied(&running.to_string()),
                sum.unwrap_or_default()
            )));
        }
        (Some(Prevailing::ToAdd), None) => {
            notes.push(caution("add the prevailing torque: measure it running down"));
        }
        (Some(Prevailing::Unknown), _) | (None, Some(_)) => {
            notes.push(caution("prevailing torque: included or to add is not stated"));
        }
        (Some(Prevailing::Included), _) | (None, None) => {}
    }
    let later = |text: String| Note { about: About::Later, ..fact(text) };
    let cycles =
        setting.cycles.map(|n| format!("pull and release {n} times before the final pull"));
    notes.extend(cycles.map(later));
    notes.extend(setting.retorque.as_ref().map(|when| later(format!("retorque {}", clean(when)))));
    notes.extend(setting.recheck.as_ref().map(|when| later(format!("recheck {}", clean(when)))));
    notes
}

/// The caution of what the joint does.
fn duty(fastener: &Fastener) -> Vec<Note> {
    let mut notes = Vec::new();
    match fastener.joint.duty {
        Some(duty @ Duty::Wheel) => notes.push(of_joint(
            duty.word(),
            "Dry and clean unless the maker says otherwise. Recheck after 50–100 miles.",
        )),
        Some(duty @ (Duty::Steering | Duty::Brake | Duty::Lifting | Duty::Pressure)) => {
            let text = match duty {
                Duty::Pressure => "Maker's procedure governs. Never tighten under pressure.",
                _ => "Maker's procedure governs.",
            };
            notes.push(of_joint(duty.word(), text));
        }
        _ => {}
    }
    let is_main =
        fold_name(&fastener.joint.name).split(' ').any(|word| word == "main" || word == "mains");
    if is_main && fastener.kind == Some(Kind::Stud) {
        let text = "Studs replace bolts: check bore at final torque; line-hone usual.";
        notes.push(Note { about: About::Joint(""), ..caution(text) });
    }
    notes
}

/// Listed torques of one fastener and lube that differ: said, never averaged.
fn disagreement(row: &Row, wanted: &UnitsWanted) -> Option<Note> {
    if !is_listed_torque(&row.setting) {
        return None;
    }
    let same = |setting: &&Setting| {
        is_listed_torque(setting)
            && setting.lube == row.setting.lube
            && setting.face_lube == row.setting.face_lube
    };
    let several: Vec<(Extent<Torque>, &Setting)> = (row.fastener.settings.iter().filter(same))
        .filter_map(|setting| Some((setting.torque?, setting)))
        .collect();
    let values: Vec<Extent<Torque>> = several.iter().map(|(torque, _)| *torque).collect();
    // A range is judged at its top.
    let targets =
        || values.iter().filter(|value| value.low().is_some()).map(|value| value.high().nm());
    let (least, most) = (targets().fold(f64::MAX, f64::min), targets().fold(0.0, f64::max));
    let apart = most / least - 1.0;
    if values.len() < 2 || apart < 0.005 {
        return None;
    }
    let shown: Vec<String> =
        several.iter().map(|(value, one)| cited(*value, one, wanted)).collect();
    let apart = format!("{:.0}\u{a0}%", apart * 100.0);
    Some(caution(format!("listed values disagree: {}, {apart} apart", shown.join(" and "))))
}

/// `160 lb-ft (engine manual, 2019-05-01)`.
fn cited(torque: Extent<Torque>, setting: &Setting, wanted: &UnitsWanted) -> String {
    let source = &setting.source;
    let title = source.title.as_ref().map(|title| clean(title));
    let day = source.date.map(|day| day.to_string());
    let parts: Vec<String> = title.into_iter().chain(day).collect();
    let torque = tied(&extent_words(torque, wanted));
    if parts.is_empty() { torque } else { format!("{torque} ({})", parts.join(", ")) }
}

fn is_listed_torque(setting: &Setting) -> bool {
    setting.basis == Basis::Listed && setting.method == Method::Torque && !setting.superseded
}

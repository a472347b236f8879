//! Everything of a setting and its fastener that decides whether it may be
//! restated. The rules see this and nothing else.

use crate::quantity::{Extent, Torque};
use crate::record::duty_words::{Meaning, duty_word, locking_word, reuse_word};
use crate::record::{
    Basis, Derived, Duty, Fastener, FinishStated, Kind, Lube, Lubes, Method, Prevailing, Reuse,
    Setting, Stuff, Tables, Unsettled, bolt_material, derive, finish_of, hole_material,
    prevailing_part,
};

/// One setting of one fastener as the rules see it.
#[derive(Debug, Clone)]
pub(super) struct Shape<'a> {
    pub method: Method,
    pub torque: Option<Extent<Torque>>,
    pub basis: Basis,
    pub superseded: bool,
    pub this_lube_only: bool,
    /// Its lubes; the name that the book does not have, none where none is stated.
    pub lubes: Result<Lubes<'a>, Option<&'a str>>,
    pub kind: Option<Kind>,
    pub duty: Option<Duty>,
    pub reuse: Option<Reuse>,
    pub bolt: Stuff,
    pub has_class: bool,
    pub hole: Stuff,
    pub finish: FinishStated,
    /// A compound on the thread that turns.
    pub sealant: Option<&'a str>,
    pub prevailing: Option<Unsettled>,
    /// Share of proof (of yield where proof is not stated) at the top.
    pub of_proof: Option<f64>,
    pub of_yield: Option<f64>,
    /// Another current setting goes by angle or stretch.
    pub governed_by: Option<Method>,
    /// Two current values for one lube that are more than 5 % apart.
    pub disagree: Option<[&'a Setting; 2]>,
    /// Current values that a source gives, with their lubes.
    pub listed: Vec<(&'a Lube, &'a Setting)>,
    pub key: &'a str,
    /// Where words may speak of duty and reuse: read only when all else allows it.
    texts: &'a Fastener,
}

/// How far two torques for one lube may be apart and still agree: 5 %.
pub const AGREE_WITHIN: f64 = 0.05;

impl<'a> Shape<'a> {
    pub(super) fn of_setting(
        fastener: &'a Fastener,
        setting: &'a Setting,
        tables: &'a Tables,
    ) -> Self {
        let known: Derived = derive(fastener, setting, tables);
        let current: Vec<&Setting> =
            fastener.settings.iter().filter(|one| is_current(one)).collect();
        let named = fastener.strength.name.as_deref();
        let lube_of = |one: &&'a Setting| Some((tables.lube(one.lube.as_deref()?)?, *one));
        Self {
            method: setting.method,
            torque: setting.torque,
            basis: setting.basis,
            superseded: setting.superseded,
            this_lube_only: setting.this_lube_only,
            lubes: Lubes::named_by(setting, tables).map_err(|_| missing(setting, tables)),
            kind: fastener.kind,
            duty: fastener.joint.duty,
            reuse: fastener.reuse,
            texts: fastener,
            bolt: bolt_material(fastener, tables),
            has_class: named.and_then(|name| tables.strength(name)).is_some(),
            hole: hole_material(fastener),
            finish: fastener.finish.as_deref().map_or(FinishStated::NotStated, finish_of),
            sealant: compound(fastener),
            prevailing: unsettled(fastener),
            of_proof: known.of_proof,
            of_yield: known.of_yield,
            governed_by: current.iter().map(|one| one.method).find(|way| *way != Method::Torque),
            disagree: disagreement(&current, tables),
            listed: current.iter().filter_map(lube_of).collect(),
            key: &fastener.key,
        }
    }
}

impl Shape<'_> {
    pub(super) fn duty_word(&self) -> Option<(Meaning, &'static str)> {
        duty_word(self.texts)
    }

    /// The word that says that it is used once, where reuse is not stated.
    pub(super) fn reuse_word(&self) -> Option<(Meaning, &'static str)> {
        reuse_word(self.texts)
    }

    /// The word that says that the thread locks, where no prevailing torque is stated.
    pub(super) fn locking_word(&self) -> Option<&'static str> {
        locking_word(self.texts)
    }

    /// What is simply not stated and was not held against it, in one remark.
    pub(super) fn not_stated(&self) -> Option<String> {
        let open = [
            (self.finish == FinishStated::NotStated, "finish (taken as plain steel)"),
            (self.hole == Stuff::NotStated, "hole material"),
            (self.reuse.is_none(), "reuse"),
        ];
        let open: Vec<&str> =
            open.iter().filter(|(is_open, _)| *is_open).map(|(_, w)| *w).collect();
        (!open.is_empty()).then(|| format!("not stated: {}", open.join(", ")))
    }
}

fn is_current(setting: &Setting) -> bool {
    setting.basis != Basis::Computed && !setting.superseded && setting.is_complete()
}

fn missing<'s>(setting: &'s Setting, tables: &Tables) -> Option<&'s str> {
    let names = [&setting.lube, &setting.face_lube].into_iter().flatten();
    names.map(String::as_str).find(|name| tables.lube(name).is_none())
}

/// A compound on the thread that turns. On a stud it is on the hole end, which
/// does not turn.
fn compound(fastener: &Fastener) -> Option<&str> {
    let is_stud = fastener.kind == Some(Kind::Stud) || fastener.hole_thread.is_some();
    let words = ["sealant", "sealer", "locker", "compound", "paste"];
    let holds = |text: &&str| {
        let text = crate::text::fold_name(text);
        words.iter().any(|word| text.contains(word))
    };
    fastener.sealant.as_deref().filter(|_| !is_stud).filter(holds)
}

/// What is open about a locking thread: how much it takes, and whether the
/// listed value includes that.
fn unsettled(fastener: &Fastener) -> Option<Unsettled> {
    let to_add = fastener.prevailing_rule == Some(Prevailing::ToAdd);
    match prevailing_part(fastener) {
        Err(unsettled) => Some(unsettled),
        Ok(_) if to_add && fastener.prevailing.is_none() => Some(Unsettled::Amount),
        Ok(_) => None,
    }
}

/// Two current plain torques for one lube that are more than 5 % apart.
fn disagreement<'a>(current: &[&'a Setting], tables: &Tables) -> Option<[&'a Setting; 2]> {
    let name = |one: &Setting| Some(tables.lube(one.lube.as_deref()?)?.name.clone());
    let apart = |a: Torque, b: Torque| (a / b - 1.0).abs() > AGREE_WITHIN;
    let differ = |one: &&Setting, other: &&Setting| {
        let torques =
            one.torque.zip(other.torque).filter(|(a, b)| a.low().is_some() && b.low().is_some());
        torques.is_some_and(|(a, b)| {
            let low = a.low().zip(b.low()).is_some_and(|(a, b)| apart(a, b));
            apart(a.high(), b.high()) || low
        })
    };
    for (at, one) in current.iter().enumerate() {
        let same = |other: &&&Setting| name(one).is_some() && name(one) == name(other);
        let others = current[at + 1..].iter().filter(same);
        if let Some(other) = others.into_iter().find(|other| differ(one, other)) {
            return Some([one, other]);
        }
    }
    None
}

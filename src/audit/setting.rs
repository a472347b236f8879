//! Doubts about one setting: missing parts, strength, units.

use std::sync::LazyLock;

use crate::audit::{Finding, FindingKind};
use crate::mechanics::{Bounds, Plausible, exceeds, judge};
use crate::quantity::{Extent, Ratio, Stated, Stress, Torque};
use crate::record::duty_words::{reuse_word, shown};
use crate::record::{
    Derived, Fastener, Method, NEAR_STRENGTH, Phrases, Prevailing, Setting, Tables, derive,
    lube_ratios,
};

/// Words for a part that is new each time beside the fastener: a note with one does
/// not say whether the fastener itself may be used again. Common practice, no source.
#[rustfmt::skip] // one language a row
static NEW_PART: &[&str] = &[
    "new copper", "new crush", "new gasket*", "new lock*", "new o ring*", "new ring*", "new seal*", "new tab*", "new washer*",
    "neue dichtung*", "neuer dichtring*", "neue scheibe*", "joint neuf", "joints neufs", "rondelle neuve", "guarnizione nuova", "rondella nuova", "junta nueva", "arandela nueva",
];

/// Adds what is to be said of the settings of `fastener`.
pub(super) fn check(fastener: &Fastener, tables: &Tables, found: &mut Vec<Finding>) {
    if fastener.thread.is_none() {
        found.push(Finding::about(FindingKind::NoThread, fastener, "thread not stated"));
    }
    for setting in fastener.settings.iter().filter(|setting| !setting.superseded) {
        missing(fastener, setting, found);
        let derived = derive(fastener, setting, tables);
        strength(fastener, setting, &derived, found);
        units(fastener, setting, tables, &derived, found);
    }
    ratios(fastener, tables, found);
    found.extend(reuse(fastener));
    if fastener.prevailing_rule == Some(Prevailing::Unknown) {
        let reason = "a locking thread, and the sheet does not say whether its torque is included";
        let torques: Vec<String> = fastener.settings.iter().map(Setting::in_words).collect();
        let finding = Finding::about(FindingKind::Prevailing, fastener, reason);
        found.push(finding.resting_on(torques.join(", ")));
    }
}

/// Reuse that is not stated where a word or an angle asks for it.
fn reuse(fastener: &Fastener) -> Option<Finding> {
    static PHRASES: LazyLock<Phrases> = LazyLock::new(|| Phrases::new(NEW_PART.iter().copied()));
    if fastener.reuse.is_some() {
        return None;
    }
    let new_part = || Some(NEW_PART[PHRASES.first_in(fastener.notes.as_deref()?)?]);
    let word = reuse_word(fastener).map(|(_, word)| word).or_else(new_part).map(shown);
    let turned = |setting: &&Setting| {
        !setting.superseded && matches!(setting.method, Method::TorqueAngle | Method::Angle)
    };
    let by_angle = fastener.settings.iter().find(turned).map(Setting::in_words);
    let why = match (word, by_angle) {
        (Some(word), _) => format!("it says `{word}`"),
        (None, Some(angle)) => format!("{angle} may stretch it for good"),
        (None, None) => return None,
    };
    let reason = format!("{why}, and reuse is not stated");
    Some(Finding::about(FindingKind::ReuseUnknown, fastener, &*reason).resting_on(&reason))
}

fn missing(fastener: &Fastener, setting: &Setting, found: &mut Vec<Finding>) {
    if !setting.is_complete() {
        let reason = format!("method {}, but no figure", setting.method);
        found.push(Finding::new(FindingKind::NoFigure, fastener, setting, reason));
    }
    let by_torque = setting.method != Method::Stretch;
    if setting.lube.is_none() && by_torque {
        let reason = format!("{} without a lube", setting.in_words());
        found.push(Finding::new(FindingKind::NoLube, fastener, setting, reason));
    }
}

fn strength(fastener: &Fastener, setting: &Setting, derived: &Derived, found: &mut Vec<Finding>) {
    let percent = |share: f64| format!("{:.0} %", share * 100.0);
    if let Some(share) = derived.of_proof.filter(|share| exceeds(*share, NEAR_STRENGTH)) {
        let reason = format!("{} of proof by the book's friction", percent(share));
        let finding = Finding::new(FindingKind::NearProof, fastener, setting, reason);
        found.push(finding.resting_on(format!("{share:.4} of proof")));
    } else if let Some(share) = derived.combined.filter(|share| exceeds(*share, NEAR_STRENGTH)) {
        let reason = format!("{} of yield with the torsion of tightening", percent(share));
        let finding = Finding::new(FindingKind::NearProof, fastener, setting, reason);
        found.push(finding.resting_on(format!("{share:.4} of yield")));
    } else if let (None, Some(share)) = (derived.proof, derived.of_yield)
        && exceeds(share, NEAR_STRENGTH)
    {
        // A sheet that states yield alone has no proof to be near to.
        let section = derived.section.map(|place| format!(" in the {place}")).unwrap_or_default();
        let reason = format!("{} of yield{section} by our K", percent(share));
        let finding = Finding::new(FindingKind::NearProof, fastener, setting, reason);
        found.push(finding.resting_on(format!("{share:.4} of yield")));
    }
    let limit = derived.yield_load.zip(derived.clamp);
    if let Some((limit, clamp)) = limit.filter(|(limit, clamp)| exceeds(clamp.high / *limit, 1.0)) {
        let share = clamp.high / limit;
        let reason = format!("the top of the band is {} of yield", percent(share));
        let finding = Finding::new(FindingKind::MayPassYield, fastener, setting, reason);
        found.push(finding.resting_on(format!("{share:.4} of yield")));
    }
    if derived.proof.is_none() && derived.yield_.is_none() && derived.clamp.is_some() {
        let reason = "strength not stated: how near yield is not known";
        found.push(Finding::new(FindingKind::NoStrength, fastener, setting, reason));
    }
}

fn units(
    fastener: &Fastener,
    setting: &Setting,
    tables: &Tables,
    derived: &Derived,
    found: &mut Vec<Finding>,
) {
    let Some(Extent::Exactly(torque) | Extent::Between(torque, _)) = setting.torque else { return };
    let proof = derived.proof.or(derived.yield_);
    let Some((proof, tensile)) = proof.zip(derived.tensile.or(proof)) else { return };
    if let Some(reason) = unit_doubt(fastener, torque, proof, tensile, tables) {
        let figures = format!("proof {:.0} MPa, tensile {:.0} MPa", proof.mpa(), tensile.mpa());
        let finding = Finding::new(FindingKind::UnitDoubt, fastener, setting, reason);
        found.push(finding.resting_on(figures));
    }
}

/// Why `torque` looks like another unit on this thread, if it does: even the
/// most friction of any lube of the book breaks the fastener, or even the least
/// hardly loads it (see [`judge`]).
pub fn unit_doubt(
    fastener: &Fastener,
    torque: Stated<Torque>,
    proof: Stress,
    tensile: Stress,
    tables: &Tables,
) -> Option<String> {
    let geometry = fastener.thread.as_ref()?.geometry().ok()?;
    let factors = || tables.lubes.iter().filter_map(|lube| lube.k);
    let least = factors().map(|k| k.low).min_by(f64::total_cmp)?;
    let most = factors().map(|k| k.high).max_by(f64::total_cmp)?;
    let bounds = Bounds {
        proof,
        tensile,
        least_k: Ratio::from_value(least),
        most_k: Ratio::from_value(most),
    };
    let (words, doubt) = match judge(&geometry, torque, &bounds).ok()? {
        Plausible::Yes => return None,
        Plausible::TooHigh(doubt) => ("breaks the fastener even with the most friction", doubt),
        Plausible::VeryLow(doubt) => ("hardly loads the fastener", doubt),
    };
    let meant: Vec<&str> = doubt.meant.iter().map(|unit| unit.symbol).collect();
    let meant = if meant.is_empty() { String::new() } else { format!("; {}?", meant.join(", ")) };
    Some(format!("{torque} implies {:.0} MPa: {words}{meant}", doubt.implied.mpa()))
}

/// Pairs of listed lubes of one source whose ratio is far from that of their K.
fn ratios(fastener: &Fastener, tables: &Tables, found: &mut Vec<Finding>) {
    for pair in lube_ratios(fastener, tables).iter().filter(|pair| pair.check.doubtful) {
        let (sheet, factors) = (pair.check.sheet.value(), pair.check.factors.value());
        let [one, other] = &pair.lubes;
        let reason = format!("{other} / {one} is {sheet:.2} on the sheet, {factors:.2} by K");
        let second = &fastener.settings[pair.settings[1]];
        found.push(Finding::new(FindingKind::RatioDiffers, fastener, second, reason));
    }
}

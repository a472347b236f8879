//! What is said once under an answer, whatever its rows.

use std::collections::HashMap;

use crate::mechanics::Control;
use crate::quantity::Unit;
use crate::query::run::UnitsWanted;
use crate::record::{Method, Row};
use crate::report::figures::per_cent;
use crate::report::lay::tied;
use crate::report::pull::{Pull, stated_words};
use crate::thread::{Danger, LookAlike, Role, Thread, look_alikes};

/// Said once under every answer that holds a figure.
pub const SAFETY: &str = "Maker's current sheet governs; COMPUTED is an estimate; \
     local codes and licensed practice come first.";

/// How the band beside a clamp comes about; one rule for listed and computed.
pub(crate) fn band_rule() -> String {
    let [wet, dry] = [Control::TorqueLubricated, Control::TorqueDry]
        .map(|control| per_cent(control.scatter().either_side));
    format!(
        "Band (low–high): the wider of scatter ±{wet}\u{a0}% (dry ±{dry}\u{a0}%) and range of \
         friction with wrench."
    )
}

/// Said under more than one torque of a fastener.
const OWN_LUBE: &str = "Each torque is for its own lube only.";
const DISCARD: &str = "DISCARD AFTER REMOVAL.";
const INCH_POUNDS: &str = "INCH-pounds: 20\u{a0}lb-ft = 240\u{a0}lb-in.";
/// Diameters further apart than this share of each other have no thread height
/// in common that could be mistaken.
const CONFUSED_WITHIN: f64 = 0.25;
/// Pairs of threads named.
const PAIRS_SAID: usize = 3;
const BY_FINGERS: &str = "By fingers three turns, or wrong thread.";

/// The cautions that apply to the rows as a whole, each once. `shown` are the
/// torque columns as drawn.
pub(crate) fn cautions(rows: &[&Row], shown: &[Pull], wanted: &UnitsWanted) -> Vec<String> {
    let single_use = rows.iter().any(|row| row.fastener.is_single_use());
    let rows: Vec<&Row> = rows.iter().copied().filter(|row| row.refused.is_none()).collect();
    let mut said = Vec::new();
    said.extend(angle_starts(&rows, wanted));
    if single_use {
        said.push(DISCARD.to_owned());
    }
    said.extend(own_lube(&rows).map(str::to_owned));
    said.extend(inch_pounds(shown));
    said.extend(confused(&rows));
    said
}

/// "22 lb-ft is only the start: +90° +90° follow.", each once.
pub(crate) fn angle_starts(rows: &[&Row], wanted: &UnitsWanted) -> Vec<String> {
    let by_angle = |row: &&&Row| row.setting.method == Method::TorqueAngle;
    let mut starts: Vec<String> = Vec::new();
    for row in rows.iter().filter(by_angle) {
        let Some(snug) = row.setting.snug else { continue };
        let turns: Vec<String> = row.setting.angles.iter().map(|turn| format!("+{turn}")).collect();
        let snug = tied(&stated_words(snug, wanted));
        let follow = if turns.len() == 1 { "follows" } else { "follow" };
        let text = format!("{snug} is only the start: {} {follow}", turns.join(" "));
        if !starts.contains(&text) {
            starts.push(text);
        }
    }
    starts.iter().map(|text| format!("{text}.")).collect()
}

/// That a torque is in inch-pounds, where one is.
pub(crate) fn inch_pounds(shown: &[Pull]) -> Option<String> {
    shown.iter().any(is_in_inch_pounds).then(|| INCH_POUNDS.to_owned())
}

/// That each torque is for its own lube, where a fastener stands with two.
pub(crate) fn own_lube(rows: &[&Row]) -> Option<&'static str> {
    let answered: Vec<&Row> = rows.iter().copied().filter(|row| row.refused.is_none()).collect();
    several_lubes(&answered).then_some(OWN_LUBE)
}

fn several_lubes(rows: &[&Row]) -> bool {
    let mut first: HashMap<&str, &Option<String>> = HashMap::new();
    rows.iter().any(|row| {
        let lube = &row.setting.lube;
        *first.entry(row.fastener.key.as_str()).or_insert(lube) != lube
    })
}

fn is_in_inch_pounds(pull: &Pull) -> bool {
    let inch_pounds = |unit: &&'static Unit| unit.symbol == "lb-in";
    matches!(pull, Pull::Torque(figures, _) if figures.units().iter().any(inch_pounds))
}

/// Pairs of threads of which both are in the answer: those that run on and
/// strip, or else the worst that binds.
pub(crate) fn confused(rows: &[&Row]) -> Option<String> {
    let mut threads: Vec<&Thread> = Vec::new();
    for row in rows {
        for thread in row.fastener.thread.iter().chain(&row.fastener.hole_thread) {
            if !threads.contains(&thread) {
                threads.push(thread);
            }
        }
    }
    let near = threads.iter().filter(|one| threads.iter().any(|other| may_be_confused(one, other)));
    let mut pairs: Vec<LookAlike> = near.flat_map(|thread| look_alikes(thread)).collect();
    pairs.retain(|pair| {
        let counts = pair.danger >= Danger::Binds && pair.other_is == Role::Nut;
        counts && threads.contains(&&pair.other)
    });
    // The more of the thread they share, the better a wrong pair feels.
    pairs.sort_by(|a, b| {
        let shared = b.shared.value().total_cmp(&a.shared.value());
        b.danger.cmp(&a.danger).then(shared)
    });
    let runs = pairs.iter().filter(|pair| pair.danger == Danger::Runs).count();
    pairs.truncate(runs.clamp(1, PAIRS_SAID));
    let said: Vec<String> = pairs.iter().map(|pair| format!("{pair}.")).collect();
    (!said.is_empty()).then(|| format!("{} {BY_FINGERS}", said.join(" ")))
}

/// Whether it is worth looking the pair up: near in diameter, and not two
/// pitches of one size, which do not start in each other.
fn may_be_confused(one: &Thread, other: &Thread) -> bool {
    let (a, b) = (one.nominal(), other.nominal());
    let same_size = a == b && one.series().family() == other.series().family();
    !same_size && (a / b - 1.0).abs() < CONFUSED_WITHIN
}

//! What is said once under an answer, whatever its rows.

use std::collections::HashMap;

use crate::quantity::Unit;
use crate::record::{Method, Row};
use crate::report::lay::tied;
use crate::report::pull::Pull;
use crate::thread::{Danger, LookAlike, Role, Thread, look_alikes};

/// Said once under every answer that holds a figure.
pub const SAFETY: &str = "Maker's current sheet governs; COMPUTED is an estimate; \
     local codes and licensed practice come first.";

/// Said under more than one torque of a fastener.
const OWN_LUBE: &str = "Each torque is for its own lube only.";
const DISCARD: &str = "DISCARD AFTER REMOVAL.";
const INCH_POUNDS: &str = "INCH-pounds: 20\u{a0}lb-ft = 240\u{a0}lb-in.";
const BY_FINGERS: &str = "By fingers three turns, or wrong thread.";

/// The cautions that apply to the rows as a whole, each once. `shown` are the
/// torque columns as drawn.
pub(crate) fn cautions(rows: &[&Row], shown: &[Pull]) -> Vec<String> {
    let rows: Vec<&Row> = rows.iter().copied().filter(|row| row.refused.is_none()).collect();
    let mut said = Vec::new();
    said.extend(angles(&rows));
    if rows.iter().any(|row| row.fastener.is_single_use()) {
        said.push(DISCARD.to_owned());
    }
    if several_lubes(&rows) {
        said.push(OWN_LUBE.to_owned());
    }
    if shown.iter().any(is_in_inch_pounds) {
        said.push(INCH_POUNDS.to_owned());
    }
    said.extend(confused(&rows));
    said
}

/// "22 lb-ft is only the start: +90° +90° follow.", once, for the first.
fn angles(rows: &[&Row]) -> Option<String> {
    let by_angle = |row: &&&Row| row.setting.method == Method::TorqueAngle;
    let mut starts: Vec<String> = Vec::new();
    for row in rows.iter().filter(by_angle) {
        let Some(snug) = row.setting.snug else { continue };
        let turns: Vec<String> = row.setting.angles.iter().map(|turn| format!("+{turn}")).collect();
        let text =
            format!("{} is only the start: {} follow", tied(&snug.to_string()), turns.join(" "));
        if !starts.contains(&text) {
            starts.push(text);
        }
    }
    let first = starts.first()?;
    Some(match starts.len() - 1 {
        0 => format!("{first}."),
        others => format!("{first}; likewise {others} more."),
    })
}

/// Whether a fastener stands with two lubes.
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

/// The worst pair of threads of which both are in the answer.
fn confused(rows: &[&Row]) -> Option<String> {
    let mut threads: Vec<&Thread> = Vec::new();
    for row in rows {
        for thread in row.fastener.thread.iter().chain(&row.fastener.hole_thread) {
            if !threads.contains(&thread) {
                threads.push(thread);
            }
        }
    }
    let mut worst: Option<LookAlike> = None;
    for pair in threads.iter().flat_map(|thread| look_alikes(thread)) {
        let counts = pair.danger >= Danger::Binds && pair.other_is == Role::Nut;
        let worse = worst.as_ref().is_none_or(|worst| pair.danger > worst.danger);
        if counts && worse && threads.contains(&&pair.other) {
            worst = Some(pair);
        }
    }
    worst.map(|pair| format!("{pair}. {BY_FINGERS}"))
}

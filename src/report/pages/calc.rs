//! `calc`: one thread, one lube, one torque.

use crate::quantity::{Dimension, Kind};
use crate::query::run::UnitsWanted;
use crate::record::{Method, NOT_STATED, Row};
use crate::report::cautions::SAFETY;
use crate::report::cells;
use crate::report::figures::{clamp_figures, figure, joined, per_cent, short};
use crate::report::json::{Json, row_json};
use crate::report::lay::{clean, tied, untied, wrap};
use crate::report::notes::notes;
use crate::report::pages::facts;
use crate::report::pull::Pull;
use crate::report::units::units_for;

/// The sum as a page of `width` columns, in the units wanted.
pub fn calc_page(row: &Row, units: &UnitsWanted, width: usize) -> String {
    let mut lines = vec![
        ("thread", cells::turned(row)),
        ("strength", cells::strength(&row.fastener)),
        ("lube", cells::lube(&row.setting)),
    ];
    if let Some(reason) = &row.refused {
        lines.push(("refused", clean(reason)));
        return facts(&lines, width);
    }
    let pull = Pull::of(&row.setting, units).with_units();
    lines.push(("torque", tied(&format!("{pull} {}", cells::basis(&row.setting)))));
    lines.extend(results(row, units));
    let notes = notes(row, units);
    lines.extend(notes.into_iter().map(|note| ("note", note.text)));
    let ending = wrap(SAFETY, width.max(20));
    facts(&lines, width) + &ending.iter().map(|line| untied(line) + "\n").collect::<String>()
}

fn results(row: &Row, units: &UnitsWanted) -> Vec<(&'static str, String)> {
    let derived = &row.derived;
    let measured = |dimension: Dimension, base: Option<f64>| {
        let unit = units_for(units, dimension, None).first().copied();
        let text = base.zip(unit).map(|(base, unit)| joined(&figure(dimension, base, unit), unit));
        text.map_or_else(|| NOT_STATED.to_owned(), |text| tied(&text))
    };
    let clamp = match (derived.clamp, cells::clamp_unit(units)) {
        (Some(clamp), Some(unit)) => {
            tied(&format!("{} {}", clamp_figures(clamp, unit), unit.symbol))
        }
        _ => format!("none: {}", clean(derived.no_clamp.as_deref().unwrap_or(NOT_STATED))),
    };
    let share = |share: Option<f64>| {
        share.map_or_else(|| NOT_STATED.to_owned(), |share| format!("{} %", per_cent(share)))
    };
    let mut lines = vec![
        ("clamp", clamp),
        ("K", derived.k.map_or_else(|| NOT_STATED.to_owned(), |k| friction(row, k))),
        ("stress area", measured(Dimension::Area, derived.area.map(Kind::base))),
        ("stress", measured(Dimension::Stress, derived.stress.map(Kind::base))),
        ("proof load", measured(Dimension::Force, derived.proof_load.map(Kind::base))),
        ("of proof", share(derived.of_proof)),
        ("of yield", share(derived.of_yield)),
    ];
    let combined = derived.combined.map_or_else(
        || "not computed: a K does not say how much of the torque twists".to_owned(),
        |share| format!("{} % of yield", per_cent(share)),
    );
    lines.push(("combined", combined));
    debug_assert_eq!(row.setting.method, Method::Torque);
    lines
}

/// The K used; of the long form the equivalent one, with the ring it slides on.
fn friction(row: &Row, k: f64) -> String {
    use crate::record::FormUsed;
    let k = short(k, 3);
    if row.derived.form != Some(FormUsed::Long) {
        return format!("{k}, short form");
    }
    // An assumed ring stands in a note.
    let ring = row.fastener.bearing.map(|ring| {
        let [outer, hole] = [ring.outer, ring.hole].map(|length| tied(&length.to_string()));
        format!("; face ring {outer} over {hole}")
    });
    format!("{k} equivalent, long form{}", ring.unwrap_or_default())
}

/// The sum as JSON: the keys of a row with those of its thread.
pub fn calc_json(row: &Row) -> String {
    let mut json = row_json(row, 0, &[]);
    let geometry = row.fastener.thread.as_ref().and_then(|thread| thread.geometry().ok());
    let length = |length: Option<crate::quantity::Length>| Json::from(length.map(Kind::base));
    json.add("pitch_diameter_mm", length(geometry.map(|g| g.pitch_diameter)));
    json.add("minor_diameter_mm", length(geometry.map(|g| g.minor_diameter)));
    json.to_string()
}

//! The torque that reaches a target clamp with a lube.

use std::sync::Arc;

use crate::correction::Refusal;
use crate::correction::restate::{cautions, computed_setting, exact, limits};
use crate::mechanics::{self, Target};
use crate::quantity::{Extent, Unit};
use crate::record::{
    Basis, Fastener, Lube, Lubes, Method, Row, Setting, Tables, best_form, derive, slug,
};

/// The torque that brings `fastener` to `target` with `lube`, in `unit`. A
/// result above proof is refused like any computed value.
pub fn reach(
    fastener: &Arc<Fastener>,
    target: Target,
    lube: &Lube,
    unit: &'static Unit,
    tables: &Tables,
) -> Result<Row, Refusal> {
    let row = aim(fastener, target, lube, unit, tables)?;
    limits(&row.derived)?;
    Ok(row)
}

/// As [`reach`], however high it comes out: an answer, not a recommendation.
///
/// The target holds in the weakest section of the fastener for shares of proof
/// and yield, at the turned thread for the combined stress.
pub fn aim(
    fastener: &Arc<Fastener>,
    target: Target,
    lube: &Lube,
    unit: &'static Unit,
    tables: &Tables,
) -> Result<Row, Refusal> {
    let thread = fastener.thread.as_ref().ok_or_else(|| wrong("thread not stated"))?;
    let geometry = thread.geometry().map_err(wrong)?;
    let (_, range) = best_form(fastener, Lubes::both(lube)).map_err(wrong)?;
    let bare = Setting::new(Method::Torque, Basis::Computed);
    let known = derive(fastener, &bare, tables);
    let strength =
        mechanics::Strength { proof: known.proof, yields: known.yield_, tensile: known.tensile };
    let combined = matches!(target, Target::Combined(_));
    let area =
        if combined { geometry.stress_area } else { known.area.unwrap_or(geometry.stress_area) };
    let lever = range.nominal.twisting_lever(&geometry).map_err(wrong)?;
    let clamp = target.clamp(area, &strength, lever).map_err(wrong)?;
    let torque = range.nominal.torque(&geometry, clamp).map_err(wrong)?;
    let torque = exact(torque, unit).ok_or_else(|| wrong("torque cannot be written"))?;
    let setting = computed_setting(&bare, lube, Extent::Exactly(torque));
    let derived = derive(fastener, &setting, tables);
    Ok(Row {
        key: format!("{}/{}", fastener.key, slug(&[&lube.name])),
        fastener: Arc::clone(fastener),
        warnings: cautions(&derived),
        setting,
        derived,
        restated: None,
        refused: None,
    })
}

fn wrong(error: impl ToString) -> Refusal {
    Refusal::Arithmetic(error.to_string())
}

//! The torque that reaches a target clamp with a lube.

use std::sync::Arc;

use crate::correction::Refusal;
use crate::correction::limits::{cautions, limits};
use crate::correction::restate::{computed_setting, written};
use crate::correction::rules::{self, is_of_finish};
use crate::correction::shape::Shape;
use crate::mechanics::{self, Target};
use crate::quantity::{Extent, Unit};
use crate::record::{
    Basis, Fastener, FinishStated, Lube, Lubes, Method, Row, Setting, Tables, Unsettled, best_form,
    derive, derive_with, finish_of, foreign_factor, prevailing_part, slug,
};

/// The torque that brings `fastener` to `target` with `lube`, in `unit`. A
/// result above proof is refused like any computed value, and so is a factor
/// that was not measured on such a bolt or finish, and a joint whose maker's
/// procedure governs.
pub fn target_torque(
    fastener: &Arc<Fastener>,
    target: Target,
    lube: &Lube,
    unit: &'static Unit,
    tables: &Tables,
) -> Result<Row, Refusal> {
    let bare = Setting::new(Method::Torque, Basis::Computed);
    rules::target(&Shape::of_setting(fastener, &bare, tables))?;
    if let Some(reason) = foreign_factor(fastener, lube, tables) {
        return Err(Refusal::Words(reason));
    }
    let finish = fastener.finish.as_deref().map_or(FinishStated::NotStated, finish_of);
    if let FinishStated::Unknown(words) = finish {
        return Err(Refusal::UnknownFinish { words, key: fastener.key.clone() });
    }
    if finish != FinishStated::NotStated && !is_of_finish(&finish, lube) {
        return Err(Refusal::Coated);
    }
    let row = target_torque_unchecked(fastener, target, lube, unit, tables)?;
    limits(&row.derived)?;
    Ok(row)
}

/// What the fastener's sheets say about it whatever is pulled: each warning once, the first
/// pull-and-release, retorque and recheck.
fn of_sheet(fastener: &Fastener) -> Setting {
    let mut common = Setting::new(Method::Torque, Basis::Computed);
    for setting in fastener.settings.iter().filter(|setting| !setting.superseded) {
        common.cycles = common.cycles.or(setting.cycles);
        common.retorque = common.retorque.take().or_else(|| setting.retorque.clone());
        common.recheck = common.recheck.take().or_else(|| setting.recheck.clone());
        let new = setting.warnings.iter().filter(|warning| !common.warnings.contains(warning));
        let new: Vec<String> = new.cloned().collect();
        common.warnings.extend(new);
    }
    common
}

/// As [`target_torque`], with the factors of `lube` whatever they were measured on and
/// however high it comes out: for a sum whose factors a person gives, and for
/// the working of a refused one.
///
/// A share of proof, of yield or of the combined stress holds in the weakest
/// section of the fastener. As in a listed value, a prevailing torque is in it
/// only where the record says so.
pub fn target_torque_unchecked(
    fastener: &Arc<Fastener>,
    target: Target,
    lube: &Lube,
    unit: &'static Unit,
    tables: &Tables,
) -> Result<Row, Refusal> {
    let thread = fastener.thread.as_ref().ok_or(Refusal::NoThread)?;
    let geometry = thread.geometry().map_err(Refusal::words)?;
    let friction = best_form(fastener, Lubes::both(lube)).map_err(Refusal::words)?;
    let form = &friction.range.nominal;
    let bare = Setting::new(Method::Torque, Basis::Computed);
    let known = derive(fastener, &bare, tables);
    let strength =
        mechanics::Strength { proof: known.proof, yields: known.yield_, tensile: known.tensile };
    let area = match target {
        Target::Clamp(_) => geometry.stress_area,
        Target::OfProof(_) | Target::OfYield(_) | Target::Combined(_) => {
            known.area.ok_or(Refusal::NoSection)?
        }
    };
    let lever = form.twisting_lever(&geometry).map_err(Refusal::words)?;
    let clamp = target.clamp(area, &strength, lever).map_err(Refusal::words)?;
    let torque = form.torque(&geometry, clamp).map_err(Refusal::words)?;
    let running = prevailing_part(fastener).map_err(|unsettled| match unsettled {
        Unsettled::Amount => Refusal::Prevailing,
        Unsettled::Rule => Refusal::PrevailingRule,
    })?;
    let torque = written(torque + running, unit)?;
    let setting = computed_setting(&of_sheet(fastener), lube, Extent::Exactly(torque));
    let derived = derive_with(fastener, &setting, tables, friction);
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

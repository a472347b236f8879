//! One setting restated for another lube at equal clamp.

use std::sync::Arc;

use crate::correction::Refusal;
use crate::correction::chart::chart_rule;
use crate::correction::limits::{cautions, limits};
use crate::correction::rules::{lube_rules, not_listed, source_lube, word_rules};
use crate::correction::shape::Shape;
use crate::mechanics::at_equal_clamp;
use crate::quantity::{Extent, Kind as _, Quantity, Stated, Torque, Unit};
use crate::record::{
    Basis, Fastener, Friction, Lube, Lubes, Method, Restated, Row, Setting, Tables, derive_with,
    prevailing_part, same_form, slug,
};
use crate::thread::Geometry;

/// `setting` of `fastener`, restated for `lube` at equal clamp: T2 = T1·K2/K1,
/// both without the prevailing torque that the listed value includes.
///
/// Both factors are of the same form (K with K, μ with μ) for the same
/// hardware. The result is a `computed` row that names what it comes from; of a
/// range both ends are converted, and the high end must keep the limits.
pub fn restate(
    fastener: &Arc<Fastener>,
    setting: &Setting,
    lube: &Lube,
    tables: &Tables,
) -> Result<Row, Refusal> {
    if let Some(row) = by_chart_rule(fastener, setting, lube, tables) {
        return row;
    }
    let shape = Shape::of_setting(fastener, setting, tables);
    let from = source_lube(&shape)?;
    not_listed(&shape, lube)?;
    lube_rules(&shape, from, lube).map_err(|refusal| match refusal {
        // The way out that it names is none where a word forbids it all the same.
        Refusal::FinishNotStated { .. } | Refusal::UnknownFinish { .. } => {
            word_rules(&shape).err().unwrap_or(refusal)
        }
        other => other,
    })?;
    word_rules(&shape)?;
    let forms = same_form(fastener, Lubes::both(from), Lubes::both(lube))
        .ok_or_else(|| Refusal::FormsDiffer(from.name.clone(), lube.name.clone()))?;
    let stated = setting.torque.ok_or(Refusal::NoTorque)?;
    let torque = convert(fastener, stated, &forms)?;
    let mut row = computed_row(fastener, setting, (from, lube), torque, tables, forms[1])?;
    row.warnings.extend(shape.not_stated());
    Ok(row)
}

/// The row of a chart whose own page has a rule for `lube`; None where it has
/// none.
fn by_chart_rule(
    fastener: &Arc<Fastener>,
    setting: &Setting,
    lube: &Lube,
    tables: &Tables,
) -> Option<Result<Row, Refusal>> {
    let from = tables.lube(setting.lube.as_deref()?)?;
    let rule = chart_rule(setting, from, lube)?;
    let [_, friction] = same_form(fastener, Lubes::both(from), Lubes::both(lube))?;
    let end = |end: Stated<Torque>| written(end.value() * rule.factor, end.written().unit).ok();
    let torque = match setting.torque? {
        Extent::Exactly(value) => Extent::Exactly(end(value)?),
        Extent::Between(low, high) => Extent::Between(end(low)?, end(high)?),
        Extent::AtMost(_) => return None,
    };
    let row = computed_row(fastener, setting, (from, lube), torque, tables, friction);
    Some(row.map(|mut row| {
        if let Some(restated) = &mut row.restated {
            restated.note = Some(rule.words.to_owned());
        }
        row
    }))
}

fn computed_row(
    fastener: &Arc<Fastener>,
    setting: &Setting,
    (from, lube): (&Lube, &Lube),
    torque: Extent<Torque>,
    tables: &Tables,
    friction: Friction,
) -> Result<Row, Refusal> {
    let computed = computed_setting(setting, lube, torque);
    let derived = derive_with(fastener, &computed, tables, friction);
    limits(&derived)?;
    let stated = setting.torque.and_then(Extent::low).ok_or(Refusal::Maximum)?;
    Ok(Row {
        key: format!("{}/{}", fastener.key, slug(&[&lube.name])),
        fastener: Arc::clone(fastener),
        warnings: cautions(&derived),
        restated: Some(Restated {
            from_lube: from.name.clone(),
            from: setting.in_words(),
            from_torque_nm: stated.nm(),
            note: None,
        }),
        derived,
        setting: computed,
        refused: None,
    })
}

fn convert(
    fastener: &Fastener,
    stated: Extent<Torque>,
    [from, to]: &[Friction; 2],
) -> Result<Extent<Torque>, Refusal> {
    let thread = fastener.thread.as_ref().ok_or(Refusal::NoThread)?;
    let thread: Geometry = thread.geometry().map_err(Refusal::words)?;
    let running = prevailing_part(fastener).map_err(Refusal::words)?;
    let end = |end: Stated<Torque>| -> Result<Stated<Torque>, Refusal> {
        let clamping = end.value() - running;
        let torque = at_equal_clamp(&thread, clamping, &from.range.nominal, &to.range.nominal)
            .map_err(Refusal::words)?;
        written(torque + running, end.written().unit)
    };
    Ok(match stated {
        Extent::Exactly(value) => Extent::Exactly(end(value)?),
        Extent::Between(low, high) => Extent::Between(end(low)?, end(high)?),
        Extent::AtMost(_) => return Err(Refusal::Maximum),
    })
}

/// `torque` in `unit` with all the decimals that a number keeps; rounding is
/// the report's.
pub(super) fn written(torque: Torque, unit: &'static Unit) -> Result<Stated<Torque>, Refusal> {
    debug_assert_eq!(unit.dimension, Torque::DIMENSION);
    Quantity::rounded(torque, unit, 9)
        .and_then(|written| Stated::new(written).ok())
        .ok_or_else(|| Refusal::words("the torque is too large to be written"))
}

/// A setting of plain torque that clampbook computed from `from`. What the
/// source says about the joint goes with it; its passes and its tolerance, which
/// belong to its own torque, do not.
pub fn computed_setting(from: &Setting, lube: &Lube, torque: Extent<Torque>) -> Setting {
    let mut setting = Setting::new(Method::Torque, Basis::Computed);
    setting.lube = Some(lube.name.clone());
    setting.torque = Some(torque);
    setting.cycles = from.cycles;
    setting.retorque.clone_from(&from.retorque);
    setting.recheck.clone_from(&from.recheck);
    setting.warnings.clone_from(&from.warnings);
    setting
}

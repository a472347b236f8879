//! One setting restated for another lube at equal clamp.

use std::sync::Arc;

use crate::correction::Refusal;
use crate::mechanics::FormRange;
use crate::quantity::{Extent, Kind as _, Quantity, Stated, Torque};
use crate::record::{
    Basis, Derived, Duty, Fastener, FormUsed, Lube, LubeClass, Lubes, Method, Prevailing, Restated,
    Row, Setting, Tables, derive, form_range,
};
use crate::text::fold_name;
use crate::thread::Geometry;

/// `setting` of `fastener`, restated for `lube` at equal clamp: T2 = T1·K2/K1.
///
/// Both factors are of the same form (K with K, μ with μ) for the same
/// hardware. The result is a `computed` row that names what it comes from.
pub fn restate(
    fastener: &Arc<Fastener>,
    setting: &Setting,
    lube: &Lube,
    tables: &Tables,
) -> Result<Row, Refusal> {
    let from = source_lube(fastener, setting, tables)?;
    lube_rules(from, lube)?;
    let (from_range, to_range) = same_form(fastener, from, lube)?;
    let thread = fastener.thread.as_ref().ok_or_else(|| arithmetic("thread not stated"))?;
    let thread = thread.geometry().map_err(arithmetic)?;
    let stated = setting.torque.ok_or(Refusal::NoTorque)?;
    let torque = convert(stated, &thread, &from_range, &to_range)?;
    let computed = computed_setting(setting, lube, torque);
    let derived = derive(fastener, &computed, tables);
    limits(&derived)?;
    Ok(Row {
        key: format!("{}/{}", fastener.key, crate::record::slug(&[&lube.name])),
        fastener: Arc::clone(fastener),
        warnings: cautions(&derived),
        restated: Some(Restated {
            from_lube: from.name.clone(),
            from: setting.in_words(),
            from_torque_nm: stated.low().map_or(f64::NAN, Torque::nm),
            note: (setting.basis == Basis::Chart).then(|| "from a general chart".to_owned()),
        }),
        setting: computed,
        derived,
        refused: None,
    })
}

fn arithmetic(error: impl ToString) -> Refusal {
    Refusal::Arithmetic(error.to_string())
}

/// The rules about the setting and the fastener; the lube it was listed for.
fn source_lube<'a>(
    fastener: &Fastener,
    setting: &Setting,
    tables: &'a Tables,
) -> Result<&'a Lube, Refusal> {
    match setting.method {
        Method::Torque => {}
        Method::TorqueAngle | Method::Angle => return Err(Refusal::Angle),
        Method::Stretch => return Err(Refusal::Stretch),
    }
    if fastener.is_single_use() {
        return Err(Refusal::SingleUse);
    }
    match setting.torque {
        None => return Err(Refusal::NoTorque),
        Some(Extent::AtMost(_)) => return Err(Refusal::Maximum),
        Some(_) => {}
    }
    if setting.basis == Basis::Computed {
        return Err(Refusal::Computed);
    }
    if setting.this_lube_only {
        return Err(Refusal::ThisLubeOnly);
    }
    duty(fastener)?;
    material(fastener, tables)?;
    if locks(fastener) {
        return Err(Refusal::Prevailing);
    }
    if setting.face_lube.is_some() && setting.face_lube != setting.lube {
        return Err(Refusal::TwoLubes);
    }
    let name = setting.lube.as_deref().ok_or(Refusal::SourceLubeUnknown)?;
    tables.lube(name).ok_or(Refusal::SourceLubeUnknown)
}

fn duty(fastener: &Fastener) -> Result<(), Refusal> {
    match fastener.joint.duty {
        Some(duty @ (Duty::Wheel | Duty::Steering | Duty::Brake | Duty::SparkPlug)) => {
            Err(Refusal::Duty(duty.word()))
        }
        Some(duty @ Duty::Lifting) => Err(Refusal::Duty(duty.word())),
        _ => Ok(()),
    }
}

/// Materials whose friction is not that of the table's steel. A standard's
/// stainless classes are named A2-… and A4-….
fn material(fastener: &Fastener, tables: &Tables) -> Result<(), Refusal> {
    let named = fastener.strength.name.as_deref();
    let strength = named.and_then(|name| tables.strength(name)).map(|class| class.name.as_str());
    let strength = fold_name(strength.or(named).unwrap_or_default());
    if strength.starts_with("a2-") || strength.starts_with("a4-") {
        return Err(Refusal::Material("stainless"));
    }
    let words = [&fastener.hole_material, &fastener.finish].into_iter().flatten();
    let words = fold_name(&words.cloned().collect::<Vec<_>>().join(" ")) + " " + &strength;
    for (spelling, material) in
        [("alumin", "aluminium"), ("titan", "titanium"), ("stainless", "stainless")]
    {
        if words.contains(spelling) {
            return Err(Refusal::Material(material));
        }
    }
    Ok(())
}

/// Whether the thread locks and its running torque is not settled.
fn locks(fastener: &Fastener) -> bool {
    match fastener.prevailing_rule {
        Some(Prevailing::Unknown) => true,
        Some(Prevailing::Included | Prevailing::ToAdd) => fastener.prevailing.is_none(),
        None => fastener.prevailing.is_some(),
    }
}

/// The rules about the two lubes.
fn lube_rules(from: &Lube, to: &Lube) -> Result<(), Refusal> {
    let compound = |lube: &Lube| matches!(lube.class, LubeClass::Threadlocker | LubeClass::Sealant);
    if compound(to) {
        return Err(Refusal::Compound);
    }
    if compound(from) {
        return Err(Refusal::FromCompound(from.name.clone()));
    }
    if from.class == LubeClass::Coating || to.class == LubeClass::Coating {
        return Err(Refusal::Coated);
    }
    if from.class == LubeClass::Wet && to.class == LubeClass::Dry {
        return Err(Refusal::WetToDry);
    }
    for lube in [from, to] {
        if lube.k.is_none() && lube.mu_thread.is_none() {
            return Err(Refusal::NoFactor(lube.name.clone()));
        }
        if !lube.convertible {
            return Err(Refusal::NotConvertible(lube.name.clone()));
        }
        if lube.source.is_none() {
            return Err(Refusal::NoSource(lube.name.clone()));
        }
    }
    Ok(())
}

/// Both lubes in one form: never K for one and μ for the other.
fn same_form(
    fastener: &Fastener,
    from: &Lube,
    to: &Lube,
) -> Result<(FormRange, FormRange), Refusal> {
    [FormUsed::Long, FormUsed::Short]
        .into_iter()
        .find_map(|which| {
            let range = |lube| form_range(which, fastener, Lubes::both(lube));
            range(from).zip(range(to))
        })
        .ok_or_else(|| Refusal::FormsDiffer(from.name.clone(), to.name.clone()))
}

/// Every end of `stated` at equal clamp, in its own unit.
fn convert(
    stated: Extent<Torque>,
    thread: &Geometry,
    from: &FormRange,
    to: &FormRange,
) -> Result<Extent<Torque>, Refusal> {
    let end = |end: Stated<Torque>| -> Result<Stated<Torque>, Refusal> {
        let clamp = from.nominal.clamp(thread, end.value()).map_err(arithmetic)?;
        let torque = to.nominal.torque(thread, clamp).map_err(arithmetic)?;
        exact(torque, end.written().unit).ok_or_else(|| arithmetic("torque cannot be written"))
    };
    Ok(match stated {
        Extent::Exactly(value) => Extent::Exactly(end(value)?),
        Extent::Between(low, high) => Extent::Between(end(low)?, end(high)?),
        Extent::AtMost(_) => return Err(Refusal::Maximum),
    })
}

/// `torque` in `unit` with all the decimals that a number keeps; rounding is
/// the report's.
pub(crate) fn exact(
    torque: Torque,
    unit: &'static crate::quantity::Unit,
) -> Option<Stated<Torque>> {
    debug_assert_eq!(unit.dimension, Torque::DIMENSION);
    Quantity::of(torque, unit, 9).and_then(|written| Stated::new(written).ok())
}

/// A setting of plain torque that clampbook computed from `from`.
pub fn computed_setting(from: &Setting, lube: &Lube, torque: Extent<Torque>) -> Setting {
    let mut setting = Setting::new(Method::Torque, Basis::Computed);
    setting.lube = Some(lube.name.clone());
    setting.torque = Some(torque);
    setting.cycles = from.cycles;
    setting.retorque.clone_from(&from.retorque);
    setting.recheck.clone_from(&from.recheck);
    setting
}

/// A share that passes its limit by less than this only does so in the last
/// digits of the arithmetic: a target of 100 % is not above 100 %.
const DUST: f64 = 1e-6;

/// Refuses what passes proof (90 % of yield where proof is not stated) in the
/// weakest section, or yield with torsion at the turned thread.
pub fn limits(derived: &Derived) -> Result<(), Refusal> {
    let place = || derived.section.map(|place| place.to_string()).unwrap_or_default();
    let too_high = |share: f64, limit| {
        let percent = (share * 100.0).round() as u32;
        Err(Refusal::TooHigh { percent, limit, place: place() })
    };
    match (derived.of_proof, derived.of_yield) {
        (Some(share), _) if share > 1.0 + DUST => return too_high(share, "proof"),
        (None, Some(share)) if share > 0.9 + DUST => return too_high(share, "yield"),
        _ => {}
    }
    match derived.combined {
        Some(share) if share > 1.0 + DUST => Err(Refusal::Combined((share * 100.0).round() as u32)),
        _ => Ok(()),
    }
}

/// What stands beside a computed value that is allowed but high.
pub(crate) fn cautions(derived: &Derived) -> Vec<String> {
    let mut cautions = Vec::new();
    if derived.of_yield.is_some_and(|share| share > 0.8 + DUST) {
        cautions.push("above 80 % of yield: verify with stretch or ask the maker".to_owned());
    }
    if derived.combined.is_some_and(|share| share > 0.9 + DUST) {
        cautions.push("above 90 % of yield with torsion: verify with stretch".to_owned());
    }
    if derived.proof.is_none() && derived.yield_.is_none() {
        cautions.push("strength not stated: how near yield is not known".to_owned());
    }
    cautions
}

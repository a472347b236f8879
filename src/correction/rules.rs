//! The rules that a conversion must keep, before any arithmetic.

use crate::correction::Refusal;
use crate::quantity::Extent;
use crate::record::{
    Basis, Duty, Fastener, Kind, Lube, LubeClass, Lubes, Method, Prevailing, Setting, Tables,
    Unsettled, prevailing_part,
};
use crate::text::fold_name;

/// The rules about the setting and the fastener; the lube it was listed for.
pub(super) fn source_lube<'a>(
    fastener: &Fastener,
    setting: &Setting,
    tables: &'a Tables,
) -> Result<&'a Lube, Refusal> {
    of_setting(setting)?;
    if fastener.is_single_use() {
        return Err(Refusal::SingleUse);
    }
    duty(fastener)?;
    material(fastener, tables)?;
    prevailing(fastener)?;
    let name = setting.lube.as_deref().ok_or(Refusal::SourceLubeUnknown)?;
    let lubes = Lubes::of(setting, tables)
        .map_err(|_| Refusal::SourceLubeMissing(missing(setting, tables).unwrap_or(name).into()))?;
    if !lubes.is_one() {
        return Err(Refusal::TwoLubes);
    }
    Ok(lubes.thread)
}

fn of_setting(setting: &Setting) -> Result<(), Refusal> {
    match (setting.method, setting.torque) {
        (Method::TorqueAngle | Method::Angle, _) => return Err(Refusal::Angle),
        (Method::Stretch, _) => return Err(Refusal::Stretch),
        (Method::Torque, None) => return Err(Refusal::NoTorque),
        (Method::Torque, Some(Extent::AtMost(_))) => return Err(Refusal::Maximum),
        (Method::Torque, Some(_)) => {}
    }
    if setting.basis == Basis::Computed {
        return Err(Refusal::Computed);
    }
    if setting.superseded {
        return Err(Refusal::Superseded);
    }
    if setting.this_lube_only {
        return Err(Refusal::ThisLubeOnly);
    }
    Ok(())
}

/// The first lube of `setting` that the book does not have.
fn missing<'s>(setting: &'s Setting, tables: &Tables) -> Option<&'s str> {
    let names = [&setting.lube, &setting.face_lube].into_iter().flatten();
    names.map(String::as_str).find(|name| tables.lube(name).is_none())
}

fn duty(fastener: &Fastener) -> Result<(), Refusal> {
    match fastener.joint.duty {
        Some(
            duty @ (Duty::Wheel | Duty::Steering | Duty::Brake | Duty::SparkPlug | Duty::Lifting),
        ) => Err(Refusal::Duty(duty.word())),
        _ => Ok(()),
    }
}

/// Materials whose friction is not that of the table's steel. A standard's
/// stainless classes are named A2-… and A4-….
fn material(fastener: &Fastener, tables: &Tables) -> Result<(), Refusal> {
    const SPELLINGS: [(&str, &str); 9] = [
        ("alumin", "aluminium"),
        ("titan", "titanium"),
        ("ti-6al", "titanium"),
        ("stainless", "stainless"),
        ("a2-", "stainless"),
        ("a4-", "stainless"),
        ("18-8", "stainless"),
        ("304", "stainless"),
        ("316", "stainless"),
    ];
    let named = fastener.strength.name.as_deref();
    let strength = named.and_then(|name| tables.strength(name)).map(|class| class.name.as_str());
    let strength = strength.or(named);
    // A nut on a stud turns on the stud: what the stud sits in does not rub.
    let hole = fastener.hole_material.as_deref().filter(|_| !is_stud(fastener));
    let said = [hole, fastener.finish.as_deref(), strength].into_iter().flatten();
    let said = said.map(fold_name).collect::<Vec<_>>();
    // A word starts so: a part number that only holds `304` is no material.
    let holds = |spelling: &str| {
        said.iter()
            .flat_map(|text| text.split([' ', ',', ';', '/', '(']))
            .any(|word| word.starts_with(spelling))
    };
    match SPELLINGS.iter().find(|(spelling, _)| holds(spelling)) {
        Some((_, material)) => Err(Refusal::Material(material)),
        None => Ok(()),
    }
}

fn is_stud(fastener: &Fastener) -> bool {
    fastener.kind == Some(Kind::Stud) || fastener.hole_thread.is_some()
}

/// A locking thread must be settled: how much it takes, and whether the listed
/// value includes that.
fn prevailing(fastener: &Fastener) -> Result<(), Refusal> {
    match prevailing_part(fastener) {
        Err(Unsettled::Amount) => Err(Refusal::Prevailing),
        Err(Unsettled::Rule) => Err(Refusal::PrevailingRule),
        Ok(_) => {
            let to_add = fastener.prevailing_rule == Some(Prevailing::ToAdd);
            let unknown = to_add && fastener.prevailing.is_none();
            if unknown { Err(Refusal::Prevailing) } else { Ok(()) }
        }
    }
}

/// A compound on the thread that turns. On a stud it is on the hole end, which
/// does not turn.
fn sealed(fastener: &Fastener) -> Result<(), Refusal> {
    let Some(sealant) = fastener.sealant.as_ref().filter(|_| !is_stud(fastener)) else {
        return Ok(());
    };
    let said = fold_name(sealant);
    let compound = ["sealant", "sealer", "locker", "compound", "paste"];
    if compound.iter().any(|word| said.contains(word)) {
        return Err(Refusal::Sealed(sealant.clone()));
    }
    Ok(())
}

/// The rules about the two lubes.
pub(super) fn lube_rules(fastener: &Fastener, from: &Lube, to: &Lube) -> Result<(), Refusal> {
    let compound = |lube: &Lube| matches!(lube.class, LubeClass::Threadlocker | LubeClass::Sealant);
    if compound(to) {
        return Err(Refusal::Compound);
    }
    if compound(from) {
        return Err(Refusal::FromCompound(from.name.clone()));
    }
    sealed(fastener)?;
    coat(fastener, from, to)?;
    if is_dry(to) && !is_dry(from) {
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

/// Beginnings of the words for a finish that has friction of its own.
const COATS: [&str; 12] = [
    "plat", "zinc", "cadmium", "galvan", "coat", "nickel", "chrom", "phosph", "flake", "wax",
    "ptfe", "patch",
];

/// A coat has friction of its own: on a coated fastener both factors must be of
/// its finish, on a plain one neither may be of any.
fn coat(fastener: &Fastener, from: &Lube, to: &Lube) -> Result<(), Refusal> {
    let finish = fastener.finish.as_deref().map(fold_name);
    let coated = finish.filter(|finish| COATS.iter().any(|coat| finish.contains(coat)));
    let fits = |lube: &Lube| match &coated {
        Some(finish) => lube.class == LubeClass::Coating && is_of_finish(lube, finish),
        None => lube.class != LubeClass::Coating,
    };
    if fits(from) && fits(to) { Ok(()) } else { Err(Refusal::Coated) }
}

fn is_of_finish(lube: &Lube, finish: &str) -> bool {
    let mut names = std::iter::once(&lube.name).chain(&lube.aliases).map(|name| fold_name(name));
    names.any(|name| name.contains(finish) || finish.contains(&name))
}

/// Nothing on the thread, or a coat to which nothing is added.
fn is_dry(lube: &Lube) -> bool {
    let says_dry = || fold_name(&lube.name).split(' ').any(|word| word == "dry");
    lube.class == LubeClass::Dry || (lube.class == LubeClass::Coating && says_dry())
}

/// Whether `setting` is for `lube`: on the threads, whatever is under the head.
pub(super) fn is_for(setting: &Setting, lube: &Lube, tables: &Tables) -> bool {
    let named = setting.lube.as_deref().and_then(|name| tables.lube(name));
    named.is_some_and(|named| named.name == lube.name)
}

//! The rules that a conversion must keep, before any arithmetic. Every one looks
//! at the [`Shape`] and at the two lubes, at nothing else.

use crate::correction::Refusal;
use crate::correction::shape::Shape;
use crate::mechanics::exceeds;
use crate::quantity::Extent;
use crate::record::duty_words::{Meaning, shown};
use crate::record::{
    Basis, Duty, Finish, FinishStated, Kind, Lube, LubeClass, Material, Method, Reuse, Setting,
    Stuff, Tables, Unsettled, lube_finish, lube_material,
};
use crate::text::fold_name;

/// Above this share of proof (of yield where proof is not stated) a listed value
/// is never restated. Common practice, no source: the scatter of a second lube
/// comes on top of that of the first.
const NEAR: f64 = 0.9;

/// The rules about the setting and the fastener; the lube it was listed for.
pub(super) fn source_lube<'a>(shape: &Shape<'a>) -> Result<&'a Lube, Refusal> {
    plain_torque(shape)?;
    reusable(shape)?;
    duty(shape)?;
    material(shape)?;
    prevailing(shape)?;
    let lubes = match shape.lubes {
        Ok(lubes) => lubes,
        Err(None) => return Err(Refusal::SourceLubeUnknown),
        Err(Some(name)) => return Err(Refusal::SourceLubeMissing(name.to_owned())),
    };
    if !lubes.is_one() {
        return Err(Refusal::TwoLubes);
    }
    if let Some(method) = shape.governed_by {
        return Err(Refusal::Governed(if method == Method::Stretch { "stretch" } else { "angle" }));
    }
    if let Some([one, other]) = shape.disagree {
        return Err(Refusal::Disagree {
            lube: one.lube.clone().unwrap_or_default(),
            values: [one.in_words(), other.in_words()],
        });
    }
    near_proof(shape)?;
    Ok(lubes.thread)
}

fn plain_torque(shape: &Shape<'_>) -> Result<(), Refusal> {
    match (shape.method, shape.torque) {
        (Method::TorqueAngle | Method::Angle, _) => return Err(Refusal::Angle),
        (Method::Stretch, _) => return Err(Refusal::Stretch),
        (Method::Torque, None) => return Err(Refusal::NoTorque),
        (Method::Torque, Some(Extent::AtMost(_))) => return Err(Refusal::Maximum),
        (Method::Torque, Some(_)) => {}
    }
    match shape.basis {
        Basis::Computed => return Err(Refusal::Computed),
        Basis::Chart => return Err(Refusal::Chart),
        Basis::Listed | Basis::Shop => {}
    }
    if shape.superseded {
        return Err(Refusal::Superseded);
    }
    if shape.this_lube_only { Err(Refusal::ThisLubeOnly) } else { Ok(()) }
}

fn reusable(shape: &Shape<'_>) -> Result<(), Refusal> {
    if shape.reuse == Some(Reuse::SingleUse) {
        return Err(Refusal::SingleUse);
    }
    Ok(())
}

/// What words say of reuse, duty and locking where none is stated; asked last,
/// because it reads every text of the record.
pub(super) fn word_rules(shape: &Shape<'_>) -> Result<(), Refusal> {
    if let Some((_, word)) = shape.reuse_word() {
        return Err(Refusal::ReuseWord { word: shown(word).to_owned(), key: key(shape) });
    }
    duty_in_words(shape)
}

/// The rules about a torque for a target clamp: where the maker's procedure governs,
/// none is computed.
pub(super) fn target(shape: &Shape<'_>) -> Result<(), Refusal> {
    duty(shape)?;
    duty_in_words(shape)
}

fn duty_in_words(shape: &Shape<'_>) -> Result<(), Refusal> {
    let Some((meaning, word)) = shape.duty_word() else {
        return match shape.locking_word() {
            Some(word) => {
                Err(Refusal::LockingWord { word: shown(word).to_owned(), key: key(shape) })
            }
            None => Ok(()),
        };
    };
    let duty = match meaning {
        Meaning::Duty(duty) => duty.word(),
        Meaning::Plug => "plug",
        Meaning::SingleUse => "single-use",
    };
    Err(Refusal::DutyWord { word: shown(word).to_owned(), duty, key: key(shape) })
}

fn key(shape: &Shape<'_>) -> String {
    shape.key.to_owned()
}

fn duty(shape: &Shape<'_>) -> Result<(), Refusal> {
    match shape.duty {
        Some(Duty::Engine | Duty::Other) | None => {}
        Some(duty) => return Err(Refusal::Duty(duty.word())),
    }
    if shape.kind == Some(Kind::Plug) {
        return Err(Refusal::Plug);
    }
    Ok(())
}

/// Materials whose friction is not that of the tables' steel, and materials that
/// the tables do not know.
fn material(shape: &Shape<'_>) -> Result<(), Refusal> {
    let steel = |stuff: &Stuff| match stuff {
        Stuff::Known(material) if !material.takes_steel_factors() => Some(*material),
        Stuff::Known(_) | Stuff::NotStated | Stuff::Unknown(_) => None,
    };
    if let Some(material) = steel(&shape.bolt).or_else(|| steel(&shape.hole)) {
        return Err(Refusal::Material(material.word()));
    }
    if let Stuff::Unknown(words) = &shape.bolt {
        let settle = if shape.has_class {
            format!("strength \"{words}\" material=steel")
        } else {
            format!("{} strength=\"{words} steel\"", shape.key)
        };
        return Err(Refusal::UnknownStrength { words: words.clone(), settle });
    }
    if let Stuff::Unknown(words) = &shape.hole {
        return Err(Refusal::UnknownHole { words: words.clone(), key: key(shape) });
    }
    Ok(())
}

/// A locking thread must be settled: how much it takes, and whether the listed
/// value includes that.
fn prevailing(shape: &Shape<'_>) -> Result<(), Refusal> {
    match shape.prevailing {
        Some(Unsettled::Amount) => Err(Refusal::Prevailing),
        Some(Unsettled::Rule) => Err(Refusal::PrevailingRule),
        None => Ok(()),
    }
}

fn near_proof(shape: &Shape<'_>) -> Result<(), Refusal> {
    let (share, limit) = match (shape.of_proof, shape.of_yield) {
        (Some(share), _) => (share, "proof"),
        (None, Some(share)) => (share, "yield"),
        (None, None) => return Ok(()),
    };
    if exceeds(share, NEAR) {
        // Rounded up, so that it never says 90 % of what is above.
        return Err(Refusal::NearProof { percent: (share * 100.0).ceil() as u32, limit });
    }
    Ok(())
}

/// A value that the book has for `lube` is never replaced by a computed one.
pub(super) fn not_listed(shape: &Shape<'_>, lube: &Lube) -> Result<(), Refusal> {
    match shape.listed.iter().find(|(listed, _)| listed.name == lube.name) {
        Some((_, setting)) => {
            Err(Refusal::Listed { lube: lube.name.clone(), listed: setting.in_words() })
        }
        None => Ok(()),
    }
}

pub(super) fn lube_rules(shape: &Shape<'_>, from: &Lube, to: &Lube) -> Result<(), Refusal> {
    let compound = |lube: &Lube| matches!(lube.class, LubeClass::Threadlocker | LubeClass::Sealant);
    if compound(to) {
        return Err(Refusal::Compound);
    }
    if compound(from) {
        return Err(Refusal::FromCompound(from.name.clone()));
    }
    if let Some(sealant) = shape.sealant {
        return Err(Refusal::Sealed(sealant.to_owned()));
    }
    for lube in [from, to] {
        if lube_material(lube) != Material::Steel {
            return Err(Refusal::Material(lube_material(lube).word()));
        }
    }
    coat(shape, from, to)?;
    if is_dry(to) && !is_dry(from) {
        return Err(Refusal::WetToDry);
    }
    if is_dry(from) && shape.finish == FinishStated::NotStated {
        return Err(Refusal::FinishNotStated { key: key(shape) });
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

/// A coat has friction of its own: both factors must be of the finish that the
/// fastener has. A finish that is not stated is taken as plain steel.
fn coat(shape: &Shape<'_>, from: &Lube, to: &Lube) -> Result<(), Refusal> {
    if let FinishStated::Unknown(words) = &shape.finish {
        return Err(Refusal::UnknownFinish { words: words.clone(), key: key(shape) });
    }
    if is_of_finish(&shape.finish, from) && is_of_finish(&shape.finish, to) {
        return Ok(());
    }
    let both_coats = [from, to].iter().all(|lube| lube.class == LubeClass::Coating);
    if shape.finish == FinishStated::NotStated && both_coats && lube_finish(from) == lube_finish(to)
    {
        return Err(Refusal::FinishNotStated { key: key(shape) });
    }
    Err(Refusal::Coated)
}

/// Whether the factors of `lube` were measured on `finish`, plain where it is
/// not stated.
pub(super) fn is_of_finish(finish: &FinishStated, lube: &Lube) -> bool {
    let wanted = match finish {
        FinishStated::NotStated => &FinishStated::Known(Finish::Plain),
        stated => stated,
    };
    lube_finish(lube) == *wanted
}

/// Nothing on the thread, or a coat to which nothing is added.
pub(super) fn is_dry(lube: &Lube) -> bool {
    let says_dry = || fold_name(&lube.name).split(' ').any(|word| word == "dry");
    lube.class == LubeClass::Dry || (lube.class == LubeClass::Coating && says_dry())
}

/// Whether `setting` is for `lube`: on the threads, whatever is under the head.
pub(super) fn is_for(setting: &Setting, lube: &Lube, tables: &Tables) -> bool {
    let named = setting.lube.as_deref().and_then(|name| tables.lube(name));
    named.is_some_and(|named| named.name == lube.name)
}

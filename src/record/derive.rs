//! What follows from a fastener and a setting: the one place where a clamp is
//! derived. Store, questions, checks and corrections all ask here.

use std::fmt;

use crate::mechanics::{self, Clamp, Control, Section, Sections};
use crate::quantity::{Force, Length, Ratio, Stated, Torque};
use crate::record::friction::{Friction, Lubes, best_form};
use crate::record::material::foreign_factor;
use crate::record::{Derived, Fastener, LubeClass, Method, Prevailing, Setting, Tables};
use crate::thread::Geometry;

/// Above this share of proof or yield a figure is near it. Common practice, no source.
pub const NEAR_STRENGTH: f64 = 0.9;

/// Tolerance of a torque wrench over most of its range, ±4 % (ISO 6789,
/// maximum above 10 N·m; figure from memory). A setting may state its own.
pub const WRENCH_TOLERANCE: Ratio = Ratio::from_value(0.04);

/// What follows from `setting` on `fastener` with the lubes and strengths of
/// `tables`. Of a stated range the nominal clamp and every share are those of
/// its top, and the band goes from its low end's lower bound to the top's upper
/// bound: whoever stays within the range may pull the top.
///
/// Never fails: what cannot be known is `None`, with the reason in `no_clamp`.
/// Formulas and their sources stand at the functions of [`crate::mechanics`].
pub fn derive(fastener: &Fastener, setting: &Setting, tables: &Tables) -> Derived {
    derived(fastener, setting, tables, None)
}

/// The same with the form of friction already chosen, so that two lubes can be
/// compared in one form.
pub fn derive_with(
    fastener: &Fastener,
    setting: &Setting,
    tables: &Tables,
    friction: Friction,
) -> Derived {
    derived(fastener, setting, tables, Some(friction))
}

fn derived(
    fastener: &Fastener,
    setting: &Setting,
    tables: &Tables,
    chosen: Option<Friction>,
) -> Derived {
    let lubes = Lubes::named_by(setting, tables);
    let lube_class = lubes.as_ref().ok().map(|lubes| lubes.thread.class);
    let mut derived = Derived { lube_class, ..Derived::default() };
    strength(fastener, tables, &mut derived);
    let geometry = match geometry(fastener) {
        Ok(geometry) => geometry,
        Err(reason) => return Derived { no_clamp: Some(reason), ..derived },
    };
    sections(fastener, &geometry, &mut derived);
    let torques = clamping_torques(fastener, setting);
    let found = torques.and_then(|torques| {
        clamp(fastener, setting, (lubes?, tables), (&geometry.turned, torques), chosen)
    });
    match found {
        Ok(found) => stresses(&found, &geometry.turned, &mut derived),
        Err(reason) => derived.no_clamp = Some(reason),
    }
    derived
}

struct Ends {
    turned: Geometry,
    /// None where there is no other end; an error where it has no stress area.
    hole: Option<Result<Geometry, ()>>,
}

fn geometry(fastener: &Fastener) -> Result<Ends, String> {
    let thread = fastener.thread.as_ref().ok_or("thread not stated")?;
    let turned = thread.geometry().map_err(|error| error.to_string())?;
    let hole = fastener.hole_thread.as_ref().map(|thread| thread.geometry().map_err(|_| ()));
    Ok(Ends { turned, hole })
}

/// The sheet's own figures, else those of the named strength at this size; the
/// sheet's alone where the two contradict each other.
fn strength(fastener: &Fastener, tables: &Tables, derived: &mut Derived) {
    let sheet = &fastener.strength;
    let size = fastener.thread.as_ref().map(crate::thread::Thread::nominal);
    let row = sheet.name.as_deref().and_then(|name| tables.strength(name)).and_then(|class| {
        let size: Length = size?;
        class.at(size)
    });
    let own = [sheet.proof, sheet.yield_, sheet.tensile]
        .map(|stated| stated.map(Stated::value).filter(|stress| stress.mpa() > 0.0));
    let table =
        [row.and_then(|r| r.proof), row.and_then(|r| r.yield_), row.and_then(|r| r.tensile)];
    let [proof, yields, tensile] = [0, 1, 2].map(|at| own[at].or(table[at]));
    let agree = (mechanics::Strength { proof, yields, tensile }).check().is_ok();
    [derived.proof, derived.yield_, derived.tensile] =
        if agree { [proof, yields, tensile] } else { own };
}

/// The smallest section; nothing where one of them is not known, because it
/// could be the smallest.
fn sections(fastener: &Fastener, ends: &Ends, derived: &mut Derived) {
    let hole_thread = match &ends.hole {
        None => None,
        Some(Ok(geometry)) => Some(geometry),
        Some(Err(())) => return,
    };
    let known =
        Sections { thread: &ends.turned, hole_thread, waist: fastener.waist.map(Stated::value) };
    let Ok(Section { place, area }) = known.weakest() else { return };
    derived.section = Some(place);
    derived.area = Some(area);
    derived.proof_load = derived.proof.map(|proof| proof * area);
    derived.yield_load = derived.yield_.map(|limit| limit * area);
}

/// A clamp with the form that gave it.
struct ClampFound {
    friction: Friction,
    clamp: Clamp,
    is_of_coat: bool,
}

fn clamp(
    fastener: &Fastener,
    setting: &Setting,
    (lubes, tables): (Lubes<'_>, &Tables),
    (thread, torques): (&Geometry, [Torque; 2]),
    chosen: Option<Friction>,
) -> Result<ClampFound, String> {
    let friction = match chosen {
        Some(friction) => friction,
        None => own_form(fastener, lubes, tables)?,
    };
    let wrench = setting.tolerance.map_or(WRENCH_TOLERANCE, Stated::value);
    let clamp = Clamp::of_torque(thread, torques, &friction.range, control(lubes), wrench);
    let is_of_coat = [lubes.thread, lubes.face].iter().any(|lube| lube.class == LubeClass::Coating);
    Ok(ClampFound { friction, clamp: clamp.map_err(|error| error.to_string())?, is_of_coat })
}

/// The best form, where the factors of the lubes say something about this bolt.
fn own_form(fastener: &Fastener, lubes: Lubes<'_>, tables: &Tables) -> Result<Friction, String> {
    let foreign =
        [lubes.thread, lubes.face].iter().find_map(|lube| foreign_factor(fastener, lube, tables));
    match foreign {
        Some(reason) => Err(reason),
        None => best_form(fastener, lubes),
    }
}

/// Low end and top of the part of the setting's torque that stretches the
/// fastener: without the prevailing torque where the listed value includes it.
fn clamping_torques(fastener: &Fastener, setting: &Setting) -> Result<[Torque; 2], String> {
    match setting.method {
        Method::Torque => {}
        Method::TorqueAngle | Method::Angle => return Err("by angle".to_owned()),
        Method::Stretch => return Err("by stretch".to_owned()),
    }
    let stated = setting.torque.ok_or("torque not stated")?;
    let low = stated.low().ok_or("a maximum only: nothing to aim at")?;
    let running = prevailing_part(fastener).map_err(|unsettled| unsettled.to_string())?;
    if running >= low {
        return Err("prevailing torque is not below the listed value".to_owned());
    }
    Ok([low - running, stated.high() - running])
}

/// What is not settled about the prevailing torque of a locking thread.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unsettled {
    /// The listed value includes it, and how much is not stated.
    Amount,
    /// There is some, and whether the listed value includes it is not stated.
    Rule,
}

impl fmt::Display for Unsettled {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Amount => "the listed value includes a prevailing torque that is not stated",
            Self::Rule => "not stated whether the listed value includes the prevailing torque",
        })
    }
}

/// The part of a listed torque of `fastener`, N·m, that its locking thread
/// takes before anything is clamped: nothing on a free thread, nor where the
/// prevailing torque is added to the listed value (AC 43.13-1B, 7-40).
pub fn prevailing_part(fastener: &Fastener) -> Result<Torque, Unsettled> {
    match (fastener.prevailing_rule, fastener.prevailing) {
        (None, None) | (Some(Prevailing::ToAdd), _) => Ok(Torque::from_nm(0.0)),
        (Some(Prevailing::Included), Some(running)) => Ok(running.value()),
        (Some(Prevailing::Included), None) => Err(Unsettled::Amount),
        (Some(Prevailing::Unknown), _) | (None, Some(_)) => Err(Unsettled::Rule),
    }
}

/// Which published scatter applies to a torque with these lubes. What comes on
/// the fastener is taken as dry: whether it is slippery is not known, and the
/// wider figure holds.
pub fn control(lubes: Lubes<'_>) -> Control {
    let is_dry = |class| matches!(class, LubeClass::Dry | LubeClass::Coating);
    if is_dry(lubes.thread.class) || is_dry(lubes.face.class) {
        Control::TorqueDry
    } else {
        Control::TorqueLubricated
    }
}

fn stresses(found: &ClampFound, thread: &Geometry, derived: &mut Derived) {
    let nominal = found.clamp.nominal;
    derived.clamp = Some(found.clamp);
    derived.form = Some(found.friction.range.nominal);
    derived.assumed_bearing = found.friction.assumed;
    derived.is_of_coat = found.is_of_coat;
    derived.k = found.friction.range.nominal.equivalent_k(thread).ok().map(Ratio::value);
    derived.stress = derived.area.and_then(|area| mechanics::tension(nominal, area).ok());
    let share = |load: Option<Force>| load.map(|load| nominal / load);
    derived.of_proof = share(derived.proof_load);
    derived.of_yield = share(derived.yield_load);
    derived.turned_of_proof = share(derived.proof.map(|proof| proof * thread.stress_area));
    derived.turned_of_yield = share(derived.yield_.map(|limit| limit * thread.stress_area));
    derived.combined = combined(found, thread, derived);
}

/// Tension with torsion in the weakest section, share of yield; only where the
/// friction in the thread is known. The turned thread's torsion goes through
/// every section, so the smallest is also the one that is twisted hardest.
fn combined(found: &ClampFound, thread: &Geometry, derived: &Derived) -> Option<f64> {
    let nominal = found.clamp.nominal;
    let twisting = found.friction.range.nominal.thread_torque(thread, nominal).ok()??;
    let stress = mechanics::combined(nominal, derived.area?, twisting).ok()?;
    Some(stress / derived.yield_?)
}

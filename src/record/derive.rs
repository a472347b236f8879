//! What follows from a fastener and a setting: the one place where a clamp is
//! derived. Store, questions, checks and corrections all ask here.

use crate::mechanics::{self, Band, Control, FormRange, Section, Sections};
use crate::quantity::{Force, Length, Ratio, Stated, Torque};
use crate::record::friction::{Lubes, bearing_ring, best_form};
use crate::record::{
    Basis, Clamp, Derived, Fastener, FormUsed, LubeClass, Method, Prevailing, Setting, Tables,
};
use crate::thread::Geometry;

/// Tolerance of a torque wrench over most of its range, ±4 % (ISO 6789,
/// maximum above 10 N·m; figure from memory). A setting may state its own.
pub const WRENCH_TOLERANCE: Ratio = Ratio::from_value(0.04);

/// What follows from `setting` on `fastener` with the lubes and strengths of
/// `tables`.
///
/// Never fails: what cannot be known is `None`, with the reason in `no_clamp`.
/// Formulas and their sources stand at the functions of [`crate::mechanics`].
pub fn derive(fastener: &Fastener, setting: &Setting, tables: &Tables) -> Derived {
    let mut derived = Derived::default();
    strength(fastener, tables, &mut derived);
    let geometry = match geometry(fastener) {
        Ok(geometry) => geometry,
        Err(reason) => return Derived { no_clamp: Some(reason), ..derived },
    };
    sections(fastener, &geometry, &mut derived);
    match clamp(fastener, setting, tables, &geometry.turned) {
        Ok(found) => {
            if found.used == FormUsed::Long {
                derived.assumed = bearing_ring(fastener).and_then(|ring| ring.assumed);
            }
            stresses(&found, &geometry.turned, &mut derived);
        }
        Err(reason) => derived.no_clamp = Some(reason),
    }
    derived
}

/// Geometry of both ends.
struct Ends {
    turned: Geometry,
    hole: Option<Geometry>,
}

fn geometry(fastener: &Fastener) -> Result<Ends, String> {
    let thread = fastener.thread.as_ref().ok_or("thread not stated")?;
    let turned = thread.geometry().map_err(|error| error.to_string())?;
    let hole = fastener.hole_thread.as_ref().and_then(|thread| thread.geometry().ok());
    Ok(Ends { turned, hole })
}

/// The sheet's own figures, else those of the named strength at this size.
fn strength(fastener: &Fastener, tables: &Tables, derived: &mut Derived) {
    let sheet = &fastener.strength;
    let size = fastener.thread.as_ref().map(crate::thread::Thread::nominal);
    let row = sheet.name.as_deref().and_then(|name| tables.strength(name)).and_then(|class| {
        let size: Length = size?;
        class.at(size)
    });
    derived.proof = sheet.proof.map(Stated::value).or_else(|| row?.proof);
    derived.yield_ = sheet.yield_.map(Stated::value).or_else(|| row?.yield_);
    derived.tensile = sheet.tensile.map(Stated::value).or_else(|| row?.tensile);
}

fn sections(fastener: &Fastener, ends: &Ends, derived: &mut Derived) {
    let known = Sections {
        thread: &ends.turned,
        hole_thread: ends.hole.as_ref(),
        waist: fastener.waist.map(Stated::value),
        groove: None,
    };
    let Ok(Section { place, area }) = known.weakest() else { return };
    derived.section = Some(place);
    derived.area = Some(area);
    derived.proof_load = derived.proof.map(|proof| proof * area);
    derived.yield_load = derived.yield_.map(|limit| limit * area);
}

/// A clamp with the form that gave it.
struct Found {
    used: FormUsed,
    range: FormRange,
    band: Band,
}

fn clamp(
    fastener: &Fastener,
    setting: &Setting,
    tables: &Tables,
    thread: &Geometry,
) -> Result<Found, String> {
    let torque = effective_torque(fastener, setting)?;
    let lubes = Lubes::of(setting, tables)?;
    let (used, range) = best_form(fastener, lubes)?;
    // Without a range of friction only the scatter of the method is known.
    let band = if setting.basis == Basis::Computed && range.low != range.high {
        let wrench = setting.tolerance.map_or(WRENCH_TOLERANCE, Stated::value);
        Band::by_friction(thread, torque, &range, wrench)
    } else {
        let control = control(lubes.thread.class);
        range.nominal.clamp(thread, torque).and_then(|clamp| Band::by_control(clamp, control))
    };
    Ok(Found { used, range, band: band.map_err(|error| error.to_string())? })
}

/// The torque that stretches the fastener: without the prevailing torque where
/// the listed value includes a known one.
fn effective_torque(fastener: &Fastener, setting: &Setting) -> Result<Torque, String> {
    match setting.method {
        Method::Torque => {}
        Method::TorqueAngle | Method::Angle => return Err("by angle".to_owned()),
        Method::Stretch => return Err("by stretch".to_owned()),
    }
    let stated = setting.torque.ok_or("torque not stated")?;
    let torque = stated.target().ok_or("a maximum only: nothing to aim at")?;
    let included = fastener.prevailing_rule == Some(Prevailing::Included);
    match fastener.prevailing {
        Some(running) if included && running.value() < torque => Ok(torque - running.value()),
        Some(_) if included => Err("prevailing torque is not below the listed value".to_owned()),
        _ => Ok(torque),
    }
}

/// Which published scatter applies to a torque with this kind of lube.
pub fn control(class: LubeClass) -> Control {
    match class {
        LubeClass::Dry => Control::TorqueDry,
        LubeClass::Coating => Control::TorqueCadmium,
        LubeClass::Wet | LubeClass::Threadlocker | LubeClass::Sealant => Control::TorqueLubricated,
    }
}

fn stresses(found: &Found, thread: &Geometry, derived: &mut Derived) {
    let Band { low, nominal, high } = found.band;
    derived.clamp = Some(Clamp { low, nominal, high });
    derived.form = Some(found.used);
    derived.k = found.range.nominal.equivalent_k(thread).ok().map(Ratio::value);
    derived.stress = derived.area.and_then(|area| mechanics::tension(nominal, area).ok());
    let share = |load: Option<Force>| load.map(|load| nominal / load);
    derived.of_proof = share(derived.proof_load);
    derived.of_yield = share(derived.yield_load);
    derived.turned_of_proof = share(derived.proof.map(|proof| proof * thread.stress_area));
    derived.turned_of_yield = share(derived.yield_.map(|limit| limit * thread.stress_area));
    derived.combined = combined(found, thread, derived);
}

/// Tension with torsion at the turned thread, share of yield; only where the
/// friction in the thread is known.
fn combined(found: &Found, thread: &Geometry, derived: &Derived) -> Option<f64> {
    let nominal = found.band.nominal;
    let twisting = found.range.nominal.thread_torque(thread, nominal).ok()??;
    let stress = mechanics::combined(nominal, thread.stress_area, twisting).ok()?;
    Some(stress / derived.yield_?)
}

//! The steps that depend on the fastener alone: its sections and what they
//! carry.

use std::f64::consts::FRAC_PI_4;

use crate::mechanics::formulas;
use crate::mechanics::{STRICT_ABOVE, least_pitch_diameter, round_section, strict_area};
use crate::quantity::{Force, Length, Stated, Stress};
use crate::record::{Derived, Fastener, Tables};
use crate::report::lay::clean;
use crate::report::working::{Step, Working};
use crate::thread::{Family, Thread};

/// Sections of `fastener`, the weakest of them, and its proof and yield load.
pub(crate) fn sections(
    fastener: &Fastener,
    derived: &Derived,
    tables: &Tables,
    working: &mut Working,
) {
    let ends =
        [(&fastener.thread, "thread that turns"), (&fastener.hole_thread, "hole-end thread")];
    let mut sections = 0;
    for (thread, which) in ends {
        if let Some(step) = thread.as_ref().and_then(|thread| stress_area(thread, which)) {
            working.step(step);
            sections += 1;
        }
        if let Some(step) = thread.as_ref().and_then(|thread| stricter(thread, which, derived)) {
            working.step(step);
            working.remark(
                "The published tables of strength use the first area for all steels, and so does \
                 this sum; by the stricter one the stress is higher in proportion.",
            );
        }
    }
    if let Some(waist) = fastener.waist
        && let Ok(area) = round_section("waist diameter", waist.value())
    {
        let step = Step::new("section of the waist", &formulas::ROUND_AREA);
        working.step(step.with("d", waist, waist.to_string()).gives("A", area));
        sections += 1;
    }
    if let Some(place) = derived.section.filter(|_| sections > 1) {
        working.remark(format!(
            "The clamp is the same all along: the smallest section counts, the {place}."
        ));
    }
    let named = strength_source(fastener, tables);
    let loads = [
        ("proof load", derived.proof, fastener.strength.proof, derived.proof_load),
        ("yield load", derived.yield_, fastener.strength.yield_, derived.yield_load),
    ];
    for (title, stress, stated, load) in loads {
        working_load(title, (stress, stated, load), derived, named.as_deref(), working);
    }
    if derived.proof_load.is_none() && derived.yield_load.is_none() {
        working.remark(
            "Neither proof nor yield is stated: how near them the clamp comes is not known.",
        );
    }
}

fn working_load(
    title: &str,
    (stress, stated, load): (Option<Stress>, Option<Stated<Stress>>, Option<Force>),
    derived: &Derived,
    named: Option<&str>,
    working: &mut Working,
) {
    let Some(((stress, load), area)) = stress.zip(load).zip(derived.area) else { return };
    let from = match (stated, named) {
        (Some(stated), _) => format!("{stated}, as stated"),
        (None, Some(named)) => named.to_owned(),
        (None, None) => String::new(),
    };
    let step = Step::new(title, &formulas::STRENGTH_LOAD);
    working.step(
        step.with("S", stress, from).with("A", area, section_words(derived)).gives("F", load),
    );
}

/// `weakest section, the thread`.
pub(crate) fn section_words(derived: &Derived) -> String {
    derived.section.map_or_else(String::new, |place| format!("smallest section: {place}"))
}

/// `10.9: EN ISO 898-1:2013, Table 3`.
fn strength_source(fastener: &Fastener, tables: &Tables) -> Option<String> {
    let class = tables.strength(fastener.strength.name.as_deref()?)?;
    Some(format!("{}: {}", clean(&class.name), clean(&class.source)))
}

/// The stress area of `thread` with the standard's own constant.
fn stress_area(thread: &Thread, which: &str) -> Option<Step> {
    let geometry = thread.geometry().ok()?;
    // The constant is read back from the area: there is one place that has it.
    let across = Length::from_mm((geometry.stress_area.mm2() / FRAC_PI_4).sqrt());
    let constant = (geometry.major - across) / geometry.pitch;
    let (source, note) = area_source(thread.series().family());
    let pitch = match thread.tpi() {
        Some(tpi) => format!("pitch, {} threads per inch", crate::report::figures::short(tpi, 4)),
        None => "pitch".to_owned(),
    };
    let step = Step::new(format!("stress area of the {which}, {thread}"), &formulas::STRESS_AREA)
        .source(source)
        .with("d", geometry.major, "major diameter")
        .with("P", geometry.pitch, pitch)
        .with("c", constant, note)
        .gives("A", geometry.stress_area);
    Some(step)
}

/// The second area of the standard for unified threads above 100 ksi.
fn stricter(thread: &Thread, which: &str, derived: &Derived) -> Option<Step> {
    let is_strong = derived.tensile.or(derived.yield_).is_some_and(|limit| limit > STRICT_ABOVE);
    if thread.series().family() != Family::Unified || !is_strong {
        return None;
    }
    let geometry = thread.geometry().ok()?;
    let (least, area) = (least_pitch_diameter(&geometry).ok()?, strict_area(&geometry).ok()?);
    let title = format!("stricter stress area of the {which}, above 100 ksi");
    let step = Step::new(title, &formulas::STRICT_AREA)
        .with("Esmin", least, "least pitch diameter of class 2A")
        .with("P", geometry.pitch, "pitch");
    Some(step.gives("A", area))
}

/// Source of the stress area and what its constant is, by family.
fn area_source(family: Family) -> (&'static str, &'static str) {
    match family {
        Family::Metric => ("ISO 898-1: mean of d2 and d3", "of the standard"),
        Family::Unified => ("ASME B1.1, form for steel up to 100 ksi", "of the standard"),
        Family::MetricRadius => {
            ("ISO 898-1, as for M; the larger root is neglected", "of the standard")
        }
        Family::UnifiedRadius => {
            ("ASME B1.1, as for UN; the larger root is neglected", "of the standard")
        }
        Family::British | Family::BritishAssociation => (
            "the idea of ISO 898-1; no British standard was found that states a stress area",
            "mean of effective and minor diameter",
        ),
        Family::Pipe => ("none", "no clamp arithmetic for a pipe thread"),
    }
}

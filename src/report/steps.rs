//! One pass in figures: what a table, a program and the bench sheet say of it.

use std::borrow::Cow;

use crate::quantity::{Dimension, Kind as _, Torque, Unit};
use crate::query::run::UnitsWanted;
use crate::record::{Fastener, PassPlan, PassStep, TorqueStep};
use crate::report::figures::{Figures, Rounding, computed_torque, converted, joined, short};
use crate::report::pull::{running_to_add, share_words, stretch_figures, with_running};
use crate::report::units::units_for;

/// The passes as they are pulled: with the prevailing torque where that is to be added.
pub(crate) fn with_prevailing<'a>(plan: &'a PassPlan, fastener: &Fastener) -> Cow<'a, PassPlan> {
    let Some(running) = running_to_add(fastener) else { return Cow::Borrowed(plan) };
    let mut plan = plan.clone();
    for step in &mut plan.steps {
        let PassStep::Torque(torque) = step else { continue };
        torque.aim = torque.aim.map(|aim| aim + running);
        torque.written = torque.written.map(|written| with_running(written, running));
        torque.share = None;
    }
    Cow::Owned(plan)
}

/// The figures of a torque pass in each unit wanted; none for a share of a
/// torque that is not stated. `verbatim` where the final torque was written by
/// a source, not computed.
pub(crate) fn step_figures(
    step: &TorqueStep,
    wanted: &UnitsWanted,
    verbatim: bool,
) -> Option<Figures> {
    let units = units_for(wanted, Dimension::Torque, Some(step.unit));
    if let Some(written) = step.written {
        return Some(Figures::new(written, &units, verbatim));
    }
    let aim = step.aim?;
    let first = units.first().copied()?;
    let printed = made_figure(step, aim, first);
    let base = printed.parse::<f64>().map_or(aim.base(), |number| number * first.factor);
    let other =
        |unit: &&'static Unit| (converted(Dimension::Torque, base, unit, Rounding::Nearest), *unit);
    let others: Vec<_> = units[1..].iter().map(other).collect();
    Some(Figures { before: "", parts: [vec![(printed, first)], others].concat() })
}

/// A step that was worked out: in full where it is a mark of the wrench, else
/// no finer than a computed torque.
fn made_figure(step: &TorqueStep, aim: Torque, unit: &'static Unit) -> String {
    let value = aim.base() / unit.factor;
    if step.on_mark && unit == step.unit {
        return short(value, 4);
    }
    computed_torque(value, Rounding::Down)
}

/// A pass with every unit: `25 lb-ft / 34 N·m`, `+90°`, `snug`.
pub(crate) fn step_words(step: &PassStep, wanted: &UnitsWanted, verbatim: bool) -> String {
    match step {
        PassStep::Torque(torque) => {
            let figures = step_figures(torque, wanted, verbatim);
            match (figures, &torque.share) {
                (Some(figures), _) => figures.with_units(),
                (None, Some(share)) => format!("{share} of a torque that is not stated"),
                (None, None) => crate::record::NOT_STATED.to_owned(),
            }
        }
        PassStep::Turn(angle) => format!("+{angle}"),
        PassStep::Snug => "snug".to_owned(),
        PassStep::AsQuoted => "start as quoted".to_owned(),
        PassStep::Stretch(window) => {
            format!("stretch {}", stretch_figures(*window, wanted).with_units())
        }
    }
}

/// A pass as a program reads it: in the unit of the source or of the wrench,
/// ranges with `..`.
pub(crate) fn step_text(step: &PassStep, verbatim: bool) -> String {
    match step {
        PassStep::Torque(torque) => match (torque.written, torque.aim, &torque.share) {
            (Some(written), _, _) if verbatim => written.to_string(),
            (_, Some(aim), _) => joined(&made_figure(torque, aim, torque.unit), torque.unit),
            (_, None, Some(share)) => share.to_string(),
            (Some(written), None, None) => written.to_string(),
            (None, None, None) => crate::record::NOT_STATED.to_owned(),
        },
        PassStep::Stretch(window) => format!("stretch {window}"),
        // The log keeps it as a pass by feel.
        PassStep::AsQuoted => "snug".to_owned(),
        PassStep::Turn(_) | PassStep::Snug => step_words(step, &UnitsWanted::AsWritten, verbatim),
    }
}

/// The share that the source wrote, where it is not the whole: `30%`.
pub(crate) fn step_share(step: &PassStep) -> Option<String> {
    let torque = step.torque()?;
    let share = torque.share.filter(|share| share.value().value() < 1.0 - 1e-9)?;
    torque.aim.map(|_| share_words(share))
}

/// What the wrench is set to, or why it will not do.
pub(crate) fn step_setting(step: &PassStep) -> Option<String> {
    step.torque()?.setting.map(|setting| setting.to_string())
}

/// What is aimed at, N·m, unrounded; none for an angle, snug or a stretch.
pub(crate) fn step_nm(step: &PassStep) -> Option<f64> {
    step.torque()?.aim.map(Torque::nm)
}

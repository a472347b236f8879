//! One setting at its part: the value, the passes with their tick boxes.

use maud::{Markup, html};

use crate::procedure::Reach;
use crate::record::{Basis, PassFrom, PassPlan, PassStep, Row};
use crate::report::cells;
use crate::report::figures::{Figures, joined};
use crate::report::lay::{capital, clean, untied};
use crate::report::passes::RowPasses;
use crate::report::pull::{Pull, stretch_figures};
use crate::report::sheet::Context;
use crate::report::sheet::cautions::row_cautions;
use crate::report::sheet::facts::{lube_words, sentence};
use crate::report::steps::{step_figures, step_share, step_words};

/// The setting of a row; `chosen` if it is one of several, so that the one used
/// is ticked.
pub(crate) fn pull(one: &RowPasses, chosen: bool, context: &Context<'_>) -> Markup {
    let row = &one.row;
    if row.setting.superseded {
        return superseded(row, context);
    }
    if let Some(why) = &row.refused {
        let lube = lube_words(&row.fastener, &row.setting, context.tables);
        return html! { div.pull { p.notes { (lube) ": refused: " (clean(why)) } } };
    }
    html! {
        div.pull {
            (value(row, chosen, context))
            @let cautions = row_cautions(row, context.wanted);
            @if !cautions.is_empty() {
                ul.must { @for caution in cautions { li { (caution) } } }
            }
            @if let Some(plan) = &one.plan { (passes(row, plan, context)) }
            (after(row))
            @if let Some(words) = estimate(row, context) { p.notes { (words) } }
        }
    }
}

/// What a computed value brings, and what to do about it.
fn estimate(row: &Row, context: &Context<'_>) -> Option<String> {
    let unit = cells::clamp_unit(context.wanted)?;
    if row.setting.basis != Basis::Computed || row.derived.clamp.is_none() {
        return None;
    }
    let clamp = cells::clamp_words(row.derived.clamp?, unit);
    let strain = cells::strain(row);
    Some(format!("An estimate: clamp {clamp}, {strain}. Verify by stretch or ask the maker."))
}

/// A value that a newer one replaced: shown, struck, never to be pulled.
fn superseded(row: &Row, context: &Context<'_>) -> Markup {
    let pull = Pull::of(&row.setting, context.wanted).with_units();
    html! {
        div.pull {
            p.notes {
                span.struck { (untied(&pull)) " " (cells::lube(&row.setting)) }
                " SUPERSEDED: do not use (" (source(row)) ")"
            }
        }
    }
}

/// Torque, second unit, basis and lube: one line, never apart.
fn value(row: &Row, chosen: bool, context: &Context<'_>) -> Markup {
    let (first, others) = figures(row, context);
    let estimate = row.setting.basis == Basis::Computed;
    html! {
        div.value {
            @if chosen { span.tick title="used" {} }
            span.torque { (first) }
            @if let Some(others) = others { span.other { (others) } }
            span.basis.estimate[estimate] { (cells::basis(&row.setting)) }
            span.lube { (lube_words(&row.fastener, &row.setting, context.tables)) }
        }
    }
}

/// The figure to read first, and the same in other units.
pub(crate) fn figures(row: &Row, context: &Context<'_>) -> (String, Option<String>) {
    match Pull::of(&row.setting, context.wanted) {
        Pull::Torque(figures, turns) => {
            (figures.first().with_units() + &turns, other_units(&figures))
        }
        Pull::Stretch(figures) => {
            (format!("stretch {}", figures.first().with_units()), other_units(&figures))
        }
        Pull::Words(words) => (untied(&words), None),
    }
}

fn other_units(figures: &Figures) -> Option<String> {
    let rest = figures.parts.iter().skip(1).map(|(number, unit)| joined(number, unit));
    let rest: Vec<String> = rest.collect();
    (!rest.is_empty()).then(|| rest.join(" / "))
}

fn passes(row: &Row, plan: &PassPlan, context: &Context<'_>) -> Markup {
    let several = plan.steps.len() > 1;
    html! {
        ol.passes {
            @for (at, step) in plan.steps.iter().enumerate() {
                li.one[!several] {
                    @if several { span.n { (at + 1) } }
                    (target(row, step, context))
                }
            }
            @if plan.repeat {
                li {
                    span.n { "+" }
                    (last_again(row, plan, context))
                }
            }
            li.notes {
                (from_words(plan, several)) ". " (sentence("Source", &source(row)))
                @for remark in plan.remarks.iter().chain(&plan.refused) {
                    " " b { (clean(remark)) "." }
                }
            }
        }
    }
}

fn from_words(plan: &PassPlan, several: bool) -> String {
    match (&plan.from, several) {
        (PassFrom::Source, false) => "As the source gives it".to_owned(),
        (from, _) => capital(&from.in_words()),
    }
}

/// What a pass goes to, its tick box and the blank for what was reached.
fn target(row: &Row, step: &PassStep, context: &Context<'_>) -> Markup {
    let (first, second) = step_parts(row, step, context);
    let beside = [step_share(step).map(|share| format!("= {share}")), setting_words(step)];
    html! {
        b { (first) }
        span.tick {}
        span.second { span { (second.unwrap_or_default()) } (blank("got")) }
        @for line in beside.into_iter().flatten() { span.small { (line) } }
    }
}

/// What the wrench is set to, short: the reason in full is for the terminal.
fn setting_words(step: &PassStep) -> Option<String> {
    let PassStep::Torque(torque) = step else { return None };
    let setting = torque.setting?;
    Some(match setting.reach {
        Reach::Within => setting.to_string(),
        Reach::Below => "below this wrench: use another".to_owned(),
        Reach::Above => "above this wrench: use another".to_owned(),
        Reach::NoMark => "no mark there: use a finer wrench".to_owned(),
    })
}

/// The figure of a pass, and the same in other units.
fn step_parts(row: &Row, step: &PassStep, context: &Context<'_>) -> (String, Option<String>) {
    let verbatim = row.setting.basis != Basis::Computed;
    let figures = match step {
        PassStep::Torque(torque) => step_figures(torque, context.wanted, verbatim),
        PassStep::Stretch(window) => Some(stretch_figures(*window, context.wanted)),
        PassStep::Turn(_) | PassStep::Snug => None,
    };
    match figures {
        Some(figures) => (figures.first().with_units(), other_units(&figures)),
        None => (step_words(step, context.wanted, verbatim), None),
    }
}

fn last_again(row: &Row, plan: &PassPlan, context: &Context<'_>) -> Markup {
    let first = plan.steps.last().map(|step| step_parts(row, step, context).0);
    html! {
        b { (first.unwrap_or_default()) }
        span.tick {}
        span.second { span { "round again" } (blank("")) }
    }
}

/// A line to write on.
pub(crate) fn blank(label: &str) -> Markup {
    html! { span.blank { (label) i {} } }
}

/// Title, page and revision, or that there is none; from what it was restated.
pub(crate) fn source(row: &Row) -> String {
    let cited = row.setting.source.to_string();
    match &row.restated {
        Some(restated) => format!("from {} {}", clean(&restated.from), clean(&restated.from_lube)),
        None if cited.is_empty() => crate::record::NOT_STATED.to_owned(),
        None => clean(&cited),
    }
}

/// What follows later, with a box for each.
fn after(row: &Row) -> Markup {
    let setting = &row.setting;
    let cycles =
        setting.cycles.map(|n| format!("Pull and release {n} times before the final pull."));
    let retorque = setting.retorque.as_ref().map(|when| sentence("Retorque", when));
    let recheck = setting.recheck.as_ref().map(|when| sentence("Recheck", when));
    let lines: Vec<String> = [cycles, retorque, recheck].into_iter().flatten().collect();
    html! {
        @if !lines.is_empty() {
            ul.after { @for line in lines { li { span.tick {} span { (line) } } } }
        }
    }
}

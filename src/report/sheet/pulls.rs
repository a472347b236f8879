//! One setting at its part: the value, the passes with their tick boxes.

use maud::{Markup, html};

use crate::procedure::OnScale;
use crate::record::{Basis, Kind, Method, PassFrom, PassPlan, PassStep, Row, own_holes};
use crate::report::cells;
use crate::report::duties::{About, Harm};
use crate::report::figures::{Figures, joined};
use crate::report::lay::{capital, clean, untied};
use crate::report::pull::{Pull, stretch_figures};
use crate::report::sheet::Context;
use crate::report::sheet::cautions::Pulled;
use crate::report::sheet::facts::{at_turned, lube_words, sentence};
use crate::report::steps::{step_figures, step_share, step_words, with_prevailing};

/// The setting of a row; `chosen` if it is one of several, so that the one used
/// is ticked.
pub(crate) fn pull(pulled: &Pulled<'_>, chosen: bool, context: &Context<'_>) -> Markup {
    let row = &pulled.one.row;
    if row.setting.superseded {
        return superseded(row, context);
    }
    if let Some(why) = &row.refused {
        return html! { div.pull { p.notes { (cells::lube(&row.setting)) ": refused: " (clean(&why.to_string())) } } };
    }
    html! {
        div.pull.adapted[is_adapted(pulled, context)] {
            (value(row, chosen, context))
            (items("must", pulled.cautions()))
            // Without a figure there is nothing to pull or to tick.
            @if let Some(plan) = pulled.one.plan.as_ref().filter(|_| row.setting.is_complete()) {
                (passes(row, &with_prevailing(plan, &row.fastener), context))
                (grid(row, plan))
            }
            (after(pulled))
            @if let Some(words) = facts(pulled) { p.notes { (words) } }
            @if let Some(words) = estimate(row, context) { p.notes { (words) } }
        }
    }
}

/// Whether the wrench is set to another figure than that of the heading.
pub(crate) fn is_adapted(pulled: &Pulled<'_>, context: &Context<'_>) -> bool {
    let Some(plan) = &pulled.one.plan else { return false };
    let row = &pulled.one.row;
    let plan = with_prevailing(plan, &row.fastener);
    plan.steps.iter().any(|step| OnWrench::new(row, step, context).is_other())
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
    let pull = Pull::new(&row.setting, context.wanted).with_units();
    html! {
        div.pull {
            p.notes {
                span.struck { (untied(&pull)) " " (cells::lube(&row.setting)) }
                " SUPERSEDED: do not use (" (cells::source(row)) ")"
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
            span.basis.estimate[estimate] { (cells::basis(row)) }
            span.lube { (lube_words(row)) }
        }
    }
}

/// The figure to read first, and the same in other units.
pub(crate) fn figures(row: &Row, context: &Context<'_>) -> (String, Option<String>) {
    let pull = Pull::of_row(row, context.wanted);
    match &pull {
        Pull::Torque(figures, _) | Pull::Stretch(figures) => (pull.first(), other_units(figures)),
        Pull::Words(words) => (untied(words), None),
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
                    (OnWrench::new(row, step, context).drawn())
                }
            }
            @if plan.repeat {
                li {
                    span.n { "again" }
                    (last_again(row, plan, context))
                }
            }
            li.notes {
                (from_words(plan, several)) ". " (sentence("Source", &cells::source(row)))
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

/// A pass as the wrench has it: what it is set to, and the torque at what is turned where
/// an adapter makes that another one.
pub(crate) struct OnWrench {
    at_turned: String,
    place: &'static str,
    second: Option<String>,
    set: Option<String>,
    unfit: Option<&'static str>,
    share: Option<String>,
}

impl OnWrench {
    pub(crate) fn new(row: &Row, step: &PassStep, context: &Context<'_>) -> Self {
        let (at_turned, second) = step_parts(row, step, context);
        let place = self::at_turned(&row.fastener);
        let share = step_share(step).map(|share| format!("= {share}"));
        Self { at_turned, place, second, set: set_words(step), unfit: unfit(step), share }
    }

    /// Whether the wrench shows another figure, or cannot show it.
    pub(crate) fn is_other(&self) -> bool {
        self.set.as_ref().is_some_and(|set| *set != self.at_turned) || self.unfit.is_some()
    }

    /// `set 200 N·m`, `other wrench: above this wrench`; the torque where there is no wrench.
    pub(crate) fn words(&self) -> String {
        match (&self.set, self.unfit) {
            (_, Some(unfit)) => format!("other wrench: {} is {unfit}", self.at_turned),
            (Some(set), None) => format!("set {set}"),
            (None, None) => self.at_turned.clone(),
        }
    }

    /// What is set as the largest figure of its box.
    fn drawn(self) -> Markup {
        let is_other = self.is_other();
        let small = is_other.then(|| format!("{} {}", self.at_turned, self.place));
        html! {
            // The torque in its place would be read as the setting.
            @if self.unfit.is_some() { b.words { "other wrench" } }
            @else { b { (self.set.unwrap_or(self.at_turned)) } }
            span.tick {}
            @if let Some(second) = self.second.filter(|_| !is_other) { span.second { (second) } }
            @for line in [small, self.share, self.unfit.map(str::to_owned)].into_iter().flatten() {
                span.small { (line) }
            }
        }
    }
}

/// The mark that the wrench is set to, where there is one.
fn set_words(step: &PassStep) -> Option<String> {
    let setting = step.torque()?.setting?;
    (setting.on_scale == OnScale::Within).then(|| setting.mark())
}

/// That this wrench cannot show a pass; the reason in full is for the terminal.
fn unfit(step: &PassStep) -> Option<&'static str> {
    match step.torque()?.setting?.on_scale {
        OnScale::Within => None,
        OnScale::Below => Some("below this wrench"),
        OnScale::Above => Some("above this wrench"),
        OnScale::NoMark => Some("between the marks of this wrench"),
    }
}

/// The figure of a pass, and the same in other units.
fn step_parts(row: &Row, step: &PassStep, context: &Context<'_>) -> (String, Option<String>) {
    let verbatim = row.setting.basis != Basis::Computed;
    let figures = match step {
        PassStep::Torque(torque) => step_figures(torque, context.wanted, verbatim),
        PassStep::Stretch(window) => Some(stretch_figures(*window, context.wanted)),
        PassStep::Turn(_) | PassStep::Snug | PassStep::AsQuoted => None,
    };
    match figures {
        Some(figures) => (figures.first().with_units(), other_units(&figures)),
        None => (step_words(step, context.wanted, verbatim), None),
    }
}

/// The last pass once more, with the same setting.
fn last_again(row: &Row, plan: &PassPlan, context: &Context<'_>) -> Markup {
    html! {
        @if let Some(step) = plan.steps.last() { (OnWrench::new(row, step, context).drawn()) }
        span.small { "once more round" }
    }
}

/// Most bolts beside each other in the grid.
pub(crate) const GRID_COLUMNS: u32 = 12;
/// Most bolts that have a box of their own.
pub(crate) const GRID_BOLTS: u32 = 60;

/// Bolts by passes: a box to tick for each, and a line for what was read.
fn grid(row: &Row, plan: &PassPlan) -> Markup {
    let count = row.fastener.count.unwrap_or(1);
    if !(2..=GRID_BOLTS).contains(&count) {
        return html! { (blank("Read")) };
    }
    let numbers = own_holes(&row.fastener);
    let numbers = numbers.filter(|numbers| numbers.len() == count as usize);
    let numbers: Vec<usize> = numbers.unwrap_or_else(|| (1..=count as usize).collect());
    let passes = plan.steps.len() + usize::from(plan.repeat);
    // Fourteen are seven and seven, not twelve and two.
    let tables = numbers.len().div_ceil(GRID_COLUMNS as usize).max(1);
    html! {
        @for numbers in numbers.chunks(numbers.len().div_ceil(tables).max(1)) {
            table.grid {
                (grid_row(row.fastener.kind.map_or("no.", Kind::word), numbers, |number| html! { th { (number) } }))
                @for pass in 1..=passes {
                    (grid_row(&pass_name(pass, plan), numbers, |_| html! { td { span.tick {} } }))
                }
                // A stretch has a table of its own.
                @if row.setting.method != Method::Stretch {
                    (grid_row("read", numbers, |_| html! { td {} }))
                }
            }
        }
    }
}

/// A row of the grid, blank where the last table has fewer bolts.
fn grid_row(name: &str, numbers: &[usize], cell: impl Fn(usize) -> Markup) -> Markup {
    html! {
        tr {
            th { (name) }
            @for number in numbers { (cell(*number)) }
            @for _ in numbers.len()..GRID_COLUMNS as usize { td.none {} }
        }
    }
}

fn pass_name(pass: usize, plan: &PassPlan) -> String {
    match pass {
        again if again > plan.steps.len() => "once more".to_owned(),
        1 if plan.steps.len() == 1 => "pulled".to_owned(),
        pass => format!("pass {pass}"),
    }
}

/// What is good to know of a row, and no caution: the top of the band, a stretch
/// to check by.
fn facts(pulled: &Pulled<'_>) -> Option<String> {
    let own = pulled
        .texts(|duty| duty.about == About::Bolt && matches!(duty.harm, Harm::Near | Harm::Fact));
    let strain = Some(cells::strain(&pulled.one.row)).filter(|strain| !strain.is_empty());
    let all: Vec<String> = strain.into_iter().chain(own).collect();
    (!all.is_empty()).then(|| all.join("; "))
}

/// Each on a line, if there are any.
pub(crate) fn items(class: &str, texts: impl Iterator<Item = String>) -> Markup {
    let texts: Vec<String> = texts.collect();
    html! { @if !texts.is_empty() { ul class=(class) { @for text in texts { li { (text) } } } } }
}

/// A line to write on.
pub(crate) fn blank(label: &str) -> Markup {
    html! { span.blank { (label) i {} } }
}

/// What follows later, with a box for each.
fn after(pulled: &Pulled<'_>) -> Markup {
    html! {
        ul.after { @for line in pulled.later() { li { span.tick {} span { (capital(&line)) } } } }
    }
}

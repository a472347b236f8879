//! The rules that a general chart prints itself for another lube. A chart is
//! never converted by factors; its own rule is used, and named.

use crate::record::{Basis, Lube, LubeClass, Setting};

/// A rule printed with a chart.
#[derive(Debug, Clone, Copy)]
pub(super) struct ChartRule {
    /// What the title of the chart holds.
    chart: &'static str,
    /// The lube it is for, by its name in the reference tables.
    to: &'static str,
    /// What the chart's dry value is multiplied with.
    pub factor: f64,
    pub words: &'static str,
}

/// Charts of the reference tables that print a rule of their own: engine oil in
/// place of clean dry threads, 9/10 of the dry torque (US Army TM
/// 9-2320-362-14&P, appendix F, read from a copy).
static RULES: &[ChartRule] = &[ChartRule {
    chart: "TM 9-2320-362-14&P",
    to: "oil",
    factor: 0.9,
    words: "by the chart's own rule: with engine oil 10 % less than dry",
}];

/// The rule by which the chart of `setting`, a dry value, goes over to `to`.
pub(super) fn chart_rule(setting: &Setting, from: &Lube, to: &Lube) -> Option<&'static ChartRule> {
    let title = setting.source.title.as_deref().filter(|_| setting.basis == Basis::Chart)?;
    let is_dry = from.class == LubeClass::Dry;
    RULES.iter().find(|rule| is_dry && title.contains(rule.chart) && to.name == rule.to)
}

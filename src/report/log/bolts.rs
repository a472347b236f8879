//! Bolts that are told apart: tightenings, growth, keep or scrap.

use crate::quantity::{Length, Quantity, Stated};
use crate::record::{BoltSet, BoltState, BoltVerdict};
use crate::report::cells::stated;
use crate::report::lay::{clean, counted, tied};
use crate::report::page::{Head, Page, Table};

/// A bolt of a set.
#[derive(Debug, Clone, Copy)]
pub struct BoltRow<'a> {
    pub set: &'a BoltSet,
    /// The bolt as the log leaves it.
    pub state: &'a BoltState,
}

/// How much longer it is than when new, mm; none if a length is missing.
fn growth(state: &BoltState) -> Option<f64> {
    let (new, last) = (state.bolt.new?, state.last?);
    Some(last.value().mm() - new.value().mm())
}

/// In the unit of the length when new.
fn growth_words(state: &BoltState) -> String {
    stated(growth(state).zip(state.bolt.new).and_then(|(mm, new)| {
        let unit = new.written().unit;
        let places = if unit.factor > 10.0 { 4 } else { 3 };
        let size = Quantity::rounded(Length::from_mm(mm.abs()), unit, places)?;
        Some(format!("{}{size}", if mm < 0.0 { "-" } else { "+" }))
    }))
}

fn verdict(verdict: &BoltVerdict) -> (&'static str, Option<&str>) {
    match verdict {
        BoltVerdict::Keep => ("keep", None),
        BoltVerdict::Scrap(why) => ("SCRAP", Some(why)),
        BoltVerdict::CannotJudge(why) => ("cannot judge", Some(why)),
    }
}

/// The bolts, in each set the one that grew most first.
pub fn bolt_list<'a>(rows: &[BoltRow<'a>]) -> Page<'a> {
    let position = |row: &BoltRow<'_>| {
        let mark = row.state.bolt.mark.as_ref().map(|mark| format!(" {}", clean(mark)));
        tied(&format!("{}{}", clean(&row.state.bolt.position), mark.unwrap_or_default()))
    };
    let verdict_words = |row: &BoltRow<'_>| match verdict(&row.state.verdict) {
        (word, Some(why)) => format!("{word}: {}", clean(why)),
        (word, None) => word.to_owned(),
    };
    let why = |row: &BoltRow<'_>| verdict(&row.state.verdict).1.map(str::to_owned);
    let mm = |length: Option<Stated<Length>>| length.map(|length| length.value().mm());
    let text = |length: Option<Stated<Length>>| length.map(|length| length.to_string());
    let table = Table::new(by_growth(rows))
        .column(Head::words("set", 4), |row| clean(&row.set.name))
        .column(Head::solid("bolt"), position)
        .column(Head::number("tightenings"), |row| row.state.tightenings.to_string())
        .column(Head::solid("when new"), |row| stated(row.state.bolt.new))
        .column(Head::solid("last"), |row| stated(row.state.last))
        .column(Head::solid("growth"), |row| growth_words(row.state))
        .column(Head::words("verdict", 12), verdict_words)
        .key("set", |row| row.set.name.clone())
        .key("fastener", |row| row.set.fastener.clone())
        .key("position", |row| row.state.bolt.position.clone())
        .key("mark", |row| row.state.bolt.mark.clone())
        .key("tightenings", |row| row.state.tightenings)
        .key("new", move |row| text(row.state.bolt.new))
        .key("new_mm", move |row| mm(row.state.bolt.new))
        .key("last", move |row| text(row.state.last))
        .key("last_mm", move |row| mm(row.state.last))
        .key("growth_mm", |row| growth(row.state))
        .key("verdict", |row| verdict(&row.state.verdict).0.to_lowercase())
        .key("reason", why);
    let mut page = Page::of_table("rows", table);
    if !rows.is_empty() {
        let bolts = counted(rows.len(), "bolt");
        page.prose(format!("{bolts}; trial assemblies count as tightenings"));
    }
    page
}

fn by_growth<'a>(rows: &[BoltRow<'a>]) -> Vec<BoltRow<'a>> {
    let mut sorted = rows.to_vec();
    let grown = |row: &BoltRow<'_>| growth(row.state).unwrap_or(f64::NEG_INFINITY);
    sorted.sort_by(|a, b| a.set.name.cmp(&b.set.name).then_with(|| grown(b).total_cmp(&grown(a))));
    sorted
}

//! Bolts that are told apart: tightenings, growth, keep or scrap.

use crate::quantity::{Length, Quantity, Stated};
use crate::record::{BoltSet, BoltState, NOT_STATED, Verdict};
use crate::report::csv::keyed;
use crate::report::grid::Head;
use crate::report::json::Json;
use crate::report::lay::{clean, counted, tied};
use crate::report::pages::drawn;
use crate::report::passes::keys_of;

/// A bolt of a set.
#[derive(Debug, Clone, Copy)]
pub struct BoltRow<'a> {
    /// The set.
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
    let (Some(mm), Some(new)) = (growth(state), state.bolt.new) else {
        return NOT_STATED.to_owned();
    };
    let unit = new.written().unit;
    let places = if unit.factor > 10.0 { 4 } else { 3 };
    let size = Quantity::of(Length::from_mm(mm.abs()), unit, places);
    let sign = if mm < 0.0 { "-" } else { "+" };
    size.map_or_else(|| NOT_STATED.to_owned(), |size| tied(&format!("{sign}{size}")))
}

fn length(length: Option<Stated<Length>>) -> String {
    length.map_or_else(|| NOT_STATED.to_owned(), |length| tied(&length.to_string()))
}

fn verdict(verdict: &Verdict) -> (&'static str, Option<&str>) {
    match verdict {
        Verdict::Keep => ("keep", None),
        Verdict::Scrap(why) => ("SCRAP", Some(why)),
        Verdict::CannotJudge(why) => ("cannot judge", Some(why)),
    }
}

/// The bolts for a person, the one that grew most first.
pub fn bolt_list(rows: &[BoltRow<'_>], width: usize) -> String {
    let heads = vec![
        Head::words("set", 4),
        Head::solid("bolt"),
        Head::number("tightenings"),
        Head::solid("when new"),
        Head::solid("last"),
        Head::solid("growth"),
        Head::words("verdict", 12),
    ];
    let row = |row: &&BoltRow<'_>| {
        let BoltRow { set, state } = row;
        let mark = state.bolt.mark.as_ref().map(|mark| format!(" {}", clean(mark)));
        let (word, why) = verdict(&state.verdict);
        vec![
            clean(&set.name),
            tied(&format!("{}{}", clean(&state.bolt.position), mark.unwrap_or_default())),
            state.tightenings.to_string(),
            length(state.bolt.new),
            length(state.last),
            growth_words(state),
            why.map_or_else(|| word.to_owned(), |why| format!("{word}: {}", clean(why))),
        ]
    };
    let sorted = by_growth(rows);
    let list = drawn(heads, sorted.iter().map(row).collect(), width);
    format!("{list}{}; trial assemblies count as tightenings", counted(rows.len(), "bolt"))
}

/// By set, and in each the bolt that grew most first.
fn by_growth<'a, 'b>(rows: &'b [BoltRow<'a>]) -> Vec<&'b BoltRow<'a>> {
    let mut sorted: Vec<&BoltRow<'_>> = rows.iter().collect();
    let grown = |row: &BoltRow<'_>| growth(row.state).unwrap_or(f64::NEG_INFINITY);
    sorted.sort_by(|a, b| a.set.name.cmp(&b.set.name).then_with(|| grown(b).total_cmp(&grown(a))));
    sorted
}

fn json(row: &BoltRow<'_>) -> Json {
    let BoltRow { set, state } = row;
    let (word, why) = verdict(&state.verdict);
    Json::object(vec![
        ("set", (&set.name).into()),
        ("fastener", (&set.fastener).into()),
        ("position", (&state.bolt.position).into()),
        ("mark", state.bolt.mark.clone().into()),
        ("tightenings", state.tightenings.into()),
        ("new", state.bolt.new.map(|length| length.to_string()).into()),
        ("new_mm", state.bolt.new.map(|length| length.value().mm()).into()),
        ("last", state.last.map(|length| length.to_string()).into()),
        ("last_mm", state.last.map(|length| length.value().mm()).into()),
        ("growth_mm", growth(state).into()),
        ("verdict", word.to_lowercase().into()),
        ("reason", why.into()),
    ])
}

/// The bolts for a program.
pub fn bolt_list_json(rows: &[BoltRow<'_>]) -> String {
    let rows = by_growth(rows).into_iter().map(json).collect();
    Json::object(vec![("rows", Json::List(rows))]).lines()
}

/// The bolts as CSV.
pub fn bolt_list_csv(rows: &[BoltRow<'_>]) -> String {
    let rows: Vec<Json> = by_growth(rows).into_iter().map(json).collect();
    keyed(&keys_of(&rows), &rows)
}

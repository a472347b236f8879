//! What a change did to a lube or a strength, and its history.

use crate::record::{Band, FieldChange, Lube, StrengthClass, StrengthRow};
use crate::report::history::{Past, in_words, json_of, past_rows, signed};
use crate::report::lay::clean;
use crate::report::page::Page;
use crate::report::style::Tone;

/// A field with its text; none is "not stated".
type Cell = (&'static str, Option<String>);

/// The fields in which two states of a lube differ; all that are stated, if
/// there was none before.
pub fn lube_differences(old: Option<&Lube>, new: &Lube) -> Vec<FieldChange> {
    let band = |band: Option<Band>| band.map(|b| format!("{} ({}..{})", b.nominal, b.low, b.high));
    let cells = |lube: &Lube| {
        vec![
            ("aliases", list(&lube.aliases)),
            ("class", Some(lube.class.to_string())),
            ("k", band(lube.k)),
            ("mu-thread", band(lube.mu_thread)),
            ("mu-bearing", band(lube.mu_bearing)),
            ("convertible", Some(if lube.convertible { "yes" } else { "no" }.to_owned())),
            ("what", lube.what.clone()),
            ("source", lube.source.clone()),
        ]
    };
    compare(&format!("lube {}", new.name), old.map(cells), cells(new))
}

/// The same for a strength.
pub fn strength_differences(old: Option<&StrengthClass>, new: &StrengthClass) -> Vec<FieldChange> {
    let cells = |class: &StrengthClass| {
        let figures = |get: fn(&StrengthRow) -> Option<crate::quantity::Stress>| {
            let one = |row: &StrengthRow| get(row).map(|figure| figure_of(class, row, figure));
            let each: Vec<String> = class.rows.iter().filter_map(one).collect();
            Some(each.join("; ")).filter(|text| !text.is_empty())
        };
        vec![
            ("aliases", list(&class.aliases)),
            ("proof", figures(|row| row.proof)),
            ("yield", figures(|row| row.yield_)),
            ("tensile", figures(|row| row.tensile)),
            ("unit", Some(class.unit.symbol.to_owned())),
            ("source", Some(class.source.clone()).filter(|text| !text.is_empty())),
        ]
    };
    compare(&format!("strength {}", new.name), old.map(cells), cells(new))
}

/// A figure with the sizes that it holds for.
fn figure_of(class: &StrengthClass, row: &StrengthRow, figure: crate::quantity::Stress) -> String {
    let size = |mm: f64| (mm * 1000.0).round() / 1000.0;
    let over = if row.above { "over " } else { "" };
    let figure = (figure.mpa() / class.unit.factor * 1000.0).round() / 1000.0;
    let (from, to) = (size(row.from.mm()), size(row.to.mm()));
    format!("{figure} {} ({over}{from} to {to} mm)", class.unit.symbol)
}

fn list(names: &[String]) -> Option<String> {
    Some(names.join("; ")).filter(|text| !text.is_empty())
}

fn compare(key: &str, old: Option<Vec<Cell>>, new: Vec<Cell>) -> Vec<FieldChange> {
    let old = old.unwrap_or_else(|| new.iter().map(|(field, _)| (*field, None)).collect());
    let pairs = old.into_iter().zip(new).filter(|((_, old), (_, new))| old != new);
    let change = |((field, old), (_, new)): (Cell, Cell)| {
        let key = key.to_owned();
        FieldChange { key, field: field.into(), old, new }
    };
    pairs.map(change).collect()
}

/// One change of a lube or strength.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TableEntry {
    /// The revision of the book that it made.
    pub revision: u64,
    /// Who made it; empty if not stated.
    pub who: String,
    /// When, UTC, ISO 8601; empty if not stated.
    pub when: String,
    /// The fields that differ, as [`table_note`] wrote them.
    pub changes: String,
}

/// Changes as the book keeps them: a JSON list of key, field, old and new.
pub fn table_note(changes: &[FieldChange]) -> String {
    json_of(changes).to_string()
}

/// The history of a lube or strength, oldest first.
pub fn table_history_page(title: &str, entries: &[TableEntry]) -> Page<'static> {
    let mut page = Page::new();
    if entries.is_empty() {
        page.remark(Tone::Plain, format!("{}: never changed here", clean(title)));
    }
    let mut lines = Vec::new();
    let mut past = Vec::new();
    for entry in entries {
        lines.push(signed(&entry.when, &entry.who, entry.revision));
        for change in changes_of(entry) {
            lines.push(format!("  {}", in_words(&change)));
            let (who, when) = (entry.who.clone(), entry.when.clone());
            past.push(Past { revision: entry.revision, who, when, change: Some(change) });
        }
    }
    page.drawn(move |_, _| lines.clone());
    page.value("key", title);
    page.rows("history", past_rows(past));
    page
}

/// What a note says; what it does not say soundly is left out.
fn changes_of(entry: &TableEntry) -> Vec<FieldChange> {
    let Ok(serde_json::Value::Array(changes)) = serde_json::from_str(&entry.changes) else {
        return Vec::new();
    };
    let one = |change: serde_json::Value| {
        let text = |name: &str| change.get(name).and_then(|text| text.as_str()).map(str::to_owned);
        let (key, field) = (text("key")?, text("field")?.into());
        Some(FieldChange { key, field, old: text("old"), new: text("new") })
    };
    changes.into_iter().filter_map(one).collect()
}

//! What a change did to a fastener, and its history: who, when, and the old
//! and the new text of each field that differs.

use std::sync::Arc;

use serde_json::Value;

use crate::record::{Fastener, FieldChange, differences};
use crate::report::lay::clean;
use crate::report::page::{Page, Rows, Table};
use crate::report::style::Tone;

/// One change of a fastener.
#[derive(Debug, Clone, PartialEq)]
pub struct HistoryEntry {
    /// The revision of the book that it made.
    pub revision: u64,
    /// Who made it; empty if not stated.
    pub who: String,
    /// When, UTC, ISO 8601; empty if not stated.
    pub when: String,
    /// The fastener before.
    pub old: Arc<Fastener>,
    /// The fastener after; none if it was removed.
    pub new: Option<Arc<Fastener>>,
}

pub(crate) fn in_words(change: &FieldChange) -> String {
    let text = |value: Option<&String>| {
        value.map_or_else(|| crate::record::NOT_STATED.to_owned(), |value| clean(value))
    };
    let (old, new) = (text(change.old.as_ref()), text(change.new.as_ref()));
    format!("{}: {} {old} -> {new}", clean(&change.key), change.field)
}

/// The keys of a change.
pub(crate) fn change_keys<'a>(changes: Vec<FieldChange>) -> Table<'a, FieldChange> {
    Table::new(changes)
        .key("key", |change| change.key.clone())
        .key("field", |change| change.field.to_string())
        .key("old", |change| change.old.clone())
        .key("new", |change| change.new.clone())
}

/// Changes as a list for a program.
pub(crate) fn json_of(changes: &[FieldChange]) -> Value {
    let rows = change_keys(changes.to_vec());
    (0..changes.len()).map(|at| Value::Object(Rows::row(&rows, at))).collect::<Vec<_>>().into()
}

/// What a change just did, one line a field, with the revision that it made.
pub fn changed_page(key: &str, changes: &[FieldChange], revision: u64) -> Page<'static> {
    let mut page = Page::new();
    if changes.is_empty() {
        page.remark(Tone::Plain, "nothing changed: the book says so already");
    }
    let lines: Vec<String> = changes.iter().map(in_words).collect();
    page.drawn(move |_, _| lines.clone());
    page.value("key", key);
    page.rows("changes", change_keys(changes.to_vec()));
    page.value("revision", revision);
    page
}

/// That something was removed.
pub fn removed_page(name: &str, words: &str, revision: u64) -> Page<'static> {
    let mut page = Page::new();
    page.prose(words);
    page.fact("key", name);
    page.fact("removed", true);
    page.fact("revision", revision);
    page
}

fn changes_of(entry: &HistoryEntry) -> Vec<FieldChange> {
    entry.new.as_ref().map(|new| differences(&entry.old, new)).unwrap_or_default()
}

/// When and by whom, before what a change did.
pub(crate) fn signed(when: &str, who: &str, revision: u64) -> String {
    let or = |text: &str, other: &str| if text.is_empty() { other.to_owned() } else { clean(text) };
    let (when, who) = (or(when, "time not stated"), or(who, "name not stated"));
    format!("{when}, {who}, revision {revision}")
}

/// A field that changed, with the revision, who and when.
pub(crate) struct Past {
    pub(crate) revision: u64,
    pub(crate) who: String,
    pub(crate) when: String,
    /// None for a removal.
    pub(crate) change: Option<FieldChange>,
}

/// `history`, one row for each field that changed and for a removal.
pub(crate) fn past_rows<'a>(past: Vec<Past>) -> Table<'a, Past> {
    let given = |text: &str| Some(text.to_owned()).filter(|text| !text.is_empty());
    let change = |past: &Past| past.change.clone();
    Table::new(past)
        .key("revision", |past| past.revision)
        .key("who", move |past| given(&past.who))
        .key("when", move |past| given(&past.when))
        .key("removed", |past| past.change.is_none())
        .key("key", move |past| change(past).map(|change| change.key))
        .key("field", move |past| change(past).map(|change| change.field))
        .key("old", move |past| change(past).and_then(|change| change.old))
        .key("new", move |past| change(past).and_then(|change| change.new))
}

/// The history of a fastener, oldest first.
pub fn history_page(key: &str, entries: &[HistoryEntry]) -> Page<'static> {
    let mut page = Page::new();
    if entries.is_empty() {
        page.remark(Tone::Plain, format!("{}: never changed since it was entered", clean(key)));
    }
    let mut lines = Vec::new();
    let mut past = Vec::new();
    for entry in entries {
        let at = |change| Past {
            revision: entry.revision,
            who: entry.who.clone(),
            when: entry.when.clone(),
            change,
        };
        lines.push(signed(&entry.when, &entry.who, entry.revision));
        if entry.new.is_none() {
            lines.push(format!("  {} removed", clean(&entry.old.key)));
            past.push(at(None));
        }
        for change in changes_of(entry) {
            lines.push(format!("  {}", in_words(&change)));
            past.push(at(Some(change)));
        }
    }
    page.drawn(move |_, _| lines.clone());
    page.value("key", key);
    page.rows("history", past_rows(past));
    page
}

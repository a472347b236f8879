//! What a change did to a fastener, and its history: who, when, and the old
//! and the new text of each field that differs.

use std::sync::Arc;

use crate::record::{Fastener, FieldChange, differences};
use crate::report::json::Json;
use crate::report::lay::clean;

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

pub(crate) fn json_of(changes: &[FieldChange]) -> Json {
    let one = |change: &FieldChange| {
        let text = |value: Option<&String>| value.map_or(Json::Null, |value| value.clone().into());
        Json::object(vec![
            ("key", change.key.clone().into()),
            ("field", Json::from(&*change.field)),
            ("old", text(change.old.as_ref())),
            ("new", text(change.new.as_ref())),
        ])
    };
    Json::List(changes.iter().map(one).collect())
}

/// What a change just did, one line a field.
pub fn changed_page(changes: &[FieldChange]) -> String {
    if changes.is_empty() {
        return "nothing changed: the book says so already".to_owned();
    }
    changes.iter().map(in_words).collect::<Vec<_>>().join("\n")
}

/// What a change just did as JSON, with the revision that it made.
pub fn changed_json(key: &str, changes: &[FieldChange], revision: u64) -> String {
    Json::object(vec![
        ("key", key.to_owned().into()),
        ("changes", json_of(changes)),
        ("revision", revision.into()),
    ])
    .to_string()
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

/// The history of a fastener, oldest first.
pub fn history_page(key: &str, entries: &[HistoryEntry]) -> String {
    if entries.is_empty() {
        return format!("{}: never changed since it was entered", clean(key));
    }
    let mut lines = Vec::new();
    for entry in entries {
        lines.push(signed(&entry.when, &entry.who, entry.revision));
        match &entry.new {
            None => lines.push(format!("  {} removed", clean(&entry.old.key))),
            Some(_) => {
                lines.extend(changes_of(entry).iter().map(|one| format!("  {}", in_words(one))));
            }
        }
    }
    lines.join("\n")
}

/// The history of a fastener as JSON.
pub fn history_json(key: &str, entries: &[HistoryEntry]) -> String {
    let text = |text: &str| if text.is_empty() { Json::Null } else { text.into() };
    let one = |entry: &HistoryEntry| {
        Json::object(vec![
            ("revision", entry.revision.into()),
            ("who", text(&entry.who)),
            ("when", text(&entry.when)),
            ("removed", Json::Bool(entry.new.is_none())),
            ("changes", json_of(&changes_of(entry))),
        ])
    };
    Json::object(vec![
        ("key", key.to_owned().into()),
        ("history", Json::List(entries.iter().map(one).collect())),
    ])
    .to_string()
}

/// A removal as JSON.
pub fn removed_json(key: &str, revision: u64) -> String {
    Json::object(vec![
        ("key", key.to_owned().into()),
        ("removed", Json::Bool(true)),
        ("revision", revision.into()),
    ])
    .to_string()
}

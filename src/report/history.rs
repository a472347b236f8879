//! What a change did to a record, and its history: who, when, and the old
//! and the new text of each field that differs.

use serde_json::Value;

use crate::record::FieldChange;
use crate::report::lay::{clean, or_not_stated};
use crate::report::page::{Page, Table};
use crate::report::style::Tone;

/// One change of a record.
#[derive(Debug, Clone, PartialEq)]
pub struct HistoryEntry {
    /// The revision of the book that it made; none for the bench, which makes none.
    pub revision: Option<u64>,
    /// Who made it; empty if not stated.
    pub who: String,
    /// When, UTC, ISO 8601; empty if not stated.
    pub when: String,
    pub removed: Option<String>,
    pub changes: Vec<FieldChange>,
}

fn in_words(change: &FieldChange) -> String {
    let [old, new] = [&change.old, &change.new].map(|value| or_not_stated(value.as_ref()));
    format!("{}: {} {old} -> {new}", clean(&change.key), change.field)
}

fn change_keys<'a>(changes: Vec<FieldChange>) -> Table<'a, FieldChange> {
    Table::new(changes)
        .key("key", |change| change.key.clone())
        .key("field", |change| change.field.to_string())
        .key("old", |change| change.old.clone())
        .key("new", |change| change.new.clone())
}

/// Changes as the book keeps them in a note: a JSON list of key, field, old, new.
pub fn note_of_changes(changes: &[FieldChange]) -> String {
    let rows = change_keys(changes.to_vec());
    Value::from(rows.objects().map(Value::Object).collect::<Vec<_>>()).to_string()
}

/// What such a note says; what it does not say soundly is left out.
pub fn noted_changes(note: &str) -> Vec<FieldChange> {
    let Ok(Value::Array(changes)) = serde_json::from_str(note) else { return Vec::new() };
    let one = |change: Value| {
        let text = |name: &str| change.get(name).and_then(Value::as_str).map(str::to_owned);
        let (key, field) = (text("key")?, text("field")?.into());
        Some(FieldChange { key, field, old: text("old"), new: text("new") })
    };
    changes.into_iter().filter_map(one).collect()
}

/// What a change just did, one line a field, with the revision that it made.
pub fn changed_page(key: &str, changes: &[FieldChange], revision: u64) -> Page<'static> {
    let mut page = Page::new();
    if changes.is_empty() {
        page.remark(Tone::Plain, "nothing changed: the book says so already");
    }
    done(page, key, changes, changes.iter().map(in_words).collect(), revision)
}

/// `page` with what was done: `lines` for people, every field for a program.
fn done(
    mut page: Page<'static>,
    key: &str,
    changes: &[FieldChange],
    lines: Vec<String>,
    revision: u64,
) -> Page<'static> {
    page.drawn(move |_, _| lines.clone());
    page.value("key", key);
    page.rows("changes", change_keys(changes.to_vec()));
    page.value("revision", revision);
    page
}

/// What is kept of every new record without a word of it.
const USUAL: [&str; 6] =
    ["method", "basis", "entered-on", "entered-by", "superseded", "this-lube-only"];

/// What was entered, and what was concluded from it; for a program every field.
pub fn entered_page(
    key: &str,
    changes: &[FieldChange],
    typed: &[&str],
    revision: u64,
) -> Page<'static> {
    let is_shown =
        |one: &&FieldChange| typed.contains(&&*one.field) || !USUAL.contains(&&*one.field);
    let line = |one: &FieldChange| {
        let new = one.new.as_deref().map_or_else(String::new, clean);
        format!("{}: {} {new}", clean(&one.key), one.field)
    };
    let lines = changes.iter().filter(is_shown).map(line).collect();
    done(Page::new(), key, changes, lines, revision)
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

/// When and by whom, before what a change did.
fn signed(entry: &HistoryEntry) -> String {
    let or = |text: &str, other: &str| if text.is_empty() { other.to_owned() } else { clean(text) };
    let (when, who) = (or(&entry.when, "time not stated"), or(&entry.who, "name not stated"));
    let revision = entry.revision.map(|revision| format!(", revision {revision}"));
    format!("{when}, {who}{}", revision.unwrap_or_default())
}

/// What a program reads of the past: a field that an entry changed; none for a removal.
type Past<'a> = (&'a HistoryEntry, Option<&'a FieldChange>);

/// `history`, one row for each field that changed and for a removal.
fn past_rows(past: Vec<Past<'_>>) -> Table<'_, Past<'_>> {
    let given = |text: &str| Some(text.to_owned()).filter(|text| !text.is_empty());
    Table::new(past)
        .key("revision", |(entry, _)| entry.revision)
        .key("who", move |(entry, _)| given(&entry.who))
        .key("when", move |(entry, _)| given(&entry.when))
        .key("removed", |(_, change)| change.is_none())
        .key("key", |(_, change)| change.map(|change| change.key.clone()))
        .key("field", |(_, change)| change.map(|change| change.field.to_string()))
        .key("old", |(_, change)| change.and_then(|change| change.old.clone()))
        .key("new", |(_, change)| change.and_then(|change| change.new.clone()))
}

/// The history of a record, oldest first.
pub fn history_page<'a>(key: &str, entries: &'a [HistoryEntry]) -> Page<'a> {
    let mut page = Page::new();
    if entries.is_empty() {
        page.remark(Tone::Plain, format!("{}: never changed since it was entered", clean(key)));
    }
    let mut lines = Vec::new();
    let mut past = Vec::new();
    for entry in entries {
        lines.push(signed(entry));
        if let Some(removed) = &entry.removed {
            lines.push(format!("  {} removed", clean(removed)));
            past.push((entry, None));
        }
        for change in &entry.changes {
            lines.push(format!("  {}", in_words(change)));
            past.push((entry, Some(change)));
        }
    }
    page.drawn(move |_, _| lines.clone());
    page.value("key", key);
    page.rows("history", past_rows(past));
    page
}

//! `book info` and `book verify`: what is known of a book, and whether it is whole.

use crate::record::BookInfo;
use crate::report::lay::{clean, counted};
use crate::report::page::Page;

/// What `book info` answers. On a `server` that keeps the book the folder holds what was
/// fetched from there, and `unsent` lines of the log wait; `set` is what the shop has set:
/// units, who, pager.
pub fn book_page(
    book: &BookInfo,
    (server, unsent): (Option<String>, usize),
    set: &[(String, String)],
) -> Page<'static> {
    let mut page = Page::new();
    let folder = book.path.display().to_string();
    let count = |count: u64| usize::try_from(count).unwrap_or(usize::MAX);
    let holds = [
        counted(book.joints, "joint"),
        counted(count(book.fasteners), "fastener"),
        counted(count(book.settings), "setting"),
    ];
    let tables = [counted(book.lubes, "lube"), counted(book.strengths, "strength")];
    if let Some(server) = server {
        page.shown_whole("book", clean(&server));
        page.shown_whole("fetched into", clean(&folder));
        page.fact("server", server);
        page.fact("not_sent_yet", unsent);
    } else {
        page.shown_whole("book", clean(&folder));
    }
    page.shown("revision", book.generation.to_string());
    page.shown("holds", holds.join(", "));
    page.shown("tables", tables.join(", "));
    page.shown("on disk", format!("{} bytes, format {}", book.bytes, book.format));
    for (name, value) in set {
        page.shown(format!("set {name}"), clean(value));
    }
    page.fact("folder", folder);
    page.fact("revision", book.generation);
    page.fact("format", book.format);
    page.fact("joints", book.joints);
    page.fact("fasteners", book.fasteners);
    page.fact("settings", book.settings);
    page.fact("lubes", book.lubes);
    page.fact("strengths", book.strengths);
    page.fact("bytes", book.bytes);
    for (name, value) in set {
        page.fact(format!("set_{name}"), value.clone());
    }
    page
}

/// A change that was taken back.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Undone {
    /// The revision that it made; none for a change of the bench, which makes none.
    pub of: Option<u64>,
    pub who: String,
    /// When, UTC.
    pub when: String,
    /// Keys of the fasteners that are as they were, or the record of the bench.
    pub changed: Vec<String>,
    /// Keys of those that are back.
    pub removed: Vec<String>,
    /// Keys of those that are gone.
    pub entered: Vec<String>,
    /// Lubes and strengths that are as they were.
    pub tables: Vec<String>,
    pub revision: u64,
}

impl Undone {
    /// The change: "revision 7 (bench, 2026-05-04T10:20:00Z): 2 fasteners changed".
    pub fn in_words(&self) -> String {
        let by = [&self.who, &self.when].into_iter().filter(|text| !text.is_empty());
        let by = by.map(|text| clean(text)).collect::<Vec<_>>().join(", ");
        let by = if by.is_empty() { by } else { format!(" ({by})") };
        let kinds =
            [(&self.changed, "changed"), (&self.removed, "removed"), (&self.entered, "entered")];
        let mut what: Vec<String> = kinds
            .iter()
            .filter(|(keys, _)| !keys.is_empty())
            .map(|(keys, done)| match keys.as_slice() {
                [key] => format!("{} {done}", clean(key)),
                keys => format!("{} {done}", counted(keys.len(), "fastener")),
            })
            .collect();
        what.extend(match self.tables.as_slice() {
            [] => None,
            [one] => Some(format!("{} changed", clean(one))),
            several => Some(format!("{} lubes and strengths changed", several.len())),
        });
        let of = self.of.map_or("the last change".to_owned(), |of| format!("revision {of}"));
        format!("{of}{by}: {}", what.join(", "))
    }
}

/// What `book undo` answers.
pub fn undo_page(undone: &Undone) -> Page<'static> {
    let mut page = Page::new();
    page.prose(format!("took back {}", undone.in_words()));
    page.shown("revision", undone.revision.to_string());
    page.fact("took_back", undone.of);
    page.fact("revision", undone.revision);
    page.fact("who", undone.who.clone());
    page.fact("when", undone.when.clone());
    page.fact("changed", undone.changed.clone());
    page.fact("removed", undone.removed.clone());
    page.fact("entered", undone.entered.clone());
    page.fact("tables", undone.tables.clone());
    page
}

/// What `book verify` answers: what it counted and what it found; `skipped` says why
/// the book of record was not looked at.
pub fn verify_page(
    (fasteners, settings): (u64, u64),
    damage: Vec<String>,
    skipped: Option<String>,
) -> Page<'static> {
    let mut page = Page::new();
    let read = format!("{fasteners} fasteners, {settings} settings read");
    page.prose(match damage.len() {
        0 if skipped.is_some() => {
            format!("{read}: what was looked at is whole, the book of record was not.")
        }
        0 => format!("{read}: all of it is whole."),
        _ => format!("{read}: damaged."),
    });
    page.fact("whole", damage.is_empty() && skipped.is_none());
    page.fact("fasteners", fasteners);
    page.fact("settings", settings);
    page.fact("damage", damage);
    page.fact("skipped", skipped);
    page
}

//! A source in one cell: title, page and revision taken apart.

use crate::intake::verdict::Taken;
use crate::record::SourceKind;
use crate::text::fold_name;

/// What a source cell says.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct SourceCell {
    pub(crate) title: Option<String>,
    pub(crate) page: Option<String>,
    pub(crate) revision: Option<String>,
    pub(crate) kind: Option<SourceKind>,
}

/// Which parts may be taken out of the cell: those that have no column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Split {
    pub(crate) page: bool,
    pub(crate) revision: bool,
}

const PAGE: &[&str] = &["p", "pp", "pg", "page", "pages"];
const REVISION: &[&str] = &["rev", "revision", "ed", "edition", "issue"];

/// Reads `Sheet H7 rev C p. 12`.
pub(crate) fn read_source(cell: &str, split: Split) -> Taken<SourceCell> {
    let text = cell.trim();
    if matches!(fold_name(text).as_str(), "memory" | "from memory" | "by memory") {
        let source = SourceCell {
            title: Some(text.to_owned()),
            kind: Some(SourceKind::Memory),
            ..SourceCell::default()
        };
        return Taken::plain(source);
    }
    let mut source = SourceCell::default();
    let mut title: Vec<&str> = Vec::new();
    let mut words = text.split_whitespace().peekable();
    while let Some(word) = words.next() {
        let bare = word.trim_matches(['(', ')', ',', ';', '[', ']']);
        let folded = bare.trim_end_matches('.').to_lowercase();
        let next = words.peek().map(|next| next.trim_matches(['(', ')', ',', ';', '[', ']']));
        let first = title.is_empty();
        let glued = glued(bare);
        let is_page = split.page && source.page.is_none() && !first;
        let is_revision = split.revision && source.revision.is_none() && !first;
        match (glued, next) {
            (Some((true, value)), _) if is_page => source.page = Some(value.to_owned()),
            (Some((false, value)), _) if is_revision => source.revision = Some(value.to_owned()),
            (None, Some(value)) if is_page && PAGE.contains(&&*folded) && is_value(value) => {
                source.page = Some(value.trim_end_matches('.').to_owned());
                words.next();
            }
            (None, Some(value))
                if is_revision && REVISION.contains(&&*folded) && is_short(value) =>
            {
                source.revision = Some(value.trim_end_matches('.').to_owned());
                words.next();
            }
            _ => title.push(word),
        }
    }
    let title = title.join(" ");
    let title = title.trim_end_matches([',', ';', '(', ' ', '-', '–']).to_owned();
    source.title = Some(title).filter(|title| !title.is_empty());
    let is_split = source.page.is_some() || source.revision.is_some();
    let taken = Taken::plain(source);
    if is_split { taken.echo("source", "taken apart into title, page and revision") } else { taken }
}

/// A page holds a digit.
fn is_value(value: &str) -> bool {
    value.chars().any(|c| c.is_ascii_digit())
}

/// A revision is a letter, a number or a year.
fn is_short(value: &str) -> bool {
    let value = value.trim_end_matches('.');
    (1..=2).contains(&value.chars().count()) || is_value(value)
}

/// `p.12`, `pg12`, `rev.C`: true for a page.
fn glued(word: &str) -> Option<(bool, &str)> {
    let lower = word.to_ascii_lowercase();
    for (starts, is_page) in [(["page", "pg.", "pg", "p."].as_slice(), true), (&["rev."], false)] {
        for start in starts {
            let Some(rest) = lower.strip_prefix(start) else { continue };
            let value = &word[word.len() - rest.len()..];
            let sound = if is_page {
                value.starts_with(|c: char| c.is_ascii_digit())
            } else {
                is_short(value)
            };
            if sound {
                return Some((is_page, value));
            }
        }
    }
    // revC, Rev2
    let value = word.strip_prefix("rev").or_else(|| word.strip_prefix("Rev"));
    let letter = |value: &str| value.chars().all(|c| c.is_ascii_uppercase() || c.is_ascii_digit());
    if let Some(value) = value.filter(|value| (1..=2).contains(&value.len()) && letter(value)) {
        return Some((false, value));
    }
    let rest = word.strip_prefix('p')?;
    rest.starts_with(|c: char| c.is_ascii_digit()).then_some((true, rest))
}

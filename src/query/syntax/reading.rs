//! How a part that mixes neighbours with `or` is read, said in words.

use super::tree::{All, ClauseKind, Filter, Item, Join, Part, Question, What};

impl Question {
    /// One line for each part that mixes neighbours with `or`: how it is read,
    /// and how to write the other reading.
    ///
    /// `M10 moly or oil` gives `read as (M10 and moly) or oil; for the other:
    /// M10, moly or oil`.
    pub fn readings(&self) -> Vec<String> {
        self.readings_with(&|_| false)
    }

    /// The same, where `continues` tells that an item belongs to the same name
    /// as the item before it (`oil pan`): such neighbours are not mixed.
    pub fn readings_with(&self, continues: &dyn Fn(&Item) -> bool) -> Vec<String> {
        let mut lines = Vec::new();
        let kept = self.clauses.iter().filter_map(|clause| match &clause.what {
            ClauseKind::Keep(filter) => Some(filter),
            _ => None,
        });
        for filter in self.filter.iter().chain(kept) {
            of_filter(filter, continues, &mut lines);
        }
        lines
    }
}

fn of_filter(filter: &Filter, continues: &dyn Fn(&Item) -> bool, lines: &mut Vec<String>) {
    for part in &filter.parts {
        lines.extend(of_part(part, continues));
        for item in part.alternatives.iter().flat_map(|all| &all.items) {
            if let What::Group(inner) = &item.what {
                of_filter(inner, continues, lines);
            }
        }
    }
}

fn of_part(part: &Part, continues: &dyn Fn(&Item) -> bool) -> Option<String> {
    let beside = |item: &Item| item.join == Join::Beside && !continues(item);
    let mixed = part.alternatives.len() > 1
        && part.alternatives.iter().flat_map(|all| &all.items).any(beside);
    if !mixed {
        return None;
    }
    let read: Vec<String> = part
        .alternatives
        .iter()
        .map(|all| {
            let several = all.items.iter().skip(1).any(|item| !continues(item));
            let text = joined(all, " and ", continues);
            if several { format!("({text})") } else { text }
        })
        .collect();
    let other: Vec<String> =
        part.alternatives.iter().map(|all| joined(all, ", ", continues)).collect();
    Some(format!("read as {}; for the other: {}", read.join(" or "), other.join(" or ")))
}

/// The items of `all`, with `between` where two stand side by side.
fn joined(all: &All, between: &str, continues: &dyn Fn(&Item) -> bool) -> String {
    let mut text = String::new();
    for item in &all.items {
        text.push_str(match item.join {
            Join::First => "",
            Join::Beside if continues(item) => " ",
            Join::Beside => between,
            Join::And => " and ",
        });
        text.push_str(&item.to_string());
    }
    text
}

//! The tree printed again. What is printed parses to the same tree. And how a part
//! that mixes neighbours with `or` is read, in words.
//!
//! Leaves are printed as typed: a part number keeps its zeros, a torque its
//! unit. Words of the language are printed in the one spelling that needs no
//! quotes in a shell.

use std::fmt::{self, Display, Formatter};

use super::tree::{
    All, Atom, Bare, Clause, ClauseKind, Filter, Item, Join, Leaf, Name, Part, Phrase, Product,
    Question, Read, SortColumn, Sum, Target, Test, Units, What,
};

impl Display for Question {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        if let Some(filter) = &self.filter {
            filter.fmt(f)?;
        }
        for (at, clause) in self.clauses.iter().enumerate() {
            if at > 0 || self.filter.is_some() {
                f.write_str(" ")?;
            }
            clause.fmt(f)?;
        }
        Ok(())
    }
}

/// Writes `items` with `between` between them.
fn join<T: Display>(f: &mut Formatter<'_>, items: &[T], between: &str) -> fmt::Result {
    for (at, item) in items.iter().enumerate() {
        if at > 0 {
            f.write_str(between)?;
        }
        item.fmt(f)?;
    }
    Ok(())
}

impl Display for Filter {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        join(f, &self.parts, ", ")
    }
}

impl Display for Part {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        join(f, &self.alternatives, " or ")
    }
}

impl Display for All {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        for item in &self.items {
            match item.join {
                Join::First => {}
                Join::Beside => f.write_str(" ")?,
                Join::And => f.write_str(" and ")?,
            }
            item.fmt(f)?;
        }
        Ok(())
    }
}

impl Display for Item {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        if self.not.is_some() {
            f.write_str("not ")?;
        }
        self.what.fmt(f)
    }
}

impl Display for What {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        match self {
            Self::Group(filter) => write!(f, "({filter})"),
            Self::Test(test) => test.fmt(f),
            Self::Bare(bare) => bare.fmt(f),
        }
    }
}

impl Display for Test {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        match self {
            Self::Is { field, value } => write!(f, "{field} {value}"),
            Self::Range { field, low, high } => write!(f, "{field} {low}..{high}"),
            Self::Compare { left, relation, right } => {
                write!(f, "{left} {} {right}", relation.relation.spelling())
            }
            Self::Unknown { word, relation, right } => {
                write!(f, "{word} {} {right}", relation.relation.spelling())
            }
            Self::Has { field } => write!(f, "has {field}"),
            Self::Lacks { field } => write!(f, "lacks {field}"),
            Self::No { field } => write!(f, "no {field}"),
            Self::ConfusedWith { thread } => write!(f, "confused-with {thread}"),
        }
    }
}

impl Display for Bare {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        match self {
            Self::Value(leaf) => leaf.fmt(f),
            Self::ThreadAndLength { thread, length } => write!(f, "{thread} x {length}"),
        }
    }
}

impl Display for Name {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl Display for Leaf {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        match self.read {
            Read::Quoted => f.write_str(&super::quote(&self.text)),
            _ => f.write_str(&self.text),
        }
    }
}

impl Display for Sum {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        self.first.fmt(f)?;
        for (operator, product) in &self.rest {
            write!(f, " {} {product}", operator.spelling())?;
        }
        Ok(())
    }
}

impl Display for Product {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        self.first.fmt(f)?;
        for (operator, atom) in &self.rest {
            write!(f, " {} {atom}", operator.spelling())?;
        }
        Ok(())
    }
}

impl Display for Atom {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        match self {
            Self::Leaf(leaf) => leaf.fmt(f),
            Self::Group(sum) => write!(f, "({sum})"),
        }
    }
}

impl Display for Clause {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        f.write_str(self.word().spelling())?;
        if let ClauseKind::Tally { by, total } = &self.what {
            if !by.is_empty() {
                f.write_str(" ")?;
                join(f, by, ", ")?;
            }
            return total.as_ref().map_or(Ok(()), |total| write!(f, " total {total}"));
        }
        f.write_str(" ")?;
        match &self.what {
            ClauseKind::With(lubes) => join(f, lubes, ", "),
            ClauseKind::Target(target) => target.fmt(f),
            ClauseKind::Keep(filter) => filter.fmt(f),
            ClauseKind::Show(columns) => join(f, columns, ", "),
            ClauseKind::Sort(columns) => join(f, columns, ", "),
            ClauseKind::First(count) => count.fmt(f),
            ClauseKind::Units(units) => units.fmt(f),
            ClauseKind::On(wrench) => wrench.fmt(f),
            ClauseKind::Tally { .. } => Ok(()),
        }
    }
}

impl Display for Phrase {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        if self.quoted { f.write_str(&super::quote(&self.text)) } else { f.write_str(&self.text) }
    }
}

impl Display for Target {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        self.amount.fmt(f)?;
        self.share.map_or(Ok(()), |share| write!(f, " {}", share.spelling()))
    }
}

impl Display for SortColumn {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        self.sum.fmt(f)?;
        if self.down { f.write_str(" down") } else { Ok(()) }
    }
}

impl Display for Units {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        match self {
            Self::Family(family) => f.write_str(family.spelling()),
            Self::Each(units) => {
                let symbols: Vec<&str> = units.iter().map(|(unit, _)| unit.symbol).collect();
                join(f, &symbols, ", ")
            }
        }
    }
}

impl Question {
    /// One line for each part that mixes neighbours or `and` with `or`: how it is read,
    /// and how to write the other reading.
    ///
    /// `M10 moly or oil` gives `read as (M10 and moly) or oil; for the other:
    /// M10, moly or oil`.
    /// Where `continues` tells that an item belongs to the same name as the item before
    /// it (`oil pan`), such neighbours are not mixed.
    pub fn readings(&self, continues: &dyn Fn(&Item) -> bool) -> Vec<String> {
        let mut lines = Vec::new();
        let kept = self.clauses.iter().filter_map(|clause| match &clause.what {
            ClauseKind::Keep(filter) => Some(filter),
            _ => None,
        });
        for filter in self.filter.iter().chain(kept) {
            read_filter(filter, continues, &mut lines);
        }
        lines
    }
}

fn read_filter(filter: &Filter, continues: &dyn Fn(&Item) -> bool, lines: &mut Vec<String>) {
    for part in &filter.parts {
        lines.extend(read_part(part, continues));
        for item in part.alternatives.iter().flat_map(|all| &all.items) {
            if let What::Group(inner) = &item.what {
                read_filter(inner, continues, lines);
            }
        }
    }
}

fn read_part(part: &Part, continues: &dyn Fn(&Item) -> bool) -> Option<String> {
    let joins = |item: &Item| item.join != Join::First && !continues(item);
    let mixed = part.alternatives.len() > 1
        && part.alternatives.iter().flat_map(|all| &all.items).any(joins);
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

/// The items of `all`, with `between` where two must hold.
fn joined(all: &All, between: &str, continues: &dyn Fn(&Item) -> bool) -> String {
    let mut text = String::new();
    for item in &all.items {
        text.push_str(match item.join {
            Join::First => "",
            Join::Beside if continues(item) => " ",
            Join::Beside | Join::And => between,
        });
        text.push_str(&item.to_string());
    }
    text
}

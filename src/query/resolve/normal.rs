//! Items taken apart where the syntax, which does not know what a field holds,
//! took what follows a field for its value.
//!
//! `single-use studs` is a flag and a word, `stretch bolts` a field that stands alone
//! and a word; `stretch torque` are two fields. `lube sealant` stays a field with its
//! value.

use crate::quantity::Dimension;
use crate::query::resolve::value::form;
use crate::query::resolve::{Names, names};
use crate::query::syntax::{
    All, Bare, Clause, ClauseKind, Filter, Item, Join, Leaf, Name, Part, Place, Question, Read,
    Test, What,
};
use crate::record::{FieldKind, find_field};

/// `question` with such items taken apart.
pub(super) fn question(question: &Question, names: Names<'_>) -> Question {
    let apart = |tests: &Filter| filter(tests, names);
    let clause = |clause: &Clause| match &clause.what {
        ClauseKind::Keep(tests) => Clause { what: ClauseKind::Keep(apart(tests)), ..*clause },
        _ => clause.clone(),
    };
    let clauses = question.clauses.iter().map(clause).collect();
    Question { filter: question.filter.as_ref().map(apart), clauses }
}

fn filter(filter: &Filter, names: Names<'_>) -> Filter {
    let all = |each: &All| conjunction(each, names);
    let part = |part: &Part| Part { alternatives: part.alternatives.iter().map(all).collect() };
    Filter { parts: filter.parts.iter().map(part).collect() }
}

fn conjunction(all: &All, names: Names<'_>) -> All {
    let mut items: Vec<Item> = Vec::with_capacity(all.items.len());
    for item in &all.items {
        let item = match &item.what {
            What::Group(inner) => Item { what: What::Group(filter(inner, names)), ..item.clone() },
            _ => item.clone(),
        };
        push(&mut items, item, names);
    }
    All { items }
}

/// Adds `item`, joined to a field before it that stands alone and takes it,
/// and taken apart where its own field does not take its value.
fn push(items: &mut Vec<Item>, item: Item, names: Names<'_>) {
    if let Some(joined) = items.last().and_then(|before| joined(before, &item, names)) {
        items.pop();
        return push(items, joined, names);
    }
    let What::Test(Test::Is { field, value }) = &item.what else { return items.push(item) };
    if takes(&field.text, value, names) {
        return items.push(item);
    }
    let alone = Leaf { text: field.text.clone(), read: Read::Field, place: field.place };
    let start = item.not.unwrap_or(field.place);
    let rest = value.clone();
    items.push(bare(item.join, item.not, alone, start.to(field.place)));
    let place = rest.place;
    items.push(bare(Join::Beside, None, rest, place));
}

fn bare(join: Join, not: Option<Place>, leaf: Leaf, place: Place) -> Item {
    Item { join, not, what: What::Bare(Bare::Value(leaf)), place }
}

/// A field that came to stand alone, with the value after it: `snug` and
/// `20 lb-ft` of `blind snug 20 lb-ft`.
fn joined(before: &Item, item: &Item, names: Names<'_>) -> Option<Item> {
    let What::Bare(Bare::Value(field)) = &before.what else { return None };
    let What::Bare(Bare::Value(value)) = &item.what else { return None };
    let beside = item.join == Join::Beside && item.not.is_none();
    if field.read != Read::Field || !beside || !takes(&field.text, value, names) {
        return None;
    }
    let name = Name { text: field.text.clone(), place: field.place };
    let what = What::Test(Test::Is { field: name, value: value.clone() });
    Some(Item { what, place: before.place.to(item.place), ..before.clone() })
}

/// Whether a field of that name can have this value, right or wrong: a flag has
/// none; a measure is never the name of another field or of something in the book,
/// and a kind of fastener is what is asked for: `stretch bolts`, `washer studs`.
fn takes(typed: &str, value: &Leaf, names: Names<'_>) -> bool {
    let Some(field) = find_field(typed) else { return true };
    let is_kind = || value.read == Read::Word && names::kind(&value.text).is_some();
    match field.kind {
        FieldKind::Flag => false,
        FieldKind::Quantity(_) | FieldKind::Share | FieldKind::Number | FieldKind::Thread => {
            // `thread lock` is a lube.
            let whole = format!("{typed} {}", value.text);
            let is_known = || {
                [&value.text, &whole].iter().any(|text| names::is_known(text, names)) || is_kind()
            };
            // `torque M8`: a size may be a thread's.
            let is_apart = match (field.kind, &value.read) {
                (FieldKind::Quantity(Dimension::Length) | FieldKind::Thread, _) => false,
                (_, Read::Thread(_)) => true,
                _ => false,
            };
            value.read != Read::Field
                && !is_apart
                && !(value.read == Read::Word && form(field, value).is_none() && is_known())
        }
        FieldKind::Lube | FieldKind::Strength => !is_kind(),
        // `gasket torque`: both are asked for.
        _ if value.read == Read::Field && NEVER_KINDS.contains(&field.name) => {
            find_field(&value.text).is_some_and(|other| other.kind == FieldKind::Text)
        }
        FieldKind::Text
            if names.is_second
                && value.read == Read::Word
                && names.vocabulary.has_words(&value.text) =>
        {
            false
        }
        // `drive bolt` of a joint called so.
        _ => !is_kind() || !NEVER_KINDS.contains(&field.name) && !names::is_called(typed, names),
    }
}

/// Fields of words that never say which kind of fastener it is.
const NEVER_KINDS: [&str; 8] =
    ["sealant", "retorque", "recheck", "gasket", "finish", "caution", "reuse", "hole-material"];

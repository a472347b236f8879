//! What the book keeps by name, looked up as it was typed.

use std::ops::ControlFlow;

use crate::cli::exit::Failure;
use crate::record::{BoltSet, Wrench, stored_fields};
use crate::store::{Access, Book, StoreError};
use crate::text::{fold_name, nearest};

pub(super) fn wrench(book: &Book, name: &str) -> Result<Wrench, Failure> {
    let all = book.wrenches()?;
    find(all, name, |one| &one.name)
        .cloned()
        .ok_or_else(|| missing(("wrench", "wrenches"), name, all.iter().map(|one| &*one.name)))
}

pub(super) fn bolt_set(book: &Book, name: &str) -> Result<BoltSet, Failure> {
    let all = book.bolt_sets()?;
    find(all, name, |one| &one.name)
        .cloned()
        .ok_or_else(|| missing(("bolt set", "sets"), name, all.iter().map(|one| &*one.name)))
}

fn find<'a, T>(all: &'a [T], name: &str, name_of: impl Fn(&T) -> &String) -> Option<&'a T> {
    let folded = fold_name(name);
    all.iter().find(|one| fold_name(name_of(one)) == folded)
}

fn missing<'a>(what: (&str, &str), name: &str, known: impl Iterator<Item = &'a str>) -> Failure {
    Failure::Argument(unknown(what, name, known))
}

/// The name that was nearly typed, else another way out.
pub(super) fn or_nearest<'a>(
    name: &str,
    known: impl IntoIterator<Item = &'a str>,
    way_out: &str,
) -> String {
    nearest(name, known)
        .map_or_else(|| way_out.to_owned(), |near| format!("did you mean `{near}`?"))
}

/// Of a field of a fastener.
pub(super) fn or_nearest_field(name: &str) -> String {
    let stored = stored_fields().map(|field| field.name);
    or_nearest(name, stored, "`clampbook list fields` names them all")
}

/// Says that the book has none of that name, and which is near. `what` is its
/// kind and the plural that `list` knows.
pub(super) fn unknown<'a>(
    (what, listed): (&str, &str),
    name: &str,
    known: impl Iterator<Item = &'a str>,
) -> String {
    let known: Vec<&str> = known.collect();
    let way_out = match nearest(name, known.iter().copied()) {
        Some(near) => format!("did you mean `{near}`?"),
        None if known.is_empty() => format!("`clampbook add {what} NAME …` enters one"),
        None => format!("`clampbook list {listed}` shows those it has"),
    };
    format!("the book has no {what} `{name}`; {way_out}")
}

pub(super) fn nearest_key(book: &Book, key: &str) -> Result<Option<String>, StoreError> {
    let mut keys = Vec::new();
    book.each(&Access::All, &mut |fastener| {
        keys.push(fastener.key.clone());
        ControlFlow::Continue(())
    })?;
    Ok(nearest(key, keys.iter().map(String::as_str)).map(str::to_owned))
}

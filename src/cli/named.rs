//! What the book keeps by name, looked up as it was typed, and what to do about a name
//! that it does not have.

use std::fmt::Display;
use std::ops::ControlFlow;

use crate::cli::exit::Failure;
use crate::record::{BoltSet, KeptKind, Named, Wrench, find_by_name, stored_fields};
use crate::store::{Access, Book, StoreError};
use crate::text::nearest;

/// The wrench of that name, or what to do about it.
pub(super) fn wrench(book: &Book, name: &str) -> Result<Wrench, Failure> {
    wanted(book.wrenches()?, name)
}

/// The bolt set of that name, or what to do about it.
pub(super) fn bolt_set(book: &Book, name: &str) -> Result<BoltSet, Failure> {
    wanted(book.bolt_sets()?, name)
}

fn wanted<T: Clone + Named>(records: &[T], name: &str) -> Result<T, Failure> {
    let none = || Failure::Argument(unknown(T::KIND, name, records.iter().map(T::name)));
    find_by_name(records, name).cloned().ok_or_else(none)
}

/// Says that the book has none of that name, and which is near.
pub(super) fn unknown<'a>(
    kind: KeptKind,
    name: &str,
    known: impl Iterator<Item = &'a str>,
) -> String {
    let (known, table): (Vec<&str>, _) = (known.collect(), kind.table());
    let way_out = meant(
        nearest(name, known.iter().copied()),
        &if known.is_empty() {
            format!("`clampbook add {} NAME …` enters one", table.what)
        } else {
            format!("`clampbook list {}` shows those it has", table.listed)
        },
    );
    format!("the book has no {} `{name}`; {way_out}", table.what)
}

/// Says that a fastener has no field of that name, and which is near.
pub(super) fn no_field(name: &str) -> Failure {
    let near = nearest(name, stored_fields().map(|field| field.name));
    let hint = meant(near, "`clampbook list fields` names them all");
    Failure::Argument(format!("`{name}` is no field of a fastener; {hint}"))
}

/// What may have been meant, else another way out.
pub(super) fn meant(near: Option<impl Display>, otherwise: &str) -> String {
    near.map_or_else(|| otherwise.to_owned(), |near| format!("did you mean `{near}`?"))
}

/// The key nearest to `key`, of all fasteners.
pub(super) fn nearest_key(book: &Book, key: &str) -> Result<Option<String>, StoreError> {
    let mut keys = Vec::new();
    book.each(&Access::All, &mut |fastener| {
        keys.push(fastener.key.clone());
        ControlFlow::Continue(())
    })?;
    Ok(nearest(key, keys.iter().map(String::as_str)).map(str::to_owned))
}

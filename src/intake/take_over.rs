//! What one record says of a fastener taken over into another, field by field.

use std::sync::LazyLock;

use crate::record::{FIELDS, Fastener, Field, Joint, Owner};

/// A field that two records state differently: field, first, second.
pub(crate) type Clash = (&'static str, String, String);

/// The names by which a fastener is known; they are no statement about it.
const NAMES: [&str; 4] = ["key", "assembly", "joint", "part"];

/// The fields that all rows of one fastener share, those of the joint first.
static SHARED: LazyLock<Vec<&Field>> = LazyLock::new(|| {
    let is_own = |field: &&Field| field.is_stored() && !NAMES.contains(&field.name);
    let of = |owner: Owner| FIELDS.iter().filter(is_own).filter(move |one| one.owner == owner);
    of(Owner::Joint).chain(of(Owner::Fastener)).collect()
});

/// The fields of the joint.
fn of_joint() -> impl Iterator<Item = &'static Field> {
    SHARED.iter().copied().take_while(|field| field.owner == Owner::Joint)
}

/// Takes over into `into` what `from` states and it does not, or whatever `from`
/// states if `overwrite`; texts that add up are joined. Gives the fields in which
/// they differ, which are left.
pub(crate) fn take_over(into: &mut Fastener, from: &Fastener, overwrite: bool) -> Vec<Clash> {
    let mut clashes = joint_over(&mut into.joint, &from.joint, overwrite);
    for field in SHARED.iter().filter(|field| field.owner == Owner::Fastener) {
        clashes.extend(field_over(field, into, from, overwrite));
    }
    clashes
}

/// The same for what is said of the joint.
pub(crate) fn joint_over(into: &mut Joint, from: &Joint, overwrite: bool) -> Vec<Clash> {
    of_joint().filter_map(|field| field_over(field, into, from, overwrite)).collect()
}

/// Whether `new` says of the joint only what is known.
pub(crate) fn adds_nothing(known: &Joint, new: &Joint) -> bool {
    of_joint().all(|field| field.is_same(known, new) || !field.value(new).is_stated())
}

fn field_over<R: std::any::Any>(
    field: &Field,
    into: &mut R,
    from: &R,
    overwrite: bool,
) -> Option<Clash> {
    if field.is_same(into, from) || !field.value(from).is_stated() || field.join(from, into) {
        return None;
    }
    if overwrite || !field.value(into).is_stated() {
        field.copy(from, into);
        return None;
    }
    let text = |record: &R| field.value(record).cell().unwrap_or_default().into_owned();
    Some((field.name, text(into), text(from)))
}

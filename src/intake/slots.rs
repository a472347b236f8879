//! SLOTS: for each stored field, the reader of its cells and the place in a
//! record where the value goes. One table; a test holds it against FIELDS.

use crate::intake::cells::{
    Context, Split, Wanted, Word, read_choice, read_count, read_flag, read_order, read_quantity,
    read_reuse, read_share, reuse_in_words,
};
use crate::intake::draft::Draft;
use crate::intake::patches::{cell_of, date, kept, list, lube, lube_name, source, torque};
use crate::intake::verdict::{Problem, Reading, Taken};
use crate::intake::wide_slots::{Hole, HoleThread, Strengths, Tags, Threads};
use crate::quantity::{Kind, Stated};

/// What a cell does to the row, and how it was read.
pub(crate) struct Patch {
    /// The cell as it was read.
    pub(crate) read_as: String,
    apply: Box<dyn Fn(&mut Draft)>,
}

impl Patch {
    /// A change of the row.
    pub(crate) fn new(read_as: impl Into<String>, apply: impl Fn(&mut Draft) + 'static) -> Self {
        Self { read_as: read_as.into(), apply: Box::new(apply) }
    }

    /// Makes the change.
    pub(crate) fn apply(&self, draft: &mut Draft) {
        (self.apply)(draft);
    }
}

/// How two records agree in one field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Agreement {
    /// Both say the same, or neither says anything new.
    Same,
    /// The first takes the value over.
    Filled,
    /// They differ: first, second.
    Clash(String, String),
}

/// A field's reader and place.
pub(crate) trait Slot: Sync {
    /// Reads a cell of the field.
    fn read(&self, field: &'static str, cell: &str, context: Context) -> Reading<Patch>;
    /// Takes the field over from `from` if `into` has none, or anyway if
    /// `overwrite`. Only fields of joint and fastener are compared.
    fn merge(&self, _into: &mut Draft, _from: &mut Draft, _overwrite: bool) -> Agreement {
        Agreement::Same
    }
}

/// A field with one place.
pub(crate) struct At<T: 'static> {
    get: fn(&mut Draft) -> &mut Option<T>,
    read: fn(&str, Context) -> Reading<T>,
    say: fn(&T) -> String,
    /// Belongs to joint or fastener, so that all rows of it must agree.
    shared: bool,
}

impl<T: Clone + PartialEq + 'static> Slot for At<T> {
    fn read(&self, field: &'static str, cell: &str, context: Context) -> Reading<Patch> {
        let taken = (self.read)(cell, context)?;
        let (get, say) = (self.get, self.say);
        let read_as = say(&taken.value);
        Ok(taken.map(|value| Patch::new(read_as, move |draft| draft.put(field, get, &value, say))))
    }

    fn merge(&self, into: &mut Draft, from: &mut Draft, overwrite: bool) -> Agreement {
        let Some(new) = (self.get)(from).as_ref().filter(|_| self.shared) else {
            return Agreement::Same;
        };
        let slot = (self.get)(into);
        match slot {
            Some(old) if old == new => return Agreement::Same,
            Some(old) if !overwrite => return Agreement::Clash((self.say)(old), (self.say)(new)),
            _ => *slot = Some(new.clone()),
        }
        Agreement::Filled
    }
}

/// A field whose cells are read by a function of their own.
struct By(fn(&str, Context) -> Reading<Patch>);

impl Slot for By {
    fn read(&self, _: &'static str, cell: &str, context: Context) -> Reading<Patch> {
        (self.0)(cell, context)
    }
}

pub(crate) type Get<T> = fn(&mut Draft) -> &mut Option<T>;

pub(crate) const fn words(get: Get<String>) -> At<String> {
    At {
        get,
        read: |cell, _| Ok(Taken::plain(cell.trim().to_owned())),
        say: String::clone,
        shared: true,
    }
}

const fn setting_words(get: Get<String>) -> At<String> {
    At { shared: false, ..words(get) }
}

const fn stated<K: Kind + PartialEq>(get: Get<Stated<K>>) -> At<Stated<K>> {
    At { get, read: read_quantity::<K>, say: ToString::to_string, shared: true }
}

pub(crate) const fn choice<T: Word + std::fmt::Display>(get: Get<T>) -> At<T> {
    At { get, read: |cell, _| read_choice(cell), say: ToString::to_string, shared: true }
}

const fn count(get: Get<u32>) -> At<u32> {
    At { get, read: |cell, _| read_count(cell), say: ToString::to_string, shared: true }
}

const fn flag(get: Get<bool>) -> At<bool> {
    At { get, read: |cell, _| read_flag(cell), say: |yes| yes_or_no(*yes).to_owned(), shared: true }
}

/// A field that is only merged: a slot of its own reads it.
pub(crate) fn held<T: std::fmt::Display>(get: Get<T>) -> At<T> {
    let read = |_: &str, _: Context| {
        Err(Problem::refused("field", "read by a slot of its own", "report this"))
    };
    At { get, read, say: ToString::to_string, shared: true }
}

fn yes_or_no(yes: bool) -> &'static str {
    if yes { "yes" } else { "no" }
}

/// Every stored field.
#[rustfmt::skip] // one row a line, read as a table
pub(crate) static SLOTS: &[(&str, &dyn Slot)] = &[
    ("key", &setting_words(|d| &mut d.key)),
    ("assembly", &setting_words(|d| &mut d.assembly)),
    ("joint", &setting_words(|d| &mut d.joint)),
    ("part", &setting_words(|d| &mut d.part)),
    ("kind", &choice(|d| &mut d.fastener.kind)),
    ("duty", &choice(|d| &mut d.fastener.joint.duty)),
    ("part-number", &words(|d| &mut d.fastener.part_number)),
    ("qty", &count(|d| &mut d.fastener.count)),
    ("positions", &words(|d| &mut d.fastener.positions)),
    ("group", &words(|d| &mut d.fastener.group)),
    ("after-group", &words(|d| &mut d.fastener.after_group)),
    ("thread", &Threads),
    ("hole-thread", &HoleThread),
    ("hole-end-lube", &At { get: |d| &mut d.fastener.hole_end_lube, read: lube_name, say: String::clone, shared: true }),
    ("hole-end-fitting", &words(|d| &mut d.fastener.hole_end_fitting)),
    ("turned", &choice(|d| &mut d.fastener.turned)),
    ("strength", &Strengths),
    ("proof", &stated(|d| &mut d.fastener.strength.proof)),
    ("yield", &stated(|d| &mut d.fastener.strength.yield_)),
    ("tensile", &stated(|d| &mut d.fastener.strength.tensile)),
    ("finish", &words(|d| &mut d.fastener.finish)),
    ("waist", &stated(|d| &mut d.fastener.waist)),
    ("length", &stated(|d| &mut d.fastener.length)),
    ("grip", &stated(|d| &mut d.fastener.grip)),
    ("engagement", &stated(|d| &mut d.fastener.engagement)),
    ("hole-depth", &stated(|d| &mut d.fastener.hole_depth)),
    ("hole-material", &words(|d| &mut d.fastener.hole_material)),
    ("insert", &flag(|d| &mut d.fastener.insert)),
    ("head-size", &words(|d| &mut d.fastener.head)),
    ("drive", &words(|d| &mut d.fastener.drive)),
    ("seat", &words(|d| &mut d.fastener.seat)),
    ("bearing-outer", &stated(|d| &mut d.bearing_outer)),
    ("bearing-hole", &stated(|d| &mut d.bearing_hole)),
    ("hole", &Hole),
    ("wet-to", &choice(|d| &mut d.fastener.wet)),
    ("sealant", &words(|d| &mut d.fastener.sealant)),
    ("washer", &words(|d| &mut d.fastener.washer)),
    ("reuse", &At { get: |d| &mut d.fastener.reuse, read: read_reuse, say: |reuse| reuse_in_words(*reuse), shared: true }),
    ("prevailing", &stated(|d| &mut d.fastener.prevailing)),
    ("prevailing-rule", &choice(|d| &mut d.fastener.prevailing_rule)),
    ("lube", &By(lube)),
    ("face-lube", &At { get: |d| &mut d.setting.face_lube, read: lube_name, say: String::clone, shared: false }),
    ("method", &choice(|d| &mut d.method)),
    ("torque", &By(torque)),
    ("snug", &stated(|d| &mut d.setting.snug)),
    ("angle", &By(|cell, context| cell_of(cell, Wanted::Angle, context, |d| &mut d.angle))),
    ("stretch", &By(|cell, context| cell_of(cell, Wanted::Stretch, context, |d| &mut d.stretch))),
    ("passes", &By(|cell, context| cell_of(cell, Wanted::Passes, context, |d| &mut d.passes))),
    ("cycles", &count(|d| &mut d.setting.cycles)),
    ("tolerance", &At { get: |d| &mut d.setting.tolerance, read: read_share, say: ToString::to_string, shared: false }),
    ("this-lube-only", &flag(|d| &mut d.this_lube_only)),
    ("retorque", &setting_words(|d| &mut d.setting.retorque)),
    ("recheck", &setting_words(|d| &mut d.setting.recheck)),
    ("basis", &choice(|d| &mut d.basis)),
    ("source", &By(|cell, _| Ok(source(cell, Split { page: true, revision: true })))),
    ("page", &setting_words(|d| &mut d.setting.source.page)),
    ("revision", &setting_words(|d| &mut d.setting.source.revision)),
    ("source-date", &By(|cell, _| date(cell, "source-date", |d| &mut d.setting.source.date))),
    ("source-kind", &choice(|d| &mut d.setting.source.kind)),
    ("entered-on", &By(|cell, _| date(cell, "entered-on", |d| &mut d.setting.entered_on))),
    ("entered-by", &setting_words(|d| &mut d.setting.entered_by)),
    ("checked-by", &setting_words(|d| &mut d.setting.checked_by)),
    ("supersedes", &setting_words(|d| &mut d.setting.supersedes)),
    ("superseded", &flag(|d| &mut d.superseded)),
    ("caution", &By(|cell, _| Ok(list(cell, &[';', '\n'], |d| &mut d.setting.warnings)))),
    ("gasket", &words(|d| &mut d.fastener.joint.gasket)),
    ("machining", &words(|d| &mut d.fastener.joint.machining)),
    ("place", &count(|d| &mut d.fastener.joint.place)),
    ("layout", &words(|d| &mut d.fastener.joint.layout)),
    ("order", &At { get: |d| &mut d.fastener.joint.order, read: |cell, _| read_order(cell), say: String::clone, shared: true }),
    ("tags", &Tags),
    ("notes", &By(|cell, _| Ok(kept(cell, |d| &mut d.notes)))),
    ("verbatim", &By(|cell, _| Ok(kept(cell, |d| &mut d.verbatim)))),
];

/// The slot of a field.
pub(crate) fn slot_of(field: &str) -> Option<(&'static str, &'static dyn Slot)> {
    SLOTS.iter().find(|(name, _)| *name == field).copied()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::{FIELDS, Origin};

    #[test]
    fn every_stored_field_has_a_slot_in_the_same_order() {
        let stored = FIELDS.iter().filter(|field| field.origin == Origin::Stored);
        let wanted: Vec<&str> = stored.map(|field| field.name).collect();
        let have: Vec<&str> = SLOTS.iter().map(|(name, _)| *name).collect();
        assert_eq!(have, wanted);
    }
}

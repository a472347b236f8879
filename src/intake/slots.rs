//! SLOTS: for each stored field, the reader of its cells and the place in a
//! record where the value goes. One table; a test holds it against FIELDS.

use crate::intake::cells::{
    Context, Split, Tightening, Wanted, Word, in_words, read_choice, read_count, read_date,
    read_flag, read_hole, read_lube, read_order, read_quantity, read_reuse, read_share,
    read_source, read_strength, read_thread, read_tightening, reuse_in_words,
};
use crate::intake::draft::Draft;
use crate::intake::verdict::{Problem, Reading, Taken};
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
struct At<T: 'static> {
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

type Get<T> = fn(&mut Draft) -> &mut Option<T>;

const fn words(get: Get<String>) -> At<String> {
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

const fn choice<T: Word + std::fmt::Display>(get: Get<T>) -> At<T> {
    At { get, read: |cell, _| read_choice(cell), say: ToString::to_string, shared: true }
}

const fn count(get: Get<u32>) -> At<u32> {
    At { get, read: |cell, _| read_count(cell), say: ToString::to_string, shared: true }
}

const fn flag(get: Get<bool>) -> At<bool> {
    At { get, read: |cell, _| read_flag(cell), say: |yes| yes_or_no(*yes).to_owned(), shared: true }
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
    ("count", &count(|d| &mut d.fastener.count)),
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
    ("source", &By(|cell, _| source(cell, Split { page: true, revision: true }))),
    ("page", &setting_words(|d| &mut d.setting.source.page)),
    ("revision", &setting_words(|d| &mut d.setting.source.revision)),
    ("source-date", &By(|cell, _| date(cell, "source-date", |d| &mut d.setting.source.date))),
    ("source-kind", &choice(|d| &mut d.setting.source.kind)),
    ("entered-on", &By(|cell, _| date(cell, "entered-on", |d| &mut d.setting.entered_on))),
    ("entered-by", &setting_words(|d| &mut d.setting.entered_by)),
    ("checked-by", &setting_words(|d| &mut d.setting.checked_by)),
    ("supersedes", &setting_words(|d| &mut d.setting.supersedes)),
    ("superseded", &flag(|d| &mut d.superseded)),
    ("caution", &By(|cell, _| list(cell, &[';', '\n'], |d| &mut d.setting.warnings))),
    ("gasket", &words(|d| &mut d.fastener.joint.gasket)),
    ("machining", &words(|d| &mut d.fastener.joint.machining)),
    ("place", &count(|d| &mut d.fastener.joint.place)),
    ("layout", &words(|d| &mut d.fastener.joint.layout)),
    ("order", &At { get: |d| &mut d.fastener.joint.order, read: |cell, _| read_order(cell), say: String::clone, shared: true }),
    ("tags", &Tags),
    ("notes", &By(|cell, _| kept(cell, |d| &mut d.notes))),
    ("verbatim", &By(|cell, _| kept(cell, |d| &mut d.verbatim))),
];

/// The slot of a field.
pub(crate) fn slot_of(field: &str) -> Option<(&'static str, &'static dyn Slot)> {
    SLOTS.iter().find(|(name, _)| *name == field).copied()
}

/// The thread that turns, with the other end and the length if they stand in
/// the same cell.
struct Threads;

impl Slot for Threads {
    fn read(&self, _: &'static str, cell: &str, context: Context) -> Reading<Patch> {
        Ok(read_thread(cell, context)?.map(|found| {
            let mut read_as = found.thread.to_string();
            if let Some(hole) = &found.hole {
                read_as = format!("{hole} x {read_as}");
            }
            if let Some(length) = &found.length {
                read_as = format!("{read_as} x {length}");
            }
            Patch::new(read_as, move |draft| {
                let say = ToString::to_string;
                draft.put("thread", |d| &mut d.fastener.thread, &found.thread, say);
                if let Some(hole) = &found.hole {
                    draft.put(
                        "hole-thread",
                        |d| &mut d.fastener.hole_thread,
                        hole,
                        ToString::to_string,
                    );
                }
                if let Some(length) = &found.length {
                    draft.put("length", |d| &mut d.fastener.length, length, ToString::to_string);
                }
                if found.is_assumed {
                    draft.notes.push("pitch assumed".to_owned());
                }
            })
        }))
    }

    fn merge(&self, into: &mut Draft, from: &mut Draft, overwrite: bool) -> Agreement {
        let at = At {
            get: |d: &mut Draft| &mut d.fastener.thread,
            read: |_, _| Err(unread()),
            say: ToString::to_string,
            shared: true,
        };
        at.merge(into, from, overwrite)
    }
}

/// The thread of a stud in the casting.
struct HoleThread;

impl Slot for HoleThread {
    fn read(&self, field: &'static str, cell: &str, context: Context) -> Reading<Patch> {
        let taken = read_thread(cell, context)?;
        if taken.value.hole.is_some() {
            let reason = format!("`{}` names two threads", cell.trim());
            let advice = "put the nut end into the thread column";
            return Err(Problem::refused("two-threads", reason, advice));
        }
        Ok(taken.map(|found| {
            Patch::new(found.thread.to_string(), move |draft| {
                draft.put(
                    field,
                    |d| &mut d.fastener.hole_thread,
                    &found.thread,
                    ToString::to_string,
                );
            })
        }))
    }

    fn merge(&self, into: &mut Draft, from: &mut Draft, overwrite: bool) -> Agreement {
        let at = At {
            get: |d: &mut Draft| &mut d.fastener.hole_thread,
            read: |_, _| Err(unread()),
            say: ToString::to_string,
            shared: true,
        };
        at.merge(into, from, overwrite)
    }
}

fn unread() -> Problem {
    Problem::refused("internal", "not read by itself", "")
}

struct Strengths;

impl Slot for Strengths {
    fn read(&self, _: &'static str, cell: &str, context: Context) -> Reading<Patch> {
        Ok(read_strength(cell, context)?.map(|found| {
            let figures =
                [("proof", found.proof), ("yield", found.yield_), ("tensile", found.tensile)];
            let named =
                figures.iter().filter_map(|(what, one)| one.map(|one| format!("{what} {one}")));
            let words: Vec<String> = found.name.clone().into_iter().chain(named).collect();
            Patch::new(words.join(", "), move |draft| {
                let say = ToString::to_string;
                if let Some(name) = &found.name {
                    draft.put("strength", |d| &mut d.fastener.strength.name, name, String::clone);
                }
                if found.unknown {
                    draft.unknown_strength = Some(found.hint.clone());
                }
                if let Some(proof) = &found.proof {
                    draft.put("proof", |d| &mut d.fastener.strength.proof, proof, say);
                }
                if let Some(yield_) = &found.yield_ {
                    draft.put("yield", |d| &mut d.fastener.strength.yield_, yield_, say);
                }
                if let Some(tensile) = &found.tensile {
                    draft.put("tensile", |d| &mut d.fastener.strength.tensile, tensile, say);
                }
            })
        }))
    }

    fn merge(&self, into: &mut Draft, from: &mut Draft, overwrite: bool) -> Agreement {
        words(|d| &mut d.fastener.strength.name).merge(into, from, overwrite)
    }
}

struct Hole;

impl Slot for Hole {
    fn read(&self, field: &'static str, cell: &str, _: Context) -> Reading<Patch> {
        Ok(read_hole(cell)?.map(|(bottom, wet)| {
            let bottom_word = bottom.map(|bottom| bottom.to_string());
            let wet_word = wet.map(|wet| format!("wet to {wet}"));
            let words: Vec<String> = bottom_word.into_iter().chain(wet_word).collect();
            Patch::new(words.join(", "), move |draft| {
                if let Some(bottom) = bottom {
                    draft.put(field, |d| &mut d.fastener.bottom, &bottom, ToString::to_string);
                }
                if let Some(wet) = wet {
                    draft.put("wet-to", |d| &mut d.fastener.wet, &wet, ToString::to_string);
                }
            })
        }))
    }

    fn merge(&self, into: &mut Draft, from: &mut Draft, overwrite: bool) -> Agreement {
        choice(|d| &mut d.fastener.bottom).merge(into, from, overwrite)
    }
}

struct Tags;

impl Slot for Tags {
    fn read(&self, _: &'static str, cell: &str, _: Context) -> Reading<Patch> {
        list(cell, &[',', ';'], |d| &mut d.fastener.tags)
    }

    fn merge(&self, into: &mut Draft, from: &mut Draft, _: bool) -> Agreement {
        let mut agreement = Agreement::Same;
        for tag in std::mem::take(&mut from.fastener.tags) {
            if !into.fastener.tags.contains(&tag) {
                into.fastener.tags.push(tag);
                agreement = Agreement::Filled;
            }
        }
        agreement
    }
}

/// A single lube, by its name in the book.
fn lube_name(cell: &str, context: Context) -> Reading<String> {
    let taken = read_lube(cell, context)?;
    if taken.value.face.is_some() {
        let reason = format!("`{}` names two lubes", cell.trim());
        return Err(Problem::refused("two-lubes", reason, "name one lube in this column"));
    }
    Ok(taken.map(|found| found.thread))
}

fn lube(cell: &str, context: Context) -> Reading<Patch> {
    Ok(read_lube(cell, context)?.map(lube_patch))
}

/// Sets the lube of the row.
pub(crate) fn lube_patch(found: crate::intake::cells::LubeCell) -> Patch {
    let read_as = match &found.face {
        Some(face) => format!("{} threads, {face} under head", found.thread),
        None => found.thread.clone(),
    };
    Patch::new(read_as, move |draft| {
        draft.put("lube", |d| &mut d.setting.lube, &found.thread, String::clone);
        if let Some(face) = &found.face {
            draft.put("face-lube", |d| &mut d.setting.face_lube, face, String::clone);
        }
        draft.notes.extend(found.note.iter().map(|note| format!("lube: {note}")));
    })
}

fn torque(cell: &str, context: Context) -> Reading<Patch> {
    torque_for(cell, None, context)
}

/// A torque cell; `lube` from its heading.
pub(crate) fn torque_for(cell: &str, lube: Option<&str>, context: Context) -> Reading<Patch> {
    let mut taken = read_tightening(cell, Wanted::Torque, context)?;
    if let Some(lube) = lube {
        for tightening in &mut taken.value {
            let named = tightening.lube.get_or_insert_with(|| lube.to_owned());
            if named != lube {
                let reason = format!("the cell says {named}, the heading {lube}");
                return Err(Problem::refused(
                    "lube-differs",
                    reason,
                    "move the figure to its column",
                ));
            }
        }
    }
    let read_as = in_words(&taken.value);
    Ok(taken.map(|found| {
        Patch::new(read_as, move |draft| {
            for tightening in &found {
                draft.notes.extend(tightening.notes.iter().map(|note| format!("torque: {note}")));
                draft.torques.push(tightening.clone());
            }
        })
    }))
}

/// A cell that says one way of tightening.
fn cell_of(
    cell: &str,
    wanted: Wanted,
    context: Context,
    get: fn(&mut Draft) -> &mut Option<Tightening>,
) -> Reading<Patch> {
    let taken = read_tightening(cell, wanted, context)?;
    let several = taken.value.len() > 1 || taken.value.iter().any(|one| one.lube.is_some());
    if several {
        let reason = format!("`{}` names a lube", cell.trim());
        return Err(Problem::refused("lube-here", reason, "put the lube into the lube column"));
    }
    let read_as = in_words(&taken.value);
    Ok(taken.map(|mut found| {
        let one = found.pop().unwrap_or_default();
        Patch::new(read_as, move |draft| {
            draft.notes.extend(one.notes.iter().cloned());
            *get(draft) = Some(one.clone());
        })
    }))
}

/// A source cell; what has a column of its own is not split off.
pub(crate) fn source(cell: &str, split: Split) -> Reading<Patch> {
    Ok(read_source(cell, split)?.map(|found| {
        let parts = [
            found.title.clone(),
            found.revision.clone().map(|r| format!("rev. {r}")),
            found.page.clone().map(|page| format!("p. {page}")),
        ];
        let read_as: Vec<String> = parts.into_iter().flatten().collect();
        Patch::new(read_as.join(", "), move |draft| {
            if let Some(title) = &found.title {
                draft.put("source", |d| &mut d.setting.source.title, title, String::clone);
            }
            if let Some(page) = &found.page {
                draft.put("page", |d| &mut d.setting.source.page, page, String::clone);
            }
            if let Some(revision) = &found.revision {
                draft.put("revision", |d| &mut d.setting.source.revision, revision, String::clone);
            }
            if let Some(kind) = &found.kind {
                draft.put("source-kind", |d| &mut d.setting.source.kind, kind, ToString::to_string);
            }
        })
    }))
}

/// A date; one without its day goes into the notes.
fn date(
    cell: &str,
    field: &'static str,
    get: fn(&mut Draft) -> &mut Option<jiff::civil::Date>,
) -> Reading<Patch> {
    let raw = cell.trim().to_owned();
    Ok(read_date(cell)?.map(|found| match found {
        Some(date) => Patch::new(date.to_string(), move |draft| {
            draft.put(field, get, &date, ToString::to_string);
        }),
        None => Patch::new(raw.clone(), move |draft| {
            draft.notes.push(format!("{}: {raw}", field.replace('-', " ")));
        }),
    }))
}

/// A list parted by any of `marks`.
fn list(cell: &str, marks: &[char], get: fn(&mut Draft) -> &mut Vec<String>) -> Reading<Patch> {
    let words: Vec<String> = cell
        .split(marks)
        .map(str::trim)
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect();
    Ok(Taken::plain(Patch::new(words.join(", "), move |draft| {
        for word in &words {
            if !get(draft).contains(word) {
                get(draft).push(word.clone());
            }
        }
    })))
}

fn kept(cell: &str, get: fn(&mut Draft) -> &mut Vec<String>) -> Reading<Patch> {
    let text = cell.trim().to_owned();
    Ok(Taken::plain(Patch::new(text.clone(), move |draft| get(draft).push(text.clone()))))
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

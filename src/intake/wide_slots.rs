//! Slots of fields whose cells may fill neighbours too: threads, strength,
//! hole; and tags, which are joined.

use crate::intake::cells::{Context, read_hole, read_strength, read_thread};
use crate::intake::draft::Draft;
use crate::intake::patches::list;
use crate::intake::slots::{Agreement, Patch, Slot, choice, held, words};
use crate::intake::verdict::{Problem, Reading};

/// The thread that turns, with the other end and the length if they stand in
/// the same cell.
pub(crate) struct Threads;

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
        held(|d| &mut d.fastener.thread).merge(into, from, overwrite)
    }
}

/// The thread of a stud in the casting.
pub(crate) struct HoleThread;

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
        held(|d| &mut d.fastener.hole_thread).merge(into, from, overwrite)
    }
}

pub(crate) struct Strengths;

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

pub(crate) struct Hole;

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

pub(crate) struct Tags;

impl Slot for Tags {
    fn read(&self, _: &'static str, cell: &str, _: Context) -> Reading<Patch> {
        Ok(list(cell, &[',', ';'], |d| &mut d.fastener.tags))
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

//! Rows brought together: rows of one fastener become its settings.

use std::collections::HashMap;

use crate::intake::draft::Draft;
use crate::intake::finish::Finished;
use crate::intake::slots::{Agreement, SLOTS};
use crate::record::{Fastener, Joint, Method, Setting, slug};
use crate::text::fold_name;
use crate::thread::Thread;

/// A setting with the row that it came from.
#[derive(Debug, Clone)]
pub(crate) struct FromRow {
    pub(crate) line: u32,
    /// What stands after the stroke of the row's key: `oil`, `oil.2`.
    pub(crate) mark: Option<String>,
    pub(crate) setting: Setting,
}

/// A fastener gathered from one or more rows.
#[derive(Debug)]
pub(crate) struct Gathered {
    /// The key that the file gives it, without the setting's part.
    pub(crate) key: Option<String>,
    /// Its fields; the settings are apart.
    pub(crate) draft: Draft,
    pub(crate) settings: Vec<FromRow>,
}

/// Why a row does not go together with the rows before: the field, and why.
#[derive(Debug)]
pub(crate) struct Disagreement {
    pub(crate) field: &'static str,
    pub(crate) reason: String,
    pub(crate) advice: &'static str,
}

/// Brings rows together.
#[derive(Debug, Default)]
pub(crate) struct Gatherer {
    pub(crate) all: Vec<Gathered>,
    by_key: HashMap<String, usize>,
    by_name: HashMap<[String; 3], Vec<usize>>,
    /// What the rows say about each joint, and where it was said first.
    joints: HashMap<[String; 2], Joint>,
}

impl Gatherer {
    /// Adds a row that stands on `line`. On a disagreement nothing is added.
    pub(crate) fn add(&mut self, line: u32, row: Finished) -> Result<(), Vec<Disagreement>> {
        let (key, mark) = split_key(row.key.as_deref());
        let name = name_of(&row.fastener);
        let found = match &key {
            Some(key) => self.by_key.get(key).copied(),
            None => self.find(&name, row.fastener.thread.as_ref())?,
        };
        let joint = self.joint_with(&row.fastener.joint)?;
        let settings: Vec<FromRow> = row
            .settings
            .into_iter()
            .map(|setting| FromRow { line, mark: mark.clone(), setting })
            .collect();
        let at = match found {
            Some(at) => {
                self.agree(at, &row.fastener, &settings)?;
                at
            }
            None => self.open(key, name, row.fastener),
        };
        for from_row in settings {
            let held = &mut self.all[at].settings;
            if !held.iter().any(|other| is_repeat(other, &from_row)) {
                held.push(from_row);
            }
        }
        if let Some(joint) = joint {
            let names = [&joint.assembly, &joint.name].map(|name| fold_name(name));
            self.joints.insert(names, joint);
        }
        Ok(())
    }

    /// The fastener of that name and thread, if rows gave one before.
    fn find(
        &self,
        name: &[String; 3],
        thread: Option<&Thread>,
    ) -> Result<Option<usize>, Vec<Disagreement>> {
        let Some(named) = self.by_name.get(name) else { return Ok(None) };
        let thread_of = |at: &usize| self.all[*at].draft.fastener.thread.as_ref();
        let Some(thread) = thread else {
            return match named.as_slice() {
                [one] => Ok(Some(*one)),
                _ => Err(vec![Disagreement {
                    field: "thread",
                    reason: "several fasteners of that name differ by their thread".to_owned(),
                    advice: "fill in the thread",
                }]),
            };
        };
        let exact = named.iter().find(|at| thread_of(at) == Some(thread));
        // A row before that left the thread out is the same fastener, if it is
        // the only one.
        let open = named.iter().find(|at| thread_of(at).is_none() && named.len() == 1);
        Ok(exact.or(open).copied())
    }

    fn open(&mut self, key: Option<String>, name: [String; 3], fastener: Fastener) -> usize {
        let at = self.all.len();
        if let Some(key) = &key {
            self.by_key.insert(key.clone(), at);
        } else {
            self.by_name.entry(name).or_default().push(at);
        }
        self.all.push(Gathered { key, draft: Draft::holding(fastener), settings: Vec::new() });
        at
    }

    /// Takes the fastener's fields over; they must agree with the rows before.
    fn agree(
        &mut self,
        at: usize,
        fastener: &Fastener,
        settings: &[FromRow],
    ) -> Result<(), Vec<Disagreement>> {
        let held = &self.all[at];
        let mut merged = held.draft.clone();
        let mut row = Draft::holding(fastener.clone());
        let mut wrong: Vec<Disagreement> = Vec::new();
        let first = held.settings.first().map_or(0, |setting| setting.line);
        for (field, slot) in SLOTS {
            if let Agreement::Clash(before, now) = slot.merge(&mut merged, &mut row, false) {
                let reason = format!("{field} {now}, but line {first} says {before}");
                let advice =
                    "rows of one fastener must agree; name the part differently if it is another";
                wrong.push(Disagreement { field, reason, advice });
            }
        }
        for from_row in settings {
            let same = held
                .settings
                .iter()
                .find(|other| is_same_place(other, from_row) && !is_repeat(other, from_row));
            if let Some(other) = same {
                wrong.push(Disagreement {
                    field: "torque",
                    reason: format!(
                        "line {} gives {} for the same lube from the same source",
                        other.line,
                        other.setting.in_words()
                    ),
                    advice: "name the lube or the source that makes the difference",
                });
            }
        }
        if !wrong.is_empty() {
            return Err(wrong);
        }
        join(&mut merged.fastener.notes, fastener.notes.as_deref());
        join(&mut merged.fastener.verbatim, fastener.verbatim.as_deref());
        merged.fastener.bearing = merged.fastener.bearing.or(fastener.bearing);
        self.all[at].draft = merged;
        Ok(())
    }

    /// What is known about the joint with this row; none if nothing new.
    fn joint_with(&self, joint: &Joint) -> Result<Option<Joint>, Vec<Disagreement>> {
        let names = [&joint.assembly, &joint.name].map(|name| fold_name(name));
        let Some(known) = self.joints.get(&names) else { return Ok(Some(joint.clone())) };
        if known == joint {
            return Ok(None);
        }
        let (merged, clashes) = merge_joint(known, joint);
        if clashes.is_empty() {
            return Ok(Some(merged));
        }
        let wrong = clashes.into_iter().map(|(field, before, now)| Disagreement {
            field,
            reason: format!("{field} {now}, but another row of the joint says {before}"),
            advice: "what belongs to the joint must agree in all its rows, or be left empty",
        });
        Err(wrong.collect())
    }

    /// Everything gathered, each fastener with what all rows say of its joint.
    pub(crate) fn finish(self) -> Vec<Gathered> {
        let mut all = self.all;
        for gathered in &mut all {
            let joint = &gathered.draft.fastener.joint;
            let names = [&joint.assembly, &joint.name].map(|name| fold_name(name));
            if let Some(whole) = self.joints.get(&names) {
                gathered.draft.fastener.joint = whole.clone();
            }
        }
        all
    }
}

/// Two joints as one, and the fields in which they differ.
pub(crate) fn merge_joint(
    known: &Joint,
    new: &Joint,
) -> (Joint, Vec<(&'static str, String, String)>) {
    let holding = |joint: &Joint| Draft::holding(Fastener::new(joint.clone(), ""));
    let (mut into, mut from) = (holding(known), holding(new));
    let mut clashes = Vec::new();
    for (field, slot) in SLOTS {
        if let Agreement::Clash(before, now) = slot.merge(&mut into, &mut from, false) {
            clashes.push((*field, before, now));
        }
    }
    (into.fastener.joint, clashes)
}

/// Assembly, joint and part, folded.
pub(crate) fn name_of(fastener: &Fastener) -> [String; 3] {
    [&fastener.joint.assembly, &fastener.joint.name, &fastener.part].map(|name| fold_name(name))
}

/// `head-stud/oil.2` as the fastener's key and the setting's mark.
fn split_key(key: Option<&str>) -> (Option<String>, Option<String>) {
    match key.map(|key| key.split_once('/').map_or((key, None), |(key, mark)| (key, Some(mark)))) {
        Some((key, mark)) => (Some(slug(&[key])), mark.map(str::to_owned)),
        None => (None, None),
    }
}

/// Whether two settings are the same one by the identity of an import: lube,
/// method, source title and revision.
pub(crate) fn is_same_setting(one: &Setting, other: &Setting) -> bool {
    let fold = |text: &Option<String>| text.as_deref().map(fold_name);
    // An angle is an angle, with or without its snug torque.
    let method = |setting: &Setting| match setting.method {
        Method::Angle => Method::TorqueAngle,
        method => method,
    };
    fold(&one.lube) == fold(&other.lube)
        && method(one) == method(other)
        && fold(&one.source.title) == fold(&other.source.title)
        && fold(&one.source.revision) == fold(&other.source.revision)
}

fn is_same_place(one: &FromRow, other: &FromRow) -> bool {
    let marks_differ = one.mark.is_some() && other.mark.is_some() && one.mark != other.mark;
    !marks_differ && is_same_setting(&one.setting, &other.setting)
}

/// The same row once more.
fn is_repeat(one: &FromRow, other: &FromRow) -> bool {
    is_same_place(one, other) && one.setting == other.setting
}

/// Appends words that are not there yet.
pub(crate) fn join(into: &mut Option<String>, more: Option<&str>) {
    let Some(more) = more else { return };
    match into {
        Some(text) if text.contains(more) => {}
        Some(text) => {
            text.push_str("; ");
            text.push_str(more);
        }
        None => *into = Some(more.to_owned()),
    }
}

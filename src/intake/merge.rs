//! Gathered fasteners held against the book: added, changed, unchanged, or
//! kept beside a value that disagrees.

use std::sync::Arc;

use crate::intake::Options;
use crate::intake::doubts::Put;
use crate::intake::draft::Fields;
use crate::intake::existing::Existing;
use crate::intake::gather::{FromRow, Gathered, agrees, is_same_setting};
use crate::intake::gone::{self, Watch, name_of, source_of, without_row};
use crate::intake::header::Column;
use crate::intake::outcome::{Change, Report, SettingChange};
use crate::intake::take_over::{joint_over, take_over};
use crate::quantity::{Extent, Torque};
use crate::record::{
    Basis, FIELDS, Fastener, Field, FieldKind, Joint, Owner, Setting, place_of, setting_keys, slug,
    unique_slug,
};
use crate::text::{QuickMap, QuickSet, fold_name, quick_hash};

/// How many settings of one change the report names.
const CHANGES_KEPT: usize = 1000;

/// Holds what is gathered against the book.
pub(crate) struct Merger<'a> {
    existing: &'a dyn Existing,
    options: &'a Options,
    keys: Keys,
    watch: Watch,
}

/// Keys in use, as hashes: a million of them take little room. Two keys of one
/// hash only cost a number at the end of the second.
#[derive(Default)]
struct Keys {
    used: QuickSet<u64>,
    /// How often a key was wanted, so that the next number is found at once.
    wanted: QuickMap<u64, u64>,
}

impl<'a> Merger<'a> {
    pub(crate) fn new(existing: &'a dyn Existing, options: &'a Options) -> Self {
        Self { existing, options, keys: Keys::default(), watch: Watch::default() }
    }

    /// Says in `report` what becomes of one fastener; gives it back whole if it
    /// is new or changed.
    pub(crate) fn merge(&mut self, one: Gathered, report: &mut Report) -> Option<Put> {
        let known = find(&one, self.existing);
        if one.key.is_none() {
            let is_known = matches!(&known, Namesake::One(known) if !self.is_used(known));
            self.watch.see(one.assembly(), &one.fastener, &one.settings, is_known);
        }
        match known {
            // Two fasteners of the file are never one of the book.
            Namesake::One(known) if one.key.is_none() && self.is_used(&known) => {
                Some(self.add(one, report))
            }
            Namesake::One(known) => {
                self.keys.used.insert(quick_hash(known.key.as_str()));
                update(&known, one, self.options, report)
            }
            Namesake::None => Some(self.add(one, report)),
            Namesake::Several(count) => {
                refuse(&one, count, report);
                None
            }
        }
    }

    fn is_used(&self, known: &Fastener) -> bool {
        self.keys.used.contains(&quick_hash(known.key.as_str()))
    }

    fn add(&mut self, one: Gathered, report: &mut Report) -> Put {
        let mut fastener = one.fastener;
        self.complete_joint(&mut fastener);
        let joint = &fastener.joint;
        let wanted =
            one.key.unwrap_or_else(|| slug(&[&joint.assembly, &joint.name, &fastener.part]));
        fastener.key = self.free_key(&wanted);
        let lines = one.settings.iter().map(|from_row| from_row.line).collect();
        for from_row in one.settings {
            let setting = entered(from_row.setting, self.options);
            note(report, &fastener, from_row.line, &setting, Change::Added, None);
            fastener.settings.push(setting);
        }
        Put { fastener, lines }
    }

    /// What the book knows of the joint holds for its new fasteners too.
    fn complete_joint(&self, fastener: &mut Fastener) {
        let joint = &fastener.joint;
        let siblings = self.existing.of_joint(&joint.assembly, &joint.name);
        if let Some(sibling) = siblings.first() {
            // What the file says goes before what the book has.
            joint_over(&mut fastener.joint, &sibling.joint, false);
        }
    }

    /// The other fasteners of a joint of which the file tells something new:
    /// what belongs to the joint holds for all of them.
    pub(crate) fn siblings(&self, names: &[String; 2], told: &Joint) -> Vec<Fastener> {
        let [assembly, joint] = names;
        let known = self.existing.of_joint(assembly, joint);
        let untouched = known.iter().filter(|one| !self.is_used(one));
        let renewed = untouched.map(|one| {
            let mut renewed = one.as_ref().clone();
            joint_over(&mut renewed.joint, told, true);
            (one, renewed)
        });
        renewed.filter(|(one, renewed)| ***one != *renewed).map(|(_, renewed)| renewed).collect()
    }

    /// Names in `report` what the book has from the source of the file and no row of
    /// it; gives it back superseded, if that is asked for.
    pub(crate) fn gone<'j>(
        &self,
        joints: impl Iterator<Item = &'j [String; 2]>,
        report: &mut Report,
    ) -> Vec<Fastener> {
        let mut retired = Vec::new();
        self.watch.each_absent(joints, &self.keys.used, self.existing, &mut |one| {
            let gone = self.watch.gone_of(one);
            gone.iter().for_each(|at| gone::note(one, *at, report));
            if self.options.retire {
                let mut fastener = one.as_ref().clone();
                gone.iter().for_each(|at| fastener.settings[*at].superseded = true);
                retired.push(fastener);
            }
        });
        retired
    }

    /// `wanted`, or with the first number that is free.
    fn free_key(&mut self, wanted: &str) -> String {
        let existing = self.existing;
        let Keys { used, wanted: before } = &mut self.keys;
        let times = before.entry(quick_hash(wanted)).or_default();
        *times += 1;
        let taken = |key: &str| used.contains(&quick_hash(key)) || existing.by_key(key).is_some();
        // The numbers before were given out already.
        let start = *times;
        let numbered = (start > 2).then(|| format!("{wanted}-{start}"));
        let free = numbered.filter(|numbered| numbered.len() <= 60 && !taken(numbered));
        let key = free.unwrap_or_else(|| unique_slug(wanted, taken));
        used.insert(quick_hash(key.as_str()));
        key
    }
}

/// What the book has under the name or key of a row.
enum Namesake {
    None,
    /// The fastener that is meant.
    One(Arc<Fastener>),
    /// Several that differ by their thread, and the row names none.
    Several(usize),
}

/// The fastener of the book that the rows are about.
fn find(one: &Gathered, existing: &dyn Existing) -> Namesake {
    if let Some(key) = &one.key {
        return existing.by_key(key).map_or(Namesake::None, Namesake::One);
    }
    let fastener = &one.fastener;
    let joint = &fastener.joint;
    let mut named = existing.by_name(&joint.assembly, &joint.name, &fastener.part);
    let holds = |known: &Arc<Fastener>| {
        known.settings.is_empty() || known.settings.iter().any(|setting| !setting.superseded)
    };
    if fastener.thread.is_none() && named.iter().any(holds) {
        // What was retired is not meant.
        named.retain(holds);
    }
    let same_grade = |known: &&Arc<Fastener>| {
        agrees(known.strength.name.as_ref(), fastener.strength.name.as_ref())
    };
    let same = |known: &&Arc<Fastener>| known.thread == fastener.thread;
    let exact = named.iter().find(|known| same(known) && same_grade(known));
    let exact = exact.or_else(|| named.iter().find(same).filter(|_| named.len() == 1));
    let only = named.len() == 1;
    let open =
        named.iter().find(|known| only && (known.thread.is_none() || fastener.thread.is_none()));
    match exact.or(open) {
        Some(known) => Namesake::One(Arc::clone(known)),
        None if named.len() > 1 && fastener.thread.is_none() => Namesake::Several(named.len()),
        None => Namesake::None,
    }
}

fn refuse(one: &Gathered, count: usize, report: &mut Report) {
    let is_thread = |column: &Column| matches!(column, Column::Field(f) if f.name == "thread");
    let column = report.current().iter().position(|heading| is_thread(&heading.column));
    for from_row in &one.settings {
        let reason = format!("the book has {count} fasteners of that name with other threads");
        report.refuse_row(from_row.line, column, "which-thread", reason, "fill in the thread");
    }
}

/// A new setting with the day and the name of who enters it.
fn entered(mut setting: Setting, options: &Options) -> Setting {
    setting.entered_on = setting.entered_on.or(options.today);
    if setting.entered_by.is_none() {
        setting.entered_by.clone_from(&options.who);
    }
    setting
}

fn update(
    known: &Arc<Fastener>,
    one: Gathered,
    options: &Options,
    report: &mut Report,
) -> Option<Put> {
    let mut put = Put { fastener: overlaid(known, &one), lines: vec![0; known.settings.len()] };
    let has_marks = one.settings.iter().any(|from_row| from_row.mark.is_some());
    let marks = if has_marks { setting_keys(known) } else { Vec::new() };
    let sources: Vec<u64> = match &one.key {
        None => one.settings.iter().map(|from_row| source_of(&from_row.setting)).collect(),
        Some(_) => Vec::new(),
    };
    let mut met = Vec::new();
    for from_row in one.settings {
        met.extend(settle(known, &marks, &mut put, from_row, options, report));
    }
    for at in without_row(known, &sources, &met) {
        gone::note(known, at, report);
        put.fastener.settings[at].superseded = options.retire;
    }
    (put.fastener != **known).then_some(put)
}

/// The known fastener with what the rows state.
fn overlaid(known: &Arc<Fastener>, one: &Gathered) -> Fastener {
    let mut merged = known.as_ref().clone();
    take_over(&mut merged, &one.fastener, true);
    let new = &one.fastener;
    let renamed = |old: &mut String, new: &String| {
        if !new.is_empty() && old != new && fold_name(old) != fold_name(new) {
            old.clone_from(new);
        }
    };
    renamed(&mut merged.joint.assembly, &new.joint.assembly);
    renamed(&mut merged.joint.name, &new.joint.name);
    renamed(&mut merged.part, &new.part);
    merged
}

/// Finds what becomes of one setting of a known fastener; which of its settings it is.
fn settle(
    known: &Fastener,
    marks: &[String],
    put: &mut Put,
    from_row: FromRow,
    options: &Options,
    report: &mut Report,
) -> Option<usize> {
    let FromRow { page: _, line, mark, setting, stated } = from_row;
    let by_mark = mark.as_ref().and_then(|mark| {
        let key = format!("{}/{mark}", known.key);
        marks.iter().position(|known| *known == key)
    });
    let by_identity = || known.settings.iter().position(|other| is_same_setting(other, &setting));
    let Some(at) = by_mark.or_else(by_identity) else {
        let against = known.settings.iter().find(|other| disagrees(other, &setting));
        let against = against.map(|other| format!("{}, {}", other.in_words(), other.source));
        let change = if against.is_some() { Change::Beside } else { Change::Added };
        let setting = entered(setting, options);
        note(report, &put.fastener, line, &setting, change, against);
        put.fastener.settings.push(setting);
        put.lines.push(line);
        return None;
    };
    let old = &known.settings[at];
    let new = filled(setting, stated, old);
    if new.superseded && !stated.has(place_of("superseded")) {
        report.conclude(STILL_SUPERSEDED);
    }
    if new == *old {
        report.changes.unchanged += 1;
        return Some(at);
    }
    let against = Some(format!("{}, {}", old.in_words(), old.source));
    note(report, &put.fastener, line, &new, Change::Changed, against);
    put.fastener.settings[at] = new;
    put.lines[at] = line;
    Some(at)
}

const STILL_SUPERSEDED: &str = "the book has the setting of a row superseded: it stays so, \
    `edit KEY/LUBE superseded=no` takes that back";

/// The figures of a setting: a row that gives one of them gives all.
const FIGURES: [&str; 4] = ["torque", "snug", "angle", "stretch"];

/// The new setting, with what the row leaves empty taken from the old one.
fn filled(mut new: Setting, stated: Fields, old: &Setting) -> Setting {
    let is_kept = |field: &Field| {
        field.is_stored() && field.owner == Owner::Setting && !FIGURES.contains(&field.name)
    };
    let same_torque = new.torque == old.torque;
    for (place, field) in FIELDS.iter().enumerate().filter(|(_, field)| is_kept(field)) {
        let is_empty = match field.kind {
            // A setting itself cannot tell no from nothing.
            FieldKind::Flag => !stated.has(place),
            _ => !field.value(&new).is_stated(),
        };
        if is_empty && (field.name != "passes" || same_torque) {
            field.copy(old, &mut new);
        }
    }
    new
}

/// Whether a listed value of the book says another torque for the same lube
/// and method.
fn disagrees(old: &Setting, new: &Setting) -> bool {
    let same_lube = old.lube.as_deref().map(fold_name) == new.lube.as_deref().map(fold_name);
    let differs = match (old.torque, new.torque) {
        (Some(old), Some(new)) => !overlap(old, new),
        _ => old.snug != new.snug || old.angles != new.angles || old.stretch != new.stretch,
    };
    old.basis == Basis::Listed && old.method == new.method && same_lube && differs
}

fn overlap(one: Extent<Torque>, other: Extent<Torque>) -> bool {
    let low = |extent: Extent<Torque>| extent.low().map_or(0.0, Torque::nm);
    // Half a per cent: 65 lb-ft and 88 N·m are the same figure.
    let slack = 0.005 * one.high().nm();
    low(one) <= other.high().nm() + slack && low(other) <= one.high().nm() + slack
}

fn note(
    report: &mut Report,
    fastener: &Fastener,
    line: u32,
    setting: &Setting,
    change: Change,
    against: Option<String>,
) {
    let count = match change {
        Change::Added => &mut report.changes.added,
        Change::Changed => &mut report.changes.changed,
        Change::Beside => &mut report.changes.beside,
    };
    *count += 1;
    if *count > CHANGES_KEPT {
        return;
    }
    let lube = setting.lube.as_deref().unwrap_or("no lube stated");
    report.settings.push(SettingChange {
        line,
        key: fastener.key.clone(),
        name: name_of(fastener),
        thread: fastener.thread.as_ref().map(ToString::to_string),
        setting: format!("{lube} {}", setting.in_words()),
        change,
        against,
    });
}

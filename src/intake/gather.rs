//! Rows brought together: rows of one fastener become its settings.

use crate::intake::draft::Fields;
use crate::intake::finish::Finished;
use crate::intake::identity::{RowNames, split_key};
use crate::intake::take_over::{adds_nothing, joint_over, take_over};
use crate::record::{Fastener, Joint, Method, Setting};
use crate::text::{QuickMap, QuickSet, fold_name};

/// A setting with the row that it came from.
#[derive(Debug, Clone)]
pub(crate) struct FromRow {
    /// Its worksheet.
    pub(crate) page: u16,
    pub(crate) line: u32,
    /// What stands after the stroke of the row's key: `oil`, `oil.2`.
    pub(crate) mark: Option<String>,
    pub(crate) setting: Setting,
    /// The fields that the row states.
    pub(crate) stated: Fields,
}

/// A fastener gathered from one or more rows.
#[derive(Debug)]
pub(crate) struct Gathered {
    /// The key that the file gives it, without the setting's part.
    pub(crate) key: Option<String>,
    /// Its fields; the settings are apart.
    pub(crate) fastener: Fastener,
    pub(crate) settings: Vec<FromRow>,
    /// Assembly, joint and part, folded.
    names: [String; 3],
    /// Its place among the fasteners of the file.
    at: usize,
}

impl Gathered {
    /// The name of its assembly, as names are compared.
    pub(crate) fn assembly(&self) -> &str {
        &self.names[0]
    }
}

/// Why a row does not go together with the rows before.
#[derive(Debug)]
pub(crate) struct Disagreement {
    pub(crate) field: &'static str,
    /// What this row says, and what the other does.
    said: [String; 2],
    other: Other,
    /// Of what both say it.
    of: &'static str,
    pub(crate) advice: &'static str,
}

/// The row that says otherwise.
#[derive(Debug, Clone, Copy)]
enum Other {
    /// By its worksheet and line.
    Row(u16, u32),
    /// One of several.
    Any,
}

impl Disagreement {
    /// Both rows and what they say, in one sentence for the row on `line` of `page`.
    pub(crate) fn reason(&self, page: u16, line: u32, pages: &[String]) -> String {
        let Self { said: [now, before], other, of, .. } = self;
        let other = match *other {
            Other::Row(own, line) => match pages.get(usize::from(own)).filter(|_| own != page) {
                Some(name) => format!("line {line} of sheet {name}"),
                None => format!("line {line}"),
            },
            Other::Any => "another row".to_owned(),
        };
        format!("line {line} says {now}, {other} says {before}, for {of}")
    }
}

/// What the file says about each joint, by its folded names.
pub(crate) type Joints = QuickMap<[String; 2], Joint>;

/// Brings rows together. Rows that may be of one fastener share a group; a
/// group that is complete is handed on and forgotten.
#[derive(Debug, Default)]
pub(crate) struct Gatherer {
    groups: QuickMap<u64, Vec<Gathered>>,
    joints: Joints,
    met: usize,
    /// Joints of which fasteners were handed on.
    given: QuickSet<[String; 2]>,
    /// Something new was said of a joint after that.
    too_late: bool,
}

impl Gatherer {
    /// With what an earlier walk over the file found about its joints.
    pub(crate) fn knowing(joints: Joints) -> Self {
        Self { joints, ..Self::default() }
    }

    /// What the rows so far say about each joint.
    pub(crate) fn into_joints(self) -> Joints {
        self.joints
    }

    /// Whether a fastener was handed on before all that holds for it was known.
    pub(crate) fn was_too_early(&self) -> bool {
        self.too_late
    }

    /// Adds a row of the group `group` that stands on a line of a worksheet, and says what became of its
    /// settings. On a disagreement nothing is added.
    pub(crate) fn add(
        &mut self,
        (page, line): (u16, u32),
        names: RowNames,
        row: Finished,
    ) -> Result<Added, Vec<Disagreement>> {
        let RowNames { names, group, .. } = names;
        let (key, mark) = split_key(row.key.as_deref());
        let found = self.find(group, key.as_deref(), &names, &row.fastener)?;
        let joint = joint_with(self.joints.get(&names[..2]), &row.fastener.joint)?;
        // A row with only a key says nothing of a joint by name.
        let joint = joint.filter(|_| names[..2].iter().all(|name| !name.is_empty()));
        let joint = joint.map(|joint| ([names[0].clone(), names[1].clone()], joint));
        let mut settings: Vec<FromRow> = row
            .settings
            .into_iter()
            .map(|setting| FromRow { page, line, mark: mark.clone(), setting, stated: row.stated })
            .collect();
        let members = self.groups.entry(group).or_default();
        let mut old = false;
        let given = settings.len();
        let at = match found {
            Some(at) => {
                let left_out = leave_old(&mut members[at].settings, &mut settings);
                old |= left_out;
                agree(&mut members[at], &row.fastener, &settings)?;
                at
            }
            None => {
                self.met += 1;
                let (fastener, at) = (row.fastener, self.met);
                members.push(Gathered { key, fastener, settings: Vec::new(), names, at });
                members.len() - 1
            }
        };
        let held = &mut members[at].settings;
        let before = held.len();
        let has_settings = given > 0;
        for from_row in settings {
            if !held.iter().any(|other| is_repeat(other, &from_row)) {
                held.push(from_row);
            }
        }
        let is_again = has_settings && held.len() == before;
        if let Some((of_joint, joint)) = joint {
            self.too_late |= self.given.contains(&of_joint);
            self.joints.insert(of_joint, joint);
        }
        Ok(match (old, is_again) {
            (true, _) => Added::BesideOld,
            (false, true) => Added::Again,
            (false, false) => Added::New,
        })
    }

    /// The member of the group that is this fastener: by its key, or by name
    /// and thread.
    fn find(
        &self,
        group: u64,
        key: Option<&str>,
        names: &[String; 3],
        fastener: &Fastener,
    ) -> Result<Option<usize>, Vec<Disagreement>> {
        let Some(members) = self.groups.get(&group) else { return Ok(None) };
        if key.is_some() {
            return Ok(members.iter().position(|one| one.key.as_deref() == key));
        }
        // The same size in another grade is another fastener.
        let is_named = |at: &usize| {
            let one = &members[*at];
            let held = one.fastener.strength.name.as_ref();
            one.key.is_none()
                && one.names == *names
                && agrees(held, fastener.strength.name.as_ref())
        };
        let thread = fastener.thread.as_ref();
        let named: Vec<usize> = (0..members.len()).filter(is_named).collect();
        let thread_of = |at: &usize| members[*at].fastener.thread.as_ref();
        let Some(thread) = thread else {
            return match named.as_slice() {
                [] => Ok(None),
                [one] => Ok(Some(*one)),
                several => {
                    let threads = several.iter().filter_map(thread_of).map(ToString::to_string);
                    Err(vec![Disagreement {
                        field: "thread",
                        said: ["no thread".to_owned(), threads.collect::<Vec<_>>().join(" or ")],
                        other: Other::Any,
                        of: "fasteners of one name",
                        advice: "fill in the thread",
                    }])
                }
            };
        };
        let exact = named.iter().find(|at| thread_of(at) == Some(thread));
        // A row before that left the thread out is the same fastener, if it is
        // the only one.
        let open = named.iter().find(|at| thread_of(at).is_none() && named.len() == 1);
        Ok(exact.or(open).copied())
    }

    /// Takes out a group that is complete.
    pub(crate) fn close(&mut self, group: u64) -> Vec<Gathered> {
        let members = self.groups.remove(&group).unwrap_or_default();
        for one in &members {
            if !self.given.contains(&one.names[..2]) {
                self.given.insert([one.names[0].clone(), one.names[1].clone()]);
            }
        }
        self.whole(members)
    }

    /// The joints of the file by their folded names.
    pub(crate) fn joint_names(&self) -> impl Iterator<Item = &[String; 2]> {
        self.joints.keys()
    }

    /// The joints of which the file says more than their names, by their folded
    /// names.
    pub(crate) fn told_joints(&self) -> impl Iterator<Item = (&[String; 2], &Joint)> {
        self.joints.iter().filter(|(_, joint)| !adds_nothing(&Joint::named("", ""), joint))
    }

    /// Takes out everything, in the order of the file.
    pub(crate) fn close_all(&mut self) -> Vec<Gathered> {
        let mut all: Vec<Gathered> = self.groups.drain().flat_map(|(_, members)| members).collect();
        all.sort_by_key(|one| one.at);
        self.whole(all)
    }

    /// Gives each fastener what all rows say of its joint.
    fn whole(&self, mut all: Vec<Gathered>) -> Vec<Gathered> {
        for gathered in &mut all {
            let joint = &mut gathered.fastener.joint;
            if let Some(whole) = self.joints.get(&gathered.names[..2])
                && !adds_nothing(joint, whole)
            {
                let names = (std::mem::take(&mut joint.assembly), std::mem::take(&mut joint.name));
                joint.clone_from(whole);
                (joint.assembly, joint.name) = names;
            }
        }
        all
    }
}

/// What became of the settings of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Added {
    New,
    /// Rows before it gave them all.
    Again,
    /// It is superseded by another row, or another row by it: the one that holds is kept.
    BesideOld,
}

/// Leaves out what is called superseded beside a row that holds; whether there was any.
fn leave_old(held: &mut Vec<FromRow>, settings: &mut Vec<FromRow>) -> bool {
    let before = held.len() + settings.len();
    let holds = |one: &FromRow, others: &[FromRow]| {
        let other = |other: &FromRow| !other.setting.superseded && is_same_place(other, one);
        !one.setting.superseded || !others.iter().any(other)
    };
    settings.retain(|one| holds(one, held));
    held.retain(|one| holds(one, settings));
    held.len() + settings.len() < before
}

/// Whether two names are the same, or one is not stated.
pub(crate) fn agrees(one: Option<&String>, other: Option<&String>) -> bool {
    one.is_none() || other.is_none() || one == other
}

/// Takes the row's fields over into `held`; they must agree with the rows
/// before.
fn agree(
    held: &mut Gathered,
    fastener: &Fastener,
    settings: &[FromRow],
) -> Result<(), Vec<Disagreement>> {
    let same =
        |other: &&FromRow, row: &FromRow| is_same_place(other, row) && !is_repeat(other, row);
    let clash = settings.iter().any(|row| held.settings.iter().any(|other| same(&other, row)));
    if !clash && held.fastener == *fastener {
        return Ok(());
    }
    let mut merged = held.fastener.clone();
    let first = held.settings.first().map_or(Other::Any, |one| Other::Row(one.page, one.line));
    let clashes = take_over(&mut merged, fastener, false).into_iter();
    let mut wrong: Vec<Disagreement> = clashes
        .map(|(field, before, now)| Disagreement {
            field,
            said: [format!("{field} {now}"), before],
            other: first,
            of: "the same fastener",
            advice: "correct one of them, or give the part of one another name",
        })
        .collect();
    for from_row in settings {
        if let Some(other) = held.settings.iter().find(|other| same(other, from_row)) {
            wrong.push(Disagreement {
                field: "torque",
                said: [from_row, other].map(|one| one.setting.in_words()),
                other: Other::Row(other.page, other.line),
                of: "the same fastener with the same lube from the same source",
                advice: "correct one of them, or name what makes the difference: the machine, the part, the lube or the source",
            });
        }
    }
    if !wrong.is_empty() {
        return Err(wrong);
    }
    held.fastener = merged;
    Ok(())
}

/// What is known about the joint with this row; none if nothing new.
fn joint_with(known: Option<&Joint>, joint: &Joint) -> Result<Option<Joint>, Vec<Disagreement>> {
    let Some(known) = known else { return Ok(Some(joint.clone())) };
    if adds_nothing(known, joint) {
        return Ok(None);
    }
    let mut merged = known.clone();
    let clashes = joint_over(&mut merged, joint, false);
    if clashes.is_empty() {
        return Ok(Some(merged));
    }
    let wrong = clashes.into_iter().map(|(field, before, now)| Disagreement {
        field,
        said: [format!("{field} {now}"), before],
        other: Other::Any,
        of: "the same joint",
        advice: "correct one of them, or say it in one row alone",
    });
    Err(wrong.collect())
}

/// Whether two settings are the same one by the identity of an import: lube,
/// method, source title and revision.
pub(crate) fn is_same_setting(one: &Setting, other: &Setting) -> bool {
    let same = |one: &Option<String>, other: &Option<String>| {
        one == other || one.as_deref().map(fold_name) == other.as_deref().map(fold_name)
    };
    // An angle is an angle, with or without its snug torque.
    let method = |setting: &Setting| match setting.method {
        Method::Angle => Method::TorqueAngle,
        method => method,
    };
    same(&one.lube, &other.lube)
        && method(one) == method(other)
        && same(&one.source.title, &other.source.title)
        && same(&one.source.revision, &other.source.revision)
}

fn is_same_place(one: &FromRow, other: &FromRow) -> bool {
    let marks_differ = one.mark.is_some() && other.mark.is_some() && one.mark != other.mark;
    !marks_differ && is_same_setting(&one.setting, &other.setting)
}

/// The same row once more.
fn is_repeat(one: &FromRow, other: &FromRow) -> bool {
    is_same_place(one, other) && one.setting == other.setting
}

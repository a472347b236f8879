//! A draft made whole: names, method, source and basis settled, one setting
//! for each lube that the row gives a figure for.

use crate::intake::Options;
use crate::intake::cells::{Tightening, ends_in};
use crate::intake::draft::{Draft, Fields};
use crate::intake::ends::{bearing, ends};
use crate::intake::identity::RowNames;
use crate::intake::passes::{
    above_torque, equal_passes, last_torque, numbered_passes, passes_in_notes, to_full,
    turned_by_passes,
};
use crate::intake::row_words::{NotesSaid, grade_in_notes, names_another, said_in_words};
use crate::intake::survey::Given;
use crate::intake::verdict::{Problem, Remark};
use crate::intake::words::kind_in;
use crate::quantity::Extent;
use crate::record::{
    Basis, Fastener, Kind, Method, Pass, Reuse, Setting, SourceKind, Tables, place_of,
};
use crate::thread::Thread;

/// A row that is whole.
#[derive(Debug)]
pub(crate) struct Finished {
    /// The key column, as written.
    pub(crate) key: Option<String>,
    /// The fastener without its settings; key and settings are empty.
    pub(crate) fastener: Fastener,
    pub(crate) settings: Vec<Setting>,
    /// The fields that the row states.
    pub(crate) stated: Fields,
}

const KEY: usize = place_of("key");
const ASSEMBLY: usize = place_of("assembly");
const JOINT: usize = place_of("joint");
const PART: usize = place_of("part");
const METHOD: usize = place_of("method");
const BASIS: usize = place_of("basis");

/// What there is to say about the row: the field it is about, and what.
#[derive(Debug, Default)]
pub(crate) struct RowNotes {
    pub(crate) problems: Vec<(&'static str, Problem)>,
    pub(crate) remarks: Vec<(&'static str, Remark)>,
}

impl RowNotes {
    pub(crate) fn refuse(
        &mut self,
        field: &'static str,
        code: &'static str,
        reason: String,
        advice: &str,
    ) {
        self.problems.push((field, Problem::refused(code, reason, advice)));
    }

    pub(crate) fn warn(
        &mut self,
        field: &'static str,
        code: &'static str,
        reason: &str,
        advice: &str,
    ) {
        self.remarks.push((field, Remark::warning(code, reason, advice)));
    }

    pub(crate) fn echo(&mut self, field: &'static str, code: &'static str, reason: &str) {
        self.remarks.push((field, Remark::echo(code, reason)));
    }
}

/// Makes `draft` whole. The caller looks at `notes` for problems.
pub(crate) fn finish(
    mut draft: Draft,
    options: &Options,
    tables: &Tables,
    around: Around,
    said: &mut NotesSaid,
    notes: &mut RowNotes,
) -> Finished {
    strength(&mut draft, options, around, tables, notes);
    names(&mut draft, options, around, notes);
    bearing(&mut draft, notes);
    ends(&mut draft, notes);
    numbered_passes(&mut draft, notes);
    source(&mut draft, options, around.given, notes);
    let lube = |name: &String| tables.lube(name).map(|lube| lube.name.clone());
    let of_title = || around.given.lube.as_ref().and_then(lube);
    let default_lube = match &options.lube {
        Some(name) => lube(name),
        None if draft.setting.lube.is_some() => None,
        None => of_title().filter(|lube| !names_another(&draft, lube, around.given, tables, notes)),
    };
    if let Some(lube) =
        default_lube.as_ref().filter(|_| around.has_column[0] && options.lube.is_none())
    {
        let reason = format!("a title gives the lube where the cell is blank: {lube}");
        notes.echo("lube", "from-title", &reason);
    }
    if !draft.stated.has(KEY) {
        said_in_words(&mut draft, around, said, notes);
    }
    let settings = settings(&mut draft, default_lube.as_ref(), said, notes);
    keep_words(&mut draft);
    let key = std::mem::take(&mut draft.fastener.key);
    let (key, stated) = (Some(key).filter(|_| draft.stated.has(KEY)), draft.stated);
    Finished { key, fastener: draft.fastener, settings, stated }
}

/// What holds for a row by its place in the sheet.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Around<'a> {
    pub(crate) given: &'a Given,
    pub(crate) names: Option<&'a RowNames>,
    /// No column says whether the fastener is used again; none says what it is.
    pub(crate) infers_reuse: bool,
    pub(crate) infers_kind: bool,
    /// The table has a column for the lube, for the strength.
    pub(crate) has_column: [bool; 2],
}

/// Assembly and joint that the row itself does not name.
fn names(draft: &mut Draft, options: &Options, around: Around, notes: &mut RowNotes) {
    let (given, has_key) = (around.given, draft.stated.has(KEY));
    let joint = &mut draft.fastener.joint;
    let slots = [(ASSEMBLY, "assembly", &mut joint.assembly), (JOINT, "joint", &mut joint.name)];
    for (at, (place, field, slot)) in slots.into_iter().enumerate() {
        if draft.stated.has(place) {
            continue;
        }
        let name = around.names.and_then(|names| names.other[at].clone());
        if name.as_ref().is_some_and(|(_, is_above)| *is_above) && !options.fill_down {
            notes.echo(field, "fill-down", &format!("a blank {field} repeats the one above"));
        }
        if name.is_none() && !has_key {
            let reason = format!("the row names no {field}");
            let advice = "fill it in, or say it once in the mapping";
            notes.refuse(field, "no-name", reason, advice);
        }
        *slot = name.map(|(name, _)| name).unwrap_or_default();
    }
    draft.notes.extend(given.words.clone());
    part(draft, has_key, given.is_typed, notes);
}

/// The part as named; else the words beside the thread, the kind, or thread and
/// grade.
fn part(draft: &mut Draft, has_key: bool, is_typed: bool, notes: &mut RowNotes) {
    let (figures, beside): (Vec<String>, Vec<String>) = std::mem::take(&mut draft.beside_thread)
        .into_iter()
        .partition(|words| words.contains(|c: char| c.is_ascii_digit()));
    draft.notes.extend(figures.into_iter().map(|words| format!("thread: {words}")));
    let beside = (!beside.is_empty()).then(|| beside.join(" "));
    if draft.stated.has(PART) {
        draft.notes.extend(beside.map(|words| format!("thread: {words}")));
        return;
    }
    let kind = draft.fastener.kind.map(|kind| kind.to_string());
    if let Some(kind) = kind {
        draft.fastener.part = kind;
        draft.notes.extend(beside.map(|words| format!("thread: {words}")));
        let advice = "name the part";
        notes.warn("part", "part-from-kind", "no part is named; called by its kind", advice);
        return;
    }
    if has_key {
        return;
    }
    if is_typed {
        let reason = "the row does not say which fastener of the joint it is".to_owned();
        return notes.refuse("part", "no-name", reason, "fill in the part");
    }
    let thread = draft.fastener.thread.as_ref().map(ToString::to_string);
    let grade = draft.fastener.strength.name.clone();
    let words: Vec<String> = beside.into_iter().chain(thread).chain(grade).collect();
    if words.is_empty() {
        draft.fastener.part = "fastener".to_owned();
    } else {
        draft.fastener.part = words.join(" ");
    }
    notes.echo("part", "part-from-thread", "no part is named: called by thread and grade");
}

fn strength(
    draft: &mut Draft,
    options: &Options,
    around: Around,
    tables: &Tables,
    notes: &mut RowNotes,
) {
    let strength = &mut draft.fastener.strength;
    let has_figures =
        strength.proof.is_some() || strength.yield_.is_some() || strength.tensile.is_some();
    if let Some(hint) = draft.unknown_strength.take() {
        let name = strength.name.clone().unwrap_or_default();
        if let Some(grade) = bare_grade(&name, draft.fastener.thread.as_ref(), tables) {
            let reason = format!("`{name}` beside an inch thread is {grade}");
            notes.echo("strength", "bare-grade", &reason);
            draft.fastener.strength.name = Some(grade);
            return;
        }
        let is_nut = draft.fastener.kind.or(draft.kind) == Some(Kind::Nut);
        if is_nut && matches!(&*name, "5" | "6" | "8" | "10" | "12") {
            let reason =
                format!("`{name}` is a property class of nuts (ISO 898-2): kept by its name");
            notes.echo("strength", "nut-class", &reason);
            return;
        }
        let reason = format!("`{name}` is not a strength of this book{hint}");
        if has_figures {
            let reason = format!("{reason}; the row's own figures are used");
            notes.warn("strength", "own-strength", &reason, "");
        } else if hint.is_empty() {
            // Its name stays: a bolt that may be of brass or titanium is not one of
            // which nothing is said.
            let reason = format!("{reason}: kept by its name, no figures for it");
            let advice = "add it to the book, or give its yield in a column of its own";
            notes.warn("strength", "unknown-strength", &reason, advice);
        } else {
            let advice = "use a known name, or give its yield in a column of its own";
            notes.refuse("strength", "unknown-strength", reason, advice);
        }
    }
    let is_unstated = draft.fastener.strength.is_unstated();
    let of_title = around.given.strength.as_ref().filter(|_| title_holds(draft, around));
    let of_title = of_title.filter(|_| is_unstated && options.strength.is_none());
    let of_notes = of_title.and_then(|title| grade_in_notes(draft, title, around.given, tables));
    if let (Some(title), Some(own)) = (of_title, &of_notes) {
        let reason = format!("the title says {title}, the notes of the row {own}: theirs is taken");
        notes.warn("strength", "strength-in-notes", &reason, "give the row its class in a column");
        draft.fastener.strength.name = of_notes;
        return;
    }
    let of_file = options.strength.as_ref().filter(|_| is_unstated && !is_nut(draft));
    if let Some(class) = of_file.or(of_title).and_then(|name| tables.strength(name)) {
        if around.has_column[1] && options.strength.is_none() {
            let reason =
                format!("a title gives the strength where the cell is blank: {}", class.name);
            notes.echo("strength", "from-title", &reason);
        }
        draft.fastener.strength.name = Some(class.name.clone());
    }
}

/// Whether the strength of a title is that of the row: of none that is a nut, and of a blank
/// cell in a column of strengths only where the row does not go on with the one above.
fn title_holds(draft: &Draft, around: Around) -> bool {
    !is_nut(draft) && (!around.has_column[1] || draft.fastener.thread.is_some())
}

/// Whether the row is of a nut, by its kind or its names: the class of bolts is none of nuts.
fn is_nut(draft: &Draft) -> bool {
    let names = [&draft.fastener.part, &draft.fastener.joint.name];
    let of_names = || names.into_iter().find_map(|name| kind_in(name));
    draft.fastener.kind.or(draft.kind).or_else(of_names) == Some(Kind::Nut)
}

/// A bare `5` or `8` beside an inch thread is a grade of SAE J429.
fn bare_grade(name: &str, thread: Option<&Thread>, tables: &Tables) -> Option<String> {
    let is_inch = thread.is_some_and(|thread| thread.tpi().is_some());
    let is_grade = matches!(name, "1" | "2" | "4" | "5" | "7" | "8");
    let grade = (is_inch && is_grade).then(|| format!("SAE {name}"))?;
    tables.strength(&grade).map(|class| class.name.clone())
}

/// Source, its kind and the basis that they allow.
fn source(draft: &mut Draft, options: &Options, given: &Given, notes: &mut RowNotes) {
    let own_basis = draft.stated.has(BASIS).then_some(draft.setting.basis);
    let setting = &mut draft.setting;
    if setting.source == crate::record::Source::default() {
        setting.source = options.source.clone();
        if setting.source.title.is_none() {
            setting.source.title.clone_from(&given.source);
            setting.source.revision = setting.source.revision.take().or(given.revision.clone());
        }
    }
    let source = &setting.source;
    let from_memory = source.kind == Some(SourceKind::Memory);
    let wanted = own_basis.or(options.basis).or(given.basis);
    let sound = source.is_citable() && !from_memory;
    let why = if from_memory {
        "a figure from memory is the shop's own"
    } else if source.title.is_none() {
        "no source is named"
    } else {
        "the source has no page or revision"
    };
    let advice = "name the sheet with its page or revision";
    setting.basis = match wanted {
        Some(Basis::Listed) if !sound => {
            let reason = format!("{why}: listed is taken as shop");
            notes.warn("basis", "basis", &reason, advice);
            Basis::Shop
        }
        Some(basis) => basis,
        None if sound => Basis::Listed,
        None if source.kind == Some(SourceKind::Shop) || from_memory => Basis::Shop,
        None => {
            notes.warn("source", "basis", &format!("{why}: taken as shop"), advice);
            Basis::Shop
        }
    };
}

/// One setting for each torque of the row; one without a figure if there is
/// none.
fn settings(
    draft: &mut Draft,
    default_lube: Option<&String>,
    said: &mut NotesSaid,
    notes: &mut RowNotes,
) -> Vec<Setting> {
    let mut torques = std::mem::take(&mut draft.torques);
    if torques.is_empty() {
        let torque = draft.passes.as_ref().and_then(last_torque).map(Extent::Exactly);
        if torque.is_some() {
            notes.echo("passes", "last-is-torque", "no torque is stated: the last pass is it");
        }
        torques.push(Tightening { torque, ..Tightening::default() });
    }
    let several = torques.len() > 1;
    let steps = draft.passes.iter().flat_map(|one| &one.passes);
    if several && steps.into_iter().any(|pass| matches!(pass, Pass::Torque(_))) {
        let reason = "passes as torques, and several lubes in the row".to_owned();
        notes.refuse("passes", "passes-of-which", reason, "give each lube its own row");
    }
    torques
        .into_iter()
        .map(|one| {
            let mut setting = one_setting(draft, one, said, notes);
            if setting.lube.is_none() {
                setting.lube = default_lube.cloned();
            }
            setting
        })
        .collect()
}

fn one_setting(
    draft: &mut Draft,
    torque: Tightening,
    said: &mut NotesSaid,
    notes: &mut RowNotes,
) -> Setting {
    let mut setting = draft.setting.clone();
    lube_of(&mut setting, torque.lube.as_ref(), notes);
    let angle = draft.angle.clone().unwrap_or_default();
    let stretch = draft.stretch.clone().unwrap_or_default();
    let passes = draft.passes.clone().unwrap_or_default();
    let thrown_away = [&torque, &angle, &stretch, &passes].iter().any(|one| one.single_use);
    let said_method = torque.method.or(angle.method);
    setting.torque = torque.torque;
    setting.snug = agree("snug", &[setting.snug, torque.snug, angle.snug], notes);
    setting.stretch = agree("stretch", &[stretch.stretch, torque.stretch], notes);
    setting.tolerance = agree("tolerance", &[setting.tolerance, torque.tolerance], notes);
    setting.angles = agree_lists("angle", [angle.angles, torque.angles], notes);
    setting.passes = agree_lists("passes", [passes.passes, torque.passes], notes);
    if setting.angles.is_empty() && !draft.stated.has(METHOD) {
        turned_by_passes(&mut setting);
    }
    method(draft, &mut setting, said_method, notes);
    if passes.to_full {
        to_full(&mut setting);
    }
    setting.cycles = setting.cycles.or(passes.cycles);
    single_use(draft, &setting, thrown_away, notes);
    passes_in_notes(draft, &mut setting, said, notes);
    equal_passes(draft, &mut setting, passes.count, passes.bare, torque.count, notes);
    above_torque(&setting, notes);
    if let Some(Extent::Exactly(last)) = setting.torque
        && !ends_in(&setting.passes, last)
    {
        let reason = format!("the last pass is not the torque {last}");
        notes.warn("passes", "last-pass", &reason, "check both against the sheet");
    }
    setting
}

fn lube_of(setting: &mut Setting, named: Option<&String>, notes: &mut RowNotes) {
    match (&setting.lube, named) {
        (Some(column), Some(named)) if column != named => {
            let reason = format!("the lube column says {column}, the torque {named}");
            notes.refuse("lube", "cells-disagree", reason, "leave the lube column empty");
        }
        (None, Some(named)) => setting.lube = Some(named.clone()),
        _ => {}
    }
}

/// The one value that several cells state.
fn agree<T: Copy + PartialEq + std::fmt::Display>(
    field: &'static str,
    said: &[Option<T>],
    notes: &mut RowNotes,
) -> Option<T> {
    let mut stated = said.iter().flatten();
    let first = *stated.next()?;
    if let Some(other) = stated.find(|other| **other != first) {
        let reason = format!("the row says {field} {first} and {other}");
        notes.refuse(field, "cells-disagree", reason, "make the cells agree");
    }
    Some(first)
}

fn agree_lists<T: PartialEq>(
    field: &'static str,
    [own, other]: [Vec<T>; 2],
    notes: &mut RowNotes,
) -> Vec<T> {
    if own.is_empty() {
        return other;
    }
    if !other.is_empty() && own != other {
        let reason = format!("two cells of the row state {field} differently");
        notes.refuse(field, "cells-disagree", reason, "leave one of them empty");
    }
    own
}

/// How the clamp is brought about: as the row says, else as its figures say.
fn method(draft: &Draft, setting: &mut Setting, said: Option<Method>, notes: &mut RowNotes) {
    let has_angle = !setting.angles.is_empty();
    let inferred = if has_angle {
        let started = setting.snug.is_some() || setting.torque.is_some();
        if started { Method::TorqueAngle } else { Method::Angle }
    } else if setting.stretch.is_some() {
        Method::Stretch
    } else {
        said.unwrap_or(Method::Torque)
    };
    let is_said = draft.stated.has(METHOD);
    if !is_said {
        setting.method = inferred;
    }
    let angled = matches!(setting.method, Method::TorqueAngle | Method::Angle);
    if is_said && has_angle && !angled {
        let reason = format!("the method is {}, and the row states an angle", setting.method);
        notes.refuse("method", "cells-disagree", reason, "write torque then angle, or angle");
    }
    if !is_said && setting.method == Method::Stretch && setting.torque.is_some() {
        notes.echo("stretch", "stretch-first", "set by stretch; the torque is kept beside it");
    }
    if angled
        && setting.snug.is_none()
        && let Some(Extent::Exactly(start)) = setting.torque
    {
        // The torque of such a row is where the angle starts, not the final one.
        setting.snug = Some(start);
        setting.torque = None;
    }
}

fn single_use(draft: &mut Draft, setting: &Setting, thrown_away: bool, notes: &mut RowNotes) {
    if thrown_away {
        let reuse = draft.fastener.reuse.get_or_insert(Reuse::SingleUse);
        if *reuse != Reuse::SingleUse {
            let reason = "one cell says thrown away after use, the reuse column another thing";
            notes.refuse("reuse", "cells-disagree", reason.to_owned(), "make the cells agree");
        }
    }
    let angled = matches!(setting.method, Method::TorqueAngle | Method::Angle);
    let field = if draft.angle.is_some() { "angle" } else { "torque" };
    if angled && setting.snug.is_none() {
        let advice = "give the torque from which the angle counts";
        notes.warn(field, "no-snug", "the snug torque is not stated", advice);
    }
    if angled && draft.fastener.reuse.is_none() {
        let reason = "set by angle, and not said whether the fastener may be used again";
        notes.warn(field, "reuse-unknown", reason, "fill in the reuse column");
    }
}

/// Words without a column go into the notes, changed cells into the verbatim
/// text, each once.
fn keep_words(draft: &mut Draft) {
    let join = |words: &[String]| {
        let mut kept: Vec<&str> = Vec::new();
        for word in words.iter().map(|word| word.trim()).filter(|word| !word.is_empty()) {
            if !kept.iter().any(|known| known.contains(word)) {
                kept.push(word);
            }
        }
        (!kept.is_empty()).then(|| kept.join("; "))
    };
    draft.fastener.notes = join(&draft.notes);
    draft.fastener.verbatim = join(&draft.verbatim);
}

//! FIELDS: the one table of what a row can be asked for.
//!
//! The question language, help, import headers, export columns and JSON keys
//! all walk it. A name is what a person types; `headers` are further spellings
//! met at the top of a spreadsheet column.

use std::sync::LazyLock;

use crate::quantity::{Dimension, Extent, Kind as QuantityKind, Stated};
use crate::record::row::{Measure, Row, Value};
use crate::record::{Fastener, Reuse, SourceKind};
use crate::text::fold_name;

/// What a field holds, which decides what it may be compared with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FieldKind {
    /// Words; matched by whole words.
    Text,
    /// A word of a closed list; the list of words.
    Choice(&'static [&'static str]),
    /// A plain number.
    Number,
    /// A quantity of this dimension.
    Quantity(Dimension),
    /// A share, written in per cent.
    Share,
    /// A thread.
    Thread,
    /// The name of a lube.
    Lube,
    /// The name of a strength.
    Strength,
    /// Yes or no.
    Flag,
}

/// Whether a field is kept or computed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// Kept in the book; has a column in import and export.
    Stored,
    /// Follows from others.
    Derived,
}

/// Which record a stored field belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Owner {
    /// The joint.
    Joint,
    /// The fastener.
    Fastener,
    /// The setting.
    Setting,
}

/// One row of [`FIELDS`].
pub struct Field {
    /// What a person types.
    pub name: &'static str,
    /// Other words for it in a question.
    pub aliases: &'static [&'static str],
    /// Further headers that mean it in an imported file, lower case.
    pub headers: &'static [&'static str],
    /// What it holds.
    pub kind: FieldKind,
    /// Kept or computed.
    pub origin: Origin,
    /// The record it belongs to.
    pub owner: Owner,
    /// Key in JSON, with the SI unit as suffix where there is one.
    pub json: &'static str,
    /// One line of help.
    pub help: &'static str,
    /// Its value in a row.
    pub get: fn(&Row) -> Value,
}

impl std::fmt::Debug for Field {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name)
    }
}

impl PartialEq for &'static Field {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(*self, *other)
    }
}

impl Field {
    /// The heading of its column: "hole-thread" is "Hole thread".
    pub fn heading(&self) -> String {
        let words = self.name.replace('-', " ");
        let mut letters = words.chars();
        letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or(words)
    }
}

/// The field of that name or alias, case folded.
pub fn find_field(name: &str) -> Option<&'static Field> {
    let name = fold_name(name);
    FIELDS.iter().find(|field| field.name == name || field.aliases.contains(&name.as_str()))
}

/// Every word that names a field in a question.
pub fn field_words() -> &'static [&'static str] {
    static WORDS: LazyLock<Vec<&'static str>> = LazyLock::new(|| {
        let each = |field: &'static Field| {
            std::iter::once(field.name).chain(field.aliases.iter().copied())
        };
        FIELDS.iter().flat_map(each).collect()
    });
    &WORDS
}

type Spellings = &'static [&'static str];

const fn field(
    (name, aliases, headers): (&'static str, Spellings, Spellings),
    kind: FieldKind,
    owner: Owner,
    json: &'static str,
    help: &'static str,
    get: fn(&Row) -> Value,
) -> Field {
    Field { name, aliases, headers, kind, origin: Origin::Stored, owner, json, help, get }
}

const fn derived(
    (name, aliases): (&'static str, Spellings),
    kind: FieldKind,
    json: &'static str,
    help: &'static str,
    get: fn(&Row) -> Value,
) -> Field {
    let (origin, owner) = (Origin::Derived, Owner::Setting);
    Field { name, aliases, headers: &[], kind, origin, owner, json, help, get }
}

fn text(value: Option<&String>) -> Value {
    value.map_or(Value::NotStated, |text| Value::Text(text.clone()))
}

fn name(value: &str) -> Value {
    if value.is_empty() { Value::NotStated } else { Value::Text(value.to_owned()) }
}

fn word<T: ToString>(value: Option<T>) -> Value {
    value.map_or(Value::NotStated, |value| Value::Text(value.to_string()))
}

fn list<T: ToString>(values: &[T]) -> Value {
    let words: Vec<String> = values.iter().map(T::to_string).collect();
    if words.is_empty() { Value::NotStated } else { Value::Text(words.join(", ")) }
}

/// Whole sentences: a comma stands inside them.
fn sentences(values: &[String]) -> Value {
    if values.is_empty() { Value::NotStated } else { Value::Text(values.join("; ")) }
}

fn number(value: Option<impl Into<f64>>) -> Value {
    value.map_or(Value::NotStated, |value| Value::Number(value.into()))
}

fn stated<K: QuantityKind>(value: Option<Stated<K>>) -> Value {
    extent(value.map(Extent::Exactly))
}

fn extent<K: QuantityKind>(value: Option<Extent<K>>) -> Value {
    value.map_or(Value::NotStated, |extent| {
        Value::Measure(Measure {
            dimension: K::DIMENSION,
            low: extent.low().map(QuantityKind::base),
            high: extent.high().base(),
            written: Some(extent.to_string()),
            unit: Some(extent.unit()),
        })
    })
}

fn measure<K: QuantityKind>(value: Option<K>) -> Value {
    value.map_or(Value::NotStated, |value| base(K::DIMENSION, value.base()))
}

fn share(value: Option<f64>) -> Value {
    value.map_or(Value::NotStated, |value| base(Dimension::Ratio, value))
}

fn base(dimension: Dimension, value: f64) -> Value {
    Value::Measure(Measure { dimension, low: Some(value), high: value, written: None, unit: None })
}

/// A flag of something that the sheet states or does not mention: false only
/// where it says the opposite.
fn flag(value: bool) -> Value {
    Value::Flag(value)
}

fn reuse(fastener: &Fastener) -> Value {
    match fastener.reuse {
        None => Value::NotStated,
        Some(Reuse::Reusable) => Value::Text("reusable".to_owned()),
        Some(Reuse::SingleUse) => Value::Text("single-use".to_owned()),
        Some(Reuse::UpTo(cycles)) => Value::Text(format!("up to {cycles} cycles")),
        Some(Reuse::FreeLength(limit)) => Value::Text(format!("until free length {limit}")),
    }
}

/// Everything that free words are looked for in.
fn all_text(row: &Row) -> Value {
    let fastener = &row.fastener;
    let mut words =
        vec![fastener.joint.assembly.clone(), fastener.joint.name.clone(), fastener.part.clone()];
    words.extend(fastener.tags.iter().cloned());
    words.extend(fastener.notes.clone());
    Value::Text(words.join(" "))
}

/// Not known where neither a lube nor a sealant is stated.
fn thread_locked(row: &Row) -> Value {
    if row.setting.lube.is_none() && row.fastener.sealant.is_none() {
        return Value::NotStated;
    }
    let says = |text: &Option<String>| {
        text.as_ref().is_some_and(|text| fold_name(text).contains("threadlocker"))
    };
    flag(says(&row.setting.lube) || says(&row.setting.face_lube) || says(&row.fastener.sealant))
}

fn is_plated(row: &Row) -> bool {
    let finish = row.fastener.finish.as_deref().map(fold_name).unwrap_or_default();
    ["plated", "plate", "zinc", "cadmium", "coated"].iter().any(|word| finish.contains(word))
}

macro_rules! words {
    ($choice:ty) => {
        FieldKind::Choice(<$choice>::NAMES)
    };
}

use crate::record::{Basis, Duty, Kind, Method, Prevailing, Turned, Wet};
use Dimension as D;
use FieldKind::{Flag, Lube, Number, Quantity, Share, Strength, Text, Thread};
use Owner::{Fastener as F, Joint as J, Setting as S};

/// Every field, in the order in which export writes its columns.
#[rustfmt::skip] // one row a line, read as a table
pub static FIELDS: &[Field] = &[
    field(("key", &[], &["id", "fastener id", "spec id"]), Text, F, "key", "stable key of the setting", |r| name(&r.key)),
    field(("assembly", &[], &["engine", "machine", "unit", "build"]), Text, J, "assembly", "the engine or machine", |r| name(&r.fastener.joint.assembly)),
    field(("joint", &[], &["location", "application", "component"]), Text, J, "joint", "the joint: head, main, rod", |r| name(&r.fastener.joint.name)),
    field(("part", &[], &["fastener", "item", "description"]), Text, F, "part", "which fastener of the joint", |r| name(&r.fastener.part)),
    field(("kind", &[], &["type", "fastener type", "fastener kind"]), words!(Kind), F, "kind", "bolt, stud, nut, screw or plug", |r| word(r.fastener.kind)),
    field(("duty", &[], &["service"]), words!(Duty), J, "duty", "what the joint does", |r| word(r.fastener.joint.duty)),
    field(("part-number", &[], &["part no", "part no.", "p/n", "pn"]), Text, F, "part_number", "part number", |r| text(r.fastener.part_number.as_ref())),
    field(("qty", &["count"], &["count", "quantity", "pcs", "no. off", "how many"]), Number, F, "count", "how many there are", |r| number(r.fastener.count)),
    field(("positions", &[], &["position", "holes", "where"]), Text, F, "positions", "which holes they sit in", |r| text(r.fastener.positions.as_ref())),
    field(("group", &[], &[]), Text, F, "group", "group pulled together", |r| text(r.fastener.group.as_ref())),
    field(("after-group", &[], &["after"]), Text, F, "after_group", "group pulled before this one", |r| text(r.fastener.after_group.as_ref())),
    field(("thread", &[], &["thread size", "size and pitch", "nut end", "nut-end thread", "size"]), Thread, F, "thread", "the thread that turns", |r| r.fastener.thread.clone().map_or(Value::NotStated, Value::Thread)),
    field(("hole-thread", &["hole-end"], &["hole end", "block end", "hole-end thread", "stud hole end"]), Thread, F, "hole_thread", "a stud's thread in the casting", |r| r.fastener.hole_thread.clone().map_or(Value::NotStated, Value::Thread)),
    field(("hole-end-lube", &[], &["hole end lube", "block end lube"]), Lube, F, "hole_end_lube", "lube on a stud's hole end", |r| text(r.fastener.hole_end_lube.as_ref())),
    field(("hole-end-fitting", &[], &["stud fitting", "stud torque"]), Text, F, "hole_end_fitting", "how a stud's hole end is fitted", |r| text(r.fastener.hole_end_fitting.as_ref())),
    field(("turned", &["turns"], &["turned part", "turn"]), words!(Turned), F, "turned", "what the wrench turns: head or nut", |r| word(r.fastener.turned)),
    field(("strength", &["grade", "class"], &["property class", "material", "bolt grade", "material/grade"]), Strength, F, "strength", "grade, class or alloy", |r| text(r.fastener.strength.name.as_ref())),
    field(("proof", &[], &["proof stress", "proof strength"]), Quantity(D::Stress), F, "proof_mpa", "proof stress, from the sheet or the strength table", |r| match r.fastener.strength.proof { Some(sheet) => stated(Some(sheet)), None => measure(r.derived.proof) }),
    field(("yield", &[], &["yield strength", "yield stress"]), Quantity(D::Stress), F, "yield_mpa", "yield, from the sheet or the strength table", |r| match r.fastener.strength.yield_ { Some(sheet) => stated(Some(sheet)), None => measure(r.derived.yield_) }),
    field(("tensile", &["uts"], &["tensile strength", "ultimate"]), Quantity(D::Stress), F, "tensile_mpa", "tensile strength, from the sheet or the strength table", |r| match r.fastener.strength.tensile { Some(sheet) => stated(Some(sheet)), None => measure(r.derived.tensile) }),
    field(("finish", &[], &["coating", "plating"]), Text, F, "finish", "plating or coating", |r| text(r.fastener.finish.as_ref())),
    field(("waist", &[], &["waist diameter", "shank"]), Quantity(D::Length), F, "waist_mm", "diameter of a reduced shank", |r| stated(r.fastener.waist)),
    field(("length", &[], &["under head length", "bolt length", "stud length"]), Quantity(D::Length), F, "length_mm", "length under the head, or of the stud", |r| stated(r.fastener.length)),
    field(("grip", &[], &["grip length"]), Quantity(D::Length), F, "grip_mm", "thickness of the clamped parts", |r| stated(r.fastener.grip)),
    field(("engagement", &[], &["thread engagement"]), Quantity(D::Length), F, "engagement_mm", "length of thread engaged", |r| stated(r.fastener.engagement)),
    field(("hole-depth", &[], &["hole depth"]), Quantity(D::Length), F, "hole_depth_mm", "depth of the hole", |r| stated(r.fastener.hole_depth)),
    field(("hole-material", &[], &["hole material", "block material", "tapped into"]), Text, F, "hole_material", "what the hole is cut in", |r| text(r.fastener.hole_material.as_ref())),
    field(("insert", &[], &["wire insert", "thread insert"]), Flag, F, "insert", "a wire insert in the hole", |r| r.fastener.insert.map_or(Value::NotStated, flag)),
    field(("head-size", &[], &["head", "head size", "hex", "hex size"]), Text, F, "head_size", "head shape and size", |r| text(r.fastener.head.as_ref())),
    field(("drive", &[], &["drive size", "socket"]), Text, F, "drive", "drive size", |r| text(r.fastener.drive.as_ref())),
    field(("seat", &[], &["seat type"]), Text, F, "seat", "seat: flat, cone, ball", |r| text(r.fastener.seat.as_ref())),
    field(("bearing-outer", &[], &["bearing outer", "bearing od", "washer face"]), Quantity(D::Length), F, "bearing_outer_mm", "outer diameter of the face that slides", |r| stated(r.fastener.bearing.map(|b| b.outer))),
    field(("bearing-hole", &[], &["bearing hole", "bearing id", "clearance hole"]), Quantity(D::Length), F, "bearing_hole_mm", "diameter of the hole in that face", |r| stated(r.fastener.bearing.map(|b| b.hole))),
    field(("hole", &[], &["hole type"]), words!(crate::record::Bottom), F, "hole", "blind or through", |r| word(r.fastener.bottom)),
    field(("wet-to", &[], &["wet to", "opens into", "wet"]), words!(Wet), F, "wet_to", "what the hole opens into", |r| word(r.fastener.wet)),
    field(("sealant", &["sealer"], &["thread sealant"]), Text, F, "sealant", "sealant, as the sheet says it", |r| text(r.fastener.sealant.as_ref())),
    field(("washer", &[], &["washers"]), Text, F, "washer", "washer note", |r| text(r.fastener.washer.as_ref())),
    field(("reuse", &[], &["reusable", "re-use"]), Text, F, "reuse", "whether it may be used again", |r| reuse(&r.fastener)),
    field(("prevailing", &[], &["prevailing torque", "running torque"]), Quantity(D::Torque), F, "prevailing_nm", "prevailing torque of a locking thread", |r| stated(r.fastener.prevailing)),
    field(("prevailing-rule", &[], &["prevailing rule"]), words!(Prevailing), F, "prevailing_rule", "whether the listed value includes it", |r| word(r.fastener.prevailing_rule)),
    field(("lube", &["lubricant"], &["lubrication", "thread lube", "lubed with", "condition"]), Lube, S, "lube", "lube on the threads and, unless said, the turned face", |r| text(r.setting.lube.as_ref())),
    field(("face-lube", &[], &["face lube", "underhead lube", "under head"]), Lube, S, "face_lube", "lube under the head or nut, if another", |r| text(r.setting.face_lube.as_ref())),
    field(("method", &[], &["tightening method"]), words!(Method), S, "method", "torque, torque then angle, angle or stretch", |r| word(Some(r.setting.method))),
    field(("torque", &[], &["tightening torque", "spec", "torque spec", "final torque"]), Quantity(D::Torque), S, "torque_nm", "torque: a value, a range or a maximum", |r| extent(r.setting.torque)),
    field(("snug", &[], &["snug torque", "starting torque"]), Quantity(D::Torque), S, "snug_nm", "torque from which angles are counted", |r| stated(r.setting.snug)),
    field(("angle", &["angles"], &["angle steps", "degrees", "turn angle"]), Quantity(D::Angle), S, "angle_deg", "sum of the angle steps", angle),
    field(("stretch", &[], &["bolt stretch", "elongation"]), Quantity(D::Length), S, "stretch_mm", "stretch window", |r| extent(r.setting.stretch)),
    field(("passes", &["steps"], &["pass", "sequence of torque", "torque steps"]), Text, S, "passes", "passes as the source gives them", |r| list(&r.setting.passes)),
    field(("cycles", &[], &["pull and release"]), Number, S, "cycles", "pull-and-release cycles before the final pull", |r| number(r.setting.cycles)),
    field(("tolerance", &[], &["torque tolerance"]), Share, S, "tolerance", "torque tolerance, plus and minus", |r| stated(r.setting.tolerance)),
    field(("this-lube-only", &[], &["this lube only", "lube only"]), Flag, S, "this_lube_only", "the source allows no other lube", |r| flag(r.setting.this_lube_only)),
    field(("retorque", &[], &["re-torque", "retighten"]), Text, S, "retorque", "when and how to retorque", |r| text(r.setting.retorque.as_ref())),
    field(("recheck", &[], &["check again"]), Text, S, "recheck", "when to check again", |r| text(r.setting.recheck.as_ref())),
    field(("basis", &[], &["status"]), words!(Basis), S, "basis", "listed, shop, chart or computed", |r| word(Some(r.setting.basis))),
    field(("source", &[], &["reference", "ref", "source title"]), Text, S, "source", "title of the sheet or manual", |r| match r.setting.source.to_string() { cited if cited.is_empty() => Value::NotStated, cited => Value::Text(cited) }),
    field(("page", &[], &["sheet", "page no", "sheet no"]), Text, S, "page", "page or sheet", |r| text(r.setting.source.page.as_ref())),
    field(("revision", &["rev"], &["edition", "issue"]), Text, S, "revision", "revision of the source", |r| text(r.setting.source.revision.as_ref())),
    field(("source-date", &[], &["source date", "sheet date"]), Text, S, "source_date", "date printed on the source", |r| word(r.setting.source.date)),
    field(("source-kind", &[], &["source kind", "source type"]), words!(SourceKind), S, "source_kind", "maker, manual, shop or memory", |r| word(r.setting.source.kind)),
    field(("entered-on", &["entered"], &["entered on", "date entered"]), Text, S, "entered_on", "day it was entered", |r| word(r.setting.entered_on)),
    field(("entered-by", &[], &["entered by"]), Text, S, "entered_by", "who entered it", |r| text(r.setting.entered_by.as_ref())),
    field(("checked-by", &["checked"], &["checked by"]), Text, S, "checked_by", "who checked it", |r| text(r.setting.checked_by.as_ref())),
    field(("supersedes", &[], &["replaces"]), Text, S, "supersedes", "key of the setting it replaces", |r| text(r.setting.supersedes.as_ref())),
    field(("superseded", &[], &["out of date", "obsolete"]), Flag, S, "superseded", "a newer figure replaces it", |r| flag(r.setting.superseded)),
    field(("caution", &["cautions"], &["warning", "warnings"]), Text, S, "caution", "the source's warnings, word for word", |r| sentences(&r.setting.warnings)),
    field(("gasket", &[], &[]), Text, J, "gasket", "gasket and its rule", |r| text(r.fastener.joint.gasket.as_ref())),
    field(("machining", &[], &["machining note"]), Text, J, "machining", "line hone, torque plate and the like", |r| text(r.fastener.joint.machining.as_ref())),
    field(("place", &[], &["assembly order", "build order"]), Number, J, "place", "place of the joint in the assembly order", |r| number(r.fastener.joint.place)),
    field(("layout", &[], &["hole layout"]), Text, J, "layout", "name of the hole layout", |r| text(r.fastener.joint.layout.as_ref())),
    field(("order", &["sequence"], &["tightening order", "tightening sequence"]), Text, J, "order", "order in which the fasteners are pulled, as listed", |r| text(r.fastener.joint.order.as_ref())),
    field(("tags", &["tag"], &["keywords"]), Text, F, "tags", "free words", |r| list(&r.fastener.tags)),
    field(("notes", &["note"], &["remarks", "comment", "comments"]), Text, F, "notes", "notes", |r| text(r.fastener.notes.as_ref())),
    field(("verbatim", &[], &["sheet text", "original text"]), Text, F, "verbatim", "the sheet's text, word for word", |r| text(r.fastener.verbatim.as_ref())),
    derived(("text", &[]), Text, "text", "assembly, joint, part, tags and notes together", all_text),
    derived(("size", &[]), Quantity(D::Length), "size_mm", "nominal diameter of the thread that turns", |r| measure(r.fastener.thread.as_ref().map(crate::thread::Thread::nominal))),
    derived(("pitch", &[]), Quantity(D::Length), "pitch_mm", "pitch of the thread that turns", |r| measure(r.fastener.thread.as_ref().map(|t| t.pitch().length()))),
    derived(("tpi", &[]), Number, "tpi", "threads per inch", |r| number(r.fastener.thread.as_ref().and_then(crate::thread::Thread::tpi))),
    derived(("area", &[]), Quantity(D::Area), "stress_area_mm2", "smallest section: stress areas, waist", |r| measure(r.derived.area)),
    derived(("k", &["nut-factor"]), Number, "k", "nut factor used", |r| number(r.derived.k)),
    derived(("clamp", &["preload"]), Quantity(D::Force), "clamp_n", "clamp that the torque gives", |r| measure(r.derived.clamp.map(|c| c.nominal))),
    derived(("clamp-low", &[]), Quantity(D::Force), "clamp_low_n", "low end of the clamp's band", |r| measure(r.derived.clamp.map(|c| c.low))),
    derived(("clamp-high", &[]), Quantity(D::Force), "clamp_high_n", "high end of the clamp's band", |r| measure(r.derived.clamp.map(|c| c.high))),
    derived(("stress", &[]), Quantity(D::Stress), "stress_mpa", "tension in the smallest section", |r| measure(r.derived.stress)),
    derived(("of-proof", &[]), Share, "of_proof", "share of proof in the smallest section", |r| share(r.derived.of_proof)),
    derived(("of-yield", &[]), Share, "of_yield", "share of yield in the smallest section", |r| share(r.derived.of_yield)),
    derived(("combined", &[]), Share, "combined_of_yield", "tension with torsion while tightening, share of yield", |r| share(r.derived.combined)),
    derived(("proof-load", &[]), Quantity(D::Force), "proof_load_n", "proof stress times the smallest section", |r| measure(r.derived.proof_load)),
    derived(("yield-load", &[]), Quantity(D::Force), "yield_load_n", "yield times the smallest section", |r| measure(r.derived.yield_load)),
    derived(("single-use", &[]), Flag, "single_use", "discarded after removal", |r| r.fastener.reuse.map_or(Value::NotStated, |_| flag(r.fastener.is_single_use()))),
    derived(("blind", &[]), Flag, "blind", "the hole has a bottom", |r| r.fastener.bottom.map_or(Value::NotStated, |bottom| flag(bottom == crate::record::Bottom::Blind))),
    derived(("through", &[]), Flag, "through", "the hole is open at the far end", |r| r.fastener.bottom.map_or(Value::NotStated, |bottom| flag(bottom == crate::record::Bottom::Through))),
    derived(("wet", &[]), Flag, "wet", "the hole opens into coolant, oil or a port", |r| r.fastener.wet.map_or(Value::NotStated, |_| flag(true))),
    derived(("from-memory", &[]), Flag, "from_memory", "the source is somebody's memory", |r| flag(r.setting.source.kind == Some(SourceKind::Memory))),
    derived(("converted", &[]), Flag, "converted", "clampbook computed it from another lube", |r| flag(r.restated.is_some())),
    derived(("thread-locked", &[]), Flag, "thread_locked", "set with threadlocker", thread_locked),
    derived(("plated", &[]), Flag, "plated", "a plated or coated finish", |r| flag(is_plated(r))),
];

fn angle(row: &Row) -> Value {
    let total: f64 = row.setting.angles.iter().map(|step| step.value().deg()).sum();
    if total == 0.0 {
        return Value::NotStated;
    }
    let written: Vec<String> = row.setting.angles.iter().map(|step| format!("+{step}")).collect();
    Value::Measure(Measure {
        dimension: Dimension::Angle,
        low: Some(total),
        high: total,
        written: Some(written.join(" ")),
        unit: row.setting.angles.first().map(|step| step.written().unit),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashMap;

    #[test]
    fn every_spelling_belongs_to_one_field() {
        let mut asked: HashMap<&str, &str> = HashMap::new();
        let mut heads: HashMap<String, &str> = HashMap::new();
        for field in FIELDS {
            for spelling in std::iter::once(&field.name).chain(field.aliases) {
                assert_eq!(*spelling, spelling.to_lowercase());
                assert_eq!(asked.insert(spelling, field.name), None, "{spelling} twice");
            }
            if field.origin == Origin::Stored {
                let own = field.name.replace('-', " ");
                let others = field.headers.iter().map(|header| (*header).to_owned());
                for header in others.filter(|header| *header != own).chain([own.clone()]) {
                    assert_eq!(heads.insert(header.clone(), field.name), None, "{header} twice");
                }
            }
        }
    }

    #[test]
    fn json_keys_are_lower_snake_and_unique() {
        let mut seen = HashMap::new();
        for field in FIELDS {
            assert!(
                field
                    .json
                    .chars()
                    .all(|c| c.is_ascii_lowercase() || c == '_' || c.is_ascii_digit())
            );
            assert_eq!(seen.insert(field.json, field.name), None, "{}", field.json);
        }
    }
}

//! FIELDS: the one table of what a row can be asked for: a joint, a fastener
//! and its setting, and what follows from them.

use std::sync::LazyLock;

use crate::quantity::{Dimension, Kind as QuantityKind, Length, Stated};
use crate::record::table::{
    AddedWords, BY_COMMA, BY_SEMICOLON, Field, FieldKind, KeyPart, Owner, Record, Value, at,
    derived, field, ring,
};
use crate::record::{Bearing, Fastener, Joint, Row, Setting, SourceKind};
use crate::text::fold_name;

impl Record for Joint {
    const OWNER: Owner = Owner::Joint;
}

impl Record for Fastener {
    const OWNER: Owner = Owner::Fastener;
}

impl Record for Setting {
    const OWNER: Owner = Owner::Setting;
}

/// The fields that a book keeps, in order.
pub fn stored_fields() -> impl Iterator<Item = &'static Field> {
    FIELDS.iter().filter(|field| field.is_stored())
}

/// The field of that name or alias, case folded.
pub fn find_field(name: &str) -> Option<&'static Field> {
    let name = fold_name(name);
    FIELDS.iter().find(|field| field.is_named(&name))
}

/// The place of a field in [`FIELDS`]; a name that is none does not compile where
/// the place is a constant.
pub(crate) const fn place_of(name: &str) -> usize {
    let mut at = 0;
    while at < FIELDS.len() {
        if is_same(FIELDS[at].name.as_bytes(), name.as_bytes()) {
            return at;
        }
        at += 1;
    }
    panic!("no field of that name");
}

const fn is_same(one: &[u8], other: &[u8]) -> bool {
    let mut at = 0;
    while at < one.len() && at < other.len() && one[at] == other[at] {
        at += 1;
    }
    at == one.len() && at == other.len()
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

/// The figure of the sheet, else that of the strength table.
fn or_derived<K: QuantityKind>(sheet: Option<Stated<K>>, table: Option<K>) -> Value<'static> {
    match sheet {
        Some(sheet) => Value::stated(Some(sheet)),
        None => Value::derived(table),
    }
}

fn all_text(row: &Row) -> Value<'_> {
    let fastener = &row.fastener;
    let mut words = vec![&*fastener.joint.assembly, &*fastener.joint.name, &*fastener.part];
    words.extend(fastener.tags.iter().map(String::as_str));
    words.extend(fastener.notes.as_deref());
    Value::Text(words.join(" ").into())
}

fn listed_for(row: &Row) -> Value<'_> {
    let mut lubes: Vec<&str> = Vec::new();
    for lube in row.fastener.settings.iter().filter_map(|setting| setting.lube.as_deref()) {
        if !lubes.contains(&lube) {
            lubes.push(lube);
        }
    }
    if lubes.is_empty() { Value::NotStated } else { Value::Text(lubes.join("; ").into()) }
}

/// A yes or no about something that may not be stated at all.
fn stated_flag<'a, T>(stated: Option<T>, flag: impl FnOnce(T) -> bool) -> Value<'a> {
    stated.map_or(Value::NotStated, |stated| Value::Flag(flag(stated)))
}

/// Not known where neither a lube nor a sealant is stated.
fn thread_locked(row: &Row) -> Value<'_> {
    if row.setting.lube.is_none() && row.fastener.sealant.is_none() {
        return Value::NotStated;
    }
    let says = |text: &Option<String>| {
        text.as_ref().is_some_and(|text| fold_name(text).contains("threadlocker"))
    };
    Value::Flag(
        says(&row.setting.lube) || says(&row.setting.face_lube) || says(&row.fastener.sealant),
    )
}

fn is_plated(row: &Row) -> bool {
    let finish = row.fastener.finish.as_deref().map(fold_name).unwrap_or_default();
    ["plated", "plate", "zinc", "cadmium", "coated"].iter().any(|word| finish.contains(word))
}

use Dimension as D;
use FieldKind::{Flag, List, Lube, Number, Quantity, Share, Strength, Text};

/// Every field, in the order in which export writes its columns.
#[rustfmt::skip] // one row a line, read as a table
pub static FIELDS: &[Field] = &[
    field!("key", ["id", "fastener id", "spec id"] => at!(Fastener.key), "key", "stable key of the setting; with hyphens, its beginning").answering(|r| Value::text(&r.key)).promised(),
    field!("assembly" | "machine", ["engine", "machine", "unit", "build"] => at!(Joint.assembly), "assembly", "the engine or machine").promised(),
    field!("joint", ["location", "application", "component"] => at!(Joint.name), "joint", "the joint: head, main, rod").promised(),
    field!("part", ["fastener", "item", "description"] => at!(Fastener.part), "part", "which fastener of the joint").promised(),
    field!("kind", ["type", "fastener type", "fastener kind"] => at!(Fastener.kind), "kind", "bolt, stud, nut, screw or plug").promised(),
    field!("duty", ["service"] => at!(Joint.duty), "duty", "what the joint does"),
    field!("part-number", ["part no", "part no.", "p/n", "pn"] => at!(Fastener.part_number), "part_number", "part number"),
    field!("qty" | "count", ["count", "quantity", "pcs", "no. off", "how many"] => at!(Fastener.count), "count", "how many there are").promised(),
    field!("positions", ["position", "holes", "where"] => at!(Fastener.positions), "positions", "which holes they sit in"),
    field!("group" => at!(Fastener.group), "group", "group pulled together"),
    field!("after-group", ["after"] => at!(Fastener.after_group), "after_group", "group pulled before this one"),
    field!("thread", ["thread size", "size and pitch", "nut end", "nut-end thread", "size"] => at!(Fastener.thread), "thread", "the thread that turns").promised(),
    field!("hole-thread" | "hole-end", ["hole end", "block end", "hole-end thread", "stud hole end"] => at!(Fastener.hole_thread), "hole_thread", "a stud's thread in the casting").promised(),
    field!("hole-end-lube", ["hole end lube", "block end lube"] => at!(Fastener.hole_end_lube), "hole_end_lube", "lube on a stud's hole end").of_kind(Lube),
    field!("hole-end-fitting", ["stud fitting", "stud torque"] => at!(Fastener.hole_end_fitting), "hole_end_fitting", "how a stud's hole end is fitted"),
    field!("turned" | "turns", ["turned part", "turn"] => at!(Fastener.turned), "turned", "what the wrench turns: head or nut").promised(),
    field!("strength" | "grade" | "class", ["property class", "material", "bolt grade", "material/grade"] => at!(Fastener.strength.name), "strength", "grade, class or alloy").of_kind(Strength).promised(),
    field!("proof", ["proof stress", "proof strength"] => at!(Fastener.strength.proof), "proof_mpa", "proof stress, from the sheet or the strength table").answering(|r| or_derived(r.fastener.strength.proof, r.derived.proof)).promised(),
    field!("yield", ["yield strength", "yield stress"] => at!(Fastener.strength.yield_), "yield_mpa", "yield, from the sheet or the strength table").answering(|r| or_derived(r.fastener.strength.yield_, r.derived.yield_)).promised(),
    field!("tensile" | "uts", ["tensile strength", "ultimate"] => at!(Fastener.strength.tensile), "tensile_mpa", "tensile strength, from the sheet or the strength table").answering(|r| or_derived(r.fastener.strength.tensile, r.derived.tensile)).promised(),
    field!("finish", ["coating", "plating"] => at!(Fastener.finish), "finish", "plating or coating"),
    field!("waist", ["waist diameter", "shank"] => at!(Fastener.waist), "waist_mm", "diameter of a reduced shank"),
    field!("length", ["under head length", "bolt length", "stud length"] => at!(Fastener.length), "length_mm", "length under the head, or of the stud").promised(),
    field!("grip", ["grip length"] => at!(Fastener.grip), "grip_mm", "thickness of the clamped parts"),
    field!("engagement", ["thread engagement"] => at!(Fastener.engagement), "engagement_mm", "length of thread engaged"),
    field!("hole-depth", ["hole depth"] => at!(Fastener.hole_depth), "hole_depth_mm", "depth of the hole"),
    field!("hole-material", ["hole material", "block material", "tapped into"] => at!(Fastener.hole_material), "hole_material", "what the hole is cut in"),
    field!("insert", ["wire insert", "thread insert"] => at!(Fastener.insert), "insert", "a wire insert in the hole").answering(|r| Value::Flag(r.fastener.insert.unwrap_or(false))),
    field!("head-size", ["head", "head size", "hex", "hex size"] => at!(Fastener.head), "head_size", "head shape and size"),
    field!("drive", ["drive size", "socket"] => at!(Fastener.drive), "drive", "drive size"),
    field!("seat", ["seat type"] => at!(Fastener.seat), "seat", "seat: flat, cone, ball"),
    field!("bearing-outer", ["bearing outer", "bearing od", "washer face"] => ring!(outer), "bearing_outer_mm", "outer diameter of the face that slides"),
    field!("bearing-hole", ["bearing hole", "bearing id", "clearance hole"] => ring!(hole), "bearing_hole_mm", "diameter of the hole in that face"),
    field!("hole", ["hole type"] => at!(Fastener.bottom), "hole", "blind or through"),
    field!("wet-to", ["wet to", "opens into", "wet"] => at!(Fastener.wet), "wet_to", "what the hole opens into"),
    field!("sealant" | "sealer", ["thread sealant"] => at!(Fastener.sealant), "sealant", "sealant, as the sheet says it"),
    field!("washer", ["washers"] => at!(Fastener.washer), "washer", "washer note"),
    field!("reuse", ["reusable", "re-use"] => at!(Fastener.reuse), "reuse", "whether it may be used again"),
    field!("prevailing", ["prevailing torque", "running torque"] => at!(Fastener.prevailing), "prevailing_nm", "prevailing torque of a locking thread"),
    field!("prevailing-rule", ["prevailing rule"] => at!(Fastener.prevailing_rule), "prevailing_rule", "whether the listed value includes it"),
    field!("lube" | "lubricant", ["lubrication", "thread lube", "lubed with", "condition"] => at!(Setting.lube), "lube", "lube on the threads and, unless said, the turned face").of_kind(Lube).promised(),
    field!("face-lube", ["face lube", "underhead lube", "under head"] => at!(Setting.face_lube), "face_lube", "lube under the head or nut, if another").of_kind(Lube).promised(),
    field!("method", ["tightening method"] => at!(Setting.method), "method", "torque, torque then angle, angle or stretch").promised(),
    field!("torque", ["tightening torque", "spec", "torque spec", "final torque"] => at!(Setting.torque), "torque_nm", "torque: a value, a range or a maximum").and_keys(&[("torque", KeyPart::InWords), ("torque_max_nm", KeyPart::High)]).promised(),
    field!("snug", ["snug torque", "starting torque"] => at!(Setting.snug), "snug_nm", "torque from which angles are counted").promised(),
    field!("angle" | "angles", ["angle steps", "degrees", "turn angle"] => at!(Setting.angles), "angle_deg", "sum of the angle steps").and_keys(&[("angle_steps_deg", KeyPart::Steps)]).promised(),
    field!("stretch", ["bolt stretch", "elongation"] => at!(Setting.stretch), "stretch_mm", "stretch window").and_keys(&[("stretch_max_mm", KeyPart::High)]).promised(),
    field!("passes" | "steps", ["pass", "sequence of torque", "torque steps"] => at!(Setting.passes), "passes", "passes as the source gives them").promised(),
    field!("cycles", ["pull and release"] => at!(Setting.cycles), "cycles", "pull-and-release cycles before the final pull"),
    field!("tolerance", ["torque tolerance"] => at!(Setting.tolerance), "tolerance", "torque tolerance, plus and minus"),
    field!("this-lube-only", ["this lube only", "lube only"] => at!(Setting.this_lube_only), "this_lube_only", "the source allows no other lube").promised(),
    field!("retorque", ["re-torque", "retighten"] => at!(Setting.retorque), "retorque", "when and how to retorque"),
    field!("recheck", ["check again"] => at!(Setting.recheck), "recheck", "when to check again"),
    field!("basis", ["status"] => at!(Setting.basis), "basis", "listed, shop, chart or computed").promised(),
    field!("source", ["reference", "ref", "source title"] => at!(Setting.source.title), "source", "title of the sheet or manual").answering(|r| Value::made(r.setting.source.to_string())).promised(),
    field!("page", ["sheet", "page no", "sheet no"] => at!(Setting.source.page), "page", "page or sheet"),
    field!("revision" | "rev", ["edition", "issue"] => at!(Setting.source.revision), "revision", "revision of the source"),
    field!("source-date", ["source date", "sheet date"] => at!(Setting.source.date), "source_date", "date printed on the source"),
    field!("source-kind", ["source kind", "source type"] => at!(Setting.source.kind), "source_kind", "maker, manual, shop or memory"),
    field!("entered-on" | "entered", ["entered on", "date entered"] => at!(Setting.entered_on), "entered_on", "day it was entered"),
    field!("entered-by", ["entered by"] => at!(Setting.entered_by), "entered_by", "who entered it"),
    field!("checked-by" | "checked", ["checked by"] => at!(Setting.checked_by), "checked_by", "who checked it"),
    field!("supersedes", ["replaces"] => at!(Setting.supersedes), "supersedes", "key of the setting it replaces"),
    field!("superseded", ["out of date", "obsolete"] => at!(Setting.superseded), "superseded", "a newer figure replaces it").promised(),
    field!("caution" | "cautions", ["warning", "warnings"] => at!(Setting.warnings, BY_SEMICOLON), "caution", "the source's warnings, word for word"),
    field!("gasket" => at!(Joint.gasket), "gasket", "gasket and its rule"),
    field!("machining", ["machining note"] => at!(Joint.machining), "machining", "line hone, torque plate and the like"),
    field!("place", ["assembly order", "build order"] => at!(Joint.place), "place", "place of the joint in the assembly order"),
    field!("layout", ["hole layout"] => at!(Joint.layout), "layout", "name of the hole layout"),
    field!("order" | "sequence", ["tightening order", "tightening sequence"] => at!(Joint.order), "order", "order in which the fasteners are pulled, as listed"),
    field!("tags" | "tag", ["keywords"] => at!(Fastener.tags, BY_COMMA), "tags", "free words"),
    field!("notes" | "note", ["remarks", "comment", "comments"] => at!(Fastener.notes, AddedWords), "notes", "notes"),
    field!("verbatim", ["sheet text", "original text"] => at!(Fastener.verbatim, AddedWords), "verbatim", "the sheet's text, word for word"),
    derived!("text" => Text, "text", "assembly, joint, part, tags and notes together", all_text),
    derived!("listed-for" => List, "listed_for", "every lube that the book lists for the fastener", listed_for),
    derived!("size" => Quantity(D::Length), "size_mm", "nominal diameter of the thread that turns", |r| Value::derived(r.fastener.thread.as_ref().map(crate::thread::Thread::nominal))),
    derived!("across-flats" => Quantity(D::Length), "across_flats_mm", "width across the flats that the spanner or key fits", |r| Value::derived(r.fastener.across_flats())),
    derived!("pitch" => Quantity(D::Length), "pitch_mm", "pitch of the thread that turns", |r| Value::derived(r.fastener.thread.as_ref().map(|t| t.pitch().length()))),
    derived!("tpi" => Number, "tpi", "threads per inch", |r| Value::number(r.fastener.thread.as_ref().and_then(crate::thread::Thread::tpi))),
    derived!("area" => Quantity(D::Area), "stress_area_mm2", "smallest section: stress areas, waist", |r| Value::derived(r.derived.area)).promised(),
    derived!("k" | "nut-factor" => Number, "k", "nut factor used", |r| Value::number(r.derived.k)).promised(),
    derived!("clamp" | "preload" => Quantity(D::Force), "clamp_n", "clamp that the torque gives", |r| Value::derived(r.derived.clamp.map(|c| c.nominal))).promised(),
    derived!("clamp-low" => Quantity(D::Force), "clamp_low_n", "low end of the clamp's band", |r| Value::derived(r.derived.clamp.map(|c| c.low))).promised(),
    derived!("clamp-high" => Quantity(D::Force), "clamp_high_n", "high end of the clamp's band", |r| Value::derived(r.derived.clamp.map(|c| c.high))).promised(),
    derived!("stress" => Quantity(D::Stress), "stress_mpa", "tension in the smallest section", |r| Value::derived(r.derived.stress)).promised(),
    derived!("of-proof" => Share, "of_proof", "share of proof in the smallest section", |r| Value::share(r.derived.of_proof)).promised(),
    derived!("of-yield" => Share, "of_yield", "share of yield in the smallest section", |r| Value::share(r.derived.of_yield)).promised(),
    derived!("combined" => Share, "combined_of_yield", "tension with torsion while tightening, share of yield", |r| Value::share(r.derived.combined)).promised(),
    derived!("proof-load" => Quantity(D::Force), "proof_load_n", "proof stress times the smallest section", |r| Value::derived(r.derived.proof_load)).promised(),
    derived!("yield-load" => Quantity(D::Force), "yield_load_n", "yield times the smallest section", |r| Value::derived(r.derived.yield_load)).promised(),
    derived!("angle-step" => Quantity(D::Angle), "angle_step_deg", "largest of the angle steps", |r| Value::derived(r.setting.angles.iter().map(|step| step.value()).max_by(|a, b| a.base().total_cmp(&b.base())))),
    derived!("pass-count" => Number, "pass_count", "how many passes the source gives", |r| Value::number(u32::try_from(r.setting.passes.len()).ok().filter(|passes| *passes > 0))),
    derived!("single-use" => Flag, "single_use", "discarded after removal", |r| stated_flag(r.fastener.reuse.as_ref(), |_| r.fastener.is_single_use())).promised(),
    derived!("blind" => Flag, "blind", "the hole has a bottom", |r| stated_flag(r.fastener.bottom, |bottom| bottom == crate::record::Bottom::Blind)),
    derived!("through" => Flag, "through", "the hole is open at the far end", |r| stated_flag(r.fastener.bottom, |bottom| bottom == crate::record::Bottom::Through)),
    derived!("wet" => Flag, "wet", "the hole opens into coolant, oil or a port", |r| stated_flag(r.fastener.wet, |_| true)),
    derived!("from-memory" => Flag, "from_memory", "the source is somebody's memory", |r| Value::Flag(r.setting.source.kind == Some(SourceKind::Memory))),
    derived!("converted" => Flag, "converted", "clampbook computed it from another lube", |r| Value::Flag(r.restated.is_some())),
    derived!("thread-locked" => Flag, "thread_locked", "set with threadlocker", thread_locked),
    derived!("plated" => Flag, "plated", "a plated or coated finish", |r| Value::Flag(is_plated(r))),
];

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
            if field.is_stored() {
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

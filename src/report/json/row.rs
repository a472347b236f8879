//! One row as JSON: SI values unrounded beside the text as shown.

use crate::mechanics::Place;
use crate::quantity::{Area, Extent, Force, Length, Stress, Torque};
use crate::query::run::{Column, UnitsWanted};
use crate::record::{Basis, FormUsed, Method, Row, Value};
use crate::report::json::Json;
use crate::report::notes::notes;
use crate::report::pull::Pull;

/// A row with every key that an answer promises; `columns` add theirs.
pub(crate) fn row_json(row: &Row, index: usize, columns: &[Column]) -> Json {
    let mut json = Json::Object(Vec::with_capacity(64));
    place(row, &mut json);
    setting(row, &mut json);
    derived(row, &mut json);
    paper(row, &mut json);
    rest(row, &mut json);
    for column in columns {
        if let Some(value) = column.values.get(index) {
            json.add(column_key(column), value_json(value));
        }
    }
    json
}

/// A row with its key and the columns that were asked for; why there is no figure
/// and what to heed stand beside them.
pub(crate) fn shown_json(row: &Row, index: usize, columns: &[Column]) -> Json {
    let mut json = Json::object(vec![("key", (&row.key).into())]);
    for column in columns {
        if let Some(value) = column.values.get(index) {
            json.add(column_key(column), value_json(value));
        }
    }
    if let Some(refused) = &row.refused {
        json.add("refused", refused.into());
    }
    if !row.warnings.is_empty() {
        json.add("warnings", row.warnings.clone().into());
    }
    json
}

/// The key of a column: the field's, else the expression in snake case.
pub(crate) fn column_key(column: &Column) -> String {
    match column.field {
        Some(field) => field.json.to_owned(),
        None => snake(&column.heading),
    }
}

/// `clamp per proof-load` as `clamp_per_proof_load`.
pub(crate) fn snake(heading: &str) -> String {
    let words = heading.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join("_").to_lowercase()
}

/// The value of a field: base units for a quantity (the low end of a range),
/// text for words.
pub(crate) fn value_json(value: &Value<'_>) -> Json {
    match value {
        Value::NotStated => Json::Null,
        Value::Text(text) => Json::from(&**text),
        Value::Number(number) if number.fract() == 0.0 && *number >= 0.0 => {
            Json::Count(*number as u64)
        }
        Value::Number(number) => (*number).into(),
        Value::Measure(measure) => measure.low.into(),
        Value::Thread(thread) => thread.to_string().into(),
        Value::Flag(flag) => (*flag).into(),
    }
}

fn text<T: ToString>(value: Option<&T>) -> Json {
    value.map(T::to_string).into()
}

fn texts<T: ToString>(values: &[T]) -> Json {
    values.iter().map(T::to_string).collect::<Vec<String>>().into()
}

fn place(row: &Row, json: &mut Json) {
    let fastener = &row.fastener;
    json.add("key", (&row.key).into());
    json.add("assembly", (&fastener.joint.assembly).into());
    json.add("joint", (&fastener.joint.name).into());
    json.add("part", (&fastener.part).into());
    json.add("kind", text(fastener.kind.as_ref()));
    json.add("thread", text(fastener.thread.as_ref()));
    json.add("strength", text(fastener.strength.name.as_ref()));
}

fn setting(row: &Row, json: &mut Json) {
    let setting = &row.setting;
    let is_said = row.refused.is_none() && setting.is_complete();
    // Only a torque that is aimed at: where an angle follows, it is the snug.
    let torque = setting.torque.filter(|_| setting.method == Method::Torque);
    json.add("lube", text(setting.lube.as_ref()));
    json.add("basis", setting.basis.word().into());
    json.add("method", setting.method.word().into());
    json.add("torque", is_said.then(|| torque_text(row)).into());
    json.add("torque_nm", torque.and_then(Extent::low).map(Torque::nm).into());
    json.add("torque_max_nm", torque.and_then(high).map(Torque::nm).into());
    let angles = setting.angles.iter().map(|angle| angle.value().deg());
    let total: f64 = angles.clone().sum();
    json.add("snug_nm", setting.snug.map(|snug| snug.value().nm()).into());
    json.add("angle_deg", (!setting.angles.is_empty()).then_some(total).into());
    json.add("angle_steps_deg", angles.collect::<Vec<f64>>().into());
    json.add("stretch_mm", setting.stretch.and_then(Extent::low).map(Length::mm).into());
    json.add("stretch_max_mm", setting.stretch.and_then(high).map(Length::mm).into());
    json.add("passes", texts(&setting.passes));
}

/// How it is pulled: as the sheet wrote it, a computed torque rounded.
fn torque_text(row: &Row) -> String {
    match row.setting.basis {
        Basis::Computed => {
            Pull::of(&row.setting, &UnitsWanted::AsWritten).first().replace('–', "..")
        }
        _ => row.setting.in_words(),
    }
}

/// The high end of a range or a maximum; none for one value.
fn high<K: crate::quantity::Kind>(extent: Extent<K>) -> Option<K> {
    match extent {
        Extent::Exactly(_) => None,
        Extent::Between(..) | Extent::AtMost(_) => Some(extent.high()),
    }
}

fn derived(row: &Row, json: &mut Json) {
    let derived = &row.derived;
    let clamp = derived.clamp;
    json.add("clamp_n", clamp.map(|clamp| clamp.nominal.n()).into());
    json.add("clamp_low_n", clamp.map(|clamp| clamp.low.n()).into());
    json.add("clamp_high_n", clamp.map(|clamp| clamp.high.n()).into());
    json.add("of_proof", derived.of_proof.into());
    json.add("of_yield", derived.of_yield.into());
    json.add("combined_of_yield", derived.combined.into());
    json.add("turned_of_proof", derived.turned_of_proof.into());
    json.add("turned_of_yield", derived.turned_of_yield.into());
    json.add("stress_mpa", derived.stress.map(Stress::mpa).into());
    json.add("stress_area_mm2", derived.area.map(Area::mm2).into());
    json.add("weakest_section", derived.section.map(|place: Place| place.to_string()).into());
    json.add("k", derived.k.into());
    json.add("form", derived.form.map(form_word).into());
    json.add("assumed_bearing", derived.assumed_bearing.into());
    json.add("no_clamp", text(derived.no_clamp.as_ref()));
}

/// "short" or "long".
fn form_word(form: FormUsed) -> &'static str {
    match form {
        FormUsed::Short => "short",
        FormUsed::Long => "long",
    }
}

fn paper(row: &Row, json: &mut Json) {
    let cited = row.setting.source.to_string();
    json.add("source", (!cited.is_empty()).then_some(cited).into());
    json.add("refused", text(row.refused.as_ref()));
    let cautions = notes(row, &UnitsWanted::AsWritten).into_iter().filter(|note| note.is_caution);
    let discard = row.fastener.is_single_use().then(|| "DISCARD AFTER REMOVAL.".to_owned());
    let warnings = cautions.map(|note| crate::report::lay::untied(&note.text)).chain(discard);
    json.add("warnings", warnings.collect::<Vec<String>>().into());
    if let Some(restated) = &row.restated {
        json.add("from_lube", (&restated.from_lube).into());
        json.add("from_torque_nm", restated.from_torque_nm.into());
        json.add("from_note", text(restated.note.as_ref()));
    }
}

fn rest(row: &Row, json: &mut Json) {
    let (fastener, derived) = (&row.fastener, &row.derived);
    json.add("hole_thread", text(fastener.hole_thread.as_ref()));
    json.add("turned", text(fastener.turned.as_ref()));
    json.add("face_lube", text(row.setting.face_lube.as_ref()));
    json.add("count", fastener.count.into());
    json.add("length_mm", fastener.length.map(|length| length.value().mm()).into());
    json.add("proof_mpa", derived.proof.map(Stress::mpa).into());
    json.add("yield_mpa", derived.yield_.map(Stress::mpa).into());
    json.add("tensile_mpa", derived.tensile.map(Stress::mpa).into());
    json.add("proof_load_n", derived.proof_load.map(Force::n).into());
    json.add("yield_load_n", derived.yield_load.map(Force::n).into());
    json.add("single_use", fastener.is_single_use().into());
    json.add("superseded", row.setting.superseded.into());
}

//! One row as JSON: SI values unrounded beside the text as shown.

use serde_json::{Map, Value as Json};

use crate::mechanics::Place;
use crate::quantity::{Area, Extent, Force, Length, Stress, Torque};
use crate::query::run::{Column, UnitsWanted};
use crate::record::{Basis, FormUsed, Method, Row, Value};
use crate::report::notes::notes;
use crate::report::pull::Pull;

/// A row with every key that an answer promises; `columns` add theirs.
pub(crate) fn row_json(row: &Row, index: usize, columns: &[Column]) -> Map<String, Json> {
    let mut json = Map::with_capacity(64);
    place(row, &mut json);
    setting(row, &mut json);
    derived(row, &mut json);
    paper(row, &mut json);
    rest(row, &mut json);
    for column in columns {
        if let Some(value) = column.values.get(index) {
            json.entry(column_key(column)).or_insert_with(|| value_json(value));
        }
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
        Value::Number(number) if number.fract() == 0.0 && *number >= 0.0 => (*number as u64).into(),
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

fn place(row: &Row, json: &mut Map<String, Json>) {
    let fastener = &row.fastener;
    json.insert("key".to_owned(), row.key.clone().into());
    json.insert("assembly".to_owned(), fastener.joint.assembly.clone().into());
    json.insert("joint".to_owned(), fastener.joint.name.clone().into());
    json.insert("part".to_owned(), fastener.part.clone().into());
    json.insert("kind".to_owned(), text(fastener.kind.as_ref()));
    json.insert("thread".to_owned(), text(fastener.thread.as_ref()));
    json.insert("strength".to_owned(), text(fastener.strength.name.as_ref()));
}

fn setting(row: &Row, json: &mut Map<String, Json>) {
    let setting = &row.setting;
    let is_said = row.refused.is_none() && setting.is_complete();
    // Only a torque that is aimed at: where an angle follows, it is the snug.
    let torque = setting.torque.filter(|_| setting.method == Method::Torque);
    json.insert("lube".to_owned(), text(setting.lube.as_ref()));
    json.insert("basis".to_owned(), setting.basis.word().into());
    json.insert("method".to_owned(), setting.method.word().into());
    json.insert("torque".to_owned(), is_said.then(|| torque_text(row)).into());
    json.insert("torque_nm".to_owned(), torque.and_then(Extent::low).map(Torque::nm).into());
    json.insert("torque_max_nm".to_owned(), torque.and_then(high).map(Torque::nm).into());
    let angles = setting.angles.iter().map(|angle| angle.value().deg());
    let total: f64 = angles.clone().sum();
    json.insert("snug_nm".to_owned(), setting.snug.map(|snug| snug.value().nm()).into());
    json.insert("angle_deg".to_owned(), (!setting.angles.is_empty()).then_some(total).into());
    json.insert("angle_steps_deg".to_owned(), angles.collect::<Vec<f64>>().into());
    json.insert(
        "stretch_mm".to_owned(),
        setting.stretch.and_then(Extent::low).map(Length::mm).into(),
    );
    json.insert("stretch_max_mm".to_owned(), setting.stretch.and_then(high).map(Length::mm).into());
    json.insert("passes".to_owned(), texts(&setting.passes));
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

fn derived(row: &Row, json: &mut Map<String, Json>) {
    let derived = &row.derived;
    let clamp = derived.clamp;
    json.insert("clamp_n".to_owned(), clamp.map(|clamp| clamp.nominal.n()).into());
    json.insert("clamp_low_n".to_owned(), clamp.map(|clamp| clamp.low.n()).into());
    json.insert("clamp_high_n".to_owned(), clamp.map(|clamp| clamp.high.n()).into());
    json.insert("of_proof".to_owned(), derived.of_proof.into());
    json.insert("of_yield".to_owned(), derived.of_yield.into());
    json.insert("combined_of_yield".to_owned(), derived.combined.into());
    json.insert("turned_of_proof".to_owned(), derived.turned_of_proof.into());
    json.insert("turned_of_yield".to_owned(), derived.turned_of_yield.into());
    json.insert("stress_mpa".to_owned(), derived.stress.map(Stress::mpa).into());
    json.insert("stress_area_mm2".to_owned(), derived.area.map(Area::mm2).into());
    json.insert(
        "weakest_section".to_owned(),
        derived.section.map(|place: Place| place.to_string()).into(),
    );
    json.insert("k".to_owned(), derived.k.into());
    json.insert("form".to_owned(), derived.form.map(form_word).into());
    json.insert("assumed_bearing".to_owned(), derived.assumed_bearing.into());
    json.insert("no_clamp".to_owned(), text(derived.no_clamp.as_ref()));
}

/// "short" or "long".
fn form_word(form: FormUsed) -> &'static str {
    match form {
        FormUsed::Short => "short",
        FormUsed::Long => "long",
    }
}

fn paper(row: &Row, json: &mut Map<String, Json>) {
    let cited = row.setting.source.to_string();
    json.insert("source".to_owned(), (!cited.is_empty()).then_some(cited).into());
    json.insert("refused".to_owned(), text(row.refused.as_ref()));
    let cautions = notes(row, &UnitsWanted::AsWritten).into_iter().filter(|note| note.is_caution);
    let discard = row.fastener.is_single_use().then(|| "DISCARD AFTER REMOVAL.".to_owned());
    let warnings = cautions.map(|note| crate::report::lay::untied(&note.text)).chain(discard);
    json.insert("warnings".to_owned(), warnings.collect::<Vec<String>>().into());
    if let Some(restated) = &row.restated {
        json.insert("from_lube".to_owned(), restated.from_lube.clone().into());
        json.insert("from_torque_nm".to_owned(), restated.from_torque_nm.into());
        json.insert("from_note".to_owned(), text(restated.note.as_ref()));
    }
}

fn rest(row: &Row, json: &mut Map<String, Json>) {
    let (fastener, derived) = (&row.fastener, &row.derived);
    json.insert("hole_thread".to_owned(), text(fastener.hole_thread.as_ref()));
    json.insert("turned".to_owned(), text(fastener.turned.as_ref()));
    json.insert("face_lube".to_owned(), text(row.setting.face_lube.as_ref()));
    json.insert("count".to_owned(), fastener.count.into());
    json.insert("length_mm".to_owned(), fastener.length.map(|length| length.value().mm()).into());
    json.insert("proof_mpa".to_owned(), derived.proof.map(Stress::mpa).into());
    json.insert("yield_mpa".to_owned(), derived.yield_.map(Stress::mpa).into());
    json.insert("tensile_mpa".to_owned(), derived.tensile.map(Stress::mpa).into());
    json.insert("proof_load_n".to_owned(), derived.proof_load.map(Force::n).into());
    json.insert("yield_load_n".to_owned(), derived.yield_load.map(Force::n).into());
    json.insert("single_use".to_owned(), fastener.is_single_use().into());
    json.insert("superseded".to_owned(), row.setting.superseded.into());
}

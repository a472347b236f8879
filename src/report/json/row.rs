//! One row as JSON: the fields of the table, SI values unrounded beside the text as
//! shown, and what an answer says of the row besides.

use serde_json::{Map, Value as Json};

use crate::query::run::{Column, UnitsWanted};
use crate::record::{Basis, FIELDS, Field, KeyPart, Measure, Method, Row, Value, Written};
use crate::report::duties::{Duty, duties};
use crate::report::lay::untied;
use crate::report::pull::Pull;
use crate::report::record_keys::value_of;

/// A row with every key that an answer promises, and those of other fields that it
/// states; `columns` add theirs.
pub(crate) fn row_json(row: &Row, index: usize, columns: &[Column]) -> Map<String, Json> {
    let mut json = Map::with_capacity(64);
    FIELDS.iter().for_each(|field| put_field(field, row, &mut json));
    besides(row, &mut json);
    for column in columns {
        if let Some(value) = column.values.get(index) {
            json.entry(column_key(column)).or_insert_with(|| value_of(value));
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

fn put_field(field: &Field, row: &Row, json: &mut Map<String, Json>) {
    let value = value_in(field, row);
    let is_shown = field.is_stored() && value.is_stated();
    if !field.is_promised && !is_shown {
        return;
    }
    for (key, part) in field.more_json.iter().filter(|(_, part)| *part == KeyPart::InWords) {
        json.insert((*key).to_owned(), part_of(*part, &value, row));
    }
    let whole = match field.texts(field.owner_of(&row.fastener, &row.setting)) {
        Some(texts) => texts.into(),
        None if field.name == "passes" => {
            row.setting.passes.iter().map(ToString::to_string).collect::<Vec<_>>().into()
        }
        None => value_of(&value),
    };
    json.insert(field.json.to_owned(), whole);
    for (key, part) in field.more_json.iter().filter(|(_, part)| *part != KeyPart::InWords) {
        json.insert((*key).to_owned(), part_of(*part, &value, row));
    }
}

/// The answer of the field; of a torque only one that is aimed at: where an angle
/// follows, it is the snug.
fn value_in<'a>(field: &Field, row: &'a Row) -> Value<'a> {
    match field.name {
        "torque" if row.setting.method != Method::Torque => Value::NotStated,
        _ => field.get(row),
    }
}

fn part_of(part: KeyPart, value: &Value<'_>, row: &Row) -> Json {
    match (part, value) {
        (KeyPart::InWords, _) => {
            let is_said = row.refused.is_none() && row.setting.is_complete();
            is_said.then(|| in_words(row)).into()
        }
        (KeyPart::High, Value::Measure(Measure { written: Written::Exactly(_), .. })) => Json::Null,
        (KeyPart::High, Value::Measure(measure)) => measure.high.into(),
        (KeyPart::Steps, Value::Measure(Measure { written: Written::Steps(steps), .. })) => {
            steps.iter().map(|step| step.value().deg()).collect::<Vec<_>>().into()
        }
        (KeyPart::Steps, _) => Json::Array(Vec::new()),
        (KeyPart::High, _) => Json::Null,
    }
}

/// How it is pulled: as the sheet wrote it, a computed torque rounded.
fn in_words(row: &Row) -> String {
    match row.setting.basis {
        Basis::Computed => {
            Pull::new(&row.setting, &UnitsWanted::AsWritten).first().replace('–', "..")
        }
        _ => row.setting.in_words(),
    }
}

/// What an answer says of the row that is no field.
fn besides(row: &Row, json: &mut Map<String, Json>) {
    let derived = &row.derived;
    let mut say = |key: &str, value: Json| json.insert(key.to_owned(), value);
    say("turned_of_proof", derived.turned_of_proof.into());
    say("turned_of_yield", derived.turned_of_yield.into());
    say("weakest_section", derived.section.map(|place| place.to_string()).into());
    say("form", derived.form.map(|form| form.name()).into());
    say("assumed_bearing", derived.assumed_bearing.into());
    say("no_clamp", derived.no_clamp.clone().into());
    say("refused", row.refused.as_ref().map(ToString::to_string).into());
    let duties = duties(&[row], &UnitsWanted::AsWritten).into_iter();
    let warnings = duties.filter(Duty::is_caution).map(|duty| untied(&duty.words()));
    say("warnings", warnings.collect::<Vec<String>>().into());
    if let Some(restated) = &row.restated {
        say("from_lube", restated.from_lube.clone().into());
        say("from_torque_nm", restated.from_torque_nm.into());
        say("from_note", restated.note.clone().into());
    }
}

//! Where a JSON file keeps its rows: in one list, in a list for each machine or joint, or
//! nested to any depth, with what stands around them.

use serde_json::value::RawValue;

use crate::intake::IntakeError;
use crate::intake::header::{fold_header, heads, is_heading};
use crate::intake::json::{broken, figure};
use crate::record::{LUBES, STRENGTHS};

/// The members of an object in the order of the file, each with its key as written.
pub(crate) type Object<'a> = Vec<(&'a RawValue, &'a RawValue)>;

/// Objects that stand together, and the keys that they stand under.
#[derive(Debug, Default, PartialEq)]
pub(crate) struct Under {
    pub(crate) name: String,
    pub(crate) joint: Option<String>,
}

/// One object that is a row, with what holds for it by where it stands.
pub(crate) struct Row<'a> {
    pub(crate) raw: &'a RawValue,
    pub(crate) around: Vec<(String, &'a RawValue)>,
}

/// Rows with the same names.
pub(crate) type ObjectGroup<'a> = (Under, Vec<Row<'a>>);

/// Where the walk is: names on the way, and what the objects on it say for all below.
#[derive(Clone, Default)]
struct Place<'a> {
    path: Vec<String>,
    around: Vec<(String, &'a RawValue)>,
}

/// The objects of the file, wherever it keeps them.
pub(crate) fn top_level<'a>(
    text: &'a str,
    name: &str,
) -> Result<Vec<ObjectGroup<'a>>, IntakeError> {
    let fault = |error: serde_json::Error| broken(name, &error);
    let mut found = Vec::new();
    if text.trim_start().starts_with('[') {
        let all = serde_json::from_str::<Vec<&RawValue>>(text).map_err(fault)?;
        list(all, &Place::default(), &mut found);
        return Ok(found);
    }
    let stream = serde_json::Deserializer::from_str(text).into_iter::<&RawValue>();
    let values: Vec<&RawValue> = stream.collect::<Result<_, _>>().map_err(fault)?;
    // The last line of an export may hold records of the shop.
    let is_own = |raw: &RawValue| {
        let own = object(raw).filter(|own| !own.is_empty());
        own.is_some_and(|own| own.iter().all(|(key, _)| is_record(&text_of(key))))
    };
    let own = values.len() - usize::from(values.last().is_some_and(|last| is_own(last)));
    if own == 1 || own == 0 {
        values[..own].iter().for_each(|one| below(one, None, &Place::default(), &mut found));
    } else {
        list(values[..own].to_vec(), &Place::default(), &mut found);
    }
    values[own..].iter().for_each(|one| below(one, None, &Place::default(), &mut found));
    if let [(under, _)] = found.as_mut_slice()
        && under.joint.is_none()
        && !is_record(&under.name)
    {
        under.name.clear();
    }
    Ok(found)
}

/// Whether an export keeps lubes or strengths under that key.
fn is_record(key: &str) -> bool {
    [LUBES.listed, STRENGTHS.listed].contains(&key)
}

fn object(raw: &RawValue) -> Option<Object<'_>> {
    raw.get()
        .starts_with('{')
        .then(|| serde_json::from_str::<Members>(raw.get()).ok())?
        .map(|m| m.0)
}

/// A list of objects, if it is one.
fn objects(raw: &RawValue) -> Option<Vec<&RawValue>> {
    let rows =
        raw.get().starts_with('[').then(|| serde_json::from_str::<Vec<&RawValue>>(raw.get()));
    let rows = rows?.ok()?;
    (!rows.is_empty() && rows.iter().all(|row| row.get().starts_with('{'))).then_some(rows)
}

/// A key or a text.
fn text_of(raw: &RawValue) -> String {
    serde_json::from_str(raw.get()).unwrap_or_else(|_| raw.get().to_owned())
}

/// Whether rows stand somewhere in `raw`, which `key` names: none in the steps of a
/// tightening, nor in a figure with its unit.
fn holds_rows(key: &str, raw: &RawValue) -> bool {
    const STEPS: &[&str] = &["passes", "angle", "torque"];
    if STEPS.iter().any(|field| heads(key, field)) || figure(raw.get(), "").is_some() {
        return false;
    }
    objects(raw).is_some()
        || object(raw).is_some_and(|members| {
            is_row(&members) || members.iter().any(|(key, raw)| holds_rows(&text_of(key), raw))
        })
}

/// Whether the object states a fastener by itself.
fn is_row(members: &Object) -> bool {
    members.iter().any(|(key, _)| {
        let key = text_of(key);
        ["thread", "torque"].iter().any(|field| heads(&key, field))
    })
}

/// Keys that only say that rows follow.
fn is_plain(key: &str) -> bool {
    const PLAIN: &[&str] =
        &["settings", "rows", "items", "data", "records", "entries", "list", "results", "table"];
    PLAIN.contains(&fold_header(key).as_str())
}

/// Whether a key in the plural says what stands below it: `machines`, `joints`.
fn says_kind(key: &str) -> bool {
    let folded = fold_header(key);
    let one = [folded.strip_suffix('s'), folded.strip_suffix("es"), folded.strip_suffix('n')];
    one.into_iter().flatten().any(|one| ["assembly", "joint", "part"].iter().any(|f| heads(one, f)))
}

fn list<'a>(rows: Vec<&'a RawValue>, place: &Place<'a>, found: &mut Vec<ObjectGroup<'a>>) {
    for raw in rows {
        below(raw, None, place, found);
    }
}

/// Walks what stands at `place`; `key` names an object that may be a row.
fn below<'a>(
    raw: &'a RawValue,
    key: Option<&'a RawValue>,
    place: &Place<'a>,
    found: &mut Vec<ObjectGroup<'a>>,
) {
    // Most rows hold nothing that is nested.
    let is_nested = raw.get().get(1..).is_some_and(|rest| rest.contains('{'));
    let members = if is_nested { object(raw) } else { None };
    let inner = |(key, raw): &&(&RawValue, &RawValue)| holds_rows(&text_of(key), raw);
    let count = members.iter().flatten().filter(inner).count();
    let Some(members) = members.filter(|_| count > 0) else {
        return row(raw, key, place, found);
    };
    // What stands beside the rows of an answer or an export is mostly none of a row.
    let is_envelope = members.iter().filter(inner).any(|(key, _)| is_plain(&text_of(key)));
    let mut here = place.clone();
    here.path.extend(key.map(text_of));
    for (key, raw) in members.iter().filter(|one| !inner(one)) {
        let key = text_of(key);
        if ["name", "title", "id"].contains(&fold_header(&key).as_str())
            && raw.get().starts_with('"')
        {
            here.path.push(text_of(raw));
        } else if !is_envelope || is_heading(&key) {
            here.around.push((key, raw));
        }
    }
    for (key, raw) in members.iter().filter(inner) {
        let name = text_of(key);
        let is_name = !is_plain(&name) && !(says_kind(&name) && count == 1);
        if let Some(rows) = objects(raw) {
            let mut here = here.clone();
            here.path.extend(is_name.then_some(name));
            list(rows, &here, found);
        } else {
            below(raw, Some(*key).filter(|_| is_name), &here, found);
        }
    }
}

/// Takes one row; a key of its own names the part where the row does not.
fn row<'a>(
    raw: &'a RawValue,
    key: Option<&'a RawValue>,
    place: &Place<'a>,
    found: &mut Vec<ObjectGroup<'a>>,
) {
    let mut around = place.around.clone();
    around.extend(key.map(|key| ("part".to_owned(), key)));
    let has_assembly = around.iter().any(|(key, _)| heads(key, "assembly"));
    let under = match place.path.as_slice() {
        [] => Under::default(),
        [only] if !has_assembly => Under { name: only.clone(), joint: None },
        [names @ .., last] => Under { name: names.join(", "), joint: Some(last.clone()) },
    };
    match found.last_mut().filter(|(last, _)| *last == under) {
        Some((_, rows)) => rows.push(Row { raw, around }),
        None => found.push((under, vec![Row { raw, around }])),
    }
}

/// The members of an object in the order of the file.
pub(crate) struct Members<'a>(pub(crate) Object<'a>);

impl<'de: 'a, 'a> serde::Deserialize<'de> for Members<'a> {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Visitor;
        impl<'de> serde::de::Visitor<'de> for Visitor {
            type Value = Members<'de>;
            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("an object")
            }
            fn visit_map<A: serde::de::MapAccess<'de>>(
                self,
                mut map: A,
            ) -> Result<Self::Value, A::Error> {
                let mut members = Vec::new();
                while let Some(member) = map.next_entry()? {
                    members.push(member);
                }
                Ok(Members(members))
            }
        }
        deserializer.deserialize_map(Visitor)
    }
}

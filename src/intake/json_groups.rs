//! Where a JSON file keeps its rows: lists of objects under keys and inside other
//! objects, and what those around them say of each.

use std::borrow::Cow;

use serde_json::value::RawValue;

use crate::intake::IntakeError;
use crate::intake::header::{Column, known_heading};
use crate::intake::json::{broken, cell};
use crate::intake::names::Names;
use crate::intake::words::plain_words;
use crate::record::{LUBES, STRENGTHS, Tables};

/// Objects that stand together, and the keys that they stand under.
pub(super) struct ObjectGroup<'a> {
    pub(super) name: String,
    pub(super) joint: Option<String>,
    pub(super) rows: Vec<Row<'a>>,
}

/// An object, and what those around it say of it.
pub(super) type Row<'a> = (&'a RawValue, Above<'a>);
/// Keys with what stands under them, the nearest first.
pub(super) type Above<'a> = Vec<(String, Cow<'a, RawValue>)>;

impl<'a> ObjectGroup<'a> {
    fn bare(objects: Vec<&'a RawValue>) -> Self {
        let mut rows = Vec::new();
        objects.into_iter().for_each(|object| spread(object, "", &Vec::new(), &mut rows));
        Self { name: String::new(), joint: None, rows }
    }
}

/// The objects of the file, wherever it keeps them.
pub(super) fn top_level<'a>(
    text: &'a str,
    name: &str,
) -> Result<Vec<ObjectGroup<'a>>, IntakeError> {
    let fault = |error: serde_json::Error| broken(name, &error);
    if text.trim_start().starts_with('[') {
        let all = serde_json::from_str::<Vec<&RawValue>>(text).map_err(fault)?;
        return Ok(vec![ObjectGroup::bare(all)]);
    }
    let stream = serde_json::Deserializer::from_str(text).into_iter::<&RawValue>();
    let values: Vec<&RawValue> = stream.collect::<Result<_, _>>().map_err(fault)?;
    if let [one] = values.as_slice()
        && let Ok(Members(members)) = serde_json::from_str::<Members>(one.get())
    {
        let mut named = Vec::new();
        if keyed(&members, &[], &mut named) && !named.is_empty() {
            return Ok(vec![ObjectGroup { name: String::new(), joint: None, rows: named }]);
        }
        let mut arrays = arrays_of(members, None, &Vec::new());
        if let [ObjectGroup { name, joint: None, .. }] = arrays.as_mut_slice()
            && !is_record(name)
        {
            name.clear();
        }
        if !arrays.is_empty() {
            return Ok(arrays);
        }
    }
    // The last line of an export may hold records of the shop.
    if let Some((last, rest)) = values.split_last()
        && let Ok(Members(members)) = serde_json::from_str::<Members>(last.get())
        && members.iter().all(|(key, _)| is_record(key))
    {
        let mut groups = vec![ObjectGroup::bare(rest.to_vec())];
        groups.extend(arrays_of(members, None, &Vec::new()));
        return Ok(groups);
    }
    Ok(vec![ObjectGroup::bare(values)])
}

/// Whether an export keeps lubes or strengths under that key.
fn is_record(key: &str) -> bool {
    [LUBES.listed, STRENGTHS.listed].contains(&key)
}

/// Objects under their names and no list among them: a machine, its joints, their parts.
/// False where anything else stands there.
fn keyed<'a>(members: &[Member<'a>], above: &[&str], rows: &mut Vec<Row<'a>>) -> bool {
    members.iter().all(|(key, raw)| {
        let Ok(Members(inner)) = serde_json::from_str::<Members>(raw.get()) else { return false };
        let names: Vec<&str> = above.iter().copied().chain([key.as_str()]).collect();
        if inner.iter().any(|(_, raw)| raw.get().starts_with('{')) && !is_row(&inner) {
            return names.len() < 3 && keyed(&inner, &names, rows);
        }
        let fields: &[&str] = match names.len() {
            1 => &["joint"],
            _ => &["assembly", "joint", "part"],
        };
        let text = |name: &str| serde_json::value::to_raw_value(name).map(Cow::Owned);
        let named = fields
            .iter()
            .zip(&names)
            .filter_map(|(field, name)| Some(((*field).to_owned(), text(name).ok()?)));
        rows.push((raw, named.collect()));
        is_row(&inner)
    })
}

/// Whether the object states a thread or a torque.
fn is_row(members: &[Member]) -> bool {
    members
        .iter()
        .any(|(key, _)| field_of(key).is_some_and(|one| ["thread", "torque"].contains(&one)))
}

/// The lists of objects among `members`, and in the objects among them: a list for
/// each machine, or for each joint of one.
fn arrays_of<'a>(
    members: Vec<Member<'a>>,
    under: Option<&str>,
    above: &Above<'a>,
) -> Vec<ObjectGroup<'a>> {
    let own = said(&members, under.unwrap_or_default(), above);
    let mut found = Vec::new();
    for (key, raw) in members {
        let row = plain_object(raw).filter(|inner| is_row(inner) && !is_of_units(&key));
        let row = row.map(|_| vec![raw]);
        if let Some(objects) = list_of(raw).or(row) {
            let mut rows = Vec::new();
            objects.into_iter().for_each(|object| spread(object, &key, &own, &mut rows));
            let (name, joint) = match under {
                // `"presses": {"P1": […]}`: the list is that of a machine.
                Some(kind) if field_of(kind) == Some("assembly") => (key, None),
                Some(_) if rows.iter().any(names_joint) => {
                    let words = serde_json::value::to_raw_value(under.unwrap_or_default());
                    let words = words.ok().map(|words| ("under".to_owned(), Cow::Owned(words)));
                    rows.iter_mut().for_each(|(_, above)| above.extend(words.clone()));
                    (key, None)
                }
                Some(machine) => (machine.to_owned(), Some(key)),
                None => (key, None),
            };
            found.push(ObjectGroup { name, joint, rows });
        } else if under.is_none()
            && let Ok(Members(inner)) = serde_json::from_str::<Members>(raw.get())
        {
            found.extend(arrays_of(inner, Some(&key), &own));
        }
    }
    found
}

/// Whether a row says its joint itself.
fn names_joint((raw, above): &Row) -> bool {
    let is_joint = |key: &str| field_of(key) == Some("joint");
    above.iter().any(|(key, _)| is_joint(key))
        || serde_json::from_str::<Members>(raw.get())
            .is_ok_and(|Members(members)| members.iter().any(|(key, _)| is_joint(key)))
}

/// The objects of a list that holds nothing else, and something.
fn list_of(raw: &RawValue) -> Option<Vec<&RawValue>> {
    let objects = serde_json::from_str::<Vec<&RawValue>>(raw.get()).ok()?;
    let is_list = objects.iter().all(|raw| raw.get().starts_with('{')) && !objects.is_empty();
    is_list.then_some(objects)
}

/// An object of the list `of` as a row, or the rows of the lists in it, of which each is
/// what it says.
fn spread<'a>(object: &'a RawValue, of: &str, above: &Above<'a>, rows: &mut Vec<Row<'a>>) {
    if object.get().contains('[')
        && let Ok(Members(members)) = serde_json::from_str::<Members>(object.get())
        && members.iter().any(|(_, raw)| list_of(raw).is_some())
    {
        let own = said(&members, of, above);
        for (key, objects) in
            members.into_iter().filter_map(|(key, raw)| Some((key, list_of(raw)?)))
        {
            objects.into_iter().for_each(|object| spread(object, &key, &own, rows));
        }
    } else if let Some(members) = holds_objects_of_rows(object) {
        let own = said(&members, of, above);
        for inner in members.iter().filter_map(|(_, raw)| plain_object(raw)) {
            for (name, raw) in inner.into_iter().filter(|(_, raw)| raw.get().starts_with('{')) {
                let name = serde_json::value::to_raw_value(&name).map(Cow::Owned);
                let named = name.map(|name| ("joint".to_owned(), name));
                rows.push((raw, named.into_iter().chain(own.iter().cloned()).collect()));
            }
        }
    } else {
        rows.push((object, above.clone()));
    }
}

/// The members of `{"machine": …, "fasteners": {"drum": {…}, "brake": {…}}}`.
fn holds_objects_of_rows(object: &RawValue) -> Option<Vec<Member<'_>>> {
    let members = plain_object(object)?;
    let of_rows = |raw: &RawValue| {
        let rows = plain_object(raw).unwrap_or_default();
        let is_of_row = |(_, raw): &Member| plain_object(raw).is_some_and(|one| is_row(&one));
        !rows.is_empty() && rows.iter().all(is_of_row)
    };
    members.iter().any(|(_, raw)| of_rows(raw)).then_some(members)
}

/// The field that a key or the one of a list names: `machines` an assembly.
pub(super) fn field_of(key: &str) -> Option<&'static str> {
    let tables = Tables::default();
    let names = Names::new(&tables);
    let endings = ["", "s", "es", "n", "en"].iter().filter_map(|ending| key.strip_suffix(ending));
    endings.into_iter().find_map(|key| match known_heading(key, &names)?.column {
        Column::TorqueUnit => Some("torque-unit"),
        Column::Field(field) => Some(field.name),
        _ => None,
    })
}

/// What an object around rows may say of them.
const FIELDS: &[&str] = &[
    "assembly",
    "joint",
    "part",
    "thread",
    "strength",
    "lube",
    "source",
    "revision",
    "source-date",
    "torque-unit",
];

/// Whether a member says something and holds no rows: words, a figure, a list of words.
fn is_said(raw: &RawValue) -> bool {
    !matches!(raw.get(), "null" | "\"\"" | "[]" | "{}") && !raw.get().contains('{')
}

/// What the object of a whole file says beside its rows and of none of them.
pub(super) fn left_over(text: &str) -> Vec<String> {
    let Ok(Members(members)) = serde_json::from_str::<Members>(text) else { return Vec::new() };
    // Answers and exports of this program count what they left out.
    let is_own = |(key, raw): &Member| {
        let first = raw.get().split('}').next().unwrap_or_default();
        ["rows", "settings"].contains(&&**key) && first.contains("\"key\":")
    };
    if members.iter().any(is_own) {
        return Vec::new();
    }
    let mut left = Vec::new();
    for (key, raw) in &members {
        match plain_object(raw) {
            Some(inner) if is_row(&inner) || is_of_units(key) => {}
            Some(inner) => left.extend(inner.iter().filter(|one| is_left(one)).map(in_words)),
            None if is_left(&(key.clone(), *raw)) => left.push(in_words(&(key.clone(), *raw))),
            None => {}
        }
    }
    left
}

fn is_left((key, raw): &Member) -> bool {
    let is_taken = field_of(key).is_some_and(|field| FIELDS.contains(&field));
    is_said(raw) && !is_taken && plain_words(key) != "name"
}

fn in_words((key, raw): &Member) -> String {
    format!("{key}: {}", cell(raw, ", "))
}

/// What an object of the list `of` says of the rows in it: names, a lube, a unit, a
/// source; its other words under a key of their own, which goes to the notes.
fn said<'a>(members: &[Member<'a>], of: &str, above: &Above<'a>) -> Above<'a> {
    let is_known = |field: &str| above.iter().any(|(key, _)| field_of(key) == Some(field));
    let has_rows = members.iter().any(|(_, raw)| raw.get().contains('['));
    let own = members.iter().filter(|(_, raw)| is_said(raw)).filter_map(|(key, raw)| {
        let is_text = raw.get().starts_with('"');
        let field = field_of(key).filter(|field| is_text && FIELDS.contains(field));
        let key = match field {
            // The name of what holds the rows, which is none of theirs.
            _ if plain_words(key) == "name" => {
                let level = match field_of(of) {
                    _ if !has_rows => None,
                    Some(level @ ("assembly" | "joint")) => Some(level),
                    _ if is_known("assembly") => Some("joint"),
                    _ => (!holds_machines(members)).then_some("assembly"),
                };
                let is_free = |level: &&str| !states(members, level);
                level.filter(is_free).map_or_else(|| format!("{of} {key}"), str::to_owned)
            }
            // `"assembly"` in the list of a machine is a part of it.
            Some("assembly") if is_known("assembly") && !states(members, "joint") => {
                "joint".to_owned()
            }
            Some(_) => key.clone(),
            None if of.is_empty() => return None,
            None => format!("{of} {key}"),
        };
        Some((key, Cow::Borrowed(*raw)))
    });
    let mut all: Above = own.collect::<Vec<_>>().into_iter().chain(above.iter().cloned()).collect();
    // `"defaults": {"torque_unit": …}` holds for what stands beside it.
    for (key, raw) in members {
        let Some(inner) = plain_object(raw) else { continue };
        // `"units": {"torque": "Nm", "angle": "deg"}`.
        if is_of_units(key) {
            let torque = inner.iter().find(|(key, _)| field_of(key) == Some("torque"));
            let unit = torque.map(|(_, raw)| ("torque-unit".to_owned(), Cow::Borrowed(*raw)));
            all.extend(unit);
        } else if !is_row(&inner) {
            all = said(&inner, if of.is_empty() { "" } else { key }, &all);
        }
    }
    all
}

fn states(members: &[Member], field: &str) -> bool {
    members.iter().any(|(key, _)| field_of(key) == Some(field))
}

/// Whether units stand under the key, each under the name of its figure.
fn is_of_units(key: &str) -> bool {
    field_of(key) == Some("torque-unit")
}

/// The members of an object that holds no list.
fn plain_object(raw: &RawValue) -> Option<Vec<Member<'_>>> {
    if raw.get().contains('[') {
        return None;
    }
    serde_json::from_str::<Members>(raw.get()).ok().map(|Members(members)| members)
}

/// Whether lists in the object are those of machines.
fn holds_machines(members: &[Member]) -> bool {
    members.iter().filter_map(|(key, raw)| Some((key, list_of(raw)?))).any(|(key, objects)| {
        let inner = serde_json::from_str::<Members>(objects[0].get());
        let says = |Members(inner): Members| {
            inner.iter().any(|(key, _)| field_of(key) == Some("assembly")) || holds_machines(&inner)
        };
        field_of(key) == Some("assembly") || inner.is_ok_and(says)
    })
}

/// A key with what stands under it.
pub(super) type Member<'a> = (String, &'a RawValue);

/// The members of an object in the order of the file.
pub(super) struct Members<'a>(pub(super) Vec<Member<'a>>);

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

//! JSON and JSON lines as rows under headings: one object a row, keys as
//! columns, numbers as they are written.

use std::borrow::Cow;
use std::collections::{BTreeMap, HashMap};

use serde_json::value::RawValue;

use crate::intake::cells::says_nothing;
use crate::intake::decode::decode;
use crate::intake::header::{Column, known_heading};
use crate::intake::json_groups::{Above, Members, ObjectGroup, field_of, left_over, top_level};
use crate::intake::names::Names;
use crate::intake::sheet::{MOST_COLUMNS, Page, check, few_blanks};
use crate::intake::split::RawRow;
use crate::intake::words::plain_words;
use crate::intake::{IntakeError, Sheet};
use crate::quantity::Dimension;
use crate::record::{FIELDS, Field, FieldKind, Tables};
use crate::text::QuickSet;

/// One object with the line that it starts on.
struct Item<'a> {
    line: u32,
    members: BTreeMap<String, Cow<'a, RawValue>>,
}

/// No sheet is nested deeper.
const DEEPEST: usize = 32;

/// Reads a JSON file: an array of objects, one object that holds such arrays
/// (an export, an answer, a list for each machine), or one object a line.
/// `name` is what messages call it.
pub fn read_json(bytes: &[u8], name: &str) -> Result<Sheet, IntakeError> {
    let (text, _) = decode(bytes, name)?;
    too_deep(&text, name)?;
    let mut lines = Lines { text: &text, at: 0, line: 1 };
    let (mut pages, mut rows) = (Vec::new(), Vec::new());
    let mut called = Called::default();
    for ObjectGroup { name: page, joint, rows: raws } in top_level(&text, name)? {
        let items: Vec<Item> = raws
            .into_iter()
            .map(|(raw, above)| item(raw, above, lines.line_of(raw.get()), name, &mut called))
            .collect::<Result<_, _>>()?;
        let columns = columns(&items, name)?;
        let headings = columns.iter().map(|column| column.heading.clone()).collect();
        let filled = items.iter().map(|item| item.members.len()).sum::<usize>();
        few_blanks(name, filled, filled.max(columns.len() * items.len()))?;
        let number = u16::try_from(pages.len()).unwrap_or(u16::MAX);
        pages.push(Page { name: page, joint, headings: Some(headings), ..Page::default() });
        for item in &items {
            let mut row = RawRow::on_line(item.line);
            row.page = number;
            for column in &columns {
                row.push(&column.cell(item));
            }
            check(&row, name)?;
            rows.push(row);
        }
    }
    let is_empty = pages.iter().all(|page| page.headings.as_ref().is_none_or(Vec::is_empty));
    if is_empty {
        return Err(IntakeError::NoHeader {
            file: name.to_owned(),
            looked: rows.len(),
            hint: "; a row of JSON is an object such as {\"assembly\": …, \"joint\": …}".to_owned(),
        });
    }
    let mut sheet = Sheet::of_rows(name, pages, rows);
    sheet.left_over = left_over(&text);
    Ok(sheet)
}

fn too_deep(text: &str, name: &str) -> Result<(), IntakeError> {
    let (mut depth, mut quoted, mut escaped) = (0usize, false, false);
    for byte in text.bytes() {
        match byte {
            _ if escaped => escaped = false,
            b'\\' if quoted => escaped = true,
            b'"' => quoted = !quoted,
            b'[' | b'{' if !quoted => depth += 1,
            b']' | b'}' if !quoted => depth = depth.saturating_sub(1),
            _ => {}
        }
        if depth > DEEPEST {
            return Err(IntakeError::notation(
                name,
                "",
                format!("nested more than {DEEPEST} deep"),
                "a row is an object with a text or number for each column",
            ));
        }
    }
    Ok(())
}

/// Counts the lines of a text, asked for pieces of it in their order.
struct Lines<'a> {
    text: &'a str,
    at: usize,
    line: u32,
}

impl Lines<'_> {
    /// The line on which `piece` starts: its address tells its place.
    fn line_of(&mut self, piece: &str) -> u32 {
        let start = piece.as_ptr() as usize - self.text.as_ptr() as usize;
        let between = self.text.get(self.at..start).unwrap_or_default();
        let more = u32::try_from(between.matches('\n').count()).unwrap_or(u32::MAX);
        self.line = self.line.saturating_add(more);
        self.at = start.max(self.at);
        self.line
    }
}

fn item<'a>(
    raw: &'a RawValue,
    above: Above<'a>,
    line: u32,
    name: &str,
    called: &mut Called,
) -> Result<Item<'a>, IntakeError> {
    let Members(own) = serde_json::from_str(raw.get()).map_err(|_| {
        IntakeError::notation(
            name,
            format!(", line {line}"),
            "a row of JSON must be an object with a key for each column",
            "write {\"assembly\": …, \"joint\": …, \"part\": …}",
        )
    })?;
    let own = own.into_iter().map(|(key, raw)| (key, Cow::Borrowed(raw)));
    let mut members: BTreeMap<String, Cow<RawValue>> = own.collect();
    while unfold(&mut members, called) {}
    // What is said nearest holds.
    for (key, raw) in above {
        members.entry(key).or_insert(raw);
    }
    Ok(Item { line, members })
}

/// What members of objects are called outside of them: rows mostly have the same.
type Called = HashMap<String, Option<String>>;

/// Puts the members of an object that is no figure beside the others, `"fastener": {"size":
/// …}`: under their own names where these say a field, else behind that of the object. False
/// where there is none, or none of which a member says what it is.
fn unfold(members: &mut BTreeMap<String, Cow<RawValue>>, called: &mut Called) -> bool {
    let open = members.iter().find_map(|(key, raw)| {
        let is_open = raw.get().starts_with('{') && figure(raw.get(), ", ").is_none();
        let Members(inner) = serde_json::from_str(raw.get()).ok().filter(|_| is_open)?;
        let alone = inner.len() == 1;
        let named = inner.iter().map(|(name, _)| {
            let place = [key.as_str(), name, if alone { "alone" } else { "" }].join("\u{1}");
            called.entry(place).or_insert_with(|| own_name(key, name, alone)).clone()
        });
        let named: Vec<Option<String>> = named.collect();
        let texts = inner.into_iter().map(|(name, raw)| (name, raw.to_owned()));
        let is_said = named.iter().any(Option::is_some);
        is_said.then(|| (key.clone(), texts.zip(named).collect::<Vec<_>>()))
    });
    let Some((key, inner)) = open else { return false };
    members.remove(&key);
    for ((name, raw), own) in inner {
        let own = own.filter(|own| !members.contains_key(own));
        let own = own.unwrap_or_else(|| format!("{key} {name}"));
        members.entry(own).or_insert(Cow::Owned(raw));
    }
    true
}

/// What the member of an object is called outside of it, where that is sure: `name` is that
/// of the object, as a text alone in it is.
fn own_name(object: &str, member: &str, alone: bool) -> Option<String> {
    const NAMES: &[&str] = &["name", "title", "label", "text", "description", "descr"];
    const OF_IT: &[&str] = &["id", "no", "number", "code", "type", "kind", "unit", "units", "uom"];
    let plain = plain_words(member);
    let is_field = !OF_IT.contains(&&*plain) && field_of(member).is_some();
    if NAMES.contains(&&*plain) || alone && !is_field {
        return Some(object.to_owned());
    }
    let behind = || format!("{object} {member}");
    if is_field { Some(member.to_owned()) } else { field_of(&behind()).map(|_| behind()) }
}

pub(super) fn broken(name: &str, error: &serde_json::Error) -> IntakeError {
    IntakeError::notation(
        name,
        format!(", line {}, column {}", error.line(), error.column()),
        format!("not JSON: {error}"),
        "mend it there",
    )
}

/// One column of the file: its heading, and the keys that may hold its cell,
/// the first that a row has, each with the unit that its name says.
struct JsonColumn {
    heading: String,
    keys: Vec<(String, &'static str)>,
    between: &'static str,
}

impl JsonColumn {
    fn new(heading: String, keys: Vec<(String, &'static str)>) -> Self {
        let between = between(&heading);
        Self { heading, keys, between }
    }

    fn cell(&self, item: &Item) -> String {
        let cells = self.keys.iter().filter_map(|(key, unit)| {
            let text = item.members.get(key).map(|raw| cell(raw, self.between))?;
            let bare = text.is_empty() || unit.is_empty();
            Some(if bare { text } else { format!("{text} {unit}") })
        });
        cells.into_iter().find(|text| !text.is_empty()).unwrap_or_default()
    }
}

/// The keys of the rows, in the order in which they first stand.
fn keys_of<'a>(items: &'a [Item], name: &str) -> Result<Vec<&'a String>, IntakeError> {
    let (mut keys, mut known): (Vec<&String>, QuickSet<&String>) = Default::default();
    for key in items.iter().flat_map(|item| item.members.keys()) {
        if known.insert(key) {
            keys.push(key);
        }
    }
    if keys.len() > MOST_COLUMNS {
        return Err(IntakeError::notation(
            name,
            "",
            format!("{} keys; no sheet has more than {MOST_COLUMNS} columns", keys.len()),
            "look whether it is the right file",
        ));
    }
    Ok(keys)
}

/// The columns, those of fields first and in the order of FIELDS. A figure in
/// SI units, `torque_nm`, is taken where a row does not state it as text.
fn columns(items: &[Item], name: &str) -> Result<Vec<JsonColumn>, IntakeError> {
    let keys = keys_of(items, name)?;
    let has = |key: &str| keys.iter().any(|known| *known == key);
    // Without its text a torque is told by its two ends.
    let is_low = keys.iter().any(|key| is_torque_low(key));
    let ends = has("torque_max_nm") && has("torque_nm") && !has("torque") && !is_low;
    let is_torque_too = |key: &&String| of_field(key).is_none() && has_torque_unit(key);
    let in_units = !has("torque") && keys.iter().any(is_torque_too);
    let mut columns: Vec<(usize, JsonColumn)> = Vec::new();
    for key in &keys {
        let field = plain_field(key).or_else(|| of_field(key));
        let place = field.and_then(|field| FIELDS.iter().position(|other| other == field));
        let place = place.unwrap_or(usize::MAX);
        let own = ((*key).clone(), unit_of(key));
        let column = match (key.as_str(), field) {
            ("torque_nm", _) if ends => JsonColumn::new("torque min".into(), vec![own]),
            ("torque_max_nm", _) if ends => {
                let low = ("torque_nm".to_owned(), "N·m");
                JsonColumn::new("torque max".into(), vec![own, low])
            }
            // Beside `torque_ft_lb` it is a column of its own: they are held against each other.
            ("torque_nm", _) if in_units => {
                JsonColumn::new("torque_nm".into(), vec![("torque_nm".to_owned(), "")])
            }
            // As a column `Torque max Nm` of any sheet.
            ("torque_max_nm", _) if is_low || !has("torque_nm") => {
                JsonColumn::new("torque_max_nm".into(), vec![("torque_max_nm".to_owned(), "")])
            }
            // The parts of a figure whose text stands in the row too.
            (key, Some(field)) if is_part(field, key) && has(field.name) => continue,
            (_, Some(field)) => {
                let known = columns.iter_mut().find(|(_, column)| column.heading == field.name);
                if let Some((_, column)) = known {
                    column.keys.push(own);
                    // Text before figures.
                    column.keys.sort_by_key(|(_, unit)| !unit.is_empty());
                    continue;
                }
                JsonColumn::new(field.name.to_owned(), vec![own])
            }
            _ => JsonColumn::new((*key).clone(), vec![own]),
        };
        columns.push((place, column));
    }
    put_together(&mut columns, items);
    columns.sort_by_key(|(place, _)| *place);
    Ok(columns.into_iter().map(|(_, column)| column).collect())
}

/// Keys for one field of which no row has two are one column: `class` of metric bolts and
/// `sae_grade` of the others.
fn put_together(columns: &mut Vec<(usize, JsonColumn)>, items: &[Item]) {
    const FIELDS: &[&str] = &["assembly", "joint", "part", "thread", "strength", "lube", "count"];
    let field = |column: &JsonColumn| field_of(&column.heading).filter(|one| FIELDS.contains(one));
    let mut at = 0;
    while at < columns.len() {
        let (before, rest) = columns.split_at_mut(at);
        let (_, column) = &mut rest[0];
        let own = field(column);
        let both = |item: &Item, one: &JsonColumn| {
            !one.cell(item).is_empty() && !column.cell(item).is_empty()
        };
        let is_apart = |one: &JsonColumn| !items.iter().any(|item| both(item, one));
        let first =
            before.iter_mut().find(|(_, one)| own.is_some() && field(one) == own && is_apart(one));
        if let Some((_, first)) = first {
            first.keys.append(&mut column.keys);
            columns.remove(at);
        } else {
            at += 1;
        }
    }
}

/// Whether the key is headed as a plain torque with its unit: `torque_ft_lb`.
fn has_torque_unit(key: &str) -> bool {
    let tables = Tables::default();
    let heading = known_heading(key, &Names::new(&tables));
    heading
        .is_some_and(|one| one.column.is("torque") && one.given.is_none() && !one.units.is_empty())
}

/// Whether the key is headed as the low end of a torque: `torque_min_nm`.
fn is_torque_low(key: &str) -> bool {
    let tables = Tables::default();
    let heading = known_heading(key, &Names::new(&tables));
    heading.is_some_and(|one| matches!(one.column, Column::Low(field) if field.name == "torque"))
}

/// The field that the key names as a person would.
fn plain_field(key: &str) -> Option<&'static Field> {
    let folded = plain_words(key);
    FIELDS.iter().find(|field| plain_words(field.name) == folded)
}

/// The field whose figure in SI units the key holds, or a part of it.
fn of_field(key: &str) -> Option<&'static Field> {
    let whole = FIELDS.iter().find(|field| field.json == key);
    whole.or_else(|| FIELDS.iter().find(|field| is_part(field, key)))
}

/// Whether the key holds a part of the field's figure.
fn is_part(field: &Field, key: &str) -> bool {
    key != field.name && field.more_json.iter().any(|(part, _)| *part == key)
}

/// The unit that the name of a key says: N·m for `torque_nm`.
fn unit_of(key: &str) -> &'static str {
    if plain_field(key).is_some() {
        return "";
    }
    match of_field(key).map(|field| field.kind) {
        Some(FieldKind::Quantity(Dimension::Torque)) => "N·m",
        Some(FieldKind::Quantity(Dimension::Length)) => "mm",
        Some(FieldKind::Quantity(Dimension::Stress)) => "MPa",
        Some(FieldKind::Quantity(Dimension::Angle)) => "°",
        _ => "",
    }
}

/// What stands between the members of a list in a cell: whole sentences hold
/// commas.
fn between(key: &str) -> &'static str {
    let folded = plain_words(key);
    let names = |field: &&Field| {
        let words = field.aliases.iter().chain(field.headers).chain([&field.name, &field.json]);
        words.copied().any(|word| plain_words(word) == folded)
    };
    let is_caution = FIELDS.iter().find(names).is_some_and(|field| field.name == "caution");
    if is_caution { "; " } else { ", " }
}

/// A value as a cell, the members of a list with `between` them.
pub(super) fn cell(raw: &RawValue, between: &str) -> String {
    let text = raw.get();
    match text.as_bytes().first() {
        Some(b'"') => serde_json::from_str(text).unwrap_or_else(|_| text.to_owned()),
        Some(b'[') => match serde_json::from_str::<Vec<&RawValue>>(text) {
            Ok(values) => {
                let cells: Vec<String> =
                    values.into_iter().map(|value| cell(value, between)).collect();
                cells.join(between)
            }
            Err(_) => text.to_owned(),
        },
        Some(b'{') => figure(text, between).unwrap_or_else(|| text.to_owned()),
        _ => match text {
            "null" => String::new(),
            "true" => "yes".to_owned(),
            "false" => "no".to_owned(),
            other => other.to_owned(),
        },
    }
}

/// `{"value": 190, "unit": "Nm"}` as the cell `190 Nm`, `{"min": 9, "max": 12}` as 9..12.
fn figure(text: &str, between: &str) -> Option<String> {
    let Members(mut members) = serde_json::from_str(text).ok()?;
    // `"min": null` states no end.
    members.retain(|(_, raw)| !says_nothing(&cell(raw, between)));
    let member = |wanted: &[&str]| {
        let found =
            members.iter().find(|(key, _)| wanted.contains(&key.to_lowercase().as_str()))?;
        Some(cell(found.1, between))
    };
    let unit = member(&["unit", "units", "uom"]);
    let (low, high) = (member(&["min", "low", "from"]), member(&["max", "high", "to"]));
    let (used, figure) = match (member(&["value", "amount", "figure"]), low, high) {
        (Some(value), None, None) => (1, value),
        (None, Some(low), Some(high)) => (2, format!("{low}..{high}")),
        (None, None, Some(high)) => (1, format!("max {high}")),
        (None, Some(low), None) => (1, format!("min {low}")),
        (None, None, None) if members.len() == usize::from(unit.is_some()) => {
            return Some(String::new());
        }
        _ => return None,
    };
    let is_turn = |key: &str| {
        plain_words(key).split(' ').any(|word| ["deg", "degrees", "angle", "grad"].contains(&word))
    };
    let turned = members.iter().find(|(key, _)| is_turn(key));
    let turns = turned.map(|(_, raw)| cell(raw, ", ")).unwrap_or_default();
    let is_whole =
        members.len() == used + usize::from(unit.is_some()) + usize::from(turned.is_some());
    let unit = unit.map(|unit| format!(" {unit}")).unwrap_or_default();
    let turns = turns.split(", ").filter(|turn| !turn.is_empty());
    let figures: Vec<String> = std::iter::once(format!("{figure}{unit}"))
        .chain(turns.map(|turn| format!("{turn}°")))
        .collect();
    is_whole.then(|| figures.join(" + "))
}

//! The answer to a question for a program: `rows` or `groups`, and what is known
//! of them as a whole. Quantities are SI base values, unrounded; null is "not
//! stated".

use std::borrow::Cow;
use std::io;
use std::sync::Arc;

use serde_json::{Map, Value, json};

use crate::query::run::{Answer, Group, OnWrench, Tally, WrenchSetting};
use crate::record::{FIELDS, Fastener, Field, Joint, Refusal, Row, Tables};
use crate::report::find::{Parts, carries_torque};
use crate::report::json::{column_key, row_json, snake};
use crate::report::page::{Key, Page, Rows, Table, TakeRow};
use crate::report::record_keys::value_of;
use crate::report::working::row_working;

/// Keys that only a restated row has.
const RESTATED: [&str; 3] = ["from_lube", "from_torque_nm", "from_note"];

pub(super) fn data<'a>(
    page: &mut Page<'a>,
    answer: &'a Answer,
    parts: Parts<'a>,
    why: Option<&'a Tables>,
) {
    match &answer.tally {
        Some(tally) => page.rows("groups", groups(tally)),
        None => page.rows("rows", AnswerRows { answer, parts }),
    }
    page.value("left_out", answer.left_out);
    page.value("partly", answer.partly);
    page.value("read", answer.read);
    page.value("took_us", answer.took.as_micros() as u64);
    let remarks: Vec<String> = answer.readings.iter().chain(&answer.remarks).cloned().collect();
    if !remarks.is_empty() {
        page.value("remarks", remarks);
    }
    if !answer.near.is_empty() {
        page.value("nearest", answer.near.clone());
    }
    if let Some(tables) = why {
        let one =
            |row: &Row| json!({ "key": row.key, "steps": row_working(row, tables, false).json() });
        page.value("working", answer.rows.iter().map(one).collect::<Vec<_>>());
    }
}

/// The keys of every row, those of other fields that one of them states, and those
/// of restated rows where there is one.
pub(crate) fn row_keys<'a>(rows: impl Iterator<Item = &'a Row> + Clone) -> Vec<Key> {
    let is_restated = rows.clone().any(|row| row.restated.is_some());
    keys_of(|_, field| rows.clone().any(|row| field.get(row).is_stated()), is_restated)
}

/// `is_stated` says it of a field by its place in `FIELDS`.
fn keys_of(is_stated: impl Fn(usize, &Field) -> bool, is_restated: bool) -> Vec<Key> {
    let nothing = Arc::new(Fastener::new(Joint::named("", ""), ""));
    let blank = row_json(&Row::refused(&nothing, None, Refusal::Words(String::new())), 0, &[]);
    let mut keys: Vec<Key> = blank.into_iter().map(|(key, _)| Cow::Owned(key)).collect();
    let further = FIELDS
        .iter()
        .enumerate()
        .filter(|(_, field)| field.is_stored() && !field.is_promised)
        .filter(|(at, field)| is_stated(*at, field))
        .map(|(_, field)| Cow::Borrowed(field.json));
    // A field that is stated in every row stands in the blank one too.
    let missing: Vec<Key> = further.filter(|key| !keys.contains(key)).collect();
    keys.extend(missing);
    if is_restated {
        keys.extend(restated_keys());
    }
    keys
}

pub(crate) fn restated_keys() -> impl Iterator<Item = Key> {
    RESTATED.into_iter().map(Cow::Borrowed)
}

/// The rows, formed one at a time.
struct AnswerRows<'a> {
    answer: &'a Answer,
    parts: Parts<'a>,
}

impl Rows for AnswerRows<'_> {
    /// With a `show` clause only its columns, and the lube and basis of a torque.
    fn keys(&self) -> Vec<Key> {
        let shown = &self.answer.columns;
        let own = shown.iter().map(|column| Cow::Owned(column_key(column)));
        if shown.is_empty() {
            return match &self.answer.overview {
                Some(seen) => keys_of(|at, _| seen.stated[at], seen.restated > 0),
                None => row_keys(self.answer.rows.iter()),
            };
        }
        let mut keys: Vec<Key> = own.collect();
        if shown.iter().any(carries_torque) {
            let brought = ["lube", "basis", "torque"].map(Cow::Borrowed);
            let missing: Vec<Key> = brought.into_iter().filter(|key| !keys.contains(key)).collect();
            keys.extend(missing);
        }
        keys
    }

    fn each(&self, take: &mut TakeRow<'_>) -> io::Result<()> {
        self.parts.each(&mut |part| {
            part.rows.iter().enumerate().try_for_each(|(at, row)| {
                let mut row = row_json(row, at, &part.columns);
                if let Some(on) = &part.on {
                    wrench(&mut row, on, at);
                }
                take(row)
            })
        })
    }
}

/// The setting of an `on` clause, N·m, and set over wanted, less 1.
fn wrench(row: &mut Map<String, Value>, on: &OnWrench, at: usize) {
    let (set, refused) = match on.settings.get(at) {
        Some(WrenchSetting::Set { setting, .. }) => (Some(setting), None),
        Some(WrenchSetting::Refused { why, .. }) => (None, Some(why.clone())),
        _ => (None, None),
    };
    row.insert("wrench".to_owned(), on.wrench.name.clone().into());
    row.insert("wrench_set_nm".to_owned(), set.map(|setting| setting.set.nm()).into());
    row.insert("wrench_error".to_owned(), set.map(|setting| setting.error.value()).into());
    row.insert("wrench_refused".to_owned(), refused.into());
}

fn groups(tally: &Tally) -> Table<'_, &Group> {
    let key = |(heading, field): &(String, Option<&'static Field>)| match field {
        // The group's own count has that name.
        Some(field) if field.json == "count" => Cow::Borrowed("count_stated"),
        Some(field) => Cow::Borrowed(field.json),
        None => Cow::Owned(snake(heading)),
    };
    let mut table = Table::new(&tally.groups);
    for (at, column) in tally.columns.iter().enumerate() {
        table = table.key(key(column), move |group| value_of(&group.values[at]));
    }
    table.key("count", |group| group.count)
}

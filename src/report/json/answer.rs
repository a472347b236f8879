//! The answer to a question as JSON.

use std::borrow::Cow;

use crate::query::run::{Answer, OnWrench, Tally, WrenchSetting};
use crate::record::{Field, Row};
use crate::report::json::Json;
use crate::report::json::row::{row_json, shown_json, snake, value_json};

/// `{"rows": […], "left_out": n, "read": n, "took_us": n}`, or with a tally
/// `{"groups": […], …}`. Remarks and near misses are there where there are any.
///
/// Quantities are SI base values, unrounded; null is "not stated". Each row
/// stands on a line of its own.
pub fn find_json(answer: &Answer) -> String {
    find_value(answer).lines()
}

/// The same on one line, so that the answers to many questions are JSON lines.
pub fn find_json_line(answer: &Answer) -> String {
    find_value(answer).to_string()
}

/// The answer as a value.
pub(crate) fn find_value(answer: &Answer) -> Json {
    let mut json = match &answer.tally {
        Some(tally) => Json::object(vec![("groups", groups(tally))]),
        None => {
            let rows = answer.rows.iter().enumerate();
            let rows = rows.map(|(index, row): (usize, &Row)| {
                let mut json = if answer.shows {
                    shown_json(row, index, &answer.columns)
                } else {
                    row_json(row, index, &answer.columns)
                };
                if let Some(on) = &answer.on {
                    wrench(&mut json, on, index);
                }
                json
            });
            Json::object(vec![("rows", Json::List(rows.collect()))])
        }
    };
    json.add("left_out", answer.left_out.into());
    json.add("partly", answer.partly.into());
    json.add("read", answer.read.into());
    json.add("took_us", (answer.took.as_micros() as u64).into());
    if !answer.readings.is_empty() {
        json.add("readings", answer.readings.clone().into());
    }
    if !answer.remarks.is_empty() {
        json.add("remarks", answer.remarks.clone().into());
    }
    if !answer.near.is_empty() {
        json.add("nearest", answer.near.clone().into());
    }
    json
}

/// The setting of an `on` clause, N·m, and set over wanted, less 1.
fn wrench(json: &mut Json, on: &OnWrench, index: usize) {
    let (set, refused) = match on.settings.get(index) {
        Some(WrenchSetting::Set { setting, .. }) => (Some(setting), None),
        Some(WrenchSetting::Refused { why, .. }) => (None, Some(why)),
        _ => (None, None),
    };
    json.add("wrench", (&on.wrench.name).into());
    json.add("wrench_set_nm", set.map(|setting| setting.set.nm()).into());
    json.add("wrench_error", set.map(|setting| setting.error.value()).into());
    json.add("wrench_refused", refused.into());
}

fn groups(tally: &Tally) -> Json {
    let key = |(heading, field): &(String, Option<&'static Field>)| match field {
        // The group's own count has that name.
        Some(field) if field.json == "count" => Cow::Borrowed("count_stated"),
        Some(field) => Cow::Borrowed(field.json),
        None => Cow::Owned(snake(heading)),
    };
    let keys: Vec<Cow<'static, str>> = tally.columns.iter().map(key).collect();
    let group = |group: &crate::query::run::Group| {
        let values = keys.iter().cloned().zip(group.values.iter().map(value_json));
        let mut json = Json::Object(values.collect());
        json.add("count", group.count.into());
        json
    };
    Json::List(tally.groups.iter().map(group).collect())
}

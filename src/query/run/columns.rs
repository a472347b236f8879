//! Sorting, cutting, counting, and the columns that a question asks for.

use std::cmp::Ordering;

use crate::query::resolve::{Column as Asked, ColumnOf, Question};
use crate::query::run::answer::{Answer, Column, Group, Tally};
use crate::query::run::truth;
use crate::record::{Field, Row, Value, find_field};

/// Fields of the usual table: one that stands alone adds nothing if it is here.
const USUAL: [&str; 8] =
    ["joint", "part", "thread", "lube", "torque", "basis", "clamp", "of-yield"];

/// Sorts and cuts the rows, then counts them or fills the columns.
pub(super) fn arrange(question: &Question, answer: &mut Answer) {
    for (column, down) in question.sort.iter().rev() {
        // A stable sort by the last column first sorts by all of them.
        answer.rows.sort_by_cached_key(|row| Key(value(column, row).into_owned(), *down));
    }
    if !question.tally.is_empty() {
        answer.tally = Some(tally(question, &answer.rows));
        return;
    }
    if let Some(first) = question.first {
        answer.rows.truncate(first);
    }
    answer.columns = columns(question).iter().map(|column| fill(column, &answer.rows)).collect();
}

/// The columns to draw: those of `show`; else, where a field stood alone that
/// the usual table does not have, or a wrench is asked for, the usual ones and
/// that field.
fn columns(question: &Question) -> Vec<Asked> {
    let named = |field: &'static Field| Asked {
        heading: field.name.to_owned(),
        what: ColumnOf::Field(field),
    };
    let alone = question.shown_alone.iter().filter(|field| !USUAL.contains(&field.name));
    let alone: Vec<Asked> = alone.map(|field| named(field)).collect();
    if !question.show.is_empty() || alone.is_empty() && question.on.is_none() {
        return question.show.clone();
    }
    let usual = USUAL[..6].iter().filter_map(|name| find_field(name)).map(named);
    usual.chain(alone).collect()
}

/// What the wrench of an `on` clause is set to for each row.
pub(super) fn on_wrench(name: &str, values: Vec<Value<'static>>) -> Column {
    Column { heading: format!("on {name}"), field: None, values }
}

fn fill(column: &Asked, rows: &[Row]) -> Column {
    let field = match column.what {
        ColumnOf::Field(field) => Some(field),
        ColumnOf::Expr(_) => None,
    };
    let values = rows.iter().map(|row| value(column, row).into_owned()).collect();
    Column { heading: column.heading.clone(), field, values }
}

fn value<'a>(column: &Asked, row: &'a Row) -> Value<'a> {
    match &column.what {
        ColumnOf::Field(field) => field.get(row),
        ColumnOf::Expr(expr) => truth::value(expr, row),
    }
}

/// The number by which the first column of `question`'s order sorts `row`.
pub(super) fn sort_number(question: &Question, row: &Row) -> Option<f64> {
    let (column, down) = question.sort.first()?;
    Key(value(column, row), *down).number()
}

/// A value as it is sorted: unknown last in both directions.
struct Key<'a>(Value<'a>, bool);

impl Key<'_> {
    fn number(&self) -> Option<f64> {
        match &self.0 {
            Value::Number(value) => Some(*value),
            Value::Measure(measure) => Some(measure.low.unwrap_or(measure.high)),
            Value::Thread(thread) => Some(thread.nominal().mm()),
            Value::Flag(flag) => Some(f64::from(u8::from(*flag))),
            Value::Text(_) | Value::NotStated => None,
        }
    }
}

impl Key<'_> {
    /// Threads of one size sort by pitch.
    fn pitch(&self) -> f64 {
        match &self.0 {
            Value::Thread(thread) => thread.pitch().length().mm(),
            _ => 0.0,
        }
    }
}

impl Ord for Key<'_> {
    fn cmp(&self, other: &Self) -> Ordering {
        let (unknown, other_unknown) = (self.0 == Value::NotStated, other.0 == Value::NotStated);
        if unknown || other_unknown {
            return unknown.cmp(&other_unknown);
        }
        let order = match (self.number(), other.number()) {
            (Some(a), Some(b)) => a.total_cmp(&b).then(self.pitch().total_cmp(&other.pitch())),
            _ => text(&self.0).cmp(&text(&other.0)),
        };
        if self.1 { order.reverse() } else { order }
    }
}

impl PartialOrd for Key<'_> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Key<'_> {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Key<'_> {}

/// A value as text, for sorting and grouping.
fn text(value: &Value<'_>) -> String {
    match value {
        Value::NotStated => String::new(),
        Value::Text(text) => text.to_lowercase(),
        Value::Number(number) => number.to_string(),
        Value::Thread(thread) => thread.to_string(),
        Value::Flag(flag) => flag.to_string(),
        Value::Measure(measure) => format!("{:?}..{}", measure.low, measure.high),
    }
}

/// Rows counted by their values in the tally's columns: most first, then as
/// met; where `sort` orders the rows, as met in that order.
fn tally(question: &Question, rows: &[Row]) -> Tally {
    let columns = &question.tally;
    let mut places = std::collections::HashMap::<Vec<String>, usize>::new();
    let mut groups: Vec<Group> = Vec::new();
    for row in rows {
        let values: Vec<Value<'_>> = columns.iter().map(|column| value(column, row)).collect();
        let key = values.iter().map(|value| format!("{}{}", kind(value), text(value))).collect();
        match places.get(&key) {
            Some(place) => groups[*place].count += 1,
            None => {
                places.insert(key, groups.len());
                let values = values.into_iter().map(Value::into_owned).collect();
                groups.push(Group { values, count: 1 });
            }
        }
    }
    if question.sort.is_empty() {
        groups.sort_by_key(|group| std::cmp::Reverse(group.count));
    }
    groups.truncate(question.first.unwrap_or(usize::MAX));
    let heading = |column: &Asked| {
        let field = match column.what {
            ColumnOf::Field(field) => Some(field),
            ColumnOf::Expr(_) => None,
        };
        (column.heading.clone(), field)
    };
    Tally { columns: columns.iter().map(heading).collect(), groups }
}

/// Keeps "not stated" apart from an empty text.
fn kind(value: &Value<'_>) -> u8 {
    u8::from(*value != Value::NotStated)
}

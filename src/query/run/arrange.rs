//! Sorting, cutting, counting, and the columns that a question asks for.

use std::cmp::{Ordering, Reverse};
use std::collections::HashMap;

use crate::query::resolve::{Column as Asked, ColumnOf, Question};
use crate::query::run::answer::{Answer, Column, Group, Tally};
use crate::query::run::truth;
use crate::record::{Field, Row, Value, find_field};

/// Fields of the usual table: one that stands alone adds nothing if it is here.
const USUAL: [&str; 8] =
    ["joint", "part", "thread", "lube", "torque", "basis", "clamp", "of-yield"];

/// Sorts and cuts the rows and fills the columns, or puts the groups in order.
pub(super) fn arrange(question: &Question, groups: Groups, answer: &mut Answer) {
    if !question.tally.is_empty() {
        answer.tally = Some(groups.into_tally(question));
        return;
    }
    first(question, &mut answer.rows);
    answer.columns = columns(question).iter().map(|column| fill(column, &answer.rows)).collect();
}

/// Sorts `rows` and keeps as many as are asked for.
pub(super) fn first(question: &Question, rows: &mut Vec<Row>) {
    if !question.sort.is_empty() {
        rows.sort_by_cached_key(|row| keys(question, row));
    }
    rows.truncate(question.first.unwrap_or(usize::MAX));
}

/// What `row` is sorted by.
fn keys(question: &Question, row: &Row) -> Vec<Key> {
    question.sort.iter().map(|(column, down)| Key(value(column, row).into_owned(), *down)).collect()
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
    Key(value(column, row).into_owned(), *down).number()
}

/// A value as it is sorted: unknown last in both directions.
#[derive(Debug)]
struct Key(Value<'static>, bool);

impl Key {
    fn number(&self) -> Option<f64> {
        match &self.0 {
            Value::Number(value) => Some(*value),
            Value::Measure(measure) => Some(measure.high),
            Value::Thread(thread) => Some(thread.nominal().mm()),
            Value::Flag(flag) => Some(f64::from(u8::from(*flag))),
            Value::Text(_) | Value::NotStated => None,
        }
    }
}

impl Key {
    /// Threads of one size sort by pitch.
    fn pitch(&self) -> f64 {
        match &self.0 {
            Value::Thread(thread) => thread.pitch().length().mm(),
            _ => 0.0,
        }
    }
}

impl Ord for Key {
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

impl PartialOrd for Key {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Key {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Key {}

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

/// Rows counted by their values in the columns of `tally`.
#[derive(Debug, Default)]
pub(super) struct Groups {
    places: HashMap<Vec<String>, usize>,
    /// In the order met, each with the keys of its row that is sorted first.
    groups: Vec<(Group, Vec<Key>)>,
}

/// What tells the group of these values from others.
fn name(values: &[Value<'_>]) -> Vec<String> {
    let one = |value: &Value<'_>| match value {
        Value::NotStated => String::new(),
        stated => format!("={}", text(stated)),
    };
    values.iter().map(one).collect()
}

impl Groups {
    /// Counts `row`.
    pub(super) fn add(&mut self, question: &Question, row: &Row) {
        let values: Vec<Value<'_>> =
            question.tally.iter().map(|column| value(column, row)).collect();
        let name = name(&values);
        let owned = || values.into_iter().map(Value::into_owned).collect();
        self.put(name, 1, keys(question, row), owned);
    }

    /// Adds the groups of rows that follow.
    pub(super) fn append(&mut self, other: Self) {
        for (group, keys) in other.groups {
            self.put(name(&group.values), group.count, keys, || group.values);
        }
    }

    fn put(
        &mut self,
        name: Vec<String>,
        count: usize,
        keys: Vec<Key>,
        values: impl FnOnce() -> Vec<Value<'static>>,
    ) {
        let place = *self.places.entry(name).or_insert(self.groups.len());
        match self.groups.get_mut(place) {
            Some((known, least)) => {
                known.count += count;
                if keys < *least {
                    *least = keys;
                }
            }
            None => self.groups.push((Group { values: values(), count }, keys)),
        }
    }

    /// Most first, then as met; by `sort` where there is one.
    fn into_tally(self, question: &Question) -> Tally {
        let mut groups = self.groups;
        if question.sort.is_empty() {
            groups.sort_by_key(|(group, _)| Reverse(group.count));
        } else {
            groups.sort_by(|a, b| a.1.cmp(&b.1));
        }
        groups.truncate(question.first.unwrap_or(usize::MAX));
        let heading = |column: &Asked| {
            let field = match column.what {
                ColumnOf::Field(field) => Some(field),
                ColumnOf::Expr(_) => None,
            };
            (column.heading.clone(), field)
        };
        Tally {
            columns: question.tally.iter().map(heading).collect(),
            groups: groups.into_iter().map(|(group, _)| group).collect(),
        }
    }
}

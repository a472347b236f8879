//! Sorting, cutting, counting, and the columns that a question asks for.

use std::cmp::Ordering;
use std::collections::HashMap;

use crate::query::resolve::{ColumnAsked, ColumnOf, Question, Tallied};
use crate::query::run::answer::{Answer, Column, Group, Tally};
use crate::query::run::{judge, truth};
use crate::record::{Field, FieldKind, Measure, Owner, Row, Value, Written, find_field};

/// Fields of the usual table: one that stands alone adds nothing if it is here.
const USUAL: [&str; 8] =
    ["joint", "part", "thread", "lube", "torque", "basis", "clamp", "of-yield"];

/// Sorts and cuts the rows and fills the columns, or puts the groups in order.
pub(super) fn arrange(question: &Question, groups: Groups, answer: &mut Answer) {
    if let Some(tally) = &question.tally {
        let (tally, level) = groups.into_tally(question, tally);
        (answer.tally, answer.level) = (Some(tally), level);
        return;
    }
    answer.level = first(question, &mut answer.rows, 0);
    answer.columns = columns(question).iter().map(|column| fill(column, &answer.rows)).collect();
}

/// Sorts `rows` and keeps as many as are asked for, and `more`; how many of those cut
/// off are level with the last one kept. Without an order a stud of which both ends are
/// named comes first.
pub(super) fn first(question: &Question, rows: &mut Vec<Row>, more: usize) -> usize {
    if !question.sort.is_empty() {
        rows.sort_by_cached_key(|row| keys(question, row));
    } else if let Some(filter) = question.filter.as_ref().filter(|test| test.names_ends()) {
        rows.sort_by_key(|row| !judge::has_both_ends(filter, row));
    }
    let kept = question.first.map_or(usize::MAX, |first| first.saturating_add(more));
    let last = kept.checked_sub(1).and_then(|last| rows.get(last)).map(|row| keys(question, row));
    let is_stated = |keys: &Vec<SortKey>| keys.first().is_some_and(|key| key.0 != Value::NotStated);
    let level = last.filter(is_stated).map_or(0, |last| {
        rows[kept..].iter().take_while(|row| keys(question, row) == last).count()
    });
    rows.truncate(kept);
    level
}

/// What `row` is sorted by.
fn keys(question: &Question, row: &Row) -> Vec<SortKey> {
    question
        .sort
        .iter()
        .map(|(column, down)| SortKey(sorted_by(column, row).into_owned(), *down))
        .collect()
}

/// The columns to draw: those of `show`; else, where a field stood alone that
/// the usual table does not have, or a wrench is asked for, the usual ones and
/// that field.
fn columns(question: &Question) -> Vec<ColumnAsked> {
    let named = |field: &'static Field| ColumnAsked {
        heading: field.name.to_owned(),
        what: ColumnOf::Field(field),
    };
    let alone = question.shown_alone.iter().filter(|field| !USUAL.contains(&field.name));
    let alone: Vec<ColumnAsked> = alone.map(|field| named(field)).collect();
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

fn fill(column: &ColumnAsked, rows: &[Row]) -> Column {
    let field = match column.what {
        ColumnOf::Field(field) => Some(field),
        ColumnOf::Expr(_) => None,
    };
    let values = rows.iter().map(|row| value(column, row).into_owned()).collect();
    Column { heading: column.heading.clone(), field, values }
}

fn value<'a>(column: &ColumnAsked, row: &'a Row) -> Value<'a> {
    match &column.what {
        ColumnOf::Field(field) => field.get(row),
        ColumnOf::Expr(expr) => truth::value(expr, row),
    }
}

/// The number by which the first column of `question`'s order sorts `row`.
pub(super) fn sort_number(question: &Question, row: &Row) -> Option<f64> {
    let (column, down) = question.sort.first()?;
    SortKey(sorted_by(column, row).into_owned(), *down).number()
}

/// What a column is sorted by: a strength by its proof.
fn sorted_by<'a>(column: &ColumnAsked, row: &'a Row) -> Value<'a> {
    match column.what {
        ColumnOf::Field(field) if field.kind == FieldKind::Strength => {
            Value::derived(row.derived.proof)
        }
        _ => value(column, row),
    }
}

/// A value as it is sorted: unknown last in both directions.
#[derive(Debug)]
struct SortKey(Value<'static>, bool);

impl SortKey {
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

impl SortKey {
    /// Threads of one size sort by pitch.
    fn pitch(&self) -> f64 {
        match &self.0 {
            Value::Thread(thread) => thread.pitch().length().mm(),
            _ => 0.0,
        }
    }
}

impl Ord for SortKey {
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

impl PartialOrd for SortKey {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for SortKey {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for SortKey {}

/// A value as text, for sorting and grouping.
fn text(value: &Value<'_>) -> String {
    match value {
        Value::NotStated => String::new(),
        Value::Text(text) => text.to_lowercase(),
        Value::Number(number) => three_figures(*number),
        Value::Thread(thread) => thread.to_string(),
        Value::Flag(flag) => flag.to_string(),
        Value::Measure(measure) => {
            let low = measure.low.unwrap_or(f64::NEG_INFINITY);
            format!("{}..{}", three_figures(low), three_figures(measure.high))
        }
    }
}

/// As figures are printed: what prints alike is one group.
fn three_figures(value: f64) -> String {
    if value.fract() == 0.0 { value.to_string() } else { format!("{value:.2e}") }
}

/// Rows counted by their values in the columns of `tally`.
#[derive(Debug, Default)]
pub(super) struct Groups {
    places: HashMap<Vec<String>, usize>,
    /// In the order met.
    groups: Vec<Counted>,
}

/// A group that is being counted.
#[derive(Debug)]
struct Counted {
    group: Group,
    /// The keys of its row that is sorted first.
    first: Vec<SortKey>,
    /// What is added up, in the base unit; none where no row states it.
    total: Option<Value<'static>>,
    /// The fastener that was added last.
    last: String,
}

impl Groups {
    pub(super) fn add(&mut self, question: &Question, tally: &Tallied, row: &Row) {
        let values = tally.by.iter().map(|column| value(column, row).into_owned()).collect();
        let total = tally.total.as_ref().map(|column| value(column, row).into_owned());
        let of_fastener = tally.total.as_ref().is_some_and(is_of_fastener);
        let last = if of_fastener { row.fastener.key.clone() } else { String::new() };
        let total = total.filter(|total| *total != Value::NotStated);
        let group = Group { values, count: 1 };
        self.put(Counted { group, first: keys(question, row), total, last });
    }

    /// Adds the groups of rows that follow.
    pub(super) fn append(&mut self, other: Self) {
        other.groups.into_iter().for_each(|counted| self.put(counted));
    }

    fn put(&mut self, counted: Counted) {
        let name = |value: &Value<'_>| match value {
            Value::NotStated => String::new(),
            stated => format!("={}", text(stated)),
        };
        let names = counted.group.values.iter().map(name).collect();
        let place = *self.places.entry(names).or_insert(self.groups.len());
        match self.groups.get_mut(place) {
            Some(known) => known.append(counted),
            None => self.groups.push(counted),
        }
    }

    /// Most first, then as met; by `sort` where there is one. And how many of those cut
    /// off are level with the last one kept.
    fn into_tally(self, question: &Question, tally: &Tallied) -> (Tally, usize) {
        let mut groups = self.groups;
        let by_count = tally.by_count.or(question.sort.is_empty().then_some(true));
        let order = |a: &Counted, b: &Counted| {
            let (less, more) = (a.group.count, b.group.count);
            let counts = by_count.map_or(Ordering::Equal, |down| {
                if down { more.cmp(&less) } else { less.cmp(&more) }
            });
            a.first.cmp(&b.first).then(counts)
        };
        groups.sort_by(order);
        let cut = groups.split_off(question.first.unwrap_or(usize::MAX).min(groups.len()));
        let is_level = |one: &&Counted| groups.last().is_some_and(|last| order(last, one).is_eq());
        let level = cut.iter().take_while(is_level).count();
        let heading = |column: &ColumnAsked| {
            let field = match column.what {
                ColumnOf::Field(field) => Some(field),
                ColumnOf::Expr(_) => None,
            };
            (column.heading.clone(), field)
        };
        let total = tally.total.iter().map(|column| (format!("total {}", column.heading), None));
        let group = |counted: Counted| {
            let mut group = counted.group;
            let total = tally.total.as_ref().map(|_| counted.total.unwrap_or(Value::NotStated));
            group.values.extend(total);
            group
        };
        let tally = Tally {
            columns: tally.by.iter().map(heading).chain(total).collect(),
            groups: groups.into_iter().map(group).collect(),
        };
        (tally, level)
    }
}

impl Counted {
    fn append(&mut self, other: Self) {
        self.group.count += other.group.count;
        if other.first < self.first {
            self.first = other.first;
        }
        // What belongs to a fastener is added once, however often it is set.
        if other.last.is_empty() || other.last != self.last {
            self.total = match (self.total.take(), other.total) {
                (Some(one), Some(two)) => Some(sum(one, two)),
                (one, two) => one.or(two),
            };
            self.last = other.last;
        }
    }
}

/// Two values of one column added; of ranges the tops.
fn sum(one: Value<'static>, two: Value<'static>) -> Value<'static> {
    match (one, two) {
        (Value::Number(one), Value::Number(two)) => Value::Number(one + two),
        (Value::Measure(one), Value::Measure(two)) => {
            let high = one.high + two.high;
            let low = Some(one.low.unwrap_or(one.high) + two.low.unwrap_or(two.high));
            Value::Measure(Measure {
                dimension: one.dimension,
                low,
                high,
                written: Written::Nowhere,
            })
        }
        (one, _) => one,
    }
}

/// Whether a column says the same of every setting of a fastener.
fn is_of_fastener(column: &ColumnAsked) -> bool {
    match &column.what {
        ColumnOf::Field(field) => field.is_stored() && field.owner != Owner::Setting,
        ColumnOf::Expr(_) => false,
    }
}

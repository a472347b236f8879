//! Testing a row: true, false, or unknown where the row does not say.

use crate::quantity::Dimension;
use crate::query::resolve::{Compare, Expr, Operand, Test, coherent, stem};
use crate::query::syntax::{Operator, Relation};
use crate::record::{Field, Measure, Row, Value, Written};
use crate::text::fold_name;
use crate::thread::{Pattern, Thread};

/// Three-valued truth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Truth {
    False,
    Unknown,
    True,
}

impl From<bool> for Truth {
    fn from(value: bool) -> Self {
        if value { Self::True } else { Self::False }
    }
}

impl Truth {
    fn not(self) -> Self {
        match self {
            Self::True => Self::False,
            Self::False => Self::True,
            Self::Unknown => Self::Unknown,
        }
    }
}

/// Whether `test` holds for `row`.
pub(super) fn holds(test: &Test, row: &Row) -> Truth {
    match test {
        // The least of all, the greatest of any: Kleene's logic.
        Test::All(tests) => tests.iter().map(|t| holds(t, row)).min().unwrap_or(Truth::True),
        Test::Any(tests) => tests.iter().map(|t| holds(t, row)).max().unwrap_or(Truth::False),
        Test::Not(inner) => holds(inner, row).not(),
        Test::Thread(pattern) => either_end(row, |thread| pattern.matches(thread)),
        // A look-alike is one by size, pitch and hand, whatever its root.
        Test::OneOf(threads) => {
            either_end(row, |thread| threads.iter().any(|one| is_twin(one, thread)))
        }
        Test::ThreadIn(field, pattern) => thread_in(field, pattern, row),
        Test::Named(field, name) | Test::Bare(field, name) => {
            with_text(field, row, |text| name.spellings.contains(&fold_name(text)))
        }
        Test::Choice(field, word) => with_text(field, row, |text| text == *word),
        Test::Says(field, words) => says(field, words, row),
        Test::Number(field, relation, wanted) => match field.get(row) {
            Value::Number(value) => {
                related(value, value, *relation, wanted.value(), wanted.half_step()).into()
            }
            _ => Truth::Unknown,
        },
        Test::Compare(compare) => compared(compare, row),
        Test::Within { left, low, high } => match range(left, row) {
            Some((bottom, top)) => (bottom.unwrap_or(top) <= *high && top >= *low).into(),
            None => Truth::Unknown,
        },
        Test::Flag(field) => match field.get(row) {
            Value::Flag(flag) => flag.into(),
            _ => Truth::Unknown,
        },
        Test::Stated(field) => (field.get(row) != Value::NotStated).into(),
    }
}

fn either_end(row: &Row, matches: impl Fn(&Thread) -> bool) -> Truth {
    let fastener = &row.fastener;
    let mut ends = fastener.thread.iter().chain(&fastener.hole_thread).peekable();
    if ends.peek().is_none() {
        return Truth::Unknown;
    }
    ends.any(matches).into()
}

fn thread_in(field: &Field, pattern: &Pattern, row: &Row) -> Truth {
    match field.get(row) {
        Value::Thread(thread) => pattern.matches(&thread).into(),
        _ => Truth::Unknown,
    }
}

fn with_text(field: &Field, row: &Row, matches: impl Fn(&str) -> bool) -> Truth {
    match field.get(row) {
        Value::Text(text) => matches(&text).into(),
        _ => Truth::Unknown,
    }
}

/// Every word of `words` starts a word of the field. `text` is always true or
/// false, other fields are unknown where they are not stated.
fn says(field: &Field, words: &str, row: &Row) -> Truth {
    with_text(field, row, |text| {
        let text = fold_name(text);
        let starts = |word: &str| {
            let word = stem(word);
            text.split(|c: char| !c.is_alphanumeric() && c != '/' && c != '.')
                .any(|found| found.starts_with(word))
                || text.contains(&format!(" {word}"))
                || text.starts_with(word)
        };
        words.split(' ').filter(|word| !word.is_empty()).all(starts)
    })
}

/// One thread by form, size, pitch and hand, whatever its root.
pub(crate) fn is_twin(one: &Thread, other: &Thread) -> bool {
    one.series().family() == other.series().family()
        && one.size() == other.size()
        && one.pitch() == other.pitch()
        && one.is_left_hand() == other.is_left_hand()
}

/// Low and high end of an expression in coherent units. The low end is missing
/// where only a maximum is stated.
fn range(expr: &Expr, row: &Row) -> Option<(Option<f64>, f64)> {
    match &expr.what {
        Operand::Constant(value) => Some((Some(*value), *value)),
        Operand::Field(field) => field_range(field, row),
        Operand::Join(left, operator, right) => {
            let (left, right) = (point(left, row)?, point(right, row)?);
            let value = match operator {
                Operator::Plus => left + right,
                Operator::Minus => left - right,
                Operator::Times => left * right,
                Operator::Per => left / right,
            };
            value.is_finite().then_some((Some(value), value))
        }
    }
}

fn field_range(field: &Field, row: &Row) -> Option<(Option<f64>, f64)> {
    match field.get(row) {
        Value::Number(value) => Some((Some(value), value)),
        Value::Measure(measure) => {
            let scale = coherent(measure.dimension);
            Some((measure.low.map(|low| low * scale), measure.high * scale))
        }
        _ => None,
    }
}

/// One value of an expression: the middle of a range. Nothing for a maximum.
fn point(expr: &Expr, row: &Row) -> Option<f64> {
    let (low, high) = range(expr, row)?;
    low.map(|low| f64::midpoint(low, high))
}

/// The value of an expression in base units of its dimension, for a column.
pub(super) fn value(expr: &Expr, row: &Row) -> Value<'static> {
    let Some((low, high)) = range(expr, row) else { return Value::NotStated };
    let Some(dimension) = expr.powers.named() else { return Value::Number(high) };
    let scale = coherent(dimension);
    if dimension == Dimension::Ratio && expr.as_field().is_none() {
        return Value::Number(high);
    }
    Value::Measure(Measure {
        dimension,
        low: low.map(|low| low / scale),
        high: high / scale,
        written: Written::Nowhere,
    })
}

fn compared(compare: &Compare, row: &Row) -> Truth {
    let left = range(&compare.left, row);
    let right = point(&compare.right, row);
    let (Some((low, high)), Some(wanted)) = (left, right) else { return Truth::Unknown };
    let rising = matches!(compare.relation, Relation::Over | Relation::AtLeast);
    match low {
        // Over tests the low end, and a maximum has none: only what the maximum
        // itself does not reach is known.
        None if rising => {
            if related(high, high, compare.relation, wanted, compare.half_step) {
                Truth::Unknown
            } else {
                Truth::False
            }
        }
        low => {
            let low = low.unwrap_or(high);
            related(low, high, compare.relation, wanted, compare.half_step).into()
        }
    }
}

/// A hair of slack for values that went through two unit conversions.
const HAIR: f64 = 1e-9;

/// `about` is within 5 %.
const ABOUT: f64 = 0.05;

/// On a range, over tests the low end, under the high end, the others overlap.
fn related(low: f64, high: f64, relation: Relation, wanted: f64, half_step: f64) -> bool {
    let hair = wanted.abs() * HAIR;
    let overlaps = |slack: f64| low <= wanted + slack && high >= wanted - slack;
    match relation {
        Relation::Equal => overlaps(half_step + hair),
        Relation::NotEqual => !overlaps(half_step + hair),
        Relation::About => overlaps(wanted.abs() * ABOUT + hair),
        Relation::Over => low > wanted + hair,
        Relation::AtLeast => low >= wanted - hair,
        Relation::Under => high < wanted - hair,
        Relation::AtMost => high <= wanted + hair,
    }
}

//! Testing a row: true, false, or unknown where the row does not say.

use std::cmp::Ordering;

use crate::quantity::Dimension;
use crate::query::resolve::{
    Compare, Expr, Name, Operand, Test, coherent, field_of, names_a_key, stem,
};
use crate::query::syntax::{Operator, Relation};
use crate::record::{Field, FieldKind, Measure, NameOf, Row, Stuff, Value, Written, material_of};
use crate::text::{fold_name, without_accents};
use crate::thread::{Pattern, Thread};

/// What a test says of a row; a figure that is not stated makes it unknown.
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

/// Whether `test` holds for `row`; of a stated range one figure is enough.
pub(super) fn holds(test: &Test, row: &Row) -> Truth {
    evaluate(test, row, HowMuch::Some)
}

/// Whether of some range that `row` states only a part passes `test`, which holds.
pub(super) fn is_partly(test: &Test, row: &Row) -> bool {
    evaluate(test, row, HowMuch::All) != Truth::True
}

/// Adds to `fields` those for want of which it is unknown whether `test` holds for `row`.
pub(super) fn add_unknown(test: &Test, row: &Row, fields: &mut Vec<&'static Field>) {
    if holds(test, row) != Truth::Unknown {
        return;
    }
    match test {
        Test::All(tests) | Test::Any(tests) => {
            tests.iter().for_each(|test| add_unknown(test, row, fields));
        }
        Test::Not(inner) => add_unknown(inner, row, fields),
        test => {
            let is_new = |field: &&'static Field| !fields.contains(field);
            let asked = test.fields().into_iter();
            let asked = asked.filter(|field| !is_certain(field, row)).filter(is_new);
            let found: Vec<&'static Field> = asked.collect();
            fields.extend(found);
        }
    }
}

/// Whether `row` states one figure of the field, so that another of the test is unknown.
fn is_certain(field: &'static Field, row: &Row) -> bool {
    matches!(field.get(row), Value::Number(_) | Value::Measure(_))
}

fn evaluate(test: &Test, row: &Row, part: HowMuch) -> Truth {
    match test {
        // The least of all, the greatest of any: Kleene's logic.
        Test::All(tests) => {
            tests.iter().map(|t| evaluate(t, row, part)).min().unwrap_or(Truth::True)
        }
        Test::Any(tests) => {
            tests.iter().map(|t| evaluate(t, row, part)).max().unwrap_or(Truth::False)
        }
        Test::Not(inner) => holds(inner, row).not(),
        Test::Thread(pattern) => either_end(row, |thread| pattern.matches(thread)),
        // A look-alike is one by size, pitch and hand, whatever its root.
        Test::OneOf(threads) => {
            either_end(row, |thread| threads.iter().any(|one| is_twin(one, thread)))
        }
        Test::ThreadIn(field, pattern) => thread_in(field, pattern, row),
        Test::Named(field, name) => with_text(field, row, |text| {
            let is_name = |text: &str| name.spellings.contains(&fold_name(text));
            match field.kind {
                FieldKind::List => text.split("; ").any(is_name),
                _ => is_name(text),
            }
        }),
        Test::Form(field, word) => match field.get(row) {
            Value::Thread(thread) if *word == "fine" => thread.is_fine().into(),
            Value::Thread(thread) => thread.is_coarse().into(),
            Value::Measure(measure) => match measure.low {
                None => *word == "maximum",
                Some(low) => *word == "range" && low < measure.high,
            }
            .into(),
            _ => Truth::Unknown,
        },
        Test::Bare(name) => bare(name, row),
        Test::Choice(field, word) => with_text(field, row, |text| text == *word),
        Test::Says(field, words) if names_a_key(field, words) => {
            with_text(field, row, |text| is_key(text, words))
        }
        Test::Says(field, words) => with_text(field, row, |text| says(text, words)),
        Test::Date { field, relation, date } => {
            with_truth(field, row, |text| dated(text, *relation, date))
        }
        Test::DateWithin { field, low, high } => with_truth(field, row, |text| {
            dated(text, Relation::AtLeast, low).min(dated(text, Relation::AtMost, high))
        }),
        Test::Compare(compare) => compared(compare, row, part),
        Test::Within { left, low, high, .. } => match range(left, row) {
            Some(found) => passed(found, (*low, *high), part),
            None => Truth::Unknown,
        },
        Test::HoleOf(material) => match row.fastener.hole_material.as_deref().map(material_of) {
            Some(Stuff::Known(found)) => (found == *material).into(),
            _ => Truth::Unknown,
        },
        Test::Flag(field) => match field.get(row) {
            Value::Flag(flag) => flag.into(),
            _ => Truth::Unknown,
        },
        Test::Stated(field) => (field.get(row) != Value::NotStated).into(),
        Test::None(field) => match field.get(row) {
            Value::Text(text) => is_none(&text).into(),
            Value::Flag(flag) => (!flag).into(),
            value => (value == Value::NotStated).into(),
        },
    }
}

/// Whether a text says that there is none.
pub(crate) fn is_none(text: &str) -> bool {
    matches!(fold_name(text).as_str(), "none" | "no" | "without" | "nil" | "-")
}

/// A name without a field: of an assembly, a joint or a part that has its words,
/// also in a tag, by which a shop names a joint its own way (`cylinder head`);
/// else of a lube or strength.
fn bare(name: &Name, row: &Row) -> Truth {
    let joint = &row.fastener.joint;
    match name.what {
        NameOf::Assembly | NameOf::Joint | NameOf::Part => {
            let names = [&joint.assembly, &joint.name, &row.fastener.part];
            let mut texts = names.into_iter().chain(&row.fastener.tags);
            texts.any(|text| has_words(text, &name.name)).into()
        }
        _ => match field_of(name.what) {
            Some(field) => with_text(field, row, |t| name.spellings.contains(&fold_name(t))),
            None => Truth::Unknown,
        },
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
    with_truth(field, row, |text| matches(text).into())
}

/// Unknown where the field is not stated.
fn with_truth(field: &Field, row: &Row, truth: impl Fn(&str) -> Truth) -> Truth {
    match field.get(row) {
        Value::Text(text) => truth(&text),
        _ => Truth::Unknown,
    }
}

/// Every word of `words` starts a word of `text`; a figure is never the beginning of
/// another one.
fn says(text: &str, words: &str) -> bool {
    with_words(text, words, |word, rest| !(ends_in_figure(word) && goes_on_as_figure(rest)))
}

fn ends_in_figure(word: &str) -> bool {
    word.ends_with(|last: char| last.is_ascii_digit())
}

/// `0` of `40` after `4`, `.5` of `1.5` after `1`.
fn goes_on_as_figure(rest: &str) -> bool {
    rest.trim_start_matches(['.', '/', '-']).starts_with(|next: char| next.is_ascii_digit())
}

/// Whether `key` is `words`, or begins with them and goes on with another part.
fn is_key(key: &str, words: &str) -> bool {
    let rest = key.strip_prefix(words);
    rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(['-', '/', '.']))
}

/// Every word of `name` is a word of `text`, also in the plural.
fn has_words(text: &str, name: &str) -> bool {
    with_words(text, name, |_, rest| rest.is_empty() || rest.eq_ignore_ascii_case("s"))
}

/// Whether each word of `words` begins one of `text`, and what is left of that one
/// fits; accents are read both ways.
fn with_words(text: &str, words: &str, fits: impl Fn(&str, &str) -> bool) -> bool {
    let begins = |found: &str, word: &str| {
        let ends = found.split_at_checked(word.len());
        ends.is_some_and(|(start, rest)| start.eq_ignore_ascii_case(word) && fits(word, rest))
    };
    // Nothing to fold: the usual case, met a million times in a large book.
    let is_plain = text.is_ascii() && words.is_ascii();
    words.split(' ').all(|run| {
        if is_figure(run) {
            return figures_of(text).any(|found| begins(found, run));
        }
        if is_plain {
            return words_of(run).all(|word| words_of(text).any(|found| begins(found, stem(word))));
        }
        let found = spellings(text);
        words_of(run).all(|word| {
            spellings(word).iter().any(|way| found.iter().any(|found| begins(found, stem(way))))
        })
    })
}

/// `4`, `3-12`, `1/2`.
fn is_figure(run: &str) -> bool {
    run.starts_with(|first: char| first.is_ascii_digit())
        && run.bytes().all(|byte| byte.is_ascii_digit() || b"-./".contains(&byte))
}

fn words_of(text: &str) -> impl Iterator<Item = &str> {
    text.split(is_break).filter(|word| !word.is_empty())
}

/// What stands between blanks or marks: figures that a dash joins are one, `3-12`.
fn figures_of(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c| c != '-' && is_break(c)).map(|word| word.trim_matches('-'))
}

/// The words of `text`, each folded in every way that it may be typed.
fn spellings(text: &str) -> Vec<String> {
    words_of(&fold_name(text)).flat_map(without_accents).collect()
}

fn is_break(character: char) -> bool {
    !character.is_alphanumeric() && character != '/' && character != '.'
}

/// One thread by form, size, pitch and hand, whatever its root.
pub(crate) fn is_twin(one: &Thread, other: &Thread) -> bool {
    one.series().family() == other.series().family()
        && one.size() == other.size()
        && one.pitch() == other.pitch()
        && one.is_left_hand() == other.is_left_hand()
}

/// Low and high end of an expression in coherent units. A maximum counts as its
/// figure.
fn range(expr: &Expr, row: &Row) -> Option<(f64, f64)> {
    let (left, operator, right) = match &expr.what {
        Operand::Constant(value) => return Some((*value, *value)),
        Operand::Field(field) => return field_range(field, row),
        Operand::Join(left, operator, right) => (left, operator, right),
    };
    let (left, right) = (range(left, row)?, range(right, row)?);
    let join = |left: f64, right: f64| match operator {
        Operator::Plus => left + right,
        Operator::Minus => left - right,
        Operator::Times => left * right,
        Operator::Per => left / right,
    };
    // Each operator is greatest and least at ends of what it joins, unless it
    // divides by a range with nought in it.
    let ends = [left.0, left.1].into_iter().flat_map(|l| [join(l, right.0), join(l, right.1)]);
    let ends: Vec<f64> = ends.collect();
    let is_split = *operator == Operator::Per && right.0 < 0.0 && right.1 > 0.0;
    let is_known = !is_split && ends.iter().all(|end| end.is_finite());
    is_known.then(|| {
        ends.iter().fold((f64::MAX, f64::MIN), |(low, high), end| (low.min(*end), high.max(*end)))
    })
}

fn field_range(field: &Field, row: &Row) -> Option<(f64, f64)> {
    match field.get(row) {
        Value::Number(value) => Some((value, value)),
        Value::Measure(measure) => {
            let scale = coherent(measure.dimension);
            Some((measure.low.unwrap_or(measure.high) * scale, measure.high * scale))
        }
        _ => None,
    }
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
        low: Some(low / scale),
        high: high / scale,
        written: Written::Nowhere,
    })
}

/// How much of a range a test asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum HowMuch {
    /// One figure of it passes.
    Some,
    /// Every figure of it does.
    All,
}

/// A slack for values that went through two unit conversions.
const ROUNDING: f64 = 1e-9;

/// `about` is within 5 %.
const ABOUT: f64 = 0.05;

fn compared(compare: &Compare, row: &Row, part: HowMuch) -> Truth {
    let left = range(&compare.left, row);
    let right = range(&compare.right, row);
    let (Some(left), Some(right)) = (left, right) else { return Truth::Unknown };
    let wanted = right.0.abs().max(right.1.abs());
    let slack = compare.slack + wanted * ROUNDING;
    // The figures that are equal to those of the right side.
    let equal = (right.0 - slack, right.1 + slack);
    let near = (right.0 - wanted * ABOUT, right.1 + wanted * ABOUT);
    let passes = match compare.relation {
        Relation::Equal => (equal.0, equal.1),
        Relation::About => (near.0.min(equal.0), near.1.max(equal.1)),
        Relation::AtLeast => (equal.0, f64::INFINITY),
        Relation::AtMost => (f64::NEG_INFINITY, equal.1),
        // What is not equal: the ends themselves are.
        Relation::Over => (equal.1.next_up(), f64::INFINITY),
        Relation::Under => (f64::NEG_INFINITY, equal.0.next_down()),
        // Resolve writes it as the opposite of `=`.
        Relation::NotEqual => return Truth::Unknown,
    };
    passed(left, passes, part)
}

/// Whether what is asked of the range `found` lies in `passes`.
fn passed(found: (f64, f64), passes: (f64, f64), part: HowMuch) -> Truth {
    match part {
        HowMuch::Some => found.0 <= passes.1 && found.1 >= passes.0,
        HowMuch::All => found.0 >= passes.0 && found.1 <= passes.1,
    }
    .into()
}

/// A day, a month or a year as typed, against a date of the book; either may be
/// shortened. Where one holds the other, which comes first is not known.
fn dated(found: &str, relation: Relation, wanted: &str) -> Truth {
    let length = found.len().min(wanted.len());
    let (Some(found_part), Some(wanted_part)) = (found.get(..length), wanted.get(..length)) else {
        return Truth::Unknown;
    };
    let order = found_part.cmp(wanted_part);
    if order == Ordering::Equal && found.len() < wanted.len() {
        return Truth::Unknown;
    }
    match relation {
        Relation::Equal | Relation::About => order == Ordering::Equal,
        Relation::NotEqual => order != Ordering::Equal,
        Relation::Over => order == Ordering::Greater,
        Relation::Under => order == Ordering::Less,
        Relation::AtLeast => order != Ordering::Less,
        Relation::AtMost => order != Ordering::Greater,
    }
    .into()
}

//! A value beside a field, read as the field's kind wants it.

use crate::quantity::{Dimension, MILLIMETRE, Number, Quantity, Stress, find_unit};
use crate::query::resolve::message::a;
use crate::query::resolve::names::{self, name_of};
use crate::query::resolve::{
    Compare, Expr, Names, Powers, ResolveError, Test, compare, date, equal,
};
use crate::query::syntax::{Leaf, QuotedValue, Read, Relation, quote, read_quoted};
use crate::record::{Field, FieldKind};
use crate::text::{fold_name, nearest};
use crate::thread::Pattern;

/// A field and how it was typed: `grade` for `strength`.
pub(super) type Asked<'a> = (&'static Field, &'a str);

/// `field relation value` as a test.
pub(super) fn test(
    asked: Asked<'_>,
    relation: Relation,
    value: &Leaf,
    names: Names<'_>,
) -> Result<Test, ResolveError> {
    let (field, _) = asked;
    if date::is_date(field) {
        return date::test(field, relation, value);
    }
    if let Some(word) = form(field, value).filter(|_| relation == Relation::Equal) {
        return Ok(Test::Form(field, word));
    }
    match field.kind {
        FieldKind::Quantity(_) | FieldKind::Share | FieldKind::Number => match unquoted(value) {
            Some(Unquoted::Single(value)) => measured(field, relation, &value),
            Some(Unquoted::Range(low, high)) if relation == Relation::Equal => {
                compare::range(field, &low, &high)
            }
            Some(Unquoted::Range(..)) => Err(ResolveError::BadRelation {
                field: field.name,
                allowed: "one value, or no comparison",
                example: format!("{} \"{}\"", field.name, value.text),
                span: value.place.0,
            }),
            None => measured(field, relation, value),
        },
        FieldKind::Flag => Err(ResolveError::BadRelation {
            field: field.name,
            allowed: "the word alone: it is a yes or no",
            example: format!("{0}, or not {0}", field.name),
            span: value.place.0,
        }),
        _ => {
            let positive = word(asked, value, names)?;
            match relation {
                Relation::Equal => Ok(positive),
                Relation::NotEqual => Ok(Test::Not(Box::new(positive))),
                _ if field.kind == FieldKind::Strength => {
                    Err(by_proof(relation, &positive, value, names))
                }
                _ => Err(ResolveError::BadRelation {
                    field: field.name,
                    allowed: "= or !=, which compare words",
                    example: format!("{0} {1}, or {0} != {1}", field.name, example_of(field)),
                    span: value.place.0,
                }),
            }
        }
    }
}

/// A strength is a name: what is above it, or below, its proof says.
fn by_proof(relation: Relation, named: &Test, value: &Leaf, names: Names<'_>) -> ResolveError {
    let name = if let Test::Named(_, name) = named { &*name.name } else { &value.text };
    let rows = names.tables.strength(name).map_or(&[][..], |class| &class.rows);
    let proofs: Vec<f64> = rows.iter().filter_map(|row| row.proof.map(Stress::mpa)).collect();
    let is_over = matches!(relation, Relation::Over | Relation::AtLeast);
    let end = proofs.iter().copied().reduce(if is_over { f64::max } else { f64::min });
    let beyond = |end: f64| {
        let test = format!("proof {} {end:.0} MPa", if is_over { "over" } else { "under" });
        match relation {
            Relation::AtLeast | Relation::AtMost => format!("(strength {} or {test})", quote(name)),
            _ => test,
        }
    };
    let instead = end.map(beyond);
    ResolveError::ByProof { name: name.to_owned(), instead, span: value.place.0 }
}

/// `thread fine`, `torque maximum`: the form in which it is stated.
pub(super) fn form(field: &Field, value: &Leaf) -> Option<&'static str> {
    let forms: &[&[&str]] = match field.kind {
        FieldKind::Thread => &[&["fine"], &["coarse"]],
        FieldKind::Quantity(_) => &[&["maximum", "max"], &["range"]],
        _ => return None,
    };
    let says = |form: &&&[&str]| form.iter().any(|word| word.eq_ignore_ascii_case(&value.text));
    forms.iter().find(says).map(|form| form[0])
}

/// A value that the field may have.
fn example_of(field: &Field) -> &'static str {
    match field.kind {
        FieldKind::Choice(words) => words.first().copied().unwrap_or("head"),
        FieldKind::Thread => "M10x1.5",
        FieldKind::Lube => "moly",
        FieldKind::Strength => "10.9",
        _ => match field.name {
            "assembly" | "joint" | "part" => "head",
            _ => "none",
        },
    }
}

/// Quoted text where a measure is wanted.
enum Unquoted {
    Single(Leaf),
    Range(Leaf, Leaf),
}

/// What quoted text says in the notation of measures; none for what is not
/// quoted, or says nothing in it.
fn unquoted(value: &Leaf) -> Option<Unquoted> {
    if value.read != Read::Quoted {
        return None;
    }
    let leaf = |said: QuotedValue| {
        let read = match said {
            QuotedValue::Number(number) => Read::Number(number),
            QuotedValue::Quantity(quantity) => Read::Quantity(quantity),
            QuotedValue::Thread(pattern) => Read::Thread(pattern),
            QuotedValue::Range(..) => return None,
        };
        Some(Leaf { text: value.text.clone(), read, place: value.place })
    };
    match read_quoted(&value.text)? {
        QuotedValue::Range(low, high) => Some(Unquoted::Range(leaf(*low)?, leaf(*high)?)),
        single => leaf(single).map(Unquoted::Single),
    }
}

/// A field that holds words, a thread or a name.
fn word((field, typed): Asked<'_>, value: &Leaf, names: Names<'_>) -> Result<Test, ResolveError> {
    match field.kind {
        FieldKind::Thread => thread(value).map(|pattern| Test::ThreadIn(field, pattern)),
        FieldKind::Choice(words) => choice(field, words, value),
        _ => match names::of_field(field, typed, &value.text, names) {
            Some(name) => Ok(Test::Named(field, name)),
            None if is_table(field) => Err(unknown_name(field, value, names)),
            None => Ok(Test::Says(field, names::text_of(field, value))),
        },
    }
}

/// Lubes and strengths are tables: a name that is not in them is a mistake.
fn is_table(field: &Field) -> bool {
    matches!(field.kind, FieldKind::Lube | FieldKind::Strength)
}

fn unknown_name(field: &'static Field, value: &Leaf, names: Names<'_>) -> ResolveError {
    let what = if field.kind == FieldKind::Lube { "lube" } else { "strength" };
    let known = name_of(field).map(|of| names.vocabulary.spellings(of));
    ResolveError::UnknownName {
        what,
        found: value.text.clone(),
        nearest: known.and_then(|known| nearest(&value.text, known)).map(str::to_owned),
        span: value.place.0,
    }
}

fn choice(
    field: &'static Field,
    words: &'static [&'static str],
    value: &Leaf,
) -> Result<Test, ResolveError> {
    let found = names::choice_word(field, &value.text);
    found.map(|word| Test::Choice(field, word)).ok_or_else(|| ResolveError::BadValue {
        found: value.text.clone(),
        field: field.name,
        expected: format!("one of: {}", words.join(", ")),
        nearest: nearest(&fold_name(&value.text), words.iter().copied()).map(str::to_owned),
        span: value.place.0,
    })
}

/// A thread, or quoted text read as one.
pub(super) fn thread(value: &Leaf) -> Result<Pattern, ResolveError> {
    match &value.read {
        Read::Thread(pattern) => Ok(pattern.clone()),
        _ => Pattern::parse(&value.text).map_err(|error| ResolveError::BadValue {
            found: value.text.clone(),
            field: "thread",
            expected: format!("a thread such as 7/16-20 or M10x1.5 ({error})"),
            nearest: None,
            span: value.place.0,
        }),
    }
}

/// A quantity, share or number.
fn measured(field: &'static Field, relation: Relation, value: &Leaf) -> Result<Test, ResolveError> {
    let asked = || format!("{} {} {}", field.name, relation.spelling(), value.text);
    if let (FieldKind::Number, Read::Number(number), Some(left)) =
        (field.kind, &value.read, Expr::field(field))
    {
        let right = Expr::constant(number.value(), Dimension::Ratio);
        let slack = equal::number_slack(*number);
        return Ok(compared(Compare { left, relation, right, slack, asked: asked() }));
    }
    let quantity = quantity(field, value)?;
    let dimension = quantity.dimension();
    let left = Expr::field(field).ok_or_else(|| wrong_dimension(field, value, quantity))?;
    if left.powers != Powers::measuring(dimension) {
        return Err(wrong_dimension(field, value, quantity));
    }
    let right = Expr::constant(quantity.base(), dimension);
    let slack = equal::slack(quantity, sort_of(field, quantity));
    Ok(compared(Compare { left, relation, right, slack, asked: asked() }))
}

/// How figures of `field` are equal.
pub(super) fn sort_of(field: &Field, quantity: Quantity) -> equal::Sort {
    match field.kind {
        FieldKind::Share => equal::Sort::Share,
        FieldKind::Number => equal::Sort::Number,
        _ => equal::Sort::Quantity(quantity.dimension()),
    }
}

/// `!=` is the opposite of `=`.
pub(super) fn compared(compare: Compare) -> Test {
    match compare.relation {
        Relation::NotEqual => {
            let asked = compare.asked.replacen(Relation::NotEqual.spelling(), "=", 1);
            let equal = Compare { relation: Relation::Equal, asked, ..compare };
            Test::Not(Box::new(Test::Compare(equal)))
        }
        _ => Test::Compare(compare),
    }
}

/// The value as a quantity, or what is wrong with it for this field.
pub(super) fn quantity(field: &'static Field, value: &Leaf) -> Result<Quantity, ResolveError> {
    match (&value.read, field.kind) {
        (Read::Quantity(quantity), _) => Ok(*quantity),
        // `size over M10`: the diameter that a thread is named by.
        (Read::Thread(pattern), _) if field.name == "size" => Ok(nominal(pattern)),
        (Read::Number(_), FieldKind::Share) => Err(ResolveError::NoPercent {
            number: value.text.clone(),
            field: field.name,
            span: value.place.0,
        }),
        (Read::Number(number), FieldKind::Quantity(dimension)) => Err(ResolveError::NoUnit {
            number: value.text.clone(),
            field: field.name,
            readings: readings(*number, dimension),
            span: value.place.0,
        }),
        _ => Quantity::parse(&value.text).map_err(|error| ResolveError::BadValue {
            found: value.text.clone(),
            field: field.name,
            expected: format!("{} with its unit ({error})", a(kind_name(field))),
            nearest: None,
            span: value.place.0,
        }),
    }
}

/// The diameter by which a thread is called.
fn nominal(pattern: &Pattern) -> Quantity {
    const PLACES: u8 = 4;
    let length = pattern.size().length();
    Quantity::rounded(length, MILLIMETRE, PLACES).expect("a thread has a diameter")
}

/// The readings of a number without a unit, in the units that the trade uses
/// for `dimension`: each with its value in the other system.
pub(super) fn readings(number: Number, dimension: Dimension) -> Vec<String> {
    let pair = match dimension {
        Dimension::Torque => ["lb-ft", "N·m"],
        Dimension::Force => ["lbf", "kN"],
        Dimension::Length => ["in", "mm"],
        Dimension::Stress => ["ksi", "MPa"],
        Dimension::Area => ["in²", "mm²"],
        Dimension::Angle => ["°", "turn"],
        Dimension::TemperatureDifference => ["K", "°F"],
        Dimension::Ratio => ["%", "%"],
    };
    let reading = |unit: &str, other: &str| {
        let (unit, other) = (find_unit(unit)?, find_unit(other)?);
        let read = Quantity::new(number, unit);
        let value = read.base() / other.factor;
        // As tables round: enough to tell the readings apart, no more.
        let places = usize::from(value < 20.0) + usize::from(value < 1.0);
        Some(format!("{read} = {value:.places$} {}", other.symbol))
    };
    [reading(pair[0], pair[1]), reading(pair[1], pair[0])].into_iter().flatten().collect()
}

/// "torque" for a field of torque, "number" for a count.
pub(super) fn kind_name(field: &Field) -> &'static str {
    match field.kind {
        FieldKind::Quantity(dimension) => dimension.name(),
        FieldKind::Share => "percentage",
        FieldKind::Number => "number",
        FieldKind::Thread => "thread",
        FieldKind::Flag => "yes or no",
        _ => "text",
    }
}

pub(super) fn wrong_dimension(
    field: &'static Field,
    value: &Leaf,
    quantity: Quantity,
) -> ResolveError {
    ResolveError::Dimension {
        found: value.text.clone(),
        is: quantity.dimension().name().into(),
        with: field.name.to_owned(),
        wanted: kind_name(field).into(),
        other: field_for(quantity.dimension()).filter(|other| *other != field.name),
        span: value.place.0,
    }
}

/// The field that a quantity without one tests: a torque `torque`, a force
/// `clamp`, a length `length`, a share nothing.
pub(super) fn field_for(dimension: Dimension) -> Option<&'static str> {
    match dimension {
        Dimension::Torque => Some("torque"),
        Dimension::Force => Some("clamp"),
        Dimension::Length => Some("length"),
        Dimension::Angle => Some("angle"),
        Dimension::Stress => Some("stress"),
        Dimension::Area => Some("area"),
        Dimension::TemperatureDifference | Dimension::Ratio => None,
    }
}

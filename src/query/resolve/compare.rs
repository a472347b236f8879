//! Ranges, and comparisons of two sums.

use crate::quantity::{Dimension, Quantity};
use crate::query::resolve::{
    Compare, Expr, Names, ResolveError, Test, coherent, date, equal, expr, value,
};
use crate::query::syntax::{Compared, Leaf, Place, Read, Relation, Sum};
use crate::record::{Field, FieldKind, find_field};

/// `FIELD low..high`; what is equal to an end is inside.
pub(super) fn range(field: &'static Field, low: &Leaf, high: &Leaf) -> Result<Test, ResolveError> {
    if date::is_date(field) {
        return date::range(field, low, high);
    }
    let left = Expr::field(field).ok_or(ResolveError::BadRelation {
        field: field.name,
        allowed: "one value: it has no range",
        example: format!("{} {}", field.name, low.text),
        span: high.place.0,
    })?;
    let (from, to) = match (&low.read, &high.read, field.kind) {
        (Read::Number(a), Read::Number(b), FieldKind::Number) => {
            ((a.value(), equal::number_slack(*a)), (b.value(), equal::number_slack(*b)))
        }
        _ => ends(field, low, high)?,
    };
    if from.0 > to.0 {
        let span = low.place.0.to(high.place.0);
        return Err(ResolveError::Reversed { turned: turned(low, high), span });
    }
    let asked = format!("{} {}..{}", field.name, low.text, high.text);
    Ok(Test::Within { left, low: from.0 - from.1, high: to.0 + to.1, asked })
}

/// A value in coherent units, and what may be between it and an equal one.
type End = (f64, f64);

/// Both ends; a bare number takes the unit of the high end.
fn ends(field: &'static Field, low: &Leaf, high: &Leaf) -> Result<(End, End), ResolveError> {
    let top = value::quantity(field, high)?;
    let bottom = match &low.read {
        Read::Number(number) => Quantity::new(*number, top.unit),
        _ => value::quantity(field, low)?,
    };
    for (leaf, found) in [(low, bottom), (high, top)] {
        let fits = match field.kind {
            FieldKind::Quantity(dimension) => found.dimension() == dimension,
            _ => found.dimension() == Dimension::Ratio,
        };
        if !fits {
            return Err(wrong_end(field, low, high, leaf, found));
        }
    }
    let scale = coherent(top.dimension());
    let end =
        |found: Quantity| (found.base() * scale, equal::slack(found, value::sort_of(field, found)));
    Ok((end(bottom), end(top)))
}

/// What is wrong with `end`; the unit after the second number is that of both,
/// so then the whole range is named.
fn wrong_end(
    field: &'static Field,
    low: &Leaf,
    high: &Leaf,
    end: &Leaf,
    found: Quantity,
) -> ResolveError {
    let is_shared = matches!(low.read, Read::Number(_)) && low.place.0 != high.place.0;
    if !is_shared {
        return value::wrong_dimension(field, end, found);
    }
    let text = format!("{}..{}", low.text, high.text);
    let place = Place(low.place.0.to(high.place.0));
    value::wrong_dimension(field, &Leaf { text, place, ..high.clone() }, found)
}

/// The range with its ends exchanged, the unit where it was.
fn turned(low: &Leaf, high: &Leaf) -> String {
    let said = |leaf: &Leaf| match &leaf.read {
        Read::Number(number) => number.to_string(),
        Read::Quantity(quantity) => quantity.to_string(),
        _ => leaf.text.clone(),
    };
    match (&low.read, &high.read) {
        (Read::Number(_), Read::Quantity(quantity)) => {
            let unit = said(high).replacen(&quantity.number.to_string(), "", 1);
            format!("{}..{}{unit}", quantity.number, said(low))
        }
        _ => format!("{}..{}", said(high), said(low)),
    }
}

/// `sum REL sum`; a field against a value is a test of that field, whichever
/// of the two stands first.
pub(super) fn sums(
    left: &Sum,
    compared: Compared,
    right: &Sum,
    names: Names<'_>,
) -> Result<Test, ResolveError> {
    let relation = compared.relation;
    // Where the relation does not fit, it is what the caret stands under.
    let at_relation = |error| match error {
        ResolveError::BadRelation { field, allowed, example, .. } => {
            ResolveError::BadRelation { field, allowed, example, span: compared.place.0 }
        }
        ResolveError::ByProof { name, instead, .. } => {
            let place = |sum: &Sum| sum.single().map_or(compared.place.0, |leaf| leaf.place.0);
            ResolveError::ByProof { name, instead, span: place(left).to(place(right)) }
        }
        other => other,
    };
    if let Some((field, value)) = field_and_value(left, right) {
        return value::test(field, relation, value, names).map_err(at_relation);
    }
    if let Some((field, value)) = field_and_value(right, left) {
        return value::test(field, mirrored(relation), value, names).map_err(at_relation);
    }
    let (left_sum, right_sum) = (expr::sum(left)?, expr::sum(right)?);
    if left_sum.powers != right_sum.powers {
        return Err(ResolveError::Dimension {
            found: words(right),
            is: right_sum.powers.in_words().into(),
            with: words(left),
            wanted: left_sum.powers.in_words().into(),
            other: None,
            span: right.place.0,
        });
    }
    // `40 over 6` says nothing of a row.
    if left_sum.is_constant() && right_sum.is_constant() {
        let span = right.single().map_or(compared.place.0, |leaf| leaf.place.0);
        return Err(ResolveError::BareNumber { number: words(right), name: None, span });
    }
    let slack = match right.single().map(|leaf| &leaf.read) {
        Some(Read::Quantity(quantity)) => {
            equal::slack(*quantity, equal::Sort::Quantity(quantity.dimension()))
        }
        Some(Read::Number(number)) => equal::sum_slack(*number),
        _ => 0.0,
    };
    let asked = format!("{left} {} {right}", relation.spelling());
    Ok(value::compared(Compare { left: left_sum, relation, right: right_sum, slack, asked }))
}

/// A field that stands alone on one side, as typed, and a value on the other.
fn field_and_value<'a>(
    field: &'a Sum,
    value: &'a Sum,
) -> Option<((&'static Field, &'a str), &'a Leaf)> {
    let Leaf { text, read: Read::Field, .. } = field.single()? else { return None };
    let value = value.single().filter(|leaf| leaf.read != Read::Field)?;
    Some(((find_field(text)?, text), value))
}

fn mirrored(relation: Relation) -> Relation {
    match relation {
        Relation::Under => Relation::Over,
        Relation::AtMost => Relation::AtLeast,
        Relation::Over => Relation::Under,
        Relation::AtLeast => Relation::AtMost,
        same @ (Relation::Equal | Relation::NotEqual | Relation::About) => same,
    }
}

/// A sum in a message: its only leaf as typed, else "this sum".
fn words(sum: &Sum) -> String {
    sum.single().map_or_else(|| "this sum".to_owned(), |leaf| leaf.text.clone())
}

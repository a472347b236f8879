//! One figure or two as one statement: a value, a range, a maximum, or the
//! same figure in two units.

use super::figures::{CellFigures, Joint, Value, unclear};
use super::token::{Keyword, Token, tokens};
use crate::intake::cells::Context;
use crate::intake::verdict::Problem;
use crate::quantity::{Extent, Kind, Number, NumberForm, Quantity, Stated, Unit};

/// One value, a range, `±`, or a maximum; and whether the ends were swapped.
pub(crate) fn extent<K: Kind>(
    cell: &str,
    figures: &CellFigures,
    values: &[Value],
) -> Result<(Extent<K>, bool), Problem> {
    let stated = |value: &Value| {
        let quantity = value.quantity().ok_or_else(|| unclear(cell, "a figure lacks its unit"))?;
        Stated::<K>::new(quantity).map_err(|wrong| {
            Problem::refused("wrong-kind", wrong.to_string(), "put it into its own column")
        })
    };
    if figures.says(Keyword::Min) {
        let advice = "give the range, or the value to aim at";
        return Err(Problem::refused(
            "minimum-only",
            format!("`{cell}` is only a minimum"),
            advice,
        ));
    }
    match values {
        [one] if figures.says(Keyword::Max) => Ok((Extent::AtMost(stated(one)?), false)),
        [one] => Ok((Extent::Exactly(stated(one)?), false)),
        [middle, half] if half.joint == Joint::PlusMinus => around(cell, middle, half),
        [low, high] if matches!(high.joint, Joint::Dash | Joint::Range) => {
            let (low, high) = (stated(low)?, stated(high)?);
            if low.value() <= high.value() {
                Ok((Extent::Between(low, high), false))
            } else {
                Ok((Extent::Between(high, low), true))
            }
        }
        _ => Err(unclear(cell, "several figures, and not how they belong together")),
    }
}

/// `70±5`: from 65 to 75.
fn around<K: Kind>(cell: &str, middle: &Value, half: &Value) -> Result<(Extent<K>, bool), Problem> {
    let fault = || unclear(cell, "the tolerance does not fit the figure");
    let (one, two) = (middle.quantity().ok_or_else(fault)?, half.quantity().ok_or_else(fault)?);
    let unit: &'static Unit = one.unit;
    if unit.dimension != two.dimension() || two.base() >= one.base() {
        return Err(fault());
    }
    let places = |number: Number| match number.form() {
        NumberForm::Decimal { places } => places,
        NumberForm::Fraction { .. } => 4,
    };
    let places = places(one.number).max(places(two.number));
    let end = |base: f64| {
        let number = Number::decimal(base / unit.factor, places);
        Stated::<K>::new(Quantity::new(number, unit)).map_err(|_| fault())
    };
    Ok((Extent::Between(end(one.base() - two.base())?, end(one.base() + two.base())?), false))
}

/// A unit in the cell that is not the heading's.
pub(crate) fn other_unit(figures: &CellFigures, context: Context) -> Option<String> {
    let heading = context.unit?;
    let other = figures.values.iter().filter_map(Value::unit).find(|unit| {
        unit.dimension == heading.dimension && *unit != heading && Some(*unit) != context.second
    })?;
    Some(format!("the cell says {}, the column {}", other.symbol, heading.symbol))
}

/// The same figure in a second unit, `65 lb-ft (88 N·m)`, `65/88` under a
/// heading with two units: it must agree and is then left out.
pub(crate) fn drop_second_unit(
    cell: &str,
    figures: &mut CellFigures,
    context: Context,
) -> Result<(), Problem> {
    let mut kept = Vec::new();
    for note in std::mem::take(&mut figures.notes) {
        let first = figures.values.first().and_then(Value::quantity);
        match (first, quantity_in(&note, context)) {
            (Some(first), Some(second)) if first.dimension() == second.dimension() => {
                agree(cell, first, second)?;
            }
            _ => kept.push(note),
        }
    }
    figures.notes = kept;
    drop_second_half(cell, figures)?;
    let Some((one, others)) = figures.values.split_first() else { return Ok(()) };
    let heading_has_two = context.second.is_some() && context.unit == one.unit();
    let other = |two: &Value| {
        let units_differ = one.unit() != two.unit();
        let unit = two.unit().filter(|_| units_differ);
        let unit = unit.or(context.second.filter(|_| heading_has_two && others.len() == 1))?;
        let is_again =
            two.joint == Joint::Slash && Some(unit.dimension) == one.unit()?.dimension.into();
        is_again.then(|| Quantity::new(two.number, unit))
    };
    let again: Vec<Quantity> = others.iter().map_while(other).collect();
    let count = again.len();
    let is_turned = others[count..].iter().all(|two| two.joint == Joint::Plus);
    if let Some(first) = one.quantity().filter(|_| is_turned) {
        again.into_iter().try_for_each(|other| agree(cell, first, other))?;
        figures.values.drain(1..=count);
    }
    Ok(())
}

/// A range or steps in a second unit, `310-330 N·m / 229-243 lb-ft`: each figure must agree
/// with the one that it repeats.
fn drop_second_half(cell: &str, figures: &mut CellFigures) -> Result<(), Problem> {
    let half = figures.values.len() / 2;
    let (one, two) = figures.values.split_at(half);
    let unit_of = |half: &[Value]| {
        let unit = half.first()?.unit()?;
        half.iter().all(|value| value.unit() == Some(unit)).then_some(unit)
    };
    let (Some(first), Some(second)) = (unit_of(one), unit_of(two)) else { return Ok(()) };
    let is_again = half > 1
        && two.len() == half
        && first != second
        && first.dimension == second.dimension
        && two[0].joint == Joint::Slash
        && one[1..].iter().zip(&two[1..]).all(|(one, two)| one.joint == two.joint);
    if !is_again {
        return Ok(());
    }
    for (one, two) in one.iter().zip(two) {
        if let (Some(one), Some(two)) = (one.quantity(), two.quantity()) {
            agree(cell, one, two)?;
        }
    }
    figures.values.truncate(half);
    Ok(())
}

/// A bracket that holds one figure with its unit, or a bare one under a
/// heading with two units.
fn quantity_in(note: &str, context: Context) -> Option<Quantity> {
    let found = tokens(note, context, false).ok()?;
    match (found.as_slice(), context.second) {
        ([Token::Number(number), Token::Unit(unit)], _) => Some(Quantity::new(*number, unit)),
        ([Token::Number(number)], Some(unit)) => Some(Quantity::new(*number, unit)),
        _ => None,
    }
}

fn agree(cell: &str, first: Quantity, second: Quantity) -> Result<(), Problem> {
    let slack = first.half_step() + second.half_step() + 0.005 * first.base().abs();
    if (first.base() - second.base()).abs() <= slack {
        return Ok(());
    }
    let wanted = Number::decimal(first.base() / second.unit.factor, 0);
    Err(Problem::refused(
        "units-disagree",
        format!("`{cell}`: {first} is {wanted} {}, not {second}", second.unit.symbol),
        "find out which of the two is meant",
    ))
}

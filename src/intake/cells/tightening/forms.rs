//! Units that the form of a figure says although they are not written, each
//! with a warning. The size of a figure never says its unit.

use super::cell::{Tightening, Wanted};
use super::figures::{CellFigures, Sort, Value};
use super::token::Keyword;
use crate::intake::cells::Context;
use crate::intake::verdict::{Problem, Reading, Taken};
use crate::quantity::{DEGREE, Dimension, INCHES, NumberForm, find_unit};

/// `240 in` and `20 ft` in a torque column: the pound is missing.
pub(crate) fn missing_pound(
    figures: &mut CellFigures,
    wanted: Wanted,
    mut taken: Taken<Tightening>,
) -> Reading<Tightening> {
    if wanted == Wanted::Stretch || figures.says(Keyword::Stretch) {
        return Ok(taken);
    }
    for value in &mut figures.values {
        let symbol = value.unit().map_or("", |unit| unit.symbol);
        let levered = match symbol {
            "in" => "lb-in",
            "ft" => "lb-ft",
            _ => continue,
        };
        // Three decimals of an inch are how a stretch is written.
        if matches!(value.number.form(), NumberForm::Decimal { places } if places >= 3) {
            let readings = vec![format!("stretch {} in", value.number)];
            let reason = format!("`{} {symbol}` is a length in a torque column", value.number);
            return Err(Problem::question("length-as-torque", reason, readings));
        }
        if let Some(unit) = find_unit(levered) {
            value.sort = Sort::In(unit);
            let reason = format!("`{symbol}` lacks its pound");
            taken = taken.warn("missing-pound", reason, "write the unit in full");
        }
    }
    Ok(taken)
}

/// `.0055`: inches are what is written with a bare point and three decimals or
/// more. The form says it, not the size.
pub(crate) fn inch_by_form(
    cell: &str,
    figures: &mut CellFigures,
    dimension: Dimension,
    context: Context,
    taken: Taken<Tightening>,
) -> Taken<Tightening> {
    let has_unit = context.unit.is_some_and(|unit| unit.dimension == Dimension::Length);
    let bare = |value: &Value| value.sort == Sort::Bare;
    if dimension != Dimension::Length || has_unit || !figures.values.iter().all(bare) {
        return taken;
    }
    let pointed = |word: &str| word.starts_with('.') && word.len() > 3;
    let is_inch_form = cell
        .split(|c: char| !(c.is_ascii_digit() || c == '.'))
        .filter(|word| word.chars().any(|c| c.is_ascii_digit()))
        .flat_map(|word| word.split(".."))
        .all(pointed);
    if !is_inch_form {
        return taken;
    }
    for value in &mut figures.values {
        value.sort = Sort::In(INCHES);
    }
    taken.warn("inch-by-form", "inches are what is written with a bare point", "write the unit")
}

/// A whole number in an angle column is degrees; a fraction may be turns.
pub(crate) fn degrees_by_form(figures: &mut CellFigures, dimension: Dimension) {
    if dimension != Dimension::Angle {
        return;
    }
    for value in &mut figures.values {
        let whole = value.number.form() == NumberForm::Decimal { places: 0 };
        if whole && value.sort == Sort::Bare {
            value.sort = Sort::In(DEGREE);
        }
    }
}

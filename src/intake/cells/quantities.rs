//! A single quantity: a length, a stress, a prevailing or snug torque, a share.

use super::Context;
use super::numbers::{bad_number, is_letter_number, letter, take_number, turned_into_date};
use super::units::{take_unit_spelled, unit_spelled};
use crate::intake::verdict::{Problem, Reading, Taken};
use crate::quantity::{
    DecimalMark, Dimension, INCHES, Kind, Number, NumberForm, Quantity, Ratio, Stated, Unit,
};
use crate::text::{Plain, with_fractions};

/// Reads `3.5 in`, `3-1/2"`, `180 ksi`, `80` under a heading with a unit; text
/// in brackets is left to the caller as a note.
pub(crate) fn read_quantity<K: Kind>(cell: &str, context: Context) -> Reading<Stated<K>> {
    let cell = with_fractions(cell);
    let plain = Plain::new(&cell);
    let text = plain.as_str().trim();
    if let Some(date) = turned_into_date(text, "/") {
        return Err(date);
    }
    let (body, mut note) = split_note(text);
    // `180 [ksi]`: the unit in a bracket is the unit.
    let bracketed = note.and_then(unit_spelled).map(|(unit, _)| unit);
    let context = match bracketed {
        Some(unit) if unit.dimension != K::DIMENSION => {
            let (is, wanted) = (unit.dimension.name(), K::DIMENSION.name());
            let reason = format!("{} is a {is}, a {wanted} was expected", unit.symbol);
            return Err(Problem::refused("wrong-kind", reason, "put it into its own column"));
        }
        Some(unit) => {
            note = None;
            Context { unit: Some(unit), ..context }
        }
        None => context,
    };
    let about = ["approx.", "approx", "about", "ca.", "~", "≈"];
    let lower = body.to_ascii_lowercase();
    let prefix = about.iter().find(|word| lower.starts_with(**word)).map_or(0, |word| word.len());
    let body = body[prefix..].trim_start();
    let (number, length) = take_any_number(body, context.mark)?;
    let rest = &body[length..];
    let (unit, slip, tail) = unit_of::<K>(number, rest, context)?;
    let quantity = Quantity::new(number, unit);
    let stated = Stated::<K>::new(quantity).map_err(|wrong| {
        Problem::refused("wrong-kind", wrong.to_string(), "put it into its own column")
    })?;
    if number.value() == 0.0 {
        let advice = "leave the cell empty where nothing is stated";
        return Err(Problem::refused("zero", format!("`{text}` is nothing"), advice));
    }
    let mut taken = Taken::plain(stated);
    if slip {
        taken = taken.warn("unit-slip", "not how the unit is written", "write the unit in full");
    }
    if prefix > 0 {
        taken = taken.warn("about", "the figure is called approximate", "check it");
    }
    trailing(text, tail, note, taken)
}

fn trailing<T>(text: &str, tail: &str, note: Option<&str>, mut taken: Taken<T>) -> Reading<T> {
    match tail.trim() {
        "" => {}
        mark @ ("*" | "†" | "‡") => {
            let reason = format!("the mark {mark} points to a footnote that is not here");
            taken = taken.warn("footnote", reason, "look it up on the sheet");
        }
        words => {
            let reason = format!("`{words}` is not understood after the figure");
            return Err(Problem::question(
                "unknown-words",
                reason,
                vec![text.replacen(words, &format!("({words})"), 1)],
            ));
        }
    }
    Ok(match note {
        Some(note) => taken.echo("note", format!("`{note}` beside the figure")),
        None => taken,
    })
}

/// Text up to a bracket, and what stands in it.
fn split_note(text: &str) -> (&str, Option<&str>) {
    match text.split_once(['(', '[']) {
        Some((body, note)) => (body.trim_end(), Some(note.trim_end_matches([')', ']']).trim())),
        None => (text, None),
    }
}

/// A decimal or a fraction, `3-1/2` too.
fn take_any_number(text: &str, mark: DecimalMark) -> Result<(Number, usize), Problem> {
    let word: String = text.chars().take_while(char::is_ascii_alphanumeric).collect();
    if !word.starts_with(|c: char| c.is_ascii_digit()) && is_letter_number(&word) {
        return Err(letter(&word));
    }
    if !text.starts_with(|c: char| c.is_ascii_digit() || c == '.') {
        return Err(Problem::refused(
            "not-a-figure",
            format!("`{text}` is not a figure with its unit"),
            "write a number with its unit, or leave the cell empty and put words into the notes",
        ));
    }
    let fraction = Number::take(text, DecimalMark::Point).map_err(|error| bad_number(&error));
    match fraction {
        Ok((number, length)) if matches!(number.form(), NumberForm::Fraction { .. }) => {
            Ok((number, length))
        }
        Err(problem) if text.contains('/') => Err(problem),
        _ => take_number(text, text, mark, false),
    }
}

/// The unit after `number`, or the column's; whether its spelling is a slip;
/// and what follows.
fn unit_of<'a, K: Kind>(
    number: Number,
    rest: &'a str,
    context: Context,
) -> Result<(&'static Unit, bool, &'a str), Problem> {
    if let Some((unit, length, slip)) = take_unit_spelled(rest) {
        return Ok((unit, slip, &rest[length..]));
    }
    let mark = |rest: &str| matches!(rest, "" | "*" | "†" | "‡");
    if !mark(rest.trim()) {
        let reason = format!("`{}` is not understood after {number}", rest.trim());
        let advice = "write one figure with its unit; put words into the notes";
        return Err(Problem::refused("unknown-words", reason, advice));
    }
    let fits = |unit: &&'static Unit| unit.dimension == K::DIMENSION;
    if let Some(unit) = context.unit.filter(fits) {
        return Ok((unit, false, rest));
    }
    let is_fraction = matches!(number.form(), NumberForm::Fraction { .. });
    if is_fraction && K::DIMENSION == Dimension::Length {
        return Ok((INCHES, false, rest));
    }
    let units = candidates(K::DIMENSION);
    let readings: Vec<String> = units.iter().map(|unit| format!("{number} {unit}")).collect();
    let reason = format!("{number} has no unit");
    let advice = format!("put the unit in the cell or the heading: {}", readings.join(" or "));
    Err(Problem::question("no-unit", reason, readings).advise(advice))
}

fn candidates(dimension: Dimension) -> &'static [&'static str] {
    match dimension {
        Dimension::Torque => &["lb-ft", "N·m", "lb-in"],
        Dimension::Length => &["mm", "in"],
        Dimension::Stress => &["ksi", "MPa", "psi"],
        Dimension::Angle => &["°", "turn"],
        Dimension::Ratio => &["%"],
        Dimension::Force => &["kN", "lbf"],
        Dimension::Area => &["mm²", "in²"],
        Dimension::TemperatureDifference => &["K", "°F"],
    }
}

/// Reads a tolerance: `5%`, `±5 %`, `+/- 5%`.
pub(crate) fn read_share(cell: &str, context: Context) -> Reading<Stated<Ratio>> {
    let plain = Plain::new(cell);
    let text = plain.as_str().trim();
    let bare = ["±", "+/-", "+-"].iter().find_map(|sign| text.strip_prefix(sign)).unwrap_or(text);
    read_quantity(bare.trim(), context)
}

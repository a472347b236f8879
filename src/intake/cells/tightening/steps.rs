//! What the figures of a cell say together: one torque, a range, passes,
//! angles, a stretch.

use super::cell::{Tightening, Wanted};
use super::extents::{drop_second_unit, extent, other_unit};
use super::figures::{CellFigures, Joint, Value, unclear};
use super::forms::{degrees_by_form, inch_by_form, missing_pound};
use super::token::{Keyword, Token};
use crate::intake::cells::Context;
use crate::intake::verdict::{Problem, Reading, Taken};
use crate::intake::words::THEN;
use crate::quantity::{DecimalMark, Dimension, Extent, Number, Quantity, Stated, Torque};
use crate::record::{Method, Pass};

/// Reads the tokens of one lube.
pub(crate) fn read_steps(
    cell: &str,
    tokens: &[Token],
    wanted: Wanted,
    context: Context,
) -> Reading<Tightening> {
    let mut figures = CellFigures::read(tokens);
    if figures.is_negative && !figures.values.is_empty() {
        let advice = "leave the dash out; a range is written 65..70";
        return Err(Problem::refused("negative", format!("`{cell}` starts with a minus"), advice));
    }
    if figures.values.is_empty() {
        return without_figure(cell, &figures);
    }
    if !figures.unknown.is_empty() {
        return Err(unknown_words(cell, tokens, wanted, context, &figures));
    }
    figures.settle(cell)?;
    let mut taken = Taken::plain(Tightening::default());
    taken = missing_pound(&mut figures, wanted, taken)?;
    let is_stretch = wanted == Wanted::Stretch || figures.says(Keyword::Stretch);
    let dimension = match wanted {
        _ if is_stretch => Dimension::Length,
        Wanted::Angle => Dimension::Angle,
        _ => Dimension::Torque,
    };
    taken = inch_by_form(cell, &mut figures, dimension, context, taken);
    degrees_by_form(&mut figures, dimension);
    refuse_serial(cell, &figures)?;
    ask_added(cell, &figures, wanted, context)?;
    if let Some(warning) = figures.fill_units(dimension, context)? {
        taken = taken.warn("no-lever", warning, "write the unit in full");
    }
    for (written, unit) in &figures.slips {
        let reason = format!("`{written}` taken for {}", unit.symbol);
        taken = taken.warn("unit-slip", reason, "a torque is a force times a lever, not per lever");
    }
    let said = other_unit(&figures, context);
    taken = said.into_iter().fold(taken, |taken, reason| {
        taken.warn("other-unit", reason, "check that the cell is right, not the heading")
    });
    drop_second_unit(cell, &mut figures, context)?;
    open_below(&mut figures);
    refuse_zero(&figures)?;
    if is_stretch {
        taken = stretch(cell, &figures, taken)?;
    } else {
        taken = match wanted {
            Wanted::Passes => passes(cell, &figures, taken)?,
            _ => torque(cell, &figures, wanted, taken)?,
        };
    }
    Ok(remarks(&figures, taken))
}

/// `0..33`, as programs write a maximum.
fn open_below(figures: &mut CellFigures) {
    if let [low, high] = figures.values.as_mut_slice()
        && low.number.value() == 0.0
        && high.number.value() > 0.0
        && high.is(Dimension::Torque)
        && matches!(high.joint, Joint::Dash | Joint::Range)
    {
        high.joint = Joint::Blank;
        figures.values.remove(0);
        figures.keys.push(Keyword::Max);
    }
}

fn refuse_zero(figures: &CellFigures) -> Result<(), Problem> {
    match figures.values.iter().find(|value| value.number.value() == 0.0) {
        None => Ok(()),
        Some(zero) => {
            let reason = format!("`{}` is no figure to tighten to", zero.number);
            let advice = "leave the cell empty where nothing is stated";
            Err(Problem::refused("zero", reason, advice))
        }
    }
}

/// A cell with words only.
fn without_figure(cell: &str, figures: &CellFigures) -> Reading<Tightening> {
    let marked = figures.says(Keyword::SingleUse) || figures.says(Keyword::ToYield);
    if !marked || !figures.unknown.is_empty() {
        return Err(Problem::refused(
            "not-a-figure",
            format!("`{cell}` is not a figure to tighten to"),
            "leave the cell empty and put the words into the notes column",
        ));
    }
    let tightening = Tightening {
        method: figures.says(Keyword::ToYield).then_some(Method::TorqueAngle),
        single_use: figures.says(Keyword::SingleUse),
        ..Tightening::default()
    };
    let taken = Taken::plain(tightening);
    Ok(taken.warn("incomplete", "no figure to tighten to", "fill it in from the sheet"))
}

fn unknown_words(
    cell: &str,
    tokens: &[Token],
    wanted: Wanted,
    context: Context,
    figures: &CellFigures,
) -> Problem {
    let words = figures.unknown.join(" ");
    let known: Vec<Token> =
        tokens.iter().filter(|token| !matches!(token, Token::Unknown(_))).cloned().collect();
    let reason = format!("`{words}` is not understood beside a figure");
    match read_steps(cell, &known, wanted, context) {
        Ok(taken) => {
            let reading = format!("{} ({words})", taken.value);
            Problem::question("unknown-words", reason, vec![reading])
        }
        Err(_) => Problem::refused("unknown-words", reason, "put words into the notes column"),
    }
}

/// `44167`: the serial number of a date, not a torque.
fn refuse_serial(cell: &str, figures: &CellFigures) -> Result<(), Problem> {
    let is_serial = |value: &&Value| {
        let number = value.number.value();
        value.unit().is_none() && number.fract() == 0.0 && (20_000.0..=60_000.0).contains(&number)
    };
    if figures.values.len() == 1 && figures.values.iter().any(|value| is_serial(&value)) {
        let reason = format!("`{}` looks like the serial number of a date", cell.trim());
        let advice = "type the figure again as text, with its unit";
        return Err(Problem::refused("turned-into-date", reason, advice));
    }
    Ok(())
}

/// `60 + 90`, `45 then 90`: is what is added an angle?
fn ask_added(
    cell: &str,
    figures: &CellFigures,
    wanted: Wanted,
    context: Context,
) -> Result<(), Problem> {
    if wanted == Wanted::Stretch || wanted == Wanted::Angle {
        return Ok(());
    }
    then_an_angle(cell, figures, wanted, context)?;
    let added = |value: &&Value| value.joint == Joint::Plus && value.unit().is_none();
    let Some(value) = figures.values.iter().find(added) else { return Ok(()) };
    let readings: Vec<String> = figures
        .values
        .iter()
        .map(|value| match (value.joint, value.unit(), context.unit) {
            (Joint::Plus, None, _) => format!("+{}°", value.number),
            (_, Some(unit), _) | (_, None, Some(unit)) => {
                format!("{} {}", value.number, unit.symbol)
            }
            _ => value.number.to_string(),
        })
        .collect();
    let reason = format!("`{cell}`: is +{} an angle", value.number);
    Err(Problem::question("added-figure", reason, vec![readings.join(" ")]))
}

/// `45 then 90` without units: the second may be a torque or an angle.
fn then_an_angle(
    cell: &str,
    figures: &CellFigures,
    wanted: Wanted,
    context: Context,
) -> Result<(), Problem> {
    let [first, second] = figures.values.as_slice() else { return Ok(()) };
    let bare = first.unit().is_none() && second.unit().is_none() && wanted == Wanted::Torque;
    let is_turn =
        [30.0, 45.0, 60.0, 90.0, 120.0, 135.0, 180.0, 270.0].contains(&second.number.value());
    let lower = cell.to_lowercase();
    let is_then = THEN.iter().any(|word| lower.contains(word));
    if !bare || second.joint != Joint::Then || !is_turn || !is_then {
        return Ok(());
    }
    let unit = context.unit.map(|unit| format!(" {}", unit.symbol)).unwrap_or_default();
    let (one, two) = (first.number, second.number);
    let mut readings = vec![format!("{one}{unit} +{two}°")];
    if two.value() > one.value() {
        readings.push(format!("{one}{unit} then {two}{unit}"));
    }
    let reason = format!("`{}`: is {two} an angle or a torque", cell.trim());
    Err(Problem::question("added-figure", reason, readings))
}

fn stretch(cell: &str, figures: &CellFigures, mut taken: Taken<Tightening>) -> Reading<Tightening> {
    let (extent, swapped) = extent(cell, figures, &figures.values)?;
    taken.value.stretch = Some(extent);
    taken.value.method = Some(Method::Stretch);
    Ok(if swapped { warn_swapped(taken) } else { taken })
}

fn warn_swapped(taken: Taken<Tightening>) -> Taken<Tightening> {
    taken.warn("swapped", "the range runs downwards; its ends were swapped", "check the figures")
}

/// A torque or angle column.
fn torque(
    cell: &str,
    figures: &CellFigures,
    wanted: Wanted,
    mut taken: Taken<Tightening>,
) -> Reading<Tightening> {
    let split = figures.values.iter().position(|value| value.is(Dimension::Angle));
    let (torques, angles) = figures.values.split_at(split.unwrap_or(figures.values.len()));
    let torques = tolerance(torques, &mut taken);
    if wanted == Wanted::Angle && angles.iter().skip(1).any(|value| value.joint == Joint::Slash) {
        let each: Vec<String> = angles.iter().map(|value| format!("+{}°", value.number)).collect();
        let readings = std::iter::once(each.join(" ")).chain(each.iter().cloned()).collect();
        let reason =
            format!("`{cell}`: two turns one after the other, or one for each of two cases");
        return Err(Problem::question("several-figures", reason, readings));
    }
    for value in angles {
        let quantity = value.quantity().ok_or_else(|| unclear(cell, "a figure lacks its unit"))?;
        if value.joint == Joint::Range || (value.joint == Joint::Dash && angles.len() == 2) {
            return Err(unclear(cell, "a range of angles cannot be kept"));
        }
        let angle =
            Stated::new(quantity).map_err(|_| unclear(cell, "a torque stands after the angle"))?;
        taken.value.angles.push(angle);
    }
    if angles.is_empty() && wanted != Wanted::Angle {
        return plain_torque(cell, figures, torques, taken);
    }
    if figures.says(Keyword::Max) || figures.says(Keyword::Min) {
        return Err(unclear(cell, "a limit and an angle in one cell"));
    }
    taken.value.method = Some(if torques.is_empty() { Method::Angle } else { Method::TorqueAngle });
    if let Some(last) = torques.last() {
        if torques.len() == 2 && matches!(torques[1].joint, Joint::Dash | Joint::Range) {
            return Err(unclear(cell, "a range before an angle"));
        }
        taken.value.snug = last.quantity().and_then(|quantity| Stated::new(quantity).ok());
        if taken.value.snug.is_none() {
            return Err(unclear(cell, "the figure before the angle is not a torque"));
        }
    }
    if torques.len() > 1 {
        taken.value.passes = steps_of(cell, torques)?;
        taken.value.passes.extend(taken.value.angles.iter().copied().map(Pass::Turn));
        rising(cell, torques)?;
    }
    Ok(taken)
}

/// Takes `± 5%` off the end of `torques`.
fn tolerance<'a>(torques: &'a [Value], taken: &mut Taken<Tightening>) -> &'a [Value] {
    match torques {
        [rest @ .., last] if last.joint == Joint::PlusMinus && last.is(Dimension::Ratio) => {
            taken.value.tolerance = last.quantity().and_then(|quantity| Stated::new(quantity).ok());
            rest
        }
        all => all,
    }
}

fn plain_torque(
    cell: &str,
    figures: &CellFigures,
    torques: &[Value],
    mut taken: Taken<Tightening>,
) -> Reading<Tightening> {
    if torques.is_empty() {
        return Err(unclear(cell, "a tolerance without its torque"));
    }
    if torques.len() == 1 || torques.get(1).is_some_and(|v| v.joint == Joint::PlusMinus) {
        taken.value.torque = Some(extent(cell, figures, torques)?.0);
        return Ok(with_yield(figures, taken));
    }
    let joints: Vec<Joint> = torques.iter().skip(1).map(|value| value.joint).collect();
    if let [Joint::Dash | Joint::Range] = joints.as_slice() {
        let (extent, swapped) = extent(cell, figures, torques)?;
        taken.value.torque = Some(extent);
        return Ok(with_yield(figures, if swapped { warn_swapped(taken) } else { taken }));
    }
    let passes = steps_of(cell, torques)?;
    let written: Vec<String> = passes.iter().map(ToString::to_string).collect();
    let as_passes = written.join(" then ");
    // `20/50/70`: of three that rise nobody makes lubes or bolts.
    let are_steps = joints.len() > 1 && is_rising(torques);
    let plainly = |joint: &Joint| {
        matches!(joint, Joint::Dash | Joint::Comma | Joint::Then)
            || are_steps && *joint == Joint::Slash
    };
    let two_by_comma = joints.as_slice() == [Joint::Comma] && !figures.says(Keyword::Filler);
    if !joints.iter().all(plainly) || (two_by_comma && torques[0].unit() == torques[1].unit()) {
        return Err(ask_several(cell, torques, as_passes));
    }
    rising(cell, torques)?;
    taken.value.torque = Some(extent(cell, figures, &torques[torques.len() - 1..])?.0);
    taken.value.passes = passes;
    Ok(taken.echo("passes", "passes, the last one the torque"))
}

/// `65/70`, `40 70`: what the figures are is not said.
fn ask_several(cell: &str, torques: &[Value], as_passes: String) -> Problem {
    let mut readings = Vec::new();
    // `5-1/2`: a fraction, or passes that nobody would pull.
    if let Ok(number) = Number::parse(cell.trim(), DecimalMark::Point)
        && let Some(unit) = torques.first().and_then(Value::unit)
        && number.value() < 100.0
        && !is_rising(torques)
    {
        readings.push(format!("{} {}", number.value(), unit.symbol));
        let reason = format!("`{cell}`: a fraction");
        return Problem::question("fraction", reason, readings);
    }
    if let [one, two] = torques
        && let (Some(low), Some(high)) = (one.quantity(), two.quantity())
        && low.unit == high.unit
        && low.base() < high.base()
    {
        readings.push(format!("{}..{high}", low.number));
    }
    if is_rising(torques) {
        readings.push(as_passes);
    }
    let reason = format!("`{cell}`: a range, passes, two lubes or two bolts");
    if readings.is_empty() {
        return Problem::refused(
            "several-figures",
            reason,
            "two lubes or two bolts take a row each",
        );
    }
    let advice = format!(
        "write {}; two lubes or two bolts take a row each",
        readings.iter().map(|r| format!("`{r}`")).collect::<Vec<_>>().join(" or ")
    );
    Problem::question("several-figures", reason, readings).advise(advice)
}

/// A torque that is called "to yield" is only the start.
fn with_yield(figures: &CellFigures, mut taken: Taken<Tightening>) -> Taken<Tightening> {
    if !figures.says(Keyword::ToYield) {
        return taken;
    }
    if let Some(Extent::Exactly(torque)) = taken.value.torque.take() {
        taken.value.snug = Some(torque);
    }
    taken.value.method = Some(Method::TorqueAngle);
    taken.warn("incomplete", "torque to yield without its angle", "fill in the angle")
}

fn steps_of(cell: &str, values: &[Value]) -> Result<Vec<Pass>, Problem> {
    values
        .iter()
        .map(|value| {
            let quantity = value.quantity()?;
            match quantity.dimension() {
                Dimension::Torque => Stated::new(quantity).ok().map(Pass::Torque),
                Dimension::Ratio => Stated::new(quantity).ok().map(Pass::Share),
                Dimension::Angle => Stated::new(quantity).ok().map(Pass::Turn),
                _ => None,
            }
        })
        .collect::<Option<Vec<Pass>>>()
        .ok_or_else(|| {
            let advice = "write each pass as a torque, a share or an angle";
            Problem::refused("wrong-kind", format!("`{cell}` holds more than torques"), advice)
        })
}

fn is_rising(values: &[Value]) -> bool {
    let of = |dimension| {
        let found = values.iter().filter(move |value| value.is(dimension));
        found.filter_map(Value::quantity).map(Quantity::base).collect::<Vec<f64>>()
    };
    [Dimension::Torque, Dimension::Ratio]
        .into_iter()
        .all(|dimension| of(dimension).windows(2).all(|pair| pair[0] < pair[1]))
}

fn rising(cell: &str, values: &[Value]) -> Result<(), Problem> {
    if is_rising(values) {
        return Ok(());
    }
    let advice = "passes rise to the final value; put odd ones into the passes column";
    Err(Problem::refused("passes-not-rising", format!("`{cell}`: the steps do not rise"), advice))
}

/// A column of passes.
fn passes(cell: &str, figures: &CellFigures, mut taken: Taken<Tightening>) -> Reading<Tightening> {
    let values = &figures.values;
    let is_single = |value: &Value| !matches!(value.joint, Joint::PlusMinus | Joint::Range);
    if !values.iter().all(is_single) || figures.says(Keyword::Max) || figures.says(Keyword::Min) {
        return Err(unclear(cell, "passes are single figures, parted by commas"));
    }
    taken.value.passes = steps_of(cell, values)?;
    if figures.says(Keyword::Snug) {
        taken.value.passes.insert(0, Pass::Snug);
    }
    if is_rising(values) {
        return Ok(taken);
    }
    Ok(taken.warn("passes-not-rising", "the passes do not rise", "check them against the sheet"))
}

/// What the words around the figures ask for.
fn remarks(figures: &CellFigures, mut taken: Taken<Tightening>) -> Taken<Tightening> {
    taken.value.single_use = figures.says(Keyword::SingleUse);
    if figures.says(Keyword::About) {
        taken = taken.warn("about", "the figure is called approximate", "check it");
    }
    taken.marks.extend(figures.footnotes.iter().cloned());
    for note in &figures.notes {
        if note.chars().all(|c| c.is_ascii_digit()) && !note.is_empty() {
            taken.marks.push(note.clone());
        } else if !note.is_empty() {
            taken.value.notes.push(note.clone());
            taken = taken.echo("note", format!("`{note}` kept in the notes"));
        }
    }
    taken
}

/// Whether `torque` is the last torque among `passes`, where both are stated.
pub(crate) fn ends_in(passes: &[Pass], torque: Stated<Torque>) -> bool {
    let last = passes.iter().rev().find(|pass| !matches!(pass, Pass::Turn(_)));
    let last = match last {
        Some(Pass::Torque(last)) => Some(*last),
        _ => None,
    };
    last.is_none_or(|last| {
        let slack = torque.written().half_step() + last.written().half_step();
        (last.value().nm() - torque.value().nm()).abs() <= slack
    })
}

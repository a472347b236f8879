//! Cells that say how to tighten: one tightening for each lube that they name.
//!
//! `token` cuts the cell, `figures` gives each number its unit and what joins it
//! to the one before, `extents` and `steps` say what they are together; `cell` is
//! what comes out.

mod cell;
mod counts;
mod extents;
mod figures;
mod forms;
mod phrases;
mod steps;
mod token;

use super::{Context, says_ditto, unit_spelled};
use crate::intake::verdict::{Problem, Reading, Taken};
use crate::intake::words::{BY_HAND, plain_words};
use crate::quantity::{DecimalMark, Dimension, find_unit};
use crate::record::{LubeClass, Pass};

pub(crate) use cell::{Tightening, Wanted, in_words};
pub(crate) use counts::passes_in_words;
use counts::{before_full, count_of_passes, is_of_passes, number_of, released};
pub(crate) use figures::NO_UNIT;
use figures::{NO_LEVER_KG, NO_LEVER_LB};
pub(crate) use steps::ends_in;
use steps::read_steps;
pub(crate) use token::turn_at;
use token::{Keyword, Token, tokens};

/// Reads a cell that says how to tighten.
pub(crate) fn read_tightening(
    cell: &str,
    wanted: Wanted,
    context: Context,
) -> Reading<Vec<Tightening>> {
    let mixed = (wanted == Wanted::Torque).then(|| mixed_number(cell, context.mark)).flatten();
    let found = read_with(mixed.as_deref().unwrap_or(cell), wanted, context);
    match found {
        Err(problem) => Err(match problem.code {
            NO_UNIT => ask_unit(cell, wanted, context, units_of(wanted), problem),
            NO_LEVER_LB => ask_unit(cell, wanted, context, &["lb-ft", "lb-in"], problem),
            NO_LEVER_KG => ask_unit(cell, wanted, context, &["kgf·m", "kgf·cm"], problem),
            "decimal-mark" => as_stored(wanted, context, problem),
            _ => problem,
        }),
        taken => taken,
    }
}

/// The question about a mark among digits, each reading with its unit as it would be stored.
fn as_stored(wanted: Wanted, context: Context, problem: Problem) -> Problem {
    let stored =
        |reading: &String| Some(in_words(&read_with(reading, wanted, context).ok()?.value));
    let readings = problem.readings.iter().flatten().map(stored).collect::<Option<Vec<_>>>();
    match readings {
        Some(readings) if !readings.is_empty() => {
            Problem::question(problem.code, problem.reason, readings)
        }
        _ => problem,
    }
}

/// `5½`, `7 1/2 ft-lb` with decimals in place of the fraction; a part of a turn stays one.
fn mixed_number(cell: &str, mark: DecimalMark) -> Option<String> {
    const PARTS: &[(&str, &str)] =
        &[("½", "5"), ("¼", "25"), ("¾", "75"), (" 1/2", "5"), (" 1/4", "25"), (" 3/4", "75")];
    let (at, part, decimals) =
        PARTS.iter().find_map(|(part, decimals)| cell.find(part).map(|at| (at, part, decimals)))?;
    let (whole, rest) = (&cell[..at], &cell[at + part.len()..]);
    let is_whole = !whole.is_empty() && whole.bytes().all(|c| c.is_ascii_digit());
    let rest = rest.trim();
    let is_end = rest.is_empty()
        || unit_spelled(rest).is_some_and(|(unit, _)| unit.dimension == Dimension::Torque);
    let point = if mark == DecimalMark::Comma { ',' } else { '.' };
    (is_whole && is_end).then(|| format!("{whole}{point}{decimals} {rest}").trim().to_owned())
}

/// Whether a torque cell holds words only: `hand tight`, `see note 3`.
fn is_in_words(cell: &str) -> bool {
    let folded = plain_words(cell);
    let points = ["see", "siehe", "voir", "ver", "vedi", "note", "nota", "refer", "acc"];
    let first = folded.split(' ').next().unwrap_or_default();
    let has_letters = folded.chars().filter(|c| c.is_alphabetic()).count() >= 2;
    let has_digit = folded.chars().any(|c| c.is_ascii_digit() || "½¼¾".contains(c));
    let is_date = crate::intake::cells::numbers::date_made_of(cell).is_some();
    if is_date || !has_letters {
        return false;
    }
    points.contains(&first)
        || BY_HAND.contains(&folded.as_str())
        || (!has_digit && !says_trade(&folded))
}

/// Words that the grammar itself understands without a figure.
fn says_trade(folded: &str) -> bool {
    let known = ["tty", "yield", "turn", "replace", "single", "discard", "new", "half", "quarter"];
    let letters = folded.replace(['o', 'l', 'i'], "");
    known.iter().any(|word| folded.split(' ').any(|one| one == *word))
        || letters.chars().all(|c| !c.is_alphabetic())
}

/// A torque cell of words only, read; none where it is anything else.
pub(crate) fn words_alone(cell: &str) -> Option<Taken<Vec<Tightening>>> {
    (!says_ditto(cell) && is_in_words(cell)).then(|| in_plain_words(cell))
}

/// No torque is stated: the words are kept, and the notes that they point at.
fn in_plain_words(cell: &str) -> Taken<Vec<Tightening>> {
    let one = Tightening { notes: vec![cell.trim().to_owned()], ..Tightening::default() };
    let reason = format!("`{}` is no torque: kept in the notes, none is stated", cell.trim());
    let mut taken =
        Taken::plain(vec![one]).warn("not-a-figure", reason, "fill it in if the sheet has one");
    let digits: String = cell.chars().filter(char::is_ascii_digit).collect();
    if !digits.is_empty() && digits.len() <= 2 {
        taken.marks.push(digits);
    }
    taken
}

/// `65 in 3`, `65 Nm in three steps`: the rest and how many passes.
fn in_passes(cell: &str) -> Option<(&str, u32)> {
    let lower = cell.to_lowercase();
    let at = [" in ", " en "].iter().find_map(|sign| lower.rfind(sign))?;
    let tail: Vec<&str> = lower.get(at + 4..)?.split_whitespace().collect();
    let (number, rest) = tail.split_first()?;
    let count = number_of(number)?;
    let is_step = |word: &&str| is_of_passes(word.trim_matches([',', '.']));
    let head = cell.get(..at)?.trim();
    let sound = rest.iter().all(is_step) && head.chars().any(|c| c.is_ascii_digit());
    sound.then_some((head, count))
}

fn units_of(wanted: Wanted) -> &'static [&'static str] {
    match wanted {
        Wanted::Torque | Wanted::Passes => &["lb-ft", "N·m"],
        Wanted::Angle => &["°", "turn"],
        Wanted::Stretch => &["in", "thou", "mm"],
    }
}

fn read_with(cell: &str, wanted: Wanted, context: Context) -> Reading<Vec<Tightening>> {
    if let Some(date) = super::numbers::turned_into_date(cell, "-") {
        return Err(date);
    }
    if says_ditto(cell) {
        return Err(Problem::refused(
            "ditto",
            format!("`{}` points at another cell", cell.trim()),
            "write the figure out",
        ));
    }
    let in_list = wanted == Wanted::Passes;
    if let Some(counted) = count_of_passes(cell).filter(|_| in_list) {
        return counted.map(|taken| taken.map(|one| vec![one]));
    }
    if in_list && let Some(parts) = released(cell) {
        return with_releases(cell, &parts, context);
    }
    if let Some(head) = before_full(cell).filter(|_| in_list) {
        let mut taken = read_with(head, wanted, context)?;
        if taken.value.iter().all(|one| !one.passes.is_empty()) {
            taken.value.iter_mut().for_each(|one| one.to_full = true);
            return Ok(taken);
        }
    }
    if !in_list && let Some((rest, count)) = in_passes(cell) {
        let mut taken = read_with(rest, wanted, context)?;
        taken.value.iter_mut().for_each(|one| one.count = Some(count));
        return Ok(taken);
    }
    let by_hand = || BY_HAND.contains(&plain_words(cell).as_str());
    if wanted == Wanted::Torque && is_in_words(cell) || in_list && by_hand() {
        return Ok(in_plain_words(cell));
    }
    let tokens = tokens(cell, context, in_list)?;
    let tokens = lift_notes(tokens, context);
    let slices = by_lube(cell, &tokens, context)?;
    let mut all = Taken::plain(Vec::new());
    let alone = slices.len() == 1;
    for (lube, slice) in slices {
        let taken = read_steps(cell, &slice, wanted, context)
            .map_err(|problem| of_slice(problem, lube.as_deref(), alone))?;
        let mut tightening = taken.value;
        tightening.lube = lube;
        all.value.push(tightening);
        all.marks.extend(taken.marks);
        for remark in taken.remarks {
            if !all.remarks.contains(&remark) {
                all.remarks.push(remark);
            }
        }
    }
    Ok(all)
}

/// `40, back off, 80`: the passes, and the words in the notes. Those that do not rise are
/// the ones after the last release, `60, back off, 60`, with how often it was pulled so.
fn with_releases(cell: &str, parts: &[&str], context: Context) -> Reading<Vec<Tightening>> {
    let read = parts.iter().map(|part| read_with(part, Wanted::Passes, context));
    let read: Vec<Vec<Tightening>> =
        read.map(|one| one.map(|taken| taken.value)).collect::<Result<_, _>>()?;
    let passes = |one: &Vec<Tightening>| {
        one.iter().flat_map(|one| one.passes.clone()).collect::<Vec<Pass>>()
    };
    let all: Vec<Vec<Pass>> = read.iter().map(passes).collect();
    let (last, before) = all.split_last().expect("a cell has a part after its release");
    let torque = |pass: &Pass| match pass {
        Pass::Torque(torque) => Some(torque.value()),
        _ => None,
    };
    let torques: Vec<_> = all.iter().flatten().filter_map(torque).collect();
    let rises = torques.windows(2).all(|pair| pair[0] < pair[1]);
    let is_again = before.iter().all(|one| one.last().is_some() && one.last() == last.last());
    let one = Tightening {
        passes: if rises { all.concat() } else { last.clone() },
        cycles: is_again.then(|| u32::try_from(before.len()).unwrap_or(u32::MAX)),
        notes: vec![format!("passes: {}", cell.trim())],
        ..Tightening::default()
    };
    let reason = format!("`{}`: released between; kept in the notes", cell.trim());
    Ok(Taken::plain(vec![one]).warn("released", reason, "look whether the passes say it"))
}

/// A question about the figure of one lube, as a question about the cell.
fn of_slice(mut problem: Problem, lube: Option<&str>, alone: bool) -> Problem {
    if matches!(problem.code, NO_UNIT | NO_LEVER_LB | NO_LEVER_KG) || problem.readings.is_none() {
        return problem;
    }
    if !alone {
        problem.readings = None;
        return problem.advise("give each lube its own row");
    }
    match lube {
        Some(lube) => problem.within(|reading| format!("{lube} {reading}")),
        None => problem,
    }
}

/// A bracket that holds a unit, a lube, a tolerance or a word of the trade is
/// part of the figure; other brackets stay notes.
fn lift_notes(found: Vec<Token>, context: Context) -> Vec<Token> {
    let mut out = Vec::with_capacity(found.len());
    for token in found {
        let Token::Note(note) = &token else {
            out.push(token);
            continue;
        };
        let after_number = matches!(out.last(), Some(Token::Number(_)));
        if let Some((unit, _)) = unit_spelled(note).filter(|_| after_number) {
            out.push(Token::Unit(unit));
            continue;
        }
        let inside = tokens(note, context, false).unwrap_or_default();
        match inside.as_slice() {
            [Token::Lube(_) | Token::SomeLube(_) | Token::Word(_)]
            | [Token::PlusMinus, Token::Number(_)]
            | [Token::PlusMinus, Token::Number(_), Token::Unit(_)] => out.extend(inside),
            _ => out.push(token),
        }
    }
    out
}

/// The lube of a slice and its tokens.
type Slice = (Option<String>, Vec<Token>);

/// The tokens parted by lube. A lube may stand before or after its figure, but
/// on the same side all through the cell.
fn by_lube(cell: &str, tokens: &[Token], context: Context) -> Result<Vec<Slice>, Problem> {
    if let Some(Token::SomeLube(word)) = tokens.iter().find(|t| matches!(t, Token::SomeLube(_))) {
        return Err(unnamed_lube(cell, word, context));
    }
    let is_lube = |token: &Token| matches!(token, Token::Lube(_));
    match tokens.iter().filter(|token| is_lube(token)).count() {
        0 => return Ok(vec![(None, tokens.to_vec())]),
        1 => {
            let rest = tokens.iter().filter(|token| !is_lube(token)).cloned().collect();
            return Ok(vec![(tokens.iter().find_map(name_of), rest)]);
        }
        _ => {}
    }
    let leads = tokens.first().is_some_and(is_lube);
    let mut slices: Vec<Slice> = Vec::new();
    let mut open: Slice = (None, Vec::new());
    for token in tokens {
        match name_of(token) {
            Some(name) if leads => {
                if open.0.is_some() {
                    slices.push(std::mem::take(&mut open));
                }
                open.0 = Some(name);
            }
            Some(name) => {
                open.0 = Some(name);
                slices.push(std::mem::take(&mut open));
            }
            None => open.1.push(token.clone()),
        }
    }
    if leads {
        slices.push(open);
    } else if !open.1.iter().all(is_joint) {
        return Err(two_lubes(cell));
    }
    for slice in &mut slices {
        trim_joints(&mut slice.1);
    }
    let has_number = |slice: &Slice| slice.1.iter().any(|t| matches!(t, Token::Number(_)));
    if slices.iter().all(has_number) { Ok(slices) } else { Err(two_lubes(cell)) }
}

fn two_lubes(cell: &str) -> Problem {
    Problem::refused(
        "lubes-and-figures",
        format!("`{cell}` names several lubes, but not one figure for each"),
        "give each lube its own row, or write the figure beside each lube",
    )
}

fn unnamed_lube(cell: &str, word: &str, context: Context) -> Problem {
    let names = context.names.lubes_of(LubeClass::Wet);
    let readings = names.iter().map(|name| cell.replacen(word, name, 1)).collect();
    Problem::question("unnamed-lube", format!("`{word}` does not say with which lube"), readings)
        .advise("name the lube; each has its own torque")
}

fn name_of(token: &Token) -> Option<String> {
    match token {
        Token::Lube(name) => Some(name.clone()),
        _ => None,
    }
}

/// Tokens that only part two figures.
fn is_joint(token: &Token) -> bool {
    let filler = Token::Word(Keyword::Filler);
    matches!(token, Token::Comma | Token::Then | Token::Slash | Token::Dash) || *token == filler
}

fn trim_joints(tokens: &mut Vec<Token>) {
    while tokens.first().is_some_and(is_joint) {
        tokens.remove(0);
    }
    while tokens.last().is_some_and(is_joint) {
        tokens.pop();
    }
}

/// The question about a figure without a unit, with the whole cell read in
/// each unit that it may have.
fn ask_unit(
    cell: &str,
    wanted: Wanted,
    context: Context,
    units: &[&str],
    problem: Problem,
) -> Problem {
    let readings: Vec<String> = units
        .iter()
        .filter_map(|symbol| {
            let context = Context { unit: find_unit(symbol), ..context };
            let taken = read_with(cell, wanted, context).ok()?;
            Some(in_words(&taken.value))
        })
        .collect();
    if readings.is_empty() {
        return problem;
    }
    let advice = format!(
        "put the unit in the cell or the heading, or say it once for the file: {}",
        readings.join(" or ")
    );
    Problem { readings: Some(readings), advice, ..problem }
}

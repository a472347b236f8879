//! Words of a closed list, counts, yes and no, and the kind of hole.

use super::numbers::{is_letter_number, letter, turned_into_date};
use crate::intake::verdict::{Problem, Reading, Taken};
use crate::record::{Bottom, Wet};
use crate::text::{fold_name, nearest};

/// Reads one word of a list; `flange bolt` is a bolt, and said so.
/// `find` tells what a word of the list, or another spelling of it, means.
pub(crate) fn read_choice<T: Clone + PartialEq>(
    cell: &str,
    words: &'static [&'static str],
    find: impl Fn(&str) -> Option<T>,
) -> Reading<T> {
    let folded = fold_name(cell).replace('_', " ");
    let singular = folded.strip_suffix('s').unwrap_or(&folded);
    let joined = folded.replace(" + ", "+").replace(" / ", "/");
    let found = [folded.as_str(), singular, &folded.replace('-', " "), &joined];
    if let Some(choice) = found.into_iter().find_map(&find) {
        return Ok(Taken::plain(choice));
    }
    let parts = folded.split([' ', ',', '/', '(', ')']).filter(|word| !word.is_empty());
    let mut known: Vec<T> = Vec::new();
    for choice in parts.filter_map(|word| find(word.strip_suffix('s').unwrap_or(word))) {
        if !known.contains(&choice) {
            known.push(choice);
        }
    }
    if let [choice] = known.as_slice() {
        return Ok(Taken::plain(choice.clone())
            .echo("part-word", "one word of it is known; the cell is kept"));
    }
    let near = nearest(&folded, words.iter().copied());
    let reason = match near {
        Some(near) => {
            format!("`{}` is not one of the words here; did you mean `{near}`?", cell.trim())
        }
        None => format!("`{}` is not one of the words here", cell.trim()),
    };
    Err(Problem::refused("unknown-word", reason, format!("use one of: {}", words.join(", "))))
}

/// Reads a count: `10`, `10 ea`, `x10`, `10.0`.
pub(crate) fn read_count(cell: &str) -> Reading<u32> {
    if let Some(date) = turned_into_date(cell, "-") {
        return Err(date);
    }
    let folded = fold_name(cell);
    let (folded, note) = match folded.split_once('(') {
        Some((count, note)) => {
            (count.trim().to_owned(), Some(note.trim_end_matches(')').to_owned()))
        }
        None => (folded, None),
    };
    let bare = folded.strip_prefix(['x', '×', '#']).unwrap_or(&folded).trim();
    let words = [
        "each", "ea.", "ea", "pcs.", "pcs", "pc", "off", "pieces", "bolts", "studs", "nuts",
        "total", "in all", "x",
    ];
    let bare = words.iter().find_map(|word| bare.strip_suffix(word)).unwrap_or(bare).trim();
    if let Ok(count) = bare.strip_suffix(".0").unwrap_or(bare).parse::<u32>() {
        if (1..=10_000).contains(&count) {
            let taken = Taken::plain(count);
            return Ok(match note {
                Some(note) => taken.echo("note", format!("`{note}` beside the count")),
                None => taken,
            });
        }
        let advice = "write how many fasteners there are, or leave the cell empty";
        return Err(Problem::refused("count", format!("{count} is not a count"), advice));
    }
    let written = cell.trim();
    if is_letter_number(written) {
        return Err(letter(written));
    }
    if let Some((times, each)) = bare.split_once(['x', '*']) {
        let product = times.trim().parse::<u32>().ok().zip(each.trim().parse::<u32>().ok());
        if let Some(total) = product.and_then(|(times, each)| times.checked_mul(each)) {
            let reason = format!("`{}`: {total} in all", cell.trim());
            return Err(Problem::question("count-product", reason, vec![total.to_string()]));
        }
    }
    let advice = "write a whole number; words belong in the notes";
    Err(Problem::refused("count", format!("`{}` is not a count", cell.trim()), advice))
}

/// Reads yes or no.
pub(crate) fn read_flag(cell: &str) -> Reading<bool> {
    match fold_name(cell).as_str() {
        "yes" | "y" | "true" | "x" | "✓" | "✔" | "1" => Ok(Taken::plain(true)),
        "no" | "n" | "false" | "0" | "none" => Ok(Taken::plain(false)),
        _ => Err(Problem::refused(
            "yes-or-no",
            format!("`{}` is neither yes nor no", cell.trim()),
            "write yes or no",
        )),
    }
}

/// Reads the kind of hole: `blind`, `through`, `blind, wet to coolant`,
/// `thru to water`.
pub(crate) fn read_hole(cell: &str) -> Reading<(Option<Bottom>, Option<Wet>)> {
    if let Some(bottom) = Bottom::find(cell) {
        return Ok(Taken::plain((Some(bottom), None)));
    }
    let folded = fold_name(cell);
    if let Some(wet) = Wet::find(cell) {
        return Ok(Taken::plain((None, Some(wet))));
    }
    let mut bottom = None;
    let mut wet = None;
    let mut says_wet = false;
    let mut left = Vec::new();
    for word in folded.split([' ', ',', ';', '/', '-', '(', ')']).filter(|word| !word.is_empty()) {
        match word {
            "hole" | "to" | "into" | "tapped" | "dry" | "end" | "and" | "opens" => {}
            "wet" => says_wet = true,
            word => match (Bottom::find(word), Wet::find(word)) {
                (Some(found), _) => bottom = Some(found),
                (_, Some(found)) => wet = Some(found),
                _ => left.push(word),
            },
        }
    }
    if !left.is_empty() || (bottom.is_none() && wet.is_none() && !says_wet) {
        let near = left.first().and_then(|word| nearest(word, Bottom::NAMES.iter().copied()));
        let hint = near.map(|near| format!("; did you mean `{near}`?")).unwrap_or_default();
        let reason = format!("`{}` does not name a hole{hint}", cell.trim());
        let advice = "write blind or through, and what it opens into: coolant, oil or port";
        return Err(Problem::refused("unknown-word", reason, advice));
    }
    if says_wet && wet.is_none() {
        let start = bottom.map(|bottom| format!("{bottom}, ")).unwrap_or_default();
        let readings = Wet::NAMES.iter().map(|name| format!("{start}wet to {name}")).collect();
        let reason = "a wet hole, and not to what it opens";
        return Err(Problem::question("wet-to-what", reason, readings));
    }
    Ok(Taken::plain((bottom, wet)))
}

//! Lubes: a name of the book, on the threads and, if said, under the head.

use super::Context;
use crate::intake::lube_words::{LUBE_WORDS, RECEIVED, says_no_lube};
use crate::intake::verdict::{Problem, Reading, Taken};
use crate::intake::words::plain_words;
use crate::record::LubeClass;
use crate::text::{Plain, fold_name};

/// What a lube cell says.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LubeCell {
    /// On the threads, by its name in the book.
    pub(crate) thread: String,
    /// Under the head or nut, if another one is said.
    pub(crate) face: Option<String>,
    /// Words in brackets.
    pub(crate) note: Option<String>,
}

/// Code of the problem that a cell names two lubes.
pub(crate) const TWO_LUBES: &str = "two-lubes";

const COLOURS: &[&str] = &["red", "blue", "green", "purple", "orange"];

/// Where a lube goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    Thread,
    Face,
    Both,
}

const SIDES: &[(&str, Side)] = &[
    ("threads and face", Side::Both),
    ("threads and head", Side::Both),
    ("threads & face", Side::Both),
    ("on threads and under head", Side::Both),
    ("on threads and face", Side::Both),
    ("threads and under head", Side::Both),
    ("on the threads", Side::Thread),
    ("on threads", Side::Thread),
    ("on thread", Side::Thread),
    ("threads", Side::Thread),
    ("thread", Side::Thread),
    ("under the head", Side::Face),
    ("under head", Side::Face),
    ("underhead", Side::Face),
    ("under nut", Side::Face),
    ("under the nut", Side::Face),
    ("on face", Side::Face),
    ("nut face", Side::Face),
    ("face", Side::Face),
    ("head", Side::Face),
    ("washer", Side::Face),
];

pub(crate) fn read_lube(cell: &str, context: Context) -> Reading<LubeCell> {
    let whole = context.names.lube(cell).map(|lube| lube.name.clone());
    if let Some(thread) = whole {
        // `nickel anti-seize` is anti-seize, and nickel.
        let note = kept_words(cell, &thread);
        return Ok(Taken::plain(LubeCell { thread, face: None, note }));
    }
    if let Some(taken) = in_two_languages(cell, context).or_else(|| in_shop_words(cell, context)) {
        return Ok(taken);
    }
    let plain = Plain::new(cell);
    let (body, note) = match plain.as_str().split_once('(') {
        Some((body, note)) => (body.trim(), Some(note.trim_end_matches([')', ' ']).to_owned())),
        None => (plain.as_str().trim(), None),
    };
    let body = body.trim_matches(['.', ',', '*', ' ']);
    let folded = fold_name(body);
    if let Some(problem) = not_named(cell, &folded, context) {
        return Err(problem);
    }
    let parts = parts_of(&folded, context);
    let named: Vec<&(String, Option<Side>)> = parts.iter().flatten().collect();
    match (parts.iter().all(Option::is_some), named.as_slice()) {
        (true, [(thread, Some(Side::Thread | Side::Both) | None)]) => {
            let taken = LubeCell { thread: thread.clone(), face: None, note: note.clone() };
            let taken = Taken::plain(taken);
            Ok(match note {
                Some(note) => taken.echo("note", format!("`{note}` kept in the notes")),
                None => taken,
            })
        }
        (
            true,
            [(thread, Some(Side::Thread)), (face, Some(Side::Face))]
            | [(face, Some(Side::Face)), (thread, Some(Side::Thread))],
        ) => Ok(Taken::plain(LubeCell { thread: thread.clone(), face: Some(face.clone()), note })),
        (true, [(first, None), (second, None)]) => Err(two_lubes(cell, first, second)),
        _ => Err(unknown(cell, body, context)),
    }
}

/// The cell, where it says what the lube is made of beside its name.
fn kept_words(cell: &str, name: &str) -> Option<String> {
    let (folded, name) = (plain_words(cell), plain_words(name));
    let more = folded.strip_suffix(&name)?.strip_suffix(' ')?;
    // `Light oil` may be another one.
    let is_plain = |word: &str| LUBE_WORDS.contains(&word) && !["light", "thin"].contains(&word);
    (!more.split(' ').all(is_plain)).then(|| cell.trim().to_owned())
}

/// Words that say only that there is some lube: read as oil, and said so.
const SOME_LUBE: &[&str] = &[
    "lubed",
    "lubricated",
    "lube",
    "lubricate",
    "wet",
    "geschmiert",
    "lubrifie",
    "lubrifiee",
    "lubricado",
    "lubrificato",
];

/// `sec / droog`, `oil (olie)`: one lube in two languages.
fn in_two_languages(cell: &str, context: Context) -> Option<Taken<LubeCell>> {
    let (one, other) =
        cell.split_once('/').or_else(|| cell.trim_end().strip_suffix(')')?.split_once('('))?;
    let lube = context.names.lube_said(one.trim())?;
    let is_again = context.names.lube_said(other.trim()).is_some_and(|two| two.name == lube.name);
    let note = Some(cell.trim().to_owned());
    let found = LubeCell { thread: lube.name.clone(), face: None, note };
    let reason = format!("`{}` read as {}", cell.trim(), lube.name);
    is_again.then(|| Taken::plain(found).echo("lube", reason))
}

/// A lube in a shop's own words: `geölt`, `30W oil`, `blue threadlocker`. What
/// is beside its name is kept.
fn in_shop_words(cell: &str, context: Context) -> Option<Taken<LubeCell>> {
    let folded = plain_words(cell);
    let plain = |name: &str, note: Option<&str>| LubeCell {
        thread: name.to_owned(),
        face: None,
        note: note.map(str::to_owned),
    };
    if let Some(lube) = context.names.lube_said(cell) {
        let taken = Taken::plain(plain(&lube.name, Some(cell.trim())));
        if SOME_LUBE.contains(&folded.as_str()) {
            let reason = format!("`{}` names no lube: taken for {}", cell.trim(), lube.name);
            let advice = "name the lube; each has its own torque";
            return Some(taken.warn("unnamed-lube", reason, advice));
        }
        return Some(taken.echo("lube", format!("`{}` read as {}", cell.trim(), lube.name)));
    }
    let words: Vec<&str> = folded.split(' ').filter(|word| !word.is_empty()).collect();
    if words.len() > 8 || words.iter().any(|word| matches!(*word, "or" | "oder" | "ou" | "o")) {
        return None;
    }
    let mut found: Vec<(usize, usize, &str)> = Vec::new();
    let mut at = 0;
    while at < words.len() {
        let longest = (1..=(words.len() - at).min(4)).rev().find_map(|length| {
            let lube = context.names.lube_said(&words[at..at + length].join(" "))?;
            Some((length, lube.name.as_str()))
        });
        match longest {
            Some((length, name)) => {
                found.push((at, length, name));
                at += length;
            }
            None => at += 1,
        }
    }
    let names_one = |found: &[(usize, usize, &str)]| found.iter().all(|one| one.2 == found[0].2);
    if found.is_empty() || !names_one(&found) {
        return None;
    }
    let is_inside =
        |at: usize| found.iter().any(|(start, length, _)| (*start..start + length).contains(&at));
    let is_plain = |word: &str| {
        LUBE_WORDS.contains(&word) || word.chars().any(|c| c.is_ascii_digit()) || word == "&"
    };
    let others = (0..words.len()).filter(|at| !is_inside(*at));
    if !others.into_iter().all(|at| is_plain(words[at])) {
        return None;
    }
    let name = found[0].2;
    let taken = Taken::plain(plain(name, Some(cell.trim())));
    Some(taken.echo("lube", format!("`{}` read as {name}", cell.trim())))
}

fn two_lubes(cell: &str, first: &str, second: &str) -> Problem {
    let readings =
        vec![first.to_owned(), second.to_owned(), format!("{first} threads, {second} under head")];
    let reason =
        format!("`{}` names two lubes: one or the other, or one on each face", cell.trim());
    let advice = "give each lube its own row with its own torque, or say which goes where";
    Problem::question(TWO_LUBES, reason, readings).advise(advice)
}

/// A slip of the pen is asked; a lube of another name is left open, its words
/// kept: `assembly lube`.
fn unknown(cell: &str, body: &str, context: Context) -> Problem {
    let written = cell.trim();
    let advice = "answer with a lube of the book, or add it: `add lube`";
    if let Some(near) = context.names.nearest_lube(body).filter(|near| is_slip(body, near)) {
        let reason = format!("`{written}` is not a lube of this book; did you mean `{near}`?");
        let readings = vec![near.to_owned()];
        return Problem::question("unknown-lube", reason, readings).advise(advice);
    }
    if context.names.is_typed || context.has_keys {
        let reason = format!("`{written}` is not a lube of this book");
        let add = format!("add it first: clampbook add lube \"{written}\" class=… convertible=…");
        return Problem::refused("unknown-lube", reason, add);
    }
    let reason =
        format!("`{written}` is not a lube of this book: the lube is left open, the words kept");
    Problem::refused("unknown-lube", reason, advice).soft()
}

/// Whether one name may be the other with a slip: the same first letter and as
/// many words. `assembly lube` is no slip of `assembly paste`.
fn is_slip(written: &str, name: &str) -> bool {
    let (written, name) = (fold_name(written), fold_name(name));
    let words = |text: &str| text.split(' ').count();
    words(&written) == 1 && words(&name) == 1
        || written.starts_with(&name)
        || name.starts_with(&written)
}

/// A word that says there is some lube, or only a colour.
fn not_named(cell: &str, folded: &str, context: Context) -> Option<Problem> {
    let ask = |class, code, reason: String| {
        let readings = context.names.lubes_of(class).into_iter().map(str::to_owned).collect();
        Problem::question(code, reason, readings)
    };
    let colour = folded.split(' ').find(|word| COLOURS.contains(word));
    let locker = folded.split(' ').all(|word| {
        COLOURS.contains(&word) || matches!(word, "threadlocker" | "thread" | "locker" | "compound")
    });
    if let Some(colour) = colour.filter(|_| locker && folded.split(' ').count() == 1) {
        let reason = format!("`{colour}`: colours of threadlocker differ between makers");
        return Some(ask(LubeClass::Threadlocker, "colour", reason));
    }
    if folded == "yes" || RECEIVED.contains(&folded) {
        let reason = format!("`{}` does not say with which lube", cell.trim());
        return Some(ask(LubeClass::Wet, "unnamed-lube", reason));
    }
    if says_no_lube(folded) {
        let readings = vec!["dry".to_owned(), "-".to_owned()];
        let reason = "no lube on the thread, or none stated";
        return Some(Problem::question("lube-none", reason, readings));
    }
    None
}

/// The lubes that a cell names, each with its side; None for a part that is
/// not understood.
fn parts_of(folded: &str, context: Context) -> Vec<Option<(String, Option<Side>)>> {
    if let Some(one) = part(folded, context) {
        return vec![Some(one)];
    }
    let parted = folded
        .replace(" and ", "/")
        .replace(" or ", "/")
        .replace(" with ", "/")
        .replace([',', ';', '+', '&'], "/");
    parted.split('/').filter(|piece| !piece.trim().is_empty()).map(|p| part(p, context)).collect()
}

fn part(piece: &str, context: Context) -> Option<(String, Option<Side>)> {
    let piece = piece.trim();
    if let Some(lube) = context.names.lube(piece) {
        return Some((lube.name.clone(), None));
    }
    SIDES.iter().find_map(|(words, side)| {
        let rest = piece.strip_suffix(words).or_else(|| piece.strip_prefix(words))?;
        let rest = rest.trim_matches([' ', ':', '-']);
        let lube = context.names.lube(rest)?;
        Some((lube.name.clone(), Some(*side)))
    })
}

/// Reads a column headed "threadlocker": a name of the book; a colour or a
/// plain yes is a question; no is nothing.
pub(crate) fn read_threadlocker(cell: &str, context: Context) -> Reading<Option<LubeCell>> {
    match fold_name(cell).as_str() {
        "no" | "none" | "n" | "false" | "nein" | "non" => return Ok(Taken::plain(None)),
        "yes" | "y" | "x" | "true" | "ja" | "oui" | "si" | "sì" => {
            let names = context.names.lubes_of(LubeClass::Threadlocker);
            let readings = names.into_iter().map(str::to_owned).collect();
            let reason = "threadlocker, and not which";
            return Err(Problem::question("unnamed-lube", reason, readings));
        }
        _ => {}
    }
    Ok(read_lube(cell, context)?.map(Some))
}

//! Strengths: a class or grade of the book, or the sheet's own figures.

use super::numbers::turned_into_date;
use super::{Context, read_quantity};
use crate::intake::names::Names;
use crate::intake::verdict::{Problem, Reading, Taken};
use crate::quantity::{DecimalMark, Dimension, Quantity, Stated, Stress};
use crate::text::{Plain, fold_name};

/// What a strength cell says.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct StrengthCell {
    /// The name in the book, or as written if it is not known.
    pub(crate) name: Option<String>,
    /// The name is not in the book; with the nearest known one. Allowed only
    /// where the row states figures of its own.
    pub(crate) unknown: bool,
    /// What to say about an unknown name.
    pub(crate) hint: String,
    pub(crate) proof: Option<Stated<Stress>>,
    pub(crate) yield_: Option<Stated<Stress>>,
    pub(crate) tensile: Option<Stated<Stress>>,
    /// Words beside the name: a finish, a head.
    pub(crate) note: Option<String>,
}

/// Reads `10.9`, `grade 8`, `yield 180 ksi`, `180 ksi yield, 190 ksi tensile`.
pub(crate) fn read_strength(cell: &str, context: Context) -> Reading<StrengthCell> {
    let named =
        |name: &str| StrengthCell { name: Some(name.to_owned()), ..StrengthCell::default() };
    let plain = Plain::new(cell);
    let text = plain.as_str().trim();
    if let Some(class) = find(text, context) {
        return Ok(Taken::plain(named(&class)));
    }
    if let Some((body, note)) = text.split_once('(')
        && let Some(class) = find(body.trim(), context)
    {
        let note = note.trim_end_matches([')', ' ']);
        return Ok(Taken::plain(named(&class)).echo("note", format!("`{note}` beside the name")));
    }
    if let Some((class, note)) = with_words(text, context) {
        let cell = StrengthCell { note: Some(note.to_owned()), ..named(&class) };
        return Ok(Taken::plain(cell).echo("note", format!("`{note}` beside the name")));
    }
    if let Some(date) = turned_into_date(text, ".") {
        return Err(date);
    }
    if let Some(problem) = ask_name(text, context) {
        return problem.map(|name| Taken::plain(named(&name)));
    }
    let has_unit = ["ksi", "psi", "mpa", "n/mm", "kg/mm", "kgf/mm"];
    if has_unit.iter().any(|unit| text.to_ascii_lowercase().contains(unit)) {
        return figures(text, context);
    }
    let near = context.names.nearest_strength(text);
    let hint = near.map(|near| format!("; did you mean `{near}`?")).unwrap_or_default();
    Ok(Taken::plain(StrengthCell { unknown: true, hint, ..named(text) }))
}

/// `10.9 ZP`, `8.8 galv.`: a class and words without a figure.
fn with_words<'a>(text: &'a str, context: Context) -> Option<(String, &'a str)> {
    let blanks = text.match_indices(' ').map(|(at, _)| at);
    blanks.collect::<Vec<_>>().into_iter().rev().find_map(|at| {
        let (head, note) = (text[..at].trim(), text[at..].trim());
        let is_plain = !note.contains(|c: char| c.is_ascii_digit()) && note.len() <= 30;
        let class = find(head, context).filter(|_| is_plain)?;
        Some((class, note))
    })
}

fn find(text: &str, context: Context) -> Option<String> {
    strength_named(text, context.names)
}

/// The class that `text` names, `Gr. 8`, `class 10.9` and `Güte 8.8` included.
pub(crate) fn strength_named(text: &str, names: &Names) -> Option<String> {
    let folded = fold_name(text);
    let name = |text: &str| names.strength(text).map(|class| class.name.clone());
    if let Some(found) = name(&folded) {
        return Some(found);
    }
    let starts = [
        "property class",
        "class",
        "grade",
        "gr.",
        "gr",
        "cl.",
        "cl",
        "g",
        "iso",
        "sae",
        "güte",
        "klasse",
        "festigkeitsklasse",
        "fk",
        "classe",
        "qualité",
        "clase",
        "calidad",
        "grado",
        "din",
    ];
    // `classe` begins as `class` does, `güte` as `g`.
    starts.iter().find_map(|start| {
        let rest = folded.strip_prefix(start)?.trim_matches([' ', '-', '.', ':']);
        if !rest.starts_with(|c: char| c.is_ascii_digit() || c == 'a' || c == 'b') {
            return None;
        }
        [rest, &format!("grade {rest}"), &format!("class {rest}")].into_iter().find_map(name)
    })
}

/// `10,9`: nearly a name.
fn ask_name(text: &str, context: Context) -> Option<Result<String, Problem>> {
    if text.contains(',') {
        let pointed = text.replace(',', ".");
        if let Some(found) = find(&pointed, context) {
            if context.mark == DecimalMark::Comma {
                return Some(Ok(found));
            }
            let reason = format!("`{text}`: is the comma a decimal mark");
            return Some(Err(Problem::question("decimal-mark", reason, vec![found])));
        }
    }
    None
}

/// `yield 180 ksi`, `180/190 ksi`, `180 ksi`.
fn figures(text: &str, context: Context) -> Reading<StrengthCell> {
    let folded = fold_name(text);
    let mut cell = StrengthCell::default();
    let mut bare: Vec<Stated<Stress>> = Vec::new();
    // A comma between digits is no border: 170,000 psi.
    let parted = folded.replace(", ", ";");
    let pieces: Vec<&str> = parted.split([';', '/']).map(str::trim).collect();
    let unit = pieces.iter().rev().find_map(|piece| {
        let digits = piece.find(|c: char| c.is_ascii_digit())?;
        Quantity::parse(piece[digits..].split(' ').take(2).collect::<Vec<_>>().join(" ").as_str())
            .ok()
    });
    let unit =
        unit.map(|quantity| quantity.unit).filter(|unit| unit.dimension == Dimension::Stress);
    let context = Context { unit: unit.or(context.unit), ..context };
    for piece in pieces {
        let (what, figure) = label(piece);
        let stated = read_quantity::<Stress>(figure, context);
        let stated = stated.map_err(|problem| labelled(problem, what, text))?.value;
        match what {
            Some("proof") => cell.proof = Some(stated),
            Some("yield") => cell.yield_ = Some(stated),
            Some(_) => cell.tensile = Some(stated),
            None => bare.push(stated),
        }
    }
    match bare.as_slice() {
        [] => Ok(Taken::plain(cell)),
        [one] => {
            let readings = NAMES.map(|what| format!("{what} {one}"));
            Err(which(text, readings.to_vec()))
        }
        several => {
            let names = ["yield", "tensile"];
            let words: Vec<String> =
                names.iter().zip(several).map(|(what, one)| format!("{what} {one}")).collect();
            let reason = format!("`{text}`: several figures without a name");
            Err(Problem::question("which-strength", reason, vec![words.join(", ")]))
        }
    }
}

/// What a figure without a name may be.
const NAMES: [&str; 3] = ["yield", "tensile", "proof"];

fn which(text: &str, readings: Vec<String>) -> Problem {
    Problem::question("which-strength", format!("`{text}`: yield, tensile or proof"), readings)
}

/// A question about a figure, as a question about the cell: of `190 ksi stud` what it is a
/// figure of, whatever the word behind it says.
fn labelled(problem: Problem, what: Option<&str>, text: &str) -> Problem {
    let Some(readings) = &problem.readings else { return problem };
    let each = |names: &[&str]| {
        let with = |one: &String| names.iter().map(|what| format!("{what} {one}")).collect();
        readings.iter().flat_map::<Vec<_>, _>(with).collect()
    };
    match what {
        None if problem.code == "unknown-words" => which(text, each(&NAMES)),
        None => Problem::question(problem.code, problem.reason, each(&["yield", "tensile"])),
        Some(what) => Problem::question(problem.code, problem.reason, each(&[what])),
    }
}

/// The word beside a figure, and the figure.
fn label(piece: &str) -> (Option<&'static str>, &str) {
    let words = [
        ("proof stress", "proof"),
        ("proof", "proof"),
        ("yield strength", "yield"),
        ("yield", "yield"),
        ("tensile strength", "tensile"),
        ("tensile", "tensile"),
        ("uts", "tensile"),
        ("ultimate", "tensile"),
        ("rp0.2", "yield"),
        ("rm ", "tensile"),
        ("re ", "yield"),
        ("sp ", "proof"),
        ("sy ", "yield"),
        ("su ", "tensile"),
    ];
    for (word, what) in words {
        if let Some(rest) = piece.strip_prefix(word).or_else(|| piece.strip_suffix(word)) {
            return (Some(what), rest.trim_matches([' ', ':', '=']));
        }
    }
    (None, piece)
}

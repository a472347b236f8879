//! What stands above and around a table: the machine that a title names, a
//! unit, a lube or a thread series for all its figures. Which words are a name says
//! `title_names`.

use crate::intake::cells::strength_named;
use crate::intake::header::Column;
use crate::intake::header::{read_heading, says_torque};
use crate::intake::heading_parts::units_spelled;
use crate::intake::lube_words::LUBED;
use crate::intake::names::Names;
use crate::intake::survey::title_facts::{
    ALL, FAMILY, FIGURES, condition_in, series_in, strength_in, unit_in,
};
use crate::intake::survey::title_names::{
    is_note, machine_in, name_in, name_of_piece, names_piece, pieces, repeated_by_file,
};
use crate::intake::survey::{Given, Section};
use crate::intake::words::{
    ARTICLES, EXCEPT, FILLER, LABELS, REVISION, SERIES, TITLE, plain_words,
};
use crate::text::Plain;

/// What the titles of a table in `file` say; the assembly is the first name among them, or
/// the one that the file repeats.
pub(super) fn read(titles: &[Vec<String>], file: &str, names: &Names) -> Given {
    let mut given = Given::default();
    let texts: Vec<String> = titles.iter().map(|title| title.join(", ")).collect();
    let repeated = repeated_by_file(&texts, file, names);
    let machine = |text: &str| match &repeated {
        Some(name) => Some(name.clone()).filter(|name| names_piece(text, name, names)),
        None => machine_in(text, names),
    };
    let mut left: Vec<String> = Vec::new();
    for title in titles {
        if pair(title, &mut given, names) {
            continue;
        }
        if let [label, value] = title.as_slice()
            && LABELS.contains(&plain_words(label).as_str())
        {
            left.push(format!("{}: {value}", label.trim_end_matches([':', ' '])));
            continue;
        }
        let text = title.join(", ");
        if let Some(revision) = revision_in(&text) {
            given.revision.get_or_insert(revision);
            facts(&text, &mut given, names);
            left.push(text);
            continue;
        }
        let is_bound = plain_words(&text).split(' ').any(|word| EXCEPT.contains(&word));
        let is_marked = text.split([' ', ',', '.', '(', ')']).any(is_mark);
        if is_bound && is_marked && legends(&text).is_empty() {
            // What the marked ones have is not said: nothing holds for all.
            given.unit = given.unit.or_else(|| unit_in(&text));
        } else {
            facts(&text, &mut given, names);
        }
        if given.revision.is_none() {
            given.revision = text.split([',', ';', '(', ')']).skip(1).find_map(revision_in);
        }
        if given.lube.is_none() && mentions_lube(&text, names) {
            left.push(text.clone());
        }
        match machine(&text) {
            Some(name) if given.assembly.is_none() => {
                left.extend(unread(&text, Some(&name), names));
                given.assembly = Some(name);
            }
            None if is_bound || is_note(&plain_words(&text)) => left.push(text),
            _ => left.extend(unread(&text, None, names)),
        }
    }
    left.extend(given.words.take());
    given.words = (!left.is_empty()).then(|| left.join("; "));
    given
}

/// What marks in a title stand for: `All oiled except where marked * (* = dry)`.
pub(super) fn legends(text: &str) -> Vec<(String, String)> {
    let pieces = text.split(['(', ')', ',', ';']).filter_map(|piece| piece.split_once('='));
    let trimmed = pieces.map(|(mark, words)| (mark.trim().to_owned(), words.trim().to_owned()));
    trimmed.filter(|(mark, words)| is_mark(mark) && !words.is_empty()).collect()
}

fn is_mark(text: &str) -> bool {
    !text.is_empty() && text.chars().all(|c| "*†‡§¹²³".contains(c))
}

/// `Machine: Grelby 12`, in one cell or two.
fn pair(title: &[String], given: &mut Given, names: &Names) -> bool {
    let (key, value) = match title {
        [key, value] => (key.trim_end_matches([':', ' ']), value.as_str()),
        [one] => match one.split_once([':', '=']) {
            Some((key, value)) => (key.trim(), value.trim()),
            None => return false,
        },
        _ => return false,
    };
    let value = value.trim();
    if value.is_empty() {
        return false;
    }
    let heading = read_heading(key, names);
    let folded = plain_words(key);
    let has_unit = unit_in(value);
    if let Some(unit) = has_unit
        && (heading.column.is_torque()
            || folded.contains("unit")
            || folded.split(' ').any(says_torque)
            || folded.starts_with("all")
            || folded.starts_with("alle")
            || folded.starts_with("einheit"))
    {
        given.unit = Some(unit);
        return true;
    }
    let Column::Field(field) = heading.column else { return false };
    let slot = match field.name {
        "assembly" => &mut given.assembly,
        "joint" | "part" => &mut given.joint,
        "lube" => {
            given.lube = names.lube_said(value).map(|lube| lube.name.clone());
            return given.lube.is_some();
        }
        "strength" => {
            given.strength = strength_named(value, names);
            return given.strength.is_some();
        }
        "source" => &mut given.source,
        "revision" => &mut given.revision,
        _ => return false,
    };
    let (name, more) = value.split_once(", ").unwrap_or((value, ""));
    if field.name != "assembly"
        || unit_in(more).or(unit_in(name)).is_none() && condition_in(more, names).is_none()
    {
        *slot = Some(value.to_owned());
        return true;
    }
    *slot = Some(name.to_owned());
    facts(more, given, names);
    let words = unread(more, None, names);
    given.words = (!words.is_empty()).then(|| words.join("; "));
    true
}

/// Unit, lube and thread series that a text says for all below it.
fn facts(text: &str, given: &mut Given, names: &Names) {
    given.unit = given.unit.or_else(|| unit_in(text));
    if given.lube.is_none() {
        given.lube = condition_in(text, names).or_else(|| lube_on_all(text, names));
    }
    given.series = given.series.or_else(|| series_in(text));
    if given.strength.is_none() {
        given.strength = strength_in(text, names);
    }
}

/// The phrases of a text, those of `most` words first.
fn phrases(text: &str, most: usize) -> Vec<String> {
    let plain = Plain::new(text);
    let parted = |c: char| c.is_whitespace() || "()[],;:".contains(c);
    let words: Vec<&str> = plain.as_str().split(parted).filter(|word| !word.is_empty()).collect();
    let of = |length: usize| words.windows(length).map(|phrase| phrase.join(" "));
    (1..=most).rev().flat_map(of).collect()
}

/// A title among the rows: its name, and what else it says.
pub(super) fn section(text: &str, names: &Names) -> Section {
    let (unit, lube, series) = (unit_in(text), condition_in(text, names), series_in(text));
    let name = name_in(text, names).or_else(|| bare(text));
    let is_name = unit.is_none() && lube.is_none() && series.is_none();
    let words = if is_name { Vec::new() } else { unread(text, name.as_deref(), names) };
    let joint = if is_name { Some(trimmed(text)) } else { name };
    let words = (!words.is_empty()).then(|| words.join("; "));
    Section { assembly: None, joint, unit, lube, series, words }
}

fn trimmed(text: &str) -> String {
    let plain = Plain::new(text);
    plain.as_str().trim_matches([':', '-', '=', '*', '#', ' ', '>', '<']).to_owned()
}

fn bare(text: &str) -> Option<String> {
    let piece = text.split(['(', '[', ',', ':', '–']).next()?.trim();
    let is_words = piece.chars().filter(|c| c.is_alphabetic()).count() > 2;
    let generic = says_torque(&plain_words(piece));
    (is_words && !generic && unit_in(piece).is_none()).then(|| trimmed(piece))
}

/// Whether a title speaks of a lube, be it for some of the rows.
fn mentions_lube(text: &str, names: &Names) -> bool {
    let all = phrases(&text.replace('/', " "), 2);
    all.iter().any(|phrase| names.lube_said(&plain_words(phrase)).is_some())
}

/// `moly paste on all`: a piece of a title that is nothing but the lube of what is below.
fn lube_on_all(text: &str, names: &Names) -> Option<String> {
    text.split([',', ';', '.', ':', '(', ')']).find_map(|piece| {
        let folded = plain_words(piece);
        let is_said = folded.split(' ').any(|word| LUBED.contains(&word));
        names.lube_alone(&folded).filter(|_| is_said).map(|lube| lube.name.clone())
    })
}

/// What sentences below a table say of all of it: `All torques N·m, threads lightly oiled.`
pub(super) fn below(sentences: &[String], given: &mut Given, names: &Names) {
    for sentence in sentences {
        // `Note: all dry threads.`
        let noted = sentence.split_once(':').filter(|(note, _)| is_note(&plain_words(note)));
        let text = noted.map_or(sentence.as_str(), |(_, rest)| rest.trim());
        let folded = plain_words(text);
        let first = folded.split(' ').next().unwrap_or_default();
        let is_bound = folded.split(' ').any(|word| EXCEPT.contains(&word));
        if (ALL.contains(&first) || FIGURES.contains(&first) || says_torque(first)) && !is_bound {
            facts(text, given, names);
        }
    }
}

/// The pieces of a title that are not its `name` and say more than a unit, a lube, a grade
/// or what every title says: they go to the notes.
fn unread(text: &str, name: Option<&str>, names: &Names) -> Vec<String> {
    let grade = strength_in(text, names);
    let is_known = |phrase: &str| {
        let folded = plain_words(phrase);
        let is_word =
            [TITLE, FILLER, ARTICLES, SERIES, FAMILY].iter().any(|list| list.contains(&&*folded));
        is_word
            || !folded.contains(char::is_alphanumeric)
            || says_torque(&folded)
            || units_spelled(phrase.trim_end_matches(['.', '!'])).is_some()
            || names.lube_said(&folded).is_some()
            || grade.is_some() && strength_named(phrase, names) == grade
    };
    let says_more = |piece: &str| {
        let words: Vec<&str> = piece.split_whitespace().collect();
        let mut at = 0;
        while at < words.len() {
            let most = (words.len() - at).min(3);
            let known = (1..=most).rev().find(|length| is_known(&words[at..at + length].join(" ")));
            let Some(length) = known else { return true };
            at += length;
        }
        false
    };
    let mut all = pieces(text);
    let own = name.and_then(|name| {
        all.iter().position(|piece| name_of_piece(piece, names).as_deref() == Some(name))
    });
    own.map(|own| all.remove(own));
    all.retain(|piece| says_more(piece) && revision_in(piece).is_none());
    all
}

/// `Rev C of 2025-04-03`, `Stand 03.2024`: the revision of the sheet.
fn revision_in(text: &str) -> Option<String> {
    let (first, rest) = text.trim().split_once([' ', '.', ':'])?;
    let is_so = REVISION.contains(&plain_words(first).as_str());
    let word = rest.trim_start_matches([' ', '.', ':', '=']).split([' ', ',', ';']).next()?;
    (is_so && !word.is_empty()).then(|| word.to_owned())
}

//! Names in titles, worksheets and file names: which of them is the machine's.

use crate::intake::header::{is_thread, says_torque};
use crate::intake::names::Names;
use crate::intake::survey::around::is_numbered;
use crate::intake::survey::title_facts::{condition_in, is_grade_alone, unit_in};
use crate::intake::words::{
    ARTICLES, FILLER, NOTE, REVISION, SHEET, SHOP_FIRST, SHOP_LAST, SITE, TITLE, plain_words,
};
use crate::text::{Plain, without_hidden};

/// The name of a machine, engine or job in a title: its first piece that is
/// more than what every title says.
pub(super) fn name_in(text: &str, names: &Names) -> Option<String> {
    pieces(text).iter().find_map(|piece| name_of_piece(piece, names))
}

/// The same without a shop, a department or a revision, which names no machine.
pub(super) fn machine_in(text: &str, names: &Names) -> Option<String> {
    let all = pieces(text);
    let mut found = all.iter().filter(|piece| !is_place(piece));
    found.find_map(|piece| name_of_piece(piece, names).filter(|name| !is_place(name)))
}

/// `Pump shop`, `taller de bombas`, `Linea 4`, `rev. 3`.
fn is_place(name: &str) -> bool {
    let folded = plain_words(name);
    let words: Vec<&str> = folded.split(' ').collect();
    let has_digit = |word: &&str| word.contains(|c: char| c.is_ascii_digit());
    let is_last = words
        .iter()
        .rfind(|word| !has_digit(word))
        .is_some_and(|word| SHOP_LAST.contains(word) || word.ends_with("werkstatt"));
    let is_first = SHOP_FIRST.contains(&words[0]) && !words.iter().skip(2).any(has_digit);
    let is_short =
        words.len() < 3 && words[1..].iter().all(|word| has_digit(word) || word.len() == 1);
    is_last || is_first || is_short && [SITE, REVISION].iter().any(|list| list.contains(&words[0]))
}

/// A title cut at its signs, a sentence with a verb left whole.
pub(super) fn pieces(text: &str) -> Vec<String> {
    let plain = Plain::new(text);
    // `No. 2` goes on behind its point.
    let apart = plain.as_str().replace(['(', ')'], ". ");
    let mut sentences = apart.split_inclusive(". ").peekable();
    let (mut found, mut whole) = (Vec::new(), String::new());
    while let Some(sentence) = sentences.next() {
        if says_something(sentence) {
            found.push(sentence.to_owned());
            continue;
        }
        whole.push_str(sentence);
        let goes_on = sentences
            .peek()
            .is_some_and(|next| next.starts_with(|c: char| c.is_ascii_digit() || c.is_lowercase()));
        whole.push_str(if goes_on { "" } else { "\n" });
    }
    // `Convoyeur / Transportband TB 14` is one name in two languages.
    let is_one = |text: &str| text.contains(|c: char| c.is_ascii_digit());
    let slashed = whole.split_once(" / ").is_some_and(|(one, two)| is_one(one) || !is_one(two));
    let parted = whole
        .replace(if slashed { " / " } else { "\n" }, "\n")
        .replace(" - ", "\n")
        .replace([';', '|', ',', ':', '(', ')'], "\n");
    found.extend(parted.lines().map(str::to_owned));
    let trim =
        |piece: &String| piece.trim().trim_matches(['.', '-', '*', '#', '=', ' ']).to_owned();
    found.iter().map(trim).filter(|piece| !piece.is_empty()).collect()
}

pub(super) fn name_of_piece(piece: &str, names: &Names) -> Option<String> {
    let piece = without_unit(piece);
    if says_something(piece) || unit_in(piece).is_some() || condition_in(piece, names).is_some() {
        return None;
    }
    if is_note(&plain_words(piece)) || is_grade_alone(piece, names) {
        return None;
    }
    let name = without_title_words(piece)?;
    let letters = name.chars().filter(|c| c.is_alphabetic()).count();
    // `X 250` is short, and a name.
    let is_code = letters == 1 && name.contains(|c: char| c.is_ascii_digit()) && name.len() > 2;
    ((letters >= 2 || is_code && !is_thread(&name)) && !is_date(&name)).then_some(name)
}

/// `Ombrey 4 torques in Nm` without its unit; `All in Nm` names nothing.
fn without_unit(piece: &str) -> &str {
    let ends = piece.char_indices().filter(|(_, c)| *c == ' ').map(|(at, _)| at);
    let is_unit = |at: &usize| unit_in(&piece[*at..]).is_some() && unit_in(&piece[..*at]).is_none();
    let Some(name) = ends.rev().find(is_unit).map(|at| piece[..at].trim_end()) else {
        return piece;
    };
    let name = [" in", " en"].iter().find_map(|word| name.strip_suffix(word)).unwrap_or(name);
    let tail = piece[name.len()..].split(' ').filter(|word| !word.is_empty()).count();
    let is_named = name.contains(|c: char| c.is_ascii_digit()) && tail <= 4;
    if is_named { name } else { piece }
}

/// Whether a sentence has a verb, as no name of a machine has: `this hangs on the wall`.
pub(super) fn says_something(sentence: &str) -> bool {
    const VERBS: &[&str] = &[
        "is", "are", "was", "were", "has", "have", "hangs", "ist", "sind", "hat", "haben", "est",
        "sont", "son", "sono", "zijn",
    ];
    let folded = plain_words(sentence);
    folded.split(' ').count() > 4 && folded.split(' ').any(|word| VERBS.contains(&word))
}

/// Whether a line is led by a word of notes.
pub(super) fn is_note(folded: &str) -> bool {
    let leads = |word: &&str| {
        folded.strip_prefix(*word).is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
    };
    NOTE.iter().any(leads)
}

/// Whether a date stands in a name: `12.03.2024`, `2024-05`; `100-250` is the size of a pump.
fn is_date(text: &str) -> bool {
    let letters = text.chars().filter(|c| c.is_alphabetic()).count();
    let of_date = |word: &str| {
        let parts: Vec<&str> = word.split(['-', '/', '.']).filter(|one| !one.is_empty()).collect();
        let is_year =
            |one: &&str| one.len() == 4 && (one.starts_with("19") || one.starts_with("20"));
        parts.iter().all(|one| one.bytes().all(|c| c.is_ascii_digit()))
            && (parts.len() == 3 || parts.len() == 2 && parts.iter().any(is_year))
    };
    letters <= 9 && text.split(' ').any(of_date)
}

/// A title without `torque list` and the like at its ends; none if nothing else
/// is in it.
fn without_title_words(text: &str) -> Option<String> {
    let mut words: Vec<&str> = text.split(' ').filter(|word| !word.is_empty()).collect();
    loop {
        let before = words.len();
        for length in (1..=3.min(words.len())).rev() {
            let tail = plain_words(&words[words.len() - length..].join(" "));
            if TITLE.contains(&tail.as_str()) || says_torque(&tail) {
                words.truncate(words.len() - length);
                break;
            }
            let head = plain_words(&words[..length].join(" "));
            if TITLE.contains(&head.as_str()) || says_torque(&head) {
                words.drain(..length);
                break;
            }
        }
        if words.len() == before || words.is_empty() {
            break;
        }
    }
    let says_more = words.iter().any(|word| {
        let folded = plain_words(word);
        !FILLER.contains(&folded.as_str()) && !ARTICLES.contains(&folded.as_str())
    });
    while words.first().is_some_and(|word| ARTICLES.contains(&plain_words(word).as_str())) {
        words.remove(0);
    }
    (says_more && !words.is_empty()).then(|| words.join(" "))
}

/// The machine that a worksheet is named for; none for `Sheet1`.
pub(super) fn name_of_page(page: &str, names: &Names) -> Option<String> {
    let folded = plain_words(page);
    let stem = folded.trim_end_matches(|c: char| c.is_ascii_digit() || c == ' ');
    if stem.is_empty() || SHEET.contains(&stem) {
        return None;
    }
    // `P1` is short, and a name.
    let has = |kind: fn(char) -> bool| page.contains(kind);
    let is_code = has(char::is_alphabetic) && has(char::is_numeric);
    name_in(page, names).or_else(|| is_code.then(|| page.to_owned()))
}

/// Whether a file is named as programs name it, or for a list of torques: `Book1`.
pub(super) fn is_any_file(file: &str, names: &Names) -> bool {
    #[rustfmt::skip] // words of five languages, side by side
    const ANY: &[&str] = &[
        "book", "workbook", "mappe", "arbeitsmappe", "classeur", "libro", "cartel", "map", "untitled", "unnamed", "export", "data", "download", "file",
    ];
    let folded = plain_words(file);
    let stem = folded.trim_end_matches(|c: char| c.is_ascii_digit() || " ()".contains(c));
    ANY.contains(&stem) || machine_in(file, names).is_none()
}

/// The machine that a file is named for.
pub(super) fn name_of_file(file: &str, names: &Names) -> Option<String> {
    let name = file.rsplit(['/', '\\']).next().unwrap_or(file);
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    if stem.is_empty() || stem == "standard input" {
        return None;
    }
    let spaced = stem.replace('_', " ");
    let spaced = without_hidden(&spaced).map_or(spaced, |(clean, _)| clean);
    Some(name_in(&spaced, names).unwrap_or(spaced))
}

/// The machine that the file is named for, as titles write it, where another name leads them:
/// `Quarry plant - jaw crusher KC3` in `jaw crusher KC3.csv`.
pub(super) fn repeated_by_file(titles: &[String], file: &str, names: &Names) -> Option<String> {
    let file = name_of_file(file, names).filter(|file| !is_any_file(file, names))?;
    let first = titles.iter().find_map(|text| machine_in(text, names))?;
    if is_numbered(&first) || is_within(&first, &file) || is_within(&file, &first) {
        return None;
    }
    let all = titles.iter().flat_map(|text| pieces(text));
    let mut named =
        all.filter_map(|piece| name_of_piece(&piece, names)).filter(|one| !is_place(one));
    named.find(|one| {
        let is_same = plain_words(one) == plain_words(&file) && one.contains(' ');
        let is_said = is_within(one, &file) || is_within(&file, one);
        is_said && is_numbered(one) || is_same
    })
}

/// Whether a piece of a title is this name.
pub(super) fn names_piece(text: &str, name: &str, names: &Names) -> bool {
    pieces(text).iter().any(|piece| name_of_piece(piece, names).as_deref() == Some(name))
}

/// Whether the words of `name` stand together in `text`.
pub(super) fn is_within(name: &str, text: &str) -> bool {
    format!(" {} ", plain_words(text)).contains(&format!(" {} ", plain_words(name)))
}

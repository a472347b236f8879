//! What titles state for all below them: a unit, a thread condition, a series, a strength.
//! What is part of a name states nothing: `Dry plant 2`, `Orlindal G2`, `Test bench 450 Nm`.

use crate::intake::cells::strength_named;
use crate::intake::header::{read_heading, says_torque};
use crate::intake::heading_parts::units_spelled;
use crate::intake::lube_words::{CONDITIONS, LUBE_WORDS, LUBED};
use crate::intake::names::Names;
use crate::intake::survey::title_names::pieces;
use crate::intake::words::{ARTICLES, EXCEPT, FILLER, SERIES, TITLE, kind_in, plain_words};
use crate::quantity::{Dimension, Unit};
use crate::record::{Kind, LubeClass};
use crate::text::Plain;

/// Words for the family of threads.
pub(super) const FAMILY: &[&str] =
    &["coarse", "fine", "metric", "metrisch", "metrique", "metrico", "inch", "threads", "thread"];

/// Words for all that is below.
#[rustfmt::skip] // words of five languages, side by side
pub(super) const ALL: &[&str] =
    &["all", "alle", "tous", "toutes", "todos", "todas", "tutti", "tutte"];

/// Words for what is below.
pub(super) const FIGURES: &[&str] = &["values", "figures", "werte", "valeurs", "valores", "valori"];

/// Words for fasteners of any kind, at the end of a longer word too: `Zylinderschrauben`.
#[rustfmt::skip] // words of five languages, side by side
const FASTENERS: &[&str] = &[
    "bolts", "screws", "studs", "setscrews", "fasteners", "hardware", "bolting", "fixings", "schrauben", "stehbolzen", "vis", "boulons",
    "boulonnerie", "visserie", "goujons", "tornillos", "pernos", "esparragos", "tornilleria", "viti", "bulloni", "bulloneria", "prigionieri",
];

/// Words that follow what a title states and name no machine.
#[rustfmt::skip] // words of five languages, side by side
const BEHIND: &[&str] = &[
    "unless", "where", "otherwise", "wenn", "falls", "si", "se", "stainless", "inox", "edelstahl", "friction", "assembly", "assembled", "as",
    "cap", "socket", "hex", "hexagon", "please", "each", "final", "by", "par", "por", "an", "rev", "fine", "coarse",
];

/// Property classes that need no other word: `4.8` or `5.8` may be the size of an engine.
const BY_ITSELF: &[&str] = &["8.8", "10.9", "12.9"];

/// A phrase where it stands in a title.
struct Phrase<'a> {
    before: Option<&'a str>,
    after: Option<&'a str>,
}

impl Phrase<'_> {
    /// Whether the word behind it is a noun that it describes: `Dry plant`, `Nm bench`, `NM 40`.
    fn leads_a_name(&self) -> bool {
        let Some(word) = self.after else { return false };
        let plain = plain_words(word);
        let known =
            [BEHIND, FIGURES, FILLER, ARTICLES, LUBED, LUBE_WORDS, TITLE, EXCEPT, SERIES, FAMILY];
        !(known.iter().any(|list| list.contains(&plain.as_str()))
            || !has_letters(&plain)
            || is_fastener(&plain)
            || kind_in(&plain).is_some()
            || CONDITIONS.contains(&plain.as_str())
            || says_torque(&plain)
            || units_spelled(word.trim_end_matches(['.', '!'])).is_some())
    }

    fn is_behind_number(&self) -> bool {
        // A point by itself stands where a bracket was: `Torque (lb-ft)`.
        let is_digit = |c: char| c.is_ascii_digit() || c == '.';
        self.before.is_some_and(|word| has_letters(word) && word.chars().all(is_digit))
    }

    fn is_behind(&self, words: &[&str]) -> bool {
        self.before.is_some_and(|word| words.contains(&plain_words(word).as_str()))
    }
}

fn is_fastener(plain: &str) -> bool {
    let is_one = |one: &&str| plain == *one || one.len() > 5 && plain.ends_with(*one);
    FASTENERS.iter().any(is_one)
}

fn has_letters(word: &str) -> bool {
    word.contains(char::is_alphanumeric)
}

/// The first phrase of a text, the longest at its place, that `read` takes; what it knows and
/// does not take is none with all its words.
fn first_said<T>(text: &str, read: impl Fn(&str, &Phrase) -> Option<Option<T>>) -> Option<T> {
    const MOST: usize = 3;
    let plain = Plain::new(text);
    for segment in plain.as_str().split(['(', ')', '[', ']', ',', ';', ':']) {
        let words: Vec<&str> = segment.split_whitespace().collect();
        let mut at = 0;
        while at < words.len() {
            let known = (1..=MOST.min(words.len() - at)).rev().find_map(|length| {
                // A dash before or behind it is none of its words.
                if !has_letters(words[at]) || !has_letters(words[at + length - 1]) {
                    return None;
                }
                let before = at.checked_sub(1).map(|at| words[at]);
                let phrase = Phrase { before, after: words.get(at + length).copied() };
                read(&words[at..at + length].join(" "), &phrase).map(|found| (length, found))
            });
            match known {
                Some((_, Some(found))) => return Some(found),
                Some((length, None)) => at += length,
                None => at += 1,
            }
        }
    }
    None
}

/// A unit of torque in a text; none behind a number, which makes it the size of a machine.
pub(super) fn unit_in(text: &str) -> Option<&'static Unit> {
    first_said(&text.replace('=', " "), |words, phrase| {
        let unit = match units_spelled(words.trim_end_matches(['.', '!'])).as_deref() {
            Some([unit]) if unit.dimension == Dimension::Torque => *unit,
            _ => return None,
        };
        // `Torques Nm Kestrow loader`
        let is_led = phrase.before.is_some_and(|word| says_torque(&plain_words(word)))
            || phrase.is_behind(&["in", "en"]);
        let is_named = phrase.is_behind_number() || phrase.leads_a_name();
        Some((is_led || !is_named).then_some(unit))
    })
}

/// `dry`, `oiled`: a thread condition in a text. `Oil sump` is a place, `Pompe à huile` a pump.
pub(super) fn condition_in(text: &str, names: &Names) -> Option<String> {
    const OF: &[&str] = &["a", "au", "de", "d", "du", "di", "da", "for", "pour", "with", "mit"];
    const FOR: &[&str] = &["for", "pour", "fur", "per", "para"];
    first_said(text, |words, phrase| {
        let plain = plain_words(words);
        let lube = names.lube_said(&plain).filter(|_| CONDITIONS.contains(&plain.as_str()))?;
        let is_condition = matches!(lube.class, LubeClass::Dry | LubeClass::Wet);
        // `Lubed for life gearbox`.
        let is_meant = phrase.after.is_some_and(|word| FOR.contains(&plain_words(word).as_str()));
        let is_named = phrase.leads_a_name() || phrase.is_behind_number() || phrase.is_behind(OF);
        Some((is_condition && !is_named && !is_meant).then(|| lube.name.clone()))
    })
}

/// `UNC`, `coarse`: the series of bare sizes. `Fine grinder` is a machine.
pub(super) fn series_in(text: &str) -> Option<&'static str> {
    first_said(text, |words, phrase| {
        let (series, is_word) = match plain_words(words).as_str() {
            "unc" => ("UNC", false),
            "unf" => ("UNF", false),
            "coarse" => ("UNC", true),
            "fine" => ("UNF", true),
            _ => return None,
        };
        // `Sand screen, fine thread`, but `Sand screen fine`.
        let of_threads = |word: &str| {
            let plain = plain_words(word);
            let known = [ALL, FAMILY];
            is_fastener(&plain) || known.iter().any(|list| list.contains(&plain.as_str()))
        };
        let beside = [phrase.before, phrase.after];
        let is_alone = beside.iter().all(Option::is_none);
        let is_said = !is_word || is_alone || beside.into_iter().flatten().any(of_threads);
        Some((is_said && !(is_word && phrase.leads_a_name())).then_some(series))
    })
}

/// A grade in a text: `metric 8.8`, `Grade 5 bolts`, `all G8`; a title of two states none.
pub(super) fn strength_in(text: &str, names: &Names) -> Option<String> {
    let all = pieces(text);
    let mut found = all.iter().flat_map(|piece| Grades::new(piece, names).said());
    let first = found.next()?;
    // `Bolts 8.8, M12 and up 10.9`
    let mut words = text.split(|c: char| c.is_whitespace() || "(),;:/".contains(c));
    let has_other = words.any(|word| BY_ITSELF.contains(&word) && word != first);
    (!has_other && found.all(|other| other == first)).then_some(first)
}

/// Whether a piece of a title is nothing but a grade: `Grade 8 bolts` names no machine.
pub(super) fn is_grade_alone(piece: &str, names: &Names) -> bool {
    let grades = Grades::new(piece, names);
    grades.is_plain() && !grades.said().is_empty()
}

/// The grades in a piece of a title.
struct Grades<'a> {
    words: Vec<&'a str>,
    /// Where each begins, behind which word it ends, and its name.
    found: Vec<(usize, usize, String)>,
    is_of_nuts: bool,
    names: &'a Names<'a>,
}

impl<'a> Grades<'a> {
    fn new(piece: &'a str, names: &'a Names<'a>) -> Self {
        const TAIL: &[&str] = &["wenn", "falls", "where"];
        let ends = |word: &&str| {
            let plain = plain_words(word);
            !EXCEPT.contains(&plain.as_str()) && !TAIL.contains(&plain.as_str())
        };
        let words: Vec<&str> = piece.split_whitespace().take_while(ends).collect();
        let (mut found, mut at) = (Vec::new(), 0);
        while at < words.len() {
            let named = (1..=3.min(words.len() - at)).rev().find_map(|length| {
                let phrase = words[at..at + length].join(" ");
                // A bare number is none.
                let says = phrase.contains('.') || phrase.starts_with(char::is_alphabetic);
                let is_named = says && phrase.contains(|c: char| c.is_ascii_digit());
                Some((at + length, is_named.then(|| strength_named(&phrase, names)).flatten()?))
            });
            let start = at;
            at = named.as_ref().map_or(at + 1, |(end, _)| *end);
            found.extend(named.map(|(end, name)| (start, end, name)));
        }
        let is_of_nuts = kind_in(piece) == Some(Kind::Nut);
        Self { words, found, is_of_nuts, names }
    }

    /// Whether all words beside the grades are of fasteners, or say how far they hold.
    fn is_plain(&self) -> bool {
        let is_known = |word: &&str| {
            let plain = plain_words(word);
            let known = [ALL, ARTICLES, FAMILY, LUBED, BEHIND, SERIES];
            !has_letters(&plain)
                || is_fastener(&plain)
                || kind_in(&plain).is_some()
                || known.iter().any(|list| list.contains(&plain.as_str()))
        };
        self.beside().all(|word| is_known(&word))
    }

    fn beside(&self) -> impl Iterator<Item = &'a str> {
        let is_beside =
            |at: &usize| !self.found.iter().any(|(from, to, _)| (from..to).contains(&at));
        (0..self.words.len()).filter(is_beside).map(|at| self.words[at])
    }

    /// Those that the words say to be one, and no part of a name.
    fn said(&self) -> Vec<String> {
        let is_plain = self.is_plain();
        let holds_for_all = self.beside().any(|word| {
            let plain = plain_words(word);
            ALL.contains(&plain.as_str()) || is_fastener(&plain)
        });
        let said = self.found.iter().filter(move |(from, to, name)| {
            let is_short = !self.is_called_grade(*from, *to, name);
            let is_class = BY_ITSELF.contains(&name.as_str());
            let is_at_end = self.words[*to..].iter().all(|word| is_fastener(&plain_words(word)));
            match is_plain {
                true => !is_short || is_class || holds_for_all,
                false if !is_short => is_at_end,
                false => is_class && self.is_beside_fasteners(*from, *to) && is_at_end,
            }
        });
        said.filter(|_| !self.is_of_nuts).map(|(.., name)| name.clone()).collect()
    }

    /// Whether its own words call it a grade: `Grade 8`, `Güte 8.8`, `class 10.9`. A machine has
    /// a class too, but none with a point: `Class 8 truck`.
    fn is_called_grade(&self, from: usize, to: usize, name: &str) -> bool {
        let last = plain_words(self.words[to - 1]);
        let said = self.words[from..to - 1].iter().any(|word| {
            let plain = plain_words(word);
            let is_class = plain.starts_with("cl") || plain.ends_with("klasse");
            read_heading(word, self.names).column.is("strength")
                && (!is_class || name.contains('.'))
        });
        said || last.starts_with("gr ")
    }

    /// `socket screws 12.9`, `10.9 bolts`, `metric 8.8`.
    fn is_beside_fasteners(&self, from: usize, to: usize) -> bool {
        let beside = [from.checked_sub(1), Some(to)].into_iter().flatten();
        beside.filter_map(|at| self.words.get(at)).any(|word| {
            let plain = plain_words(word);
            is_fastener(&plain) || FAMILY.contains(&plain.as_str())
        })
    }
}

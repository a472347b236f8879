//! What may come next in a half-typed question, at the prompt and in a shell.

use std::collections::HashSet;

use crate::cli::exit::Failure;
use crate::cli::saved;
use crate::quantity::{DecimalMark, Dimension, Number, UNITS};
use crate::query::syntax::{CLAUSES, RELATION_WORDS, RESERVED};
use crate::record::{FieldKind, NameOf, field_words, find_field};
use crate::store::{Access, Book};

/// Beyond so many settings the keys are not read for completion: it has to be
/// there at once.
const MOST_KEYS: usize = 50_000;
/// Most words that a name under the cursor may have.
const NAME_WORDS: usize = 4;
/// Most words that are offered at once.
pub(super) const MOST: usize = 12;
/// The words that most often go on with a question.
const NEXT: [&str; 9] = ["with", "torque", "lube", "thread", "part", "not", "show", "sort", "keep"];
pub(super) const FIRST: [&str; MOST] = [
    "thread", "joint", "assembly", "part", "lube", "torque", "with", "lubes", "passes", "order",
    "log", "help",
];

/// The words of the language and the names of one book.
#[derive(Debug, Default)]
pub(super) struct Completions {
    names: Vec<(NameOf, Vec<String>)>,
    pub(super) layouts: Vec<String>,
    pub(super) sets: Vec<String>,
    pub(super) threads: Vec<String>,
    pub(super) keys: Vec<String>,
    /// Name and text of the saved questions.
    pub(super) saved: Vec<(String, String)>,
    /// What may stand first besides a question.
    commands: Vec<String>,
}

/// Something that the text under the cursor may become.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Offer {
    pub(super) shown: String,
    /// What is put into the line.
    pub(super) text: String,
}

impl From<String> for Offer {
    fn from(text: String) -> Self {
        Self { shown: text.clone(), text }
    }
}

impl Completions {
    /// The words of `book`, and the `commands` that may begin a line.
    pub(super) fn in_book(book: &Book, commands: Vec<String>) -> Result<Self, Failure> {
        let vocabulary = book.vocabulary()?;
        let kinds = [
            NameOf::Assembly,
            NameOf::Joint,
            NameOf::Part,
            NameOf::Lube,
            NameOf::Strength,
            NameOf::Wrench,
        ];
        let names = kinds.map(|what| {
            let names = vocabulary.names(what).into_iter().map(str::to_owned).collect();
            (what, names)
        });
        let threads = vocabulary.threads().map(|(thread, _)| thread.to_owned()).collect();
        let saved = saved::questions(book)?.into_iter().map(|note| (note.key, note.text)).collect();
        let layouts = book.layouts()?.iter().map(|one| one.name.clone()).collect();
        let sets = book.bolt_sets()?.iter().map(|one| one.name.clone()).collect();
        let (names, keys) = (names.to_vec(), keys(book)?);
        Ok(Self { names, layouts, sets, threads, keys, saved, commands })
    }

    /// Where the words under the cursor start, and what they may become: the
    /// longest run of them that begins a name, else the last one. Within a quote
    /// that is open, names.
    pub(super) fn candidates(&self, line: &str) -> (usize, Vec<Offer>) {
        if line.trim().is_empty() {
            let first = FIRST.iter().map(|word| Offer::from((*word).to_owned()));
            return (line.len(), first.collect());
        }
        if let Some(at) = open_quote(line) {
            return (at, self.quoted(&line[..at], &line[at + 1..]));
        }
        let mut found = self.saved_questions(line);
        if !found.is_empty() {
            found.extend(self.at(line, 0));
            return (0, found);
        }
        let mut starts: Vec<usize> = line
            .char_indices()
            .rev()
            .take_while(|(_, sign)| !matches!(sign, ',' | '('))
            .filter(|(_, sign)| *sign == ' ')
            .map(|(at, _)| at + 1)
            .take(NAME_WORDS)
            .collect();
        let last = line.rfind([' ', ',', '(']).map_or(0, |at| at + 1);
        let segment = line.rfind([',', '(']).map_or(0, |at| at + 1);
        starts.push(segment);
        starts.sort_unstable();
        let several = |start: &usize| line[*start..last].contains(|sign| sign != ' ');
        for start in starts.into_iter().filter(several) {
            let found = self.at(line, start);
            if !found.is_empty() {
                return (start, found);
            }
        }
        (last, self.at(line, last))
    }

    fn at(&self, line: &str, start: usize) -> Vec<Offer> {
        let word = line[start..].to_lowercase();
        let fits = |one: &String| one.to_lowercase().starts_with(&word);
        let mut found = self.expected(line[..start].trim_end());
        found.retain(fits);
        if found.is_empty() && !word.is_empty() {
            found = self.anything();
            found.retain(fits);
        }
        if line[..start].trim().is_empty() {
            found.extend(self.commands.iter().filter(|one| fits(one)).cloned());
        }
        // Without a letter the usual words stand first, else all in their order.
        if !word.is_empty() {
            found.sort_unstable();
        }
        let mut seen = HashSet::new();
        found.retain(|one| seen.insert(one.clone()));
        found.into_iter().map(Offer::from).collect()
    }

    /// The names that `typed` begins, in quotes.
    fn quoted(&self, before: &str, typed: &str) -> Vec<Offer> {
        let typed = typed.to_lowercase();
        let fitting = |mut names: Vec<String>| {
            names.retain(|name| name.to_lowercase().starts_with(&typed));
            names
        };
        let mut found = fitting(self.expected(before.trim_end()));
        if found.is_empty() {
            found = fitting(self.names.iter().flat_map(|(_, names)| names.clone()).collect());
        }
        found.sort_unstable();
        found.dedup();
        let offer = |name: String| Offer { text: format!("\"{name}\""), shown: name };
        found.into_iter().map(offer).collect()
    }

    /// The saved questions whose name the whole line begins: the question takes
    /// the place of the name.
    fn saved_questions(&self, line: &str) -> Vec<Offer> {
        let typed = line.to_lowercase();
        let begins = |(name, _): &&(String, String)| name.to_lowercase().starts_with(&typed);
        let offer = |(name, text): &(String, String)| Offer {
            shown: format!("{name}: {text}"),
            text: text.clone(),
        };
        self.saved.iter().filter(begins).map(offer).collect()
    }

    fn expected(&self, before: &str) -> Vec<String> {
        let last = before.rsplit([' ', ',', '(']).next().unwrap_or("").to_lowercase();
        let lower = before.to_lowercase();
        let mut names = self.names.iter().flat_map(|(_, names)| names);
        // The `6` of a name is no number that wants a unit.
        if is_number(&last) && !names.any(|name| lower.ends_with(&name.to_lowercase())) {
            return units_after(before);
        }
        if let Some(clause @ ("show" | "sort" | "tally")) = clause(before)
            && find_field(&last).is_some()
        {
            let down = (clause == "sort").then_some("down").into_iter();
            let clauses = CLAUSES.iter().map(|clause| clause.spelling());
            return down.chain(clauses).map(str::to_owned).collect();
        }
        match last.as_str() {
            "with" => return self.named(NameOf::Lube),
            "on" => return self.named(NameOf::Wrench),
            "units" => return units(None),
            "confused-with" => return self.threads.clone(),
            compared if is_relation(compared) => return fields(),
            "show" | "sort" | "tally" | "has" | "needs" | "lacks" | "no" => return fields(),
            _ => {}
        }
        if before.ends_with(',') {
            match clause(before) {
                Some("with") => return self.named(NameOf::Lube),
                Some("units") => return units(None),
                Some("show" | "sort" | "tally") => return fields(),
                _ => {}
            }
        }
        self.values(&last).unwrap_or_else(|| match find_field(&last).map(|field| field.kind) {
            Some(FieldKind::Quantity(_) | FieldKind::Share | FieldKind::Number) => {
                let compared = RELATION_WORDS.iter().map(|(word, _)| (*word).to_owned());
                compared.chain(self.anything()).collect()
            }
            _ => self.anything(),
        })
    }

    /// The values that a field may have; none where they are no list.
    pub(super) fn values(&self, field: &str) -> Option<Vec<String>> {
        let field = find_field(field)?;
        Some(match (field.kind, field.name) {
            (FieldKind::Lube, _) => self.named(NameOf::Lube),
            (FieldKind::Strength, _) => self.named(NameOf::Strength),
            (FieldKind::Thread, _) => self.threads.clone(),
            (FieldKind::Choice(words), _) => words.iter().map(ToString::to_string).collect(),
            (_, "assembly") => self.named(NameOf::Assembly),
            (_, "joint") => self.named(NameOf::Joint),
            (_, "part") => self.named(NameOf::Part),
            (_, "key") => self.keys.clone(),
            _ => return None,
        })
    }

    pub(super) fn named(&self, what: NameOf) -> Vec<String> {
        let names = self.names.iter().find(|(kind, _)| *kind == what);
        names.map(|(_, names)| names.clone()).unwrap_or_default()
    }

    fn anything(&self) -> Vec<String> {
        let keywords = RESERVED.iter().map(|(word, _)| (*word).to_owned());
        let bare = self.names.iter().filter(|(what, _)| *what != NameOf::Wrench);
        let names = bare.flat_map(|(_, names)| names.iter().cloned());
        let next = NEXT.map(str::to_owned).into_iter();
        let words = next.chain(fields()).chain(keywords);
        words.chain(names).chain(self.threads.clone()).collect()
    }
}

fn open_quote(line: &str) -> Option<usize> {
    let quotes: Vec<usize> = line.match_indices('"').map(|(at, _)| at).collect();
    quotes.last().copied().filter(|_| quotes.len() % 2 == 1)
}

/// A number, or a range of which the unit is still to come: 60, 60..70.
fn is_number(word: &str) -> bool {
    let end = word.rsplit("..").next().unwrap_or(word);
    Number::parse(end, DecimalMark::Point).is_ok()
}

fn is_relation(word: &str) -> bool {
    RELATION_WORDS.iter().any(|(relation, _)| *relation == word)
}

/// The units of what the number at the end of `before` is compared with; all of
/// them where that is not known.
fn units_after(before: &str) -> Vec<String> {
    let mut words = before.rsplit([' ', ',', '(']).map(str::to_lowercase);
    let field = words.find_map(|word| find_field(&word));
    match field.map(|field| field.kind) {
        Some(FieldKind::Quantity(dimension)) => units(Some(dimension)),
        Some(FieldKind::Share) => vec!["%".to_owned()],
        _ => units(None),
    }
}

fn keys(book: &Book) -> Result<Vec<String>, Failure> {
    if book.estimate(&Access::All) > MOST_KEYS {
        return Ok(Vec::new());
    }
    let found = book.find(&Access::All)?;
    Ok(found.fasteners.iter().map(|fastener| fastener.key.clone()).collect())
}

fn fields() -> Vec<String> {
    field_words().iter().map(|word| (*word).to_owned()).collect()
}

/// The units of a dimension; without one, all and the two families.
pub(super) fn units(of: Option<Dimension>) -> Vec<String> {
    let wanted = UNITS.iter().filter(|unit| of.is_none_or(|of| unit.dimension == of));
    let families = ["metric", "inch"].into_iter().filter(|_| of.is_none());
    let symbols = wanted.map(|unit| unit.symbol.replace('·', "."));
    symbols.chain(families.map(str::to_owned)).collect()
}

fn clause(before: &str) -> Option<&'static str> {
    let words = before.split([' ', ',', '(']).rev();
    words.into_iter().find_map(|word| {
        CLAUSES.iter().map(|clause| clause.spelling()).find(|spelling| *spelling == word)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words() -> Completions {
        let list = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect();
        Completions {
            names: vec![
                (NameOf::Assembly, list(&["Marlow 6"])),
                (NameOf::Joint, list(&["oil pan", "oil pump"])),
                (NameOf::Lube, list(&["moly", "oil"])),
                (NameOf::Strength, list(&["10.9", "SAE 8"])),
                (NameOf::Wrench, list(&["W2"])),
            ],
            threads: list(&["7/16-20"]),
            keys: list(&["marlow-6-head-stud-long"]),
            saved: vec![("heads".to_owned(), "joint head, moly".to_owned())],
            commands: list(&["find", "lubes"]),
            ..Completions::default()
        }
    }

    #[track_caller]
    fn check(line: &str, start: usize, wanted: &[&str]) {
        let (at, offers) = words().candidates(line);
        let texts: Vec<&str> = offers.iter().map(|offer| offer.text.as_str()).collect();
        assert_eq!((at, texts.as_slice()), (start, wanted), "{line}");
    }

    #[test]
    fn candidates_follow_from_what_stands_before() {
        check("7/16-20 with o", 13, &["oil"]);
        check("7/16-20 with oil, m", 18, &["moly"]);
        check("7/1", 0, &["7/16-20"]);
        check("torque over 60 N.", 15, &["N.cm", "N.m"]);
        check("torq", 0, &["torque"]);
        check("strength 1", 9, &["10.9"]);
        check("grade s", 6, &["SAE 8"]);
        check("confused-with 7", 14, &["7/16-20"]);
        check("key marl", 4, &["marlow-6-head-stud-long"]);
        check("head on w", 8, &["W2"]);
        check("head show part, basi", 16, &["basis"]);
        check("assembly Marlow 6 torq", 18, &["torque"]);
        check("head units metr", 11, &["metric"]);
        check("torque over 60 l", 15, &["lb-ft", "lb-in"]);
        check("clamp over 60 kN and grip 2..3 c", 31, &["cm"]);
        check("assembly \"Mar", 9, &["\"Marlow 6\""]);
        check("head sort torque ", 17, &[&["down"], &CLAUSE_WORDS[..]].concat());
        check("head show torque ", 17, &CLAUSE_WORDS);
        check("Marlow 6 wit", 9, &["with"]);
        check("lub", 0, &["lube", "lubes", "lubricant"]);
        check("", 0, &FIRST);
        assert!(words().candidates("torque o").1.iter().any(|offer| offer.text == "over"));
        // Without a letter the usual words come first, and no figure with them.
        let first = |line: &str| words().candidates(line).1.into_iter().next().map(|o| o.text);
        assert_eq!(first("torque ").as_deref(), Some("over"));
        assert_eq!(first("oil pan ").as_deref(), Some("with"));
        assert_eq!(first("Marlow 6 ").as_deref(), Some("with"));
    }

    const CLAUSE_WORDS: [&str; 9] =
        ["with", "target", "keep", "show", "sort", "first", "tally", "units", "on"];

    #[test]
    fn what_is_offered_first_is_a_word_of_the_language_or_a_command() {
        let keywords: Vec<&str> = RESERVED.iter().map(|(word, _)| *word).collect();
        for word in FIRST {
            let is_command = ["lubes", "passes", "order", "log", "help"].contains(&word);
            assert!(is_command || keywords.contains(&word) || find_field(word).is_some(), "{word}");
        }
    }

    #[test]
    fn a_name_of_several_words_is_completed_from_its_start() {
        check("oil p", 0, &["oil pan", "oil pump"]);
        check("bolts oil pu", 6, &["oil pump"]);
        check("head, marlow ", 6, &["Marlow 6"]);
    }

    #[test]
    fn the_name_of_a_saved_question_becomes_the_question() {
        let (at, offers) = words().candidates("heads");
        let offer = Offer {
            shown: "heads: joint head, moly".to_owned(),
            text: "joint head, moly".to_owned(),
        };
        assert_eq!((at, offers), (0, vec![offer]));
        assert!(!words().candidates("").1.iter().any(|offer| offer.shown.starts_with("heads:")));
    }
}

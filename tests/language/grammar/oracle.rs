//! What the two grammar files say about a whole question.
//!
//! The order of trial, the ends of tokens and the words in their place are
//! those that the comments of the files describe; everything else is read from
//! the rules.

use std::collections::HashMap;

use super::notation::{Notation, Recogniser, Symbol};

/// The two files.
pub(crate) struct Oracle {
    /// Over characters.
    pub(crate) tokens: Notation,
    /// Over classes of tokens, a blank after each.
    pub(crate) query: Notation,
    /// The words that count in their place, the rule that lists each, and the
    /// class that it is there.
    placed: HashMap<String, (&'static str, String)>,
}

/// The rules that list the words that count in their place, and their classes.
const PLACED: &[(&str, &str)] = &[
    ("relation-word", "REL"),
    ("times-word", "TIMES"),
    ("share-word", "SHARE"),
    ("family-word", "FAMILY"),
];

/// A token as `tokens.bnf` cuts it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Cut {
    /// The alternative of `<token>` that it is, or of a part of a range.
    pub(crate) class: String,
    /// First byte in the folded text.
    pub(crate) start: usize,
    /// One past its last byte.
    pub(crate) end: usize,
    /// The number of trees.
    pub(crate) trees: u32,
}

/// The alternatives of `<token>`, in their order.
const ORDER: &[&str] = &[
    "mark",
    "quoted",
    "range",
    "quantity",
    "dash-range",
    "keyword",
    "thread",
    "number",
    "operator",
    "date",
    "field",
    "glued",
    "word",
];

/// The alternatives of `<units-token>`, in their order; the last is a word.
const UNITS_ORDER: &[&str] = &["mark", "quoted-unit", "quoted", "keyword", "unit", "family"];

impl Oracle {
    /// Loads both files.
    pub(crate) fn load() -> Self {
        let tokens = Notation::load("tokens.bnf", "");
        let query = Notation::load("query.bnf", " ");
        let mut placed: HashMap<_, _> = ["first", "down", "total", "x"]
            .map(|word| (word.to_owned(), ("in-place", word.to_owned())))
            .into();
        for (rule, class) in PLACED {
            let words = query.language(rule);
            let row = |word: &String| (word.trim().to_owned(), (*rule, (*class).to_owned()));
            placed.extend(words.iter().map(row));
        }
        Self { tokens, query, placed }
    }

    /// The orders above, as the rules of the file have them.
    pub(crate) fn orders(&self) -> [(&'static str, Vec<String>, Vec<String>); 2] {
        let stated = |rule: &str| {
            let rule = &self.tokens.rules[self.tokens.rule(rule)];
            let name = |symbol: &Symbol| match symbol {
                Symbol::Rule(rule) => self.tokens.rules[*rule].name.clone(),
                Symbol::Text(text) => text.clone(),
            };
            rule.alternatives.iter().map(|one| one.iter().map(name).collect()).collect()
        };
        let known = |order: &[&str]| order.iter().map(|name| (*name).to_owned()).collect();
        let mut units: Vec<String> = known(UNITS_ORDER);
        units.push("first".to_owned());
        [("token", stated("token"), known(ORDER)), ("units-token", stated("units-token"), units)]
    }

    /// The tokens of `text` (folded), or None if it cannot be cut.
    pub(crate) fn cut(&self, text: &str) -> Option<Vec<Cut>> {
        let parser = Recogniser::new(&self.tokens, text);
        let mut cuts: Vec<Cut> = Vec::new();
        let (mut at, mut in_units) = (0, false);
        loop {
            at = text.len() - text[at..].trim_start_matches(' ').len();
            if at == text.len() {
                return Some(cuts);
            }
            let cut = match units_token(&parser, text, at).filter(|_| in_units) {
                Some(unit) => unit,
                None if in_units && !is_first(text, at) => return None,
                None => {
                    in_units = false;
                    token(&parser, text, at)?
                }
            };
            at = cut.end;
            if cut.class == "keyword" {
                let clause = parser.ends("clause-word", cut.start).reach(at);
                in_units = &text[cut.start..at] == "units" || in_units && !clause;
            }
            match cut.class.as_str() {
                "dash-range" | "glued" => return None,
                "range" => cuts.extend(range_parts(&parser, text, &cut)),
                _ => cuts.push(cut),
            }
        }
    }

    /// The classes of the tokens of `text`, words in their place told apart.
    pub(crate) fn classes(&self, text: &str) -> Option<Vec<String>> {
        let cuts = self.cut(text)?;
        let parser = Recogniser::new(&self.tokens, text);
        let mut classes: Vec<String> =
            cuts.iter().map(|cut| terminal(&parser, text, cut)).collect();
        let mut clause = "outside".to_owned();
        for at in 0..classes.len() {
            let word = &text[cuts[at].start..cuts[at].end];
            let before = at.checked_sub(1).map_or("nothing", |before| classes[before].as_str());
            let after = classes.get(at + 1).map_or("nothing", String::as_str);
            if let Some((rule, class)) = self.placed.get(word) {
                let row = format!("{clause} {before} {word} {after} ");
                let may_be = match classes[at].as_str() {
                    "WORD" => true,
                    // A field can be a share of something, a unit a family.
                    "FIELD" => *rule == "share-word",
                    "UNIT" => *rule == "family-word",
                    _ => false,
                };
                if may_be && Recogniser::new(&self.query, &row).trees("in-place") > 0 {
                    classes[at].clone_from(class);
                }
            }
            let is_clause = parser.ends("clause-word", cuts[at].start).reach(cuts[at].end);
            if cuts[at].class == "keyword" && is_clause || classes[at] == "first" {
                clause = format!("in-{word}");
            }
        }
        Some(classes)
    }

    /// The number of trees of `text` (folded) as a question; 0 if it is none.
    pub(crate) fn trees(&self, text: &str) -> u32 {
        let Some(classes) = self.classes(text) else { return 0 };
        let sentence = classes.join(" ") + " ";
        Recogniser::new(&self.query, &sentence).trees("question")
    }
}

/// Whether a token that is no mark can end before byte `at`.
fn ends_here(parser: &Recogniser<'_>, text: &str, at: usize) -> bool {
    let rest = &text[at..];
    rest.is_empty()
        || rest.starts_with([' ', ',', '(', ')'])
        || parser.ends("comparison", at).ends().next().is_some()
}

/// The longest text of the rule `class` from `at` that ends where a token can.
fn longest(parser: &Recogniser<'_>, text: &str, class: &str, at: usize) -> Option<Cut> {
    let ends = parser.ends(class, at);
    let fits = |end: usize| class == "mark" || ends_here(parser, text, end);
    let vetoed = |end: usize| class == "thread" && super::threads::is_none(parser, text, at, end);
    let end = ends.ends().rev().find(|end| fits(*end) && !vetoed(*end))?;
    Some(Cut { class: class.to_owned(), start: at, end, trees: ends.trees(end) })
}

fn token(parser: &Recogniser<'_>, text: &str, at: usize) -> Option<Cut> {
    ORDER.iter().find_map(|class| longest(parser, text, class, at))
}

fn units_token(parser: &Recogniser<'_>, text: &str, at: usize) -> Option<Cut> {
    let mut cut = UNITS_ORDER.iter().find_map(|class| longest(parser, text, class, at))?;
    match cut.class.as_str() {
        "quoted-unit" => "unit".clone_into(&mut cut.class),
        "family" => "word".clone_into(&mut cut.class),
        _ => {}
    }
    Some(cut)
}

fn is_first(text: &str, at: usize) -> bool {
    let word = text[at..].split([' ', ',', '(', ')', '=', '<', '>', '≠', '≤', '≥']).next();
    word == Some("first")
}

/// Both ends of a range and what stands between them.
fn range_parts(parser: &Recogniser<'_>, text: &str, range: &Cut) -> Vec<Cut> {
    for low in parser.ends("range-end", range.start).ends() {
        for dots in parser.ends("dots", low).ends() {
            if parser.ends("range-end", dots).reach(range.end) {
                let part = |start: usize, end: usize, trees: u32| {
                    let start = end - text[start..end].trim_start_matches(' ').len();
                    let end = start + text[start..end].trim_end_matches(' ').len();
                    Cut { class: String::new(), start, end, trees }
                };
                let mut parts = vec![
                    part(range.start, low, range.trees),
                    part(low, dots, 1),
                    part(dots, range.end, 1),
                ];
                for end in [0, 2] {
                    let quantity = parser.ends("quantity", parts[end].start);
                    let class = if quantity.reach(parts[end].end) { "quantity" } else { "number" };
                    class.clone_into(&mut parts[end].class);
                }
                "..".clone_into(&mut parts[1].class);
                return parts;
            }
        }
    }
    Vec::new()
}

/// The terminal of `query.bnf` that a token is, before its place is looked at.
fn terminal(parser: &Recogniser<'_>, text: &str, cut: &Cut) -> String {
    let word = &text[cut.start..cut.end];
    let measures = |unit: &str| {
        parser.ends("number", cut.start).ends().any(|at| {
            let after = cut.end - text[at..cut.end].trim_start_matches(' ').len();
            parser.ends(unit, after).reach(cut.end)
        })
    };
    match cut.class.as_str() {
        "mark" if !matches!(word, "," | "(" | ")") => "REL",
        "mark" | "keyword" => word,
        ".." => "..",
        "operator" if matches!(word, "+" | "-") => "PLUS",
        "operator" => "TIMES",
        "quantity" if measures("share-unit") => "PERCENT",
        "quantity" if measures("force-unit") => "FORCE",
        "quantity" => "QUANTITY",
        "number" if word.bytes().all(|byte| byte.is_ascii_digit()) && word != "0" => "COUNT",
        "number" => "NUMBER",
        "quoted" => "QUOTED",
        "thread" => "THREAD",
        "unit" => "UNIT",
        "date" => "DATE",
        "field" => "FIELD",
        _ => "WORD",
    }
    .to_owned()
}

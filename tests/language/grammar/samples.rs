//! Texts for the classes of `query.bnf`.

use rand::Rng;
use rand::rngs::StdRng;

/// One text for each class, such that neighbours never run together.
const PLAIN: &[(&str, &str)] = &[
    ("FIELD", "torque"),
    ("WORD", "stud"),
    ("QUOTED", "\"oil pan\""),
    ("THREAD", "M10x1.5"),
    ("DATE", "2020-05"),
    ("COUNT", "10"),
    ("NUMBER", "0.5"),
    ("PERCENT", "75%"),
    ("FORCE", "70 kN"),
    ("QUANTITY", "60 N.m"),
    ("REL", ">"),
    ("PLUS", "+"),
    ("TIMES", "*"),
    ("UNIT", "N.m"),
    ("FAMILY", "metric"),
    ("SHARE", "proof"),
];

/// More texts, words in their place among them.
const MORE: &[&str] = &[
    "torque",
    "clamp",
    "hole",
    "proof",
    "k",
    "stud",
    "head",
    "oil",
    "over",
    "under",
    "at-least",
    "about",
    "per",
    "times",
    "first",
    "down",
    "total",
    "x",
    "to",
    "proof",
    "combined",
    "metric",
    "inch",
    "24-017",
    "2020-05",
    "2020-05-12",
    "R12",
    "\"Marlow 6\"",
    "\"60 N.m\"",
    "M10",
    "7/16",
    "7/16-20",
    "10-24",
    "G 1/4",
    "0",
    "10",
    "2",
    "0.5",
    "7/16 in",
    "60 N.m",
    "75%",
    "70 kN",
    "3.5\"",
    "60..80 N.m",
    "1 to 2",
    ">",
    "!=",
    "≥",
    "+",
    "-",
    "*",
    "/",
    ",",
    "(",
    ")",
    "..",
    "and",
    "or",
    "not",
    "has",
    "lacks",
    "no",
    "confused-with",
    "with",
    "target",
    "keep",
    "show",
    "sort",
    "tally",
    "units",
    "on",
    "kN",
    "ft lbs",
    "coarse",
    "LH",
    "in",
    "60-80",
];

/// A text for the class `class`.
pub(crate) fn of_class(class: &str) -> &str {
    PLAIN.iter().find(|row| row.0 == class).map_or(class, |row| row.1)
}

/// The text of a sentence of `query.bnf`.
pub(crate) fn text_of(sentence: &str) -> String {
    let texts: Vec<&str> = sentence.split_whitespace().map(of_class).collect();
    texts.join(" ")
}

/// Some text, by chance.
pub(crate) fn any(chance: &mut StdRng) -> &'static str {
    MORE[chance.random_range(0..MORE.len())]
}

//! Check 2: the words of the files are those of the program's tables, both ways.

use std::collections::BTreeSet;

use clampbook::quantity::UNITS;
use clampbook::query::syntax::{
    CLAUSES, FAMILIES, Keyword, OPERATOR_SIGNS, OPERATOR_WORDS, RELATION_SIGNS, RELATION_WORDS,
    RESERVED, SHARES,
};
use clampbook::record::field_words;
use clampbook::thread::SERIES;

use super::notation::{Notation, Symbol};
use super::oracle::Oracle;

type Words = BTreeSet<String>;

fn language(notation: &Notation, rules: &[&str]) -> Words {
    let all = rules.iter().flat_map(|rule| notation.language(rule));
    all.map(|word| word.trim_end().to_owned()).collect()
}

fn spellings<T>(table: &[(&str, T)]) -> Words {
    table.iter().map(|row| row.0.to_owned()).collect()
}

/// Every way to write a spelling of [`UNITS`], as its docstring says: a `-` is
/// one of four signs or nothing, with or without a blank.
fn written(spelling: &str) -> Vec<String> {
    let mut all = vec![String::new()];
    for (at, part) in spelling.split('-').enumerate() {
        let joints: &[&str] = match at {
            0 => &[""],
            _ => &["", " ", "-", "- ", ".", ". ", "·", "· ", "*", "* "],
        };
        let join = |text: &String| -> Vec<String> {
            joints.iter().map(|joint| format!("{text}{joint}{part}")).collect()
        };
        all = all.iter().flat_map(join).collect();
    }
    all
}

#[test]
fn units() {
    let oracle = Oracle::load();
    let spelled = UNITS.iter().flat_map(|unit| unit.spellings).flat_map(|one| written(one));
    // The inch mark has a rule of its own: it opens text after a blank.
    let table: Words = spelled.filter(|text| text != "\"").collect();
    let file = language(&oracle.tokens, &["unit"]);
    assert_eq!(file.symmetric_difference(&table).collect::<Vec<_>>(), [""; 0]);
    assert!(file.len() > 300, "{}", file.len());
}

#[test]
fn no_two_units_differ_only_by_case() {
    let mut seen = BTreeSet::new();
    for spelling in UNITS.iter().flat_map(|unit| unit.spellings).flat_map(|one| written(one)) {
        assert!(seen.insert(spelling.to_lowercase()), "{spelling}");
    }
}

#[test]
fn series() {
    let oracle = Oracle::load();
    let rules = ["unified-series", "other-series", "metric-series", "g-series", "r-series"];
    // BSPP after the size has a rule of its own, for its classes.
    let table: Words =
        SERIES.iter().flat_map(|row| row.spellings).map(|word| (*word).to_owned()).collect();
    assert_eq!(language(&oracle.tokens, &rules), table);
}

#[test]
fn fields() {
    let oracle = Oracle::load();
    let table: Words = field_words().iter().map(|word| (*word).to_owned()).collect();
    let listed = language(&oracle.tokens, &["field"]);
    let differ: Vec<&String> = listed.symmetric_difference(&table).collect();
    assert_eq!(differ, [""; 0], "in grammar/tokens.bnf or in FIELDS alone");
}

#[test]
fn words_and_signs_of_the_language() {
    let oracle = Oracle::load();
    let (tokens, query) = (&oracle.tokens, &oracle.query);
    assert_eq!(language(tokens, &["keyword"]), spellings(RESERVED));
    assert_eq!(language(query, &["keyword"]), spellings(RESERVED));
    assert_eq!(language(tokens, &["comparison"]), spellings(RELATION_SIGNS));
    assert_eq!(language(tokens, &["operator"]), spellings(OPERATOR_SIGNS));
    assert_eq!(language(tokens, &["family"]), spellings(FAMILIES));
    assert_eq!(language(query, &["relation-word"]), spellings(RELATION_WORDS));
    assert_eq!(language(query, &["times-word"]), spellings(OPERATOR_WORDS));
    assert_eq!(language(query, &["share-word"]), spellings(SHARES));
    assert_eq!(language(query, &["family-word"]), spellings(FAMILIES));
    let mut clauses = language(tokens, &["clause-word"]);
    clauses.insert(Keyword::First.spelling().to_owned());
    assert_eq!(clauses, CLAUSES.iter().map(|clause| clause.spelling().to_owned()).collect());
}

/// Each clause of the program has its alternative in `<clause>`, and no other.
#[test]
fn clauses() {
    let query = Oracle::load().query;
    let rule = &query.rules[query.rule("clause")];
    let first = |one: &Vec<Symbol>| match &one[0] {
        Symbol::Text(text) => text.trim().to_owned(),
        Symbol::Rule(_) => panic!("a clause starts with its word"),
    };
    let file: Vec<String> = rule.alternatives.iter().map(first).collect();
    let table: Vec<String> = CLAUSES.iter().map(|clause| clause.spelling().to_owned()).collect();
    assert_eq!(file, table);
}

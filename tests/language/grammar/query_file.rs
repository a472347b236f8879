//! Checks 3, 4, 5, 7 and 8 of `query.bnf`: the program reads questions as it
//! says.
//!
//! `CLAMPBOOK_EDITS=100000 cargo test --test language edited` changes more texts.

use bnf::Term;
use clampbook::query::syntax::{SyntaxError, parse};
use clampbook::record::field_words;
use rand::rngs::StdRng;
use rand::{Rng, SeedableRng};

use super::edits::{count, one_character, one_token};
use super::fold::{fold, is_extreme};
use super::judge::{Reader, cut, cut_dispute, dispute, is_limit, program};
use super::lists::accepted;
use super::notation::Recogniser;
use super::oracle::Oracle;
use super::samples::{any, text_of};
use super::sentences::Sentences;

/// A sentence of classes as text: the program has to find those classes again,
/// accept the text, and print it such that it reads the same.
fn check_sentence(sentence: &str) {
    let text = text_of(sentence);
    let classes: Vec<String> = cut(&text).unwrap().into_iter().map(|piece| piece.0).collect();
    assert_eq!(classes, sentence.split_whitespace().collect::<Vec<_>>(), "{text:?}");
    match parse(&text, field_words()) {
        Ok(tree) => {
            let printed = tree.to_string();
            assert_eq!(
                parse(&printed, field_words()).as_ref(),
                Ok(&tree),
                "{text:?} → {printed:?}"
            );
        }
        Err(error) => assert!(is_limit(&error), "{text:?}: {error}"),
    }
}

#[test]
fn the_shortest_sentence_of_every_alternative_is_accepted() {
    let oracle = Oracle::load();
    let sentences = Sentences::new(&oracle.query);
    let cover = sentences.cover("question");
    assert!(cover.len() > 100, "{}", cover.len());
    for cover in cover {
        check_sentence(&cover.text);
    }
}

#[test]
fn walks_are_accepted_and_printed_alike() {
    let oracle = Oracle::load();
    let sentences = Sentences::new(&oracle.query);
    let limit = sentences.height("question").unwrap() + 1;
    for seed in 0..300 {
        let mut chance = StdRng::seed_from_u64(seed);
        for depth in [limit, limit + 6, limit + 12] {
            check_sentence(&sentences.walk("question", depth, &mut chance));
        }
    }
}

/// Texts to change: the hand list, tokens in no order at all, and walks.
struct Base<'a> {
    list: Vec<String>,
    sentences: Sentences<'a>,
}

impl<'a> Base<'a> {
    fn new(oracle: &'a Oracle) -> Self {
        Self { list: accepted(), sentences: Sentences::new(&oracle.query) }
    }

    fn text(&self, chance: &mut StdRng) -> String {
        match chance.random_range(0..3) {
            0 => self.list[chance.random_range(0..self.list.len())].clone(),
            1 => {
                let count = chance.random_range(1..6);
                (0..count).map(|_| any(chance)).collect::<Vec<_>>().join(" ")
            }
            _ => text_of(&self.sentences.walk("question", 12, chance)),
        }
    }
}

/// The disputes of `count` changed texts with `reader`.
fn disputes<'a>(
    oracle: &'a Oracle,
    reader: Reader<'a>,
    count: u64,
) -> impl Iterator<Item = String> {
    let base = Base::new(oracle);
    (0..count).filter_map(move |seed| {
        let mut chance = StdRng::seed_from_u64(seed);
        let text = base.text(&mut chance);
        let text = if seed % 2 == 0 {
            one_character(&text, &mut chance)
        } else {
            one_token(&text.split(' ').collect::<Vec<_>>(), &mut chance)
        };
        dispute(oracle, reader, &text).map(|line| format!("seed {seed}: {line}"))
    })
}

/// The same for the tokens of the program.
fn cut_disputes(oracle: &Oracle, count: u64) -> Vec<String> {
    let base = Base::new(oracle);
    let mut found = Vec::new();
    for seed in 0..count {
        let mut chance = StdRng::seed_from_u64(seed);
        let text = base.text(&mut chance);
        let text = fold(&one_token(&text.split(' ').collect::<Vec<_>>(), &mut chance));
        if !is_extreme(&text) {
            found.extend(cut_dispute(oracle, &text).map(|line| format!("seed {seed}: {line}")));
        }
    }
    found
}

#[test]
fn edited_questions_are_judged_alike() {
    let oracle = Oracle::load();
    let mut found: Vec<String> = disputes(&oracle, &program, count(2000)).collect();
    found.extend(cut_disputes(&oracle, count(2000) / 3));
    assert!(found.is_empty(), "{}:\n{}", found.len(), found[..found.len().min(12)].join("\n"));
}

/// Every row of `<in-place>`, read as text, makes its word what the row says.
#[test]
fn words_count_in_their_place() {
    let oracle = Oracle::load();
    let sentences = Sentences::new(&oracle.query);
    let mut chance = StdRng::seed_from_u64(5);
    let mut rows: Vec<String> =
        sentences.cover("in-place").into_iter().map(|cover| cover.text).collect();
    rows.extend((0..2000).map(|_| sentences.walk("in-place", 12, &mut chance)));
    let mut checked = 0;
    for row in &rows {
        let parts: Vec<&str> = row.split_whitespace().collect();
        let [clause, before, word, after] = parts[..] else { panic!("{row:?}") };
        let lead = clause.strip_prefix("in-").unwrap_or("");
        let lead = if lead == "first" { "first 10" } else { lead };
        let around = [before, word, after].map(|part| if part == "nothing" { "" } else { part });
        let text = format!("{lead} {}", text_of(&around.join(" ")));
        let folded = fold(text.trim());
        checked += usize::from(oracle.classes(&folded).is_some());
        assert_eq!(cut_dispute(&oracle, &folded), None, "{row}");
    }
    assert!(checked * 2 > rows.len(), "{checked} of {}", rows.len());
}

#[test]
fn every_question_has_one_tree() {
    let oracle = Oracle::load();
    let sentences = Sentences::new(&oracle.query);
    let cover: Vec<String> =
        sentences.cover("question").into_iter().map(|cover| cover.text).collect();
    let mut chance = StdRng::seed_from_u64(9);
    let walks = (0..1000).map(|_| sentences.walk("question", 14, &mut chance));
    for sentence in cover.iter().cloned().chain(walks) {
        assert_eq!(Recogniser::new(&oracle.query, &sentence).trees("question"), 1, "{sentence}");
    }
    for question in accepted() {
        assert_eq!(oracle.trees(&fold(&question)), 1, "{question:?}");
    }
    let earley = oracle.query.grammar.build_parser().unwrap();
    let start = Term::Nonterminal("question".to_owned());
    for sentence in cover.iter().step_by(2) {
        let trees = earley.parse_input_starting_with(sentence, &start).take(2).count();
        assert_eq!(trees, 1, "{sentence}");
    }
}

/// The net itself: each of these readers is loosened or tightened in one place,
/// and the check of edits has to find it.
#[test]
fn loosened_parsers_are_caught() {
    let oracle = Oracle::load();
    let mutants: &[(&str, Reader<'_>)] = &[
        ("takes a line end for a blank", &|text| program(&text.replace('\n', " "))),
        ("drops a last comma", &|text| program(text.trim_end().trim_end_matches(','))),
        ("takes `5.` for a number", &|text| program(&text.replace(". ", " "))),
        ("closes a quote by itself", &closes_quotes),
        ("takes `first` without a number", &|text| {
            program(text.strip_suffix(" first").unwrap_or(text))
        }),
        ("does not know ≠", &|text| program(&text.replace('≠', "~"))),
        ("takes any word for a unit", &|text| {
            program(text).or_else(|error| match error.diagnostic().code {
                "unknown-unit" => Ok(()),
                _ => Err(error),
            })
        }),
    ];
    for (what, mutant) in mutants {
        assert!(disputes(&oracle, mutant, 6000).next().is_some(), "not caught: {what}");
    }
}

fn closes_quotes(text: &str) -> Result<(), SyntaxError> {
    let open = text.matches('"').count() % 2 == 1;
    if open { program(&format!("{text}\"")) } else { program(text) }
}

//! Checks 3, 4, 5 and 7 of `tokens.bnf`: the program cuts texts as it says.

use bnf::Term;
use rand::rngs::StdRng;
use rand::{Rng, SeedableRng};

use super::edits::{count, one_character};
use super::fold::{fold, is_extreme};
use super::judge::{cut, cut_dispute, is_limit};
use super::notation::Recogniser;
use super::oracle::Oracle;
use super::sentences::Sentences;

/// Fails with the first disputes, if there are any.
fn settle(disputes: &[String]) {
    let some = disputes.iter().take(12).map(String::as_str).collect::<Vec<_>>().join("\n");
    assert!(disputes.is_empty(), "{} disputes:\n{some}", disputes.len());
}

/// Whether the program has something to say about `text` that the files have too.
fn is_telling(text: &str) -> bool {
    !is_extreme(text) && !cut(text).is_err_and(|error| is_limit(&error))
}

/// A sentence for every alternative of the file, with its rule: the shortest,
/// or if that is a thread that cannot be, another by chance.
fn cover(oracle: &Oracle) -> Vec<(String, String)> {
    let sentences = Sentences::new(&oracle.tokens);
    let mut chance = StdRng::seed_from_u64(1);
    let mut all = Vec::new();
    let mut silent = Vec::new();
    for cover in sentences.cover("token") {
        let others = (0..400).map(|_| sentences.other("token", &cover, &mut chance));
        match std::iter::once(cover.text.clone()).chain(others).find(|text| is_telling(text)) {
            Some(text) => all.push((cover.rule.to_owned(), text)),
            None => silent.push(format!("<{}> {}", cover.rule, cover.text)),
        }
    }
    assert!(silent.len() * 50 < all.len(), "nothing to judge:\n{}", silent.join("\n"));
    all
}

#[test]
fn the_shortest_sentence_of_every_alternative_is_cut_alike() {
    let oracle = Oracle::load();
    let cover = cover(&oracle);
    assert!(cover.len() > 700, "{}", cover.len());
    let disputes: Vec<String> = cover
        .iter()
        .filter_map(|(rule, text)| Some(format!("<{rule}> {}", cut_dispute(&oracle, text)?)))
        .collect();
    settle(&disputes);
}

#[test]
fn walks_are_cut_alike() {
    let oracle = Oracle::load();
    let sentences = Sentences::new(&oracle.tokens);
    let limit = sentences.height("token").unwrap() + 1;
    let mut disputes = Vec::new();
    for seed in 0..300 {
        let mut chance = StdRng::seed_from_u64(seed);
        for depth in [limit, limit + 4, limit + 12] {
            let text = sentences.walk("token", depth, &mut chance);
            if !is_extreme(&text) {
                let dispute = cut_dispute(&oracle, &text);
                disputes.extend(dispute.map(|line| format!("seed {seed}: {line}")));
            }
        }
    }
    settle(&disputes);
}

/// Threads, quantities and ranges have the most forms: they get walks of their
/// own, with a second token after them.
#[test]
fn edited_tokens_are_cut_alike() {
    let oracle = Oracle::load();
    let sentences = Sentences::new(&oracle.tokens);
    let cover = cover(&oracle);
    let mut disputes = Vec::new();
    let mut chance = StdRng::seed_from_u64(7);
    for edit in 0..count(6000) {
        let mut text = match edit % 4 {
            0 => cover[chance.random_range(0..cover.len())].1.clone(),
            1 => sentences.walk("thread", 12, &mut chance),
            2 => sentences.walk("range", 10, &mut chance),
            _ => sentences.walk("token", 12, &mut chance),
        };
        if edit % 3 == 0 {
            text.push(' ');
            text.push_str(&cover[chance.random_range(0..cover.len())].1);
        }
        let text = fold(&one_character(&text, &mut chance));
        if !is_extreme(&text) {
            let dispute = cut_dispute(&oracle, &text);
            disputes.extend(dispute.map(|line| format!("edit {edit}: {line}")));
        }
    }
    settle(&disputes);
}

/// After `units` other rules hold.
#[test]
fn units_are_cut_alike() {
    let oracle = Oracle::load();
    let sentences = Sentences::new(&oracle.tokens);
    let mut chance = StdRng::seed_from_u64(11);
    let cover = sentences.cover("units-token").into_iter().map(|cover| cover.text);
    let mut texts: Vec<String> = cover.map(|text| format!("units {text}")).collect();
    for _ in 0..500 {
        let token = |chance: &mut StdRng| sentences.walk("units-token", 8, chance);
        let text = format!("units {} {} 10 head", token(&mut chance), token(&mut chance));
        texts.push(fold(&one_character(&text, &mut chance)));
    }
    let disputes: Vec<String> = texts
        .iter()
        .filter(|text| !is_extreme(text))
        .filter_map(|text| cut_dispute(&oracle, text))
        .collect();
    settle(&disputes);
}

/// One tree: by the recogniser for every token of every sentence, and by the
/// Earley parser of the library for a sample, in which the two agree.
#[test]
fn every_token_has_one_tree() {
    let oracle = Oracle::load();
    let cover = cover(&oracle);
    for (rule, text) in &cover {
        for token in oracle.cut(text).unwrap_or_default() {
            assert_eq!(token.trees, 1, "<{rule}> {text:?} as <{}>", token.class);
        }
    }
    let earley = oracle.tokens.grammar.build_parser().unwrap();
    let mut chance = StdRng::seed_from_u64(3);
    for (rule, text) in cover.iter().step_by(3) {
        let text = if chance.random_bool(0.5) { text } else { &one_character(text, &mut chance) };
        let start = Term::Nonterminal("token".to_owned());
        let trees = earley.parse_input_starting_with(text, &start).take(2).count();
        let own = Recogniser::new(&oracle.tokens, text).trees("token");
        assert_eq!(trees, own.min(2) as usize, "<{rule}> {text:?}");
    }
}

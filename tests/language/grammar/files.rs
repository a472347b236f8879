//! Check 1: both files are sound.

use std::collections::HashSet;

use super::notation::{Notation, Symbol};
use super::oracle::Oracle;
use super::sentences::Sentences;

/// The rules that stand for no part of another: where reading starts.
const ROOTS: [(&str, &[&str]); 2] = [("tokens", &["text"]), ("query", &["question", "in-place"])];

fn both(oracle: &Oracle) -> [(&'static str, &Notation, &'static [&'static str]); 2] {
    let [tokens, query] = ROOTS;
    [(tokens.0, &oracle.tokens, tokens.1), (query.0, &oracle.query, query.1)]
}

#[test]
fn the_library_finds_nothing_wrong() {
    let oracle = Oracle::load();
    for (name, notation, _) in both(&oracle) {
        assert!(notation.grammar.validate().is_ok(), "{name}");
    }
}

/// What the library lets pass: a rule written twice (only the first counts), a
/// comment that hides alternatives, a tab that looks like a blank.
#[test]
fn no_line_says_other_than_it_seems_to() {
    let oracle = Oracle::load();
    for (name, notation, _) in both(&oracle) {
        let mut left = HashSet::new();
        for line in notation.source.lines() {
            assert!(!line.contains('\t'), "{name}: a tab in {line:?}");
            if let Some((rule, _)) = line.split_once("::=") {
                assert!(left.insert(rule.trim().to_owned()), "{name}: {rule} stands twice");
            }
            let outside = line.split(['"', '\'']).step_by(2).collect::<String>();
            let comment = line.starts_with(';');
            assert!(comment || !outside.contains(';'), "{name}: a comment after code: {line:?}");
            assert!(line.chars().count() <= 100, "{name}: too wide: {line:?}");
        }
    }
}

#[test]
fn every_rule_is_reached_and_ends() {
    let oracle = Oracle::load();
    for (name, notation, roots) in both(&oracle) {
        assert_eq!(Sentences::new(notation).endless(), [""; 0], "{name}");
        let mut reached = HashSet::new();
        let mut waiting: Vec<usize> = roots.iter().map(|root| notation.rule(root)).collect();
        while let Some(rule) = waiting.pop() {
            if reached.insert(rule) {
                let symbols = notation.rules[rule].alternatives.iter().flatten();
                waiting.extend(symbols.filter_map(|symbol| match symbol {
                    Symbol::Rule(inner) => Some(*inner),
                    Symbol::Text(_) => None,
                }));
            }
        }
        for (at, rule) in notation.rules.iter().enumerate() {
            assert!(reached.contains(&at), "{name}: nothing leads to <{}>", rule.name);
        }
    }
}

/// A rule that starts with itself would keep the recogniser from ending.
#[test]
fn no_rule_starts_with_itself() {
    let oracle = Oracle::load();
    for (name, notation, _) in both(&oracle) {
        let may_be_empty = |rule: usize| {
            notation.rules[rule].alternatives.iter().any(|one| {
                one.iter().all(|symbol| matches!(symbol, Symbol::Text(text) if text.is_empty()))
            })
        };
        for start in 0..notation.rules.len() {
            let (mut seen, mut waiting) = (HashSet::new(), vec![start]);
            while let Some(rule) = waiting.pop() {
                for alternative in &notation.rules[rule].alternatives {
                    for symbol in alternative {
                        let Symbol::Rule(inner) = symbol else { break };
                        assert_ne!(*inner, start, "{name}: <{}>", notation.rules[start].name);
                        if seen.insert(*inner) {
                            waiting.push(*inner);
                        }
                        if !may_be_empty(*inner) {
                            break;
                        }
                    }
                }
            }
        }
    }
}

#[test]
fn the_order_of_trial_is_that_of_the_file() {
    for (name, stated, tried) in Oracle::load().orders() {
        assert_eq!(stated, tried, "<{name}>");
    }
}

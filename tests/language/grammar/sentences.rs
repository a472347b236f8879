//! Sentences of a grammar: the shortest for every alternative, and walks that
//! always end.
//!
//! A walk that chooses freely in a grammar with parentheses does not end: each
//! expression brings more than one new one. So past a depth it takes the
//! alternative of the least height.

use std::collections::VecDeque;

use rand::Rng;
use rand::rngs::StdRng;

use super::notation::{Notation, Symbol};

/// A sentence that holds one alternative.
pub(crate) struct Cover<'a> {
    /// The rule that has the alternative.
    pub(crate) rule: &'a str,
    /// The shortest such sentence.
    pub(crate) text: String,
    /// From the start to the alternative.
    way: Vec<Step>,
}

/// The alternative chosen for a rule, and the symbol of it that leads on.
#[derive(Clone, Copy)]
struct Step {
    chosen: usize,
    at: usize,
}

/// The parts of a grammar that generation needs.
pub(crate) struct Sentences<'a> {
    notation: &'a Notation,
    heights: Vec<Option<usize>>,
    shortest: Vec<String>,
}

impl<'a> Sentences<'a> {
    /// For `notation`, whose rules all have to be of finite height.
    pub(crate) fn new(notation: &'a Notation) -> Self {
        let heights = heights(notation);
        let shortest = shortest(notation);
        Self { notation, heights, shortest }
    }

    /// The least number of rules below the rule `name`; None if it never ends.
    pub(crate) fn height(&self, name: &str) -> Option<usize> {
        self.heights[self.notation.rule(name)]
    }

    /// The names of rules that never end.
    pub(crate) fn endless(&self) -> Vec<&str> {
        let rules = self.notation.rules.iter().zip(&self.heights);
        rules.filter(|row| row.1.is_none()).map(|row| row.0.name.as_str()).collect()
    }

    /// For every alternative that can be reached from the rule `start`, the
    /// shortest sentence that holds it.
    pub(crate) fn cover(&self, start: &str) -> Vec<Cover<'_>> {
        let start = self.notation.rule(start);
        let mut around = vec![None; self.notation.rules.len()];
        around[start] = Some((String::new(), String::new(), Vec::new()));
        let mut waiting = VecDeque::from([start]);
        let mut covers = Vec::new();
        while let Some(rule) = waiting.pop_front() {
            let (before, after, way): (String, String, Vec<Step>) = around[rule].clone().unwrap();
            for (chosen, alternative) in self.notation.rules[rule].alternatives.iter().enumerate() {
                let texts: Vec<&str> = alternative.iter().map(|one| self.short(one)).collect();
                for (at, symbol) in alternative.iter().enumerate() {
                    if let Symbol::Rule(inner) = symbol
                        && around[*inner].is_none()
                    {
                        let left = format!("{before}{}", texts[..at].concat());
                        let right = format!("{}{after}", texts[at + 1..].concat());
                        let way = [way.clone(), vec![Step { chosen, at }]].concat();
                        around[*inner] = Some((left, right, way));
                        waiting.push_back(*inner);
                    }
                }
                covers.push(Cover {
                    rule: &self.notation.rules[rule].name,
                    text: format!("{before}{}{after}", texts.concat()),
                    way: [way.clone(), vec![Step { chosen, at: usize::MAX }]].concat(),
                });
            }
        }
        covers
    }

    /// Another sentence of the rule `start` with the same alternative in it,
    /// by chance.
    pub(crate) fn other(&self, start: &str, cover: &Cover<'_>, chance: &mut StdRng) -> String {
        let (mut before, mut after) = (String::new(), String::new());
        let mut rule = self.notation.rule(start);
        for step in &cover.way {
            let mut inner = rule;
            let mut behind = String::new();
            for (at, symbol) in
                self.notation.rules[rule].alternatives[step.chosen].iter().enumerate()
            {
                match symbol {
                    Symbol::Rule(next) if at == step.at => inner = *next,
                    symbol => {
                        let text = self.walk_from(symbol.clone(), 6, chance);
                        let side = if at < step.at { &mut before } else { &mut behind };
                        side.push_str(&text);
                    }
                }
            }
            after = format!("{behind}{after}");
            rule = inner;
        }
        before + &after
    }

    fn short<'s>(&'s self, symbol: &'s Symbol) -> &'s str {
        match symbol {
            Symbol::Text(text) => text,
            Symbol::Rule(rule) => &self.shortest[*rule],
        }
    }

    /// A sentence of the rule `start` by chance; past the depth `limit` it
    /// goes the shortest way to an end.
    pub(crate) fn walk(&self, start: &str, limit: usize, chance: &mut StdRng) -> String {
        self.walk_from(Symbol::Rule(self.notation.rule(start)), limit, chance)
    }

    fn walk_from(&self, start: Symbol, limit: usize, chance: &mut StdRng) -> String {
        let mut sentence = String::new();
        let mut left = vec![(start, 0)];
        while let Some((symbol, depth)) = left.pop() {
            let rule = match symbol {
                Symbol::Text(text) => {
                    sentence.push_str(&text);
                    continue;
                }
                Symbol::Rule(rule) => rule,
            };
            let alternatives = &self.notation.rules[rule].alternatives;
            let chosen = if depth < limit {
                &alternatives[chance.random_range(0..alternatives.len())]
            } else {
                let least = alternatives.iter().min_by_key(|one| height_of(one, &self.heights));
                least.unwrap()
            };
            left.extend(chosen.iter().rev().map(|symbol| (symbol.clone(), depth + 1)));
        }
        sentence
    }
}

/// The height of an alternative; `usize::MAX` while it is not known.
fn height_of(alternative: &[Symbol], heights: &[Option<usize>]) -> usize {
    let of = |symbol: &Symbol| match symbol {
        Symbol::Text(_) => 0,
        Symbol::Rule(rule) => heights[*rule].map_or(usize::MAX, |height| height + 1),
    };
    alternative.iter().map(of).max().unwrap_or(0)
}

fn heights(notation: &Notation) -> Vec<Option<usize>> {
    let mut heights = vec![None; notation.rules.len()];
    loop {
        let mut changed = false;
        for (at, rule) in notation.rules.iter().enumerate() {
            let least = rule.alternatives.iter().map(|one| height_of(one, &heights)).min();
            let least = least.filter(|height| *height < usize::MAX);
            if least.is_some() && (heights[at].is_none() || least < heights[at]) {
                heights[at] = least;
                changed = true;
            }
        }
        if !changed {
            return heights;
        }
    }
}

fn shortest(notation: &Notation) -> Vec<String> {
    let mut shortest: Vec<Option<String>> = vec![None; notation.rules.len()];
    loop {
        let mut changed = false;
        for (at, rule) in notation.rules.iter().enumerate() {
            for alternative in &rule.alternatives {
                let texts: Option<Vec<&str>> = alternative
                    .iter()
                    .map(|symbol| match symbol {
                        Symbol::Text(text) => Some(text.as_str()),
                        Symbol::Rule(rule) => shortest[*rule].as_deref(),
                    })
                    .collect();
                let Some(text) = texts.map(|texts| texts.concat()) else { continue };
                if shortest[at].as_ref().is_none_or(|known| text.len() < known.len()) {
                    shortest[at] = Some(text);
                    changed = true;
                }
            }
        }
        if !changed {
            return shortest.into_iter().map(Option::unwrap_or_default).collect();
        }
    }
}

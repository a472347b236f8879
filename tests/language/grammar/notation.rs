//! A grammar file, loaded, and a recogniser for it.
//!
//! The file is read by the `bnf` crate. Its Earley parser answers whether a
//! whole text fits, in milliseconds; the recogniser here gives every end that
//! a rule can reach from one place, with the number of trees, in microseconds.
//! A test holds the two against each other.

use std::cell::RefCell;
use std::collections::{BTreeSet, HashMap};
use std::fs;
use std::path::PathBuf;
use std::rc::Rc;

use bnf::{BNF, Grammar, Term};

/// One symbol of an alternative.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Symbol {
    /// Text that stands there as it is.
    Text(String),
    /// Another rule, by its place in [`Notation::rules`].
    Rule(usize),
}

/// One rule.
pub(crate) struct Rule {
    /// Its name, without angle brackets.
    pub(crate) name: String,
    /// What it can be.
    pub(crate) alternatives: Vec<Vec<Symbol>>,
}

/// A grammar file.
pub(crate) struct Notation {
    /// The file as text.
    pub(crate) source: String,
    /// Its rules as the `bnf` crate read them.
    pub(crate) grammar: Grammar,
    /// Its rules in the order of the file, those made for `[ ]` among them.
    pub(crate) rules: Vec<Rule>,
    names: HashMap<String, usize>,
    starts: Vec<Start>,
}

/// How the texts of a rule can start.
#[derive(Debug, Clone, Default, PartialEq)]
struct Start {
    bytes: BTreeSet<u8>,
    may_be_empty: bool,
}

/// Every end that can be reached, in rising order, with the number of trees
/// that reach it.
#[derive(Debug, Default)]
pub(crate) struct Counts(Vec<(usize, u32)>);

/// The same, shared.
pub(crate) type Ends = Rc<Counts>;

impl Counts {
    fn add(&mut self, end: usize, trees: u32) {
        match self.0.binary_search_by_key(&end, |row| row.0) {
            Ok(at) => self.0[at].1 = self.0[at].1.saturating_add(trees),
            Err(at) => self.0.insert(at, (end, trees)),
        }
    }

    /// The number of trees that reach `end`; 0 if none does.
    pub(crate) fn trees(&self, end: usize) -> u32 {
        self.0.iter().find(|row| row.0 == end).map_or(0, |row| row.1)
    }

    /// Whether `end` can be reached.
    pub(crate) fn reach(&self, end: usize) -> bool {
        self.trees(end) > 0
    }

    /// The ends, in rising order.
    pub(crate) fn ends(&self) -> impl DoubleEndedIterator<Item = usize> {
        self.0.iter().map(|row| row.0)
    }
}

impl Notation {
    /// Loads `grammar/NAME`; `after` is put behind every terminal.
    pub(crate) fn load(name: &str, after: &str) -> Self {
        let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("grammar").join(name);
        let source = fs::read_to_string(path).unwrap();
        // Not `str::parse`, which guesses at another notation on an error.
        let mut grammar = Grammar::parse_from::<BNF>(&source).unwrap();
        for production in grammar.productions_iter_mut() {
            for expression in production.rhs_iter_mut() {
                for term in expression.terms_iter_mut() {
                    if let Term::Terminal(text) = term
                        && !text.is_empty()
                    {
                        text.push_str(after);
                    }
                }
            }
        }
        let names: HashMap<String, usize> = grammar
            .productions_iter()
            .enumerate()
            .map(|(at, production)| (name_of(&production.lhs), at))
            .collect();
        let rules: Vec<Rule> =
            grammar.productions_iter().map(|production| rule(production, &names)).collect();
        let starts = starts(&rules);
        Self { source, grammar, rules, names, starts }
    }

    /// The place of the rule `name`.
    pub(crate) fn rule(&self, name: &str) -> usize {
        *self.names.get(name).unwrap_or_else(|| panic!("no rule <{name}>"))
    }

    /// Every text that the rule `name` can be; it must not be recursive.
    pub(crate) fn language(&self, name: &str) -> Vec<String> {
        self.expand(self.rule(name))
    }

    fn expand(&self, rule: usize) -> Vec<String> {
        let mut all = Vec::new();
        for alternative in &self.rules[rule].alternatives {
            let mut texts = vec![String::new()];
            for symbol in alternative {
                let parts = match symbol {
                    Symbol::Text(text) => vec![text.clone()],
                    Symbol::Rule(inner) => self.expand(*inner),
                };
                let join = |text: &String| -> Vec<String> {
                    parts.iter().map(|part| format!("{text}{part}")).collect()
                };
                texts = texts.iter().flat_map(join).collect();
            }
            all.extend(texts);
        }
        all
    }
}

fn name_of(term: &Term) -> String {
    match term {
        Term::Nonterminal(name) => name.clone(),
        Term::Terminal(text) => panic!("`{text}` stands left of ::="),
    }
}

fn rule(production: &bnf::Production, names: &HashMap<String, usize>) -> Rule {
    let symbol = |term: &Term| match term {
        Term::Terminal(text) => Symbol::Text(text.clone()),
        Term::Nonterminal(name) => Symbol::Rule(names[name]),
    };
    Rule {
        name: name_of(&production.lhs),
        alternatives: production
            .rhs_iter()
            .map(|expression| expression.terms_iter().map(symbol).collect())
            .collect(),
    }
}

/// The bytes that a text of each rule can start with, and whether it can be
/// empty.
fn starts(rules: &[Rule]) -> Vec<Start> {
    let mut starts = vec![Start::default(); rules.len()];
    loop {
        let before = starts.clone();
        for (at, rule) in rules.iter().enumerate() {
            for alternative in &rule.alternatives {
                let mut may_be_empty = true;
                for symbol in alternative {
                    let first = match symbol {
                        Symbol::Text(text) => Start {
                            bytes: text.bytes().take(1).collect(),
                            may_be_empty: text.is_empty(),
                        },
                        Symbol::Rule(inner) => starts[*inner].clone(),
                    };
                    starts[at].bytes.extend(first.bytes);
                    may_be_empty = first.may_be_empty;
                    if !may_be_empty {
                        break;
                    }
                }
                starts[at].may_be_empty |= may_be_empty;
            }
        }
        if before == starts {
            return starts;
        }
    }
}

/// Recognises one text; remembers what it has found out about it.
pub(crate) struct Recogniser<'a> {
    notation: &'a Notation,
    text: &'a str,
    /// By rule and place.
    known: RefCell<Vec<Option<Ends>>>,
    nothing: Ends,
}

impl<'a> Recogniser<'a> {
    /// For `text`.
    pub(crate) fn new(notation: &'a Notation, text: &'a str) -> Self {
        let known = RefCell::new(vec![None; notation.rules.len() * (text.len() + 1)]);
        Self { notation, text, known, nothing: Ends::default() }
    }

    /// Every end that the rule `name` can reach from byte `at`.
    pub(crate) fn ends(&self, name: &str, at: usize) -> Ends {
        self.from(self.notation.rule(name), at)
    }

    /// The number of trees of the rule `name` over the whole text.
    pub(crate) fn trees(&self, name: &str) -> u32 {
        self.ends(name, 0).trees(self.text.len())
    }

    fn from(&self, rule: usize, at: usize) -> Ends {
        let start = &self.notation.starts[rule];
        let fits = |byte: &u8| start.bytes.contains(byte);
        if !start.may_be_empty && !self.text.as_bytes().get(at).is_some_and(fits) {
            return Rc::clone(&self.nothing);
        }
        let place = rule * (self.text.len() + 1) + at;
        if let Some(known) = &self.known.borrow()[place] {
            return Rc::clone(known);
        }
        let mut ends = Counts::default();
        for alternative in &self.notation.rules[rule].alternatives {
            self.sequence(alternative, at, 1, &mut ends);
        }
        let ends = Rc::new(ends);
        self.known.borrow_mut()[place] = Some(Rc::clone(&ends));
        ends
    }

    /// Adds to `ends` every end of `symbols` from `at`, reached by `trees` trees.
    fn sequence(&self, symbols: &[Symbol], at: usize, trees: u32, ends: &mut Counts) {
        match symbols.split_first() {
            None => ends.add(at, trees),
            Some((Symbol::Text(text), rest)) => {
                if self.text[at..].starts_with(text.as_str()) {
                    self.sequence(rest, at + text.len(), trees, ends);
                }
            }
            Some((Symbol::Rule(rule), rest)) => {
                for (end, inner) in &self.from(*rule, at).0 {
                    self.sequence(rest, *end, trees.saturating_mul(*inner), ends);
                }
            }
        }
    }
}

//! An [`Access`] in terms: what is looked for in the indexes, and the plain
//! test of one fastener that must agree with them.

use std::ops::ControlFlow;

use crate::record::{Fastener, Tables};
use crate::store::access::{Access, Figure, Lacking};
use crate::store::image::{figures, is_between};
use crate::store::terms::{
    AT_MOST, Index, NOT_STATED, POINT, STATED, WIDEST, class_width, each_term, each_word, named,
    sortable,
};
use crate::text::fold_name;
use crate::thread::{Pitch, Size};

/// Terms of one index.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Terms {
    /// First and last term of each range, rising, none over another.
    pub(crate) ranges: Vec<(Vec<u8>, Vec<u8>)>,
    /// For torques: the high end is this at least.
    reaching: Option<[u8; 8]>,
}

impl Terms {
    fn range(low: Vec<u8>, high: Vec<u8>) -> Self {
        Self { ranges: vec![(low, high)], reaching: None }
    }

    /// Whether `term` is wanted; breaks where no later term can be.
    pub(crate) fn take(&self, term: &[u8]) -> ControlFlow<(), bool> {
        let at = self.ranges.partition_point(|(_, high)| high.as_slice() < term);
        match self.ranges.get(at) {
            None => ControlFlow::Break(()),
            Some((low, _)) => ControlFlow::Continue(low.as_slice() <= term && self.reaches(term)),
        }
    }

    /// Whether the second number of a torque term is high enough.
    fn reaches(&self, term: &[u8]) -> bool {
        let high = || term.get(9..17);
        self.reaching.is_none_or(|least| high().is_some_and(|high| high >= least.as_slice()))
    }
}

/// An [`Access`] in terms.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Probe {
    /// Every fastener.
    All,
    Terms(Index, Terms),
    /// A derived figure from `low` to `high`.
    Figure {
        figure: Figure,
        low: f64,
        high: f64,
    },
    /// A derived figure that cannot be computed.
    Unknown(Figure),
    /// All of them.
    And(Vec<Probe>),
    /// Any of them.
    Or(Vec<Probe>),
}

impl Probe {
    /// `access` in terms, with the other names of lubes and strengths.
    pub(crate) fn new(access: &Access, tables: &Tables) -> Self {
        let index = |index, name: &str| Self::exactly(index, &fold_name(name));
        match access {
            Access::All => Self::All,
            Access::Size(size) => thread_probe(*size, None),
            Access::Thread(size, pitch) => thread_probe(*size, Some(*pitch)),
            Access::Torque { low, high } => torque_probe(*low, *high),
            Access::Lube(name) => Self::names(Index::Lube, name, lube_names(name, tables)),
            Access::Strength(name) => {
                Self::names(Index::Strength, name, strength_names(name, tables))
            }
            Access::Key(start) => Self::beginning(Index::Key, start),
            Access::Assembly(name) => index(Index::Assembly, name),
            Access::Joint(name) => index(Index::Joint, name),
            Access::Word(text) => word_probe(text),
            Access::Figure { figure, low, high } => {
                Self::Figure { figure: *figure, low: *low, high: *high }
            }
            Access::Lacks(Lacking::Thread) => Self::not_stated(Index::Thread),
            Access::Lacks(Lacking::Torque) => Self::not_stated(Index::Torque),
            Access::Lacks(Lacking::Lube) => Self::not_stated(Index::Lube),
            Access::Lacks(Lacking::Strength) => Self::not_stated(Index::Strength),
            Access::Lacks(Lacking::Figure(figure)) => Self::Unknown(*figure),
            Access::And(parts) => Self::And(parts.iter().map(|p| Self::new(p, tables)).collect()),
            Access::Or(parts) => Self::Or(parts.iter().map(|p| Self::new(p, tables)).collect()),
        }
    }

    /// Whether it asks for a derived figure.
    pub(crate) fn asks_figures(&self) -> bool {
        match self {
            Self::Figure { .. } | Self::Unknown(_) => true,
            Self::And(parts) | Self::Or(parts) => parts.iter().any(Self::asks_figures),
            Self::All | Self::Terms(..) => false,
        }
    }

    /// The fastener of this key.
    pub(crate) fn key(key: &str) -> Self {
        Self::exactly(Index::Key, key)
    }

    fn exactly(index: Index, name: &str) -> Self {
        Self::one_term(index, named(&mut Vec::new(), name).to_vec())
    }

    fn beginning(index: Index, start: &str) -> Self {
        let low = named(&mut Vec::new(), start).to_vec();
        let mut high = low.clone();
        // No byte of a text is 0xff.
        high.push(0xff);
        Self::Terms(index, Terms::range(low, high))
    }

    fn not_stated(index: Index) -> Self {
        Self::one_term(index, vec![NOT_STATED])
    }

    fn one_term(index: Index, term: Vec<u8>) -> Self {
        Self::Terms(index, Terms::range(term.clone(), term))
    }

    fn names(index: Index, name: &str, others: Vec<String>) -> Self {
        let mut names = others;
        names.push(fold_name(name));
        names.sort_unstable();
        names.dedup();
        Self::Or(names.iter().map(|name| Self::exactly(index, name)).collect())
    }

    /// Whether `fastener` is wanted, with the lubes and strengths of `tables`.
    pub(crate) fn matches(&self, fastener: &Fastener, tables: &Tables) -> bool {
        match self {
            Self::All => true,
            Self::And(parts) => parts.iter().all(|part| part.matches(fastener, tables)),
            Self::Or(parts) => parts.iter().any(|part| part.matches(fastener, tables)),
            Self::Figure { figure, low, high } => fastener.settings.iter().any(|setting| {
                let value = figures(fastener, setting, tables)[*figure as usize];
                is_between(value, *low, *high)
            }),
            Self::Unknown(figure) => fastener
                .settings
                .iter()
                .any(|setting| figures(fastener, setting, tables)[*figure as usize].is_nan()),
            Self::Terms(of, terms) => {
                let mut taken = false;
                each_term(fastener, &mut |index, term| {
                    taken |= index == *of && terms.take(term) == ControlFlow::Continue(true);
                });
                taken
            }
        }
    }
}

fn thread_probe(size: Size, pitch: Option<Pitch>) -> Probe {
    let mut low = vec![STATED];
    low.extend_from_slice(&size.key().to_be_bytes());
    let mut high = low.clone();
    let (from, to) = pitch.map_or((0, u32::MAX), |pitch| (pitch.key(), pitch.key()));
    low.extend_from_slice(&from.to_be_bytes());
    high.extend_from_slice(&to.to_be_bytes());
    Probe::Terms(Index::Thread, Terms::range(low, high))
}

fn torque_probe(low: f64, high: f64) -> Probe {
    if low.is_nan() || high.is_nan() || low > high || high < 0.0 {
        return Probe::Or(Vec::new());
    }
    let from = |class: u8, value: f64| [&[class][..], &sortable(value)].concat();
    let to = |class: u8, value: f64| [&[class][..], &sortable(value), &[0xff; 8]].concat();
    let mut ranges =
        vec![(from(POINT, low), to(POINT, high)), (from(AT_MOST, low), to(AT_MOST, f64::INFINITY))];
    // A range may begin as far below as the widest of its class is wide.
    ranges.extend((AT_MOST + 1..=WIDEST).map(|class| {
        let first = low - class_width(class);
        (from(class, first), to(class, high))
    }));
    Probe::Terms(Index::Torque, Terms { ranges, reaching: Some(sortable(low)) })
}

fn word_probe(text: &str) -> Probe {
    let mut parts = Vec::new();
    each_word(text, |word| parts.push(Probe::beginning(Index::Word, word)));
    Probe::And(parts)
}

fn lube_names(name: &str, tables: &Tables) -> Vec<String> {
    let lube = tables.lube(name);
    lube.map_or_else(Vec::new, |lube| fold_all(&lube.name, &lube.aliases))
}

fn strength_names(name: &str, tables: &Tables) -> Vec<String> {
    let class = tables.strength(name);
    class.map_or_else(Vec::new, |class| fold_all(&class.name, &class.aliases))
}

fn fold_all(name: &str, aliases: &[String]) -> Vec<String> {
    std::iter::once(name).chain(aliases.iter().map(String::as_str)).map(fold_name).collect()
}

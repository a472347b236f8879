//! An [`Access`] in terms: what is looked for in the indexes, and the plain
//! test of one fastener that must agree with them.

use crate::record::{Fastener, Tables};
use crate::store::access::{Access, Figure, Lacking};
use crate::store::image::{figures, is_between};
use crate::store::terms::{
    AT_MOST, Index, NOT_STATED, POINT, STATED, WIDEST, class_width, each_term, each_word, named,
    sortable,
};
use crate::text::fold_name;
use crate::thread::{Pitch, Size};

/// An [`Access`] in terms.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Probe {
    /// Every fastener.
    All,
    /// A term of this index from `low` to `high`, both inside, that passes.
    Terms {
        /// The index.
        index: Index,
        /// First term.
        low: Vec<u8>,
        /// Last term.
        high: Vec<u8>,
        /// For ranges of torque: the high end is this at least.
        reaching: Option<[u8; 8]>,
    },
    /// A derived figure from `low` to `high`.
    Figure {
        /// Which.
        figure: Figure,
        /// Low end.
        low: f64,
        /// High end.
        high: f64,
    },
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
            Access::Assembly(name) => index(Index::Assembly, name),
            Access::Joint(name) => index(Index::Joint, name),
            Access::Word(text) => word_probe(text),
            Access::Figure { figure, low, high } => {
                Self::Figure { figure: *figure, low: *low, high: *high }
            }
            Access::Lacks(lacking) => Self::not_stated(match lacking {
                Lacking::Thread => Index::Thread,
                Lacking::Torque => Index::Torque,
                Lacking::Lube => Index::Lube,
                Lacking::Strength => Index::Strength,
            }),
            Access::And(parts) => Self::And(parts.iter().map(|p| Self::new(p, tables)).collect()),
            Access::Or(parts) => Self::Or(parts.iter().map(|p| Self::new(p, tables)).collect()),
        }
    }

    /// Whether it asks for a derived figure.
    pub(crate) fn asks_figures(&self) -> bool {
        match self {
            Self::Figure { .. } => true,
            Self::And(parts) | Self::Or(parts) => parts.iter().any(Self::asks_figures),
            Self::All | Self::Terms { .. } => false,
        }
    }

    /// The fastener of this key.
    pub(crate) fn key(key: &str) -> Self {
        Self::exactly(Index::Key, key)
    }

    fn exactly(index: Index, name: &str) -> Self {
        let term = named(&mut Vec::new(), name).to_vec();
        Self::Terms { index, low: term.clone(), high: term, reaching: None }
    }

    fn not_stated(index: Index) -> Self {
        let term = vec![NOT_STATED];
        Self::Terms { index, low: term.clone(), high: term, reaching: None }
    }

    fn names(index: Index, name: &str, others: Vec<String>) -> Self {
        let mut names = others;
        names.push(fold_name(name));
        names.sort_unstable();
        names.dedup();
        Self::Or(names.iter().map(|name| Self::exactly(index, name)).collect())
    }

    /// Whether a fastener with this one term of `of` is wanted by a probe of terms.
    pub(crate) fn takes(&self, of: Index, term: &[u8]) -> bool {
        match self {
            Self::Terms { index, low, high, reaching } => {
                *index == of
                    && low.as_slice() <= term
                    && term <= high.as_slice()
                    && reaches(term, reaching.as_ref())
            }
            _ => false,
        }
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
            Self::Terms { .. } => {
                let mut taken = false;
                each_term(fastener, &mut |index, term| taken |= self.takes(index, term));
                taken
            }
        }
    }
}

/// Whether the second number of a torque term is `least` or more.
pub(crate) fn reaches(term: &[u8], least: Option<&[u8; 8]>) -> bool {
    least.is_none_or(|least| term.get(9..17).is_some_and(|high| high >= least.as_slice()))
}

fn thread_probe(size: Size, pitch: Option<Pitch>) -> Probe {
    let mut low = vec![STATED];
    low.extend_from_slice(&size.key().to_be_bytes());
    let mut high = low.clone();
    let (from, to) = pitch.map_or((0, u32::MAX), |pitch| (pitch.key(), pitch.key()));
    low.extend_from_slice(&from.to_be_bytes());
    high.extend_from_slice(&to.to_be_bytes());
    Probe::Terms { index: Index::Thread, low, high, reaching: None }
}

fn torque_probe(low: f64, high: f64) -> Probe {
    if low.is_nan() || high.is_nan() || low > high || high < 0.0 {
        return Probe::Or(Vec::new());
    }
    let from = |class: u8, value: f64| [&[class][..], &sortable(value)].concat();
    let to = |class: u8, value: f64| [&[class][..], &sortable(value), &[0xff; 8]].concat();
    let terms = |low: Vec<u8>, high: Vec<u8>, reaching| Probe::Terms {
        index: Index::Torque,
        low,
        high,
        reaching,
    };
    let mut parts = vec![
        terms(from(POINT, low), to(POINT, high), None),
        terms(from(AT_MOST, low), to(AT_MOST, f64::INFINITY), None),
    ];
    parts.extend((AT_MOST + 1..=WIDEST).map(|class| {
        let first = low - class_width(class);
        terms(from(class, first), to(class, high), Some(sortable(low)))
    }));
    Probe::Or(parts)
}

fn word_probe(text: &str) -> Probe {
    let mut parts = Vec::new();
    each_word(text, |word| {
        let low = named(&mut Vec::new(), word).to_vec();
        let mut high = low.clone();
        // No byte of a text is 0xff.
        high.push(0xff);
        parts.push(Probe::Terms { index: Index::Word, low, high, reaching: None });
    });
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

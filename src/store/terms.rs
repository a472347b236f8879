//! Under which words and figures a fastener can be looked up, and which of
//! them an [`Access`] wants. The image's indexes, the overlay and a plain
//! comparison all use these two functions, so they cannot disagree.

use crate::quantity::{Extent, Torque};
use crate::record::{Fastener, Tables};
use crate::store::access::{Access, Figure, Lacking};
use crate::store::image::{figures, is_between};
use crate::text::fold_name;
use crate::thread::Thread;

/// An index of the book; the number is the one on the disk.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Index {
    /// The fastener's key.
    Key = 0,
    /// Either thread.
    Thread = 1,
    /// Torque of a setting, N·m.
    Torque = 2,
    /// Lube of a setting.
    Lube = 3,
    /// Strength by name.
    Strength = 4,
    /// Assembly.
    Assembly = 5,
    /// Joint.
    Joint = 6,
    /// Words of the field `text`.
    Word = 7,
}

impl Index {
    /// Every index, in the order of its number.
    pub(crate) const ALL: [Self; 8] = [
        Self::Key,
        Self::Thread,
        Self::Torque,
        Self::Lube,
        Self::Strength,
        Self::Assembly,
        Self::Joint,
        Self::Word,
    ];
}

/// First byte of a term: nothing stated, or a stated value.
const NOT_STATED: u8 = 0;
const STATED: u8 = 1;

/// First bytes of a torque: one value, a maximum, or a range whose width is at
/// most 2^(class − [`NARROW`]) N·m.
const POINT: u8 = 1;
const AT_MOST: u8 = 2;
const NARROW: i32 = 10;
const WIDEST: u8 = 32;

/// Calls `emit` with every term of `fastener`; a term may come twice.
pub(crate) fn each_term(fastener: &Fastener, emit: &mut dyn FnMut(Index, &[u8])) {
    let mut buffer = Vec::with_capacity(64);
    emit(Index::Key, named(&mut buffer, &fastener.key));
    let threads = [&fastener.thread, &fastener.hole_thread];
    if threads.iter().all(|thread| thread.is_none()) {
        emit(Index::Thread, &[NOT_STATED]);
    }
    for thread in threads.into_iter().flatten() {
        emit(Index::Thread, &thread_term(thread));
    }
    for setting in &fastener.settings {
        emit(Index::Torque, torque_term(&mut buffer, setting.torque));
        emit(Index::Lube, folded(&mut buffer, setting.lube.as_deref()));
    }
    emit(Index::Strength, folded(&mut buffer, fastener.strength.name.as_deref()));
    emit(Index::Assembly, folded(&mut buffer, Some(&fastener.joint.assembly)));
    emit(Index::Joint, folded(&mut buffer, Some(&fastener.joint.name)));
    let joint = &fastener.joint;
    let texts = [&joint.assembly, &joint.name, &fastener.part].into_iter();
    for text in texts.chain(&fastener.tags).chain(&fastener.notes) {
        each_word(text, |word| emit(Index::Word, named(&mut buffer, word)));
    }
}

/// The words of a text as they are looked up: folded, cut at everything that
/// is neither a letter nor a digit.
fn each_word(text: &str, mut emit: impl FnMut(&str)) {
    let folded = fold_name(text);
    folded
        .split(|character: char| !character.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .for_each(&mut emit);
}

/// No term is longer; a longer name is found by its beginning.
const LONGEST_TERM: usize = 255;

fn named<'a>(buffer: &'a mut Vec<u8>, name: &str) -> &'a [u8] {
    buffer.clear();
    buffer.push(STATED);
    buffer.extend_from_slice(name.as_bytes());
    buffer.truncate(LONGEST_TERM);
    buffer
}

fn folded<'a>(buffer: &'a mut Vec<u8>, name: Option<&str>) -> &'a [u8] {
    match name {
        Some(name) => named(buffer, &fold_name(name)),
        None => &[NOT_STATED],
    }
}

fn thread_term(thread: &Thread) -> [u8; 9] {
    let mut term = [STATED; 9];
    term[1..5].copy_from_slice(&thread.size().key().to_be_bytes());
    term[5..].copy_from_slice(&thread.pitch().key().to_be_bytes());
    term
}

/// Bits of a non-negative number that sort like it.
fn sortable(value: f64) -> [u8; 8] {
    // Adding 0.0 turns a negative zero into zero; below zero there is no torque.
    (value.max(0.0) + 0.0).to_bits().to_be_bytes()
}

fn torque_term(buffer: &mut Vec<u8>, torque: Option<Extent<Torque>>) -> &[u8] {
    buffer.clear();
    let (class, first, second) = match torque {
        None => return &[NOT_STATED],
        Some(Extent::Exactly(value)) => (POINT, value.value().nm(), value.value().nm()),
        Some(Extent::AtMost(value)) => (AT_MOST, value.value().nm(), value.value().nm()),
        Some(Extent::Between(low, high)) => {
            let (low, high) = (low.value().nm(), high.value().nm());
            (width_class(high - low), low, high)
        }
    };
    buffer.push(class);
    buffer.extend_from_slice(&sortable(first));
    buffer.extend_from_slice(&sortable(second));
    buffer
}

fn width_class(width: f64) -> u8 {
    let power = width.max(f64::MIN_POSITIVE).log2().ceil();
    (power + f64::from(NARROW)).clamp(f64::from(AT_MOST + 1), f64::from(WIDEST)) as u8
}

/// The widest range in a class, N·m, with a hair for rounding.
fn class_width(class: u8) -> f64 {
    if class == WIDEST {
        return f64::INFINITY;
    }
    f64::from(i32::from(class) - NARROW).exp2() * (1.0 + 1e-9)
}

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

fn thread_probe(size: crate::thread::Size, pitch: Option<crate::thread::Pitch>) -> Probe {
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

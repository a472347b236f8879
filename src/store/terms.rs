//! Under which words and figures a fastener can be looked up. The image's
//! indexes, the overlay and a plain comparison all use this one list, so they
//! cannot disagree.

use crate::quantity::{Extent, Torque};
use crate::record::Fastener;
use crate::text::{fold_name, without_accents};
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
    Assembly = 5,
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
pub(crate) const NOT_STATED: u8 = 0;
pub(crate) const STATED: u8 = 1;

/// First bytes of a torque: one value, a maximum, or a range whose width is at
/// most 2^(class − [`NARROW`]) N·m.
pub(crate) const POINT: u8 = 1;
pub(crate) const AT_MOST: u8 = 2;
const NARROW: i32 = 10;
pub(crate) const WIDEST: u8 = 32;

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
pub(crate) fn each_word(text: &str, mut emit: impl FnMut(&str)) {
    if text.is_ascii() {
        // Folding changes nothing but the case of these words.
        let mut lower = text.to_owned();
        lower.make_ascii_lowercase();
        let words = lower.split(|character: char| !character.is_ascii_alphanumeric());
        return words.filter(|word| !word.is_empty()).for_each(&mut emit);
    }
    let folded = fold_name(text);
    folded
        .split(|character: char| !character.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .flat_map(without_accents)
        .for_each(|word| emit(&word));
}

/// No term is longer; a longer name is found by its beginning.
const LONGEST_TERM: usize = 255;

pub(crate) fn named<'a>(buffer: &'a mut Vec<u8>, name: &str) -> &'a [u8] {
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
pub(crate) fn sortable(value: f64) -> [u8; 8] {
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

/// The high end in a term of the index of torques, N·m; none where it is not
/// stated.
pub(crate) fn top_torque(term: &[u8]) -> Option<f64> {
    let bits = term.get(9..)?.first_chunk::<8>()?;
    Some(f64::from_bits(u64::from_be_bytes(*bits)))
}

fn width_class(width: f64) -> u8 {
    let power = width.max(f64::MIN_POSITIVE).log2().ceil();
    (power + f64::from(NARROW)).clamp(f64::from(AT_MOST + 1), f64::from(WIDEST)) as u8
}

/// The widest range in a class, N·m, with a hair for rounding.
pub(crate) fn class_width(class: u8) -> f64 {
    if class == WIDEST {
        return f64::INFINITY;
    }
    f64::from(i32::from(class) - NARROW).exp2() * (1.0 + 1e-9)
}

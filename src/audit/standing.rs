//! Findings that somebody looked at and lets stand, with a note why.
//!
//! An acknowledgement holds for one finding on the figures that it rests on:
//! when they change, the finding is back, and says what was acknowledged.

use std::collections::{BTreeMap, BTreeSet};
use std::io;

use crate::audit::{Finding, FindingKind};

/// A finding that somebody looked at and lets stand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Acknowledged {
    /// The mark of the finding, see [`Finding::mark`].
    pub mark: String,
    /// The short name of its kind.
    pub name: String,
    /// Key of the setting or fastener that it is about.
    pub key: String,
    /// The figures that it rested on, see [`Finding::figures`].
    pub figures: String,
    /// Why it may stand.
    pub note: String,
    /// Who said so; empty if not stated.
    pub who: String,
    /// When, UTC, as ISO 8601 text.
    pub when: String,
}

/// How a finding stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Standing {
    /// Nobody has acknowledged it.
    Open,
    /// Somebody lets it stand.
    Acknowledged(Acknowledged),
    /// It was acknowledged for other figures than there are now: open.
    Outdated(Acknowledged),
}

/// A finding with how it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    pub finding: Finding,
    pub standing: Standing,
}

impl Judged {
    /// Whether it still asks for something to be done.
    pub fn is_open(&self) -> bool {
        !matches!(self.standing, Standing::Acknowledged(_))
    }

    /// The acknowledgement, one for other figures included.
    pub fn acknowledged(&self) -> Option<&Acknowledged> {
        match &self.standing {
            Standing::Open => None,
            Standing::Acknowledged(one) | Standing::Outdated(one) => Some(one),
        }
    }
}

/// `finding` held against what is `known`; of that, `live` are the marks of findings that
/// there are now.
pub fn judged(finding: Finding, known: &[Acknowledged], live: &BTreeSet<String>) -> Judged {
    let is_of = |one: &&Acknowledged| one.name == finding.kind.row().name && one.key == finding.key;
    let known: Vec<&Acknowledged> = known.iter().filter(is_of).collect();
    let mark = (!known.is_empty()).then(|| finding.mark());
    let own = known.iter().find(|one| Some(&one.mark) == mark.as_ref());
    // One that still holds for another finding of that setting is not old.
    let old = || known.iter().find(|one| !live.contains(&one.mark));
    let standing = match own {
        Some(one) => Standing::Acknowledged((*one).clone()),
        None => old().map_or(Standing::Open, |one| Standing::Outdated((*one).clone())),
    };
    Judged { finding, standing }
}

/// Findings that are made when they are asked for.
pub trait Findings {
    /// Calls `take` with each, until it fails.
    ///
    /// # Errors
    /// What `take` returns, or why the book cannot be read.
    fn each(&self, take: &mut dyn FnMut(&Judged) -> io::Result<()>) -> io::Result<()>;
}

impl Findings for &[Judged] {
    fn each(&self, take: &mut dyn FnMut(&Judged) -> io::Result<()>) -> io::Result<()> {
        self.iter().try_for_each(take)
    }
}

/// How many findings there are.
#[derive(Debug, Clone, Default)]
pub struct Tally {
    /// Open ones by kind.
    pub open: BTreeMap<FindingKind, usize>,
    pub acknowledged: usize,
}

impl Tally {
    /// Counts one more, by how it stands.
    pub fn add(&mut self, judged: &Judged) {
        match judged.is_open() {
            true => *self.open.entry(judged.finding.kind).or_default() += 1,
            false => self.acknowledged += 1,
        }
    }

    /// How many are open.
    pub fn open(&self) -> usize {
        self.open.values().sum()
    }
}

/// Letters of a mark: none that is taken for another.
const LETTERS: &[u8; 32] = b"abcdefghjkmnpqrstuvwxyz023456789";

/// Six letters and digits for `parts`, the same wherever they are made: FNV-1a
/// over 64 bits, folded to 30.
pub(super) fn mark_of(parts: &[&str]) -> String {
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    for byte in parts.iter().flat_map(|part| part.bytes().chain([0])) {
        hash = (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
    }
    hash ^= hash >> 32;
    let letter = |at: u32| char::from(LETTERS[(hash >> (5 * at)) as usize % LETTERS.len()]);
    (0..6).map(letter).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mark_is_short_stable_and_its_own() {
        let one = mark_of(&["near-proof", "marlow-6-head-stud/oil", "88 lb-ft"]);
        assert_eq!(one.len(), 6);
        assert!(one.chars().all(|c| c.is_ascii_alphanumeric()));
        assert_eq!(one, mark_of(&["near-proof", "marlow-6-head-stud/oil", "88 lb-ft"]));
        assert_ne!(one, mark_of(&["near-proof", "marlow-6-head-stud/oil", "89 lb-ft"]));
        assert_ne!(mark_of(&["ab", "c"]), mark_of(&["a", "bc"]));
    }
}

//! Bolts that are told apart: free lengths, tightenings, keep or scrap.

use crate::mechanics::{CUSTOMARY_SET, PermanentSet, permanent_set};
use crate::quantity::{Length, Stated};
use crate::record::{Log, Pull, Reuse};
use crate::text::fold_name;

/// One bolt of a set.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Bolt {
    /// Its hole, or its number in the set.
    pub position: String,
    /// What is etched on it.
    pub mark: Option<String>,
    /// Free length when new, before the first use.
    pub new: Option<Stated<Length>>,
    /// Tightenings before the log began.
    pub earlier: u32,
}

/// Bolts of one fastener that are told apart.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BoltSet {
    pub name: String,
    /// Key of the fastener.
    pub fastener: String,
    pub bolts: Vec<Bolt>,
    pub notes: Option<String>,
}

/// What is to be done with a bolt.
#[derive(Debug, Clone, PartialEq)]
pub enum BoltVerdict {
    Keep,
    Scrap(String),
    /// Something is not on record, with what.
    CannotJudge(String),
}

/// A bolt as the log leaves it.
#[derive(Debug, Clone, PartialEq)]
pub struct BoltState {
    pub bolt: Bolt,
    /// Tightenings, trial assemblies and pull-and-release cycles counted.
    pub tightenings: u32,
    pub last: Option<Stated<Length>>,
    pub verdict: BoltVerdict,
}

impl BoltSet {
    /// Every bolt of the set as the lines of `log` that hold leave it, judged
    /// by `reuse` of its fastener.
    ///
    /// Growth past 0.001 in is scrap where the sheet gives no limit of its own
    /// (common practice, no standard). Without a length when new on record
    /// nothing is said about growth: it cannot be judged.
    pub fn states(&self, log: &Log, reuse: Option<Reuse>) -> Vec<BoltState> {
        let is_own =
            |pull: &&Pull| pull.set.as_deref().map(fold_name) == Some(fold_name(&self.name));
        let pulls: Vec<&Pull> = log.current().filter(is_own).collect();
        self.bolts.iter().map(|bolt| state(bolt, &pulls, reuse)).collect()
    }
}

fn state(bolt: &Bolt, pulls: &[&Pull], reuse: Option<Reuse>) -> BoltState {
    let mut tightenings = bolt.earlier;
    let mut last = None;
    for pull in pulls {
        tightenings += pull.tightenings();
        let own = |name: &str| fold_name(name) == fold_name(&bolt.position);
        for reached in pull.reached.iter().filter(|reached| own(&reached.position)) {
            last = reached.after.or(reached.before).or(last);
        }
    }
    let verdict = verdict(bolt, tightenings, last, reuse);
    BoltState { bolt: bolt.clone(), tightenings, last, verdict }
}

fn verdict(
    bolt: &Bolt,
    tightenings: u32,
    last: Option<Stated<Length>>,
    reuse: Option<Reuse>,
) -> BoltVerdict {
    match reuse {
        Some(Reuse::SingleUse) if tightenings > 0 => {
            return BoltVerdict::Scrap("single-use, and it was used".to_owned());
        }
        Some(Reuse::UpTo(most)) if tightenings >= most => {
            return BoltVerdict::Scrap(format!("{tightenings} of {most} tightenings"));
        }
        Some(Reuse::FreeLength(limit)) => {
            return match last {
                Some(length) if length.value() > limit.value() => {
                    BoltVerdict::Scrap(format!("free length {length}, the limit is {limit}"))
                }
                Some(_) => BoltVerdict::Keep,
                None if tightenings == 0 => BoltVerdict::Keep,
                None => BoltVerdict::CannotJudge(
                    "no free length on record since it was used".to_owned(),
                ),
            };
        }
        _ => {}
    }
    let Some(now) = last else {
        return match tightenings {
            0 => BoltVerdict::Keep,
            _ => BoltVerdict::CannotJudge("no free length on record".to_owned()),
        };
    };
    match permanent_set(now.value(), bolt.new.map(Stated::value), CUSTOMARY_SET) {
        Ok(PermanentSet::Over(growth)) => {
            BoltVerdict::Scrap(format!("grown by {:.3} mm, over 0.001 in", growth.mm()))
        }
        Ok(PermanentSet::Within(_)) => BoltVerdict::Keep,
        Ok(PermanentSet::Shorter(by)) => BoltVerdict::CannotJudge(format!(
            "{:.3} mm shorter than when new: another bolt, gauge or temperature",
            by.mm()
        )),
        Ok(PermanentSet::CannotJudge) => {
            BoltVerdict::CannotJudge("no free length when new on record".to_owned())
        }
        Err(error) => BoltVerdict::CannotJudge(error.to_string()),
    }
}

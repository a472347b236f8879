//! How high a computed value may go.

use crate::correction::Refusal;
use crate::mechanics::{ROUNDING, exceeds};
use crate::record::Derived;

/// Limits of a computed value: share of proof; of yield where proof is not
/// stated; of yield with torsion.
pub(super) const PROOF: f64 = 1.0;
pub(super) const YIELD: f64 = 0.9;
pub(super) const COMBINED: f64 = 1.0;

/// Refuses what passes proof (90 % of yield where proof is not stated) in the
/// weakest section, or yield with torsion there.
pub fn limits(derived: &Derived) -> Result<(), Refusal> {
    let over = |share: Option<f64>, limit: f64| share.filter(|share| exceeds(*share, limit));
    let place = || derived.section.map(|place| place.to_string()).unwrap_or_default();
    // Rounded up, so that the message never says 100 % of what is passed.
    let percent = |share: f64| (share * 100.0 - ROUNDING).ceil() as u32;
    if let Some(share) = over(derived.of_proof, PROOF) {
        return Err(Refusal::TooHigh { percent: percent(share), limit: "proof", place: place() });
    }
    let yields = if derived.of_proof.is_none() { derived.of_yield } else { None };
    if let Some(share) = over(yields, YIELD) {
        return Err(Refusal::TooHigh { percent: percent(share), limit: "yield", place: place() });
    }
    match over(derived.combined, COMBINED) {
        Some(share) => Err(Refusal::Combined { percent: percent(share), place: place() }),
        None => Ok(()),
    }
}

/// What stands beside a computed value that is allowed but high, or of which
/// something was assumed or is not known.
pub(super) fn cautions(derived: &Derived) -> Vec<String> {
    let over = |share: Option<f64>, limit: f64| share.is_some_and(|share| exceeds(share, limit));
    let mut cautions = Vec::new();
    let mut say = |caution: &str| cautions.push(caution.to_owned());
    if over(derived.of_yield, 0.8) {
        say("above 80 % of yield: verify with stretch or ask the maker");
    }
    if over(derived.combined, 0.9) {
        say("above 90 % of yield with torsion: verify with stretch");
    }
    if derived.proof.is_none() && derived.yield_.is_none() {
        say("strength not stated: how near yield is not known");
    } else if derived.area.is_none() {
        say("weakest section not known: how near yield is not known");
    }
    if let Some(assumed) = derived.assumed_bearing {
        cautions.push(format!("bearing face not stated, assumed: {assumed}"));
    }
    cautions
}

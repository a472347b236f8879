//! What is said once under an answer, whatever its rows.

use std::collections::HashMap;

use crate::mechanics::Control;
use crate::query::run::Overview;
use crate::record::{Basis, Row};
use crate::report::figures::per_cent;
use crate::report::lay::tied;

/// Stands in every document and on every sheet; under an answer `closing` says of it
/// what applies.
pub const SAFETY: &str = "Maker's current sheet governs; COMPUTED is an estimate; \
     local codes and licensed practice come first.";
/// The same where nothing was computed.
const SAFETY_LISTED: &str =
    "Maker's current sheet governs; local codes and licensed practice come first.";
/// Stays on one line.
const GOVERNS: &str = "Maker's current sheet governs";
/// Said under more than one torque of a fastener.
const OWN_LUBE: &str = "Each torque is for its own lube only.";

/// What the figures of an answer are.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Kinds {
    /// A fastener stands with two lubes.
    two_lubes: bool,
    has_clamp: bool,
    has_computed: bool,
}

impl Kinds {
    pub(crate) fn in_rows(rows: &[&Row]) -> Self {
        let answered = || rows.iter().filter(|row| row.refused.is_none());
        Self {
            two_lubes: own_lube(rows).is_some(),
            has_clamp: answered().any(|row| row.derived.clamp.is_some()),
            has_computed: answered().any(|row| row.setting.basis == Basis::Computed),
        }
    }

    /// Of rows that are too many to be held.
    pub(crate) fn of_many(rows: &Overview) -> Self {
        let (has_clamp, has_computed) = (rows.with_clamp > 0, rows.computed > 0);
        Self { two_lubes: rows.two_lubes, has_clamp, has_computed }
    }

    /// Whether nothing can be added.
    pub(crate) fn is_every(self) -> bool {
        self.two_lubes && self.has_clamp && self.has_computed
    }

    /// Those of two answers together.
    pub(crate) fn and(self, other: Self) -> Self {
        Self {
            two_lubes: self.two_lubes || other.two_lubes,
            has_clamp: self.has_clamp || other.has_clamp,
            has_computed: self.has_computed || other.has_computed,
        }
    }
}

/// The last lines of an answer with figures: each torque for its lube, what the band
/// is where one is shown, and what governs.
pub(crate) fn closing(kinds: Kinds, shows_a_band: bool) -> String {
    let [wet, dry] = [Control::TorqueLubricated, Control::TorqueDry]
        .map(|control| per_cent(control.scatter().either_side));
    // One rule for listed and computed.
    let band =
        format!("Clamp ±{wet}\u{a0}% (dry ±{dry}\u{a0}%), or the range of friction if wider.");
    let band = (shows_a_band && kinds.has_clamp).then_some(band.as_str());
    let governs = if kinds.has_computed { SAFETY } else { SAFETY_LISTED };
    let own = kinds.two_lubes.then_some(OWN_LUBE);
    let governs = governs.replace(GOVERNS, &tied(GOVERNS));
    [own, band, Some(&governs)].into_iter().flatten().collect::<Vec<_>>().join(" ")
}

/// That each torque is for its own lube, where a fastener stands with two.
pub(crate) fn own_lube(rows: &[&Row]) -> Option<&'static str> {
    let mut first: HashMap<&str, &Option<String>> = HashMap::new();
    let mut answered = rows.iter().filter(|row| row.refused.is_none());
    let has_two = answered.any(|row| {
        let lube = &row.setting.lube;
        *first.entry(row.fastener.key.as_str()).or_insert(lube) != lube
    });
    has_two.then_some(OWN_LUBE)
}

//! When a wrench was calibrated, and how it was found.

use std::fmt;

use jiff::civil::Date;

use crate::record::Wrench;
use crate::record::choice::choice;
use crate::record::table::{FieldKind, Leaf, Through, Value, given};

choice!(
    /// How a calibration found the wrench, before anything was adjusted.
    AsFound {
        Good = "good" ["in", "in tolerance", "passed"],
        Out = "out" ["out of tolerance", "failed"],
    }
);

/// One calibration. Not stated how the wrench was found is not good.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Calibrated {
    pub day: Date,
    pub found: Option<AsFound>,
}

impl Calibrated {
    /// Reads `2026-01-10`, `2026-01-10 good` or `2026-01-10 out`.
    fn parse(text: &str) -> Result<Self, String> {
        let (on, found) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
        Ok(Self { day: Leaf::read(on)?, found: Leaf::read(found)? })
    }
}

impl fmt::Display for Calibrated {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.found {
            Some(found) => write!(f, "{} {found}", self.day),
            None => write!(f, "{}", self.day),
        }
    }
}

impl Wrench {
    /// The newest calibration, whatever it found; none if none is on record.
    pub fn calibrated(&self) -> Option<Calibrated> {
        self.calibrations.last().copied()
    }

    /// The last calibration before the one at `at` that found it good.
    pub(crate) fn good_before(&self, at: usize) -> Option<Date> {
        let before = self.calibrations[..at].iter().rev();
        before.filter(|one| one.found == Some(AsFound::Good)).map(|one| one.day).next()
    }

    /// Adds a calibration in its place; that of a day which is there already is
    /// put right.
    fn add_calibration(&mut self, new: Calibrated) {
        match self.calibrations.binary_search_by_key(&new.day, |one| one.day) {
            Ok(at) => self.calibrations[at].found = new.found.or(self.calibrations[at].found),
            Err(at) => self.calibrations.insert(at, new),
        }
    }
}

impl Leaf for Vec<Calibrated> {
    const KIND: FieldKind = FieldKind::Text;

    fn value(&self) -> Value<'_> {
        Value::joined(self, "; ")
    }

    fn read(text: &str) -> Result<Self, String> {
        text.split([';', ',']).filter_map(given).map(Calibrated::parse).collect()
    }
}

/// Its calibrations. One that is put beside others is added to them, so that what a
/// wrench tightened before it is still found; several are put in place of all.
pub(crate) const CALIBRATIONS: Through<Wrench, Vec<Calibrated>> = Through {
    get: |wrench| wrench.calibrations.clone(),
    put: |wrench, stated| {
        if stated.len() != 1 {
            wrench.calibrations.clear();
        }
        stated.into_iter().for_each(|one| wrench.add_calibration(one));
        Ok(())
    },
};

/// How the newest calibration found it.
pub(crate) const NEWEST_FOUND: Through<Wrench, Option<AsFound>> = Through {
    get: |wrench| wrench.calibrated().and_then(|newest| newest.found),
    put: |wrench, found| {
        match wrench.calibrations.last_mut() {
            Some(newest) => newest.found = found,
            None if found.is_none() => {}
            None => return Err("of which calibration? Give its day: calibrated=…".to_owned()),
        }
        Ok(())
    },
};

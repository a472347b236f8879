//! What restating comes to for all settings of one shape, found on one of
//! them: a large book has few shapes, and whether a setting may be restated
//! depends on its torque only through the limits.

use std::sync::Arc;

use crate::correction::limits::{COMBINED, PROOF, YIELD};
use crate::correction::rules::is_for;
use crate::correction::{Refusal, restate};
use crate::mechanics::ROUNDING;
use crate::quantity::{Extent, Quantity, Stated, Stress, Torque, Unit, find_unit};
use crate::record::{Basis, Fastener, Lube, Tables, prevailing_part};

/// A setting of one shape, for one lube.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Screened {
    /// It stands in the book for this lube: then its own figures hold.
    pub stands: Option<Stands>,
    /// What it becomes if it has to be restated.
    pub outcome: Outcome,
}

/// How a setting stands for a lube.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stands {
    /// A source lists it.
    Listed,
    /// It was computed, then kept.
    Computed,
}

/// What restating comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Outcome {
    /// Refused, whatever the torque.
    Refused,
    /// The clamp is the source's times this, and so is every share of it; the
    /// combined stress has a factor of its own, NaN where it is not known.
    Computed {
        /// Restated over own clamp: 1 where both are of one form.
        clamp: f64,
        /// Restated over own combined stress.
        combined: f64,
    },
    /// Only restating it tells.
    Unsure,
}

/// Screens the shapes of a book for one lube.
#[derive(Debug, Clone, Copy)]
pub struct Screen<'a> {
    lube: &'a Lube,
    tables: &'a Tables,
    /// Proof, yield and tensile strength that nothing reaches.
    strength: [Stated<Stress>; 3],
    newton_metre: &'static Unit,
    /// The torque that clamps.
    torque: Stated<Torque>,
}

impl<'a> Screen<'a> {
    /// For `lube`, by the lubes and strengths of `tables`.
    pub fn new(lube: &'a Lube, tables: &'a Tables) -> Option<Self> {
        let (mpa, newton_metre) = (find_unit("MPa")?, find_unit("N·m")?);
        let stress =
            |number: f64| Stated::new(Quantity::of(Stress::from_mpa(number), mpa, 0)?).ok();
        let torque = Quantity::of(Torque::from_nm(10.0), newton_metre, 0)?;
        Some(Self {
            lube,
            tables,
            strength: [stress(1.0e6)?, stress(1.1e6)?, stress(1.2e6)?],
            newton_metre,
            torque: Stated::new(torque).ok()?,
        })
    }

    /// What restating a setting of the shape of `shape`'s only one comes to. Of
    /// `shape` its thread, head, bearing, finish, sealant, material, duty, use
    /// and prevailing torque count; strength and sections are made ample here,
    /// so that no limit is met.
    pub fn of(&self, shape: Fastener) -> Screened {
        let Some(setting) = shape.settings.first() else {
            return Screened { stands: None, outcome: Outcome::Unsure };
        };
        let stands =
            (is_for(setting, self.lube, self.tables) && setting.is_complete()).then(|| {
                if setting.basis == Basis::Computed { Stands::Computed } else { Stands::Listed }
            });
        // A listed value is never replaced, a computed one never converted again.
        let outcome = match stands {
            Some(_) => Outcome::Refused,
            None => self.ample(shape).map_or(Outcome::Unsure, |ample| self.outcome(ample)),
        };
        Screened { stands, outcome }
    }

    fn outcome(&self, ample: Fastener) -> Outcome {
        let ample = Arc::new(ample);
        let setting = &ample.settings[0];
        match restate(&ample, setting, self.lube, self.tables) {
            // Words and other settings of the fastener may still refuse it.
            Ok(_)
            | Err(Refusal::TooHigh { .. } | Refusal::Combined { .. } | Refusal::Arithmetic(_)) => {
                Outcome::Unsure
            }
            Err(_) => Outcome::Refused,
        }
    }

    /// `shape` with a strength that nothing reaches and, where it states a
    /// torque to aim at, ten N·m to clamp with.
    fn ample(&self, mut shape: Fastener) -> Option<Fastener> {
        shape.waist = None;
        let [proof, yields, tensile] = self.strength.map(Some);
        (shape.strength.proof, shape.strength.yield_) = (proof, yields);
        shape.strength.tensile = tensile;
        let torque = match prevailing_part(&shape) {
            Ok(running) if running.nm() > 0.0 => {
                let torque = running + self.torque.value();
                Stated::new(Quantity::of(torque, self.newton_metre, 9)?).ok()?
            }
            _ => self.torque,
        };
        let setting = shape.settings.first_mut()?;
        setting.torque = setting.torque.map(|stated| match stated {
            Extent::AtMost(_) => Extent::AtMost(torque),
            Extent::Exactly(_) | Extent::Between(..) => Extent::Exactly(torque),
        });
        Some(shape)
    }
}

/// Where a share is kept as f32 and multiplied, so much is left open on both
/// sides of a limit.
pub const SCREEN_HAIR: f64 = 1e-4;

/// Whether shares at the high end of a torque pass the limits of a computed
/// value: surely, surely not, or none where only the exact figures tell. NaN is
/// not known.
pub fn passes_limits(of_proof: f64, of_yield: f64, combined: f64) -> Option<bool> {
    let over = |share: f64, limit: f64| match share / limit {
        ratio if ratio.is_nan() || ratio < 1.0 - SCREEN_HAIR => Some(false),
        ratio if ratio > 1.0 + SCREEN_HAIR + ROUNDING => Some(true),
        _ => None,
    };
    let tension = if of_proof.is_nan() { over(of_yield, YIELD) } else { over(of_proof, PROOF) };
    match (tension, over(combined, COMBINED)) {
        (Some(true), _) | (_, Some(true)) => Some(true),
        (Some(false), Some(false)) => Some(false),
        _ => None,
    }
}

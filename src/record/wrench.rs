//! Torque wrenches of the shop: scale, calibration, what to set.

use jiff::ToSpan as _;
use jiff::civil::Date;

use crate::mechanics::{self, Attachment};
use crate::procedure::{self, ProcedureError};
use crate::quantity::{Extent, Length, Stated, Torque};
use crate::record::calibration::{CALIBRATIONS, NEWEST_FOUND};
use crate::record::table::{Record, RecordTable, at, field};
use crate::record::{AsFound, Calibrated, WrenchUsed};

/// A torque wrench. `None` is "not stated".
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wrench {
    /// Its name in the shop: `W2`.
    pub name: String,
    /// Lowest mark.
    pub low: Option<Stated<Torque>>,
    /// Full scale.
    pub high: Option<Stated<Torque>>,
    /// Between two marks; its unit is that of the scale.
    pub graduation: Option<Stated<Torque>>,
    pub shop_low: Option<Stated<Torque>>,
    pub shop_high: Option<Stated<Torque>>,
    /// From the drive to the middle of the hand, for adapters.
    pub lever: Option<Stated<Length>>,
    /// Its calibrations, oldest first, one a day.
    pub calibrations: Vec<Calibrated>,
    pub due: Option<Date>,
    pub notes: Option<String>,
}

/// Why a wrench gives no setting.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum WrenchError {
    #[error("wrench {name}: {missing} is not stated, so its scale is not known")]
    NoScale { name: String, missing: &'static str },
    #[error("wrench {name}: give both shop-low and shop-high, or neither")]
    HalfRange { name: String },
    /// Marks that make no scale, in the units in which they were entered.
    #[error(
        "wrench {name} is marked from {low} to {high} by {step}: \
         the lowest mark must be under full scale, the step no more than it"
    )]
    Marks {
        name: String,
        /// Lowest mark.
        low: String,
        /// Full scale.
        high: String,
        step: String,
    },
    #[error(
        "wrench {name}: the shop's range is {low} to {high}: \
         the low end must be under the high end, and that no more than full scale"
    )]
    ShopRange { name: String, low: String, high: String },
    #[error("only a maximum is stated: no value to set")]
    Maximum,
    #[error(transparent)]
    Procedure(#[from] ProcedureError),
    #[error("{0}")]
    Mechanics(String),
}

/// How a calibration stands on a day; a wrench can be both overdue and found out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Calibration {
    /// Its last day; none if neither calibrated nor due is stated.
    pub until: Option<Date>,
    pub is_overdue: bool,
    /// The day of the calibration that found it out, if none since found it good.
    pub found_out: Option<Date>,
}

impl Calibration {
    /// Why the wrench is not to be used, if so.
    pub fn warning(self) -> Option<String> {
        let late = self.until.filter(|_| self.is_overdue);
        let late = late.map(|end| format!("CALIBRATION OVERDUE since {end}"));
        let out = self.found_out.map(|day| {
            format!("FOUND OUT {day}: not to be used until a calibration finds it good")
        });
        let both: Vec<String> = late.into_iter().chain(out).collect();
        (!both.is_empty()).then(|| both.join("; "))
    }
}

/// What comes between the listed torque and the wrench.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aids {
    pub attachment: Attachment,
    /// Torque of a locking thread.
    pub prevailing: mechanics::Prevailing,
}

impl Aids {
    /// What the wrench must show for `torque` at the bolt: prevailing torque
    /// added (always, AC 43.13-1B, 7-40), adapter taken out.
    pub fn at_wrench(&self, torque: Torque) -> Result<Torque, WrenchError> {
        mechanics::wrench_torque(torque, self.prevailing, mechanics::PrevailingRule::Always)
            .and_then(|torque| self.attachment.setting(torque))
            .map_err(|error| WrenchError::Mechanics(error.to_string()))
    }
}

impl Default for Aids {
    /// A socket on the axis and a thread that runs freely.
    fn default() -> Self {
        Self { attachment: Attachment::OnAxis, prevailing: mechanics::Prevailing::None }
    }
}

impl Wrench {
    /// A wrench of which only the name is known.
    pub fn named(name: impl Into<String>) -> Self {
        Self { name: name.into(), ..Self::default() }
    }

    /// The scale, if all of it is stated and it makes one.
    pub fn scale(&self) -> Result<procedure::Wrench, WrenchError> {
        let stated = |value: Option<Stated<Torque>>, missing| {
            value.ok_or_else(|| WrenchError::NoScale { name: self.name.clone(), missing })
        };
        let graduation = stated(self.graduation, "graduation")?;
        let shop_range = match (self.shop_low, self.shop_high) {
            (Some(low), Some(high)) => Some((low.value(), high.value())),
            (None, None) => None,
            _ => return Err(WrenchError::HalfRange { name: self.name.clone() }),
        };
        let scale = procedure::Wrench {
            low_mark: stated(self.low, "lowest mark")?.value(),
            full_scale: stated(self.high, "full scale")?.value(),
            graduation: graduation.value(),
            unit: graduation.written().unit,
            shop_range,
        };
        match scale.usable() {
            Ok(_) => Ok(scale),
            Err(ProcedureError::BadScale { .. }) => Err(self.bad_scale(&scale)),
            Err(error) => Err(error.into()),
        }
    }

    fn bad_scale(&self, scale: &procedure::Wrench) -> WrenchError {
        let name = self.name.clone();
        if (procedure::Wrench { shop_range: None, ..*scale }).usable().is_ok() {
            let [low, high] = [self.shop_low, self.shop_high].map(torque_text);
            return WrenchError::ShopRange { name, low, high };
        }
        let [low, high, step] = [self.low, self.high, self.graduation].map(torque_text);
        WrenchError::Marks { name, low, high, step }
    }

    /// What to set for `torque` at the bolt: prevailing torque added, adapter
    /// taken out, rounded to a mark, never past either end of what is stated.
    ///
    /// Prevailing torque is always added (AC 43.13-1B, 7-40); one that nobody
    /// settled is an error that asks.
    pub fn setting(
        &self,
        torque: Extent<Torque>,
        aids: &Aids,
    ) -> Result<procedure::Setting, WrenchError> {
        let aim = torque.target().ok_or(WrenchError::Maximum)?;
        let (floor, limit) = match torque {
            Extent::Between(low, high) => {
                (Some(aids.at_wrench(low.value())?), Some(aids.at_wrench(high.value())?))
            }
            Extent::Exactly(_) | Extent::AtMost(_) => (None, None),
        };
        Ok(self.scale()?.setting(aids.at_wrench(aim)?, floor, limit)?)
    }

    /// When its calibration ends: the stated day, else twelve months after the
    /// last one (ISO 6789, figure from memory).
    pub fn good_until(&self) -> Option<Date> {
        self.due.or_else(|| self.calibrated().and_then(|newest| a_year_on(newest.day)))
    }

    /// It as it stood on `day`: the last calibration until then, and when that ended.
    pub fn used_on(&self, day: Date) -> WrenchUsed {
        let until = self.calibrations.partition_point(|one| one.day <= day);
        let calibrated = self.calibrations[..until].last().map(|one| one.day);
        let due = match until == self.calibrations.len() {
            true => self.good_until(),
            false => calibrated.and_then(a_year_on),
        };
        WrenchUsed { name: self.name.clone(), calibrated, due }
    }

    /// The day of the last calibration that says how it was found, if that found it out.
    pub fn found_out(&self) -> Option<Date> {
        let newest = self.calibrations.iter().rev().find(|one| one.found.is_some())?;
        (newest.found == Some(AsFound::Out)).then_some(newest.day)
    }

    /// How its calibration stands on `day`; the last day is still good.
    pub fn calibration(&self, day: Date) -> Calibration {
        let until = self.good_until();
        let is_overdue = until.is_some_and(|end| end < day);
        Calibration { until, is_overdue, found_out: self.found_out() }
    }
}

/// As it was written; empty if it is not stated.
fn torque_text(torque: Option<Stated<Torque>>) -> String {
    torque.map(|torque| torque.to_string()).unwrap_or_default()
}

fn a_year_on(day: Date) -> Option<Date> {
    day.checked_add(12.months()).ok()
}

/// The best of `wrenches` for `torque` on `day`: usable, not overdue, then the
/// least rounding, then the smallest scale. None if none will do.
///
/// `prevailing` is added as for any wrench; an adapter is not reckoned with.
pub fn best_of(
    wrenches: &[Wrench],
    torque: Extent<Torque>,
    prevailing: mechanics::Prevailing,
    day: Date,
) -> Option<(&Wrench, procedure::Setting)> {
    let aids = Aids { prevailing, ..Aids::default() };
    let at_wrench = |torque: Torque| aids.at_wrench(torque).ok();
    let fit: Vec<(&Wrench, procedure::Wrench)> = wrenches
        .iter()
        .filter(|wrench| wrench.calibration(day).warning().is_none())
        .filter_map(|wrench| Some((wrench, wrench.scale().ok()?)))
        .collect();
    let scales: Vec<procedure::Wrench> = fit.iter().map(|(_, scale)| *scale).collect();
    let (floor, limit) = match torque {
        Extent::Between(low, high) => (at_wrench(low.value()), at_wrench(high.value())),
        Extent::Exactly(_) | Extent::AtMost(_) => (None, None),
    };
    let pick = procedure::best_wrench(&scales, at_wrench(torque.target()?)?, floor, limit)?;
    Some((fit[pick.index].0, pick.setting))
}

impl Record for Wrench {}

#[rustfmt::skip] // one row a line, read as a table
pub static WRENCHES: RecordTable = RecordTable { what: "wrench", listed: "wrenches", needed: &["name"], fields: &[
    field!("name" | "wrench" => at!(Wrench.name), "name", "its name in the shop"),
    field!("low" | "low-mark" | "lowest" => at!(Wrench.low), "low_nm", "lowest mark of the scale"),
    field!("high" | "full-scale" | "max" => at!(Wrench.high), "high_nm", "full scale"),
    field!("graduation" | "marks" | "step" => at!(Wrench.graduation), "graduation_nm", "between two marks"),
    field!("shop-low" => at!(Wrench.shop_low), "shop_low_nm", "lowest value the shop trusts it with"),
    field!("shop-high" => at!(Wrench.shop_high), "shop_high_nm", "highest value the shop trusts it with"),
    field!("lever" | "length" => at!(Wrench.lever), "lever_mm", "from the drive to the middle of the hand"),
    field!("calibrated" | "calibrations" | "calibrated-on" => CALIBRATIONS, "calibrations", "day of a calibration: 2026-01-10 is added to those before; or all of them: 2025-01-08 good; 2026-01-10 out"),
    field!("found" | "as-found" => NEWEST_FOUND, "found", "how the newest calibration found it: good or out"),
    field!("due" | "calibration-due" => at!(Wrench.due), "due", "day the calibration is due"),
    field!("notes" | "note" => at!(Wrench.notes), "notes", "anything else"),
] };

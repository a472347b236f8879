//! What a torque wrench can show, and what to set it to.

use std::fmt;

use crate::procedure::ProcedureError;
use crate::procedure::error::{shown, torque_above_0};
use crate::quantity::{Ratio, Torque, Unit};

/// The scale of a wrench.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wrench {
    /// Lowest mark.
    pub low_mark: Torque,
    pub full_scale: Torque,
    /// Between two marks.
    pub graduation: Torque,
    /// Unit of the scale, used in messages.
    pub unit: &'static Unit,
    /// The shop's own limits, if it set any.
    pub shop_range: Option<(Torque, Torque)>,
}

/// The part of the scale that is trusted, and by which rule.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Usable {
    pub low: Torque,
    pub high: Torque,
    pub rule: &'static str,
}

impl Wrench {
    fn check(&self) -> Result<(f64, f64, f64), ProcedureError> {
        let low = torque_above_0("low mark", self.low_mark)?;
        let high = torque_above_0("full scale", self.full_scale)?;
        let step = torque_above_0("graduation", self.graduation)?;
        if low < high && step <= high {
            return Ok((low, high, step));
        }
        Err(ProcedureError::BadScale { low, high, step })
    }

    /// The part of the scale that may be used: the shop's own limits, else from
    /// the lowest mark (ISO 6789-1:2017) but not under 20 % of full scale (the
    /// least value tested by the 2003 edition).
    pub fn usable(&self) -> Result<Usable, ProcedureError> {
        let (low, high, step) = self.check()?;
        if let Some((from, to)) = self.shop_range {
            let from = torque_above_0("low end of the shop's range", from)?;
            let to = torque_above_0("high end of the shop's range", to)?;
            if from >= to || to > high * (1.0 + 1e-9) {
                return Err(ProcedureError::BadScale { low: from, high: to, step });
            }
            let (low, high) = (Torque::from_nm(from), Torque::from_nm(to));
            return Ok(Usable { low, high, rule: "range set by the shop" });
        }
        let fifth = high * 0.2;
        let rule = if low >= fifth * (1.0 - 1e-9) {
            "from the lowest mark, ISO 6789-1:2017"
        } else {
            "from 20 % of full scale, ISO 6789:2003"
        };
        Ok(Usable { low: Torque::from_nm(low.max(fifth)), high: self.full_scale, rule })
    }

    /// What to set for `wanted`: the nearest mark, but never above `limit` (a
    /// stated maximum or the top of a range) and never below `floor`.
    pub fn setting(
        &self,
        wanted: Torque,
        floor: Option<Torque>,
        limit: Option<Torque>,
    ) -> Result<Setting, ProcedureError> {
        let (_, _, step) = self.check()?;
        let usable = self.usable()?;
        let exact = torque_above_0("torque", wanted)?;
        let slack = exact * 1e-9;
        let set = mark_near(exact, step, floor, limit);
        let outside = floor.is_some_and(|floor| set < floor.nm() - slack)
            || limit.is_some_and(|limit| set > limit.nm() + slack);
        let on_scale = if exact > usable.high.nm() + slack || set > usable.high.nm() + slack {
            OnScale::Above
        } else if exact < usable.low.nm() - slack || set < usable.low.nm() - slack {
            OnScale::Below
        } else if outside {
            OnScale::NoMark
        } else {
            OnScale::Within
        };
        let set = Torque::from_nm(set.max(0.0));
        let error = Ratio::from_value(set.nm() / exact - 1.0);
        Ok(Setting { wanted, set, error, on_scale, usable, unit: self.unit })
    }
}

/// The mark nearest to `exact`, N·m, one lower if it is past `limit`, one higher
/// if it is under `floor` and that is not past `limit`.
fn mark_near(exact: f64, step: f64, floor: Option<Torque>, limit: Option<Torque>) -> f64 {
    let slack = exact * 1e-9;
    let past = |mark: f64| limit.is_some_and(|limit| mark > limit.nm() + slack);
    let mark = (exact / step).round() * step;
    if past(mark) {
        return mark - step;
    }
    let under = floor.is_some_and(|floor| mark < floor.nm() - slack);
    if under && !past(mark + step) { mark + step } else { mark }
}

/// Whether a torque lies in the usable part of a scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum OnScale {
    Within,
    Below,
    Above,
    /// No mark lies in the stated range.
    NoMark,
}

/// Error above which a finer wrench is asked for: 2 %. Common practice, no
/// source.
const COARSE: f64 = 0.02;

/// What a wrench is set to for a torque.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    pub wanted: Torque,
    pub set: Torque,
    /// Set over wanted, less 1.
    pub error: Ratio,
    pub on_scale: OnScale,
    pub usable: Usable,
    unit: &'static Unit,
}

impl Setting {
    /// Whether the rounding is so large that a finer wrench is needed.
    pub fn is_coarse(&self) -> bool {
        self.error.value().abs() > COARSE
    }

    /// Why the torque is out of the range of the wrench, which is called `whose`, short
    /// enough for a column: "below its range 30 lb-ft to 150 lb-ft". None if it is within.
    pub fn off_scale(&self, whose: &str) -> Option<String> {
        let side = match self.on_scale {
            OnScale::Below => "below",
            OnScale::Above => "above",
            OnScale::Within | OnScale::NoMark => return None,
        };
        let (low, high) = (shown(self.usable.low, self.unit), shown(self.usable.high, self.unit));
        Some(format!("{side} {whose} range {low} to {high}"))
    }

    /// Whether this wrench may be used for the torque.
    pub fn is_usable(&self) -> bool {
        self.on_scale == OnScale::Within && !self.is_coarse()
    }

    /// The mark to set, in the unit of the scale: `30 lb-ft`.
    pub fn mark(&self) -> String {
        shown(self.set, self.unit)
    }
}

impl fmt::Display for Setting {
    /// "set 65 lb-ft (+0.5 %)" or why not, with the rule.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.on_scale == OnScale::NoMark {
            return f.write_str("no mark of this wrench lies in the range: use a finer wrench");
        }
        if let Some(off) = self.off_scale("this wrench's") {
            let (wanted, rule) = (shown(self.wanted, self.unit), self.usable.rule);
            return write!(f, "{wanted} is {off} ({rule}): use another wrench");
        }
        let percent = self.error.value() * 100.0;
        write!(f, "set {}", self.mark())?;
        match (percent.abs() >= 0.05, self.is_coarse()) {
            (false, _) => Ok(()),
            (true, false) => write!(f, " ({percent:+.1} %)"),
            (true, true) => write!(f, " ({percent:+.1} %): use a finer wrench"),
        }
    }
}

/// A wrench out of several, and its setting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pick {
    /// Index into the wrenches given.
    pub index: usize,
    pub setting: Setting,
}

/// The best of `wrenches` for `wanted`: usable, then the least rounding, then
/// the smallest full scale. None if none will do; a wrench with an impossible
/// scale is passed over.
pub fn best_wrench(
    wrenches: &[Wrench],
    wanted: Torque,
    floor: Option<Torque>,
    limit: Option<Torque>,
) -> Option<Pick> {
    let error = |pick: &Pick| (pick.setting.error.value().abs() * 1000.0).round();
    let scale = |pick: &Pick| wrenches[pick.index].full_scale.nm();
    wrenches
        .iter()
        .enumerate()
        .filter_map(|(index, wrench)| {
            let setting = wrench.setting(wanted, floor, limit).ok()?;
            setting.is_usable().then_some(Pick { index, setting })
        })
        .min_by(|a, b| error(a).total_cmp(&error(b)).then(scale(a).total_cmp(&scale(b))))
}

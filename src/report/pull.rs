//! How a setting is pulled, in figures: the torque column.

use crate::mechanics;
use crate::quantity::{Dimension, Extent, Kind, Length, Quantity, Ratio, Stated, Torque};
use crate::query::run::UnitsWanted;
use crate::record::{Basis, Fastener, Method, NOT_STATED, Pass, Row, Setting, prevailing_of};
use crate::report::figures::{Figures, Rounding, computed_torque, joined, shared_units};
use crate::report::lay::tied;
use crate::report::units::units_for;

/// What stands in the torque column.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Pull {
    /// A torque, and the angles that follow it (` +90° +90°`, else nothing).
    Torque(Figures, String),
    /// A stretch, always with its own units.
    Stretch(Figures),
    /// Words: an angle from snug, or nothing stated.
    Words(String),
}

impl Pull {
    pub(crate) fn new(setting: &Setting, wanted: &UnitsWanted) -> Self {
        match setting.method {
            Method::Torque => match setting.torque {
                Some(torque) => {
                    Self::Torque(torque_figures(setting, torque, wanted), String::new())
                }
                None => Self::Words(NOT_STATED.to_owned()),
            },
            Method::TorqueAngle | Method::Angle => by_angle(setting, wanted),
            Method::Stretch => match setting.stretch {
                Some(window) => Self::Stretch(stretch_figures(window, wanted)),
                None => Self::Words(NOT_STATED.to_owned()),
            },
        }
    }

    /// What the wrench goes to for `row`: where the prevailing torque is to be added and
    /// known, with it.
    pub(crate) fn of_row(row: &Row, wanted: &UnitsWanted) -> Self {
        if let Some(turns) = quoted_start(row).map(|_| row.setting.turns())
            && !turns.is_empty()
        {
            return Self::Words(turns.trim_start().to_owned());
        }
        let Some(running) = running_to_add(&row.fastener) else {
            return Self::new(&row.setting, wanted);
        };
        let mut setting = row.setting.clone();
        setting.torque = setting.torque.map(|torque| with_running(torque, running));
        setting.snug = setting.snug.map(|snug| plus(snug, running));
        Self::new(&setting, wanted)
    }

    /// The figures of a torque.
    pub(crate) fn torque(&self) -> Option<&Figures> {
        match self {
            Self::Torque(figures, _) => Some(figures),
            Self::Stretch(_) | Self::Words(_) => None,
        }
    }

    /// With every unit: `65 lb-ft / 88 N·m`.
    pub(crate) fn with_units(&self) -> String {
        match self {
            Self::Torque(figures, turns) => figures.with_units() + turns,
            Self::Stretch(figures) => format!("stretch {}", figures.with_units()),
            Self::Words(words) => words.clone(),
        }
    }

    /// Without the units, which stand in the heading: `70 / 95`.
    pub(crate) fn bare(&self) -> String {
        match self {
            Self::Torque(figures, turns) => figures.bare() + turns,
            Self::Stretch(_) | Self::Words(_) => self.with_units(),
        }
    }

    /// Only in the unit to read first, for a narrow line.
    pub(crate) fn first(&self) -> String {
        match self {
            Self::Torque(figures, turns) => figures.first().with_units() + turns,
            Self::Stretch(figures) => format!("stretch {}", figures.first().with_units()),
            Self::Words(words) => words.clone(),
        }
    }
}

/// The prevailing torque that is to be added to the figures of `fastener`.
pub(crate) fn running_to_add(fastener: &Fastener) -> Option<Torque> {
    match prevailing_of(fastener) {
        mechanics::Prevailing::ToAdd(running) => Some(running),
        _ => None,
    }
}

/// `torque` and `running` together, in the unit of the torque.
pub(crate) fn with_running(torque: Extent<Torque>, running: Torque) -> Extent<Torque> {
    match torque {
        Extent::Exactly(one) => Extent::Exactly(plus(one, running)),
        Extent::AtMost(one) => Extent::AtMost(plus(one, running)),
        Extent::Between(low, high) => Extent::Between(plus(low, running), plus(high, running)),
    }
}

fn plus(torque: Stated<Torque>, running: Torque) -> Stated<Torque> {
    let unit = torque.written().unit;
    let sum = torque.value() + running;
    // No finer than what was added: 55 and 6 are 61.
    let digits = |places: i32| sum.base() / unit.factor * 10f64.powi(places);
    let is_whole = |places: &i32| (digits(*places) - digits(*places).round()).abs() < 1e-6;
    let places = (0..2).find(is_whole).unwrap_or(2);
    let sum = Quantity::rounded(sum, unit, places as u8);
    sum.and_then(|sum| Stated::new(sum).ok()).unwrap_or(torque)
}

fn torque_figures(setting: &Setting, torque: Extent<Torque>, wanted: &UnitsWanted) -> Figures {
    let units = units_for(wanted, Dimension::Torque, Some(torque.unit()));
    Figures::new(torque, &units, setting.basis != Basis::Computed)
}

/// Where the angles of `row` begin, if that stands only in the words of the source.
pub(crate) fn quoted_start(row: &Row) -> Option<&str> {
    let setting = &row.setting;
    let is_turned = matches!(setting.method, Method::TorqueAngle | Method::Angle);
    let is_open = is_turned && setting.snug.is_none() && setting.torque.is_none();
    row.fastener.verbatim.as_deref().filter(|_| is_open)
}

fn by_angle(setting: &Setting, wanted: &UnitsWanted) -> Pull {
    let turns = setting.turns();
    let start = setting.snug.map(Extent::Exactly).or(setting.torque);
    match start {
        Some(snug) => Pull::Torque(torque_figures(setting, snug, wanted), turns),
        None if turns.is_empty() => Pull::Words(NOT_STATED.to_owned()),
        None => Pull::Words(format!("snug{turns}")),
    }
}

/// A stretch window in the units wanted: `0.0055–0.0060 in / 0.1397–0.1524 mm`.
pub(crate) fn stretch_figures(window: Extent<Length>, wanted: &UnitsWanted) -> Figures {
    let units = units_for(wanted, Dimension::Length, Some(window.unit()));
    Figures::new(window, &units, true)
}

/// The whole setting in one line for a note or a text: every unit, tied.
pub(crate) fn pull_words(setting: &Setting, wanted: &UnitsWanted) -> String {
    tied(&Pull::new(setting, wanted).with_units())
}

/// A quantity as written, or in the unit wanted.
pub(crate) fn stated_words<K: Kind>(value: Stated<K>, wanted: &UnitsWanted) -> String {
    extent_words(Extent::Exactly(value), wanted)
}

/// The same of a range or a maximum.
pub(crate) fn extent_words<K: Kind>(value: Extent<K>, wanted: &UnitsWanted) -> String {
    if *wanted == UnitsWanted::AsWritten {
        return value.to_string();
    }
    let units = units_for(wanted, K::DIMENSION, Some(value.unit()));
    Figures::new(value, &units, true).first().with_units()
}

fn pass_words(pass: &Pass) -> String {
    match pass {
        Pass::Share(share) => share_words(*share),
        other => other.to_string(),
    }
}

/// A share as people write it: `60%`, and `2/3` where per cent are no round number.
pub(crate) fn share_words(share: Stated<Ratio>) -> String {
    let thirds = share.value().value() * 3.0;
    let is_third = |whole: &f64| (thirds - whole).abs() < 0.003;
    let whole = [1.0, 2.0].into_iter().find(is_third);
    whole.map_or_else(|| share.to_string(), |whole| format!("{whole}/3"))
}

/// The passes as the source gives them, or in the units wanted: `20, 45, 65 lb-ft`
/// where they share a unit, else each with its own. Each pass stays on one line.
pub(crate) fn passes(row: &Row, wanted: &UnitsWanted) -> String {
    let passes = row.setting.whole_passes();
    if passes.is_empty() {
        return NOT_STATED.to_owned();
    }
    let torque = |pass: &Pass| match pass {
        Pass::Torque(torque) => {
            let units = units_for(wanted, Dimension::Torque, Some(torque.written().unit));
            Some(Figures::new(Extent::Exactly(*torque), &units, true).first())
        }
        _ => None,
    };
    let torques: Vec<Option<Figures>> = passes.iter().map(torque).collect();
    let shown: Option<Vec<&Figures>> = torques.iter().map(Option::as_ref).collect();
    if let Some(shown) = shown
        && shared_units(shown.iter().copied()).is_some()
        && let Some((last, before)) = shown.split_last()
    {
        let mut numbers: Vec<String> = before.iter().map(|torque| torque.bare()).collect();
        numbers.push(tied(&last.with_units()));
        return numbers.join(", ");
    }
    let each = passes.iter().zip(&torques).map(|(pass, torque)| match torque {
        Some(torque) => tied(&torque.with_units()),
        None => tied(&pass_words(pass)),
    });
    let has_share = passes.iter().any(|pass| matches!(pass, Pass::Share(_)));
    let whole = row.setting.torque.filter(|_| has_share);
    let of = whole.map(|torque| tied(&format!(" of {}", extent_words(torque, wanted))));
    let worked = whole.and_then(|torque| worked_shares(&passes, torque, wanted));
    each.collect::<Vec<_>>().join(", ") + &of.unwrap_or_default() + &worked.unwrap_or_default()
}

/// Shares of a torque worked out, as the boxes of a sheet have them: `: 45, 90, 150 N·m`.
fn worked_shares(passes: &[Pass], whole: Extent<Torque>, wanted: &UnitsWanted) -> Option<String> {
    let unit = *units_for(wanted, Dimension::Torque, Some(whole.unit())).first()?;
    let aim = whole.target()?.base() / unit.factor;
    let figure = |pass: &Pass| match pass {
        Pass::Share(share) if share.value().value() < 1.0 - 1e-9 => {
            Some(computed_torque(aim * share.value().value(), Rounding::Down))
        }
        Pass::Share(_) => Some(Figures::new(whole, &[unit], true).bare()),
        _ => None,
    };
    let figures: Vec<String> = passes.iter().map(figure).collect::<Option<_>>()?;
    Some(format!(": {}", tied(&joined(&figures.join(", "), unit))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::System;

    fn setting(method: Method) -> Setting {
        Setting::new(method, Basis::Listed)
    }

    #[test]
    fn each_method_says_its_figures() {
        let mut angle = setting(Method::TorqueAngle);
        angle.snug = Stated::parse("22 lb-ft").ok();
        angle.angles = vec![Stated::parse("90°").unwrap(); 2];
        let shown = |setting: &Setting| Pull::new(setting, &UnitsWanted::AsWritten).with_units();
        assert_eq!(shown(&angle), "22 lb-ft / 29.8 N·m +90° +90°");
        angle.snug = None;
        assert_eq!(shown(&angle), "snug +90° +90°");
        let mut stretch = setting(Method::Stretch);
        assert_eq!(shown(&stretch), "not stated");
        stretch.stretch = Extent::parse("0.0055..0.0060 in").ok();
        assert_eq!(shown(&stretch), "stretch 0.0055–0.0060 in / 0.1397–0.1524 mm");
    }

    #[test]
    fn one_family_drops_the_other() {
        let mut torque = setting(Method::Torque);
        torque.torque = Extent::parse("72..96 lb-in").ok();
        let metric = UnitsWanted::System(System::Metric);
        // 72 lb-in = 8.135 N·m up, 96 lb-in = 10.847 N·m down.
        assert_eq!(Pull::new(&torque, &metric).with_units(), "8.14–10.8 N·m");
    }
}

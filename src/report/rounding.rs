//! How finely a number is shown and which way it is rounded: no finer than it can
//! promise, and never to the unsafe side.
//!
//! A stated value stands verbatim in the unit in which it is written and is
//! converted to three figures in any other, so that two units agree within 1 %:
//! to the nearest, a maximum and the top of a range down, a low end up. A computed
//! torque is whole from 50 up, in halves from 10, else in tenths, and rounded down:
//! up, it would pass its target or the clamp of its source. Its other units are
//! that printed figure converted. A band is rounded outward. JSON and CSV carry
//! the unrounded values beside the text.

use crate::quantity::{Dimension, Unit};

/// Which way a figure is rounded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Rounding {
    Nearest,
    /// Down: a maximum, the top of a range, the low end of a band.
    Down,
    /// Up: the low end of a range, the high end of a band.
    Up,
}

/// What a number of steps may lie off a whole one and still be it: binary dust
/// must not push an end outward.
const DUST: f64 = 1e-6;

impl Rounding {
    fn round(self, steps: f64) -> f64 {
        match self {
            Self::Nearest => (steps + DUST / 1000.0).round(),
            Self::Down => (steps + DUST).floor(),
            Self::Up => (steps - DUST).ceil(),
        }
    }
}

/// `value` with `figures` significant figures, without an exponent. A value
/// that is not above zero is "0".
pub(crate) fn significant(value: f64, figures: i32, rounding: Rounding) -> String {
    if !(value.is_finite() && value > 0.0) {
        return "0".to_owned();
    }
    let step = 10f64.powi(magnitude(value) - figures + 1);
    let rounded = rounding.round(value / step) * step;
    let places = (figures - 1 - magnitude(rounded)).max(0) as usize;
    format!("{rounded:.places$}")
}

/// The power of ten of the first figure.
fn magnitude(value: f64) -> i32 {
    (value.log10() + 1e-12).floor() as i32
}

/// [`significant`] to the nearest, without zeros at the end of its decimals.
pub(crate) fn short(value: f64, figures: i32) -> String {
    trimmed(&significant(value, figures, Rounding::Nearest))
}

pub(crate) fn trimmed(text: &str) -> String {
    if !text.contains('.') {
        return text.to_owned();
    }
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A computed torque in the unit that stands first: whole from 50 up, halves
/// from 10, else tenths; below one two figures, as tenths would say too little.
pub(crate) fn computed_torque(value: f64, rounding: Rounding) -> String {
    let step = match value {
        value if value >= 50.0 => 1.0,
        value if value >= 10.0 => 0.5,
        value if value >= 1.0 => 0.1,
        _ => return trimmed(&significant(value, 2, rounding)),
    };
    trimmed(&format!("{:.1}", rounding.round(value / step) * step))
}

/// Significant figures of a value that is converted or derived; none where it is
/// shown in whole numbers.
fn figures_of(dimension: Dimension) -> Option<i32> {
    match dimension {
        Dimension::Force => Some(2),
        Dimension::Torque | Dimension::Stress | Dimension::Area => Some(3),
        Dimension::Length => Some(4),
        Dimension::Angle | Dimension::TemperatureDifference | Dimension::Ratio => None,
    }
}

/// A number of base units of `dimension` in `unit`, as a converted or derived
/// value, without the unit.
pub(crate) fn converted(dimension: Dimension, base: f64, unit: &Unit, way: Rounding) -> String {
    let value = base / unit.factor;
    match figures_of(dimension) {
        None => format!("{:.0}", way.round(value)),
        // A clamp keeps its zeros: they are what it promises.
        Some(figures) if dimension == Dimension::Force => significant(value, figures, way),
        Some(figures) => trimmed(&significant(value, figures, way)),
    }
}

/// [`converted`] to the nearest.
pub(crate) fn figure(dimension: Dimension, base: f64, unit: &Unit) -> String {
    converted(dimension, base, unit, Rounding::Nearest)
}

/// Both ends of a range, low end up and top down; to the nearest where the range
/// is so narrow that they would cross.
pub(crate) fn range(ends: [f64; 2], show: impl Fn(f64, Rounding) -> String) -> [String; 2] {
    let shown = [show(ends[0], Rounding::Up), show(ends[1], Rounding::Down)];
    let numbers = shown.each_ref().map(|text| text.parse::<f64>().unwrap_or(f64::NAN));
    if numbers[0] <= numbers[1] { shown } else { ends.map(|end| show(end, Rounding::Nearest)) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::UNITS;

    /// The rules of DESIGN, value by value; the factors are those of NIST SP 811
    /// (1 lb-ft = 1.355 818 N·m), the products worked by hand.
    #[test]
    fn torques_promise_no_more_than_they_can() {
        let cases = [
            (70.117, "70"),
            (58.93, "58"),
            (50.0, "50"),
            (49.9, "49.5"),
            (19.9, "19.5"),
            (12.3, "12"),
            (9.99, "9.9"),
            (5.2, "5.2"),
            (1.09, "1"),
            (0.04, "0.04"),
            (0.0219, "0.021"),
        ];
        for (value, shown) in cases {
            assert_eq!(computed_torque(value, Rounding::Down), shown, "{value}");
        }
        // Binary dust: 0.3/0.1 is 2.9999…
        assert_eq!(computed_torque(1.1 + 0.2, Rounding::Down), "1.3");
        assert_eq!(computed_torque(70.0 - 1e-9, Rounding::Down), "70");
    }

    /// Over every pair of units of torque and 200 values each: what is printed in
    /// two units agrees within 1 %, a maximum and a top never rise, a low end never
    /// falls, and a computed figure is never above its value in any unit.
    #[test]
    fn two_units_agree_within_a_hundredth_and_on_the_safe_side() {
        let torques = || UNITS.iter().filter(|unit| unit.dimension == Dimension::Torque);
        let base = |text: &str, unit: &Unit| text.parse::<f64>().unwrap() * unit.factor;
        let mut pairs = 0;
        for (one, other) in torques().flat_map(|one| torques().map(move |other| (one, other))) {
            pairs += 1;
            for at in 0..200 {
                // From 0.5 to 2000 N·m, evenly in the logarithm.
                let value = 0.5 * 4000f64.powf(f64::from(at) / 199.0);
                for way in [Rounding::Nearest, Rounding::Down, Rounding::Up] {
                    let shown = base(&converted(Dimension::Torque, value, other, way), other);
                    let apart = shown / value - 1.0;
                    assert!(apart.abs() <= 0.01, "{value} {} {way:?} {shown}", other.symbol);
                    match way {
                        Rounding::Down => assert!(apart <= 1e-8, "{value} {}", other.symbol),
                        Rounding::Up => assert!(apart >= -1e-8, "{value} {}", other.symbol),
                        Rounding::Nearest => assert!(apart.abs() <= 0.005 + 1e-8),
                    }
                }
                let first = computed_torque(value / one.factor, Rounding::Down);
                let printed = base(&first, one);
                assert!(printed <= value * (1.0 + 1e-7), "{value} {} {first}", one.symbol);
                let second = converted(Dimension::Torque, printed, other, Rounding::Down);
                let second = base(&second, other);
                assert!((second / printed - 1.0).abs() <= 0.01, "{first} {} {second}", one.symbol);
                assert!(second <= value * (1.0 + 1e-7), "{value} {} {second}", other.symbol);
            }
        }
        assert!(pairs >= 36, "{pairs} pairs of units");
    }

    #[test]
    fn a_range_is_rounded_inward_and_never_crosses() {
        let show = |value: f64, way| trimmed(&significant(value, 3, way));
        assert_eq!(range([13.558, 20.337], show), ["13.6", "20.3"]);
        assert_eq!(range([12.34, 12.36], show), ["12.3", "12.4"]);
    }
}

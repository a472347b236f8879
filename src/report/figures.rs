//! How finely a number is shown: no finer than it can promise.
//!
//! A listed value stands as the sheet wrote it. A converted or computed torque
//! is whole from 20 up, in halves from 5, else in tenths; a clamp has two
//! figures and its band is rounded outward; a share is a whole per cent. JSON
//! and CSV carry the unrounded values.

use crate::quantity::{Dimension, Extent, Form, Kind, Number, Quantity, Stated, Unit};
use crate::record::Clamp;

/// Which way a figure is rounded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Rounding {
    /// To the nearest.
    Nearest,
    /// Down: the low end of a band.
    Down,
    /// Up: the high end of a band.
    Up,
}

/// `value` with `figures` significant figures, without an exponent. A value
/// that is not above zero is "0".
pub(crate) fn significant(value: f64, figures: i32, rounding: Rounding) -> String {
    if !(value.is_finite() && value > 0.0) {
        return "0".to_owned();
    }
    let step = 10f64.powi(magnitude(value) - figures + 1);
    // A hair of slack, so that binary dust does not push a band outward or a
    // half down.
    let steps = match rounding {
        Rounding::Nearest => (value / step + 1e-9).round(),
        Rounding::Down => (value / step + 1e-6).floor(),
        Rounding::Up => (value / step - 1e-6).ceil(),
    };
    let rounded = steps * step;
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

/// A decimal number without zeros at the end.
pub(crate) fn trimmed(text: &str) -> String {
    if !text.contains('.') {
        return text.to_owned();
    }
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A converted or computed torque in the unit shown: whole from 20 up, halves
/// from 5, else tenths; below a half two figures, as tenths would say 0.
pub(crate) fn torque_figure(value: f64) -> String {
    let step = match value {
        value if value >= 20.0 => 1.0,
        value if value >= 5.0 => 0.5,
        value if value >= 0.5 => 0.1,
        _ => return short(value, 2),
    };
    trimmed(&format!("{:.1}", (value / step).round() * step))
}

/// A share as a whole per cent, without the sign: 0.75 is `75`.
pub(crate) fn per_cent(share: f64) -> String {
    format!("{:.0}", share * 100.0)
}

/// A factor of friction as the trade writes it: `.12`, two decimals, three
/// where the third is not zero.
pub(crate) fn factor(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.strip_suffix('0').unwrap_or(&text);
    text.strip_prefix('0').unwrap_or(text).to_owned()
}

/// A clamp with its band in `unit`, without the unit: `71 (53–89)`.
pub(crate) fn clamp_figures(clamp: Clamp, unit: &Unit) -> String {
    let figure = |force: crate::quantity::Force, rounding| {
        significant(force.base() / unit.factor, 2, rounding)
    };
    format!(
        "{} ({}–{})",
        figure(clamp.nominal, Rounding::Nearest),
        figure(clamp.low, Rounding::Down),
        figure(clamp.high, Rounding::Up)
    )
}

/// A number of base units of `dimension` in `unit`, rounded as a converted or
/// derived value, without the unit.
pub(crate) fn figure(dimension: Dimension, base: f64, unit: &Unit) -> String {
    let value = base / unit.factor;
    match dimension {
        Dimension::Torque => torque_figure(value),
        Dimension::Force => significant(value, 2, Rounding::Nearest),
        Dimension::Length => short(value, 4),
        Dimension::Stress | Dimension::Area => short(value, 3),
        Dimension::Angle | Dimension::TemperatureDifference | Dimension::Ratio => {
            format!("{value:.0}")
        }
    }
}

/// What a sheet or a person states, in `unit`, without the unit: as written
/// where it is written in that unit, else rounded. Always as written if
/// `verbatim`. `70`, `65–70`; a maximum
/// is the bare number too.
pub(crate) fn extent_figure<K: Kind>(
    extent: Extent<K>,
    unit: &'static Unit,
    verbatim: bool,
) -> String {
    let one = |stated: Stated<K>| {
        let Quantity { number, unit: written } = stated.written();
        if written == unit && (verbatim || !is_arithmetic(number)) {
            number.to_string()
        } else {
            figure(K::DIMENSION, stated.value().base(), unit)
        }
    };
    match extent {
        Extent::Exactly(value) | Extent::AtMost(value) => one(value),
        Extent::Between(low, high) => format!("{}–{}", one(low), one(high)),
    }
}

/// Whether a number came out of arithmetic: those keep all nine decimals that a
/// number can have, which nobody writes.
fn is_arithmetic(number: Number) -> bool {
    number.form() == Form::Decimal { places: 9 }
}

/// Whether only a maximum is stated.
pub(crate) fn is_maximum<K>(extent: &Extent<K>) -> bool {
    matches!(extent, Extent::AtMost(_))
}

/// The figures of one tightening, in each unit wanted.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Figures {
    /// `max ` before a maximum, else nothing.
    pub(crate) before: &'static str,
    /// Number and unit, the first the one to read.
    pub(crate) parts: Vec<(String, &'static Unit)>,
}

impl Figures {
    /// `extent` in each of `units`; verbatim where written so.
    pub(crate) fn of<K: Kind>(extent: Extent<K>, units: &[&'static Unit], verbatim: bool) -> Self {
        let part = |unit: &&'static Unit| (extent_figure(extent, unit, verbatim), *unit);
        Self {
            before: if is_maximum(&extent) { "max " } else { "" },
            parts: units.iter().map(part).collect(),
        }
    }

    /// `70 / 95`.
    pub(crate) fn bare(&self) -> String {
        let numbers: Vec<&str> = self.parts.iter().map(|part| part.0.as_str()).collect();
        format!("{}{}", self.before, numbers.join(" / "))
    }

    /// `70 lb-ft / 95 N·m`.
    pub(crate) fn with_units(&self) -> String {
        let parts: Vec<String> =
            self.parts.iter().map(|(number, unit)| joined(number, unit)).collect();
        format!("{}{}", self.before, parts.join(" / "))
    }

    /// Only the unit to read first: `70 lb-ft`.
    pub(crate) fn first(&self) -> Self {
        Self { before: self.before, parts: self.parts.iter().take(1).cloned().collect() }
    }

    /// The units, in order.
    pub(crate) fn units(&self) -> Vec<&'static Unit> {
        self.parts.iter().map(|part| part.1).collect()
    }
}

/// A number with its unit as the trade writes it: `70 lb-ft`, `90°`, `75 %`.
pub(crate) fn joined(number: &str, unit: &Unit) -> String {
    match unit.symbol {
        close @ ("°" | "°F") => format!("{number}{close}"),
        symbol => format!("{number} {symbol}"),
    }
}

/// The symbols of `units` as a heading: `lb-ft / N·m`.
pub(crate) fn symbols(units: &[&'static Unit]) -> String {
    let symbols: Vec<&str> = units.iter().map(|unit| unit.symbol).collect();
    symbols.join(" / ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Force, Torque, find_unit};

    /// The rules of rounding, value by value; the factors are those of
    /// NIST SP 811 (1 lb-ft = 1.355 818 N·m), the products worked by hand.
    #[test]
    fn torques_promise_no_more_than_they_can() {
        let lb_ft = 1.355_817_948_3;
        let cases = [
            (70.0 * lb_ft, "95"),
            (88.0 * lb_ft, "119"),
            (33.0 * lb_ft, "45"),
            (22.0 * lb_ft, "30"),
            (82.0 * lb_ft, "111"),
            (70.117, "70"),
            (19.9, "20"),
            (12.3, "12.5"),
            (12.1, "12"),
            (5.2, "5"),
            (4.97, "5"),
            (3.388, "3.4"),
            (0.04, "0.04"),
            (0.0213, "0.021"),
        ];
        for (value, shown) in cases {
            assert_eq!(torque_figure(value), shown, "{value}");
        }
    }

    #[test]
    fn a_band_is_rounded_outward_and_a_clamp_has_two_figures() {
        let kn = find_unit("kN").unwrap();
        let clamp = |low: f64, nominal: f64, high: f64| {
            let force = |kn: f64| Force::from_n(kn * 1000.0);
            clamp_figures(Clamp { low: force(low), nominal: force(nominal), high: force(high) }, kn)
        };
        // 71.3 kN ± 25 %: 53.475 and 89.125.
        assert_eq!(clamp(53.475, 71.3, 89.125), "71 (53–90)");
        assert_eq!(clamp(53.25, 71.0, 88.75), "71 (53–89)");
        assert_eq!(clamp(60.0, 80.0, 100.0), "80 (60–100)");
        assert_eq!(clamp(98.3, 131.0, 163.8), "130 (98–170)");
        assert_eq!(clamp(5.31, 7.08, 8.85), "7.1 (5.3–8.9)");
        assert_eq!(clamp(0.996, 0.996, 0.996), "1.0 (0.99–1.0)");
    }

    #[test]
    fn listed_values_stand_as_written() {
        let [lb_ft, nm] = ["lb-ft", "N·m"].map(|unit| find_unit(unit).unwrap());
        let shown = |text: &str, verbatim| {
            let extent = Extent::<Torque>::parse(text).unwrap();
            Figures::of(extent, &[lb_ft, nm], verbatim).with_units()
        };
        assert_eq!(shown("70 lb-ft", true), "70 lb-ft / 95 N·m");
        assert_eq!(shown("70.50 lb-ft", true), "70.50 lb-ft / 96 N·m");
        assert_eq!(shown("65..70 lb-ft", true), "65–70 lb-ft / 88–95 N·m");
        assert_eq!(shown("max 70 lb-ft", true), "max 70 lb-ft / 95 N·m");
        // 33.000000001 came out of arithmetic.
        assert_eq!(shown("33.000000001 lb-ft", false), "33 lb-ft / 45 N·m");
        assert_eq!(shown("6 lb-ft..90 lb-in", true), "6–7.5 lb-ft / 8–10 N·m");
    }

    #[test]
    fn shares_and_factors() {
        assert_eq!(per_cent(0.7512), "75");
        assert_eq!(per_cent(1.0549), "105");
        assert_eq!(factor(0.12), ".12");
        assert_eq!(factor(0.135), ".135");
        assert_eq!(factor(1.2), "1.20");
    }
}

//! The figures of one tightening as they stand on a screen.

use crate::quantity::{Dimension, Extent, Kind, Number, NumberForm, Quantity, Unit};
use crate::record::{Band, Clamp};
pub(crate) use crate::report::rounding::{
    Rounding, computed_torque, converted, figure, range, short, significant, trimmed,
};

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

/// `.12 (.09–.16)`, or the bare number where there is no range.
pub(crate) fn factor_range(band: Band) -> String {
    if band.low == band.high {
        return factor(band.nominal);
    }
    format!("{} ({}–{})", factor(band.nominal), factor(band.low), factor(band.high))
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

/// What a sheet or a person states, or what was computed, in each of `units`: see
/// [`crate::report::rounding`]. `65–70` for a range; a maximum is the bare number.
pub(crate) fn stated_figures(
    ends: &[Quantity],
    is_maximum: bool,
    units: &[&'static Unit],
    verbatim: bool,
) -> Vec<(String, &'static Unit)> {
    let Some(dimension) = ends.first().map(|end| end.dimension()) else { return Vec::new() };
    let is_computed = !verbatim && ends.iter().any(|end| is_arithmetic(end.number));
    let one_way = if is_maximum || is_computed { Rounding::Down } else { Rounding::Nearest };
    let mut bases: Vec<f64> = ends.iter().map(|end| end.base()).collect();
    let mut parts = Vec::with_capacity(units.len());
    let mut rest = units.iter().copied();
    if is_computed && dimension == Dimension::Torque {
        // What is printed first is the torque; the other units say the same.
        let Some(unit) = rest.next() else { return parts };
        let texts = in_ends(&bases, one_way, |base, way| computed_torque(base / unit.factor, way));
        let number =
            |text: &String| text.parse().map_or(f64::NAN, |number: f64| number * unit.factor);
        bases = texts.iter().map(number).collect();
        parts.push((texts.join("–"), unit));
    }
    parts.extend(rest.map(|unit| {
        let texts = in_ends(&bases, one_way, |base, way| converted(dimension, base, unit, way));
        let shown_end = |(end, text): (&Quantity, String)| {
            if end.unit == unit && !is_computed { end.number.to_string() } else { text }
        };
        let texts: Vec<String> = ends.iter().zip(texts).map(shown_end).collect();
        (texts.join("–"), unit)
    }));
    parts
}

/// Each end shown, of a range its low end up and its top down.
pub(crate) fn in_ends(
    ends: &[f64],
    one_way: Rounding,
    show: impl Fn(f64, Rounding) -> String,
) -> Vec<String> {
    match *ends {
        [low, high] => range([low, high], show).to_vec(),
        _ => ends.iter().map(|end| show(*end, one_way)).collect(),
    }
}

/// Whether a number came out of arithmetic: those keep all nine decimals that a
/// number can have, which nobody writes.
fn is_arithmetic(number: Number) -> bool {
    number.form() == NumberForm::Decimal { places: 9 }
}

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
    pub(crate) fn new<K: Kind>(extent: Extent<K>, units: &[&'static Unit], verbatim: bool) -> Self {
        Self {
            before: if is_maximum(&extent) { "max " } else { "" },
            parts: match extent {
                Extent::Exactly(one) | Extent::AtMost(one) => {
                    stated_figures(&[one.written()], is_maximum(&extent), units, verbatim)
                }
                Extent::Between(low, high) => {
                    stated_figures(&[low.written(), high.written()], false, units, verbatim)
                }
            },
        }
    }

    /// `70 / 95`.
    pub(crate) fn bare(&self) -> String {
        let numbers: Vec<&str> = self.parts.iter().map(|part| part.0.as_str()).collect();
        format!("{}{}", self.before, numbers.join(" / "))
    }

    /// `65 lb-ft / 88 N·m`.
    pub(crate) fn with_units(&self) -> String {
        let parts: Vec<String> =
            self.parts.iter().map(|(number, unit)| joined(number, unit)).collect();
        format!("{}{}", self.before, parts.join(" / "))
    }

    /// Only the unit to read first: `65 lb-ft`.
    pub(crate) fn first(&self) -> Self {
        Self { before: self.before, parts: self.parts.iter().take(1).cloned().collect() }
    }

    pub(crate) fn units(&self) -> Vec<&'static Unit> {
        self.parts.iter().map(|part| part.1).collect()
    }
}

/// A number with its unit as the trade writes it: `65 lb-ft`, `90°`, `75 %`.
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

/// The units that all of `figures` share; None where they differ or there is none.
pub(crate) fn shared_units<'a>(
    figures: impl Iterator<Item = &'a Figures>,
) -> Option<Vec<&'static Unit>> {
    let mut units = figures.map(Figures::units);
    let first = units.next()?;
    units.all(|units| units == first).then_some(first)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Force, Length, Stress, Torque, UNITS, find_unit};

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
            Figures::new(extent, &[lb_ft, nm], verbatim).with_units()
        };
        assert_eq!(shown("65 lb-ft", true), "65 lb-ft / 88.1 N·m");
        assert_eq!(shown("70.50 lb-ft", true), "70.50 lb-ft / 95.6 N·m");
        assert_eq!(shown("60..65 lb-ft", true), "60–65 lb-ft / 81.4–88.1 N·m");
        assert_eq!(shown("max 65 lb-ft", true), "max 65 lb-ft / 88.1 N·m");
        // 33.000000001 came out of arithmetic.
        assert_eq!(shown("33.000000001 lb-ft", false), "33 lb-ft / 44.7 N·m");
        assert_eq!(shown("6 lb-ft..90 lb-in", true), "6–7.5 lb-ft / 8.14–10.1 N·m");
    }

    /// The rules of DESIGN section 6 over random values and every pair of units, for a
    /// value, a maximum, a range and a computed figure: as written it stands verbatim;
    /// in another unit it agrees within 1 %; a maximum and a top never rise, a low end
    /// never falls, a computed figure passes its value in no unit.
    #[test]
    fn two_units_say_the_same_and_never_to_the_unsafe_side() {
        let mut seed = 0x5eed_0012_u64;
        let mut random = || {
            // xorshift, G. Marsaglia 2003.
            seed ^= seed << 13;
            seed ^= seed >> 7;
            seed ^= seed << 17;
            (seed >> 11) as f64 / (1u64 << 53) as f64
        };
        agree::<Torque>(&mut random, computed_never_higher::<Torque>);
        // What a sheet states beside torques: a window of stretch, a stress. A force is a
        // clamp, which promises two figures only.
        agree::<Length>(&mut random, |_, _, _| {});
        agree::<Stress>(&mut random, |_, _, _| {});
    }

    fn agree<K: Kind>(
        random: &mut impl FnMut() -> f64,
        computed: fn(f64, &'static Unit, &'static Unit),
    ) {
        let units = || UNITS.iter().filter(|unit| unit.dimension == K::DIMENSION);
        for (one, other) in units().flat_map(|one| units().map(move |other| (one, other))) {
            for _ in 0..40 {
                // As a person writes them: 0.5 to 1000 of the base unit, three figures.
                let low = 0.5 * 2000f64.powf(random()) / one.factor;
                let low = significant(low, 3, Rounding::Nearest);
                let value = low.parse::<f64>().unwrap();
                let high = significant(value * (1.05 + random()), 4, Rounding::Nearest);
                for text in [low.clone(), format!("max {low}"), format!("{low}..{high}")] {
                    stated_alike::<K>(&text, one, other);
                }
                computed(value, one, other);
            }
        }
    }

    /// What a person wrote, in its own unit and in another.
    fn stated_alike<K: Kind>(numbers: &str, one: &'static Unit, other: &'static Unit) {
        let text = format!("{numbers} {}", one.symbol);
        let extent = Extent::<K>::parse(&text).unwrap();
        let shown = Figures::new(extent, &[one, other], true);
        let numbers = numbers.trim_start_matches("max ").replace("..", "–");
        assert_eq!(shown.parts[0].0, numbers, "{text}");
        let meant = bases(&(numbers, one));
        for (end, (found, meant)) in bases(&shown.parts[1]).into_iter().zip(&meant).enumerate() {
            let apart = found / meant - 1.0;
            assert!(apart.abs() <= 0.01, "{text} in {}: {found}", other.symbol);
            if is_maximum(&extent) || (meant_range(&extent) && end == 1) {
                assert!(apart <= 1e-8, "{text} in {}: {found}", other.symbol);
            } else if meant_range(&extent) {
                assert!(apart >= -1e-8, "{text} in {}: {found}", other.symbol);
            }
        }
    }

    fn computed_never_higher<K: Kind>(value: f64, one: &'static Unit, other: &'static Unit) {
        let extent = Extent::<K>::parse(&format!("{value:.9} {}", one.symbol)).unwrap();
        let computed = Figures::new(extent, &[one, other], false);
        let [first, second] = [0, 1].map(|at| bases(&computed.parts[at])[0]);
        assert!(first <= value * one.factor * (1.0 + 1e-7), "{value} {}", one.symbol);
        assert!(second <= first * (1.0 + 1e-8) && second >= first * 0.99, "{first} {second}");
    }

    /// The figures of a part in the base unit of their dimension.
    fn bases(part: &(String, &'static Unit)) -> Vec<f64> {
        part.0.split('–').map(|end| end.parse::<f64>().unwrap() * part.1.factor).collect()
    }

    fn meant_range<K: Kind>(extent: &Extent<K>) -> bool {
        matches!(extent, Extent::Between(..))
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

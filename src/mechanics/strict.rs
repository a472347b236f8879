//! The second, stricter stress area of an inch thread, and the drill that exists
//! for a tapping size.

use std::f64::consts::PI;

use crate::mechanics::MechanicsError;
use crate::mechanics::area::sound;
use crate::mechanics::error::result;
use crate::mechanics::formula::Formula;
use crate::quantity::{Area, Length, Stress};
use crate::thread::Geometry;

pub static STRICT_AREA: Formula = Formula::new(
    "A = π·(Esmin/2 − 0.16238·P)²",
    "ASME B1.1, form for steel above 100 ksi; limits of class 2A by its formulas, from memory",
);

/// Tensile strength above which ASME B1.1 has the stricter area: 100 ksi.
pub const STRICT_ABOVE: Stress = Stress::from_mpa(100.0 * 6.894_757_293_168);

/// The stress area, mm², that ASME B1.1 and FED-STD-H28/2B give for unified
/// threads of steel above 100 ksi, at least material of class 2A:
/// A = π·(Es,min/2 − 0.16238·P)². The published tables of strength use the other
/// form for all steels, and so do the figures here: this one is shown beside it.
///
/// Es,min = d2 − 1.3·T, with the tolerance of class 2A for a length of engagement
/// of one diameter, T = 0.0015·∛D + 0.0015·√D + 0.015·∛P², in inches, and 0.3·T of
/// allowance (ASME B1.1, from memory). 1/2-13: Es,min 0.4435 in.
pub fn strict_area(thread: &Geometry) -> Result<Area, MechanicsError> {
    let least = least_pitch_diameter(thread)?;
    let radius = least.mm() / 2.0 - 0.162_38 * thread.pitch.mm();
    result("stricter stress area", Area::from_mm2(PI * radius * radius), "pitch")
}

/// Least pitch diameter of class 2A, mm.
pub fn least_pitch_diameter(thread: &Geometry) -> Result<Length, MechanicsError> {
    sound(thread)?;
    let (size, pitch) = (thread.major.mm() / 25.4, thread.pitch.mm() / 25.4);
    let tolerance = 0.0015 * size.cbrt() + 0.0015 * size.sqrt() + 0.015 * pitch.cbrt().powi(2);
    let least = thread.pitch_diameter - Length::from_mm(1.3 * tolerance * 25.4);
    result("least pitch diameter", least, "pitch")
}

/// Letter and number drills, inches (ANSI B94.11M, from memory): `A` to `Z`, then
/// number 1 to 60.
const LETTERS: [f64; 26] = [
    0.234, 0.238, 0.242, 0.246, 0.250, 0.257, 0.261, 0.266, 0.272, 0.277, 0.281, 0.290, 0.295,
    0.302, 0.316, 0.323, 0.332, 0.339, 0.348, 0.358, 0.368, 0.377, 0.386, 0.397, 0.404, 0.413,
];
const NUMBERS: [f64; 60] = [
    0.2280, 0.2210, 0.2130, 0.2090, 0.2055, 0.2040, 0.2010, 0.1990, 0.1960, 0.1935, 0.1910, 0.1890,
    0.1850, 0.1820, 0.1800, 0.1770, 0.1730, 0.1695, 0.1660, 0.1610, 0.1590, 0.1570, 0.1540, 0.1520,
    0.1495, 0.1470, 0.1440, 0.1405, 0.1360, 0.1285, 0.1200, 0.1160, 0.1130, 0.1110, 0.1100, 0.1065,
    0.1040, 0.1015, 0.0995, 0.0980, 0.0960, 0.0935, 0.0890, 0.0860, 0.0820, 0.0810, 0.0785, 0.0760,
    0.0730, 0.0700, 0.0670, 0.0635, 0.0595, 0.0550, 0.0520, 0.0465, 0.0430, 0.0420, 0.0410, 0.0400,
];

/// The drill that exists nearest to `size`, of two alike the larger, and what it
/// is called: in metric steps of 0.05 mm up to 3, 0.1 to 14, 0.25 to 32, 0.5
/// beyond (ISO 235 sizes, from memory); in inches by number, letter and 64ths.
///
/// # Panics
///
/// Never: the tables hold drills.
pub fn nearest_drill(size: Length, is_inch: bool) -> (String, Length) {
    if !is_inch {
        let step = match size.mm() {
            mm if mm < 3.0 => 0.05,
            mm if mm < 14.0 => 0.1,
            mm if mm < 32.0 => 0.25,
            _ => 0.5,
        };
        let mm = (size.mm() / step + 1e-6).round() * step;
        let text = format!("{mm:.2}");
        let text = text.trim_end_matches('0').trim_end_matches('.');
        return (format!("{text} mm"), Length::from_mm(mm));
    }
    let letters = LETTERS.iter().zip('A'..='Z').map(|(size, letter)| (letter.to_string(), *size));
    let numbers = NUMBERS.iter().zip(1..).map(|(size, number)| (format!("#{number}"), *size));
    let parts = (1..=192).map(|parts: u32| (fraction(parts), f64::from(parts) / 64.0));
    let wanted = size.mm() / 25.4;
    let far = |drill: &(String, f64)| ((drill.1 - wanted).abs() * 1e5).round();
    let nearest = letters
        .chain(numbers)
        .chain(parts)
        .min_by(|a, b| far(a).total_cmp(&far(b)).then(b.1.total_cmp(&a.1)));
    let (name, inches) = nearest.expect("the tables of drills are not empty");
    (name, Length::from_mm(inches * 25.4))
}

/// `27/64`, `1-1/8`, `2`, of so many 64ths of an inch.
fn fraction(parts: u32) -> String {
    let (whole, rest) = (parts / 64, parts % 64);
    let halvings = rest.trailing_zeros().min(6);
    match (whole, rest) {
        (whole, 0) => format!("{whole} in"),
        (0, rest) => format!("{}/{} in", rest >> halvings, 64 >> halvings),
        (whole, rest) => format!("{whole}-{}/{} in", rest >> halvings, 64 >> halvings),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::thread::Thread;

    /// Es,min of 1/2-13 and 1/4-20 class 2A as printed in ASME B1.1 (from memory):
    /// 0.4435 and 0.2127 in; the area by hand, π·(0.4435/2 − 0.01249)².
    #[test]
    fn the_stricter_area_is_about_three_per_cent_less() {
        for (name, least, area) in [("1/2-13", 0.4435, 0.1376), ("1/4-20", 0.2127, 0.0303)] {
            let geometry = Thread::parse(name).unwrap().geometry().unwrap();
            let found = least_pitch_diameter(&geometry).unwrap().mm() / 25.4;
            assert!((found - least).abs() < 0.0002, "{name}: {found}");
            let found = strict_area(&geometry).unwrap().mm2() / 645.16;
            assert!((found / area - 1.0).abs() < 0.004, "{name}: {found}");
            assert!(found < geometry.stress_area.mm2() / 645.16, "{name}");
        }
    }

    /// Drills that stand in every tapping table (common practice).
    #[test]
    fn drills_exist() {
        let inch = |inches: f64| nearest_drill(Length::from_mm(inches * 25.4), true).0;
        assert_eq!(inch(0.4231), "27/64 in");
        assert_eq!(inch(0.3125), "5/16 in");
        assert_eq!(inch(0.2000), "#7");
        assert_eq!(inch(0.3875), "W");
        assert_eq!(inch(0.2574), "F");
        let metric = |mm: f64| nearest_drill(Length::from_mm(mm), false).0;
        assert_eq!(metric(8.5), "8.5 mm");
        assert_eq!(metric(6.75), "6.8 mm");
        assert_eq!(metric(10.25), "10.3 mm");
        assert_eq!(metric(1.75), "1.75 mm");
        assert_eq!(metric(17.5), "17.5 mm");
    }
}

//! The one table of units, and how a unit is recognised in a text.
//!
//! Factors are exact where the unit is defined exactly: 1 in = 25.4 mm,
//! 1 lb = 0.453 592 37 kg and g = 9.806 65 m/s² give 1 lbf = 4.448 221 615 260 5 N
//! (NIST SP 811, 2008, appendix B; international yard and pound agreement 1959).

use std::collections::HashMap;
use std::sync::LazyLock;

use super::Dimension;

/// The family of units that a sheet is written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum System {
    /// SI and the kilogram-force units of older metric sheets.
    Metric,
    /// Inch and pound units.
    Inch,
    /// Used with both, such as the degree.
    Both,
}

/// One row of [`UNITS`].
#[derive(Debug)]
pub struct Unit {
    /// How clampbook prints it.
    pub symbol: &'static str,
    pub dimension: Dimension,
    /// Base units (see [`Dimension`]) in one of these; exact to an f64.
    pub factor: f64,
    pub system: System,
    /// Spellings in lower case, the printed one among them. A `-` may be
    /// written as `-`, `.`, `·`, `*` or left out, with or without a blank.
    pub spellings: &'static [&'static str],
    /// Further spellings met in a file but never in a question: lower case,
    /// without blanks and full stops.
    pub loose: &'static [&'static str],
    /// Such spellings that are a slip: a stroke says "per", and a torque is a
    /// force times a lever.
    pub slips: &'static [&'static str],
    pub name: &'static str,
}

impl PartialEq for &'static Unit {
    fn eq(&self, other: &Self) -> bool {
        // A constant may be a copy of its row of the table.
        std::ptr::eq(*self, *other) || self.symbol == other.symbol
    }
}

const LBF: f64 = 4.448_221_615_260_5;
const KGF: f64 = 9.806_65;
const INCH: f64 = 25.4;

const fn unit(
    symbol: &'static str,
    dimension: Dimension,
    factor: f64,
    system: System,
    name: &'static str,
    spellings: &'static [&'static str],
) -> Unit {
    Unit { symbol, dimension, factor, system, spellings, loose: &[], slips: &[], name }
}

impl Unit {
    const fn in_files(
        self,
        loose: &'static [&'static str],
        slips: &'static [&'static str],
    ) -> Self {
        Self { loose, slips, ..self }
    }
}

use Dimension::{Angle, Area, Force, Length, Ratio, Stress, TemperatureDifference, Torque};
use System::{Both, Inch, Metric};

/// Every unit that clampbook knows, in the order in which it lists them.
pub static UNITS: &[Unit] = &TABLE;

/// One place in memory: units are compared by where they stand.
static TABLE: [Unit; 34] = [
    unit(
        "N·m",
        Torque,
        1.0,
        Metric,
        "newton metre",
        &["n-m", "newton metre", "newton metres", "newton meter", "newton meters"],
    )
    .in_files(&[], &["n/m"]),
    unit(
        "lb-ft",
        Torque,
        LBF * 0.3048,
        Inch,
        "pound-force foot",
        &[
            "lb-ft",
            "lbs-ft",
            "lbf-ft",
            "ft-lb",
            "ft-lbs",
            "ft-lbf",
            "foot-pound",
            "foot-pounds",
            "pound-foot",
            "pound-feet",
            "pounds-feet",
        ],
    )
    .in_files(
        &[
            "#ft",
            "ft#",
            "#-ft",
            "ft-#",
            "'lb",
            "'lbs",
            "'#",
            "footlb",
            "footlbs",
            "foot-lb",
            "foot-lbs",
            "ftpounds",
            "ft-pounds",
            "ftpound",
            "ft-pound",
            "lb-pie",
            "lbs-pie",
            "lbf-pie",
            "pie-lb",
            "pie-lbs",
            "pie-lbf",
        ],
        &["ft/lb", "ft/lbs", "lb/ft", "lbs/ft", "lbf/ft"],
    ),
    unit(
        "lb-in",
        Torque,
        LBF * 0.0254,
        Inch,
        "pound-force inch",
        &[
            "lb-in",
            "lbs-in",
            "lbf-in",
            "in-lb",
            "in-lbs",
            "in-lbf",
            "inch-lb",
            "inch-lbs",
            "inch-pound",
            "inch-pounds",
            "pound-inch",
        ],
    )
    .in_files(
        &[
            "#in",
            "in#",
            "#-in",
            "in-#",
            "\"lb",
            "\"lbs",
            "\"-lb",
            "\"-lbs",
            "\"#",
            "inpounds",
            "in-pounds",
            "inpound",
            "in-pound",
            "lb-pulg",
            "lbs-pulg",
            "lbf-pulg",
            "pulg-lb",
            "pulg-lbs",
            "pulg-lbf",
        ],
        &["in/lb", "in/lbs", "lb/in", "lbs/in", "lbf/in"],
    ),
    unit(
        "oz-in",
        Torque,
        LBF / 16.0 * 0.0254,
        Inch,
        "ounce-force inch",
        &["oz-in", "ozf-in", "in-oz", "in-ozf", "ounce-inch"],
    ),
    unit(
        "kgf·m",
        Torque,
        KGF,
        Metric,
        "kilogram-force metre",
        &["kgf-m", "kg-m", "m-kgf", "m-kg", "kp-m", "m-kp"],
    )
    .in_files(&["mkp"], &["kg/m"]),
    unit(
        "kgf·cm",
        Torque,
        KGF * 0.01,
        Metric,
        "kilogram-force centimetre",
        &["kgf-cm", "kg-cm", "cm-kgf", "cm-kg"],
    )
    .in_files(&[], &["kg/cm"]),
    unit("daN·m", Torque, 10.0, Metric, "decanewton metre", &["dan-m"])
        .in_files(&["m-dan", "mdan"], &[]),
    unit("N·cm", Torque, 0.01, Metric, "newton centimetre", &["n-cm"]),
    unit("kN·m", Torque, 1000.0, Metric, "kilonewton metre", &["kn-m"]),
    unit("N", Force, 1.0, Metric, "newton", &["n", "newton", "newtons"]),
    unit("kN", Force, 1000.0, Metric, "kilonewton", &["kn"]),
    unit("lbf", Force, LBF, Inch, "pound-force", &["lbf", "lb", "lbs", "pounds"]),
    unit("kip", Force, LBF * 1000.0, Inch, "thousand pounds-force", &["kip", "kips", "klbf"]),
    unit("kgf", Force, KGF, Metric, "kilogram-force", &["kgf", "kp"]),
    unit("mm", Length, 1.0, Metric, "millimetre", &["mm", "millimetre", "millimetres"]),
    unit("cm", Length, 10.0, Metric, "centimetre", &["cm"]),
    unit("m", Length, 1000.0, Metric, "metre", &["m"]),
    unit("µm", Length, 0.001, Metric, "micrometre", &["µm", "um", "micron", "microns"]),
    unit("in", Length, INCH, Inch, "inch", &["in", "\"", "inch", "inches"]),
    unit("thou", Length, INCH / 1000.0, Inch, "thousandth of an inch", &["thou", "mil", "mils"]),
    unit("ft", Length, INCH * 12.0, Inch, "foot", &["ft", "foot", "feet"]),
    unit("MPa", Stress, 1.0, Metric, "megapascal", &["mpa", "n/mm²", "n/mm2", "n/mm^2"]),
    unit("GPa", Stress, 1000.0, Metric, "gigapascal", &["gpa"]),
    unit(
        "psi",
        Stress,
        LBF / (INCH * INCH),
        Inch,
        "pound-force per square inch",
        &["psi", "lbf/in²", "lbf/in2", "lb/in2"],
    ),
    unit(
        "ksi",
        Stress,
        LBF * 1000.0 / (INCH * INCH),
        Inch,
        "thousand pounds-force per square inch",
        &["ksi", "kpsi"],
    ),
    unit(
        "kgf/mm²",
        Stress,
        KGF,
        Metric,
        "kilogram-force per square millimetre",
        &["kgf/mm²", "kgf/mm2", "kg/mm²", "kg/mm2"],
    ),
    unit("mm²", Area, 1.0, Metric, "square millimetre", &["mm²", "mm2", "mm^2", "sq mm"]),
    unit("cm²", Area, 100.0, Metric, "square centimetre", &["cm²", "cm2", "cm^2", "sq cm"]),
    unit("in²", Area, INCH * INCH, Inch, "square inch", &["in²", "in2", "in^2", "sq in"]),
    unit("°", Angle, 1.0, Both, "degree of turn", &["°", "deg", "degs", "degree", "degrees"])
        .in_files(&["grad", "degre", "degres", "grado", "grados", "gradi"], &[]),
    unit("turn", Angle, 360.0, Both, "full turn", &["turn", "turns"])
        .in_files(&["rev", "revs", "ofaturn"], &[]),
    unit(
        "K",
        TemperatureDifference,
        1.0,
        Metric,
        "kelvin (difference)",
        &["k", "kelvin", "°c", "degc"],
    ),
    unit(
        "°F",
        TemperatureDifference,
        5.0 / 9.0,
        Inch,
        "degree Fahrenheit (difference)",
        &["°f", "degf"],
    ),
    unit("%", Ratio, 0.01, Both, "per cent", &["%", "percent", "per cent", "pct"]),
];

/// The unit of that symbol; a misspelt one does not compile.
const fn known(symbol: &str) -> &'static Unit {
    let mut at = 0;
    while at < TABLE.len() {
        if are_equal(TABLE[at].symbol.as_bytes(), symbol.as_bytes()) {
            return &TABLE[at];
        }
        at += 1;
    }
    panic!("no unit of that symbol")
}

const fn are_equal(a: &[u8], b: &[u8]) -> bool {
    let mut at = 0;
    while at < a.len() && at < b.len() && a[at] == b[at] {
        at += 1;
    }
    at == a.len() && at == b.len()
}

/// Torque of metric sheets.
pub const NEWTON_METRE: &Unit = known("N·m");
/// Stress of metric standards.
pub const MEGAPASCAL: &Unit = known("MPa");
/// Torque of inch sheets.
pub const POUND_FOOT: &Unit = known("lb-ft");
/// A thousand pounds of force.
pub const KIP: &Unit = known("kip");
/// Length of metric sheets.
pub const MILLIMETRE: &Unit = known("mm");
/// Length of inch sheets.
pub const INCHES: &Unit = known("in");
pub const DEGREE: &Unit = known("°");
/// A whole turn of the wrench.
pub const TURN: &Unit = known("turn");
/// Hundredths.
pub const PER_CENT: &Unit = known("%");

/// The unit spelled exactly `text`, case and joining signs as in
/// [`Unit::spellings`].
pub fn find_unit(text: &str) -> Option<&'static Unit> {
    let text = text.trim();
    take_unit(text).filter(|(_, length)| *length == text.len()).map(|(unit, _)| unit)
}

/// Every spelling by its first letter: a heading or a cell is tried at each of its
/// words.
static SPELLINGS: LazyLock<HashMap<char, Vec<(&'static Unit, &'static str)>>> =
    LazyLock::new(|| {
        let mut spellings = HashMap::<_, Vec<_>>::new();
        for unit in UNITS {
            for spelling in unit.spellings {
                let first = spelling.chars().next();
                spellings.entry(first.unwrap_or(' ')).or_default().push((unit, *spelling));
            }
        }
        spellings
    });

/// The longest unit at the start of `text` and its length in bytes. The unit
/// must end where a word ends: at a blank, a comma, a bracket, `..` or the end.
pub fn take_unit(text: &str) -> Option<(&'static Unit, usize)> {
    let first = text.chars().next()?.to_lowercase().next()?;
    let beginning_so = SPELLINGS.get(&first)?.iter();
    beginning_so
        .filter_map(|(unit, spelling)| match_spelling(spelling, text).map(|length| (*unit, length)))
        .filter(|(_, length)| ends_here(&text[*length..]))
        .max_by_key(|(_, length)| *length)
}

fn ends_here(rest: &str) -> bool {
    rest.is_empty()
        || rest.starts_with([' ', ',', ';', '(', ')', '+', '/'])
        || rest.starts_with("..")
}

/// Signs that may join two parts of a unit.
pub(crate) const JOINING_SIGNS: [char; 4] = ['-', '.', '·', '*'];

/// The length of `text` that spells `spelling`, if its start does.
fn match_spelling(spelling: &str, text: &str) -> Option<usize> {
    let mut rest = text;
    for wanted in spelling.chars() {
        if wanted == '-' {
            rest = rest.strip_prefix(JOINING_SIGNS).unwrap_or(rest);
            rest = rest.strip_prefix(' ').unwrap_or(rest);
            continue;
        }
        let found = rest.chars().next()?;
        if !found.to_lowercase().eq(std::iter::once(wanted)) {
            return None;
        }
        rest = &rest[found.len_utf8()..];
    }
    Some(text.len() - rest.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spellings_of_the_trade_are_known() {
        let cases = [
            ("ft lbs", "lb-ft"),
            ("lbf·ft", "lb-ft"),
            ("ft.lbs", "lb-ft"),
            ("FT-LB", "lb-ft"),
            ("Nm", "N·m"),
            ("N.m", "N·m"),
            ("N·m", "N·m"),
            ("mkg", "kgf·m"),
            ("kgm", "kgf·m"),
            ("\"", "in"),
            ("°", "°"),
            ("in lb", "lb-in"),
            ("in", "in"),
            ("ksi", "ksi"),
            ("N/mm2", "MPa"),
        ];
        for (text, symbol) in cases {
            assert_eq!(find_unit(text).unwrap().symbol, symbol, "{text}");
        }
        assert!(find_unit("furlong").is_none());
    }

    #[test]
    fn the_longest_unit_wins_and_ends_at_a_word() {
        assert_eq!(take_unit("ft lbs and").unwrap(), (find_unit("lb-ft").unwrap(), 6));
        assert_eq!(take_unit("in pan").unwrap().0.symbol, "in");
        assert!(take_unit("inside").is_none());
        assert_eq!(take_unit("lb-ft..").unwrap().1, 5);
    }

    #[test]
    fn no_spelling_belongs_to_two_units() {
        let mut seen = std::collections::HashMap::new();
        for unit in UNITS {
            assert!(
                find_unit(unit.symbol) == Some(unit),
                "{} is not one of its spellings",
                unit.symbol
            );
            for spelling in unit.spellings {
                assert_eq!(*spelling, spelling.to_lowercase(), "spellings are kept in lower case");
                let plain = spelling.replace('-', "");
                assert_eq!(seen.insert(plain, unit.symbol), None, "{spelling} is spelled twice");
            }
        }
    }
}

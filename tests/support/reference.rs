//! The published tables in tests/data as rows, and threads built by hand.
//!
//! Geometry here is written out from the formulas of ISO 724, DIN 13-1 and
//! ASME B1.1, not taken from the program, so that both are checked.

#![allow(dead_code, unreachable_pub)] // each test file uses its part

use std::collections::HashMap;
use std::f64::consts::FRAC_PI_4;

use clampbook::quantity::{Angle, Area, Kind, Length, find_unit};
use clampbook::thread::{Geometry, Thread};

/// One row of a table, by column.
pub type Row = HashMap<String, String>;

/// All rows of tests/data/`name`.csv.
pub fn rows(name: &str) -> Vec<Row> {
    let path = format!("{}/tests/data/{name}.csv", env!("CARGO_MANIFEST_DIR"));
    csv::Reader::from_path(path).unwrap().deserialize().map(Result::unwrap).collect()
}

/// The rows of one table of assembly_torque.csv.
pub fn table(name: &str) -> Vec<Row> {
    let mut all = rows("assembly_torque");
    all.retain(|row| row["table"] == name);
    all
}

pub fn number(row: &Row, column: &str) -> f64 {
    row[column].parse().unwrap_or_else(|_| panic!("{column} of {row:?}"))
}

/// `number` of the unit spelled `unit`.
pub fn of<K: Kind>(number: f64, unit: &str) -> K {
    let unit = find_unit(unit).unwrap();
    assert_eq!(unit.dimension, K::DIMENSION);
    K::from_base(number * unit.factor)
}

pub fn metric(d: f64, p: f64) -> Geometry {
    let depth = d - 0.938_194 * p;
    sixty(d, p, FRAC_PI_4 * depth * depth)
}

pub fn unified(d_in: f64, tpi: f64) -> Geometry {
    let depth = (d_in - 0.9743 / tpi) * 25.4;
    sixty(d_in * 25.4, 25.4 / tpi, FRAC_PI_4 * depth * depth)
}

fn sixty(d: f64, p: f64, area: f64) -> Geometry {
    Geometry {
        major: Length::from_mm(d),
        pitch: Length::from_mm(p),
        pitch_diameter: Length::from_mm(d - 0.649_519 * p),
        minor_diameter: Length::from_mm(d - 1.082_532 * p),
        root_diameter: Length::from_mm(d - 1.226_869 * p),
        stress_area: Area::from_mm2(area),
        flank_angle: Angle::from_deg(60.0),
    }
}

/// The thread of a size column: M8, M8x1, 1/4-20, 8-36 (number size), as the
/// program reads and computes it, after comparing it with the formulas above.
pub fn thread(size: &str) -> Geometry {
    let designation = if size.starts_with('M') && !size.contains('x') {
        Thread::parse(size).unwrap_err().coarse().unwrap().clone()
    } else {
        Thread::parse(size).unwrap()
    };
    let (read, by_hand) = (designation.geometry().unwrap(), by_hand(size));
    let same = |one: f64, other: f64| assert!((one / other - 1.0).abs() < 1e-4, "{size}: {read:?}");
    same(read.major.mm(), by_hand.major.mm());
    same(read.pitch.mm(), by_hand.pitch.mm());
    same(read.pitch_diameter.mm(), by_hand.pitch_diameter.mm());
    same(read.minor_diameter.mm(), by_hand.minor_diameter.mm());
    same(read.root_diameter.mm(), by_hand.root_diameter.mm());
    same(read.stress_area.mm2(), by_hand.stress_area.mm2());
    same(read.flank_angle.deg(), by_hand.flank_angle.deg());
    read
}

fn by_hand(size: &str) -> Geometry {
    if let Some(rest) = size.strip_prefix('M') {
        let (d, p) = match rest.split_once('x') {
            Some((d, p)) => (d.parse().unwrap(), p.parse().unwrap()),
            None => (rest.parse().unwrap(), coarse_pitch(size)),
        };
        return metric(d, p);
    }
    let (size, tpi) = size.rsplit_once('-').unwrap();
    unified(inches(size), tpi.parse().unwrap())
}

/// ISO 261 coarse pitches, from memory; every size of the tables is listed.
fn coarse_pitch(size: &str) -> f64 {
    match size {
        "M3" => 0.5,
        "M3.5" => 0.6,
        "M4" => 0.7,
        "M5" => 0.8,
        "M6" | "M7" => 1.0,
        "M8" => 1.25,
        "M10" => 1.5,
        "M12" => 1.75,
        "M14" | "M16" => 2.0,
        "M18" | "M20" | "M22" => 2.5,
        "M24" | "M27" => 3.0,
        "M30" | "M33" => 3.5,
        "M36" | "M39" => 4.0,
        other => panic!("no coarse pitch for {other}"),
    }
}

/// 1-1/8, 7/16, 1, or #8 and bare 8, 10 (number sizes, 0.060 + 0.013 n).
pub fn inches(size: &str) -> f64 {
    let fraction = |text: &str| {
        let (over, under) = text.split_once('/').unwrap();
        over.parse::<f64>().unwrap() / under.parse::<f64>().unwrap()
    };
    match size.split_once('-') {
        Some((whole, part)) => whole.parse::<f64>().unwrap() + fraction(part),
        None if size.contains('/') => fraction(size),
        None => match size.trim_start_matches('#').parse::<f64>().unwrap() {
            whole if size.starts_with('#') || whole > 3.0 => 0.060 + 0.013 * whole,
            whole => whole,
        },
    }
}

/// Proof, yield and tensile of a grade at a nominal diameter in mm, each in
/// MPa; grades.csv gives a grade more than one row where size matters.
pub fn strength(standard: &str, grade: &str, diameter_mm: f64) -> [Option<f64>; 3] {
    let all = rows("grades");
    let fits = |row: &&Row| {
        row["standard"] == standard
            && row["grade"] == grade
            && diameter_mm <= size_limit(&row["size_to"])
            && (!row["size_from"].starts_with("over ")
                || diameter_mm > size_limit(row["size_from"].trim_start_matches("over ")))
    };
    // Older load tables run past the size range of a class: its last row holds.
    let row = all
        .iter()
        .find(fits)
        .or_else(|| all.iter().rfind(|row| row["standard"] == standard && row["grade"] == grade));
    let row = row.unwrap_or_else(|| panic!("{standard} {grade} {diameter_mm}"));
    let factor = find_unit(&row["unit"]).unwrap().factor;
    ["proof", "yield_min", "tensile_min"]
        .map(|column| row[column].parse::<f64>().ok().map(|value| value * factor))
}

fn size_limit(text: &str) -> f64 {
    match text.strip_prefix('M') {
        Some(rest) => rest.split(' ').next().unwrap().parse().unwrap(),
        None => inches(text) * 25.4 + 0.001,
    }
}

/// Whether `found` agrees with `printed` within `relative` or `printed_unit`.
pub fn agrees(found: f64, printed: f64, relative: f64, printed_unit: f64) -> bool {
    let off = (found - printed).abs();
    off <= relative * printed.abs() || off <= printed_unit * 1.000_001
}

/// One of the last digit that `text` shows: 0.1 for 20.7, 1 for 20.
pub fn last_digit(text: &str) -> f64 {
    let places = text.split_once('.').map_or(0, |(_, places)| places.len());
    10f64.powi(-i32::try_from(places).unwrap())
}

/// What was checked and what was wrong with it.
#[derive(Default)]
pub struct Tally {
    pub rows: usize,
    pub wrong: Vec<String>,
}

impl Tally {
    pub fn check(&mut self, good: bool, row: &Row, found: &str) {
        self.rows += 1;
        if !good {
            let source = row.get("source").cloned().unwrap_or_default();
            self.wrong.push(format!("{found} ({source})\n    {row:?}"));
        }
    }
}

/// Writes past the capture of the test harness: the counts stand in every run.
pub fn say(text: &str) {
    std::io::Write::write_all(&mut std::io::stderr(), text.as_bytes()).unwrap();
}

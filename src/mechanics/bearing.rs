//! The bearing ring of a standard head over a standard hole, for when none is
//! stated.

use crate::mechanics::MechanicsError;
use crate::mechanics::area::sound;
use crate::mechanics::friction::Bearing;
use crate::quantity::Length;
use crate::thread::Geometry;

/// A kind of head or nut whose bearing face is standard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Head {
    /// Hexagon head, or a hexagon nut of the same width across flats.
    Hex,
    SocketCap,
}

/// A bearing that was assumed, and from what.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AssumedBearing {
    pub bearing: Bearing,
    /// What was assumed, to be shown beside every figure made with it.
    pub assumed: &'static str,
}

struct MetricRow {
    /// Nominal diameter, mm.
    major: f64,
    /// Least bearing diameter dw of a hex head, mm.
    hex: f64,
    /// Least bearing diameter dw of a socket head, mm; 0 if there is none.
    socket: f64,
    /// Medium clearance hole, mm.
    hole: f64,
}

const fn mm(major: f64, hex: f64, socket: f64, hole: f64) -> MetricRow {
    MetricRow { major, hex, socket, hole }
}

/// hex: ISO 4014 dw min, grade A to M24, B above (M1.6 to M24 compared with a
/// reprint of the table, M14 and the rest from memory, all within 0.1 mm of an
/// open parts library but M14). socket: ISO 4762:2004 dw min, read from a
/// reprint; M18, M22, M27, M33 from memory. hole: ISO 273 medium, from memory.
static METRIC: &[MetricRow] = &[
    mm(1.6, 2.27, 2.72, 1.8),
    mm(2.0, 3.07, 3.48, 2.4),
    mm(2.5, 4.07, 4.18, 2.9),
    mm(3.0, 4.57, 5.07, 3.4),
    mm(4.0, 5.88, 6.53, 4.5),
    mm(5.0, 6.88, 8.03, 5.5),
    mm(6.0, 8.88, 9.38, 6.6),
    mm(8.0, 11.63, 12.33, 9.0),
    mm(10.0, 14.63, 15.33, 11.0),
    mm(12.0, 16.63, 17.23, 13.5),
    mm(14.0, 19.64, 20.17, 15.5),
    mm(16.0, 22.49, 23.17, 17.5),
    mm(18.0, 25.34, 25.87, 20.0),
    mm(20.0, 28.19, 28.87, 22.0),
    mm(22.0, 31.71, 31.81, 24.0),
    mm(24.0, 33.61, 34.81, 26.0),
    mm(27.0, 38.0, 38.61, 30.0),
    mm(30.0, 42.75, 43.61, 33.0),
    mm(33.0, 46.55, 48.61, 36.0),
    mm(36.0, 51.11, 52.54, 39.0),
    mm(39.0, 55.86, 0.0, 42.0),
];

/// Nominal size, width across flats of the hex cap screw, normal clearance
/// hole, all inches. ASME B18.2.1 (across flats read from a reprint) and
/// ASME B18.2.8 (from memory, drill sizes compared with a handbook page).
static INCH: &[(f64, f64, f64)] = &[
    (0.25, 0.4375, 0.281),
    (0.3125, 0.5, 0.344),
    (0.375, 0.5625, 0.406),
    (0.4375, 0.625, 0.469),
    (0.5, 0.75, 0.562),
    (0.625, 0.9375, 0.688),
    (0.75, 1.125, 0.812),
    (0.875, 1.3125, 0.938),
    (1.0, 1.5, 1.094),
    (1.125, 1.6875, 1.219),
    (1.25, 1.875, 1.344),
    (1.375, 2.0625, 1.5),
    (1.5, 2.25, 1.625),
];

/// The washer face of ASME B18.2.1 is the width across flats less up to a
/// tenth; the middle of that.
const WASHER_FACE: f64 = 0.95;

/// The bearing of a standard `head` over a standard hole for the size of
/// `thread`, mm: hex head ISO 4014 or socket head ISO 4762 over ISO 273 medium,
/// or ASME B18.2.1 hex over ASME B18.2.8 normal.
///
/// Valid for 60° threads of the listed sizes. It is an assumption and says so;
/// a bearing that is stated always goes before it.
pub fn standard_bearing(thread: &Geometry, head: Head) -> Result<AssumedBearing, MechanicsError> {
    sound(thread)?;
    let found = match thread.flank_angle.deg() {
        60.0 => metric(thread.major.mm(), head).or_else(|| inch(thread.major.mm() / 25.4, head)),
        _ => None,
    };
    let purpose = "no standard head and hole are known for this thread; state the outer and the \
                   hole diameter of the face that turns";
    found.ok_or(MechanicsError::NotStated { field: "bearing", purpose })
}

fn metric(major: f64, head: Head) -> Option<AssumedBearing> {
    let row = METRIC.iter().find(|row| (row.major - major).abs() < 0.005)?;
    let (outer, assumed) = match head {
        Head::Hex => (row.hex, "hex head ISO 4014 over a medium hole ISO 273"),
        Head::SocketCap if row.socket == 0.0 => return None,
        Head::SocketCap => (row.socket, "socket head ISO 4762 over a medium hole ISO 273"),
    };
    let bearing = Bearing { outer: Length::from_mm(outer), hole: Length::from_mm(row.hole) };
    Some(AssumedBearing { bearing, assumed })
}

fn inch(major: f64, head: Head) -> Option<AssumedBearing> {
    if head != Head::Hex {
        return None;
    }
    let (_, flats, hole) = INCH.iter().find(|row| (row.0 - major).abs() < 0.0002)?;
    let bearing = Bearing {
        outer: Length::from_mm(flats * WASHER_FACE * 25.4),
        hole: Length::from_mm(hole * 25.4),
    };
    Some(AssumedBearing { bearing, assumed: "hex head ASME B18.2.1 over a normal hole B18.2.8" })
}

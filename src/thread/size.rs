//! Nominal sizes and pitches as exact, cheap keys.

use std::fmt;

use crate::quantity::Length;

/// How a nominal size is named. Two sizes of different kinds are never equal,
/// even where the diameters are: 1/8 NPT is 10.3 mm across.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum SizeKind {
    /// By its diameter in millimetres.
    Metric,
    /// By its diameter in inches, or by a number that stands for one.
    Inch,
    /// By the bore in inches of the pipe it was first cut on.
    Pipe,
    /// By a British Association number.
    Ba,
}

/// A nominal size, exact: kind, and micrometres or millionths of an inch.
///
/// The order is by kind, then by diameter; it serves indexes. To compare sizes
/// of different kinds compare [`Size::length`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Size(u32);

/// Low bits of a size key; the two above hold the kind.
const VALUE: u32 = (1 << 30) - 1;
/// One 64th of an inch in millionths, the finest fraction a size is named by.
pub(crate) const SIXTY_FOURTH: u32 = 15_625;
/// One metre, and twelve inches: larger threads are not fasteners.
const MOST_UM: u32 = 1_000_000;
const MOST_INCH: u32 = 12_000_000;

impl Size {
    /// From a diameter in micrometres.
    pub(crate) const fn metric(micrometres: u32) -> Self {
        Self(micrometres)
    }

    /// From a diameter in millionths of an inch.
    pub(crate) const fn inch(millionths: u32) -> Self {
        Self(1 << 30 | millionths)
    }

    /// From a pipe's name in millionths of an inch.
    pub(crate) const fn pipe(millionths: u32) -> Self {
        Self(2 << 30 | millionths)
    }

    /// From the diameter of a British Association thread in micrometres.
    pub(crate) const fn ba(micrometres: u32) -> Self {
        Self(3 << 30 | micrometres)
    }

    pub(crate) const fn new(kind: SizeKind, value: u32) -> Self {
        match kind {
            SizeKind::Metric => Self::metric(value),
            SizeKind::Inch => Self::inch(value),
            SizeKind::Pipe => Self::pipe(value),
            SizeKind::Ba => Self::ba(value),
        }
    }

    /// Number size `number` (0 to 12): 0.060 in + 0.013 in each (ASME B1.1).
    pub(crate) const fn number(number: u32) -> Option<Self> {
        if number > 12 { None } else { Some(Self::inch(60_000 + 13_000 * number)) }
    }

    /// A number for an index; [`Self::from_key`] reads it back.
    pub const fn key(self) -> u32 {
        self.0
    }

    /// The size that [`Self::key`] came from; None for a number that is none.
    pub fn from_key(key: u32) -> Option<Self> {
        let size = Self(key);
        let value = size.value();
        let sound = match size.kind() {
            SizeKind::Metric | SizeKind::Ba => (1..=MOST_UM).contains(&value),
            SizeKind::Inch | SizeKind::Pipe => {
                (1..=MOST_INCH).contains(&value)
                    && (value.is_multiple_of(SIXTY_FOURTH) || size.as_number().is_some())
            }
        };
        sound.then_some(size)
    }

    /// How it is named.
    pub const fn kind(self) -> SizeKind {
        match self.0 >> 30 {
            0 => SizeKind::Metric,
            1 => SizeKind::Inch,
            2 => SizeKind::Pipe,
            _ => SizeKind::Ba,
        }
    }

    /// Micrometres or millionths of an inch, by kind.
    pub(crate) const fn value(self) -> u32 {
        self.0 & VALUE
    }

    /// The number of a number size, #0 to #12.
    pub(crate) fn as_number(self) -> Option<u32> {
        let above = self.value().checked_sub(60_000)?;
        let number = above / 13_000;
        (self.kind() == SizeKind::Inch && above.is_multiple_of(13_000) && number <= 12)
            .then_some(number)
    }

    /// The nominal diameter; for a pipe size the name in inches, which is no
    /// diameter (see [`crate::thread::Thread::nominal`]).
    pub fn length(self) -> Length {
        let value = f64::from(self.value());
        match self.kind() {
            SizeKind::Metric | SizeKind::Ba => Length::from_mm(value / 1000.0),
            SizeKind::Inch | SizeKind::Pipe => Length::from_mm(value * 25.4 / 1_000_000.0),
        }
    }

    /// `7/16`, `1-1/8`, `2`: a multiple of 1/64 in; None for other sizes.
    pub(crate) fn as_fraction(self) -> Option<String> {
        let value = self.value();
        if !matches!(self.kind(), SizeKind::Inch | SizeKind::Pipe)
            || !value.is_multiple_of(SIXTY_FOURTH)
        {
            return None;
        }
        let parts = value / SIXTY_FOURTH;
        let (whole, mut over, mut under) = (parts / 64, parts % 64, 64);
        while over > 0 && over.is_multiple_of(2) {
            (over, under) = (over / 2, under / 2);
        }
        Some(match (whole, over) {
            (whole, 0) => whole.to_string(),
            (0, over) => format!("{over}/{under}"),
            (whole, over) => format!("{whole}-{over}/{under}"),
        })
    }

    /// Whether the size is a whole number of inches.
    pub(crate) fn is_whole_inches(self) -> bool {
        self.kind() == SizeKind::Inch && self.value().is_multiple_of(1_000_000)
    }
}

impl fmt::Display for Size {
    /// `M10`, `7/16`, `1"`, `#10`, `2 BA`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.kind() {
            SizeKind::Metric => write!(f, "M{}", Thousandths(self.value())),
            SizeKind::Ba => match crate::thread::series::ba_number(*self) {
                Some(number) => write!(f, "{number} BA"),
                None => write!(f, "BA of {} mm", Thousandths(self.value())),
            },
            SizeKind::Inch | SizeKind::Pipe => match (self.as_fraction(), self.as_number()) {
                (Some(whole), _) if self.is_whole_inches() => write!(f, "{whole}\""),
                (Some(fraction), _) => f.write_str(&fraction),
                (None, Some(number)) => write!(f, "#{number}"),
                (None, None) => write!(f, "{}", f64::from(self.value()) / 1_000_000.0),
            },
        }
    }
}

/// A pitch, exact: micrometres, or thousandths of a thread per inch.
///
/// The order serves indexes; compare pitches of both kinds by
/// [`Pitch::length`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Pitch(u32);

const PER_INCH: u32 = 1 << 31;

impl Pitch {
    pub(crate) const fn metric(micrometres: u32) -> Self {
        Self(micrometres)
    }

    pub(crate) const fn per_inch(thousandths: u32) -> Self {
        Self(PER_INCH | thousandths)
    }

    /// A number for an index; [`Self::from_key`] reads it back.
    pub const fn key(self) -> u32 {
        self.0
    }

    /// The pitch that [`Self::key`] came from; None for a number that is none.
    pub fn from_key(key: u32) -> Option<Self> {
        let pitch = Self(key);
        let sound = if pitch.is_per_inch() { 1000..=120_000 } else { 100..=MOST_UM };
        sound.contains(&pitch.value()).then_some(pitch)
    }

    /// Whether it is named in threads per inch.
    pub const fn is_per_inch(self) -> bool {
        self.0 & PER_INCH != 0
    }

    pub(crate) const fn value(self) -> u32 {
        self.0 & !PER_INCH
    }

    /// The distance from one thread to the next.
    pub fn length(self) -> Length {
        let value = f64::from(self.value());
        Length::from_mm(if self.is_per_inch() { 25_400.0 / value } else { value / 1000.0 })
    }

    /// Threads per inch, if it is named so.
    pub fn tpi(self) -> Option<f64> {
        self.is_per_inch().then(|| f64::from(self.value()) / 1000.0)
    }
}

impl fmt::Display for Pitch {
    /// `1.5` (mm) or `20`, `11.5` (per inch).
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        Thousandths(self.value()).fmt(f)
    }
}

/// A whole number of thousandths, printed without idle zeros.
struct Thousandths(u32);

impl fmt::Display for Thousandths {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, part) = (self.0 / 1000, self.0 % 1000);
        if part == 0 {
            return write!(f, "{whole}");
        }
        write!(f, "{whole}.{}", format!("{part:03}").trim_end_matches('0'))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_print_as_the_trade_names_them() {
        let cases = [
            (Size::metric(10_000), "M10"),
            (Size::metric(1_600), "M1.6"),
            (Size::inch(437_500), "7/16"),
            (Size::inch(1_125_000), "1-1/8"),
            (Size::inch(1_000_000), "1\""),
            (Size::inch(190_000), "#10"),
            (Size::pipe(125_000), "1/8"),
            (Size::ba(4_700), "2 BA"),
        ];
        for (size, text) in cases {
            assert_eq!(size.to_string(), text);
            assert_eq!(Size::from_key(size.key()), Some(size));
        }
        assert_eq!(Size::from_key(Size::inch(437_000).key()), None);
        assert_eq!(Size::from_key(0), None);
    }

    #[test]
    fn pitches_are_exact() {
        assert_eq!(Pitch::per_inch(11_500).to_string(), "11.5");
        assert_eq!(Pitch::per_inch(20_000).length().mm(), 1.27);
        assert_eq!(Pitch::metric(1_250).to_string(), "1.25");
        assert_eq!(Pitch::metric(1_250).tpi(), None);
        assert_eq!(Pitch::from_key(Pitch::per_inch(4_500).key()), Some(Pitch::per_inch(4_500)));
        assert_eq!(Pitch::from_key(0), None);
    }
}

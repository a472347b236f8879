//! The one table of thread series.

use crate::quantity::Angle;
use crate::thread::sizes::{self, SizeRow};
use crate::thread::{Pitch, Size, SizeKind, Thread};

/// A thread series. One row of [`SERIES`] each, in the same order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Series {
    M,
    Mj,
    Unc,
    Unf,
    Unef,
    Un,
    /// Unified special: a pitch that no other unified series has at this size.
    Uns,
    Unjc,
    Unjf,
    Unjef,
    Unj,
    Bsw,
    Bsf,
    Ba,
    Npt,
    Nptf,
    G,
    R,
    Rp,
    Rc,
}

/// Series that differ only in the pitch chosen for a size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Family {
    Metric,
    MetricRadius,
    /// UNC, UNF, UNEF, UN, UNS.
    Unified,
    /// UNJC, UNJF, UNJEF, UNJ.
    UnifiedRadius,
    /// BSW, BSF.
    British,
    BritishAssociation,
    /// NPT, NPTF, G, R, Rp, Rc: a fixed pitch for each size.
    Pipe,
}

/// The form of the thread.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Profile {
    /// 60°, ISO 68-1 and ASME B1.1.
    Iso,
    /// 60° with controlled root radius, ISO 5855-1 and ASME B1.15.
    IsoRadius,
    /// 55° rounded, BS 84.
    Whitworth,
    /// 47.5° rounded, BS 93.
    BritishAssociation,
    /// 60° pipe.
    Pipe60,
    /// 55° pipe.
    Pipe55,
}

impl Profile {
    /// The included angle between the flanks.
    pub fn flank_angle(self) -> Angle {
        Angle::from_deg(match self {
            Self::Iso | Self::IsoRadius | Self::Pipe60 => 60.0,
            Self::Whitworth | Self::Pipe55 => 55.0,
            Self::BritishAssociation => 47.5,
        })
    }
}

/// One row of [`SERIES`].
#[derive(Debug)]
pub struct SeriesRow {
    pub series: Series,
    pub symbol: &'static str,
    /// Spellings in lower case, the symbol's first.
    pub spellings: &'static [&'static str],
    pub name: &'static str,
    /// The standard that lists its sizes.
    pub standard: &'static str,
    /// The series it belongs with.
    pub family: Family,
    /// Its form, and with it the flank angle.
    pub profile: Profile,
    pub kind: SizeKind,
    /// Whether the symbol stands before the size, as in M10 and G 1/4.
    pub leads: bool,
    pub(crate) sizes: &'static [SizeRow],
}

impl SeriesRow {
    /// Whether clamp can be computed: a pipe thread seals, it does not clamp.
    pub fn has_clamp(&self) -> bool {
        self.family != Family::Pipe
    }

    /// Whether pitches are named in threads per inch.
    pub fn is_inch(&self) -> bool {
        matches!(self.kind, SizeKind::Inch | SizeKind::Pipe)
    }

    pub(crate) fn size_of(&self, row: &SizeRow) -> Size {
        Size::new(self.kind, row.nominal)
    }

    pub(crate) fn pitch_of(&self, value: u32) -> Pitch {
        if self.is_inch() { Pitch::per_inch(value) } else { Pitch::metric(value) }
    }

    fn size_row(&self, size: Size) -> Option<&'static SizeRow> {
        self.sizes.iter().find(|row| self.size_of(row) == size)
    }
}

const fn row(
    series: Series,
    spellings: &'static [&'static str],
    (symbol, name, standard): (&'static str, &'static str, &'static str),
    (family, profile, kind): (Family, Profile, SizeKind),
    sizes: &'static [SizeRow],
) -> SeriesRow {
    let leads =
        matches!(series, Series::M | Series::Mj | Series::G | Series::R | Series::Rp | Series::Rc);
    SeriesRow { series, symbol, spellings, name, standard, family, profile, kind, leads, sizes }
}

const METRIC: (Family, Profile, SizeKind) = (Family::Metric, Profile::Iso, SizeKind::Metric);
const METRIC_J: (Family, Profile, SizeKind) =
    (Family::MetricRadius, Profile::IsoRadius, SizeKind::Metric);
const UNIFIED: (Family, Profile, SizeKind) = (Family::Unified, Profile::Iso, SizeKind::Inch);
const UNIFIED_J: (Family, Profile, SizeKind) =
    (Family::UnifiedRadius, Profile::IsoRadius, SizeKind::Inch);
const BRITISH: (Family, Profile, SizeKind) = (Family::British, Profile::Whitworth, SizeKind::Inch);
const ASSOCIATION: (Family, Profile, SizeKind) =
    (Family::BritishAssociation, Profile::BritishAssociation, SizeKind::Ba);
const PIPE_60: (Family, Profile, SizeKind) = (Family::Pipe, Profile::Pipe60, SizeKind::Pipe);
const PIPE_55: (Family, Profile, SizeKind) = (Family::Pipe, Profile::Pipe55, SizeKind::Pipe);

/// Every series that clampbook knows. NC, NF and NEF are the names that the
/// same threads had before 1949; UNR is UN with a rounded root, which changes
/// none of the figures here.
#[rustfmt::skip]
pub static SERIES: &[SeriesRow] = &[
    row(Series::M, &["m"], ("M", "metric", "ISO 261"), METRIC, sizes::METRIC),
    row(Series::Mj, &["mj"], ("MJ", "metric, controlled root radius", "ISO 5855-1"), METRIC_J, sizes::METRIC),
    row(Series::Unc, &["unc", "nc", "unrc"], ("UNC", "unified coarse", "ASME B1.1"), UNIFIED, sizes::UNC),
    row(Series::Unf, &["unf", "nf", "unrf"], ("UNF", "unified fine", "ASME B1.1"), UNIFIED, sizes::UNF),
    row(Series::Unef, &["unef", "nef", "unref"], ("UNEF", "unified extra fine", "ASME B1.1"), UNIFIED, sizes::UNEF),
    row(Series::Un, &["un", "unr"], ("UN", "unified constant pitch", "ASME B1.1"), UNIFIED, sizes::UN),
    row(Series::Uns, &["uns", "unrs"], ("UNS", "unified special", "ASME B1.1"), UNIFIED, sizes::UNS),
    row(Series::Unjc, &["unjc"], ("UNJC", "unified coarse, controlled root radius", "ASME B1.15"), UNIFIED_J, sizes::UNC),
    row(Series::Unjf, &["unjf"], ("UNJF", "unified fine, controlled root radius", "ASME B1.15"), UNIFIED_J, sizes::UNF),
    row(Series::Unjef, &["unjef"], ("UNJEF", "unified extra fine, controlled root radius", "ASME B1.15"), UNIFIED_J, sizes::UNEF),
    row(Series::Unj, &["unj", "unjs"], ("UNJ", "unified constant pitch or special, controlled root radius", "ASME B1.15"), UNIFIED_J, sizes::UN),
    row(Series::Bsw, &["bsw"], ("BSW", "British Standard Whitworth", "BS 84"), BRITISH, sizes::BSW),
    row(Series::Bsf, &["bsf"], ("BSF", "British Standard Fine", "BS 84"), BRITISH, sizes::BSF),
    row(Series::Ba, &["ba"], ("BA", "British Association", "BS 93"), ASSOCIATION, sizes::BA),
    row(Series::Npt, &["npt"], ("NPT", "American taper pipe", "ASME B1.20.1"), PIPE_60, sizes::NPT),
    row(Series::Nptf, &["nptf"], ("NPTF", "American taper pipe, dry-seal", "ASME B1.20.3"), PIPE_60, sizes::NPT),
    row(Series::G, &["g", "bspp"], ("G", "parallel pipe", "ISO 228-1"), PIPE_55, sizes::G),
    row(Series::R, &["r", "bspt"], ("R", "taper pipe, external", "ISO 7-1"), PIPE_55, sizes::R),
    row(Series::Rp, &["rp"], ("Rp", "parallel pipe, internal, for R", "ISO 7-1"), PIPE_55, sizes::R),
    row(Series::Rc, &["rc"], ("Rc", "taper pipe, internal, for R", "ISO 7-1"), PIPE_55, sizes::R),
];

impl Series {
    /// Every series, in the order of [`SERIES`].
    pub fn each() -> impl Iterator<Item = Self> {
        SERIES.iter().map(|row| row.series)
    }

    /// Its row of [`SERIES`].
    pub fn row(self) -> &'static SeriesRow {
        // Invariant, tested: the table is in the order of the enum.
        &SERIES[self as usize]
    }

    /// Where a pipe thread seals: ISO 228-1, scope (not on the thread); ISO 7-1, scope, and
    /// ASME B1.20.1 and B1.20.3 (on the thread).
    pub(super) fn seal(self) -> &'static str {
        match self {
            Self::G => "it seals at a ring or a face, not on the thread",
            Self::Nptf => "it seals on the thread itself",
            _ => "it seals on the thread, with a compound",
        }
    }

    /// The series spelled `text`, case ignored.
    pub fn find(text: &str) -> Option<Self> {
        SERIES
            .iter()
            .find(|row| row.spellings.iter().any(|known| known.eq_ignore_ascii_case(text)))
            .map(|row| row.series)
    }

    /// How it is printed.
    pub fn symbol(self) -> &'static str {
        self.row().symbol
    }

    /// The series it belongs with.
    pub fn family(self) -> Family {
        self.row().family
    }

    /// Every thread that its table lists.
    pub fn threads(self) -> impl Iterator<Item = Thread> {
        let row = self.row();
        row.sizes.iter().flat_map(move |size| self.threads_of(row.size_of(size)))
    }

    /// Those of one size, coarse first.
    pub(crate) fn threads_of(self, size: Size) -> impl Iterator<Item = Thread> {
        self.pitches(size).map(move |pitch| Thread::bare(self.at(size, pitch), size, pitch))
    }

    /// Whether its table has `size` with `pitch`.
    pub fn lists(self, size: Size, pitch: Pitch) -> bool {
        self.pitches(size).any(|listed| listed == pitch)
    }

    /// The pitches that its table has for `size`, coarse first.
    pub fn pitches(self, size: Size) -> impl Iterator<Item = Pitch> {
        let row = self.row();
        let pitches = row.size_row(size).map_or(&[][..], |size| size.pitches);
        pitches.iter().map(|pitch| row.pitch_of(*pitch))
    }

    /// The coarse pitch of a metric `size`; None if it has none.
    pub(crate) fn metric_coarse(size: Size) -> Option<Pitch> {
        let row = Self::M.row();
        let size = row.size_row(size).filter(|size| size.coarse)?;
        size.pitches.first().map(|pitch| row.pitch_of(*pitch))
    }

    /// The major diameter in micrometres of a size whose name does not give it.
    pub(crate) fn major_um(self, size: Size) -> Option<u32> {
        self.row().size_row(size)?.major_um
    }

    /// The series of this one's family that `size` with `pitch` belongs to.
    pub(crate) fn at(self, size: Size, pitch: Pitch) -> Self {
        let first = |named: &[Self], other| {
            named.iter().copied().find(|series| series.lists(size, pitch)).unwrap_or(other)
        };
        match self.family() {
            Family::Unified => first(&[Self::Unc, Self::Unf, Self::Unef, Self::Un], Self::Uns),
            Family::UnifiedRadius => first(&[Self::Unjc, Self::Unjf, Self::Unjef], Self::Unj),
            Family::British => first(&[Self::Bsw, Self::Bsf], self),
            _ => self,
        }
    }
}

/// The number of a British Association size.
pub(crate) fn ba_number(size: Size) -> Option<usize> {
    let row = Series::Ba.row();
    row.sizes.iter().position(|listed| row.size_of(listed) == size)
}

/// The British Association size of this number.
pub(crate) fn ba_size(number: u32) -> Option<Size> {
    sizes::BA.get(number as usize).map(|row| Series::Ba.row().size_of(row))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_in_the_order_of_the_enum() {
        for (at, row) in SERIES.iter().enumerate() {
            assert_eq!(row.series as usize, at, "{}", row.symbol);
            assert_eq!(row.spellings[0], row.symbol.to_lowercase());
        }
    }

    #[test]
    fn no_spelling_belongs_to_two_series() {
        let mut seen = std::collections::HashSet::new();
        for spelling in SERIES.iter().flat_map(|row| row.spellings) {
            assert!(seen.insert(*spelling), "{spelling} is spelled twice");
        }
    }

    #[test]
    fn tables_rise_and_hold_sound_keys() {
        for row in SERIES {
            for pair in row.sizes.windows(2) {
                let rising = pair[0].nominal < pair[1].nominal;
                assert!(rising || row.series == Series::Ba, "{} {:?}", row.symbol, pair[1]);
            }
            for size in row.sizes {
                let key = row.size_of(size);
                assert_eq!(Size::from_key(key.key()), Some(key), "{} {key}", row.symbol);
                for pitch in size.pitches.iter().map(|pitch| row.pitch_of(*pitch)) {
                    assert_eq!(Pitch::from_key(pitch.key()), Some(pitch));
                }
            }
        }
    }

    /// BS 93: the pitch is 0.9 to the power of the number, the diameter
    /// 6 p^1.2, both in mm and rounded to two figures. Law from memory.
    #[test]
    fn british_association_sizes_follow_their_law() {
        let two_figures = |value: f64| {
            let step = 10f64.powf(value.log10().floor() - 1.0);
            (value / step).round() * step * 1000.0
        };
        for (number, row) in sizes::BA.iter().enumerate() {
            let pitch = 0.9f64.powi(i32::try_from(number).unwrap());
            let (diameter, pitch) = (two_figures(6.0 * pitch.powf(1.2)), two_figures(pitch));
            assert_eq!(f64::from(row.nominal), diameter.round(), "{number} BA");
            assert_eq!(f64::from(row.pitches[0]), pitch.round(), "{number} BA");
        }
    }

    /// ASME B1.1 runs each constant pitch over its sizes without a gap; the
    /// counts are those of an open table of the standard.
    #[test]
    fn constant_pitch_series_are_whole() {
        let counts = [(4, 29), (6, 43), (8, 49), (12, 56), (16, 59), (20, 37), (28, 22), (32, 17)];
        for (per_inch, count) in counts {
            let pitch = per_inch * 1000;
            let found = sizes::UN.iter().filter(|row| row.pitches.contains(&pitch)).count();
            assert_eq!(found, count, "{per_inch}-UN");
        }
    }
}

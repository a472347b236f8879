//! The sizes and pitches of each series, as the standards list them.
//!
//! No standard was opened first-hand. The unified and the G tables agree row
//! for row with an open table of ASME B1.1 and ISO 228-1 sizes, the metric
//! pitches with web reprints of ISO 262; BSF to 1-1/2 in with an encyclopedia.
//! From memory: the pitches of ISO 261 beyond ISO 262, BSW (BS 84), BSF above
//! 1-1/2 in, NPT (ASME B1.20.1) and R (ISO 7-1). BA (BS 93) is from memory too,
//! and tested against its own law.

/// One size of a series.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SizeRow {
    /// Micrometres or millionths of an inch, by the kind of the series.
    pub(crate) nominal: u32,
    /// The major diameter in micrometres where the name does not give it.
    pub(crate) major_um: Option<u32>,
    /// Whether the first pitch is the one called coarse.
    pub(crate) coarse: bool,
    /// Micrometres, or thousandths of a thread per inch.
    pub(crate) pitches: &'static [u32],
}

const fn row(nominal: u32, coarse: bool, pitches: &'static [u32]) -> SizeRow {
    SizeRow { nominal, major_um: None, coarse, pitches }
}

/// A metric size: tenths of a millimetre, pitches in micrometres, coarse first.
const fn m(tenths: u32, pitches: &'static [u32]) -> SizeRow {
    row(tenths * 100, true, pitches)
}

/// A metric size that has no coarse pitch.
const fn fine(tenths: u32, pitches: &'static [u32]) -> SizeRow {
    row(tenths * 100, false, pitches)
}

const fn no(number: u32, pitches: &'static [u32]) -> SizeRow {
    row(60_000 + 13_000 * number, true, pitches)
}

/// An inch size: whole inches, then sixteenths.
const fn inch(whole: u32, sixteenths: u32, pitches: &'static [u32]) -> SizeRow {
    row(whole * 1_000_000 + sixteenths * 62_500, true, pitches)
}

/// An inch size in thirty-seconds.
const fn thirty(seconds: u32, pitches: &'static [u32]) -> SizeRow {
    row(seconds * 31_250, true, pitches)
}

/// A British Association size: diameter and pitch in hundredths of a millimetre.
const fn ba(diameter: u32, pitch: &'static [u32]) -> SizeRow {
    row(diameter * 10, false, pitch)
}

/// A pipe size: whole inches, sixteenths, threads per inch, major diameter.
const fn pipe(whole: u32, sixteenths: u32, pitches: &'static [u32], major_um: u32) -> SizeRow {
    SizeRow { major_um: Some(major_um), coarse: false, ..inch(whole, sixteenths, pitches) }
}

/// ISO 261 sizes. The pitches are those of the ISO 262 selection for bolts and
/// those of ISO 261 that engines and plugs use; M11x2 and M11x1.25 are in
/// neither, but are met (common practice, no source).
#[rustfmt::skip]
pub(crate) static METRIC: &[SizeRow] = &[
    m(10, &[250]), m(11, &[250]), m(12, &[250]), m(14, &[300]), m(16, &[350]), m(18, &[350]),
    m(20, &[400]), m(22, &[450]), m(25, &[450]), m(30, &[500]), m(35, &[600]), m(40, &[700, 500]),
    m(45, &[750]), m(50, &[800, 500]), m(60, &[1000, 750]), m(70, &[1000, 750]),
    m(80, &[1250, 1000]), m(90, &[1250, 1000]), m(100, &[1500, 1250, 1000]),
    m(110, &[1500, 2000, 1250, 1000]), m(120, &[1750, 1500, 1250, 1000]),
    m(140, &[2000, 1500, 1250, 1000]), fine(150, &[1500, 1000]), m(160, &[2000, 1500, 1000]),
    fine(170, &[1500, 1000]), m(180, &[2500, 2000, 1500, 1000]), m(200, &[2500, 2000, 1500, 1000]),
    m(220, &[2500, 2000, 1500, 1000]), m(240, &[3000, 2000, 1500, 1000]),
    fine(250, &[2000, 1500, 1000]), fine(260, &[1500]), m(270, &[3000, 2000, 1500]),
    fine(280, &[2000, 1500]), m(300, &[3500, 3000, 2000, 1500]), fine(320, &[2000, 1500]),
    m(330, &[3500, 3000, 2000, 1500]), fine(350, &[1500]), m(360, &[4000, 3000, 2000, 1500]),
    fine(380, &[1500]), m(390, &[4000, 3000, 2000, 1500]), fine(400, &[3000, 2000, 1500]),
    m(420, &[4500, 4000, 3000, 2000, 1500]), m(450, &[4500, 4000, 3000, 2000, 1500]),
    m(480, &[5000, 4000, 3000, 2000, 1500]), fine(500, &[3000, 2000, 1500]),
    m(520, &[5000, 4000, 3000, 2000, 1500]), m(560, &[5500, 4000, 3000, 2000, 1500]),
    m(600, &[5500, 4000, 3000, 2000, 1500]), m(640, &[6000, 4000, 3000, 2000, 1500]),
    m(680, &[6000, 4000, 3000, 2000, 1500]), fine(720, &[6000, 4000, 3000, 2000, 1500]),
    fine(800, &[6000, 4000, 3000, 2000, 1500]), fine(900, &[6000, 4000, 3000, 2000]),
    fine(1000, &[6000, 4000, 3000, 2000]),
];

/// ASME B1.1, coarse.
#[rustfmt::skip]
pub(crate) static UNC: &[SizeRow] = &[
    no(1, &[64_000]), no(2, &[56_000]), no(3, &[48_000]), no(4, &[40_000]), no(5, &[40_000]),
    no(6, &[32_000]), no(8, &[32_000]), no(10, &[24_000]), no(12, &[24_000]),
    inch(0, 4, &[20_000]), inch(0, 5, &[18_000]), inch(0, 6, &[16_000]), inch(0, 7, &[14_000]),
    inch(0, 8, &[13_000]), inch(0, 9, &[12_000]), inch(0, 10, &[11_000]), inch(0, 12, &[10_000]),
    inch(0, 14, &[9_000]), inch(1, 0, &[8_000]), inch(1, 2, &[7_000]), inch(1, 4, &[7_000]),
    inch(1, 6, &[6_000]), inch(1, 8, &[6_000]), inch(1, 12, &[5_000]), inch(2, 0, &[4_500]),
    inch(2, 4, &[4_500]), inch(2, 8, &[4_000]), inch(2, 12, &[4_000]), inch(3, 0, &[4_000]),
    inch(3, 4, &[4_000]), inch(3, 8, &[4_000]), inch(3, 12, &[4_000]), inch(4, 0, &[4_000]),
];

/// ASME B1.1, fine.
#[rustfmt::skip]
pub(crate) static UNF: &[SizeRow] = &[
    no(0, &[80_000]), no(1, &[72_000]), no(2, &[64_000]), no(3, &[56_000]), no(4, &[48_000]),
    no(5, &[44_000]), no(6, &[40_000]), no(8, &[36_000]), no(10, &[32_000]), no(12, &[28_000]),
    inch(0, 4, &[28_000]), inch(0, 5, &[24_000]), inch(0, 6, &[24_000]), inch(0, 7, &[20_000]),
    inch(0, 8, &[20_000]), inch(0, 9, &[18_000]), inch(0, 10, &[18_000]), inch(0, 12, &[16_000]),
    inch(0, 14, &[14_000]), inch(1, 0, &[12_000]), inch(1, 2, &[12_000]), inch(1, 4, &[12_000]),
    inch(1, 6, &[12_000]), inch(1, 8, &[12_000]),
];

/// ASME B1.1, extra fine.
#[rustfmt::skip]
pub(crate) static UNEF: &[SizeRow] = &[
    no(12, &[32_000]), inch(0, 4, &[32_000]), inch(0, 5, &[32_000]), inch(0, 6, &[32_000]),
    inch(0, 7, &[28_000]), inch(0, 8, &[28_000]), inch(0, 9, &[24_000]), inch(0, 10, &[24_000]),
    inch(0, 11, &[24_000]), inch(0, 12, &[20_000]), inch(0, 13, &[20_000]), inch(0, 14, &[20_000]),
    inch(0, 15, &[20_000]), inch(1, 0, &[20_000]), inch(1, 1, &[18_000]), inch(1, 2, &[18_000]),
    inch(1, 3, &[18_000]), inch(1, 4, &[18_000]), inch(1, 5, &[18_000]), inch(1, 6, &[18_000]),
    inch(1, 7, &[18_000]), inch(1, 8, &[18_000]), inch(1, 9, &[18_000]), inch(1, 10, &[18_000]),
    inch(1, 11, &[18_000]),
];

const UN_2: &[u32] = &[6_000, 8_000, 12_000, 16_000, 20_000];
const UN_3: &[u32] = &[4_000, 6_000, 8_000, 12_000, 16_000, 20_000];
const UN_6: &[u32] = &[4_000, 6_000, 8_000, 12_000, 16_000];

/// ASME B1.1, the constant-pitch series 4-UN to 32-UN. A pitch that is also
/// coarse, fine or extra fine at its size is called by that name.
#[rustfmt::skip]
pub(crate) static UN: &[SizeRow] = &[
    no(6, &[32_000]), no(8, &[32_000]), no(10, &[32_000]), no(12, &[28_000, 32_000]),
    inch(0, 4, &[20_000, 28_000, 32_000]), inch(0, 5, &[20_000, 28_000, 32_000]),
    inch(0, 6, &[16_000, 20_000, 28_000, 32_000]), inch(0, 7, &[16_000, 20_000, 28_000, 32_000]),
    inch(0, 8, &[16_000, 20_000, 28_000, 32_000]),
    inch(0, 9, &[12_000, 16_000, 20_000, 28_000, 32_000]),
    inch(0, 10, &[12_000, 16_000, 20_000, 28_000, 32_000]),
    inch(0, 11, &[12_000, 16_000, 20_000, 28_000, 32_000]),
    inch(0, 12, &[12_000, 16_000, 20_000, 28_000, 32_000]),
    inch(0, 13, &[12_000, 16_000, 20_000, 28_000, 32_000]),
    inch(0, 14, &[12_000, 16_000, 20_000, 28_000, 32_000]),
    inch(0, 15, &[12_000, 16_000, 20_000, 28_000, 32_000]),
    inch(1, 0, &[8_000, 12_000, 16_000, 20_000, 28_000, 32_000]),
    inch(1, 1, &[8_000, 12_000, 16_000, 20_000, 28_000]),
    inch(1, 2, &[8_000, 12_000, 16_000, 20_000, 28_000]),
    inch(1, 3, &[8_000, 12_000, 16_000, 20_000, 28_000]),
    inch(1, 4, &[8_000, 12_000, 16_000, 20_000, 28_000]),
    inch(1, 5, &[8_000, 12_000, 16_000, 20_000, 28_000]),
    inch(1, 6, &[6_000, 8_000, 12_000, 16_000, 20_000, 28_000]),
    inch(1, 7, &[6_000, 8_000, 12_000, 16_000, 20_000, 28_000]),
    inch(1, 8, &[6_000, 8_000, 12_000, 16_000, 20_000, 28_000]),
    inch(1, 9, UN_2), inch(1, 10, UN_2), inch(1, 11, UN_2), inch(1, 12, UN_2), inch(1, 13, UN_2),
    inch(1, 14, UN_2), inch(1, 15, UN_2), inch(2, 0, UN_2), inch(2, 2, UN_2), inch(2, 4, UN_2),
    inch(2, 6, UN_2), inch(2, 8, UN_3), inch(2, 10, UN_3), inch(2, 12, UN_3), inch(2, 14, UN_3),
    inch(3, 0, UN_3), inch(3, 2, UN_6), inch(3, 4, UN_6), inch(3, 6, UN_6), inch(3, 8, UN_6),
    inch(3, 10, UN_6), inch(3, 12, UN_6), inch(3, 14, UN_6), inch(4, 0, UN_6), inch(4, 2, UN_6),
    inch(4, 4, UN_6), inch(4, 6, UN_6), inch(4, 8, UN_6), inch(4, 10, UN_6), inch(4, 12, UN_6),
    inch(4, 14, UN_6), inch(5, 0, UN_6), inch(5, 2, UN_6), inch(5, 4, UN_6), inch(5, 6, UN_6),
    inch(5, 8, UN_6), inch(5, 10, UN_6), inch(5, 12, UN_6), inch(5, 14, UN_6), inch(6, 0, UN_6),
];

/// The one special that engine work meets so often that it is offered.
pub(crate) static UNS: &[SizeRow] = &[inch(1, 0, &[14_000])];

/// BS 84, Whitworth.
#[rustfmt::skip]
pub(crate) static BSW: &[SizeRow] = &[
    inch(0, 1, &[60_000]), thirty(3, &[48_000]), inch(0, 2, &[40_000]), thirty(5, &[32_000]),
    inch(0, 3, &[24_000]), thirty(7, &[24_000]), inch(0, 4, &[20_000]), inch(0, 5, &[18_000]),
    inch(0, 6, &[16_000]), inch(0, 7, &[14_000]), inch(0, 8, &[12_000]), inch(0, 9, &[12_000]),
    inch(0, 10, &[11_000]), inch(0, 11, &[11_000]), inch(0, 12, &[10_000]), inch(0, 14, &[9_000]),
    inch(1, 0, &[8_000]), inch(1, 2, &[7_000]), inch(1, 4, &[7_000]), inch(1, 6, &[6_000]),
    inch(1, 8, &[6_000]), inch(1, 10, &[5_000]), inch(1, 12, &[5_000]), inch(2, 0, &[4_500]),
    inch(2, 4, &[4_000]), inch(2, 8, &[4_000]), inch(2, 12, &[3_500]), inch(3, 0, &[3_500]),
];

/// BS 84, Fine.
#[rustfmt::skip]
pub(crate) static BSF: &[SizeRow] = &[
    inch(0, 3, &[32_000]), thirty(7, &[28_000]), inch(0, 4, &[26_000]), thirty(9, &[26_000]),
    inch(0, 5, &[22_000]), inch(0, 6, &[20_000]), inch(0, 7, &[18_000]), inch(0, 8, &[16_000]),
    inch(0, 9, &[16_000]), inch(0, 10, &[14_000]), inch(0, 11, &[14_000]), inch(0, 12, &[12_000]),
    inch(0, 13, &[12_000]), inch(0, 14, &[11_000]), inch(1, 0, &[10_000]), inch(1, 2, &[9_000]),
    inch(1, 4, &[9_000]), inch(1, 6, &[8_000]), inch(1, 8, &[8_000]), inch(1, 10, &[8_000]),
    inch(1, 12, &[7_000]), inch(2, 0, &[7_000]), inch(2, 4, &[6_000]), inch(2, 8, &[6_000]),
    inch(2, 12, &[6_000]), inch(3, 0, &[5_000]),
];

/// BS 93, numbers 0 to 16 in order: pitch 0.9ⁿ mm, diameter 6 p^1.2 mm, rounded.
#[rustfmt::skip]
pub(crate) static BA: &[SizeRow] = &[
    ba(600, &[1000]), ba(530, &[900]), ba(470, &[810]), ba(410, &[730]), ba(360, &[660]),
    ba(320, &[590]), ba(280, &[530]), ba(250, &[480]), ba(220, &[430]), ba(190, &[390]),
    ba(170, &[350]), ba(150, &[310]), ba(130, &[280]), ba(120, &[250]), ba(100, &[230]),
    ba(90, &[210]), ba(79, &[190]),
];

/// ASME B1.20.1, with the outside diameter of the pipe.
#[rustfmt::skip]
pub(crate) static NPT: &[SizeRow] = &[
    pipe(0, 1, &[27_000], 7_938), pipe(0, 2, &[27_000], 10_287), pipe(0, 4, &[18_000], 13_716),
    pipe(0, 6, &[18_000], 17_145), pipe(0, 8, &[14_000], 21_336), pipe(0, 12, &[14_000], 26_670),
    pipe(1, 0, &[11_500], 33_401), pipe(1, 4, &[11_500], 42_164), pipe(1, 8, &[11_500], 48_260),
    pipe(2, 0, &[11_500], 60_325), pipe(2, 8, &[8_000], 73_025), pipe(3, 0, &[8_000], 88_900),
    pipe(3, 8, &[8_000], 101_600), pipe(4, 0, &[8_000], 114_300), pipe(5, 0, &[8_000], 141_300),
    pipe(6, 0, &[8_000], 168_275),
];

/// ISO 228-1, with the major diameter.
#[rustfmt::skip]
pub(crate) static G: &[SizeRow] = &[
    pipe(0, 1, &[28_000], 7_723), pipe(0, 2, &[28_000], 9_728), pipe(0, 4, &[19_000], 13_157),
    pipe(0, 6, &[19_000], 16_662), pipe(0, 8, &[14_000], 20_955), pipe(0, 10, &[14_000], 22_911),
    pipe(0, 12, &[14_000], 26_441), pipe(0, 14, &[14_000], 30_201), pipe(1, 0, &[11_000], 33_249),
    pipe(1, 2, &[11_000], 37_897), pipe(1, 4, &[11_000], 41_910), pipe(1, 8, &[11_000], 47_803),
    pipe(1, 12, &[11_000], 53_746), pipe(2, 0, &[11_000], 59_614), pipe(2, 4, &[11_000], 65_710),
    pipe(2, 8, &[11_000], 75_184), pipe(2, 12, &[11_000], 81_534), pipe(3, 0, &[11_000], 87_884),
    pipe(3, 8, &[11_000], 100_330), pipe(4, 0, &[11_000], 113_030), pipe(4, 8, &[11_000], 125_730),
    pipe(5, 0, &[11_000], 138_430), pipe(5, 8, &[11_000], 151_130), pipe(6, 0, &[11_000], 163_830),
];

/// ISO 7-1, with the major diameter in the gauge plane.
#[rustfmt::skip]
pub(crate) static R: &[SizeRow] = &[
    pipe(0, 1, &[28_000], 7_723), pipe(0, 2, &[28_000], 9_728), pipe(0, 4, &[19_000], 13_157),
    pipe(0, 6, &[19_000], 16_662), pipe(0, 8, &[14_000], 20_955), pipe(0, 12, &[14_000], 26_441),
    pipe(1, 0, &[11_000], 33_249), pipe(1, 4, &[11_000], 41_910), pipe(1, 8, &[11_000], 47_803),
    pipe(2, 0, &[11_000], 59_614), pipe(2, 8, &[11_000], 75_184), pipe(3, 0, &[11_000], 87_884),
    pipe(4, 0, &[11_000], 113_030), pipe(5, 0, &[11_000], 138_430), pipe(6, 0, &[11_000], 163_830),
];

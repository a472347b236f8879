//! Threads against the published tables, the notations of the trade, and
//! print-then-parse over every thread that can be written.

use clampbook::thread::{Geometry, Pattern, Series, Size, Thread, ThreadError};
use proptest::prelude::*;

/// Printed tables give areas to three figures: 0.4 %.
const AREA_TOLERANCE: f64 = 0.004;
/// Printed tables give diameters to 0.001 mm.
const DIAMETER_TOLERANCE: f64 = 0.001;
const MM2_PER_IN2: f64 = 25.4 * 25.4;

fn thread(text: &str) -> Thread {
    Thread::parse(text).unwrap_or_else(|error| panic!("{text}: {error}"))
}

fn geometry(text: &str) -> Geometry {
    thread(text).geometry().unwrap()
}

fn near(what: &str, found: f64, printed: f64, tolerance: f64) {
    assert!((found - printed).abs() <= tolerance, "{what}: {found}, printed {printed}");
}

/// Runs `check` on every row of a file, and returns how many there were; the
/// file's own line count guards against rows that are silently left out.
fn each_row(name: &str, mut check: impl FnMut(&dyn Fn(&str) -> String)) -> usize {
    let path = format!("{}/tests/data/{name}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let headers = reader.headers().unwrap().clone();
    let mut rows = 0;
    for record in reader.records() {
        let record = record.unwrap();
        check(&|column| {
            let at = headers.iter().position(|header| header == column).expect(column);
            record[at].to_owned()
        });
        rows += 1;
    }
    assert_eq!(rows, text.lines().count() - 1, "{name}: rows left out");
    rows
}

/// ISO 261/262, ISO 724, DIN 13-1, ISO 898-1: the source of each row stands in
/// its own columns.
#[test]
fn metric_threads_agree_with_the_printed_tables() {
    let rows = each_row("threads_metric.csv", |column| {
        let number = |name: &str| column(name).parse::<f64>().unwrap();
        let name = format!("M{}x{}", column("nominal_d_mm"), column("pitch_mm"));
        let found = geometry(&name);
        near(&name, found.pitch_diameter.mm(), number("d2_mm"), DIAMETER_TOLERANCE);
        near(&name, found.minor_diameter.mm(), number("d1_mm"), DIAMETER_TOLERANCE);
        near(&name, found.root_diameter.mm(), number("d3_mm"), DIAMETER_TOLERANCE);
        for area in ["As_printed_mm2", "As_computed_mm2"] {
            if let Ok(printed) = column(area).parse::<f64>() {
                near(&name, found.stress_area.mm2(), printed, printed * AREA_TOLERANCE);
            }
        }
        let (size, pitch) = (thread(&name).size(), thread(&name).pitch());
        assert!(Series::M.lists(size, pitch), "{name} is not in the series table");
        assert_eq!(thread(&name).is_coarse(), column("series") == "coarse", "{name}");
    });
    println!("threads_metric.csv: {rows} rows checked");
    assert!(rows >= 45);
}

/// ASME B1.1 as printed in the tables named in each row.
#[test]
fn unified_threads_agree_with_the_printed_tables() {
    let rows = each_row("threads_unified.csv", |column| {
        let number = |name: &str| column(name).parse::<f64>().unwrap();
        let name = format!(
            "{}-{} {}",
            column("size"),
            column("tpi"),
            column("series").trim_start_matches('8')
        );
        let found = geometry(&name);
        near(&name, found.major.mm(), number("basic_major_in") * 25.4, DIAMETER_TOLERANCE);
        for area in ["At_printed_in2", "At_computed_in2"] {
            let printed = number(area) * MM2_PER_IN2;
            near(&name, found.stress_area.mm2(), printed, printed * AREA_TOLERANCE);
        }
        assert_eq!(thread(&name).series().symbol(), column("series").trim_start_matches('8'));
    });
    println!("threads_unified.csv: {rows} rows checked");
    assert!(rows >= 45);
}

/// Sizes that the two files leave out: ISO 898-1 (mm²) and ASME B1.1 (in²)
/// stress areas as printed in handbooks, from memory. British: effective and
/// minor diameter of BS 84 as above, averaged by hand (1/2 BSW 0.41995 in).
#[test]
fn other_stress_areas_agree_with_handbooks() {
    let metric = [
        ("M6x1", 20.1),
        ("M8x1", 39.2),
        ("M10x1.25", 61.2),
        ("M12x1.75", 84.3),
        ("M16x1.5", 167.0),
        ("M22x2.5", 303.0),
        ("M30x3.5", 561.0),
    ];
    let inch = [
        ("5/16-18", 0.0524),
        ("7/16-20", 0.1187),
        ("9/16-18", 0.203),
        ("3/4-16", 0.373),
        ("1-8", 0.606),
        ("10-32", 0.0200),
        ("1/2 BSW", 0.1385),
    ];
    let inch = inch.map(|(name, printed)| (name, printed * MM2_PER_IN2));
    for (name, printed) in metric.into_iter().chain(inch) {
        let area = geometry(name).stress_area.mm2();
        near(name, area, printed, printed * AREA_TOLERANCE);
    }
}

/// BS 84 (1/2 BSW, 1/2 BSF, in) and BS 93 (2 BA, mm): effective and minor
/// diameters as tables print them, from memory.
#[test]
fn british_threads_have_the_diameters_of_their_tables() {
    let printed = [
        ("1/2 BSW", 0.4466 * 25.4, 0.3933 * 25.4, 55.0),
        ("1/2 BSF", 0.4600 * 25.4, 0.4200 * 25.4, 55.0),
        ("1/4 BSW", 0.2180 * 25.4, 0.1860 * 25.4, 55.0),
        ("2 BA", 4.215, 3.730, 47.5),
    ];
    for (name, effective, minor, angle) in printed {
        let found = geometry(name);
        near(name, found.pitch_diameter.mm(), effective, 0.003);
        near(name, found.minor_diameter.mm(), minor, 0.003);
        assert_eq!(found.flank_angle.deg(), angle);
    }
}

/// ISO 2306 as remembered, and the 75 % drills of inch charts to the nearest
/// 0.1 mm: 7/16-14 U (9.35), 1/4-20 No. 7 (5.1), 1/2-13 27/64 (10.7).
#[test]
fn tap_drills_are_the_usual_ones() {
    let metric = [
        ("M1.6x0.35", 1.25),
        ("M2.5x0.45", 2.05),
        ("M3x0.5", 2.5),
        ("M4x0.7", 3.3),
        ("M5x0.8", 4.2),
        ("M6x1", 5.0),
        ("M8x1.25", 6.8),
        ("M10x1.5", 8.5),
        ("M10x1.25", 8.8),
        ("M12x1.75", 10.2),
        ("M12x1.25", 10.8),
        ("M14x2", 12.0),
        ("M16x2", 14.0),
    ];
    for (name, drill) in metric {
        near(name, thread(name).tap_drill().unwrap().mm(), drill, 1e-9);
    }
    for (name, drill) in [("7/16-14", 9.35), ("1/4-20", 5.1), ("1/2-13", 10.7)] {
        near(name, thread(name).tap_drill().unwrap().mm(), drill, 0.1);
    }
    assert_eq!(thread("1/8 NPT").tap_drill(), None);
}

#[test]
fn notations_of_the_trade_are_read() {
    let cases = [
        ("M10x1.5", "M10x1.5"),
        ("M10X1.5", "M10x1.5"),
        ("M10×1.5", "M10x1.5"),
        ("m10*1.5", "M10x1.5"),
        ("M10-1.5", "M10x1.5"),
        ("M10 x 1.5", "M10x1.5"),
        ("M10x1.5-6g", "M10x1.5-6g"),
        ("M10x1.5 LH", "M10x1.5 LH"),
        ("M10x1.5-6g-LH", "M10x1.5-6g LH"),
        ("M10x1,5", "M10x1.5"),
        ("M10 coarse", "M10x1.5"),
        ("M8 fine", "M8x1"),
        ("M10 x 1.5 mm", "M10x1.5"),
        ("MJ10x1.5", "MJ10x1.5"),
        ("M10x1.5-6H/6g", "M10x1.5-6H/6g"),
        ("M11.5x1", "M11.5x1"),
        ("7/16-20", "7/16-20"),
        ("7/16-20 UNF", "7/16-20"),
        ("7/16 UNF", "7/16-20"),
        ("7/16 NF", "7/16-20"),
        ("7/16 coarse", "7/16-14"),
        ("7/16 fine", "7/16-20"),
        ("7/16 extra fine", "7/16-28"),
        ("7/16-14 UNC-2A", "7/16-14 UNC-2A"),
        ("7/16-14UNC-2a", "7/16-14 UNC-2A"),
        (".4375-20", "7/16-20"),
        ("0.4375-20", "7/16-20"),
        ("14/32-20", "7/16-20"),
        ("7/16 - 20", "7/16-20"),
        ("7/16\u{2013}20", "7/16-20"),
        ("#10-32", "10-32"),
        ("10-32", "10-32"),
        ("10-24 UNC", "10-24"),
        ("No. 10-32", "10-32"),
        ("0.190-32", "10-32"),
        ("1/2\"-13", "1/2-13"),
        ("1/2\u{201d}-13", "1/2-13"),
        ("1-8", "1-8"),
        ("1-14 UNS", "1-14 UNS"),
        ("1-14", "1-14 UNS"),
        ("1\"-32", "1\"-32"),
        ("1-1/8-12", "1-1/8-12"),
        ("1 1/8-12", "1-1/8-12"),
        ("1-1/8-8UN", "1-1/8-8"),
        ("1-1/8 8UN", "1-1/8-8"),
        ("2-4.5", "2-4.5"),
        ("2-4-1/2", "2-4.5"),
        ("1/8-40", "5-40"),
        ("7/16-20 UNJ", "7/16-20 UNJF"),
        ("7/16-20 UNJF-3A", "7/16-20 UNJF-3A"),
        ("1/4 BSW", "1/4-20 BSW"),
        ("1/4-20 BSW", "1/4-20 BSW"),
        ("5/16 BSF", "5/16-22 BSF"),
        ("1/8-40 BSW", "1/8-40 BSW"),
        ("1 BSW", "1-8 BSW"),
        ("1/4 coarse BSW", "1/4-20 BSW"),
        ("2 BA", "2 BA"),
        ("2BA", "2 BA"),
        ("0ba", "0 BA"),
        ("1/8 NPT", "1/8-27 NPT"),
        ("1/8-27 NPT", "1/8-27 NPT"),
        ("1-11-1/2 NPTF", "1-11.5 NPTF"),
        ("G 1/4", "G 1/4"),
        ("G1/4A", "G 1/4 A"),
        ("1/4 BSPP", "G 1/4"),
        ("R 1/2", "R 1/2"),
        ("rp 1-1/4", "Rp 1-1/4"),
        ("G 1", "G 1"),
    ];
    for (text, printed) in cases {
        assert_eq!(thread(text).to_string(), printed, "{text}");
    }
}

#[test]
fn series_follow_from_size_and_pitch() {
    let cases = [
        ("7/16-20", Series::Unf),
        ("7/16-14", Series::Unc),
        ("7/16-28", Series::Unef),
        ("7/16-16", Series::Un),
        ("7/16-18", Series::Uns),
        ("10-32", Series::Unf),
        ("M10x1.1", Series::M),
        ("5-40", Series::Unc),
        ("12-32", Series::Unef),
    ];
    for (text, series) in cases {
        assert_eq!(thread(text).series(), series, "{text}");
    }
    assert_eq!(thread("7/16-20 UNF-2A"), thread("7/16-20"));
    assert_ne!(thread("7/16-20 LH"), thread("7/16-20"));
    assert_ne!(thread("1/4-20 BSW"), thread("1/4-20"));
}

#[test]
fn errors_say_what_to_write() {
    let cases = [
        ("M10", "M10: which pitch? M10x1.5 (coarse), M10x1.25, M10x1"),
        ("M10-6g", "M10: which pitch? M10x1.5 (coarse), M10x1.25, M10x1"),
        ("M10 fine", "M10 fine: which pitch? M10x1.25, M10x1"),
        ("7/16", "7/16: which pitch? 7/16-14 (coarse), 7/16-20 (fine), 7/16-28 (extra fine)"),
        ("7/16\"", "7/16: which pitch? 7/16-14 (coarse), 7/16-20 (fine), 7/16-28 (extra fine)"),
        ("7/16-20 UNC", "7/16-20 is UNF, not UNC; UNC is 7/16-14"),
        ("7/16-20 coarse", "7/16-20 is fine, not coarse; coarse is 7/16-14"),
        ("M10x1.25 coarse", "M10x1.25 is fine, not coarse; coarse is M10x1.5"),
        ("1/4-26 BSW", "1/4-26 BSF is BSF, not BSW; BSW is 1/4-20 BSW"),
        (
            "M10x50",
            "`50` is no pitch for M10; if it is the length, write the pitch first: M10x1.5 x 50 mm",
        ),
        (
            "M10x15",
            "`15` is no pitch for M10; if it is the length, write the pitch first: M10x1.5 x 50 mm",
        ),
        (".438-20", "`0.438` is no thread size; did you mean 7/16?"),
        ("9/32 UNF", "there is no 9/32 UNF; name a size of that series, or write the pitch"),
        ("#0 coarse", "there is no #0 coarse; name a size of that series, or write the pitch"),
        ("2 UNC", "`2` may be a number size or inches; write #2 or 2\""),
        // The class of the bolt is no pitch.
        (
            "M30-8.8",
            "`8.8` is no pitch for M30; if it is the length, write the pitch first: M30x3.5 x 50 mm",
        ),
        ("1-24", "`24` is no pitch for #1; write it as in 1-64"),
        ("1/4 BSP", "BSP is parallel or taper; write G 1/4 or R 1/4"),
        ("M10x1.5x50", "`x50` follows the thread M10x1.5"),
        ("#13", "`#13` is no thread size; did you mean #12?"),
        ("7/16-20 moly", "`moly` follows the thread 7/16-20"),
        ("moly", "`moly` is not a thread; write it as 7/16-20, 10-32, M10x1.5 or 1/4 BSW"),
        ("12-point", "`12-point` is not a thread; write it as 7/16-20, 10-32, M10x1.5 or 1/4 BSW"),
        ("24-017", "`24-017` is not a thread; write it as 7/16-20, 10-32, M10x1.5 or 1/4 BSW"),
    ];
    for (text, message) in cases {
        let error = Thread::parse(text).expect_err(text);
        assert_eq!(error.to_string(), message, "{text}");
    }
}

#[test]
fn a_missing_pitch_is_asked_for_and_coarse_offered() {
    let error = Thread::parse("M8").unwrap_err();
    assert_eq!(error.coarse(), Some(&thread("M8x1.25")));
    let Err(ThreadError::PitchNeeded { choices, .. }) = Thread::parse("M11") else { panic!() };
    for met in ["M11x1.5", "M11x1.25", "M11x2"] {
        assert!(choices.contains(&thread(met)), "{met} is met on engines");
    }
    assert_eq!(Thread::parse("3/8").unwrap_err().coarse(), Some(&thread("3/8-16")));
    assert_eq!(Thread::parse("M15").unwrap_err().coarse(), None);
}

#[test]
fn pipe_threads_have_a_diameter_but_no_clamp() {
    let plug = thread("1/8 NPT");
    near("1/8 NPT", plug.nominal().mm(), 10.287, DIAMETER_TOLERANCE);
    assert!(matches!(plug.geometry(), Err(ThreadError::NoClamp(_))));
    assert!(plug.geometry().unwrap_err().to_string().contains("1/8-27 NPT is a pipe thread"));
}

#[test]
fn every_thread_of_the_table_prints_and_parses() {
    let mut threads = 0;
    for listed in Series::each().flat_map(Series::threads) {
        assert_round_trip(&listed);
        threads += 1;
    }
    println!("{threads} threads of the series table checked");
    assert!(threads > 700);
}

/// Text and parts both read back as the thread, with its class.
fn assert_round_trip(thread: &Thread) {
    let printed = thread.to_string();
    let read = Thread::parse(&printed).unwrap_or_else(|error| panic!("{printed}: {error}"));
    assert_eq!(&read, thread);
    assert_eq!(read.class(), thread.class(), "{printed}");
    assert_eq!(read.to_string(), printed);
    let parts = Thread::from_parts(
        thread.series(),
        Size::from_key(thread.size().key()).unwrap(),
        thread.pitch(),
        thread.is_left_hand(),
        thread.class(),
    );
    assert_eq!(parts.unwrap().to_string(), printed);
    let exact = Pattern::from(thread);
    assert!(exact.matches(thread), "{printed}");
    assert_eq!(Pattern::parse(&exact.to_string()).unwrap(), exact, "{printed}");
    assert_eq!(exact.to_thread().unwrap().pitch(), thread.pitch());
    // What a question prints, a question reads.
    let shown = exact.to_string();
    assert_eq!(Pattern::take(&shown).unwrap().unwrap().1, shown.len(), "{shown}");
}

fn any_text() -> impl Strategy<Value = String> {
    let pieces = prop_oneof![
        Just("M"),
        Just("MJ"),
        Just("x"),
        Just("-"),
        Just(" "),
        Just("/"),
        Just("#"),
        Just("\""),
        Just("."),
        Just(","),
        Just("UNF"),
        Just("UNC"),
        Just("UN"),
        Just("BSW"),
        Just("BA"),
        Just("NPT"),
        Just("G"),
        Just("R"),
        Just("LH"),
        Just("coarse"),
        Just("fine"),
        Just("6g"),
        Just("2A"),
        Just("mm"),
        Just("in"),
        Just("×"),
        Just("½"),
        Just("\u{a0}"),
        Just("0"),
        Just("1"),
        Just("7/16"),
        Just("10"),
        Just("20"),
        Just("99999999999"),
    ];
    proptest::collection::vec(pieces, 0..9).prop_map(|pieces| pieces.concat())
}

fn some_class(series: Series) -> Vec<Option<&'static str>> {
    if series.row().is_inch() {
        vec![None, Some("2A"), Some("3B"), Some("A")]
    } else {
        vec![None, Some("6g"), Some("6H"), Some("4g6g"), Some("6H/6g")]
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_thread_prints_and_parses(
        row in 0..clampbook::thread::SERIES.len(),
        listed in any::<prop::sample::Index>(),
        metric_pitch in 100_u32..6_000,
        special in any::<bool>(),
        per_inch in 2_u32..160,
        left_hand in any::<bool>(),
        class in any::<prop::sample::Index>(),
    ) {
        let series = clampbook::thread::SERIES[row].series;
        let threads: Vec<Thread> = series.threads().collect();
        let listed = &threads[listed.index(threads.len())];
        let pitch = if special {
            let text = if series.row().is_inch() {
                format!("7/16-{}", f64::from(per_inch) / 2.0)
            } else {
                format!("M30x{}", f64::from(metric_pitch) / 1000.0)
            };
            Thread::parse(&text).map_or(listed.pitch(), |thread| thread.pitch())
        } else {
            listed.pitch()
        };
        let classes = some_class(series);
        let class = classes[class.index(classes.len())];
        let series = [series, Series::Uns, Series::Un].into_iter();
        for series in series {
            if let Ok(thread) = Thread::from_parts(series, listed.size(), pitch, left_hand, class) {
                assert_round_trip(&thread);
            }
        }
    }

    #[test]
    fn patterns_print_and_parse(text in any_text()) {
        if let Ok(pattern) = Pattern::parse(&text) {
            let printed = pattern.to_string();
            prop_assert_eq!(Pattern::parse(&printed), Ok(pattern), "{} -> {}", text, printed);
        }
    }

    #[test]
    fn nothing_panics(text in any_text(), odd in ".{0,24}") {
        for text in [text, odd] {
            let _ = Pattern::parse(&text);
            if let Some(Ok((pattern, length))) = Pattern::take(&text) {
                prop_assert!(text.is_char_boundary(length));
                let again = Pattern::parse(&text[..length]);
                prop_assert_eq!(again, Ok(pattern), "{}", text);
            }
            match Thread::parse(&text) {
                Ok(thread) => assert_round_trip(&thread),
                Err(error) => prop_assert!(!error.to_string().is_empty()),
            }
        }
    }
}

/// Sizes far beyond any bolt are no threads, whatever their digits come to.
#[test]
fn numbers_too_large_for_a_size_are_refused_quietly() {
    for text in ["5000.5", "4294.967296-20", "999999.5-13", "4295-8"] {
        assert!(Thread::parse(text).is_err(), "{text}");
        assert!(Pattern::take(text).is_none(), "{text}");
    }
}

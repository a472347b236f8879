//! Wrenches, layouts, bolt sets and the log: kept, carried along, and a log
//! that nothing alters.

use std::fs;
use std::path::Path;
use std::time::Duration;

use clampbook::procedure::Point;
use clampbook::quantity::{Length, Stated};
use clampbook::record::{
    AsFound, Bolt, BoltSet, Calibrated, Kept, KeptKind, Layout, NameOf, PassDone, Pull, PullKind,
    Reached, Snapshot, Wrench,
};
use clampbook::store::{Book, Change, Signature, StoreError, Writer, restore_backup, verify};

use crate::{kept, sample};

macro_rules! stated {
    ($text:literal) => {
        Some(Stated::parse($text).unwrap())
    };
}

pub(crate) fn wrench(name: &str) -> Wrench {
    Wrench {
        name: name.to_owned(),
        low: stated!("20 lb-ft"),
        high: stated!("150 lb-ft"),
        graduation: stated!("1/2 lb-ft"),
        shop_low: stated!("30 lb-ft"),
        shop_high: stated!("190 N·m"),
        lever: stated!("18 in"),
        calibrations: vec![Calibrated {
            day: "2026-01-10".parse().unwrap(),
            found: Some(AsFound::Out),
        }],
        due: Some("2027-01-10".parse().unwrap()),
        notes: Some("dropped once, „checked” since".to_owned()),
    }
}

fn layout() -> Layout {
    let place = |x: f64, y: f64| Point { x: Length::from_mm(x), y: Length::from_mm(y) };
    Layout {
        name: "Marlow 6 head".to_owned(),
        points: vec![place(0.0, 0.0), place(1.0 / 3.0, -25.4), place(100.1, 7e-5)],
        groups: vec![("main".to_owned(), vec![2, 1]), ("outer".to_owned(), vec![3])],
        notes: Some("front on the left".to_owned()),
    }
}

fn bolt_set() -> BoltSet {
    let bolt = |n: u32| Bolt {
        position: n.to_string(),
        mark: (n == 1).then(|| "·A".to_owned()),
        new: stated!("1.9986 in"),
        earlier: n,
    };
    let (name, fastener) = ("R12".to_owned(), "marlow-6-rod-bolt".to_owned());
    BoltSet { name, fastener, bolts: (1..4).map(bolt).collect(), notes: Some("race".to_owned()) }
}

/// Line `n` of every log of these tests; always the same for the same number.
pub(crate) fn line(n: u64) -> Pull {
    let spec = Snapshot::new(&sample::full(), &sample::full_setting(), "key/moly", n);
    let at = format!("2026-02-{:02}T{:02}:15:30.25Z", 1 + n % 28, n % 24).parse().unwrap();
    let mut pull = Pull::new("J-7", at, "Marlow 6", "Head", spec);
    pull.corrects = (n > 3 && n.is_multiple_of(5)).then(|| n - 3);
    pull.who = Some(format!("fitter {n}"));
    pull.kind = PullKind::WORDS[n as usize % PullKind::WORDS.len()].0;
    pull.wrench = Some(wrench("W2").used_on("2026-05-04".parse().unwrap()));
    pull.lube = Some("engine oil".to_owned());
    pull.lot = Some(format!("tin {n}"));
    pull.order = Some("1 5 2 6 3 7 4 8".to_owned());
    pull.passes = ["45 lb-ft done", "70 lb-ft done 71 lb-ft", "+90° open"]
        .map(read(PassDone::parse))
        .to_vec();
    pull.reached = ["1: 70 lb-ft, 92°, stretch 0.0057 in", "2: before 1.9986 in, after 1.9987 in"]
        .map(read(Reached::parse))
        .to_vec();
    pull.set = Some("R12".to_owned());
    pull.remarks = Some("№ 3 creaked\n\"twice\"".to_owned());
    pull
}

fn read<T>(parse: fn(&str) -> Result<T, String>) -> impl Fn(&str) -> T {
    move |text| parse(text).unwrap()
}

/// The line as the log gives it back.
pub(crate) fn stored(n: u64) -> Pull {
    Pull { number: n, ..line(n) }
}

/// A book with one of everything.
fn start(dir: &Path) -> Writer {
    let mut writer = kept::begin(dir);
    writer.sign(Signature { who: "jo".to_owned(), when: "2026-02-01T12:00:00Z".to_owned() });
    let old = Wrench::named("w2");
    let changes = vec![
        sample::full().into(),
        Change::PutRecord(Kept::Wrench(old)),
        Change::PutRecord(Kept::Wrench(wrench("W1"))),
        Change::PutRecord(Kept::Wrench(wrench("W2"))),
        Change::PutRecord(Kept::Wrench(wrench("gone"))),
        Change::RemoveRecord(KeptKind::Wrench, "Gone".to_owned()),
        Change::PutRecord(Kept::Layout(layout())),
        Change::PutRecord(Kept::BoltSet(bolt_set())),
        Change::AppendPulls((1..=5).map(line).collect()),
    ];
    writer.apply(changes).unwrap();
    writer
}

fn is_kept(book: &Book) {
    assert_eq!(book.wrenches().unwrap(), [wrench("W2"), wrench("W1")]);
    assert_eq!(book.layouts().unwrap(), [layout()]);
    assert_eq!(book.bolt_sets().unwrap(), [bolt_set()]);
    let lines: Vec<Pull> = (1..=5).map(stored).collect();
    assert_eq!(book.log().unwrap().lines(), lines);
    assert_eq!(book.log().unwrap().corrected_by(2), Some(5));
    let vocabulary = book.vocabulary().unwrap();
    assert_eq!(vocabulary.names(NameOf::Wrench), ["W1", "W2"]);
    assert_eq!(vocabulary.find(NameOf::Wrench, " w1 "), Some("W1"));
}

#[test]
fn the_bench_is_kept_through_everything() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path().join("book");
    let mut writer = start(&dir);
    is_kept(writer.book());
    is_kept(&kept::read(&dir));
    writer.compact().unwrap();
    let mut loader = writer.load().unwrap();
    loader.push(sample::numbered(3)).unwrap();
    loader.finish().unwrap();
    is_kept(writer.book());
    drop(writer);
    kept::restore(&dir);
    is_kept(&kept::read(&dir));
    let (backup, other) = (folder.path().join("backup"), folder.path().join("other"));
    kept::read(&dir).backup(&mut fs::File::create(&backup).unwrap(), &backup).unwrap();
    restore_backup(&other, &backup, Duration::ZERO).unwrap();
    is_kept(&Book::open(&other).unwrap());
    assert!(verify(&other, Duration::ZERO).unwrap().is_whole());
    let again = folder.path().join("again");
    Book::open(&other).unwrap().backup(&mut fs::File::create(&again).unwrap(), &again).unwrap();
    let lines = |path: &Path| {
        let text = std::fs::read_to_string(path).unwrap();
        text.lines()
            .filter(|line| line.contains("\"bench\""))
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    assert_eq!(lines(&backup), lines(&again));
    assert_eq!(lines(&backup).len(), 12);
}

#[test]
fn a_line_of_the_log_moves_neither_the_generation_nor_the_image() {
    let dir = tempfile::tempdir().unwrap();
    let mut writer = start(dir.path());
    let generation = writer.book().generation();
    let reader = kept::read(dir.path());
    assert_eq!(writer.apply(vec![Change::AppendPulls(vec![line(6)])]).unwrap(), generation);
    assert_eq!(writer.book().log().unwrap().lines().len(), 6);
    // What an open reader saw stays.
    assert_eq!(reader.log().unwrap().lines().len(), 5);
}

#[test]
fn a_correction_never_alters_the_line_that_it_corrects() {
    let dir = tempfile::tempdir().unwrap();
    let mut writer = start(dir.path());
    let ledger = |dir: &Path| {
        let mut files = std::fs::read_dir(dir).unwrap().map(|entry| entry.unwrap().path());
        let name = |path: &std::path::PathBuf| path.to_string_lossy().contains("ledger-");
        std::fs::read(files.find(name).unwrap()).unwrap()
    };
    let before = ledger(dir.path());
    let correction = Pull { corrects: Some(3), ..line(6) };
    writer.apply(vec![Change::AppendPulls(vec![correction])]).unwrap();
    let after = ledger(dir.path());
    // Not one byte that was there has changed.
    assert_eq!(after[..before.len()], before);
    let log = writer.book().log().unwrap();
    assert_eq!(*log.line(3).unwrap(), stored(3));
    assert_eq!(log.corrected_by(3), Some(6));
}

#[test]
fn a_line_that_is_there_is_neither_changed_nor_added_twice() {
    let dir = tempfile::tempdir().unwrap();
    let mut writer = start(dir.path());
    let refused = |writer: &mut Writer, pull: Pull| {
        let before = writer.book().log().unwrap().lines().to_vec();
        // The good line beside it is not taken either.
        let error = writer.apply(vec![Change::AppendPulls(vec![line(7), pull])]).unwrap_err();
        assert_eq!(writer.book().log().unwrap().lines(), before);
        error.to_string()
    };
    let error = refused(&mut writer, Pull { who: Some("other".to_owned()), ..stored(3) });
    assert_eq!(error, "line 3 of the log is never altered: add a line that corrects it");
    let error = refused(&mut writer, Pull { corrects: Some(99), ..line(7) });
    assert!(error.contains("line 99 is not in the log"), "{error}");
    let error = refused(&mut writer, Pull { corrects: Some(2), ..line(7) });
    assert!(error.contains("line 2 was corrected by line 5"), "{error}");
    let error = refused(&mut writer, Pull { job: String::new(), ..line(7) });
    assert!(error.contains("the line has no job"), "{error}");
    let error =
        writer.apply(vec![Change::RemoveRecord(KeptKind::Wrench, "W9".to_owned())]).unwrap_err();
    assert!(matches!(error, StoreError::Unknown { what: "wrench", .. }), "{error}");
}

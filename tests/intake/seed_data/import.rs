//! The importer takes the files as they are, cell by cell.

use std::sync::Arc;

use crate::support::held::{Accepted as _, Held};
use clampbook::intake::{Options, Report, read_csv, take};
use clampbook::record::{Fastener, FieldKind, Row, Setting, Tables, Value, derive, setting_keys};
use clampbook::thread::Thread;

use super::{Cells, field, path, rows, tables};

fn taken(file: &str, held: &[Fastener]) -> Report {
    let bytes = std::fs::read(path(file)).unwrap();
    let sheet = read_csv(&bytes, file).unwrap();
    let held = Held::new(held.iter().cloned().map(Arc::new));
    take(&sheet, &tables(), &Options::default(), &held).unwrap()
}

/// Line, heading and code of every cell that was asked about, refused or
/// taken with a warning.
fn doubts(report: &Report) -> Vec<(u32, &str, &str)> {
    let warned = |cell: &&clampbook::intake::CellVerdict| cell.verdict.word() != "taken";
    let doubted = report.verdicts.iter().filter(warned);
    doubted.map(|cell| (cell.place.line, cell.place.header.as_str(), cell.code)).collect()
}

#[test]
fn charts_and_demo_import_whole() {
    let charts = taken("seed-data/charts.csv", &[]);
    assert_eq!((charts.rows, charts.changes.added, charts.fasteners.len()), (210, 210, 210));
    assert_eq!(doubts(&charts), []);
    let demo = taken("seed-data/demo.csv", &[]);
    let count = rows("seed-data/demo.csv").len();
    assert_eq!((demo.rows, demo.changes.added, demo.changes.beside), (count, count, 0));
    // What the demo plants: an angle without a word on reuse, two sheets that
    // disagree, a bolt near proof, half a turn from finger-tight without a snug
    // torque, two pairs of look-alikes.
    let planted = [
        (37, "Angle", "reuse-unknown"),
        (54, "Torque", "sources-differ"),
        (61, "Torque", "near-proof"),
        (80, "Angle", "no-snug"),
        (81, "Thread", "look-alike"),
        (81, "Thread", "look-alike"),
    ];
    assert_eq!(doubts(&demo), planted);
    for report in [&charts, &demo] {
        assert!(report.is_sound());
        let again = taken(&report.file, &report.fasteners);
        assert_eq!((again.changes.unchanged, again.fasteners.len()), (report.rows, 0));
    }
}

#[test]
fn the_example_shop_imports_and_its_mistakes_are_named() {
    let shop = taken("seed-data/shop.csv", &[]);
    assert!(shop.is_sound());
    assert_eq!((shop.rows, shop.changes.added, shop.fasteners.len()), (14, 14, 12));
    let other_unit = [12, 14].map(|line| (line, "Torque (lb-ft)", "other-unit"));
    assert_eq!(doubts(&shop), other_unit);

    let wrong = taken("seed-data/shop-with-mistakes.csv", &[]);
    assert!(wrong.accepted().is_none());
    let cells: Vec<_> = wrong.bad_cells().map(|c| (c.place.line, c.place.column, c.code)).collect();
    let expected = [
        (3, 9, "letter-in-number"),
        (7, 6, "pitch"),
        (10, 9, "wrong-kind"),
        (13, 4, "unknown-word"),
    ];
    assert_eq!(cells, expected);
    // A lube of another name is left open, and said so.
    let open = wrong.verdicts.iter().find(|cell| cell.code == "unknown-lube").unwrap();
    assert_eq!((open.place.line, open.place.column), (6, 8));
}

/// The row that a question would return.
fn row_of(fastener: &Fastener, setting: &Setting, tables: &Tables) -> Row {
    Row {
        key: setting_keys(fastener).remove(0),
        fastener: Arc::new(fastener.clone()),
        setting: setting.clone(),
        derived: derive(fastener, setting, tables),
        restated: None,
        refused: None,
        warnings: Vec::new(),
    }
}

/// What a row says of a field, as the file would write it.
fn written(value: Value<'_>) -> String {
    match value {
        Value::NotStated => String::new(),
        Value::Text(text) => text.into_owned(),
        Value::Number(number) => number.to_string(),
        Value::Measure(measure) => measure.text().unwrap_or_default(),
        Value::Thread(thread) => thread.to_string(),
        Value::Flag(flag) => if flag { "yes" } else { "" }.to_owned(),
    }
}

/// The setting that the row on `line` became.
fn setting_of<'a>(report: &'a Report, row: &Cells, line: u32) -> (&'a Fastener, &'a Setting) {
    let change = report.settings.iter().find(|change| change.line == line).unwrap();
    let fastener = report.fasteners.iter().find(|one| one.key == change.key).unwrap();
    let setting = fastener.settings.iter().find(|setting| {
        let says = |text: &Option<String>, cell: &str| text.as_deref().unwrap_or("") == row[cell];
        says(&setting.lube, "lube")
            && setting.method.word() == row["method"]
            && says(&setting.source.title, "source")
            && says(&setting.source.revision, "revision")
    });
    (fastener, setting.unwrap())
}

#[test]
fn every_demo_cell_is_kept_as_written() {
    let report = taken("seed-data/demo.csv", &[]);
    let tables = tables();
    let mut kept = 0;
    for (at, row) in rows("seed-data/demo.csv").iter().enumerate() {
        let line = u32::try_from(at).unwrap() + 2;
        let (fastener, setting) = setting_of(&report, row, line);
        let asked = row_of(fastener, setting, &tables);
        for (header, cell) in row {
            let field = field(header).unwrap();
            let found = written(field.get(&asked));
            let cell = match field.kind {
                FieldKind::Thread if !cell.is_empty() => Thread::parse(cell).unwrap().to_string(),
                _ => cell.clone(),
            };
            // The source is shown with its page and revision, a stress also
            // from the strength table.
            if field.name == "source" || (cell.is_empty() && field.json.ends_with("_mpa")) {
                continue;
            }
            assert_eq!(found, cell, "line {line}, {header}");
            kept += usize::from(!cell.is_empty());
        }
    }
    assert!(kept > 1500, "{kept}");
}

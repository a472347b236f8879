//! The files of seed-data and the example shop of tests/data: every name in them
//! is known, the reference figures are the published ones, and the demo shop
//! holds every case that a sheet can bring.

mod charts;
mod demo;
mod import;
mod tables;

use std::collections::{HashMap, HashSet};
use std::path::{Path, PathBuf};

use clampbook::intake::reference::{read_lubes, read_strengths};
use clampbook::quantity::{Extent, Length, Quantity, Ratio, Stated, Torque};
use clampbook::record::{Field, FieldKind, Lube, Pass, StrengthClass, Tables, stored_fields};
use clampbook::text::fold_name;
use clampbook::thread::{Pattern, Thread};

/// One row: header, lower case, to cell.
type Cells = HashMap<String, String>;

fn path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

fn headers(name: &str) -> Vec<String> {
    let mut reader = csv::Reader::from_path(path(name)).unwrap();
    reader.headers().unwrap().iter().map(str::to_owned).collect()
}

fn rows(name: &str) -> Vec<Cells> {
    let names: Vec<String> = headers(name).iter().map(|header| header.to_lowercase()).collect();
    let mut reader = csv::Reader::from_path(path(name)).unwrap();
    let cells = |record: csv::StringRecord| {
        names.iter().cloned().zip(record.iter().map(str::to_owned)).collect()
    };
    reader.records().map(|record| cells(record.unwrap())).collect()
}

fn list(cell: &str, separator: char) -> Vec<String> {
    cell.split(separator).map(|part| part.trim().to_owned()).filter(|p| !p.is_empty()).collect()
}

fn lubes() -> Vec<Lube> {
    let bytes = std::fs::read(path("seed-data/lubes.csv")).unwrap();
    let report = read_lubes(&bytes, "lubes.csv").unwrap();
    assert_eq!(report.verdicts, []);
    report.records
}

fn strengths() -> Vec<StrengthClass> {
    let bytes = std::fs::read(path("seed-data/strengths.csv")).unwrap();
    let report = read_strengths(&bytes, "strengths.csv").unwrap();
    assert_eq!(report.verdicts, []);
    report.records
}

/// A nominal size: M16, #8, 3/4 in.
fn nominal(text: &str) -> Length {
    let inches = Stated::<Length>::parse(text).map(Stated::value);
    inches.unwrap_or_else(|_| Pattern::parse(text).unwrap().size().length())
}

fn tables() -> Tables {
    Tables { lubes: lubes(), strengths: strengths() }
}

/// `size` as a table prints it, without its pitch, in a series.
fn in_series(size: &str, series: &str) -> Thread {
    let text = match series {
        "fine" => size.to_owned(),
        _ if size.starts_with(['M', '#']) => format!("{size} {series}"),
        _ => format!("{size}\" {series}"),
    };
    Thread::parse(&text).unwrap()
}

fn field(header: &str) -> Option<&'static Field> {
    let header = fold_name(header.split('(').next().unwrap());
    let stored = stored_fields();
    let mut spelled = stored.filter(|field| {
        fold_name(&field.heading()) == header
            || field.aliases.contains(&header.as_str())
            || field.headers.contains(&header.as_str())
    });
    spelled.next()
}

/// Every cell that names or measures something is read by its own notation.
fn check_cells(file: &str, unit_of_torque: &str) {
    let tables = tables();
    for (number, row) in rows(file).iter().enumerate() {
        for (header, cell) in row.iter().filter(|(_, cell)| !cell.is_empty()) {
            let place = format!("{file} row {}, {header}: {cell}", number + 2);
            assert_eq!(cell.trim(), cell, "{place}");
            let is_torque = field(header).unwrap().name == "torque";
            let bare = cell.chars().all(|c| c.is_ascii_digit() || c == '.');
            let cell =
                if is_torque && bare { format!("{cell} {unit_of_torque}") } else { cell.clone() };
            match field(header).unwrap().kind {
                FieldKind::Choice(words) => assert!(words.contains(&cell.as_str()), "{place}"),
                FieldKind::Lube => assert!(tables.lube(&cell).is_some(), "{place}"),
                FieldKind::Strength => assert!(tables.strength(&cell).is_some(), "{place}"),
                FieldKind::Thread => assert!(Thread::parse(&cell).is_ok(), "{place}"),
                FieldKind::Number => assert!(cell.parse::<u32>().is_ok(), "{place}"),
                FieldKind::Flag => assert!(matches!(cell.as_str(), "yes" | "no"), "{place}"),
                FieldKind::Share => assert!(Stated::<Ratio>::parse(&cell).is_ok(), "{place}"),
                FieldKind::Quantity(_) if is_torque => {
                    assert!(Extent::<Torque>::parse(&cell).is_ok(), "{place}");
                }
                FieldKind::Quantity(dimension) => {
                    let measures = |text: &str| {
                        Quantity::parse(text).is_ok_and(|found| found.dimension() == dimension)
                    };
                    let last = cell.rsplit("..").next().unwrap();
                    assert!(last.split(" +").all(|part| measures(part.trim_start_matches('+'))));
                }
                FieldKind::Text if header == "passes" => {
                    assert!(list(&cell, ',').iter().all(|p| Pass::parse(p).is_some()), "{place}");
                }
                FieldKind::Day => assert!(cell.parse::<jiff::civil::Date>().is_ok(), "{place}"),
                FieldKind::Text | FieldKind::List => {}
            }
        }
    }
}

#[test]
fn headers_are_fields_and_cells_are_readable() {
    for file in ["seed-data/charts.csv", "seed-data/demo.csv", "seed-data/shop.csv"] {
        let headers = headers(file);
        let known: HashSet<&str> = headers.iter().map(|h| field(h).unwrap().name).collect();
        assert_eq!(known.len(), headers.len(), "{file} names a field twice");
        check_cells(file, "lb-ft");
    }
}

#[test]
fn the_shop_with_mistakes_has_five_of_them() {
    let (good, bad) = (rows("seed-data/shop.csv"), rows("seed-data/shop-with-mistakes.csv"));
    assert_eq!(good.len(), bad.len());
    let mut wrong: Vec<(usize, &str, &str)> = Vec::new();
    for (number, (good, bad)) in good.iter().zip(&bad).enumerate() {
        let cells = bad.iter().filter(|(header, cell)| &good[*header] != *cell);
        wrong.extend(cells.map(|(header, cell)| (number + 2, header.as_str(), cell.as_str())));
    }
    wrong.sort_unstable();
    let expected = [
        (3, "torque (lb-ft)", "4O"),
        (6, "lube", "whale oil"),
        (7, "thread", "3/8"),
        (10, "torque (lb-ft)", "38 kN"),
        (13, "kind", "rivet"),
    ];
    assert_eq!(wrong, expected);
}

//! Import of an export is the identity, in every format; the SQL script is
//! loaded into real SQLite and real PostgreSQL; a CSV export is safe to open in
//! a spreadsheet.

use std::sync::Arc;

use crate::support::databases::{Database, Postgres, Sqlite};
use crate::support::held::Held;
use crate::support::{exported, tables_of_the_book};
use clampbook::intake::{EmptyBook, Options, Report, read_any, read_csv, take};
use clampbook::record::{Fastener, Tables};
use clampbook::report::{export_csv, export_json, export_json_lines, export_sql};

/// Cells that a spreadsheet, a quoting rule or a database could trip over.
const HARD: &str = "\
Assembly,Joint,Part,Kind,Duty,Qty,Thread,Strength,Yield,Length,Torque,Angle,Passes,Stretch,Reuse,Hole type,Source,Page,Part number,Caution,Tags,Notes,Order
Hard 1,head,\"stud, long\",stud,engine,8,7/16-14 x 7/16-20,,180 ksi,3-1/2 in,88 lb-ft dry 66 lb-ft moly,,,,up to 5 cycles,blind,\"Sheet \"\"H7\"\"\",3-12,007,\"Keep wet, and cold; It's \\n hot\",\"outer, blue\",=1+1,1-3-2
Hard 1,rod,bolt,bolt,,12,3/8-24,,,,max 45 lb-ft,,\"20 lb-ft, 40 lb-ft\",.0055-.0060,until free length 2.003 in,,from memory,,12E5,,,\"O'Neil's \\ note; drop table setting;--\",
Hard 1,main,bolt,bolt,,10,M8,10.9,,80 mm,22 Nm,+90° +1/4 turn,,,single-use,thru to oil,,,,,,\"two
lines\",\"centre out\"
Hard 1,flange,nut,nut,pressure,,M10x1.25 LH,,,,70 ±5 Nm,,,,,wet to coolant,,,1-2,,,— Größe ½ – μ,
Hard 1,cover,screw,screw,,,10-24,,,,25 lb-in,,,,,,Card 4,7/16,,,,'quoted,
";

fn read(bytes: &[u8], name: &str, tables: &Tables) -> Report {
    let sheet = read_any(bytes, name, &Options::default()).expect("a readable file");
    let report = take(&sheet, tables, &Options::default(), &EmptyBook).expect("usable columns");
    let bad: Vec<_> = report.bad_cells().collect();
    assert!(bad.is_empty(), "{name}: {bad:#?}");
    report
}

/// The demo shop, the charts, and the hard cells.
fn book(tables: &Tables) -> Vec<Arc<Fastener>> {
    let files: [&[u8]; 3] = [
        include_bytes!("../../seed-data/demo.csv"),
        include_bytes!("../../seed-data/charts.csv"),
        HARD.as_bytes(),
    ];
    files.iter().flat_map(|file| read(file, "shop.csv", tables).fasteners).map(Arc::new).collect()
}

/// What `bytes` say is the book, cell for cell and list for list, and importing
/// them into it changes nothing.
fn assert_identity(bytes: &[u8], name: &str, book: &[Arc<Fastener>], tables: &Tables) {
    let again = read(bytes, name, tables).fasteners;
    assert_eq!(again.len(), book.len(), "{name}");
    for (one, two) in book.iter().zip(&again) {
        assert!(**one == *two, "{name}: {}", first_difference(one, two));
    }
    let sheet = read_any(bytes, name, &Options::default()).unwrap();
    let held = Held::new(book.to_vec());
    let report = take(&sheet, tables, &Options::default(), &held).unwrap();
    let odd: Vec<_> = report.verdicts.iter().filter(|cell| cell.read_as.is_some()).collect();
    assert!(odd.is_empty(), "{name}: a cell of an export needs no word: {odd:#?}");
    let changes = report.changes;
    assert_eq!((changes.added, changes.changed, changes.beside), (0, 0, 0), "{name}");
    assert!(report.fasteners.is_empty(), "{name}");
}

fn first_difference(one: &Fastener, two: &Fastener) -> String {
    let (one, two) = (format!("{one:?}"), format!("{two:?}"));
    let at = one.bytes().zip(two.bytes()).take_while(|(a, b)| a == b).count();
    let around = |text: &str| {
        let from = at.saturating_sub(60);
        text.chars().skip(from).take(140).collect::<String>()
    };
    format!("{}\n{}", around(&one), around(&two))
}

#[test]
fn import_of_an_export_is_the_identity_in_every_text_format() {
    let tables = tables_of_the_book();
    let book = book(tables);
    assert_eq!(book.len(), 272 + 5);
    assert_identity(exported(export_csv, &book).as_bytes(), "export.csv", &book, tables);
    assert_identity(exported(export_json, &book).as_bytes(), "export.json", &book, tables);
    assert_identity(exported(export_json_lines, &book).as_bytes(), "export.jsonl", &book, tables);
}

#[test]
#[cfg(feature = "spreadsheet")]
fn import_of_an_exported_workbook_is_the_identity() {
    use calamine::{Data, Reader};
    let tables = tables_of_the_book();
    let book = book(tables);
    let mut bytes = Vec::new();
    clampbook::report::export_workbook(&book, &mut bytes).expect("a workbook");
    assert_identity(&bytes, "export.xlsx", &book, tables);
    // No cell is a formula, a date or an error: text, and counts.
    let mut workbook: calamine::Xlsx<_> =
        calamine::Xlsx::new(std::io::Cursor::new(bytes)).expect("readable");
    assert!(workbook.worksheet_formula("fasteners").unwrap().is_empty());
    let range = workbook.worksheet_range("fasteners").unwrap();
    for (row, column, cell) in range.used_cells() {
        assert!(matches!(cell, Data::String(_) | Data::Float(_)), "{row} {column}: {cell:?}");
    }
    let texts: Vec<String> = range.used_cells().map(|(_, _, cell)| cell.to_string()).collect();
    for text in ["=1+1", "7/16", "007", "1-3-2", "3-12"] {
        assert!(texts.iter().any(|cell| cell == text), "{text} as written");
    }
}

#[test]
fn an_exported_csv_is_safe_to_open_in_a_spreadsheet() {
    let tables = tables_of_the_book();
    let text = exported(export_csv, &book(tables));
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    let mut seen = Vec::new();
    for record in reader.records() {
        for cell in &record.unwrap() {
            let first = cell.chars().next().unwrap_or(' ');
            assert!(!"=+-@\t\r".contains(first), "runs as a formula: {cell}");
            assert!(!looks_like_a_date(cell), "becomes a date: {cell}");
            seen.push(cell.to_owned());
        }
    }
    for cell in
        ["'=1+1", "'7/16", "'3-12", "'1-3-2", "'007", "'12E5", "'10.9", "7/16-20 UNF", "10-24 UNC"]
    {
        assert!(seen.iter().any(|one| one == cell), "{cell}");
    }
}

/// Written apart from the program's own rule: figures of at most two digits
/// with one or two strokes or hyphens between them.
fn looks_like_a_date(cell: &str) -> bool {
    let strokes = cell.chars().filter(|c| "-/".contains(*c)).count();
    let rest = cell.split(['-', '/']).all(|one| {
        let one = one.trim();
        !one.is_empty() && one.len() <= 2 && one.chars().all(|c| c.is_ascii_digit())
    });
    (1..=2).contains(&strokes) && rest || is_day_and_month(cell)
}

/// 10.9 where dates are written with dots: a day of 1 to 31 and a month.
fn is_day_and_month(cell: &str) -> bool {
    let parts = cell.split_once('.').map(|(day, month)| (day.parse::<u8>(), month.parse::<u8>()));
    matches!(parts, Some((Ok(1..=31), Ok(1..=12))))
}

#[test]
fn a_script_loads_into_sqlite() {
    let tables = tables_of_the_book();
    let book = book(tables);
    let script = exported(|book, to| export_sql(book, tables, to), &book);
    if let Some(database) = Sqlite::loaded(&script) {
        assert_database(&database, &book, tables);
    }
}

#[test]
fn a_script_loads_into_postgresql() {
    let tables = tables_of_the_book();
    let book = book(tables);
    let script = exported(|book, to| export_sql(book, tables, to), &book);
    if let Some(database) = Postgres::loaded(&script) {
        assert_database(&database, &book, tables);
    }
}

/// Records of a CSV answer, without its header.
fn records(text: &str) -> Vec<Vec<String>> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let records = reader.records().map(|record| record.expect("a record"));
    records.map(|record| record.iter().map(str::to_owned).collect()).collect()
}

/// What the database gives back is the book: its view imported, its counts, its
/// figures in SI, its lists, its texts to the letter.
fn assert_database(database: &dyn Database, book: &[Arc<Fastener>], tables: &Tables) {
    let sheet = database.csv("select * from sheet");
    let report = take(
        &read_csv(sheet.as_bytes(), "sheet.csv").unwrap(),
        tables,
        &Options::default(),
        &EmptyBook,
    );
    let report = report.expect("usable columns");
    assert!(report.is_sound(), "{:#?}", report.bad_cells().collect::<Vec<_>>());
    for (one, two) in book.iter().zip(&report.fasteners) {
        assert!(**one == *two, "{}", first_difference(one, two));
    }
    counts(database, book, tables);
    figures(database, book);
    lists(database, book);
    let notes = records(&database.csv("select key, notes from fastener order by number"));
    let wanted: Vec<Vec<String>> = book
        .iter()
        .map(|one| vec![one.key.clone(), one.notes.clone().unwrap_or_default()])
        .collect();
    assert_eq!(notes, wanted);
    let lubes = records(&database.csv("select name, source from lube order by name"));
    let mut wanted: Vec<Vec<String>> = tables
        .lubes
        .iter()
        .map(|lube| vec![lube.name.clone(), lube.source.clone().unwrap_or_default()])
        .collect();
    wanted.sort();
    let mut lubes = lubes;
    lubes.sort();
    assert_eq!(lubes, wanted);
}

fn counts(database: &dyn Database, book: &[Arc<Fastener>], tables: &Tables) {
    let count = |table: &str| -> usize {
        let text = database.csv(&format!("select count(*) as n from {table}"));
        records(&text)[0][0].parse().unwrap()
    };
    let settings = || book.iter().flat_map(|one| &one.settings);
    let mut joints: Vec<(&str, &str)> =
        book.iter().map(|one| (one.joint.assembly.as_str(), one.joint.name.as_str())).collect();
    joints.sort_unstable();
    joints.dedup();
    let wanted = [
        ("fastener", book.len()),
        ("setting", settings().count()),
        ("joint", joints.len()),
        ("setting_pass", settings().map(|one| one.passes.len()).sum()),
        ("setting_angle", settings().map(|one| one.angles.len()).sum()),
        ("setting_caution", settings().map(|one| one.warnings.len()).sum()),
        ("fastener_tag", book.iter().map(|one| one.tags.len()).sum()),
        ("lube", tables.lubes.len()),
        ("lube_alias", tables.lubes.iter().map(|one| one.aliases.len()).sum()),
        ("strength", tables.strengths.len()),
        ("strength_size", tables.strengths.iter().map(|one| one.rows.len()).sum()),
    ];
    for (table, wanted) in wanted {
        assert!(wanted > 0, "{table} is tested with something in it");
        assert_eq!(count(table), wanted, "{table}");
    }
}

fn figures(database: &dyn Database, book: &[Arc<Fastener>]) {
    let question = "select s.torque_nm, s.torque_max_nm from fastener f \
        join setting s on s.fastener_key = f.key order by f.number, s.number";
    let rows = records(&database.csv(question));
    let settings = book.iter().flat_map(|one| &one.settings);
    for (row, setting) in rows.iter().zip(settings) {
        let torque = setting.torque;
        let wanted = [
            torque.and_then(clampbook::quantity::Extent::low).map(clampbook::quantity::Torque::nm),
            torque.map(|torque| torque.high().nm()),
        ];
        for (cell, wanted) in row.iter().zip(wanted) {
            let cell: Option<f64> = (!cell.is_empty()).then(|| cell.parse().unwrap());
            let near = match (cell, wanted) {
                // Sixteen digits of a double are printed by neither program.
                (Some(cell), Some(wanted)) => (cell - wanted).abs() <= 1e-12 * wanted.abs(),
                (cell, wanted) => cell == wanted,
            };
            assert!(near, "{cell:?} {wanted:?}");
        }
    }
}

fn lists(database: &dyn Database, book: &[Arc<Fastener>]) {
    let question = "select c.caution from fastener f join setting s on s.fastener_key = f.key \
        join setting_caution c on c.setting_key = s.key order by f.number, s.number, c.number";
    let cautions: Vec<String> =
        records(&database.csv(question)).into_iter().map(|mut row| row.remove(0)).collect();
    let wanted: Vec<String> = book
        .iter()
        .flat_map(|one| &one.settings)
        .flat_map(|setting| setting.warnings.clone())
        .collect();
    assert_eq!(cautions, wanted);
}

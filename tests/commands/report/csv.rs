//! CSV: answers, and an export that import reads back without a change.

use std::sync::Arc;

use crate::answers::{front_bolt, head_answer, listed, short_bolt, stud, tables};
use crate::held::Held;
use clampbook::correction::{Comparisons, stored_rows};
use clampbook::intake::{Options, read_csv, take};
use clampbook::quantity::{Extent, Stated};
use clampbook::query::run::UnitsWanted;
use clampbook::query::run::{Answer, Column};
use clampbook::record::{
    Bearing, Bottom, Fastener, Joint, Method, Prevailing, Reuse, Setting, find_field,
};
use clampbook::report::{self, Format, LubesWish, find_page, lubes_page, rendered};

fn export_csv(fasteners: &[Arc<Fastener>]) -> String {
    let mut bytes = Vec::new();
    report::export_csv(fasteners, &mut bytes).unwrap();
    String::from_utf8(bytes).unwrap()
}

fn find_csv(answer: &Answer) -> String {
    rendered(&find_page(answer, None), Format::Csv, 80)
}

fn records(text: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect()
}

fn cell<'a>(records: &'a [Vec<String>], row: usize, header: &str) -> &'a str {
    let column = records[0].iter().position(|name| name == header);
    &records[row][column.unwrap_or_else(|| panic!("no column {header}"))]
}

/// Everything that import would change of `fasteners` if their own export were
/// imported.
fn changed_by_own_export(fasteners: &[Arc<Fastener>]) -> Vec<String> {
    let text = export_csv(fasteners);
    let sheet = read_csv(text.as_bytes(), "export.csv").unwrap();
    let held = Held::new(fasteners.iter().cloned());
    let report = take(&sheet, &tables(), &Options::default(), &held).unwrap();
    let settings: usize = fasteners.iter().map(|fastener| fastener.settings.len()).sum();
    assert_eq!(report.changes.unchanged, settings, "every setting was read back");
    let cells = report.verdicts.iter().filter(|cell| cell.verdict.is_bad());
    let mut found: Vec<String> = cells
        .map(|cell| format!("{} {}: {}", cell.place.address(), cell.raw, cell.reason))
        .collect();
    found.extend(report.settings.iter().map(|s| format!("{}: {:?}", s.name, s.change)));
    found.extend(report.fasteners.iter().map(|fastener| {
        let own = fasteners.iter().find(|own| own.key == fastener.key);
        format!("{fastener:?}\nwas {own:?}")
    }));
    found
}

#[test]
fn importing_an_export_changes_nothing() {
    let all = [stud(), short_bolt(), front_bolt()];
    let changed = changed_by_own_export(&all);
    assert!(changed.is_empty(), "{}", changed.join("\n"));
}

/// A fastener with nearly every field stated, cells that a spreadsheet would
/// run among them.
#[test]
fn importing_an_export_of_a_full_fastener_changes_nothing() {
    let mut bolt = Fastener::new(Joint::named("Dunlin, \"pump\"", "cover"), "bolt; long");
    bolt.joint.gasket = Some("=paper, dry".to_owned());
    bolt.joint.machining = Some("-none".to_owned());
    bolt.joint.place = Some(3);
    bolt.thread = Some(clampbook::thread::Thread::parse("M10x1.25 LH").unwrap());
    bolt.waist = Stated::parse("8.5 mm").ok();
    bolt.length = Stated::parse("3-1/2 in").ok();
    bolt.bearing = Some(Bearing {
        outer: Stated::parse("17.5 mm").unwrap(),
        hole: Stated::parse("11 mm").unwrap(),
    });
    bolt.bottom = Some(Bottom::Through);
    bolt.insert = Some(false);
    bolt.reuse = Some(Reuse::UpTo(5));
    bolt.prevailing = Stated::parse("12 lb-in").ok();
    bolt.prevailing_rule = Some(Prevailing::ToAdd);
    bolt.part_number = Some("+12-34".to_owned());
    bolt.notes = Some("@shop: 'two' lines\nand \"quotes\"".to_owned());
    bolt.tags = vec!["a".to_owned(), "b c".to_owned()];
    let mut first = listed("oil", "65..70 lb-ft");
    first.face_lube = Some("moly".to_owned());
    first.tolerance = Stated::parse("5 %").ok();
    first.this_lube_only = true;
    first.warnings = vec!["cold only".to_owned(), "new washers".to_owned()];
    first.source.date = Some(jiff::civil::date(2024, 2, 29));
    let mut stretch = Setting::new(Method::Stretch, clampbook::record::Basis::Shop);
    stretch.stretch = Extent::parse("0.0055..0.0060 in").ok();
    stretch.lube = Some("oil".to_owned());
    bolt.settings = vec![first, listed("oil", "max 9 N·m"), stretch];
    let changed = changed_by_own_export(&[Arc::new(bolt)]);
    assert!(changed.is_empty(), "{}", changed.join("\n"));
}

#[test]
fn the_export_has_a_column_for_every_stored_field() {
    let text = export_csv(&[stud(), front_bolt()]);
    let rows = records(&text);
    let stored = clampbook::record::stored_fields().map(clampbook::record::Field::heading);
    assert_eq!(rows[0], stored.collect::<Vec<_>>());
    assert_eq!(rows.len(), 4);
    assert_eq!(cell(&rows, 1, "Source"), "Marlow 6 head set sheet");
    assert_eq!(cell(&rows, 1, "Page"), "1");
    assert_eq!(cell(&rows, 1, "Passes"), "20 lb-ft, 36 lb-ft, 52 lb-ft, 66 lb-ft");
    assert_eq!(cell(&rows, 3, "Angle"), "'+90° +90°", "no formula for a spreadsheet");
}

#[test]
fn an_answer_has_the_keys_of_its_json() {
    let rows = records(&find_csv(&head_answer()));
    assert_eq!(rows.len(), 6);
    // The order of the table, which is that of an export.
    assert_eq!(rows[0][..7], ["key", "assembly", "joint", "part", "kind", "count", "thread"]);
    assert_eq!(cell(&rows, 1, "torque"), "66 lb-ft");
    assert_eq!(cell(&rows, 1, "strength"), "", "nothing for not stated");
    assert_eq!(cell(&rows, 4, "from_lube"), "dry");
    assert_eq!(cell(&rows, 3, "refused"), "wet to dry is never converted");
    let none = records(&find_csv(&Answer::default()));
    assert_eq!(none.len(), 1, "a header even without rows");
}

#[test]
fn a_torque_column_brings_its_lube_and_basis() {
    let mut answer = head_answer();
    let field = find_field("torque").unwrap();
    let values = answer.rows.iter().map(|row| field.get(row).into_owned()).collect();
    answer.columns.push(Column { heading: "torque".to_owned(), field: Some(field), values });
    let rows = records(&find_csv(&answer));
    assert_eq!(rows[0], ["torque_nm", "lube", "basis", "torque"]);
    assert_eq!(rows[5][1..], ["oil", "listed", "22 lb-ft +90° +90°"]);
}

#[test]
fn lubes_as_rows() {
    let stud = stud();
    let (tables, all) = (tables(), (0..stud.settings.len()).collect::<Vec<_>>());
    let rows = stored_rows(&stud, &all, &tables);
    let all = Comparisons::new(&rows, &tables);
    let page = lubes_page(all, &UnitsWanted::AsWritten, LubesWish::Plain);
    let rows = records(&rendered(&page, Format::Csv, 80));
    assert_eq!(rows[0][0], "block");
    assert_eq!(rows.iter().filter(|row| row[0] == "rows").count(), 5);
    assert_eq!(
        rows.iter().filter(|row| row[0] == "wrong_lube").count(),
        all.each().map(|one| one.wrong.len()).sum::<usize>()
    );
    assert_eq!(cell(&rows, 3, "lube"), "anti-seize");
}

//! What an export writes, an import reads back as it was.

use std::sync::Arc;

use crate::support::taken;
use clampbook::intake::{EmptyBook, Held, Options, read_csv, reference, take};
use clampbook::record::{Fastener, Tables};
use clampbook::report::export_csv;

/// What an export writes.
fn exported(
    export: fn(&[Arc<Fastener>], &mut dyn std::io::Write) -> std::io::Result<()>,
    fasteners: &[Arc<Fastener>],
) -> String {
    let mut bytes = Vec::new();
    export(fasteners, &mut bytes).unwrap();
    String::from_utf8(bytes).unwrap()
}

fn seed_tables() -> Tables {
    let lubes = include_bytes!("../../seed-data/lubes.csv");
    let strengths = include_bytes!("../../seed-data/strengths.csv");
    Tables {
        lubes: reference::read_lubes(lubes, "lubes.csv").expect("lubes").records,
        strengths: reference::read_strengths(strengths, "strengths.csv")
            .expect("strengths")
            .records,
    }
}

fn read(text: &[u8], tables: &Tables) -> Vec<Fastener> {
    let sheet = read_csv(text, "export.csv").expect("a readable file");
    let report = take(&sheet, tables, &Options::default(), &EmptyBook).expect("usable columns");
    let bad: Vec<_> = report.bad_cells().collect();
    assert!(bad.is_empty(), "{bad:#?}");
    report.fasteners
}

/// Every file of seed-data, exported and read again, is the same.
#[test]
fn seed_data_comes_back_as_it_was() {
    let tables = seed_tables();
    let files: [&[u8]; 2] =
        [include_bytes!("../../seed-data/demo.csv"), include_bytes!("../../seed-data/charts.csv")];
    for file in files {
        let first = read(file, &tables);
        let shared: Vec<Arc<Fastener>> = first.iter().cloned().map(Arc::new).collect();
        let text = exported(export_csv, &shared);
        let second = read(text.as_bytes(), &tables);
        assert_eq!(first.len(), second.len());
        for (one, two) in first.iter().zip(&second) {
            assert_eq!(one, two);
        }
        let sheet = read_csv(text.as_bytes(), "export.csv").expect("readable");
        let report = take(&sheet, &tables, &Options::default(), &Held::of(shared)).expect("usable");
        assert_eq!(
            (report.changes.added, report.changes.changed, report.fasteners.len()),
            (0, 0, 0)
        );
        let odd: Vec<_> = report.verdicts.iter().filter(|cell| cell.read_as.is_some()).collect();
        assert!(odd.is_empty(), "a cell of an export needs no word: {odd:#?}");
    }
}

/// A file with hard cells in most columns, read, exported, read again.
#[test]
fn hard_cells_come_back_as_they_were() {
    let text = "\
Assembly,Joint,Part,Kind,Duty,Qty,Thread,Strength,Yield,Length,Torque,Angle,Passes,Stretch,Reuse,Hole type,Source,Caution,Tags,Notes,Colour
Marlow 6,head,\"stud, long\",stud,engine,8,7/16-14 x 7/16-20,,180 ksi,3-1/2 in,88 lb-ft dry 66 lb-ft moly,,,,up to 5 cycles,blind,Sheet H7 rev C p. 12,Keep wet; Cold only,\"outer, blue\",=1+1,green
Marlow 6,rod,bolt,bolt,,12,3/8-24,,,,max 45 lb-ft,,\"20 lb-ft, 40 lb-ft\",.0055-.0060,until free length 2.003 in,,from memory,,,'quoted,
Marlow 6,main,bolt,bolt,,10,M8,10.9,,80 mm,22 Nm,+90° +1/4 turn,,,single-use,thru to oil,,,,\"two
lines\",
Tern 40,flange,nut,nut,pressure,,M10x1.25 LH,,,,70 ±5 Nm,,,,,wet to coolant,,,,-,
";
    let report = taken(text, &Options::default());
    let first = report
        .accepted()
        .unwrap_or_else(|| panic!("{:#?}", report.bad_cells().collect::<Vec<_>>()));
    let shared: Vec<Arc<Fastener>> = first.iter().cloned().map(Arc::new).collect();
    let export = exported(export_csv, &shared);
    let second = taken(&export, &Options::default());
    let second = second
        .accepted()
        .unwrap_or_else(|| panic!("{:#?}", second.bad_cells().collect::<Vec<_>>()));
    for (one, two) in first.iter().zip(second) {
        assert_eq!(one, two, "{export}");
    }
}

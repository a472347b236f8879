//! XLSX and ODS workbooks, and a messy one of a whole shop.

#![cfg(feature = "spreadsheet")]

use crate::support::held::Accepted as _;
use crate::support::workbook::{Cell, Sheet, ods, ods_row, packed, xlsx};
use crate::support::{field, tables, tightening};
use clampbook::intake::{EmptyBook, IntakeError, Options, Report, read_any, read_workbook, take};

use Cell::{Day, Error, Formula, None, Number, Shown, Text};

fn sheet(rows: Vec<Vec<Cell>>) -> Sheet {
    let (merged, hidden, hidden_columns) = Default::default();
    Sheet { name: "Heads", visible: true, rows, merged, hidden, hidden_columns }
}

fn taken(bytes: &[u8]) -> Report {
    let sheet = read_any(bytes, "shop.xlsx", &Options::default()).expect("a readable workbook");
    take(&sheet, &tables(), &Options::default(), &EmptyBook).expect("usable columns")
}

#[test]
fn a_sheet_with_titles_merged_cells_and_numbers() {
    let mut heads = sheet(vec![
        vec![Text("Torque book"), None, None],
        vec![],
        vec![
            Text("Assembly"),
            Text("Joint"),
            Text("Part"),
            Text("Qty"),
            Text("Thread"),
            Text("Torque (lb-ft)"),
            Text("Source date"),
        ],
        vec![
            Text("Marlow 6"),
            Text("head"),
            Text("bolt A"),
            Number(10.0),
            Text("7/16-20"),
            Number(70.5),
            Day(45489),
        ],
        vec![None, None, Text("bolt B"), Number(4.0), Text("3/8-16"), Number(0.1 + 0.2), None],
        vec![Text("Total"), None, None, None, None, None, None],
    ]);
    heads.merged = vec!["A1:C1", "A4:A5", "B4:B5"];
    let hidden = Sheet {
        name: "Old",
        visible: false,
        rows: heads.rows.clone(),
        merged: vec![],
        hidden: vec![],
        hidden_columns: vec![],
    };
    let report = taken(&xlsx(&[heads, hidden]));
    assert_eq!((report.header_line, report.rows), (3, 2));
    assert_eq!(report.remarks, [(6, "Total".to_owned())]);
    let all = report.accepted().expect("sound");
    assert_eq!(field(&all[0], 0, "torque"), "70.5 lb-ft");
    assert_eq!(field(&all[0], 0, "source-date"), "2024-07-16");
    assert_eq!(all[1].joint.name, "head", "merged downwards");
    assert_eq!(field(&all[1], 0, "torque"), "0.3 lb-ft", "without the noise of the last bits");
}

#[test]
fn what_a_spreadsheet_has_changed_or_lost_is_refused() {
    let rows = vec![
        vec![Text("Assembly"), Text("Joint"), Text("Part"), Text("Thread"), Text("Torque")],
        vec![Text("M"), Text("head"), Text("a"), Day(45489), Text("70 lb-ft")],
        vec![Text("M"), Text("head"), Text("b"), Number(45489.0), Text("70 lb-ft")],
        vec![Text("M"), Text("head"), Text("c"), Text("M8x1.25"), Formula("B2*1.356")],
        vec![Text("M"), Text("head"), Text("d"), Text("M8x1.25"), Error("#REF!")],
        vec![Text("M"), Text("head"), Text("e"), Text("M8x1.25"), Number(70.0)],
        vec![Text("M"), Text("head"), Text("f"), Number(0.4375), Text("70 lb-ft")],
    ];
    let report = taken(&xlsx(&[sheet(rows)]));
    let bad: Vec<_> = report.bad_cells().map(|cell| (cell.place.address(), cell.code)).collect();
    let wanted = [
        ("D2", "turned-into-date"),
        ("D3", "turned-into-date"),
        ("E4", "formula"),
        ("E5", "formula"),
        ("E6", "no-unit"),
        ("D7", "pitch"),
    ];
    assert_eq!(bad, wanted.map(|(at, code)| (at.to_owned(), code)));
}

#[test]
fn several_sheets_of_one_shape_are_taken_together() {
    let rows = || {
        vec![
            vec![Text("Assembly"), Text("Joint"), Text("Part")],
            vec![Text("Marlow 6"), Text("head"), Text("bolt")],
        ]
    };
    let mains = Sheet { name: "Main caps", ..sheet(rows()) };
    let notes = Sheet { name: "Notes", ..sheet(vec![vec![Text("nothing here")]]) };
    let book = xlsx(&[sheet(rows()), mains, notes]);
    let both = read_workbook(&book, "shop.xlsx", Option::None).expect("all sheets");
    let report = take(&both, &tables(), &Options::default(), &EmptyBook).expect("usable columns");
    assert_eq!((report.rows, report.table_count), (2, 2));
    let lost = report.conclusions.iter().find(|one| one.text.contains("Notes")).expect("said");
    assert!(lost.text.contains("not taken without headings: 1 row"), "{}", lost.text);
    let one = read_workbook(&book, "shop.xlsx", Some("main CAPS")).expect("that sheet");
    let report = take(&one, &tables(), &Options::default(), &EmptyBook).expect("usable columns");
    assert_eq!((report.rows, &*report.file), (1, "shop.xlsx/Main caps"));
    let error = read_workbook(&book, "shop.xlsx", Some("Rods")).unwrap_err().to_string();
    assert!(error.contains("no sheet `Rods`") && error.contains("Main caps"), "{error}");
}

#[test]
fn ods_is_read_too() {
    let rows = ods_row(&["Shop list"], 1)
        + &ods_row(&["Assembly", "Joint", "Part", "Thread", "Torque"], 1)
        + &ods_row(&["Marlow 6", "head", "bolt A", "7/16-20", "70 lb-ft"], 1)
        + &ods_row(&[], 1_000_000);
    let report = taken(&ods("Heads", &rows));
    let all = report.accepted().expect("sound");
    assert_eq!(tightening(&all[0]), "torque | torque 70 lb-ft");
    assert_eq!(report.header_line, 2);
}

/// What a person sees is `30 Nm`, wherever its unit is kept; common practice, no source.
#[test]
fn a_unit_in_the_number_format_is_that_of_the_cell() {
    let heads = ["Machine", "Joint", "Bolt", "Stage 1", "Stage 2", "Stage 3"];
    let rows = vec![
        heads.iter().map(|text| Text(text)).collect(),
        vec![
            Text("Quarrow 22"),
            Text("Cap"),
            Text("M12x1.5"),
            Shown(30.0, 2),
            Shown(60.0, 2),
            Shown(90.0, 3),
        ],
        vec![Text("Quarrow 22"), Text("Lid"), Text("M8x1.25"), Shown(0.5, 4), Shown(25.0, 2), None],
    ];
    let of = |report: &Report| -> Vec<String> {
        report.accepted().expect("sound").iter().map(tightening).collect()
    };
    let wanted = [
        "torque then angle | snug 60 N·m | angle +90° | passes 30 N·m, 60 N·m, +90°",
        "torque | torque 25 N·m | passes 50%, 25 N·m",
    ];
    let report = taken(&xlsx(&[sheet(rows)]));
    assert_eq!(of(&report), wanted);
    let cell = |number: &str, shown: &str, kind: &str| {
        format!(
            r#"<table:table-cell office:value-type="{kind}" office:value="{number}"><text:p>{shown}</text:p></table:table-cell>"#
        )
    };
    let row = |names: &[&'static str], cells: &[String]| {
        ods_row(names, 1)
            .replace("</table:table-row>", &format!("{}</table:table-row>", cells.concat()))
    };
    let (nm, turn) = (|n: &str| cell(n, &format!("{n} Nm"), "float"), cell("90", "90°", "float"));
    let rows = ods_row(&heads, 1)
        + &row(&["Quarrow 22", "Cap", "M12x1.5"], &[nm("30"), nm("60"), turn])
        + &row(&["Quarrow 22", "Lid", "M8x1.25"], &[cell("0.5", "50 %", "percentage"), nm("25")]);
    assert_eq!(of(&taken(&ods("Heads", &rows))), wanted);
}

#[test]
fn bombs_and_broken_workbooks_are_refused() {
    let error = |bytes: &[u8]| match read_any(bytes, "shop.xlsx", &Options::default()) {
        Err(error @ IntakeError::Notation { .. }) => error.to_string(),
        other => panic!("{other:?}"),
    };
    let repeated = ods_row(&["Assembly", "Joint", "Part"], 1)
        + &ods_row(&["a", "b", "c"], 1_048_576).repeat(3);
    assert!(error(&ods("Heads", &repeated)).contains("repeated cells"));
    // Blanks pack a thousand to one.
    let bomb = packed(&[("xl/workbook.xml", &" ".repeat(12 * 1024 * 1024))]);
    assert!(bomb.len() < 40_000);
    assert!(error(&bomb).contains("more than 250 times its size"));
    assert!(error(&packed(&[("readme.txt", "hello")])).contains("neither XLSX nor ODS"));
    assert!(error(b"PK\x03\x04 and no more").contains("cannot be unpacked"));
    assert!(error(b"\xd0\xcf\x11\xe0 old").contains("old binary workbook"));
    let good = xlsx(&[sheet(vec![vec![Text("Assembly"), Text("Joint"), Text("Part")]])]);
    for cut in [30, good.len() / 2, good.len() - 10] {
        assert!(read_any(&good[..cut], "shop.xlsx", &Options::default()).is_err());
    }
}

/// A cell of the messy workbook: its column, what stands in it, and the code
/// of the verdict that is expected; no code for a cell taken without a word.
type Messy = (&'static str, Cell, &'static str);

/// An openly invented shop's sheet. The cells are of the kinds met in shops;
/// common practice, no published source.
#[rustfmt::skip]
fn messy() -> Vec<Messy> {
    vec![
        ("Torque (lb-ft)", Number(70.0), ""), ("Torque (lb-ft)", Text("70 ft lbs"), ""),
        ("Torque (lb-ft)", Text("70#"), "no-lever"), ("Torque (lb-ft)", Text("8.5 mkg"), "other-unit"),
        ("Torque (lb-ft)", Text("95 Nm +90°"), "other-unit"), ("Torque (lb-ft)", Text("24-48-72"), "passes"),
        ("Torque (lb-ft)", Text("1st 30 2nd 60 3rd +90deg"), "reuse-unknown"), ("Torque (lb-ft)", Text("65/70"), "several-figures"),
        ("Torque (lb-ft)", Text("snug + 1/4 turn"), "no-snug"), ("Torque (lb-ft)", Text("TTY – replace"), "incomplete"),
        ("Torque (lb-ft)", Text("65-70"), ""), ("Torque (lb-ft)", Text("70-65"), "swapped"),
        ("Torque (lb-ft)", Text("240 in"), "missing-pound"), ("Torque (lb-ft)", Text("18\"lbs"), "other-unit"),
        ("Torque (lb-ft)", Text("70 dry 52 lubed"), ""), ("Torque (lb-ft)", Text("45 then 90"), "added-figure"), ("Torque (lb-ft)", Text("70 dry 52 moly"), ""),
        ("Torque (lb-ft)", Text("70*"), "footnote"), ("Torque (lb-ft)", Text("7O lb-ft"), "letter-in-number"),
        ("Torque (lb-ft)", Text("70,5"), "decimal-mark"), ("Torque (lb-ft)", Text("1,200"), "decimal-mark"),
        ("Torque (lb-ft)", Day(45424), "turned-into-date"), ("Torque (lb-ft)", Text("GT"), "not-a-figure"),
        ("Torque (lb-ft)", Text("til it squeaks"), "not-a-figure"), ("Torque (lb-ft)", Text("70 ftlb (old sheet said 75)"), "note"),
        ("Torque (lb-ft)", Text("max 9"), ""), ("Torque (lb-ft)", Text("70±5"), ""),
        ("Torque (lb-ft)", Text("70 ±5%"), ""), ("Torque (lb-ft)", Text("about 70"), "about"),
        ("Torque (lb-ft)", Text("70 kN"), "wrong-kind"), ("Torque (lb-ft)", Number(0.0), "zero"),
        ("Torque (lb-ft)", Number(-70.0), "negative"), ("Torque (lb-ft)", Text("min 70"), "minimum-only"),
        ("Torque (lb-ft)", Text("?"), "not-known"), ("Torque (lb-ft)", Text("n/a"), ""),
        ("Thread", Text("7/16 coarse"), "thread"), ("Thread", Text("M10 fine"), "pitch"),
        ("Thread", Text("M8"), "pitch-assumed"), ("Thread", Text("M11"), "pitch"),
        ("Thread", Text("3/8"), "pitch"), ("Thread", Text("7/16-14 x 7/16-20"), "stud-ends"),
        ("Thread", Text(".4375-20"), "thread"), ("Thread", Day(45489), "turned-into-date"),
        ("Thread", Text("M10×1.5"), ""), ("Thread", Text("M10x1.5x80"), "thread-length"),
        ("Thread", Text("bolt"), "thread"), ("Thread", Number(0.4375), "pitch"),
        ("Lube", Text("Moly Paste"), ""), ("Lube", Text("moly/oil"), "two-lubes"),
        ("Lube", Text("molly"), "unknown-lube"), ("Lube", Text("red"), "colour"),
        ("Lube", Text("wet"), "unnamed-lube"), ("Lube", Text("moly threads, oil under head"), ""),
        ("Strength", Number(10.9), ""), ("Strength", Text("Gr. 8"), ""),
        ("Strength", Number(8.0), "unknown-strength"), ("Strength", Day(45545), "turned-into-date"),
        ("Strength", Text("180 ksi"), "which-strength"), ("Strength", Text("best there is"), "unknown-strength"),
        ("Yield", Number(180.0), "no-unit"), ("Yield", Text("180 ksi"), ""),
        ("Yield", Text("1241 MPa"), ""), ("Passes", Text("24-48-72 lb-ft"), "last-is-torque"),
        ("Passes", Text("50%, 75%, 100%"), ""), ("Passes", Number(3.0), "how-many-passes"),
        ("Passes", Day(45424), "turned-into-date"), ("Stretch", Text(".0055-.0060"), "inch-by-form"),
        ("Stretch", Text("5.5–6.0"), "no-unit"), ("Stretch", Text("0.14 mm"), ""),
        ("Qty", Number(10.0), ""), ("Qty", Number(10.5), "count"),
        ("Qty", Text("2x5"), "count-product"), ("Qty", Text("1O"), "letter-in-number"),
        ("Kind", Text("flange bolt"), "part-word"), ("Kind", Text("blot"), "unknown-word"),
        ("Reuse", Text("up to 5 cycles"), ""), ("Reuse", Text("sometimes"), "reuse"),
        ("Hole type", Text("blind, wet to coolant"), ""), ("Hole type", Text("wet"), "wet-to-what"),
        ("Source date", Text("5/12/2024"), "day-or-month"), ("Source date", Day(45424), ""),
        ("Source date", Number(2019.0), "date-incomplete"), ("Length", Text("3-1/2"), ""),
        ("Length", Number(80.0), "no-unit"), ("Insert", Text("maybe"), "yes-or-no"),
        ("Insert", Text("yes"), ""), ("Source", Text("Sheet H7 rev C p. 12"), "source"),
        ("Torque (lb-ft)", Text("70 lb-ft ea."), ""), ("Torque (lb-ft)", Text("70† dry"), "footnote"),
        ("Torque (lb-ft)", Text("70# dry, 52# moly"), "no-lever"), ("Torque (lb-ft)", Text("40 then 60 then +90° replace"), ""),
        ("Torque (lb-ft)", Text("65 to 70"), ""), ("Torque (lb-ft)", Text("65\u{a0}–\u{a0}70"), ""),
        ("UTS [MPa]", Number(940.0), ""), ("UTS [MPa]", Text("940,5"), "decimal-mark"),
        ("Qty", Text("10 ea."), ""), ("Angle", Text("2x90°"), "no-snug"),
        ("Sequence", Text("center out"), ""), ("Sequence", Day(45424), "turned-into-date"),
        ("Sequence", Text("1,7,4,10,2,8,5,11,3,4,6,12"), "order"),
    ]
}

#[test]
fn a_messy_workbook_is_judged_cell_by_cell() {
    let cells = messy();
    assert!(cells.len() >= 80);
    let mut headings = vec!["Assembly", "Joint", "Part"];
    for (column, _, _) in &cells {
        if !headings.contains(column) {
            headings.push(column);
        }
    }
    let parts: Vec<String> = (0..cells.len()).map(|at| format!("bolt {at}")).collect();
    let mut rows: Vec<Vec<Cell>> = vec![
        vec![Text("TORQUE BOOK (invented)")],
        headings.iter().map(|heading| Text(heading)).collect(),
    ];
    for ((column, cell, _), part) in cells.iter().zip(&parts) {
        let mut row = vec![None; headings.len()];
        row[0] = Text("Marlow 6");
        row[1] = Text("head");
        row[2] = Text(Box::leak(part.clone().into_boxed_str()));
        row[headings.iter().position(|heading| heading == column).unwrap()] = cell.clone();
        rows.push(row);
    }
    // Filtered rows, a merged title, and a second sheet with a table of its own.
    let heads = Sheet { merged: vec!["A1:E1"], hidden: vec![5, 40, 80], ..sheet(rows.clone()) };
    let old = Sheet { name: "Old list", ..sheet(rows) };
    let book = xlsx(&[heads, old]);
    let all = read_any(&book, "shop.xlsx", &Options::default()).expect("all sheets");
    let unsaid = take(&all, &tables(), &Options::default(), &EmptyBook).expect("usable columns");
    let old = unsaid.conclusions.iter().find(|one| one.text.contains("Old list")).expect("said");
    assert!(old.text.contains("--sheet"), "{}", old.text);
    assert_eq!(unsaid.rows, cells.len(), "a sheet that is called old is left out");
    let options = Options { sheet: Some("Heads".to_owned()), ..Options::default() };
    let said = read_any(&book, "shop.xlsx", &options).expect("that sheet");
    let report = take(&said, &tables(), &options, &EmptyBook).expect("usable columns");
    assert_eq!(report.rows, cells.len());
    let told = report.verdicts.iter().filter(|cell| cell.code == "hidden-row");
    assert_eq!(told.map(|cell| cell.place.line).collect::<Vec<_>>(), [5, 40, 80]);
    let mut wrong = Vec::new();
    for (at, (column, cell, wanted)) in cells.iter().enumerate() {
        let line = u32::try_from(at + 3).unwrap();
        let codes: Vec<&str> = report
            .verdicts
            .iter()
            .filter(|verdict| verdict.place.line == line && verdict.place.header == *column)
            // That a row without a source is the shop's own is said of each.
            .filter(|verdict| verdict.code != "basis")
            .map(|verdict| verdict.code)
            .collect();
        let fits = if wanted.is_empty() { codes.is_empty() } else { codes.contains(wanted) };
        if !fits {
            wrong.push(format!("line {line} {column} {cell:?}: wanted {wanted:?}, is {codes:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_refusals_are_whole(&report);
}

/// Every cell that was not taken names file, sheet, row, column, value, reason
/// and what to do, on the page too.
fn assert_refusals_are_whole(report: &Report) {
    use clampbook::report::{Format, Imported, import_page, rendered};
    assert_eq!(report.file, "shop.xlsx/Heads", "file and sheet");
    let page = rendered(&import_page(report, Imported::DryRun), Format::Table, 200);
    let words = page.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.starts_with("shop.xlsx/Heads"), "{page}");
    let mut kinds = std::collections::BTreeSet::new();
    for cell in report.bad_cells() {
        kinds.insert(cell.code);
        let place = &cell.place;
        assert!(place.line > 0 && place.column > 0 && !place.header.is_empty(), "{cell:?}");
        assert!(!cell.raw.is_empty() && !cell.reason.is_empty(), "{cell:?}");
        assert!(!cell.advice.is_empty(), "{cell:?}");
        assert!(words.contains(&place.address()), "{cell:?} on the page");
    }
    assert!(kinds.len() >= 25, "as many kinds as there are: {kinds:?}");
}

/// A file that cannot be taken at all says which file, where, why and what to
/// do: a sentence after the semicolon.
#[test]
fn every_refused_file_is_named_with_a_way_out() {
    let zip = packed(&[("nothing.txt", "nothing")]);
    let cases: [(&str, &[u8]); 8] = [
        ("empty", b""),
        ("zero byte", b"Assembly,Joint,Part\nA,B\0,C\n"),
        ("broken UTF-16", b"\xff\xfeA\0\x00\xd8"),
        ("open quote", b"Assembly,Joint,Part\nA,B,\"C\n"),
        ("no header", b"1,2,3\n4,5,6\n"),
        ("two columns", b"Assembly,Joint,Part,Thread,Thread\nA,B,C,M8,M8\n"),
        ("broken JSON", b"{\"assembly\": }"),
        ("no workbook", &zip),
    ];
    for (what, bytes) in cases {
        let options = Options::default();
        let taken = read_any(bytes, "shop.file", &options)
            .and_then(|sheet| take(&sheet, &tables(), &options, &EmptyBook));
        let error = taken.err().unwrap_or_else(|| panic!("{what} is refused")).to_string();
        assert!(error.starts_with("shop.file"), "{what}: {error}");
        assert!(error.contains("; "), "{what}: {error}");
    }
    let missing = clampbook::intake::open_any("/nowhere/shop.csv".as_ref(), &Options::default());
    let error = missing.unwrap_err().to_string();
    assert!(error.starts_with("/nowhere/shop.csv") && error.contains("; look at"), "{error}");
}

#[test]
fn hidden_rows_are_taken_with_a_warning() {
    let mut heads = sheet(vec![
        vec![Text("Assembly"), Text("Joint"), Text("Part")],
        vec![Text("M"), Text("head"), Text("bolt A")],
        vec![Text("M"), Text("head"), Text("bolt B")],
    ]);
    heads.hidden = vec![3];
    let plain = Sheet { name: "Notes", ..sheet(vec![vec![Text("nothing")]]) };
    let hidden = |report: &Report| {
        let rows = report.verdicts.iter().filter(|cell| cell.code == "hidden-row");
        rows.map(|cell| cell.place.line).collect::<Vec<_>>()
    };
    let report = taken(&xlsx(&[plain, heads]));
    assert_eq!((report.rows, hidden(&report)), (2, vec![3]));
    let row = ods_row(&["M", "head", "bolt A"], 1);
    let rows = ods_row(&["Assembly", "Joint", "Part"], 1)
        + &row.replace(
            "table:number-rows-repeated",
            r#"table:visibility="filter" table:number-rows-repeated"#,
        )
        + &row.replace("bolt A", "bolt B");
    let report = taken(&ods("Heads", &rows));
    assert_eq!((report.rows, hidden(&report)), (2, vec![2]));
}

/// A cell merged over rows holds for each of them, in a workbook of either kind.
#[test]
fn a_lube_merged_over_rows_is_that_of_each() {
    let heads = ["Machine", "Joint", "Thread", "Torque Nm", "Compound"];
    let first = ["Pump 1", "suction", "M16", "120", "moly"];
    let second = ["", "discharge", "M16", "110", ""];
    let third = ["", "cover", "M10", "48", ""];
    let spanned = |row: String, cell: &str, rows: u32| {
        let cell = format!(r#"office:value-type="string"><text:p>{cell}<"#);
        row.replace(&cell, &format!(r#"table:number-rows-spanned="{rows}" {cell}"#))
    };
    let rows = ods_row(&heads, 1)
        + &spanned(spanned(ods_row(&first, 1), "Pump 1", 3), "moly", 2)
        + &ods_row(&second, 1)
        + &ods_row(&third, 1);
    let cells = |row: &[&'static str]| row.iter().map(|cell| Text(cell)).collect::<Vec<_>>();
    let merged = vec!["A2:A4", "E2:E3"];
    let table = sheet([heads, first, second, third].iter().map(|row| cells(row)).collect());
    for report in [taken(&ods("Pumps", &rows)), taken(&xlsx(&[Sheet { merged, ..table }]))] {
        let all = report.accepted().expect("sound");
        let lubes: Vec<String> = all.iter().map(|one| field(one, 0, "lube")).collect();
        assert_eq!(lubes, ["moly", "moly", ""]);
        assert!(all.iter().all(|one| one.joint.assembly == "Pump 1"));
    }
}

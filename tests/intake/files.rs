//! Whole files: encodings, delimiters, titles, headings, rows that belong
//! together, and what the book already has.

use std::sync::Arc;

use crate::support::held::{Accepted as _, Held};
use crate::support::{field, tables, taken, taken_bytes, tightening};
use clampbook::intake::{
    Change, Column, EmptyBook, Encoding, IntakeError, Options, Report, read_csv, take,
};
use clampbook::quantity::{DecimalMark, find_unit};
use clampbook::record::Basis;

const SHOP: &str = "\
Assembly,Joint,Part,Kind,Qty,Thread,Strength,Lube,Torque (lb-ft),Passes,Source,Page
Marlow 6,head,\"stud, long\",stud,8,7/16-14 x 7/16-20,,moly,66,22-44-66,Sheet H7,12
Marlow 6,head,\"stud, long\",stud,8,7/16-14 x 7/16-20,,oil,82,,Sheet H7,12
Marlow 6,main cap,bolt,bolt,10,7/16-14,SAE 8,oil,65-70,,Marlow manual,4-7
";

fn plain() -> Options {
    Options::default()
}

/// Asks again with what the first report would store.
fn again(text: &str, first: &Report, options: &Options) -> Report {
    let held = Held::new(first.fasteners.iter().cloned().map(Arc::new));
    let sheet = read_csv(text.as_bytes(), "shop.csv").expect("a readable file");
    take(&sheet, &tables(), options, &held).expect("usable columns")
}

#[test]
fn rows_of_one_fastener_become_its_settings() {
    let report = taken(SHOP, &plain());
    assert!(report.is_sound(), "{:?}", report.bad_cells().collect::<Vec<_>>());
    assert_eq!((report.rows, report.changes.added, report.fasteners.len()), (3, 3, 2));
    let head = &report.fasteners[0];
    assert_eq!(head.key, "marlow-6-head-stud-long");
    assert_eq!(field(head, 0, "thread"), "7/16-20");
    assert_eq!(field(head, 0, "hole-thread"), "7/16-14");
    assert_eq!(
        tightening(head),
        "torque | lube moly | torque 66 lb-ft | passes 22 lb-ft, 44 lb-ft, 66 lb-ft // \
         torque | lube oil | torque 82 lb-ft"
    );
    assert_eq!(head.settings[0].basis, Basis::Listed);
    assert_eq!(tightening(&report.fasteners[1]), "torque | lube oil | torque 65..70 lb-ft");
}

#[test]
fn the_same_file_again_changes_nothing() {
    let options = Options { today: "2025-01-02".parse().ok(), ..plain() };
    let first = taken(SHOP, &options);
    assert_eq!(first.fasteners[0].settings[0].entered_on, options.today);
    let later = Options { today: "2025-03-04".parse().ok(), ..plain() };
    let second = again(SHOP, &first, &later);
    assert_eq!((second.changes.unchanged, second.fasteners.len()), (3, 0));
    assert!(second.settings.is_empty());
}

#[test]
fn a_changed_cell_is_a_change_and_a_new_source_stands_beside() {
    let first = taken(SHOP, &plain());
    let changed = again(
        &SHOP.replace("moly,66,", "moly,68,").replace("22-44-66", "22-44-68"),
        &first,
        &plain(),
    );
    assert_eq!((changed.changes.changed, changed.changes.unchanged), (1, 2));
    let what = &changed.settings[0];
    assert_eq!((what.line, what.change), (2, Change::Changed));
    assert_eq!(what.setting, "moly 68 lb-ft");
    assert!(what.against.as_ref().is_some_and(|old| old.starts_with("66 lb-ft")));
    assert_eq!(changed.fasteners[0].settings.len(), 2, "changed in place");

    let other = "Assembly,Joint,Part,Thread,Lube,Torque,Source,Page\n\
        marlow 6,HEAD,\"Stud,  long\",7/16-20,moly,75 lb-ft,Marlow manual,9\n";
    let beside = again(other, &first, &plain());
    assert!(beside.is_sound(), "{:?}", beside.bad_cells().collect::<Vec<_>>());
    assert_eq!(beside.changes.beside, 1);
    assert_eq!(beside.fasteners[0].settings.len(), 3, "nothing is replaced");
    assert_eq!(beside.fasteners[0].joint.assembly, "Marlow 6", "the book's spelling stays");

    let agreeing = other.replace("75 lb-ft", "89.5 N·m");
    assert_eq!(again(&agreeing, &first, &plain()).changes.added, 1, "66 lb-ft is 89.5 N·m");
}

#[test]
fn a_file_with_five_bad_cells_names_exactly_those() {
    let text = "\
Assembly,Joint,Part,Qty,Thread,Lube,Torque (lb-ft),Source,Page
Marlow 6,head,bolt A,10,7/16-14,oil,70,Sheet H7,12
Marlow 6,head,bolt B,1O,7/16-14,oil,70,Sheet H7,12
Marlow 6,head,bolt C,10,M10 fine,oil,70,Sheet H7,12
Marlow 6,head,bolt D,10,7/16-14,molly,70,Sheet H7,12
Marlow 6,head,bolt E,10,7/16-14,oil,50%,Sheet H7,12
Marlow 6,head,bolt F,10,7/16-14,oil,7O,Sheet H7,12
Marlow 6,head,bolt G,10,7/16-14,oil,70,Sheet H7,12
";
    let report = taken(text, &plain());
    let bad: Vec<(String, &str, &str, &str)> = report
        .bad_cells()
        .map(|cell| (cell.place.address(), &*cell.place.header, &*cell.raw, cell.verdict.word()))
        .collect();
    let wanted = [
        ("D3", "Qty", "1O", "refused"),
        ("E4", "Thread", "M10 fine", "question"),
        ("F5", "Lube", "molly", "question"),
        ("G6", "Torque (lb-ft)", "50%", "refused"),
        ("G7", "Torque (lb-ft)", "7O", "refused"),
    ];
    let wanted = wanted.map(|(at, header, raw, word)| (at.to_owned(), header, raw, word));
    assert_eq!(bad, wanted);
    assert!(report.accepted().is_none(), "the whole is refused");
    assert_eq!(report.counts.asked + report.counts.refused, 5);
    assert_eq!(report.bad_rows.iter().map(|row| row.line).collect::<Vec<_>>(), [3, 4, 5, 6, 7]);
    assert_eq!(report.fasteners.len(), 2, "the sound rows are ready for who asks for them");
    let molly = report.bad_cells().find(|cell| cell.raw == "molly").unwrap();
    assert!(molly.reason.contains("did you mean `moly`?"), "{}", molly.reason);
    for cell in report.bad_cells() {
        assert!(!cell.reason.is_empty() && !cell.advice.is_empty(), "{cell:?}");
    }
}

#[test]
fn encodings_are_told_apart() {
    let text = "Assembly,Joint,Part,Torque\nMärlow 6,head,bolt,95 N·m\n";
    let utf16 = |big: bool| {
        let mark = if big { vec![0xfe, 0xff] } else { vec![0xff, 0xfe] };
        let units = text
            .encode_utf16()
            .flat_map(|unit| if big { unit.to_be_bytes() } else { unit.to_le_bytes() });
        mark.into_iter().chain(units).collect::<Vec<u8>>()
    };
    let with_mark = [b"\xef\xbb\xbf", text.as_bytes()].concat();
    let windows: Vec<u8> = text.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect();
    let files = [
        (text.as_bytes().to_vec(), Encoding::Utf8),
        (with_mark, Encoding::Utf8),
        (utf16(false), Encoding::Utf16Le),
        (utf16(true), Encoding::Utf16Be),
        (windows, Encoding::Windows1252),
    ];
    for (bytes, encoding) in files {
        let report = taken_bytes(&bytes, &plain());
        assert_eq!(report.encoding, encoding);
        let fastener = &report.accepted().expect("sound")[0];
        assert_eq!(fastener.joint.assembly, "Märlow 6", "{}", encoding.name());
        assert_eq!(field(fastener, 0, "torque"), "95 N·m");
    }
}

#[test]
fn letters_of_dos_are_told_from_signs_of_windows() {
    let read = |name: &[u8]| {
        let head = b"Machine;Stelle;Gewinde;Moment (Nm)\nPresse 4;";
        let sheet = read_csv(&[head, name, b";M36x3;1200\n"].concat(), "a.csv").unwrap();
        let report = take(&sheet, &tables(), &Options::default(), &EmptyBook).unwrap();
        (report.fasteners[0].joint.name.clone(), sheet.encoding.name())
    };
    // Code page 850 and Windows-1252 as the Unicode consortium maps them.
    assert_eq!(read(b"S\x84ule"), ("Säule".to_owned(), "code page 850"));
    assert_eq!(read(b"M\x83t, \x90crou"), ("Mât, Écrou".to_owned(), "code page 850"));
    assert_eq!(read(b"Gr\x94\xe1e"), ("Größe".to_owned(), "code page 850"));
    assert_eq!(read(b"S\xe4ule"), ("Säule".to_owned(), "Windows-1252"));
    assert_eq!(read(b"niveau d\x92huile"), ("niveau d’huile".to_owned(), "Windows-1252"));
}

#[test]
fn what_is_no_text_file_is_an_error() {
    let nul = read_csv(b"Assembly,Joint\nA\0,B\n", "x.csv");
    assert!(matches!(nul, Err(IntakeError::Nul { line: 2, .. })), "{nul:?}");
    let utf16_without_mark: Vec<u8> =
        "Assembly,Joint,Part\n".bytes().flat_map(|b| [b, 0]).collect();
    assert!(matches!(read_csv(&utf16_without_mark, "x.csv"), Err(IntakeError::Nul { .. })));
    assert!(matches!(
        read_csv(b"\xff\xfeA\x00\x00\xd8", "x.csv"),
        Err(IntakeError::BrokenUtf16 { .. })
    ));
    assert!(matches!(read_csv(b" \n", "x.csv"), Err(IntakeError::Empty { .. })));
    let headless = read_csv(b"some,text\nof,no use\n", "x.csv").expect("cells, whatever they say");
    let headless = take(&headless, &tables(), &plain(), &EmptyBook);
    assert!(matches!(headless, Err(IntakeError::NoHeader { .. })));
    let open = read_csv(b"Assembly,Joint,Part\nA,B,\"C\nD,E,F\n", "x.csv");
    assert!(matches!(open, Err(IntakeError::OpenQuote { line: 2, column: 3, .. })), "{open:?}");
}

#[test]
fn delimiters_titles_and_page_headers() {
    let tabs = SHOP.replace(',', "\t").replace("\"stud\t long\"", "stud, long");
    let semicolons = SHOP.replace(',', ";").replace("\"stud; long\"", "stud, long");
    let said = format!("sep=;\n{semicolons}");
    for (text, delimiter) in [(tabs, '\t'), (semicolons, ';'), (said, ';')] {
        let report = taken(&text, &plain());
        assert_eq!(report.delimiter, Some(delimiter));
        assert_eq!(report.accepted().map(<[_]>::len), Some(2), "{text}");
    }
    let titled = format!(
        "Torque book of the shop,,,,\n\nprinted on 2024-05-12; page 1,,\n{SHOP}Total rows: 3\n\n{}",
        SHOP.lines().next().unwrap()
    );
    let report = taken(&titled, &plain());
    assert_eq!((report.header_line, report.rows), (4, 3));
    assert_eq!(report.remarks, [(8, "Total rows: 3".to_owned())]);
    assert!(report.is_sound());
}

/// A line that does not stand under the headings is named; the columns are not guessed.
#[test]
fn a_line_beside_the_columns_of_a_typed_table_is_named() {
    let text = "Joint         Thread     Torque Nm   Notes\n\
        cap           M10x1.5    45\n\
        long flange bolt  M8x1.25    22          in\n\
        cover         M6x1       9           see  card\n";
    match read_csv(text.as_bytes(), "card.txt") {
        Err(error @ IntakeError::Notation { .. }) => assert!(
            error.to_string().starts_with("card.txt, line 3: `long flange bolt  M8x1.25"),
            "{error}"
        ),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_decimal_comma_counts_only_where_the_file_says_so() {
    let text =
        "Assembly;Joint;Part;Thread;Torque [N·m];Waist\nTern 40;flange;bolt;M10x1,5;70,5;8,25 mm\n";
    let comma = Options { decimal: DecimalMark::Comma, ..plain() };
    let report = taken(text, &comma);
    let fastener = &report.accepted().expect("sound")[0];
    assert_eq!(field(fastener, 0, "torque"), "70.5 N·m");
    assert_eq!(field(fastener, 0, "waist"), "8.25 mm");
    // Where semicolons part the cells and every figure says so, it is concluded.
    let report = taken(text, &plain());
    assert_eq!(field(&report.accepted().expect("sound")[0], 0, "torque"), "70.5 N·m");
    assert!(report.conclusions.iter().any(|one| one.text.contains("after a comma")));
    // Between commas, or beside a point, it is asked.
    let commas =
        "Assembly,Joint,Part,Torque [N·m],Waist\nTern 40,flange,bolt,\"70,5\",\"8,25 mm\"\n";
    let report = taken(commas, &plain());
    let asked: Vec<&str> = report.bad_cells().map(|cell| cell.code).collect();
    assert_eq!(asked, ["decimal-mark", "decimal-mark"]);
}

#[test]
fn headings_are_matched_by_their_synonyms() {
    let text = "Engine,Location,Description,Fastener type,No. off,Size and pitch,Bolt grade,\
        lubricant,Tightening torque_(N·m),U T S [MPa],Yield strength, ksi,Comments\n";
    let report = taken(text, &plain());
    let named: Vec<&str> = report
        .headings
        .iter()
        .map(|heading| match &heading.column {
            Column::Field(field) => field.name,
            _ => "-",
        })
        .collect();
    let wanted =
        ["assembly", "joint", "part", "kind", "qty", "thread", "strength", "lube", "torque"];
    assert_eq!(named[..9], wanted);
    assert_eq!(report.headings[8].units[0].symbol, "N·m");
    let quoted = taken(
        "Assembly,Joint,Part,\"Yield, ksi\",Torque ft.lbs.,Stretch (in),UTS [MPa]\n",
        &plain(),
    );
    let units: Vec<&str> = quoted.headings[3..].iter().map(|h| h.units[0].symbol).collect();
    assert_eq!(units, ["ksi", "lb-ft", "in", "MPa"]);
}

#[test]
fn lubes_in_headings_give_a_setting_each() {
    let text = "Assembly,Joint,Part,Torque oil (lb-ft),Moly N·m,Torque (dry) lb-ft,Anti-seize torque\n\
        Marlow 6,head,bolt,88,95,,82 lb-ft\n\
        Marlow 6,main,bolt,,,,\n";
    let report = taken(text, &plain());
    let all = report.accepted().expect("sound");
    assert_eq!(
        tightening(&all[0]),
        "torque | lube oil | torque 88 lb-ft // torque | lube moly | torque 95 N·m // \
         torque | lube anti-seize | torque 82 lb-ft"
    );
    assert_eq!(tightening(&all[1]), "torque", "an incomplete entry is kept");
    let unknown = read_csv(b"Assembly,Joint,Part,Torque molly (lb-ft)\n", "x.csv").unwrap();
    let error = take(&unknown, &tables(), &plain(), &EmptyBook).unwrap_err().to_string();
    assert!(error.contains("did you mean `moly`?"), "{error}");
}

#[test]
fn ranges_passes_units_and_pitches_in_columns_of_their_own() {
    let text = "Assembly,Joint,Part,Thread,TPI,Torque min,Torque max,Units,Pass 1,Pass 2,Stretch min (in),Stretch max (in)\n\
        Marlow 6,head,bolt,7/16,20,65,70,lb-ft,,,,\n\
        Marlow 6,rod,bolt,3/8-24,,,45,lb-ft,20,40,0.0055,0.0060\n\
        Marlow 6,pan,bolt,M6x1,,10,8,N·m,,,,\n";
    let report = taken(text, &plain());
    let bad: Vec<(u32, &str)> =
        report.bad_cells().map(|cell| (cell.place.line, cell.code)).collect();
    assert_eq!(bad, [(4, "range-ends")]);
    assert_eq!(field(&report.fasteners[0], 0, "thread"), "7/16-20");
    assert_eq!(tightening(&report.fasteners[0]), "torque | torque 65..70 lb-ft");
    assert_eq!(
        tightening(&report.fasteners[1]),
        "stretch | torque max 45 lb-ft | stretch 0.0055..0.0060 in | passes 20 lb-ft, 40 lb-ft"
    );
}

#[test]
fn columns_that_cannot_be_used_are_an_error_for_the_file() {
    let error = |text: &str| {
        let sheet = read_csv(text.as_bytes(), "shop.csv").expect("a header");
        take(&sheet, &tables(), &plain(), &EmptyBook).unwrap_err().to_string()
    };
    let twice = error("Assembly,Joint,Part,Lube,Lubricant\nM,head,bolt,oil,dry\n");
    assert!(twice.contains("columns 4 (`Lube`) and 5 (`Lubricant`) both mean lube"), "{twice}");
    // From a pipe there is no name of a file either.
    let piped = read_csv(b"Thread,Torque,Joint\nM8,20 Nm,lid\n", "standard input").unwrap();
    let nameless = take(&piped, &tables(), &plain(), &EmptyBook).unwrap_err().to_string();
    assert!(nameless.contains("no column names the assembly"), "{nameless}");
    let unit = error("Assembly,Joint,Part,Torque (mm)\n");
    assert!(unit.contains("mm is a length"), "{unit}");
}

#[test]
fn nothing_of_a_row_is_lost() {
    let text = "Assembly,Joint,Part,Torque,Colour,Notes,,of-yield\n\
        Marlow 6,head,bolt,70 ftlb (old sheet said 75),green,keep dry,loose cell,75%\n";
    let report = taken(text, &plain());
    let fastener = &report.accepted().expect("sound")[0];
    let notes = fastener.notes.clone().unwrap_or_default();
    for kept in ["Colour: green", "keep dry", "loose cell", "old sheet said 75"] {
        assert!(notes.contains(kept), "{kept} is not in `{notes}`");
    }
    assert_eq!(fastener.verbatim.as_deref(), Some("Torque: 70 ftlb (old sheet said 75)"));
    let codes: Vec<&str> = report.verdicts.iter().map(|cell| cell.code).collect();
    for code in ["unknown-heading", "no-heading", "computed", "note"] {
        assert!(codes.contains(&code), "{code} in {codes:?}");
    }
}

#[test]
fn a_comma_in_an_unquoted_cell_is_seen() {
    let report = taken("Assembly,Joint,Part,Torque\nMarlow 6,head,stud, long,66 lb-ft\n", &plain());
    let codes: Vec<&str> = report.bad_cells().map(|cell| cell.code).collect();
    assert!(codes.contains(&"too-many-cells"), "{codes:?}");
}

#[test]
fn rows_that_contradict_each_other_are_refused() {
    let head = "Assembly,Joint,Part,Qty,Gasket,Lube,Torque (lb-ft),Source,Page\n";
    let case = |rows: &str| {
        let report = taken(&format!("{head}{rows}"), &plain());
        let bad = report.bad_cells().next().map(|cell| (cell.place.address(), cell.reason.clone()));
        bad.unwrap_or_default()
    };
    let counts = case("E,head,bolt,10,,oil,88,S,1\nE,head,bolt,12,,moly,70,S,1\n");
    assert_eq!(
        counts,
        ("D3".into(), "line 3 says qty 12, line 2 says 10, for the same fastener".into())
    );
    let gasket = case("E,head,bolt,10,steel,oil,88,S,1\nE,head,stud,12,copper,moly,70,S,1\n");
    assert_eq!(gasket.0, "E3");
    let twice = case("E,head,bolt,10,,oil,88,S,1\nE,head,bolt,10,,oil,90,S,1\n");
    assert_eq!(twice.0, "G3");
    assert!(twice.1.contains("line 2 says 88 lb-ft"), "{}", twice.1);
    let empty = case("E,head,bolt,10,steel,oil,88,S,1\nE,head,bolt,,,moly,70,S,1\n");
    assert_eq!(empty.0, "", "an empty cell agrees with anything");
}

#[test]
fn what_the_joint_has_is_given_to_all_its_fasteners() {
    let text = "Assembly,Joint,Part,Gasket,Order\nE,head,bolt,steel,\nE,head,stud,,centre out\n";
    let report = taken(text, &plain());
    for fastener in report.accepted().expect("sound") {
        assert_eq!(fastener.joint.gasket.as_deref(), Some("steel"));
        assert_eq!(fastener.joint.order.as_deref(), Some("centre out"));
    }
}

#[test]
fn same_names_with_other_threads_are_other_fasteners() {
    let text = "Assembly,Joint,Part,Thread,Torque\n\
        Charts,general,bolt,3/8-16,30 lb-ft\nCharts,general,bolt,7/16-14,50 lb-ft\n";
    let report = taken(text, &plain());
    let keys: Vec<&str> = report.accepted().expect("sound").iter().map(|f| &*f.key).collect();
    assert_eq!(keys, ["charts-general-bolt", "charts-general-bolt-2"]);
    let second = again(text, &report, &plain());
    assert_eq!(second.changes.unchanged, 2);
    let vague =
        again("Assembly,Joint,Part,Torque\nCharts,general,bolt,60 lb-ft\n", &report, &plain());
    assert!(!vague.is_sound(), "which of the two is not said");
}

#[test]
fn blank_names_below_a_merged_cell_repeat_it() {
    let text = "Assembly,Joint,Part,Torque\nMarlow 6,head,bolt A,70 lb-ft\n,,bolt B,75 lb-ft\n";
    let report = taken(text, &plain());
    let all = report.accepted().expect("sound");
    assert_eq!((&*all[1].joint.assembly, &*all[1].joint.name), ("Marlow 6", "head"));
    assert_eq!(report.reasons.get("fill-down"), Some(&2), "said for both");
    // Another assembly has joints of its own, and a first row nothing above it.
    let other = taken("Assembly,Joint,Part,Torque\nA,head,x,70 lb-ft\nB,,y,75 lb-ft\n", &plain());
    let bad: Vec<_> = other.bad_cells().map(|cell| (cell.place.address(), cell.code)).collect();
    assert_eq!(bad, [("B3".to_owned(), "no-name")]);
    let filled = taken(text, &Options { fill_down: true, ..plain() });
    assert_eq!(filled.accepted().expect("sound")[1].joint.name, "head");
}

#[test]
fn bare_ditto_quotes_are_read_where_cells_are_parted_by_semicolons() {
    let text = "Assembly;Joint;Part;Thread;Lube;Torque\n\
        Marlow 6;head;bolt A;M8;oil;25 Nm\n\
        \";\";bolt B;\";same;idem\n\
        Marlow 6;main;bolt C;M10;ditto;\"\n\
        \";main;bolt D;M12;\"\"\"\";80 Nm\n";
    let report = taken(text, &plain());
    let bad: Vec<_> =
        report.bad_cells().map(|cell| (cell.place.line, cell.verdict.word())).collect();
    assert_eq!(bad, [(4, "question")]);
    let all = &report.fasteners;
    assert_eq!(all.len(), 3);
    assert_eq!((&*all[1].joint.assembly, &*all[1].joint.name), ("Marlow 6", "head"));
    assert_eq!(field(&all[1], 0, "thread"), "M8x1.25");
    assert_eq!(field(&all[1], 0, "torque"), "25 N·m");
    assert_eq!((field(&all[2], 0, "lube"), &*all[2].joint.assembly), ("oil".into(), "Marlow 6"));
}

#[test]
fn a_remark_gives_the_passes_where_the_last_is_the_torque() {
    let text = "Assembly,Joint,Part,Torque (N·m),Notes\n\
        Marlow 6,head,bolt A,80,in 3 steps: 30 / 55 / 80\n\
        Marlow 6,head,bolt B,80,in steps 30 55 70\n\
        Marlow 6,head,bolt C,80,\"3 steps, again after 50 km\"\n";
    let report = taken(text, &plain());
    let passes = |at: usize| field(&report.fasteners[at], 0, "passes");
    assert_eq!(passes(0), "30 N·m, 55 N·m, 80 N·m");
    assert_eq!((passes(1), passes(2)), (String::new(), "33.3%, 66.7%, 100%".to_owned()));
    assert_eq!(report.fasteners[0].notes.as_deref(), Some("in 3 steps: 30 / 55 / 80"));
}

#[test]
fn how_many_before_a_thread_and_a_nut_of_its_class_are_read() {
    let text = "Machine,Where,Bolts,Nm\nMarlow 6,foot,4x M16 8.8,200\n\
        Marlow 6,head,10 off M11 x 1.5 x 145,65\nMarlow 6,cap,2 x 1/2-13,90\n";
    let report = taken(text, &plain());
    let read = |at: usize, name| field(&report.fasteners[at], 0, name);
    assert_eq!((read(0, "qty"), read(0, "thread")), ("4".into(), "M16x2".into()));
    assert_eq!((read(1, "qty"), read(1, "length")), ("10".into(), "145 mm".into()));
    assert_eq!((read(2, "qty"), read(2, "thread")), ("2".into(), "1/2-13".into()));
}

#[test]
fn a_line_of_the_revision_is_kept_as_it() {
    let text = "Marlow 6\nRev C of 2025-04-03; sheet 7\nJoint,Bolt,Nm\nfoot,M16,200\n";
    let report = taken(text, &plain());
    assert_eq!(field(&report.fasteners[0], 0, "revision"), "C");
    assert_eq!(report.fasteners[0].joint.assembly, "Marlow 6");
    let notes = report.fasteners[0].notes.clone().unwrap_or_default();
    assert!(notes.contains("2025-04-03") && notes.contains("sheet 7"), "{notes}");
}

#[test]
fn ditto_marks_repeat_the_cell_above_and_are_told() {
    let text = "Assembly,Joint,Part,Thread,Lube,Torque\n\
        Marlow 6,head,bolt A,M8x1.25,oil,25 N·m\n\
        do.,\"\"\"\",bolt B,''-,same,idem\n\
        Marlow 6,main,bolt C,M10x1.5,Dto.,ídem\n";
    let report = taken(text, &plain());
    let bad: Vec<_> = report.bad_cells().map(|cell| (cell.place.address(), cell.code)).collect();
    assert_eq!(bad, [("F4".to_owned(), "ditto")], "the torque of another size is asked");
    assert_eq!(report.reasons.get("ditto"), Some(&7));
    let whole = taken(&text.replace("ídem", "48 N·m"), &plain());
    let all = whole.accepted().expect("sound");
    assert_eq!(tightening(&all[1]), tightening(&all[0]));
    assert_eq!(field(&all[1], 0, "thread"), "M8x1.25");
    assert_eq!((&*all[1].joint.assembly, &*all[1].joint.name), ("Marlow 6", "head"));
    assert_eq!(field(&all[2], 0, "lube"), "oil");
    // Below a title nothing stands above.
    let text = "Part,Thread,Nm\nHEAD,,\nbolt A,M8,25\nMAIN,,\nbolt B,\"\"\"\",25\nbolt C,M8,25\n";
    let under: Vec<_> = taken(text, &Options { assembly: Some("M".into()), ..plain() })
        .bad_cells()
        .map(|cell| (cell.place.address(), cell.code))
        .collect();
    assert_eq!(under, [("B5".to_owned(), "ditto")]);
}

#[test]
fn answers_settle_questions_and_the_cell_is_kept() {
    let text = "Assembly,Joint,Part,Thread,Torque\nMarlow 6,head,bolt,M10,70\n";
    let mut options = plain();
    options.answers.say("Thread", "M10", "M10x1.5");
    options.answers.say("Torque", "70", "70 lb-ft");
    let report = taken(text, &options);
    let fastener = &report.accepted().expect("answered")[0];
    assert_eq!(field(fastener, 0, "thread"), "M10x1.5");
    assert_eq!(fastener.verbatim.as_deref(), Some("Thread: M10; Torque: 70"));
}

#[test]
fn what_the_caller_says_of_the_file_fills_blanks_only() {
    let text = "Part,Lube,Torque,Source,Page\nbolt A,,70,,\nbolt B,moly,52,Sheet H7,12\n";
    let mut options = plain();
    options.assembly = Some("Marlow 6".into());
    options.joint = Some("head".into());
    options.lube = Some("engine oil".into());
    options.torque_unit = find_unit("lb-ft");
    options.source.title = Some("Marlow manual".into());
    options.source.page = Some("9".into());
    let report = taken(text, &options);
    let all = report.accepted().expect("sound");
    assert_eq!(tightening(&all[0]), "torque | lube oil | torque 70 lb-ft");
    assert_eq!(field(&all[0], 0, "source"), "Marlow manual, p. 9");
    assert_eq!(tightening(&all[1]), "torque | lube moly | torque 52 lb-ft");
    assert_eq!(field(&all[1], 0, "source"), "Sheet H7, p. 12");
}

#[test]
fn a_strength_unknown_to_the_book_keeps_its_name_with_or_without_figures() {
    let text =
        "Assembly,Joint,Part,Strength,Yield\nE,head,bolt A,L19,220 ksi\nE,head,bolt B,L19,\n";
    let report = taken(text, &plain());
    let all = report.accepted().expect("sound");
    assert_eq!(all[0].strength.name.as_deref(), Some("L19"));
    // Without figures too: what its steel is, or whether it is steel, is not known,
    // which is another thing than nothing said.
    assert_eq!(all[1].strength.name.as_deref(), Some("L19"));
    assert_eq!(all[1].notes, None);
    let said =
        report.verdicts.iter().find(|cell| cell.place.line == 3 && cell.code == "unknown-strength");
    assert_eq!(said.map(|cell| cell.verdict.word()), Some("warning"));
}

#[test]
fn listed_needs_a_place_that_can_be_looked_up() {
    let text = "Assembly,Joint,Part,Torque,Basis,Source,Page,Source kind\n\
        E,head,bolt A,70 lb-ft,listed,Sheet H7,12,maker\n\
        E,head,bolt B,70 lb-ft,listed,Sheet H7,,maker\n\
        E,head,bolt C,70 lb-ft,listed,Sheet H7,12,memory\n\
        E,head,bolt D,70 lb-ft,,,,\n\
        E,head,bolt E,70 lb-ft,chart,,,\n";
    let report = taken(text, &plain());
    let all = report.accepted().expect("sound");
    let bases: Vec<Basis> = all.iter().map(|fastener| fastener.settings[0].basis).collect();
    assert_eq!(bases, [Basis::Listed, Basis::Shop, Basis::Shop, Basis::Shop, Basis::Chart]);
    assert_eq!(report.reasons.get("basis"), Some(&3));
}

#[test]
fn a_key_column_finds_the_fastener_and_may_rename_it() {
    let first = taken(SHOP, &plain());
    let text = "Key,Part,Lube,Torque,Source\nmarlow-6-head-stud-long/oil,stud long outer,oil,90 lb-ft,Sheet H7\n";
    let report = again(text, &first, &plain());
    assert!(report.is_sound(), "{:?}", report.bad_cells().collect::<Vec<_>>());
    let fastener = &report.fasteners[0];
    assert_eq!((&*fastener.key, &*fastener.part), ("marlow-6-head-stud-long", "stud long outer"));
    assert_eq!(fastener.settings.len(), 2);
    assert_eq!(field(fastener, 1, "torque"), "90 lb-ft");
}

#[test]
fn a_joint_has_one_gasket_in_file_and_book() {
    let head = "Assembly,Joint,Part,Gasket,Machining,Torque\n";
    let first = taken(&format!("{head}M,head,bolt A,,torque plate,\nM,head,bolt B,,,\n"), &plain());
    let second = again(&format!("{head}M,head,bolt C,steel,,\n"), &first, &plain());
    let mut all: Vec<_> = second.accepted().expect("sound").iter().collect();
    all.sort_by_key(|fastener| &fastener.part);
    let parts: Vec<&str> = all.iter().map(|fastener| &*fastener.part).collect();
    assert_eq!(parts, ["bolt A", "bolt B", "bolt C"], "the others get the gasket too");
    for fastener in &all {
        assert_eq!(fastener.joint.gasket.as_deref(), Some("steel"));
        assert_eq!(fastener.joint.machining.as_deref(), Some("torque plate"));
    }
    let again_the_same = again(&format!("{head}M,head,bolt A,,torque plate,\n"), &first, &plain());
    assert!(again_the_same.fasteners.is_empty(), "nothing new");
}

#[test]
fn no_in_a_flag_column_takes_a_yes_back_and_a_blank_does_not() {
    let text = "Assembly,Joint,Part,Lube,Torque,This lube only\nM,head,bolt,oil,70 lb-ft,yes\n";
    let first = taken(text, &plain());
    assert!(first.fasteners[0].settings[0].this_lube_only);
    let blank = again(&text.replace(",yes", ","), &first, &plain());
    assert_eq!(blank.changes.unchanged, 1);
    let no = again(&text.replace(",yes", ",no"), &first, &plain());
    assert_eq!(no.changes.changed, 1);
    assert!(!no.fasteners[0].settings[0].this_lube_only);
}

#[test]
fn a_script_for_a_server_is_refused_by_name() {
    let script = "-- A book, as SQL\nbegin;\ncreate table \"lube\" (\n  \"name\" text\n);\n";
    let error = clampbook::intake::read_any(script.as_bytes(), "shop.sql", &plain()).unwrap_err();
    let error = error.to_string();
    assert!(error.contains("an SQL script") && error.contains("CSV"), "{error}");
}

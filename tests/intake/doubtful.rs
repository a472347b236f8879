//! Single cells that a shop's sheet has and that are easily misread, each in a row that
//! is sound otherwise. What is expected
//! is what a knowledgeable person reads (common practice, no source; threads by ISO 261
//! and ASME B1.1, B1.20.1), written down before the cells were imported.

use crate::sheets::read;
use crate::support::held::Accepted as _;
use crate::support::{field, tables_of_the_book, tightening};
use clampbook::intake::{EmptyBook, Options, Report, read_any, read_mapping, take};

const HEADINGS: [&str; 11] = [
    "Machine",
    "Joint",
    "Part",
    "Thread",
    "Grade",
    "Torque (Nm)",
    "Lube",
    "Passes",
    "Reuse",
    "Qty",
    "Notes",
];

/// The sound row with `cells` in place of its own.
fn with(cells: &[(&str, &str)]) -> Report {
    let sound = ["Zed 1", "J", "P", "M10x1.5", "8.8", "40", "dry", "", "", "4", ""];
    let own = |heading: &str| cells.iter().find(|(one, _)| *one == heading).map(|(_, cell)| *cell);
    let row: Vec<String> = HEADINGS
        .iter()
        .zip(sound)
        .map(|(heading, sound)| crate::support::quoted(own(heading).unwrap_or(sound)))
        .collect();
    read("cells.csv", &format!("{}\n{}\n", HEADINGS.join(","), row.join(",")))
}

/// What is expected of a cell.
enum Want {
    /// Read as this.
    Reads(&'static str),
    /// The field stays empty, and the words of the cell are kept.
    Keeps,
    /// Nothing is stated, and nothing is to be kept.
    Nothing,
    /// A question with this code.
    Asks(&'static str),
}
use Want::{Asks, Keeps, Nothing, Reads};

/// Reads each cell under `heading`, in a row with `beside`, and compares the field `name`.
fn check(heading: &str, beside: &[(&str, &str)], name: &str, cells: &[(&str, Want)]) {
    let mut wrong = Vec::new();
    for (cell, want) in cells {
        let row: Vec<(&str, &str)> = [(heading, *cell)].iter().chain(beside).copied().collect();
        let report = with(&row);
        let asked: Vec<&str> = report.questions().iter().map(|one| one.code).collect();
        let bad: Vec<&str> = report.bad_cells().map(|cell| cell.code).collect();
        let first = report.accepted().and_then(|all| all.first());
        let value = first.map(|one| match name {
            "tightening" => tightening(one),
            name => field(one, 0, name),
        });
        let kept = first.is_some_and(|one| format!("{one:?}").contains(cell));
        let fits = match (want, value.as_deref()) {
            (Reads(text), Some(value)) => value == *text,
            (Keeps, Some(value)) => {
                kept && (value.is_empty() || value == *cell || value == "torque | lube dry")
            }
            (Nothing, Some(value)) => value.is_empty() || value == "torque | lube dry",
            (Asks(code), None) => asked == [*code],
            _ => false,
        };
        if !fits {
            wrong.push(format!("{cell:?}: {value:?}, asked {asked:?}, bad {bad:?}, kept {kept}"));
        }
    }
    assert!(wrong.is_empty(), "{heading}:\n{}", wrong.join("\n"));
}

#[test]
fn threads() {
    check(
        "Thread",
        &[],
        "thread",
        &[
            ("M9x1.0", Reads("M9x1")),
            ("M8", Reads("M8x1.25")),
            ("M6", Reads("M6x1")),
            ("M12", Reads("M12x1.75")),
            ("M20", Reads("M20x2.5")),
            ("M8 x 1.25 - 6g", Reads("M8x1.25")),
            ("M10 × 1.25", Reads("M10x1.25")),
            ("M10X1", Reads("M10x1")),
            ("M10 fine", Asks("pitch")),
            ("7/16 UNC", Reads("7/16-14")),
            ("7/16\"-14", Reads("7/16-14")),
            (".4375-14", Reads("7/16-14")),
            ("#10-32", Reads("10-32")),
            ("1/4 NPT", Reads("1/4-18 NPT")),
            ("1/2-20 UNF-2A", Reads("1/2-20 UNF-2A")),
            ("9/16-20 LH", Reads("9/16-20 LH")),
            ("1/2-20 nut", Reads("1/2-20")),
            ("5/8-18 UNF", Reads("5/8-18")),
            ("14mm", Asks("pitch")),
            ("M10x1,5", Reads("M10x1.5")),
        ],
    );
    let nut = with(&[("Thread", "1/2-20 nut")]);
    assert!(format!("{:?}", nut.fasteners).contains("nut"), "the word beside it is kept");
    let class = with(&[("Thread", "M8 x 1.25 - 6g")]);
    assert!(format!("{:?}", class.fasteners).contains("class 6g"), "the class is kept");
}

#[test]
fn grades() {
    check(
        "Grade",
        &[("Thread", "3/8-16")],
        "strength",
        &[
            ("5", Reads("SAE 5")),
            ("8", Reads("SAE 8")),
            ("Gr 8", Reads("SAE 8")),
            ("grade 5", Reads("SAE 5")),
        ],
    );
    check("Grade", &[("Thread", "M14x1.5"), ("Part", "wheel nut")], "strength", &[("10", Keeps)]);
    check(
        "Grade",
        &[],
        "strength",
        &[("180 ksi stud", Asks("which-strength")), ("A2-70", Reads("A2-70"))],
    );
}

#[test]
fn torques() {
    check(
        "Torque (Nm)",
        &[],
        "tightening",
        &[
            ("55–60 ft-lb", Reads("torque | lube dry | torque 55..60 lb-ft")),
            ("18 Nm max", Reads("torque | lube dry | torque max 18 N·m")),
            ("max 40", Reads("torque | lube dry | torque max 40 N·m")),
            ("≤ 15 ft-lb", Reads("torque | lube dry | torque max 15 lb-ft")),
            ("not over 22 Nm", Reads("torque | lube dry | torque max 22 N·m")),
            ("35 – 40 N·m", Reads("torque | lube dry | torque 35..40 N·m")),
            ("40/65", Asks("several-figures")),
            ("65 + 90°", Reads("torque then angle | lube dry | snug 65 N·m | angle +90°")),
            ("hand tight", Keeps),
            ("snug", Keeps),
            ("see note 3", Keeps),
            ("n/a", Nothing),
            ("-", Nothing),
            ("?", Keeps),
            ("9,5", Asks("decimal-mark")), // no other cell shows what stands before decimals,
            ("15 ft-lb + 60°", Reads("torque then angle | lube dry | snug 15 lb-ft | angle +60°")),
        ],
    );
}

#[test]
fn lubes() {
    check(
        "Lube",
        &[],
        "lube",
        &[
            ("oiled", Reads("oil")),
            ("30W oil", Reads("oil")),
            ("moly lube", Reads("moly")),
            ("molybdenum paste", Reads("moly")),
            ("anti seize", Reads("anti-seize")),
            ("blue threadlocker", Reads("threadlocker")),
            ("clean & dry", Reads("dry")),
            ("lightly oiled", Reads("lightly oiled steel")), // the name that the book has for it
            ("assembly lube", Keeps),
            ("carbon paste", Keeps),
            ("thread sealer", Reads("sealant")),
            ("geölt", Reads("oil")),
            ("trocken", Reads("dry")),
            ("Schraubensicherung", Reads("threadlocker")),
            ("Kupferpaste", Reads("copper anti-seize")),
            ("huilé", Reads("oil")),
            ("à sec", Reads("dry")),
            ("frein filet", Reads("threadlocker")),
        ],
    );
    let blue = with(&[("Lube", "blue threadlocker")]);
    assert!(format!("{:?}", blue.fasteners).contains("blue"), "the colour is kept");
}

#[test]
fn passes_and_reuse() {
    check(
        "Passes",
        &[],
        "passes",
        &[
            ("3", Reads("33.3%, 66.7%, 100%")),
            ("2 passes", Reads("50%, 100%")),
            ("1/3, 2/3, full", Reads("33.3%, 66.7%, 100%")),
            ("1/2, full", Reads("50%, 100%")),
            ("50% then 100%", Reads("50%, 100%")),
        ],
    );
    let up_to_65 = [("Torque (Nm)", "65")];
    check("Passes", &up_to_65, "passes", &[("20-40-65", Reads("20 N·m, 40 N·m, 65 N·m"))]);
    check(
        "Reuse",
        &[],
        "reuse",
        &[
            ("single use", Reads("single-use")),
            ("use once", Reads("single-use")),
            ("ok to reuse", Reads("reusable")),
        ],
    );
}

#[test]
fn a_figure_that_no_longer_holds_is_superseded() {
    let says = |note: &str| field(&with(&[("Notes", note)]).fasteners[0], 0, "superseded");
    assert_eq!(says("superseded by rev 3, do not use"), "true");
    assert_eq!(says("ungültig seit 2021"), "true");
    assert_eq!(says("supersedes the old card"), "false", "that is the other one");
}

#[test]
fn columns_that_may_be_read_in_two_ways_are_asked_about() {
    let two = "Machine,Joint,Thread,Torque Nm,Torque 2 Nm\nSaw 1,arbor,M20x1.5,180,240\n";
    let asked = |text: &str, map: &str| {
        let mut options = Options::default();
        if !map.is_empty() {
            read_mapping(map, "map.toml", &mut options).expect("a sound mapping");
        }
        let sheet = read_any(text.as_bytes(), "list.csv", &options).expect("a readable file");
        take(&sheet, tables_of_the_book(), &options, &EmptyBook).expect("a question at most")
    };
    let question = asked(two, "").questions().remove(0);
    assert_eq!((question.code, question.count), ("which-column", 1));
    assert_eq!(question.readings, ["pass 1 (N·m)", "torque (N·m)"]);
    let steps = asked(two, &question.in_mapping("pass 1 (N·m)").replacen(' ', "\n", 1));
    assert_eq!(steps.fasteners[0].settings[0].in_words(), "240 N·m");
    assert_eq!(steps.fasteners[0].settings[0].passes.len(), 2);
    let alone = asked(two, &question.in_mapping("torque (N·m)").replacen(' ', "\n", 1));
    assert_eq!(alone.fasteners[0].settings[0].in_words(), "180 N·m");
    assert_eq!(alone.fasteners[0].notes.as_deref(), Some("Torque 2 Nm: 240"));
    let one = "Wheel torque in Nm,,,\nVehicle,Joint,Nut,Zahl\nVan 3,front,M14x1.5,160\n";
    let question = asked(one, "").questions().remove(0);
    assert_eq!((question.code, question.readings[0].as_str()), ("which-column", "torque"));
    let map = question.in_mapping("torque").replacen(' ', "\n", 1);
    assert_eq!(asked(one, &map).fasteners[0].settings[0].in_words(), "160 N·m");
    // `--torque-unit` says of what the only figures are that nothing else explains.
    let bare = "Vehicle,Joint,Nut,Zorp\nVan 3,front,M14x1.5,160\nVan 3,rear,M14x1.5,185\n";
    let question = asked(bare, "").questions().remove(0);
    assert_eq!((question.code, question.count), ("which-column", 2));
    let stated = asked(bare, "[file]\ntorque-unit = \"N·m\"\n");
    assert_eq!(stated.fasteners[1].settings[0].in_words(), "185 N·m");
    assert!(stated.conclusions.iter().any(|one| one.text.contains("`Zorp` read as torque")));
    let unnamed = "Wheel torque in Nm,,,\nVehicle,Alu,Stahl,Nut\nVan 3,160,180,M14x1.5\nVan 4,160,180,M14x1.5\n";
    let each = asked(unnamed, "").questions();
    let headers: Vec<&str> = each.iter().map(|question| question.place.header.as_str()).collect();
    assert_eq!(headers, ["Alu", "Stahl"], "asked once for each column");
    assert_eq!(each[0].count, 2, "whatever its cells say");
    let machines =
        "Part,Machine A 100 (Nm),Machine A 200 (Nm),Thread\nhead,60,75,M10x1.5\nrod,45,50,M9x1\n";
    let fasteners = asked(machines, "").fasteners;
    let first: Vec<String> = fasteners
        .iter()
        .filter(|one| one.joint.name == "head")
        .map(|one| format!("{} {}", one.joint.assembly, one.settings[0].in_words()))
        .collect();
    assert_eq!(first, ["Machine A 100 60 N·m", "Machine A 200 75 N·m"]);
}

/// `1.450` where decimals follow a comma: both answers are stored as they are offered.
#[test]
fn an_answer_about_thousands_is_stored_as_it_is_offered() {
    let text =
        "Machine;Joint;Thread;Torque Nm\nSaw 1;arbor;M48x1,5;1.450\nSaw 1;cap;M8x1,25;22,5\n";
    let options = Options::default();
    let sheet = read_any(text.as_bytes(), "list.csv", &options).expect("a readable file");
    let with = |options: &Options| {
        take(&sheet, tables_of_the_book(), options, &EmptyBook).expect("usable columns")
    };
    let question = with(&options).questions().remove(0);
    assert_eq!(question.readings, ["1450 N·m", "1.45 N·m"]);
    for reading in &question.readings {
        let mut options = Options::default();
        assert!(question.answer(reading, &mut options));
        assert_eq!(&with(&options).fasteners[0].settings[0].in_words(), reading);
    }
}

/// What a figure is of is asked, whatever word stands behind it.
#[test]
fn a_stress_with_a_word_behind_it_is_yield_or_tensile() {
    let text = "Machine,Joint,Thread,Grade,Torque Nm\nSaw 1,arbor,M20x1.5,190 ksi stud,180\n";
    let question = read("saw.csv", text).questions().remove(0);
    assert_eq!(question.code, "which-strength");
    assert_eq!(question.readings[1], "tensile 190 ksi (stud)");
    let mut options = Options::default();
    assert!(question.answer(&question.readings[1], &mut options));
    let sheet = read_any(text.as_bytes(), "saw.csv", &options).expect("a readable file");
    let report = take(&sheet, tables_of_the_book(), &options, &EmptyBook).expect("usable");
    assert_eq!(field(&report.fasteners[0], 0, "tensile"), "190 ksi");
    assert!(report.fasteners[0].verbatim.as_deref().is_some_and(|own| own.contains("stud")));
}

#[test]
fn an_object_is_no_name() {
    let text = r#"[{"machine": "Saw 1", "joint": {"at": "arbor", "by": "hand"}, "thread": "M20x1.5", "torque": "180 Nm"}]"#;
    let report = read("a.json", text);
    let bad: Vec<&str> = report.bad_cells().map(|cell| cell.code).collect();
    assert_eq!(bad, ["nested"]);
}

#[test]
fn a_left_hand_thread_in_the_notes() {
    let thread = |note: &str| field(&with(&[("Notes", note)]).fasteners[0], 0, "thread");
    assert_eq!(thread("threads are left hand"), "M10x1.5 LH");
    assert_eq!(thread("left hand cover only"), "M10x1.5", "that is a side");
}

#[test]
fn rows_above_the_headings_are_told() {
    let text = "Dredge 3 boom\nPin bolts,1-8 UNC,Gr 8,900 ft-lb,,\n\
        Item,Size,Grade,Torque,Lube,Qty\nFairlead,3/4-10,8,280 ft-lb,oil,8\n";
    let report = read("dredge.csv", text);
    assert_eq!(report.fasteners.len(), 1);
    assert_eq!(report.remarks, [(2, "Pin bolts, 1-8 UNC, Gr 8, 900 ft-lb".to_owned())]);
    let lost = "the file: not taken without headings: 1 row";
    assert!(report.conclusions.iter().any(|one| one.text == lost), "{:?}", report.conclusions);
}

/// What a title says of all rows holds for the blank cells of a column, said once; never
/// for a cell, or for notes, that say another thing.
#[test]
fn a_title_fills_the_blank_cells_of_a_column_alone() {
    let rows = "Joint,Thread,Class,Lube,Torque Nm,Notes\n\
        ring,M24x3,,,740,\nmotor,M16x2,8.8,oil,185,\nlid,M12x1.75,?,?,70,\n\
        cap,M10x1.5,-,-,40,\nfoot,M20x2.5,,,390,class 8.8\n";
    let titles = [
        "Class 10.9 unless otherwise stated",
        "All bolts class 10.9 unless noted",
        "Alle Schrauben 10.9 wenn nicht anders angegeben",
        "Bolts 10.9",
    ];
    for title in titles {
        let report = read("crane.csv", &format!("Crane Ormsay 12\n{title}; threads dry\n{rows}"));
        let all = report.accepted().unwrap_or_else(|| panic!("{title}: {:#?}", report.verdicts));
        let of = |joint: &str, name: &str| {
            let one = all.iter().find(|one| one.joint.name == joint);
            one.map(|one| field(one, 0, name)).unwrap_or_default()
        };
        let strengths = ["ring", "motor", "foot"].map(|joint| of(joint, "strength"));
        assert_eq!(strengths, ["10.9", "8.8", "8.8"], "{title}");
        let lubes = ["ring", "motor", "foot"].map(|joint| of(joint, "lube"));
        assert_eq!(lubes, ["dry", "oil", "dry"], "{title}");
        for joint in ["lid", "cap"] {
            assert!(!of(joint, "strength").contains("10.9"), "{title}: {joint}");
            assert!(!of(joint, "lube").contains("dry"), "{title}: {joint}");
        }
        let filled = report.reasons.get("from-title");
        assert_eq!(filled, Some(&3), "{title}: the class of one row, the lube of two");
    }
}

/// What words of a title, and not a name in it, say of all below: common practice, no source.
#[test]
fn a_name_in_a_title_states_nothing_for_the_rows() {
    let facts = |title: &str, sizes: [&str; 2], unit: &str| {
        let text =
            format!("{title}\nPlace,Size,Torque{unit}\ncap,{},40\nlid,{},55\n", sizes[0], sizes[1]);
        let report = read("list.csv", &text);
        let first = report.fasteners.first().map(|one| {
            let part = |name: &str| field(one, 0, name);
            format!("{}|{}|{}", part("strength"), part("lube"), part("thread"))
        });
        first.unwrap_or_else(|| "asked".to_owned())
    };
    let metric = ["M8x1.25", "M10x1.5"];
    let inch = ["3/8-16", "1/2-13"];
    for name in [
        "Orlindal G2 gravel",
        "Grelby B7 press",
        "Olvane A4-70 mixer",
        "Series 8.8 dozer",
        "Kestrow 5.8 V8",
        "Kestrow V8; 5.8",
        "Class 8 truck",
        "Orlindal M12 loader",
        "Pump 3/8",
        "Dry plant 2",
        "Oiled chain hoist 2",
        "Lubed for life gearbox",
        "Pompe à huile 3",
        "Takt 3 sec",
        "Kestrow engine; SAE 2",
        "Orlindal G2 screw press",
        "Nuts class 8",
    ] {
        assert_eq!(facts(name, metric, " Nm"), "||M8x1.25", "{name}");
        assert_eq!(facts(name, inch, " Nm"), "||3/8-16", "{name}");
    }
    for said in [
        "Kestrow - all 10.9",
        "Kestrow loader class 10.9",
        "Kestrow socket screws 10.9",
        "Kestrow; 10.9",
        "Toutes les vis classe 10.9",
        "Alle Schrauben Güte 10.9",
        "metric 10.9",
    ] {
        assert_eq!(facts(said, metric, " Nm"), "10.9||M8x1.25", "{said}");
    }
    for both in ["Bolts 8.8; M10 and up 10.9", "All bolts 10.9 except the lid 8.8"] {
        assert_eq!(facts(both, metric, " Nm"), "||M8x1.25", "{both}");
    }
    for said in ["Kestrow grade 8", "G8 bolts", "Kestrow loader - all G8", "Kestrow - gr. 8 bolts"]
    {
        assert_eq!(facts(said, inch, " Nm"), "SAE 8||3/8-16", "{said}");
        assert_eq!(facts(said, metric, " Nm"), "||M8x1.25", "{said}: no metric thread has it");
    }
    assert_eq!(facts("Kestrow - threads oiled", metric, " Nm"), "|oil|M8x1.25");
    let bare = ["3/8", "1/2"];
    for name in ["Fine grinder 3", "Coarse crusher 2", "Kestrow fine"] {
        assert_eq!(facts(name, bare, " Nm"), "asked", "{name}");
    }
    assert_eq!(facts("Kestrow - fine threads", bare, " Nm"), "||3/8-24");
    for name in ["Haldrum K450 Nm test bench", "NM 40 loader", "Kestrow 50 ft lb hammer"] {
        assert_eq!(facts(name, metric, ""), "asked", "{name}");
    }
    assert_eq!(facts("Ombrey 4 torques in Nm", metric, ""), "||M8x1.25");
}

/// Two rows that cannot both hold: one sentence names both, what they say and of what.
#[test]
fn rows_that_disagree_are_both_named() {
    let text = "Machine,Joint,Thread,Torque Nm,Sequence\n\
        Saw 1,arbor,M20x1.5,180,\nSaw 1,arbor,M20x1.5,190,\n\
        Saw 1,head,M10x1.5,50,star\nSaw 1,head,M12x1.75,80,clockwise\n";
    let report = read("saw.csv", text);
    let said: Vec<&str> = report.bad_cells().map(|cell| cell.reason.as_str()).collect();
    let wanted = [
        "line 3 says 190 N·m, line 2 says 180 N·m, for the same fastener with the same lube from the same source",
        "line 5 says order clockwise, another row says star, for the same joint",
    ];
    assert_eq!(said, wanted);
}

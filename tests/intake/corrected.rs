//! A corrected sheet imported again: what it no longer says is named, and marked
//! superseded when asked for; the history tells it. Through the program.

use std::path::Path;

use serde_json::Value;

use crate::program::run;

const HEAD: &str = "Machine,Joint,Part,Thread,Grade,Torque Nm,Lube\n";
const FIRST: &str = "\
Tarvik 310,Head,head bolt,M11x1.5,10.9,92,oil
Tarvik 310,Main cap,main bolt,M12x1.75,10.9,104,oil
Tarvik 310,Flywheel,flywheel bolt,M10x1.25,10.9,78,threadlocker
Tarvik 310,Sump,pan screw,M6x1,8.8,9.5,dry
Tarvik 310,Sump,drain plug,M16x1.5,,42,dry
";
/// Thread, lube and part corrected, a row deleted, a figure changed.
const CORRECTED: &str = "\
Tarvik 310,Head,head bolt,M12x1.5,10.9,92,oil
Tarvik 310,Main cap,main bolt,M12x1.75,10.9,96,moly
Tarvik 310,Flywheel,flexplate bolt,M10x1.25,10.9,78,threadlocker
Tarvik 310,Sump,drain plug,M16x1.5,,45,dry
";

fn import(home: &Path, text: &str, more: &[&str]) -> Value {
    std::fs::write(home.join("tarvik.csv"), format!("{HEAD}{text}")).unwrap();
    let arguments = [&["--format", "json", "import", "tarvik.csv"], more].concat();
    let (out, err, code) = run(home, &arguments);
    assert_eq!(code, Some(0), "{out}{err}");
    serde_json::from_str(&out).unwrap()
}

fn gone(report: &Value) -> Vec<(&str, Option<u64>)> {
    let all = report["gone"].as_array().unwrap().iter();
    let mut all: Vec<(&str, Option<u64>)> =
        all.map(|one| (one["key"].as_str().unwrap(), one["instead_line"].as_u64())).collect();
    all.sort_unstable();
    all
}

/// Part, thread, lube and torque of what holds, and of what is superseded.
fn held(home: &Path, superseded: bool) -> Vec<String> {
    let question =
        format!("assembly \"Tarvik 310\" {} superseded", if superseded { "and" } else { "not" });
    let question = format!("{question} show part, thread, lube, torque");
    let (out, err, _) = run(home, &["--format", "csv", "find", &question]);
    let cells = |line: &str| line.split(',').map(str::to_owned).collect::<Vec<_>>();
    let line = |cells: Vec<String>| [&cells[..3], &cells[cells.len() - 1..]].concat().join(",");
    let mut lines: Vec<String> = out.lines().skip(1).map(|one| line(cells(one))).collect();
    assert!(!lines.is_empty(), "{err}");
    lines.sort();
    lines
}

#[test]
fn what_a_corrected_sheet_no_longer_says_is_named_and_retired_on_request() {
    let home = tempfile::tempdir().unwrap();
    let home = home.path();
    assert_eq!(gone(&import(home, FIRST, &[])), []);
    assert_eq!(gone(&import(home, FIRST, &[])), [], "the same file again");
    let wanted = [
        ("tarvik-310-flywheel-flywheel-bolt/threadlocker", Some(4)),
        ("tarvik-310-head-head-bolt/oil", Some(2)),
        ("tarvik-310-main-cap-main-bolt/oil", Some(3)),
        ("tarvik-310-sump-pan-screw/dry", None),
    ];
    let seen = import(home, CORRECTED, &["--dry-run"]);
    assert_eq!(gone(&seen), wanted);
    let seen = import(home, CORRECTED, &["--dry-run", "--retire"]);
    assert_eq!((gone(&seen), &seen["retired"]), (wanted.to_vec(), &Value::Bool(false)));
    let seen = import(home, CORRECTED, &[]);
    assert_eq!(gone(&seen), wanted);
    let instead = seen["gone"].as_array().unwrap().iter().map(|one| one["instead"].as_str());
    let instead: Vec<&str> = instead.flatten().collect();
    assert_eq!(
        instead,
        [
            "flexplate bolt, M10x1.25 threadlocker 78 N·m",
            "M12x1.5 oil 92 N·m",
            "M12x1.75 moly 96 N·m",
        ]
    );
    assert_eq!(held(home, false).len(), 8, "nothing is retired unasked");

    let (out, err, code) = run(home, &["import", "tarvik.csv", "--retire"]);
    assert_eq!(code, Some(0), "{out}{err}");
    for words in [
        "gone: Tarvik 310 / Head / head bolt, M11x1.5 oil 92 N·m",
        "gone: Tarvik 310 / Sump / pan screw, M6x1 dry 9.5 N·m",
        "4 settings of this source no longer in the file: now superseded.",
    ] {
        assert!(out.replace('\n', " ").contains(words), "{words} in {out}");
    }
    assert_eq!(
        held(home, false),
        [
            "drain plug,M16x1.5,dry,45 N·m",
            "flexplate bolt,M10x1.25,threadlocker,78 N·m",
            "head bolt,M12x1.5,oil,92 N·m",
            "main bolt,M12x1.75,moly,96 N·m",
        ]
    );
    assert_eq!(
        held(home, true),
        [
            "flywheel bolt,M10x1.25,threadlocker,78 N·m",
            "head bolt,M11x1.5,oil,92 N·m",
            "main bolt,M12x1.75,oil,104 N·m",
            "pan screw,M6x1,dry,9.5 N·m",
        ]
    );
    let (history, _, _) = run(home, &["edit", "tarvik-310-sump-pan-screw", "--history"]);
    for words in ["jo, from tarvik.csv", "superseded", "no -> yes"] {
        assert!(history.contains(words), "{words} in {history}");
    }
    assert_eq!(gone(&import(home, CORRECTED, &[])), [], "what is retired is not named again");

    // A row that comes back stays retired until somebody says otherwise, and it is said.
    let back = import(home, FIRST, &[]);
    let said = back["conclusions"].to_string();
    assert!(said.contains("superseded: it stays so"), "{said}");
    let (out, err, code) = run(home, &["book", "undo", "--yes"]);
    assert_eq!(code, Some(0), "{out}{err}");
}

#[test]
fn a_sheet_speaks_for_its_own_joints_and_source_alone() {
    let home = tempfile::tempdir().unwrap();
    let home = home.path();
    import(home, FIRST, &[]);
    // Another sheet about other joints of the machine.
    let other = "Tarvik 310,Water pump,pump bolt,M8x1.25,8.8,22,dry\n";
    assert_eq!(gone(&import(home, other, &[])), []);
    // The same joint from another source.
    let sourced = "Tarvik 310,Head,head bolt,M11x1.5,10.9,92,oil\n";
    assert_eq!(gone(&import(home, sourced, &["--source", "Tarvik manual"])), []);
    // A row that is refused is not gone.
    let refused = CORRECTED.replace("45,dry", "4O,dry");
    std::fs::write(home.join("tarvik.csv"), format!("{HEAD}{refused}")).unwrap();
    let (out, _, code) = run(home, &["--format", "json", "import", "tarvik.csv"]);
    assert_eq!(code, Some(3), "{out}");
    let report: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(gone(&report), []);
    // Part of an export, changed and imported again.
    let (part, err, code) =
        run(home, &["--format", "csv", "export", "--file", "part.csv", "pan screw"]);
    assert_eq!(code, Some(0), "{part}{err}");
    let (out, err, code) = run(home, &["--format", "json", "import", "part.csv", "--retire"]);
    assert_eq!(code, Some(0), "{out}{err}");
    let report: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(gone(&report), []);
}

/// Two sheets of one joint that name no source: neither is a correction of the other, and
/// what both have is no reason to retire what only one has.
#[test]
fn two_unsourced_sheets_of_one_joint_leave_each_other_alone() {
    let home = tempfile::tempdir().unwrap();
    let home = home.path();
    import(home, FIRST, &[]);
    let second = "\
Tarvik 310,Head,rocker stud,M8x1.25,8.8,22,oil
Tarvik 310,Head,plug,M18x1.5,,40,oil
Tarvik 310,Sump,drain plug,M16x1.5,,42,dry
Tarvik 310,Sump,baffle screw,M5x0.8,8.8,5,dry
";
    assert_eq!(gone(&import(home, second, &["--retire"])), []);
    // One that is corrected is paired with what replaces it, not with what is only beside.
    let seen = import(home, &second.replace("M18x1.5", "M20x1.5"), &["--retire"]);
    assert!(gone(&seen).contains(&("tarvik-310-head-plug/oil", Some(3))), "{seen}");
    let alone = "Tarvik 310,Head,core plug,M30x1.5,,60,oil\nTarvik 310,Head,eye bolt,M12,,70,oil\n";
    assert_eq!(gone(&import(home, alone, &["--retire"])), []);
}

/// What an earlier import did not take is put right and taken: the rows that it did take
/// are not in that file, and stay.
#[test]
fn the_rest_of_an_import_retires_nothing() {
    let home = tempfile::tempdir().unwrap();
    let home = home.path();
    let bad = FIRST.replace("M6x1,8.8,9.5", "M6x1,8.8,9O");
    std::fs::write(home.join("tarvik.csv"), format!("{HEAD}{bad}")).unwrap();
    let (out, err, _) = run(home, &["import", "tarvik.csv", "--take-good", "rest.csv"]);
    let rest =
        std::fs::read_to_string(home.join("rest.csv")).unwrap_or_else(|_| panic!("{out}{err}"));
    std::fs::write(home.join("rest.csv"), rest.replace("9O", "9.5")).unwrap();
    let (out, err, code) = run(home, &["--format", "json", "import", "rest.csv", "--retire"]);
    assert_eq!(code, Some(0), "{out}{err}");
    assert_eq!(gone(&serde_json::from_str(&out).unwrap()), []);
    let held = held(home, false);
    assert_eq!(held.len(), 5, "{held:#?}");
}

#[test]
fn no_book_is_made_for_a_file_that_no_book_takes() {
    let home = tempfile::tempdir().unwrap();
    let home = home.path();
    let twice = "Machine,Joint,Thread,Torque Nm,Torque (N.m)\nZed 4,Lid,M8x1.25,24,25\n";
    std::fs::write(home.join("twice.csv"), twice).unwrap();
    let (out, err, code) = run(home, &["--book", "new", "import", "twice.csv"]);
    assert_eq!(code, Some(3), "{out}{err}");
    assert!(err.contains("both mean torque") && !err.contains("made a book"), "{err}");
    assert!(!home.join("new").exists());
}

/// Each row of the rest stands by itself: the rows and titles that it leaned on are gone.
#[test]
fn the_rest_of_an_import_keeps_what_stood_above() {
    let dittos = "Machine,Joint,Thread,Strength,Torque Nm,Lube\n\
                  Lathe,spindle,M12x1.5,10.9,40/65,oil\nPress,ram,M16x2,8.8,190,dry\n\
                  do,guide,M16x2,8.8,40/65,do\n";
    let blanks = "Machine,Joint,Thread,Strength,Torque Nm,Lube\n\
                  Lathe,spindle,M12x1.5,10.9,40/65,dry\nPress,ram,M16x2,8.8,190,dry\n\
                  ,guide,M16x2,8.8,40/65,dry\n";
    let sections = "Joint,Thread,Strength,Torque Nm,Lube\n\
                    LATHE,,,,\nspindle,M12x1.5,10.9,40/65,dry\nbed,M12,10.9,65,dry\n\
                    PRESS,,,,\nram,M16x2,8.8,190,dry\nguide,M16x2,8.8,40/65,dry\n";
    for text in [dittos, blanks, sections] {
        let home = tempfile::tempdir().unwrap();
        let home = home.path();
        std::fs::write(home.join("hall.csv"), text).unwrap();
        let (out, err, _) = run(home, &["import", "hall.csv", "--take-good", "rest.csv"]);
        let rest =
            std::fs::read_to_string(home.join("rest.csv")).unwrap_or_else(|_| panic!("{out}{err}"));
        std::fs::write(home.join("rest.csv"), rest.replace("40/65", "65")).unwrap();
        let (out, err, code) = run(home, &["import", "rest.csv"]);
        assert_eq!(code, Some(0), "{rest}{out}{err}");
        let (out, _, _) = run(home, &["--format", "json", "find", "guide"]);
        let found: serde_json::Value = serde_json::from_str(&out).unwrap();
        let guide = &found["rows"][0];
        let name = guide["assembly"].as_str().unwrap().to_lowercase();
        assert_eq!((name.as_str(), &guide["lube"]), ("press", &"dry".into()), "{rest}{out}");
    }
}

/// `Joint` over the parts, below titles of the joints: the rest has a column for each, and is
/// read as the file was.
#[test]
fn the_rest_of_an_import_tells_a_column_named_joint_from_the_joint_of_a_title() {
    let home = tempfile::tempdir().unwrap();
    let home = home.path();
    let text = "Press 9,,,,\nJoint,Thread,Strength,Torque Nm,Lube\n\
                CROWN,,,,\ntie nut,M12x1.5,10.9,40/65,oil\nguide bolt,M12,10.9,65,dry\n\
                BED,,,,\nfoot bolt,M16x2,8.8,190,dry\ntie nut,M16x2,8.8,40/65,dry\n";
    std::fs::write(home.join("press.csv"), text).unwrap();
    let (out, err, _) = run(home, &["import", "press.csv", "--take-good", "rest.csv"]);
    let rest =
        std::fs::read_to_string(home.join("rest.csv")).unwrap_or_else(|_| panic!("{out}{err}"));
    let head = rest.lines().find(|line| line.contains("Why not taken")).unwrap();
    assert_eq!(head.split(',').filter(|heading| *heading == "Joint").count(), 1, "{rest}");
    std::fs::write(home.join("rest.csv"), rest.replace("40/65", "65")).unwrap();
    let (out, err, code) = run(home, &["import", "rest.csv"]);
    assert_eq!(code, Some(0), "{rest}{out}{err}");
    let (out, _, _) = run(home, &["--format", "json", "find", "tie nut"]);
    let found: serde_json::Value = serde_json::from_str(&out).unwrap();
    let rows = found["rows"].as_array().unwrap();
    let names = |row: &serde_json::Value| {
        ["assembly", "joint", "part"].map(|name| row[name].as_str().unwrap().to_lowercase())
    };
    let mut held: Vec<_> = rows.iter().map(names).collect();
    held.sort();
    assert_eq!(held, [["press 9", "bed", "tie nut"], ["press 9", "crown", "tie nut"]], "{rest}");
}

/// A ditto of a torque for another size says nothing, also where another row is above it.
#[test]
fn a_ditto_that_says_nothing_repeats_no_row_of_the_rest() {
    let home = tempfile::tempdir().unwrap();
    let home = home.path();
    let text = "Machine,Joint,Thread,Strength,Torque Nm,Lube\n\
                Lathe,bed,M16x2,8.8,40/65,dry\nPress,ram,M12x1.75,8.8,80,dry\n\
                Press,guide,M16x2,8.8,do,dry\n";
    std::fs::write(home.join("hall.csv"), text).unwrap();
    run(home, &["import", "hall.csv", "--take-good", "rest.csv"]);
    let rest = std::fs::read_to_string(home.join("rest.csv")).unwrap();
    std::fs::write(home.join("rest.csv"), rest.replace("40/65", "65")).unwrap();
    let (out, err, _) = run(home, &["import", "rest.csv"]);
    assert!(out.contains("`of which row? do` is no torque"), "{rest}{out}{err}");
    let (out, _, _) = run(home, &["--format", "json", "find", "guide"]);
    let found: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert!(found["rows"][0]["torque_nm"].is_null(), "{rest}{out}");
}

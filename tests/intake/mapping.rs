//! Mappings: suggested, written by hand, and with answers remembered; the rows
//! that were not taken as a file of their own; and what is doubtful.

use std::sync::Arc;

use crate::support::held::Accepted as _;
use crate::support::held::Held;
use crate::support::{field, tables, taken, tightening};
use clampbook::intake::{
    EmptyBook, IntakeError, Options, Report, leftovers, read_any, read_csv, read_mapping,
    suggest_mapping, take, with_answers,
};

const SHOP: &str = "\
Kone;Paikka;Osa;Koko;TPI;Kireys;Hylly;Laji
Tern 40;Flansch;Schraube;7/16;20;70,5;A3;M8x1.25 x 80
Tern 40;Lager;Schraube;3/8;16;40;A4;M8x1.25 x 60
";

const MAP: &str = r#"
[columns]
"Kone" = "assembly"
"Paikka" = "joint"
"Osa" = "part"
"Kireys" = "torque oil"
"Hylly" = ""
"Laji" = "notes"

[file]
decimal = "comma"
torque-unit = "N·m"
source = "Shop book"
page = "3"

[combine."thread"]
from = ["Koko", "TPI"]
with = "-"
"#;

fn mapped(map: &str) -> Options {
    let mut options = Options::default();
    read_mapping(map, "shop.toml", &mut options).expect("a sound mapping");
    options
}

fn read(text: &str, options: &Options) -> Report {
    let sheet = read_any(text.as_bytes(), "shop.csv", options).expect("a readable file");
    take(&sheet, &tables(), options, &EmptyBook).expect("usable columns")
}

#[test]
fn a_mapping_explains_a_file_of_another_language() {
    let bare = read_csv(SHOP.as_bytes(), "shop.csv").unwrap();
    let unknown = take(&bare, &tables(), &Options::default(), &EmptyBook);
    assert!(matches!(unknown, Err(IntakeError::NoHeader { .. })), "{unknown:?}");
    let report = read(SHOP, &mapped(MAP));
    let all = report.accepted().unwrap_or_else(|| panic!("{:#?}", report.verdicts));
    assert_eq!(field(&all[0], 0, "thread"), "7/16-20");
    assert_eq!(tightening(&all[0]), "torque | lube oil | torque 70,5 N·m".replace(',', "."));
    assert_eq!(field(&all[0], 0, "source"), "Shop book, p. 3");
    assert_eq!(all[0].notes.as_deref(), Some("M8x1.25 x 80"));
    assert!(!all[0].notes.clone().unwrap_or_default().contains("A3"), "left out");
}

#[test]
fn a_column_is_taken_apart_and_its_cells_keep_their_place() {
    let map = "[split.\"Typ\"]\nat = \" x \"\ninto = [\"thread\", \"length (mm)\"]\n";
    let text =
        "Assembly,Joint,Part,Typ\nM,head,a,M8x1.25 x 80\nM,head,b,M8x1.25 x 8O\nM,head,c,M10x1.5\n";
    let report = read(text, &mapped(map));
    let bad: Vec<_> = report
        .bad_cells()
        .map(|cell| (cell.place.address(), cell.place.header.clone(), cell.code))
        .collect();
    assert_eq!(bad, [("D3".to_owned(), "Typ".to_owned(), "letter-in-number")]);
    assert_eq!(field(&report.fasteners[0], 0, "length"), "80 mm");
    assert_eq!(field(&report.fasteners[1], 0, "thread"), "M10x1.5");
}

#[test]
fn flags_go_before_the_mapping() {
    let mut options = Options { lube: Some("moly".into()), ..Options::default() };
    read_mapping("[file]\nlube = \"oil\"\njoint = \"head\"\n", "shop.toml", &mut options).unwrap();
    assert_eq!((options.lube.as_deref(), options.joint.as_deref()), (Some("moly"), Some("head")));
}

#[test]
fn a_mapping_that_is_wrong_says_where() {
    let error = |map: &str| {
        read_mapping(map, "shop.toml", &mut Options::default()).unwrap_err().to_string()
    };
    assert!(
        error("[columns]\n\"a\" = \n").contains("line 2"),
        "{}",
        error("[columns]\n\"a\" = \n")
    );
    assert!(error("[colums]\n").contains("did you mean `columns`?"));
    assert!(error("[file]\ntorque-unti = \"Nm\"\n").contains("did you mean `torque-unit`?"));
    assert!(error("[file]\ntorque-unit = \"mm\"\n").contains("`mm` is not a unit of torque"));
    assert!(error("[file]\ndecimal = \"dot\"\n").contains("write comma or point"));
    assert!(error("[file]\nbasis = \"lsited\"\n").contains("did you mean `listed`?"));
    assert!(error("[split.\"Typ\"]\ninto = [\"thread\"]\n").contains("two meanings"));
    let options = mapped("[split.\"Size\"]\ninto = [\"thread\", \"length\"]\n");
    let sheet = read_any(b"Assembly,Joint,Part\n", "shop.csv", &options).unwrap();
    let missing = take(&sheet, &tables(), &options, &EmptyBook).unwrap_err().to_string();
    assert!(missing.contains("a column `Size`, which the file has not"), "{missing}");
}

#[test]
fn a_suggested_mapping_reads_back_and_names_what_is_unknown() {
    let text = "Assembly,Joint,Part,Torque oil (lb-ft),Colour,Lubricnt\nM,head,a,70,red,oil\n";
    let sheet = read_csv(text.as_bytes(), "shop.csv").unwrap();
    let map = suggest_mapping(&sheet, &tables(), &Options::default());
    for line in [
        "# \"Torque oil (lb-ft)\" = \"torque oil (lb-ft)\"",
        "# \"Colour\" = \"\"",
        // Nearly the name of a field that no other column has.
        "# \"Lubricnt\" = \"lube\"",
    ] {
        assert!(map.contains(line), "{line} is not in\n{map}");
    }
    let mut options = mapped(&map);
    assert!(read(text, &options).is_sound(), "as it is, it changes nothing");
    options = mapped(&map.replace("# \"Lubricnt\" = \"lube\"", "\"Lubricnt\" = \"notes\""));
    assert_eq!(
        read(text, &options).reasons.get("unknown-heading"),
        Some(&1),
        "only Colour is left"
    );
    // Every line that is only commented out must be sound where it is used.
    let columns = map.split("[file]").next().unwrap();
    mapped(&columns.replace("\n# \"", "\n\""));
    let (_, rest) = map.split_once("[file]").unwrap();
    mapped(&format!("[file]{}", rest.replace("\n# ", "\n")));
}

#[test]
fn a_header_row_that_no_heading_tells_can_be_named() {
    let text = "Liste\nx;y;z\nTern 40;Flansch;Schraube\n";
    let map = "[columns]\nx = \"assembly\"\ny = \"joint\"\nz = \"part\"\n";
    assert_eq!(read(text, &mapped(map)).rows, 1);
    let named = mapped("[file]\nheader-row = 2\n");
    let sheet = read_any(text.as_bytes(), "shop.csv", &named).unwrap();
    let report = take(&sheet, &tables(), &named, &EmptyBook).unwrap();
    let texts: Vec<&str> = report.headings.iter().map(|heading| &*heading.text).collect();
    assert_eq!((report.header_line, texts), (2, vec!["x", "y", "z"]));
}

#[test]
fn answers_are_remembered_in_the_mapping() {
    let text = "Assembly,Joint,Part,Thread,Torque\nM,head,\"a \"\"x\"\"\",M10,70\n";
    let map = "# my shop\n[file]\nlube = \"oil\" # always\n\n[answers.\"Thread\"]\n\"M12\" = \"M12x1.75\"\n";
    let mut options = mapped(map);
    options.answers.say("Thread", "M10", "M10x1.5");
    options.answers.say("Torque", "70", "70 \"lb-ft\"\\");
    options.answers.say("Torque", "70", "70 lb-ft");
    let kept = with_answers(map, &options.answers);
    assert!(kept.starts_with("# my shop\n[file]\nlube = \"oil\" # always\n"), "{kept}");
    let again = mapped(&kept);
    let report = read(text, &again);
    assert_eq!(field(&report.accepted().expect("answered")[0], 0, "thread"), "M10x1.5");
    assert_eq!(with_answers(&kept, &again.answers), kept, "written once, it stays");
    assert!(kept.contains("\"M12\" = \"M12x1.75\""));
}

#[test]
fn rows_not_taken_come_back_as_a_file() {
    let text = "Assembly;Joint;Part;Thread;Notes\nM;head;a;7/16-20;fine\nM;head;b;M10 fine;\"two\nlines; and \"\"more\"\"\"\nM;head;c;bolt;x;beyond\n";
    let sheet = read_csv(text.as_bytes(), "shop.csv").unwrap();
    let report = take(&sheet, &tables(), &Options::default(), &EmptyBook).unwrap();
    assert_eq!(report.fasteners.len(), 1);
    let left = leftovers(&sheet, &tables(), &Options::default(), &report).unwrap();
    let again = read_csv(left.as_bytes(), "left.csv").unwrap();
    assert_eq!(again.delimiter, Some(';'));
    assert!(left.lines().next().is_some_and(|line| line.ends_with("Why not taken")));
    assert!(
        left.contains("which pitch") && left.contains("beyond the last heading: beyond"),
        "{left}"
    );
    let mended = left.replace(";M10 fine;", ";M10x1.25;").replace(";bolt;", ";3/8-16;");
    let report = taken(&mended, &Options::default());
    let all = report.accepted().unwrap_or_else(|| panic!("{:#?}", report.verdicts));
    assert_eq!(all.len(), 2);
    assert_eq!(all[0].notes.as_deref(), Some("two\nlines; and \"more\""));
    let second = {
        let report = taken(&left, &Options::default());
        leftovers(&again, &tables(), &Options::default(), &report).unwrap()
    };
    assert_eq!(second.matches("Why not taken").count(), 1);
}

#[test]
fn doubtful_figures_are_warned_of_and_taken() {
    let text = "\
Assembly,Joint,Part,Thread,Strength,Lube,Torque,Qty,Order,Source,Page
M,pan,bolt,M6x1,8.8,oil,90 lb-ft,4,,S,1
M,head,bolt,M10x1.5,10.9,oil,50 N·m,10,\"1,2,3,4,5,6,7,8\",S,1
M,main,bolt,M12x1.25,10.9,oil,80 N·m,,,S,1
M,main,stud,1/2-20,SAE 8,oil,70 lb-ft,,,S,1
M,rod,bolt,3/8-16,10.9,oil,30 lb-ft,,,S,1
M,cover,bolt,M8x1.25,SAE 5,oil,20 N·m,,,S,1
";
    let report = taken(text, &Options::default());
    assert!(report.is_sound());
    let codes: Vec<(u32, &str)> =
        report.verdicts.iter().map(|cell| (cell.place.line, cell.code)).collect();
    for wanted in
        [(2, "unit-doubt"), (3, "count-differs"), (6, "strength-family"), (7, "strength-family")]
    {
        assert!(codes.contains(&wanted), "{wanted:?} in {codes:?}");
    }
    assert!(
        codes.iter().any(|(line, code)| *code == "look-alike" && (4..=5).contains(line)),
        "{codes:?}"
    );
    assert_eq!(report.fasteners.len(), 6, "a doubt only warns");
}

#[test]
fn a_joint_is_judged_with_what_the_book_has_of_it() {
    let head = "Assembly,Joint,Part,Qty,Order,Lube,Torque,Source,Page\n";
    let both =
        "M,head,bolt A,4,\"1,2,3,4,5,6,7,8\",oil,50 N·m,S,1\nM,head,bolt B,4,,oil,50 N·m,S,1\n";
    let first = taken(&format!("{head}{both}"), &Options::default());
    assert!(!first.reasons.contains_key("count-differs"), "4 and 4 are 8");
    let book = Held::new(first.fasteners.into_iter().map(Arc::new));
    let one = format!("{head}M,head,bolt B,4,,moly,40 N·m,S,1\n");
    let sheet = read_csv(one.as_bytes(), "shop.csv").unwrap();
    let report = take(&sheet, &tables(), &Options::default(), &book).unwrap();
    assert_eq!(report.changes.added, 1);
    assert!(!report.reasons.contains_key("count-differs"), "{:?}", report.verdicts);
}

#[test]
fn a_thread_put_together_by_a_map_keeps_thread_and_strength() {
    let map = "[combine.\"thread\"]\nfrom = [\"Dia\", \"TPI\"]\nwith = \"-\"\n";
    let text = "Assembly,Joint,Part,Dia,TPI,Grade,Torque (lb-ft)\nM,head,a,3/8,16,5,30\n";
    let report = read(text, &mapped(map));
    assert!(report.is_sound());
    assert_eq!(field(&report.fasteners[0], 0, "thread"), "3/8-16");
    assert_eq!(field(&report.fasteners[0], 0, "strength"), "SAE 5");
}

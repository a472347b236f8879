//! JSON and JSON lines, as other programs and clampbook itself write them.

use std::sync::Arc;

use crate::support::held::Accepted as _;
use crate::support::held::Held;
use crate::support::{exported, field, tables, taken, tightening};
use clampbook::intake::{EmptyBook, IntakeError, Options, Report, read_any, take};
use clampbook::report::export_json;

fn read(text: &str) -> Report {
    let sheet = read_any(text.as_bytes(), "shop.json", &Options::default()).expect("readable JSON");
    take(&sheet, &tables(), &Options::default(), &EmptyBook).expect("usable keys")
}

#[test]
fn arrays_objects_and_lines_are_read_alike() {
    let one = r#"{"assembly": "Marlow 6", "joint": "head", "part": "bolt", "thread": "7/16-20",
        "torque": "70.50 lb-ft", "lube": "moly", "passes": ["25 lb-ft", "70 lb-ft"], "insert": true, "count": 8}"#;
    let two = r#"{"assembly": "Marlow 6", "joint": "main", "part": "bolt", "torque_nm": 95, "count": null}"#;
    let array = format!("[\n{one},\n{two}\n]");
    let held = format!("{{\"settings\": [{one}, {two}], \"left_out\": 0}}");
    let lines = format!("{}\n{two}\n", one.replace('\n', " "));
    for text in [array, held, lines] {
        let report = read(&text);
        let all = report.accepted().unwrap_or_else(|| panic!("{:#?}", report.verdicts));
        assert_eq!(
            tightening(&all[0]),
            "torque | lube moly | torque 70.50 lb-ft | passes 25 lb-ft, 70 lb-ft"
        );
        assert_eq!(field(&all[0], 0, "insert"), "true");
        assert_eq!(field(&all[0], 0, "count"), "8");
        assert_eq!(tightening(&all[1]), "torque | torque 95 N·m", "the key says the unit");
    }
}

#[test]
fn a_row_is_known_by_the_line_that_it_starts_on() {
    let text = "[\n {\"assembly\": \"M\", \"joint\": \"head\", \"part\": \"a\"},\n\n {\"assembly\": \"M\", \"joint\": \"head\",\n  \"part\": \"b\", \"count\": \"1O\"}\n]";
    let report = read(text);
    let bad: Vec<_> =
        report.bad_cells().map(|cell| (cell.place.line, &*cell.place.header, cell.code)).collect();
    assert_eq!(bad, [(4, "qty", "letter-in-number")]);
}

#[test]
fn one_torque_under_keys_of_two_units_is_held_against_itself() {
    let row = |part: &str, torque: &str| {
        format!(r#"{{"machine": "M", "place": "head", "part": "{part}", {torque}}}"#)
    };
    let read_rows = |rows: &[String]| read(&format!("[{}]", rows.join(",\n")));
    let rows = [
        row("a", r#""torque_nm": "88-92""#),
        row("b", r#""torque_ft_lb": 66"#),
        // 66 lb-ft is 89.48 N·m.
        row("c", r#""torque_nm": 89.5, "torque_ft_lb": 66"#),
    ];
    let report = read_rows(&rows);
    let all = report.accepted().unwrap_or_else(|| panic!("{:#?}", report.verdicts));
    let read: Vec<String> = all.iter().map(tightening).collect();
    assert_eq!(
        read,
        ["torque | torque 88..92 N·m", "torque | torque 66 lb-ft", "torque | torque 89.5 N·m"]
    );
    let other = [row("d", r#""torque_nm": 66, "torque_ft_lb": 66"#)];
    assert!(!read_rows(&other).is_sound(), "66 N·m is not 66 lb-ft");
}

#[test]
fn an_end_that_is_null_or_blank_leaves_the_other_one_an_end() {
    let read_torque = |torque: &str| {
        let row =
            format!(r#"[{{"machine": "M", "place": "cap", "part": "a", "unit": "Nm", {torque}}}]"#);
        let report = read(&row);
        let all = report.accepted().map(|all| tightening(&all[0]));
        all.unwrap_or_else(|| report.bad_cells().map(|bad| bad.code).collect::<Vec<_>>().join(" "))
    };
    let most = [
        r#""torque": {"min": null, "max": 30}"#,
        r#""torque": {"max": 30, "min": ""}"#,
        r#""torque": {"min": "-", "max": 30, "unit": "Nm"}"#,
        r#""torque_min_nm": null, "torque_max_nm": 30"#,
        r#""torque_min": "", "torque_max": 30"#,
        r#""torque_max_nm": 30"#,
    ];
    for torque in most {
        assert_eq!(read_torque(torque), "torque | torque max 30 N·m", "{torque}");
    }
    let both = [
        r#""torque": {"min": 20, "max": 30}"#,
        r#""torque_min_nm": 20, "torque_max_nm": 30"#,
        r#""torque_max_nm": 30, "torque_nm": 20"#,
    ];
    for torque in both {
        assert_eq!(read_torque(torque), "torque | torque 20..30 N·m", "{torque}");
    }
    assert_eq!(read_torque(r#""torque": {"value": 22, "min": null}"#), "torque | torque 22 N·m");
    // A low end alone is no figure to tighten to, as in columns.
    let low = [
        r#""torque": {"min": 20, "max": null}"#,
        r#""torque": {"min": 20}"#,
        r#""torque_min_nm": 20, "torque_max_nm": null"#,
    ];
    for torque in low {
        let read = read_torque(torque);
        assert!(!read.starts_with("torque |"), "{torque}: {read}");
    }
}

#[test]
fn words_around_the_rows_are_kept_or_told() {
    let text = r#"{"site": "brine house", "copied": 2, "by": {"who": "tablet 7"}, "tags": ["x", "y"],
        "machines": [{"name": "Ostrand 3", "year": 1998, "maker": {"town": "Vell"},
        "fasteners": [{"where": "lid", "thread": "M12x1.75", "torque_nm": 70}]}]}"#;
    let report = read(text);
    let all = report.accepted().unwrap_or_else(|| panic!("{:#?}", report.verdicts));
    assert_eq!((&*all[0].joint.assembly, &*all[0].joint.name), ("Ostrand 3", "lid"));
    let notes = field(&all[0], 0, "notes");
    assert!(notes.contains("1998") && notes.contains("Vell"), "what its machine says: {notes}");
    for said in ["site: brine house", "copied: 2", "who: tablet 7", "tags: x, y"] {
        let is_told = report.conclusions.iter().any(|one| one.text.contains(said));
        assert!(is_told && !notes.contains(said), "{said}: {:?}", report.conclusions);
    }
}

#[test]
fn a_row_that_stands_alone_beside_lists_says_nothing_of_theirs() {
    let text = r#"{"Pell 6": {"Sump": [{"part": "bolt", "thread": "5/16-18", "torque": "14 lb-ft"}],
        "Flywheel": {"part": "bolt", "thread": "7/16-20", "torque": "60 lb-ft"}}}"#;
    let report = read(text);
    let all = report.accepted().unwrap_or_else(|| panic!("{:#?}", report.verdicts));
    let read: Vec<[String; 2]> =
        all.iter().map(|one| [one.joint.name.clone(), field(one, 0, "torque")]).collect();
    assert_eq!(read, [["Sump", "14 lb-ft"], ["Flywheel", "60 lb-ft"]]);
}

#[test]
fn a_figure_in_text_wins_over_the_same_in_si() {
    let text = r#"[{"assembly": "M", "joint": "head", "part": "a", "torque": "70 lb-ft", "torque_nm": 94.9,
        "torque_max_nm": 94.9, "clamp_n": 71000, "of_proof": 0.75}]"#;
    let report = read(text);
    assert_eq!(tightening(&report.accepted().expect("sound")[0]), "torque | torque 70 lb-ft");
    assert_eq!(report.reasons.get("computed"), Some(&2), "what clampbook computes is not taken");
}

#[test]
fn figures_in_si_alone_are_taken() {
    let text = r#"[{"assembly": "M", "joint": "head", "part": "a", "torque_nm": 90, "torque_max_nm": 95, "stretch_mm": null},
        {"assembly": "M", "joint": "head", "part": "b", "torque_nm": 90, "torque_max_nm": null, "stretch_mm": 0.14}]"#;
    let report = read(text);
    let all = report.accepted().expect("sound");
    assert_eq!(tightening(&all[0]), "torque | torque 90..95 N·m");
    assert_eq!(tightening(&all[1]), "stretch | torque 90 N·m | stretch 0.14 mm");
}

#[test]
fn what_is_no_json_or_no_row_says_where() {
    let error =
        |text: &str| read_any(text.as_bytes(), "shop.json", &Options::default()).unwrap_err();
    let broken = error("[{\"assembly\": \"M\",\n \"joint\" \"head\"}]");
    assert!(
        matches!(&broken, IntakeError::Notation { place, .. } if place.contains("line 2")),
        "{broken}"
    );
    let number = error("[\n1,\n2]");
    assert!(
        matches!(&number, IntakeError::Notation { place, .. } if place.contains("line 2")),
        "{number}"
    );
    assert!(matches!(error("[]"), IntakeError::NoHeader { .. }));
}

#[test]
fn an_export_in_json_comes_back_as_it_was() {
    let text = "\
Assembly,Joint,Part,Kind,Qty,Thread,Lube,Torque (lb-ft),Angle,Reuse,Hole type,Source,Tags,Notes\n\
Marlow 6,head,\"stud, long\",stud,8,7/16-14 x 7/16-20,moly,24-48-72,,up to 5 cycles,blind,Sheet H7 rev C p. 12,\"a, b\",\"=1+1 \"\"x\"\"\"\n\
Marlow 6,main,bolt,bolt,10,M8,,22,+90° +90°,single-use,,,,\n";
    let first = taken(text, &Options::default());
    let all: Vec<Arc<_>> = first.accepted().expect("sound").iter().cloned().map(Arc::new).collect();
    let export = exported(export_json, &all);
    let second = read(&export);
    assert_eq!(second.accepted().expect("sound"), first.fasteners);
    let sheet = read_any(export.as_bytes(), "export.json", &Options::default()).expect("readable");
    let again = take(&sheet, &tables(), &Options::default(), &Held::new(all)).expect("usable");
    assert_eq!((again.changes.unchanged, again.fasteners.len()), (2, 0));
}

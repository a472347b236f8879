//! Answers as a terminal shows them.

use std::sync::Arc;

use crate::answers::{
    assert_fits, front_bolt, head_answer, listed, short_bolt, stored, stud, tables, with,
};
use clampbook::quantity::{Extent, System, find_unit};
use clampbook::query::run::{Answer, Column, Group, Tally, UnitsWanted};
use clampbook::record::{
    Basis, Duty, Fastener, Joint, Kind, Method, Prevailing, Row, Setting, SourceKind, Value,
    find_field,
};
use clampbook::report::{Canvas, Format, Style, find_page, render};
use clampbook::thread::Thread;

fn find_table(answer: &Answer, width: usize, style: Style) -> String {
    let mut bytes = Vec::new();
    let canvas = Canvas { width, style, one_line: false };
    render(&find_page(answer, None), Format::Table, canvas, &mut bytes).unwrap();
    String::from_utf8(bytes).unwrap()
}

fn drawn(answer: &Answer, width: usize) -> String {
    let text = find_table(answer, width, Style::plain());
    assert_fits(&text, width);
    text
}

/// With every run of blanks as one.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn of(rows: Vec<Row>) -> Answer {
    Answer { rows, ..Answer::default() }
}

/// The whole page. The figures were checked by hand: 66 lb-ft · 12 / (0.12 ·
/// 0.4375 in) = 15 086 lbf = 67.1 kN, moly's .12 (.09–.16) with the wrench ± 33.6 %,
/// 50.2 to 89.6; over 180 ksi · 0.1187 in² (ASME B1.1) = 70.6 %, over the 0.1063 in² of
/// the hole end 78.8 %. 44
/// lb-ft dry at K 0.20 is 33 with oil at K 0.15; 33 · 12 / (0.15 · 0.375) = 7040
/// lbf = 31.3 kN, over 130 ksi · 0.0775 in² 69.9 %.
#[test]
fn the_head_of_an_invented_engine() {
    for width in [60, 80, 140] {
        insta::assert_snapshot!(format!("head_{width}"), drawn(&head_answer(), width));
    }
}

#[test]
fn lube_and_basis_stand_on_the_line_of_every_torque() {
    let parts = [("66", "moly", "LISTED"), ("82", "oil", "LISTED"), ("33", "oil", "COMPUTED")];
    for width in [40, 60, 80, 100, 140, 200] {
        let text = drawn(&head_answer(), width);
        for (torque, lube, basis) in parts {
            let line = text.lines().find(|line| line.contains(&format!("{torque} lb-ft")));
            let line = line.unwrap_or_else(|| panic!("{torque} is missing at {width}:\n{text}"));
            assert!(line.contains(lube) && line.contains(basis), "{width}: {line}");
        }
    }
}

/// A torque that does not fit beside its lube is not shown at all.
#[test]
fn a_torque_without_room_for_its_lube_is_left_out() {
    let mut bolt = Fastener::clone(&short_bolt());
    bolt.settings[0].lube = Some("a lubricant with a very long name indeed".to_owned());
    let rows = stored(&Arc::new(bolt));
    let text = drawn(&of(rows), 40);
    assert!(!text.contains("44"), "{text}");
    assert!(text.contains("torque: needs"), "{text}");
}

#[test]
fn every_figure_has_its_unit_beside_it() {
    let mut mixed = with(&stud(), &["moly"]);
    let mut metric = Fastener::clone(&short_bolt());
    metric.settings = vec![listed("oil", "45 N·m")];
    mixed.extend(stored(&Arc::new(metric)));
    let text = drawn(&of(mixed), 80);
    for words in ["66 lb-ft    89.5 N·m", "45 N·m  33.2 lb-ft", "67 kN (50–90)"] {
        assert!(text.contains(words), "{words} in\n{text}");
    }
}

#[test]
fn units_as_wanted() {
    let mut answer = head_answer();
    answer.units = UnitsWanted::System(System::Metric);
    let text = drawn(&answer, 80);
    assert!(text.contains(" 89.5 N·m "), "{text}");
    let first = text.lines().find(|line| line.contains("moly")).unwrap();
    assert!(!first.contains("lb-ft"), "{first}");
    answer.units = UnitsWanted::System(System::Inch);
    let text = drawn(&answer, 80);
    // 15 086 lbf; moly .12 (.09–.16) with the wrench is ±33.6 %: 11 294 to 20 150.
    assert!(text.contains("15000 lbf (11000–21000)"), "{text}");
    answer.units = UnitsWanted::Units(vec![find_unit("kgf·m").unwrap(), find_unit("kip").unwrap()]);
    let text = drawn(&answer, 80);
    // 66 lb-ft = 9.125 kgf·m (1 kgf·m = 7.233 lb-ft), to three figures.
    assert!(text.contains("9.12 kgf·m"), "{text}");
    assert!(text.contains("15 kip (11–21)"), "{text}");
}

#[test]
fn cautions_have_their_words_and_stand_once() {
    let mut rows = with(&stud(), &["moly", "oil"]);
    rows.extend(stored(&front_bolt()));
    rows.extend(stored(&short_bolt()));
    let mut wheel = Fastener::new(Joint::named("Marlow 6", "wheel"), "nut");
    wheel.joint.duty = Some(Duty::Wheel);
    wheel.thread = Some(Thread::parse("M12x1.25").unwrap());
    wheel.settings = vec![listed("dry", "85 N·m")];
    rows.extend(stored(&Arc::new(wheel)));
    let mut brake = Fastener::new(Joint::named("Marlow 6", "wheel"), "bolt");
    brake.joint.duty = Some(Duty::Pressure);
    brake.thread = Some(Thread::parse("1/2-20").unwrap());
    brake.settings = vec![listed("dry", "240 lb-in")];
    rows.extend(stored(&Arc::new(brake)));
    let mut main = Fastener::new(Joint::named("Marlow 6", "main"), "stud, cap");
    main.kind = Some(Kind::Stud);
    main.hole_material = Some("aluminium".to_owned());
    main.settings = vec![listed("oil", "90 lb-ft")];
    rows.extend(stored(&Arc::new(main)));
    let text = flat(&drawn(&of(rows), 140));
    for words in [
        "22 lb-ft is only the start: +90° +90° follow",
        "DISCARD AFTER REMOVAL.",
        "wheel: maker's procedure governs; dry and clean unless the maker says otherwise; recheck after 50–100 miles",
        "pressure: maker's procedure governs; never tighten under pressure",
        "blind hole: clean, dry, depth checked; liquid in it can crack the part. Any lube goes on the fastener.",
        "1/2-20 nut runs loose on M12x1.25 and strips",
        "INCH-pounds: 20 lb-ft = 240 lb-in",
        "Each torque is for its own lube only.",
        "studs replace bolts: check bore at final torque; line-hone usual",
        "aluminium: cold only",
        "Maker's current sheet governs; local codes and licensed practice come first.",
    ] {
        assert_eq!(text.matches(words).count(), 1, "`{words}` in\n{text}");
    }
    // Once for each joint that has such a pair.
    assert_eq!(text.matches("By fingers three turns, or wrong thread.").count(), 2, "{text}");
}

#[test]
fn cautions_stand_only_where_they_apply() {
    let text = drawn(&of(with(&stud(), &["moly"])), 80);
    for words in ["only the start", "DISCARD", "dry and clean", "procedure governs", "liquid in"] {
        assert!(!text.contains(words), "{words} in\n{text}");
    }
    for words in ["INCH-pounds", "By fingers", "own lube only", "studs replace", "cold only"] {
        assert!(!text.contains(words), "{words} in\n{text}");
    }
}

#[test]
fn what_is_missing_is_not_stated_and_never_blank() {
    let mut bolt = Fastener::new(Joint::named("Dunlin pump", "cover"), "bolt");
    let mut setting = Setting::new(Method::Torque, Basis::Shop);
    setting.torque = Some(Extent::parse("max 9 N·m").unwrap());
    setting.source.kind = Some(SourceKind::Memory);
    bolt.settings = vec![setting, Setting::new(Method::Stretch, Basis::Shop)];
    bolt.prevailing_rule = Some(Prevailing::Unknown);
    let text = drawn(&of(stored(&Arc::new(bolt))), 140);
    insta::assert_snapshot!("missing_140", text);
    let line = text.lines().find(|line| line.contains("max 9 N·m")).unwrap();
    assert_eq!(line.matches("not stated").count(), 2, "thread and lube: {line}");
    assert!(line.contains("clamp not known"), "{line}");
}

#[test]
fn disagreeing_values_stand_side_by_side() {
    let mut bolt = Fastener::clone(&short_bolt());
    bolt.settings = vec![listed("oil", "160 lb-ft"), listed("oil", "180 lb-ft")];
    let text = drawn(&of(stored(&Arc::new(bolt))), 80);
    // 180/160 = 1.125.
    let words = "listed values disagree: 160 lb-ft (Marlow 6 head set sheet) and 180 lb-ft (Marlow 6 head \
                 set sheet), 12 % apart";
    assert_eq!(flat(&text).matches(words).count(), 1, "{text}");
    // At K 0.15 both pass the yield of SAE 8 in 3/8-16 by far.
    assert!(text.contains("PAST YIELD: listed value by the book's friction"), "{text}");
}

#[test]
fn superseded_rows_are_marked_and_a_waist_is_named() {
    let mut bolt = Fastener::clone(&short_bolt());
    bolt.settings[0].superseded = true;
    bolt.waist = Some(clampbook::quantity::Stated::parse("0.300 in").unwrap());
    let text = drawn(&of(stored(&Arc::new(bolt.clone()))), 80);
    assert!(text.contains("SUPERSEDED"), "{text}");
    bolt.settings[0].superseded = false;
    let text = drawn(&of(stored(&Arc::new(bolt))), 80);
    // 7040 lbf over 130 ksi · π/4 · 0.3² in² = 76.6 %.
    assert!(text.contains("70 % yield, waist 77"), "{text}");
}

/// A figure that was replaced never comes first, even where it was entered first.
#[test]
fn a_superseded_figure_comes_last() {
    let mut bolt = Fastener::clone(&stud());
    bolt.settings[0].superseded = true;
    bolt.notes = Some("torque to yield, replace every time".to_owned());
    for width in [60, 80, 120, 140] {
        let text = drawn(&of(stored(&Arc::new(bolt.clone()))), width);
        let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("{words} in\n{text}"));
        assert!(at("82 lb-ft") < at("66 lb-ft"), "{text}");
        assert!(flat(&text).contains("note: torque to yield, replace every time"), "{text}");
    }
}

/// What is asked of one lube alone is refused once for all bolts that refuse it alike.
#[test]
fn a_reason_is_given_once() {
    let mut rows = with(&stud(), &["moly", "dry"]);
    let mut other = Fastener::clone(&stud());
    other.part = "stud, short".to_owned();
    other.key = "another".to_owned();
    rows.extend(with(&Arc::new(other), &["moly", "dry"]));
    let text = drawn(&of(rows), 80);
    assert_eq!(flat(&text).matches("wet to dry is never converted").count(), 1, "{text}");
    assert!(text.contains("NO: as for stud, long"), "{text}");
}

/// A refusal names what the sheet lists instead, where the answer shows nothing else.
#[test]
fn a_refusal_names_what_to_use_instead() {
    for width in [60, 80, 140] {
        let text = flat(&drawn(&of(with(&stud(), &["dry"])), width));
        let words = "wet to dry is never converted; listed: moly 66 lb-ft, oil 82 lb-ft";
        assert!(text.contains(words), "{width}: {text}");
    }
    let text = flat(&drawn(&of(with(&stud(), &["moly", "dry"])), 80));
    assert!(!text.contains("; listed:"), "the moly figure stands above: {text}");
}

/// 60 moly gives 70.0 for anti-seize, 80 oil 74.7: more than a twentieth apart.
#[test]
fn two_computed_torques_are_remarked() {
    let mut bolt = Fastener::clone(&stud());
    bolt.settings = vec![listed("moly", "60 lb-ft"), listed("oil", "80 lb-ft")];
    let text = flat(&drawn(&of(with(&Arc::new(bolt), &["anti-seize"])), 80));
    assert_eq!(text.matches("computed from each figure of the sheet").count(), 1, "{text}");
    let agreeing = flat(&drawn(&of(with(&stud(), &["anti-seize"])), 80));
    assert!(!agreeing.contains("computed from each figure"), "{agreeing}");
}

/// 120 / 90 = 1.333.
#[test]
fn charts_that_differ_are_remarked() {
    let chart = |torque: &str, key: &str| {
        let mut bolt = Fastener::clone(&short_bolt());
        bolt.key = key.to_owned();
        bolt.settings = vec![Setting { basis: Basis::Chart, ..listed("dry", torque) }];
        stored(&Arc::new(bolt))
    };
    let rows = [chart("120 lb-ft", "a"), chart("90 lb-ft", "b")].concat();
    let text = flat(&drawn(&of(rows), 80));
    let words = "3/8-16, SAE 8, dry: charts differ, 90 lb-ft and 120 lb-ft, 33 % apart.";
    assert!(text.contains(words), "{text}");
}

/// The shop's units stand first and the sheet's own beside them.
#[test]
fn the_shops_units_stand_first() {
    let mut answer = head_answer();
    answer.units = UnitsWanted::First(System::Metric);
    let text = drawn(&answer, 100);
    let line = text.lines().find(|line| line.contains("moly")).unwrap();
    let at = |words: &str| line.find(words).unwrap_or_else(|| panic!("{words} in {line}"));
    assert!(at("89.5 N·m") < at("66 lb-ft"), "{line}");
}

/// Wherever a torque stands, that it was replaced stands beside it.
#[test]
fn a_replaced_torque_is_marked_in_every_shape() {
    let mut bolt = Fastener::clone(&stud());
    bolt.settings[0].superseded = true;
    let mut answer = of(stored(&Arc::new(bolt)));
    answer.columns = ["part", "torque"].map(|name| column(&answer, name)).to_vec();
    for width in [50, 80, 120] {
        let text = drawn(&answer, width);
        assert_eq!(text.matches("SUPERSEDED").count(), 1, "{text}");
    }
}

#[test]
fn no_rows_are_said_plainly() {
    let answer = Answer {
        left_out: 3,
        unstated: ["length", "clamp"].into_iter().filter_map(find_field).collect(),
        near: vec!["7/16-14, 12 fasteners".to_owned(), "assembly Marlow 6".to_owned()],
        remarks: vec!["6 more say \"oil\" in their text: write text oil".to_owned()],
        ..Answer::default()
    };
    assert_eq!(
        drawn(&answer, 80),
        "0 rows, 3 left out: length not stated; clamp not known.\n\
         nearest: 7/16-14, 12 fasteners; assembly Marlow 6\n\
         6 more say \"oil\" in their text: write text oil\n"
    );
}

fn column(answer: &Answer, name: &str) -> Column {
    let field = find_field(name).unwrap();
    Column {
        heading: name.to_owned(),
        field: Some(field),
        values: answer.rows.iter().map(|row| field.get(row).into_owned()).collect(),
    }
}

#[test]
fn a_torque_asked_for_brings_its_lube_and_basis() {
    let mut answer = head_answer();
    answer.columns = ["part", "torque", "clamp", "of-proof"].map(|n| column(&answer, n)).to_vec();
    for width in [50, 80] {
        insta::assert_snapshot!(format!("show_{width}"), drawn(&answer, width));
    }
    answer.columns = ["part", "thread", "length"].map(|name| column(&answer, name)).to_vec();
    let text = drawn(&answer, 80);
    assert!(!text.contains("LISTED") && text.contains("length in / mm"), "{text}");
    assert!(!text.contains("COMPUTED"), "no figure, no caution: {text}");
    assert!(text.contains("5.25 / 133.4"), "{text}");
}

#[test]
fn a_tally_counts() {
    let thread = |text: &str| Value::Thread(std::borrow::Cow::Owned(Thread::parse(text).unwrap()));
    let lube = |text: &str| Value::made(text.to_owned());
    let groups = vec![
        Group { values: vec![thread("7/16-20"), lube("moly")], count: 12 },
        Group { values: vec![thread("M10x1.5"), Value::NotStated], count: 3 },
    ];
    let columns = ["thread", "lube"].map(|name| (name.to_owned(), find_field(name))).to_vec();
    let answer = Answer { tally: Some(Tally { columns, groups }), ..Answer::default() };
    assert_eq!(
        drawn(&answer, 80),
        "thread   lube        count\n\
         7/16-20  moly           12\n\
         M10x1.5  not stated      3\n\
         2 groups, 15 rows, 0 left out.\n"
    );
}

#[test]
fn sorted_rows_name_their_joint_on_the_line() {
    let mut other = Fastener::clone(&short_bolt());
    other.joint.name = "cover".to_owned();
    let [head, cover] = [stored(&short_bolt()), stored(&Arc::new(other))];
    let rows = [head.clone(), cover, head].concat();
    let text = drawn(&of(rows), 100);
    assert_eq!(text.matches("Marlow 6 · head").count(), 2, "{text}");
    assert!(
        text.lines().any(|l| l.contains("Marlow 6 · cover") && l.contains("44 lb-ft")),
        "{text}"
    );
}

#[test]
fn stored_text_cannot_reach_the_terminal() {
    let mut bolt = Fastener::clone(&short_bolt());
    bolt.part = "bolt\u{1b}[31m\u{202e}x".to_owned();
    bolt.sealant = Some("line\none".to_owned());
    for width in [40, 80, 140] {
        let text = drawn(&of(stored(&Arc::new(bolt.clone()))), width);
        let hidden = |c: char| c.is_control() && c != '\n' || c == '\u{202e}';
        assert!(!text.contains(hidden), "{text:?}");
    }
}

#[test]
fn colour_changes_no_letter() {
    for width in [60, 80, 140] {
        let plain = find_table(&head_answer(), width, Style::plain());
        let coloured = find_table(&head_answer(), width, Style::new(true));
        let mut bare = String::new();
        for piece in coloured.split('\u{1b}') {
            bare.push_str(piece.strip_prefix('[').map_or(piece, |p| p.split_once('m').unwrap().1));
        }
        assert_eq!(bare, plain);
        assert!(coloured.len() > plain.len());
    }
}

#[test]
fn any_names_fit_any_width() {
    use proptest::prelude::*;
    let config = ProptestConfig { cases: 60, failure_persistence: None, ..Default::default() };
    let name = "[a-zA-Z0-9 ,/漢µ°·\u{301}-]{0,40}";
    proptest!(config, |(part in name, lube in name, notes in name, width in 20usize..160)| {
        let mut bolt = Fastener::clone(&stud());
        bolt.part = part;
        bolt.sealant = Some(notes);
        let mut tables = tables();
        tables.lubes[0].name.clone_from(&lube);
        bolt.settings[0].lube = Some(lube);
        bolt.settings[1].superseded = true;
        let bolt = Arc::new(bolt);
        let mut rows = clampbook::correction::stored_rows(&bolt, &[0, 1], &tables);
        rows.extend(with(&short_bolt(), &["dry", "sealant", "oil"]));
        drawn(&of(rows), width);
    });
}

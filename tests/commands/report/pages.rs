//! Single pages: why, threads, sums, lists, the report of an import, carets.

use crate::answers::{assert_fits, head_answer, stud, tables};
use clampbook::intake::{EmptyBook, Options, read_csv, take};
use clampbook::query::run::Answer;
use clampbook::record::{Band, BookInfo};
use clampbook::report::{
    Format, Imported, Page, Style, book_page, draw, fields_page, import_page, lube_list, rendered,
    strength_list, thread_page, why,
};
use clampbook::text::{Diagnostic, Span};
use clampbook::thread::Thread;

fn text(page: &Page<'_>, width: usize) -> String {
    rendered(page, Format::Table, width)
}

fn json(page: &Page<'_>) -> String {
    rendered(page, Format::Json, 80)
}

/// One page for each fastener: its sections once, then each of its settings.
#[test]
fn why_names_formula_inputs_and_source() {
    let answer = head_answer();
    let all = why(&answer, &tables());
    assert_fits(&all, 80);
    for words in ["F = T/l", "K = 0.12", "Shigley 9th ed. eq. 8-27", "source: ASME B1.1"] {
        assert!(all.contains(words), "{words} in\n{all}");
    }
    for row in &answer.rows {
        let one = why(&Answer { rows: vec![row.clone()], ..Answer::default() }, &tables());
        assert_fits(&one, 80);
        assert!(one.contains("source: ") || row.derived.clamp.is_none(), "{one}");
    }
}

/// The long form with a stated ring: both factors of friction, the ring and the
/// combined stress are there.
#[test]
fn why_shows_the_long_form() {
    let mut tables = tables();
    tables.lubes[1].mu_thread = Band::new(0.10, 0.12, 0.16);
    tables.lubes[1].mu_bearing = Band::new(0.10, 0.12, 0.16);
    let mut bolt = clampbook::record::Fastener::clone(&stud());
    bolt.bearing = Some(clampbook::record::Bearing {
        outer: clampbook::quantity::Stated::parse("17.5 mm").unwrap(),
        hole: clampbook::quantity::Stated::parse("11.5 mm").unwrap(),
    });
    let bolt = std::sync::Arc::new(bolt);
    let rows = clampbook::correction::stored_rows(&bolt, &[1], &tables);
    let text = why(&Answer { rows, ..Answer::default() }, &tables);
    for words in ["μt = 0.12", "μb = 0.12", "Do = 17.5 mm", "Dh = 11.5 mm", "VDI 2230", "√(σ²"]
    {
        assert!(text.contains(words), "{words} in\n{text}");
    }
    assert!(!text.contains("ASSUMED"), "{text}");
}

#[test]
fn threads_on_a_page() {
    for (name, thread) in [("unified", "7/16-20"), ("metric", "M12x1.25"), ("pipe", "G 1/4")] {
        for width in [40, 80] {
            let text = text(&thread_page(&Thread::parse(thread).unwrap()), width);
            assert_fits(&text, width);
            insta::assert_snapshot!(format!("thread_{name}_{width}"), text);
        }
    }
}

#[test]
fn lists_fit_their_width() {
    let tables = tables();
    for width in [30, 60, 80, 140] {
        assert_fits(&text(&lube_list(&tables, true, &|_| true), width), width);
        assert_fits(&text(&strength_list(&tables, true, &|_| true), width), width);
        assert_fits(&text(&fields_page(), width), width);
    }
    let lubes = text(&lube_list(&tables, true, &|_| true), 140);
    assert!(lubes.contains(".12 (.09–.16)") && lubes.contains("never"), "{lubes}");
    let strengths = text(&strength_list(&tables, true, &|_| true), 80);
    assert!(strengths.contains("6.35 to 38.1 mm") && strengths.contains("120 ksi"), "{strengths}");
}

#[test]
fn a_book_says_where_it_is() {
    let path = "/home/shop/a very long folder name that must not be broken anywhere";
    let book = BookInfo {
        path: path.into(),
        format: 1,
        generation: 12,
        fasteners: 1,
        settings: 31,
        lubes: 27,
        strengths: 14,
        joints: 9,
        overlaid: 0,
        bytes: 81_920,
    };
    let info = book_page(&book, (None, 0), &[("units".to_owned(), "metric".to_owned())]);
    let page = text(&info, 80);
    assert!(page.contains(path) && page.contains("9 joints, 1 fastener, 31 settings"));
    assert!(page.contains("metric"), "{page}");
    let json: serde_json::Value = serde_json::from_str(&rendered(&info, Format::Json, 80)).unwrap();
    assert_eq!((&json["revision"], &json["bytes"]), (&12.into(), &81_920.into()));
}

const SHEET: &str = "Assembly,Joint,Part,Thread,Lube,Torque (lb-ft),Colour\n\
    Quill 12,head,bolt,3/8-16,oil,33,red\n\
    Quill 12,head,bolt 2,3/8,oil,4O,red\n\
    Quill 12,head,bolt 3,3/8-16,whale oil,54 N·m,red\n";

#[test]
fn an_import_says_each_cell_and_what_to_do() {
    let sheet = read_csv(SHEET.as_bytes(), "quill.csv").unwrap();
    let report = take(&sheet, &tables(), &Options::default(), &EmptyBook).unwrap();
    for width in [40, 80, 140] {
        let page = text(&import_page(&report, Imported::Whole), width);
        assert_fits(&page, width);
        insta::assert_snapshot!(format!("import_{width}"), page);
    }
    let dry = text(&import_page(&report, Imported::DryRun), 80);
    assert!(dry.contains("Dry run: nothing was changed; 1 row cannot be taken."), "{dry}");
    let sound = text(&import_page(&report, Imported::SoundRows), 80);
    assert!(sound.contains("The sound rows were imported; 1 row left out."), "{sound}");
    let told: serde_json::Value =
        serde_json::from_str(&json(&import_page(&report, Imported::Whole))).unwrap();
    assert_eq!(told["imported"], false);
    assert_eq!(told["cells"]["refused"], 1);
    let asked = told["verdicts"].as_array().unwrap().iter().find(|v| v["verdict"] == "question");
    let asked = asked.unwrap();
    assert_eq!((&asked["address"], &asked["cell"]), (&"D3".into(), &"3/8".into()));
    assert_eq!(asked["readings"][0], "3/8-16");
    let taken: serde_json::Value =
        serde_json::from_str(&json(&import_page(&report, Imported::SoundRows))).unwrap();
    assert_eq!(taken["imported"], true);
}

fn wrong(start: usize, end: usize) -> Diagnostic {
    Diagnostic::new("unknown-field", Span::new(start, end), "no such field", "expected a field")
        .suggest("torque")
}

#[test]
fn carets_stand_under_the_place() {
    let text = draw(&wrong(0, 5), "torqe over 60 N.m", "question", 140, Style::plain());
    insta::assert_snapshot!("caret", text);
    let at_end = draw(&wrong(11, 11), "torque over", "question", 140, Style::plain());
    assert!(at_end.contains("1 | torque over\n  |            ^ expected a field"), "{at_end}");
}

#[test]
fn carets_never_panic_and_never_pass_an_escape_on() {
    let text = "M10\u{d7}1.5 µ \u{1b}[31m\u{202e} 漢";
    for start in 0..text.len() + 3 {
        for end in 0..text.len() + 3 {
            let drawn = draw(&wrong(start, end), text, "question", 140, Style::plain());
            assert!(!drawn.contains(['\u{1b}', '\u{202e}']), "{drawn:?}");
        }
    }
    let coloured = draw(&wrong(0, 3), "M10", "question", 140, Style::new(true));
    assert!(coloured.contains("\u{1b}["));
}

#[test]
fn an_empty_answer_has_no_page_of_reasons() {
    assert_eq!(why(&Answer::default(), &tables()), "");
}

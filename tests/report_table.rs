//! Tables as a terminal shows them.

#![allow(clippy::unwrap_used)] // a helper that fails fails its test

mod report_data;

use clampbook::report::{Style, find_table};
use report_data::{assert_fits, head_answer};

#[test]
fn try_it() {
    for width in [140, 80, 60, 40] {
        let text = find_table(&head_answer(), width, Style::plain());
        println!("---- {width}\n{text}");
        assert_fits(&text, width);
    }
}

#[test]
fn try_lubes() {
    let stud = report_data::stud();
    let tables = report_data::tables();
    let settings: Vec<_> = stud.settings.iter().collect();
    let one = clampbook::correction::compare(&stud, &settings, &tables);
    for width in [140, 80, 60, 40] {
        let text = clampbook::report::lubes_table(
            &one,
            &tables,
            width,
            &clampbook::query::run::UnitsWanted::AsWritten,
            Style::plain(),
        );
        println!("---- {width}\n{text}");
        assert_fits(&text, width);
    }
}

#[test]
fn try_pages() {
    use clampbook::report::*;
    let tables = report_data::tables();
    let answer = head_answer();
    println!("{}", why(&answer, &tables));
    println!("{}", find_json(&answer));
    println!("{}", find_csv(&answer));
    println!("{}", export_csv(&[report_data::stud(), report_data::front_bolt()]));
    println!("{}", export_json(&[report_data::stud(), report_data::front_bolt()]));
    for t in ["7/16-20", "M12x1.25", "G 1/4", "M10x1.5 LH"] {
        let t = clampbook::thread::Thread::parse(t).unwrap();
        println!("{}", thread_page(&t, 80));
    }
    println!("{}", lube_list(&tables, 80));
    println!("{}", strength_list(&tables, 80));
    println!("{}", fields_page(80).lines().take(12).collect::<Vec<_>>().join("\n"));
    println!("{}", calc_page(&answer.rows[0], &answer.units, 80));
    for (text, span) in [
        ("torqe over 60 N.m", (0, 5)),
        ("torque over 60", (12, 14)),
        ("torque over", (11, 11)),
        ("torque over µµ 60", (12, 14)),
    ] {
        let d = clampbook::text::Diagnostic::new(
            "unknown-field",
            clampbook::text::Span::new(span.0, span.1),
            "`torqe` is not a field",
            "expected a field",
        )
        .suggest(Some("torque"))
        .help("60 lb-ft = 81 N·m, 60 N·m = 44 lb-ft: which?");
        println!("{}\n", draw(&d, text, "question", Style::plain()));
    }
}

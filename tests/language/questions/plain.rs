//! What an answer once said wrongly or not at all: why rows are left out, whether a figure
//! was restated, what a size without its unit is; and sentences that were not heard. The
//! rows are read off the demo shop's own sheets.

use clampbook::query::{answer, run::Answer};
use clampbook::store::Book;

use super::people::{Case, check};
use crate::program::demo_shop;

fn with_demo(test: impl Fn(&dyn Fn(&str) -> Answer)) {
    let home = demo_shop();
    let book = Book::open(&home.path().join("data/clampbook")).expect("the demo");
    test(&|typed| answer(typed, &book).unwrap_or_else(|error| panic!("{typed}: {error}")));
}

#[test]
fn rows_that_are_left_out_are_so_for_want_of_fields_with_names() {
    with_demo(|ask| {
        for (typed, fields) in [
            ("head-size 18 mm", &["head-size"] as &[&str]),
            ("length over 20 mm, grip over 5 mm", &["length", "grip"]),
            ("not blind", &["blind"]),
            ("of-yield over 80%", &["of-yield"]),
            ("lube oil", &["lube"]),
            ("oil filter torque", &["torque", "angle", "stretch"]),
            ("M8 with moly keep of-proof over 10%", &["of-proof"]),
            ("source-date after 1900", &["source-date"]),
            ("M8", &[]),
        ] {
            let found = ask(typed);
            let mut names: Vec<&str> = found.unstated.iter().map(|field| field.name).collect();
            names.sort_unstable();
            let mut wanted = fields.to_vec();
            wanted.sort_unstable();
            assert_eq!((names, found.left_out == 0), (wanted, fields.is_empty()), "{typed}");
        }
    });
}

/// What the book lists stands as it is listed, whatever `with` says.
#[test]
fn what_is_listed_is_not_called_restated() {
    with_demo(|ask| {
        for (typed, line) in [
            ("head studs with moly", "listed for moly, not restated; listed for it: `lube moly`"),
            ("tie rod with oil", "restated for oil; listed for it: `lube oil`"),
            ("head with moly", "1 listed, 3 refused; listed for it: `lube moly`"),
        ] {
            let readings = ask(typed).readings;
            assert!(readings.iter().any(|said| said == line), "{typed}: {readings:?}");
        }
    });
}

const PATCHED: &[&str] = &["screw-clamp/locking-patch"];
const HUB: &[&str] = &["screw-hub/oil", "screw-hub/dry"];

#[test]
fn the_size_of_a_tool_without_its_unit_is_mm_where_it_can_be_nothing_else() {
    const GUARD: &[&str] = &["nut-wheel/dry"];
    let cases: &[Case] = &[
        ("allen key 8", "read as head-size socket 8 mm", HUB),
        ("hex key 8", "read as head-size socket 8 mm", HUB),
        ("8 hex key", "read as head-size socket 8 mm", HUB),
        ("8 mm key", "read as head-size 8 mm", HUB),
        ("spanner 19", "read as head-size 19 mm", GUARD),
        ("wrench 19", "read as head-size 19 mm", GUARD),
        ("19 spanner", "read as head-size 19 mm", GUARD),
        ("socket 8", "read as socket 8 mm", HUB),
    ];
    check(cases);
    let home = demo_shop();
    let book = Book::open(&home.path().join("data/clampbook")).expect("the demo");
    // A figure that may be something else is asked back, with what finds it.
    for (typed, help) in [
        ("wheel nut 19", "write `wheel nut head-size 19 mm`"),
        ("spanner 2", "write `spanner 2 mm` or `spanner 2 in`"),
    ] {
        let found = answer(typed, &book).map(|found| found.rows.len());
        let Err(clampbook::query::QueryError::Wrong(found)) = found else {
            panic!("{typed}: {found:?}")
        };
        assert_eq!(found.help, [help], "{typed}");
    }
}

#[test]
fn sentences_that_were_not_heard_are() {
    const ONCE: &[&str] = &[
        "screw-clamp/locking-patch",
        "bolt-caliper/threadlocker",
        "nut-drawbar/oil",
        "head-bolt-front/oil",
        "bolt-flexplate/locking-patch",
    ];
    const COUPLING: &[&str] = &["screw-hub/locking-patch", "screw-clamp/locking-patch"];
    check(&[
        (
            "rod no stretch gauge",
            "read as rod no stretch",
            &["stud-tie-rod/moly", "bolt-cap/moly.2", "rod-bolt-cap/oil"],
        ),
        (
            "coupling screw with patch",
            "1 listed, 1 refused; listed for it: `lube locking patch`",
            COUPLING,
        ),
        ("screws new each time", "read as screws single-use", PATCHED),
        ("scrap once they come out", "read as single-use", ONCE),
        ("renewed when they come off", "read as single-use", ONCE),
        (
            "pump foot oil or dry",
            "read as pump foot, oil or dry",
            &["bolt-pump-foot/dry", "bolt-pump-foot/oil"],
        ),
        (
            "how tight is the crank bolt with oil",
            "2 listed, 1 refused; listed for it: `lube oil`",
            &["damper-bolt-crank/oil", "bolt-crank/oil.2", "flywheel-bolt-crank/oil"],
        ),
        ("source before 1990", "read as source-date under 1990", &["coupling-nut-bush/oil"]),
    ]);
}

#[test]
fn lubes_behind_a_machine_with_a_figure_are_a_choice() {
    with_demo(|ask| {
        let found = ask("Marlow 6 oil or dry");
        assert_eq!(found.readings, ["read as Marlow 6, oil or dry"]);
        assert!(found.rows.iter().all(|row| row.fastener.joint.assembly == "Marlow 6"));
    });
}

#[test]
fn a_field_is_offered_once() {
    with_demo(|ask| {
        let found = ask("lacks torque, lacks stretch");
        let line = found.readings.iter().find(|line| line.contains("write `")).expect("an offer");
        assert_eq!(line.matches("lacks stretch").count(), 1, "{line}");
    });
}

#[test]
fn a_question_looks_the_same_in_either_order() {
    with_demo(|ask| {
        let (one, other) = (ask("thick washer"), ask("washer thick"));
        assert_eq!(one.columns, other.columns);
        let keys = |found: &Answer| -> Vec<String> {
            found.rows.iter().map(|row| row.key.clone()).collect()
        };
        assert_eq!(keys(&one), keys(&other));
        assert!(!one.rows.is_empty());
    });
}

//! How many, in which unit, any of a list, and who when: what readers of the shop's sheets
//! typed, and the rows that they had written down before asking.

use clampbook::query::answer;
use clampbook::store::Book;

use super::people::check;
use crate::program::demo_shop;

const CASING: &[&str] = &["casing-stud-casing/oil", "casing-stud-casing/moly"];
const PAN: &[&str] = &["bolt-rail/dry", "bolt-rail/oil", "bolt-corner/dry"];
const ENTERED: &[&str] = &["head-stud-long/moly", "head-stud-long/oil", "bolt-cover/dry"];

/// What is counted of a fastener is a field of it, not how many fasteners there are.
#[test]
fn how_many_passes_degrees_and_cycles_are_fields() {
    check(&[
        ("How many passes for the casing studs?", "read as pass-count, casing studs", CASING),
        (
            "How many steps should I pull the casing studs up in?",
            "read as pass-count, casing studs",
            CASING,
        ),
        (
            "How many degrees do I turn the end cover bolts after they are snug?",
            "read as angle, end cover bolts",
            &["bolt-end-cover/oil"],
        ),
        (
            "how many times to cycle the main studs before the final pull",
            "read as cycles, main studs",
            &["main-stud-cap/moly", "main-stud-cap/oil"],
        ),
        (
            "press joints tightened in more than three passes",
            "read as press pass-count over 3",
            &[
                "stud-tie-rod/moly",
                "flange-bolt-flange/oil",
                "bolt-bolster/oil",
                "bolt-bolster/moly",
            ],
        ),
    ]);
}

/// What differs is counted by its own field: so many groups, so many threads.
#[test]
fn how_many_of_what_differs_are_groups() {
    let home = demo_shop();
    let book = Book::open(&home.path().join("data/clampbook")).expect("the demo");
    for (typed, read, groups) in [
        ("how many different threads are there on the Marlow", "Marlow tally thread", 15),
        ("how many lubes on the press", "press tally lube", 2),
        ("how many joints on the press", "press tally joint", 4),
        ("how many entries for each lubricant", "tally lubricant", 10),
        ("how many press bolts for each joint", "press bolts tally joint total qty", 2),
        ("how many engine bolts by lube", "engine bolts tally lube total qty", 7),
    ] {
        let found = answer(typed, &book).unwrap();
        assert_eq!(found.readings, [format!("read as {read}")], "{typed}");
        assert_eq!(found.tally.unwrap().groups.len(), groups, "{typed}");
    }
}

/// A unit of torque without a figure is what the answer is drawn in.
#[test]
fn a_unit_alone_is_what_the_answer_is_drawn_in() {
    check(&[
        ("pan bolts inch pounds", "read as pan bolts units lb-in", PAN),
        ("pan bolts lb-in", "read as pan bolts units lb-in", PAN),
        (
            "What are the clutch cover bolts in foot pounds please?",
            "read as clutch cover bolts units lb-ft",
            &["clutch-bolt-cover/dry"],
        ),
        (
            "head studs ft-lbs moly vs oil",
            "read as head studs moly, oil, listed-for moly, listed-for oil units lb-ft",
            &["head-stud-long/moly", "head-stud-long/oil"],
        ),
        ("casing studs Nm", "read as casing studs units N·m", CASING),
    ]);
}

/// The last of a list that commas begin is one of it; names are offered as a choice.
#[test]
fn the_last_of_a_list_is_one_of_it() {
    const SAFE: &[&str] = &["bolt-eye/dry", "nut-wheel/dry", "caliper/threadlocker", "drawbar/oil"];
    check(&[
        (
            "lifting, brakes, steering and wheels",
            "nothing is all of it: read as `lifting or brake or steering or wheel`",
            SAFE,
        ),
        (
            "clutch bolts and damper bolts",
            "nothing is all of it: read as `(clutch, bolt) or (damper, bolt)`",
            &["clutch-bolt-cover/dry", "bolt-crank/oil", "bolt-crank/oil.2", "bolt-pulley/oil"],
        ),
    ]);
    // A comma between names is "and": what the message offers finds them.
    let home = demo_shop();
    let book = Book::open(&home.path().join("data/clampbook")).expect("the demo");
    let near = answer("clutch, damper and rod", &book).unwrap().near;
    assert_eq!(near[0], "any of them, 8 rows: write `clutch or damper or rod`");
    assert_eq!(answer("clutch or damper or rod", &book).unwrap().rows.len(), 8);
}

#[test]
fn a_quantity_is_how_many_there_are() {
    check(&[
        (
            "everything single use on the Marlow with quantities",
            "read as single-use, Marlow, qty",
            &["head-bolt-front/oil", "flywheel-bolt-flexplate/locking-patch"],
        ),
        (
            "press items with a quantity of 10 or more, biggest first",
            "read as press qty at-least 10 sort qty down",
            &["cylinder-flange-bolt-flange/oil", "ram-screw-gib/oil"],
        ),
        ("pump fasteners with quantity of at least 12", "read as pump qty at-least 12", CASING),
    ]);
}

/// A day belongs to the verb before it, and who checked one joint has not checked another.
#[test]
fn who_and_when_are_of_what_was_done() {
    check(&[
        ("who entered what since 2022", "read as entered-by, entered-on at-least 2022", ENTERED),
        (
            "what has been entered since the start of 2022, and by whom",
            "read as entered at-least 2022, entered-by",
            ENTERED,
        ),
        ("entered since 2022 by whom", "read as entered at-least 2022, entered-by", ENTERED),
        (
            "what did the bench enter since 2022",
            "read as entered-by bench entered-on at-least 2022",
            ENTERED,
        ),
        ("entered on the Marlow since 2022", "read as Marlow entered-on at-least 2022", ENTERED),
        (
            "who checked the main stud and head stud figures",
            "nothing is all of it: read as `checked-by, ((main, stud) or (head, stud))`",
            &["head-stud-long/moly", "head-stud-long/oil"],
        ),
        ("who checked the main studs", "read as checked-by, main studs", &[]),
    ]);
    let home = demo_shop();
    let book = Book::open(&home.path().join("data/clampbook")).expect("the demo");
    let found = answer("who checked the main stud and head stud figures", &book).unwrap();
    assert!(found.remarks.contains(&"2 more state no checked-by".to_owned()), "the main studs");
    // The day of a sheet is none of a check.
    let wrong = answer("who checked what since 2022", &book).unwrap_err().to_string();
    assert_eq!(wrong, "the day of a check is not kept: checked-by is a name");
}

/// Where general charts alone have it, the first line is the question that shows them.
#[test]
fn charts_alone_are_offered_before_anything_else() {
    let home = demo_shop();
    let book = Book::open(&home.path().join("data/clampbook")).expect("the demo");
    for (typed, rows, write) in [
        ("highest torque 3/4-10", 10, "3/4-10, basis chart sort torque down first 1"),
        ("5/8 fine grade 8 dry", 2, "5/8 fine, strength \"SAE 8\", lube dry, basis chart"),
    ] {
        let found = answer(typed, &book).unwrap();
        let said = format!("only general charts have it, {rows} rows: write `{write}`");
        assert_eq!(found.near[0], said);
        assert!(!answer(write, &book).unwrap().rows.is_empty(), "{write}");
    }
}

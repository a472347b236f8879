//! What readers of the shop's sheets typed straight off, by kinds: how it is read, and the
//! rows that they had written down before asking.

use clampbook::quantity::find_unit;
use clampbook::query::answer;
use clampbook::query::syntax::{Class, tokens};
use clampbook::record::{Kind, Material, field_words};
use clampbook::store::Book;

use super::people::{SHOP, TIE_ROD, check};
use crate::program::demo_shop;

/// What readers of the shop's sheets typed, and the rows that they had written down before.
#[test]
fn needs_of_the_bench_are_heard_as_they_are_said() {
    const MAIN_STUDS: &[&str] = &["main-stud-cap/moly", "main-stud-cap/oil"];
    check(&[
        ("press lacks torque, angle", "read as press lacks torque, lacks angle", &[]),
        (
            "press and mill parts with reuse not stated",
            "nothing is all of it: read as `(press or mill), lacks reuse`",
            &["bolt-beater/oil", "screw-gib/oil"],
        ),
        (
            "is the beater plate bolt reusable",
            "read as beater plate bolt show part, lube, torque, reuse",
            &["bolt-beater/oil"],
        ),
        (
            "can I use the flywheel bolts again",
            "read as flywheel bolts show part, lube, torque, reuse",
            &["flywheel-bolt-crank/threadlocker", "flywheel-bolt-flexplate/locking-patch"],
        ),
        (
            "which engine bolts can't be used again",
            "read as engine bolts single-use",
            &["head-bolt-front/oil", "flywheel-bolt-flexplate/locking-patch"],
        ),
        ("which way does the pinion nut turn", "read as thread, pinion nut", &["nut-pinion/oil"]),
        (
            "what goes together with copper grease",
            "read as copper grease",
            &["screw-plate/copper-anti-seize"],
        ),
        (
            "what torque brings the tie rods to 70% of proof",
            "read as torque, tie rods target 70% proof",
            TIE_ROD,
        ),
        (
            "what gasket goes under the suction flange",
            "read as gasket, suction flange",
            &["suction-flange-bolt-flange/oil", "suction-flange-bolt-flange/moly"],
        ),
        ("how often to pull and release the main studs", "read as cycles, main studs", MAIN_STUDS),
        (
            "what must be rechecked later",
            "read as has recheck",
            &["wheel-nut-wheel/dry", "valve-cover-bolt-cover/dry"],
        ),
        (
            "which bolts are tightened after another group",
            "read as bolts has after-group",
            &["main-bolt-side/sealant", "head-bolt-short/dry", "head-bolt-front/oil"],
        ),
        ("what comes after the main group", "read as after-group main", &["head-bolt-short/dry"]),
        (
            "what did the office check on the head",
            "read as checked-by office head",
            &["head-stud-long/moly", "head-stud-long/oil"],
        ),
    ]);
}

/// What is said of a sheet, and what sums up or orders.
#[test]
fn needs_of_the_office_are_heard_as_they_are_said() {
    const COUPLING: &[&str] = &["bolt-coupling-half/oil", "bolt-coupling-half/moly"];
    const SHEETS_OF_2023: &[&str] = &[
        "rod-bolt-cap/moly",
        "rod-bolt-cap/moly.2",
        "head-stud-long/moly",
        "head-stud-long/oil",
        "head-bolt-short/dry",
        "head-bolt-front/oil",
    ];
    const ALUMINIUM: &[&str] =
        &["intake-bolt-runner/oil", "intake-bolt-runner/anti-seize", "intake-bolt-coolant/sealant"];
    check(&[
        ("prevailing torque to add", "read as prevailing-rule add", &["nut-drawbar/oil"]),
        (
            "what galls when dry",
            "read as galls",
            &["screw-plate/copper-anti-seize", "discharge-flange-bolt-flange/moly"],
        ),
        ("note mentions paste", "read as note paste", COUPLING),
        ("figures from sheets of 2023", "read as source-date 2023", SHEETS_OF_2023),
        ("anything from a 2023 sheet", "read as source-date 2023", SHEETS_OF_2023),
        ("what came from the 1987 drawing", "read as source-date 1987", &["nut-bush/oil"]),
        ("tightening steps for the coupling half", "read as passes, coupling half", COUPLING),
        ("steps for pulling up the coupling half", "read as steps, coupling half", COUPLING),
        ("figures we set ourselves in the shop", "read as basis shop", SHOP),
        (
            "figures somebody put in from memory",
            "read as from-memory",
            &["fuel-pump-bolt-flange/oil"],
        ),
        (
            "pump foot bolts if I use moly",
            "read as pump foot bolts with moly",
            &["bolt-pump-foot/moly"],
        ),
        ("how far do the rod bolts stretch", "read as stretch, rod bolts", &["rod-bolt-cap/moly"]),
        (
            "aluminium holes over 10 lb-ft",
            "read as hole-material aluminium torque over 10 lb-ft",
            ALUMINIUM,
        ),
        (
            "Marlow 6 highest torque",
            "read as Marlow 6 sort torque down first 1",
            &["damper-bolt-crank/oil.2"],
        ),
        (
            "longest studs on the press first 3",
            "read as studs press first 3 sort length down",
            TIE_ROD,
        ),
        (
            "the press and the mill, the nut turns",
            "nothing is all of it: read as `(press or mill), turned nut`",
            &["nut-pinion/oil", "stud-tie-rod/moly"],
        ),
        ("what wrench do I need for the tie rod nuts", "read as head-size, tie rod nuts", TIE_ROD),
        (
            "opens into coolant but no sealant",
            "read as into coolant no sealant",
            &["plug-casing/dry"],
        ),
        (
            "rod bolts not zinc",
            "no name has `zinc`: read as `(not finish zinc or lacks finish), (not listed-for zinc or lacks listed-for)`",
            &["rod-bolt-cap/moly", "rod-bolt-cap/moly.2", "rod-bolt-cap/oil"],
        ),
    ]);
}

/// Whole sentences, and questions that end in another one.
#[test]
fn sentences_are_heard_as_they_are_said() {
    const COUPLING: &[&str] = &["bolt-coupling-half/oil", "bolt-coupling-half/moly"];
    const SUCTION: &[&str] = &["suction-flange-bolt-flange/oil", "suction-flange-bolt-flange/moly"];
    check(&[
        ("Tern 40 over 6 bolts", "read as Tern 40 qty over 6 bolts", SUCTION),
        ("pump foot on moly", "read as pump foot with moly", &["bolt-pump-foot/moly"]),
        (
            "socket heads 12.9",
            "read as head-size socket strength 12.9",
            &[
                "coupling-screw-hub/oil",
                "coupling-screw-hub/dry",
                "screw-clamp/locking-patch",
                "screw-gib/oil",
            ],
        ),
        (
            "convert the motor foot torque to lb-ft",
            "read as motor foot torque units lb-ft",
            &["motor-foot/zinc-plated-dry"],
        ),
        ("which bolts have a tolerance of 5%", "read as bolts tolerance 5%", COUPLING),
        (
            "which torque is the highest on the press",
            "read as press sort torque down first 1",
            TIE_ROD,
        ),
        ("eye bolt max torque", "read as eye bolt torque", &["bolt-eye/dry"]),
        (
            "what size hex for the gear case screws",
            "read as head-size, gear case screws",
            &["screw-cover/oil"],
        ),
        ("should I oil the beater bolts", "read as lube, beater bolts", &["bolt-beater/oil"]),
        ("any M36 studs about", "read as M36 studs", TIE_ROD),
        (
            "which have no figure at all",
            "read as lacks torque, lacks angle, lacks stretch",
            &["oil-filter-adapter/threadlocker"],
        ),
        (
            "what needs thread sealant on the timing cover",
            "read as sealant \"thread sealant\" timing cover",
            &["timing-cover-bolt-coolant/sealant"],
        ),
        ("superseded values and what replaced them", "read as superseded", &["main-bolt-cap/oil"]),
        ("cautions printed for the gear case", "read as cautions, gear case", &["screw-cover/oil"]),
        (
            "are the flywheel bolts run dry or with locker",
            "read as flywheel bolts dry, threadlocker",
            &["bolt-crank/threadlocker"],
        ),
        ("Do I put anything on the tie rod threads?", "read as tie rod", TIE_ROD),
        (
            "How tight do I do up the impeller nut and which way does it turn?",
            "read as torque, impeller nut",
            &["nut-shaft/anti-seize"],
        ),
        (
            "Can I reuse the flexplate bolts or do I need new ones?",
            "read as flexplate bolts show part, lube, torque, reuse",
            &["bolt-flexplate/locking-patch"],
        ),
        (
            "How many degrees do I turn the end cover bolts after they are snug?",
            "read as angle, end cover bolts",
            &["bolt-end-cover/oil"],
        ),
    ]);
}

/// What is counted by is what `each` and `by` stand before, wherever the rest stands.
#[test]
fn counts_are_of_each_of_what_is_named() {
    let home = demo_shop();
    let book = Book::open(&home.path().join("data/clampbook")).expect("the demo");
    for (typed, read, groups) in [
        ("how many pieces on each press joint", "press tally joint total qty", 4),
        ("how many engine bolts by joint", "engine bolts tally joint total qty", 16),
        ("pieces on the press by strength", "press tally strength total qty", 4),
    ] {
        let found = answer(typed, &book).expect("an answer");
        assert!(found.readings.contains(&format!("read as {read}")), "{:?}", found.readings);
        assert_eq!(found.tally.expect("groups").groups.len(), groups, "{typed}");
    }
}

/// A target is pulled at the same place as the figure of the sheet: what the sheet warns of
/// stands beside it.
#[test]
fn a_target_keeps_the_warnings_of_the_sheet() {
    let home = demo_shop();
    let book = Book::open(&home.path().join("data/clampbook")).expect("the demo");
    let found = answer("tie rod target 70% proof", &book).expect("an answer");
    let warnings = &found.rows[0].setting.warnings;
    assert_eq!(*warnings, ["Ram down and blocked before a nut is touched"]);
}

/// What a `not` takes away by a tag is counted, and the question without it is offered.
#[test]
fn a_denied_joint_says_what_its_word_took_elsewhere() {
    let home = demo_shop();
    let book = Book::open(&home.path().join("data/clampbook")).expect("the demo");
    let found = answer("everything on the mill but the drive", &book).expect("an answer");
    let offered =
        "`not drive` took away 3 rows of other joints too: write `mill, not joint \"drive\"`";
    assert!(found.remarks.iter().any(|line| line == offered), "{:?}", found.remarks);
    let rows = answer("mill, not joint \"drive\"", &book).expect("an answer").rows;
    assert_eq!(rows.len(), 4);
}

/// Figures compared with each other are no test of a row.
#[test]
fn a_figure_is_not_compared_with_a_figure() {
    let home = demo_shop();
    let book = Book::open(&home.path().join("data/clampbook")).expect("the demo");
    for typed in ["Tern 40 over 30", "Stilt 60 over 20", "bolt 40 over 6", "5 N.m under 6 N.m"] {
        assert!(answer(typed, &book).is_err(), "{typed}");
    }
}

/// What carries nothing is left out; what says something finds nothing rather than more.
#[test]
fn words_that_carry_nothing_are_left_out() {
    let home = demo_shop();
    let book = Book::open(&home.path().join("data/clampbook")).expect("the demo");
    let rows = |typed| answer(typed, &book).expect("an answer").rows.len();
    assert_eq!(rows("I wonder whether somebody wants the tie rod tightened"), 1);
    // Another material, a word of a note, and what is denied stay.
    assert_eq!(rows("titanium head studs"), 0);
    assert_eq!(rows("text wanted"), 0);
    assert_eq!(rows("stud not wanted"), rows("stud"));
}

/// No word that carries nothing is a word of the language, of the trade's tables or of a
/// name.
#[test]
fn words_that_carry_nothing_mean_nothing_else() {
    let home = demo_shop();
    let book = Book::open(&home.path().join("data/clampbook")).expect("the demo");
    let idle = include_str!("../../../grammar/ears.txt").lines();
    let idle = idle.filter_map(|row| row.strip_prefix("- ")?.split(" |").next());
    let words: Vec<&str> = idle.flat_map(|words| words.split('+')).collect();
    assert!(words.len() > 150, "the table is read");
    for word in words {
        let (found, _) = tokens(word, field_words());
        assert!(found.len() == 1 && found[0].class == Class::Word, "{word}: {found:?}");
        let is_known = Material::find(word).is_some() || Kind::find(word).is_some();
        assert!(!is_known && find_unit(word).is_none(), "{word} is of the trade");
        assert!(!book.vocabulary().expect("names").has_words(word), "{word} is of a name");
    }
}

/// What is not stated as it is asked, and stands in other words, is named with the question
/// that finds it.
#[test]
fn what_stands_otherwise_is_counted_and_offered() {
    let home = demo_shop();
    let book = Book::open(&home.path().join("data/clampbook")).expect("the demo");
    for (typed, line, form, rows) in [
        (
            "single-use",
            "1 more says so in words alone: write `lacks reuse, notes \"new\"`",
            "lacks reuse, notes \"new\"",
            1,
        ),
        (
            "engine lacks torque",
            "3 of these have an angle or a stretch; 1 without: \
             write `engine, lacks torque, lacks angle, lacks stretch`",
            "engine, lacks torque, lacks angle, lacks stretch",
            1,
        ),
        // The machine's spark plug has another duty than its bolts.
        (
            "lacks torque, engine",
            "1 more of marlow 6 has another duty: write `lacks torque, assembly \"marlow 6\"`",
            "lacks torque, assembly \"marlow 6\"",
            5,
        ),
    ] {
        let found = answer(typed, &book).expect("an answer");
        let mut said = found.readings.iter().chain(&found.remarks);
        assert!(said.any(|said| said == line), "{:?}", found.remarks);
        assert_eq!(answer(form, &book).expect("an answer").rows.len(), rows, "{form}");
    }
    // Charts that are shown are there.
    let found = answer("3/8-16 basis listed or chart", &book).expect("an answer");
    assert!(!found.remarks.iter().any(|said| said.starts_with("nothing here has")));
}

/// What the last readers typed: a small word was looked for in washers and sheets, and the
/// sizes of spanners were put in the order of their letters.
#[test]
fn small_words_of_the_bench_are_not_looked_for() {
    const SINGLE_USE: &[&str] = &[
        "coupling-screw-clamp/locking-patch",
        "bolt-caliper/threadlocker",
        "nut-drawbar/oil",
        "head-bolt-front/oil",
        "flywheel-bolt-flexplate/locking-patch",
    ];
    check(&[
        ("what can't I use twice", "read as single-use", SINGLE_USE),
        ("locknut drag to add on top", "read as prevailing-rule add", &["nut-drawbar/oil"]),
        (
            "pump foot bolts with moly instead",
            "read as pump foot bolts with moly",
            &["baseplate-bolt-pump-foot/moly"],
        ),
        (
            "assembly press, highest head-size",
            "read as assembly press sort across-flats down first 1",
            TIE_ROD,
        ),
        (
            "press, which ones finish on an angle",
            "read as press, has angle",
            &["ram-screw-gib/oil"],
        ),
        (
            "gib screws on the ram, how many degrees",
            "read as gib screws ram, angle",
            &["ram-screw-gib/oil"],
        ),
        ("what must I throw away after taking it off", "read as single-use", SINGLE_USE),
        // Not the casing studs, which are under pressure too.
        (
            "assembly pump, flange, lube moly",
            "",
            &["suction-flange-bolt-flange/moly", "discharge-flange-bolt-flange/moly"],
        ),
        (
            "press, torque then angle",
            "read as press, method torque then angle",
            &["ram-screw-gib/oil"],
        ),
    ]);
}

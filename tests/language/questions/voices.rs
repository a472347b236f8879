//! What people of all sorts typed for a need, each a kind that was once not heard or read
//! otherwise, with the rows that had been written down before.

use clampbook::query::answer;
use clampbook::store::Book;

use super::people::check;
use crate::program::demo_shop;

const HEAD_STUDS: &[&str] = &["head-stud-long/moly", "head-stud-long/oil"];
const HALF: &[&str] = &["coupling-half/oil", "coupling-half/moly"];
const ROD: &[&str] = &["rod-bolt-cap/moly", "rod-bolt-cap/moly.2", "rod-bolt-cap/oil"];
const FLYWHEEL: &[&str] =
    &["flywheel-bolt-crank/threadlocker", "flywheel-bolt-flexplate/locking-patch"];
const FOOT: &[&str] = &["bolt-pump-foot/dry", "bolt-pump-foot/oil"];
const AGAIN: &[&str] = &[
    "suction-flange-bolt-flange/oil",
    "suction-flange-bolt-flange/moly",
    "nut-wheel/dry",
    "coupling-half/oil",
    "coupling-half/moly",
    "head-stud-long/moly",
    "head-stud-long/oil",
    "valve-cover-bolt-cover/dry",
];

#[test]
fn shop_talk_asks_for_a_torque() {
    check(&[
        ("wot torque for the head studs", "read as torque, head studs", HEAD_STUDS),
        ("poundage for the head studs", "read as torque, head studs", HEAD_STUDS),
        ("how much whack on the tie rod", "read as torque, tie rod", &["stud-tie-rod/moly"]),
        ("how hard do I pull the wheel nuts", "read as torque, wheel nuts", &["nut-wheel/dry"]),
        ("how much do I lean on the wheel nuts", "read as torque, wheel nuts", &["nut-wheel/dry"]),
        ("what's the number for the rod bolts", "read as torque, rod bolts", ROD),
        ("how many foot pounds on the rod bolts", "read as torque, rod bolts units lb-ft", ROD),
        ("newtons for the coupling half", "read as torque, coupling half units N·m", HALF),
        ("doing up the flywheel bolts", "read as flywheel bolts", FLYWHEEL),
        ("con rod bolts", "read as rod bolts", ROD),
        ("snugged to 22 lb-ft", "read as snug 22 lb-ft", &["head-bolt-front/oil"]),
        ("what torque for, head studs", "read as torque, head studs", HEAD_STUDS),
        ("wots the torque on the mill coupling", "read as torque, mill coupling", HALF),
        (
            "owt under ten newton metres",
            "read as torque under 10 N·m",
            &[
                "screw-plate/copper-anti-seize",
                "screw-guard/dry",
                "timing-cover-bolt-small/dry",
                "oil-pan-bolt-rail/oil",
                "valve-cover-bolt-cover/dry",
            ],
        ),
    ]);
}

#[test]
fn shop_talk_asks_for_what_else_there_is() {
    check(&[
        ("what goes on the threads of the head studs", "read as lube, head studs", HEAD_STUDS),
        ("what do i smear on the rod bolts", "read as lube, rod bolts", ROD),
        (
            "is there thread glue on the oil filter",
            "read as threadlocker oil filter",
            &["oil-filter-adapter/threadlocker"],
        ),
        ("can the rod bolts go back in", "read as rod bolts show part, lube, torque, reuse", ROD),
        (
            "do we reuse the flywheel bolts",
            "read as flywheel bolts show part, lube, torque, reuse",
            FLYWHEEL,
        ),
        ("what size spanner on the coupling half", "read as head-size, coupling half", HALF),
        ("which spanner has the tie rod", "read as head-size, tie rod", &["stud-tie-rod/moly"]),
        ("left handers", "read as left hand", &["nut-shaft/anti-seize", "nut-pinion/oil"]),
        (
            "how far in do the head studs go",
            "read as head studs show part, lube, length, engagement, hole-depth",
            HEAD_STUDS,
        ),
        (
            "parts that need retorquing after running",
            "read as (has retorque or has recheck)",
            AGAIN,
        ),
        ("what wants checking after an hour", "read as (has retorque or has recheck)", AGAIN),
        (
            "which bolts get chucked",
            "read as bolts single-use",
            &["bolt-caliper/threadlocker", "head-bolt-front/oil", "flexplate/locking-patch"],
        ),
        (
            "thread sealant on the engine",
            "read as (lube sealant or sealant \"thread sealant\"), engine",
            &[
                "main-bolt-side/sealant",
                "timing-cover-bolt-coolant/sealant",
                "head-stud-long/moly",
                "head-stud-long/oil",
                "head-bolt-long/sealant",
                "rocker-stud-screw-in/sealant",
                "intake-bolt-coolant/sealant",
                "water-pump-bolt-long/sealant",
            ],
        ),
        (
            "can I put anti-seize on the spark plugs",
            "read as spark plugs with anti-seize",
            &["spark-plug-plug-cylinder/anti-seize"],
        ),
        (
            "can the old rod bolts go back in",
            "read as rod bolts show part, lube, torque, reuse",
            ROD,
        ),
        (
            "which joints use a 24 mm socket",
            "read as head-size 24 mm",
            &[
                "suction-flange-bolt-flange/oil",
                "suction-flange-bolt-flange/moly",
                "coupling-half/oil",
                "coupling-half/moly",
            ],
        ),
        ("what was entered by memory", "read as from-memory", &["fuel-pump-bolt-flange/oil"]),
        (
            "what would anti-seize give on the exhaust studs",
            "read as exhaust studs with anti-seize",
            &["exhaust-manifold-stud-port/anti-seize"],
        ),
        ("who has checked the head studs", "read as checked-by, head studs", HEAD_STUDS),
    ]);
}

#[test]
fn what_is_stated_missing_or_replaced_is_heard() {
    check(&[
        (
            "figure missing",
            "read as lacks torque, lacks angle, lacks stretch",
            &["oil-filter-adapter/threadlocker"],
        ),
        (
            "which figures are given from memory",
            "read as from-memory",
            &["fuel-pump-bolt-flange/oil"],
        ),
        (
            "what was the old main bolt torque",
            "read as superseded, main bolt torque",
            &["main-bolt-cap/oil"],
        ),
        (
            "what was the main bolt torque before it was changed",
            "read as main bolt torque, superseded",
            &["main-bolt-cap/oil"],
        ),
        (
            "does the coupling torque include the drag",
            "read as coupling, prevailing-rule",
            &["screw-clamp/locking-patch"],
        ),
        (
            "head studs with copper anti-seize over 40 lb-ft",
            "read as head studs with copper anti-seize keep torque over 40 lb-ft",
            &["head-stud-long/copper-anti-seize"],
        ),
        ("pump foot dry or oiled", "read as pump foot, dry or oiled", FOOT),
        ("baseplate bolts dry or oiled", "read as baseplate bolts, dry or oiled", FOOT),
        // The figure of a name is none of inches.
        (
            "what on the Marlow 6 goes in with threadlocker",
            "read as Marlow 6 lube threadlocker",
            &[
                "bolt-pickup/threadlocker",
                "cam-gear-bolt-gear/threadlocker",
                "flywheel-bolt-crank/threadlocker",
                "oil-filter-adapter/threadlocker",
            ],
        ),
        // Another kind than people say, which is said first.
        (
            "gear case bolts",
            "no bolt is listed there: read as `gear case, kind screw`",
            &["gear-case-screw-cover/oil"],
        ),
    ]);
}

/// What is asked, how many rows are left out, and a line that the answer has.
#[test]
fn what_is_not_known_or_stands_otherwise_is_said() {
    let home = demo_shop();
    let book = Book::open(&home.path().join("data/clampbook")).expect("the demo");
    for (typed, left_out, line) in [
        // `has` of a value asks for the value: what states none is not known to lack it.
        ("which bolts have hole-material aluminium", 13, "read as bolts hole-material aluminium"),
        ("Marlow 6 has head-size 12-point", 22, "read as Marlow 6 head-size 12-point"),
        (
            "what torque does the oil filter adapter get",
            1,
            "oil filter, adapter: torque is not stated (1 row): \
             write `oil filter, adapter show part, lube, torque`",
        ),
        (
            "main cap",
            0,
            "1 of these is tagged `cap` and not called so: for the others write `main, part \"cap\"`",
        ),
        ("head bolts", 0, "2 more without `bolt`: write `head`"),
        ("main bolts", 0, "1 of these is superseded: without write `main, bolt, not superseded`"),
        ("motor bolts", 0, "36 more state duty engine: write `duty engine, bolt`"),
        (
            "bottom end bolts",
            0,
            "nothing has `text bottom-end`: what is there is asked for by its names, \
             such as: main or rod",
        ),
        ("new bolts", 0, "`new` stands in names and notes; what is renewed each time: single-use"),
        (
            "head and main or rod",
            0,
            "read as (head and main) or rod; for the other: head, main or rod",
        ),
        (
            "longest engine stud",
            0,
            "1 more row is level with the last of them: \
             write `engine, stud sort length down first 2`",
        ),
    ] {
        let found = answer(typed, &book).expect("an answer");
        let lines = [&found.readings[..], &found.remarks, &found.near].concat();
        assert!(lines.iter().any(|said| said == line), "{typed}: {lines:?}");
        assert_eq!(found.left_out, left_out, "{typed}");
    }
}

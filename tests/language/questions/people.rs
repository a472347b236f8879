//! What people type, on the demo shop as it comes: how it is read, and the rows that it
//! finds. The rows are those that readers of the shop's sheets wrote down before asking.

use clampbook::query::answer;
use clampbook::record::Row;
use clampbook::store::Book;

use crate::program::demo_shop;

/// What is typed, the line that says how it was read, and the ends of the keys found.
pub(super) type Case = (&'static str, &'static str, &'static [&'static str]);

pub(super) fn check(cases: &[Case]) {
    let home = demo_shop();
    let book = Book::open(&home.path().join("data/clampbook")).expect("the demo");
    let mut wrong = Vec::new();
    for (typed, read, rows) in cases {
        let found = match answer(typed, &book) {
            Ok(found) => found,
            Err(error) => {
                wrong.push(format!("{typed}: {error}"));
                continue;
            }
        };
        let readings = &found.readings;
        if !(read.is_empty() && readings.is_empty() || readings.iter().any(|line| line == read)) {
            wrong.push(format!("{typed}: {readings:?}"));
        }
        let keys: Vec<&str> = found.rows.iter().map(|row| row.key.as_str()).collect();
        let fits = |end: &&str| keys.iter().filter(|key| key.ends_with(*end)).count() == 1;
        if keys.len() != rows.len() || !rows.iter().all(fits) {
            wrong.push(format!("{typed}: {keys:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

const OVER_AGAIN: &[&str] = &[
    "suction-flange-bolt-flange/oil",
    "suction-flange-bolt-flange/moly",
    "wheel-nut-wheel/dry",
    "bolt-coupling-half/oil",
    "bolt-coupling-half/moly",
    "head-stud-long/moly",
    "head-stud-long/oil",
    "valve-cover-bolt-cover/dry",
];

const ONCE: &[&str] = &[
    "coupling-screw-clamp/locking-patch",
    "brake-bolt-caliper/threadlocker",
    "steering-nut-drawbar/oil",
    "head-bolt-front/oil",
    "flywheel-bolt-flexplate/locking-patch",
];

const SOCKETS: &[&str] = &[
    "seal-plate-screw-plate/copper-anti-seize",
    "coupling-screw-hub/oil",
    "coupling-screw-hub/dry",
    "coupling-screw-clamp/locking-patch",
    "ram-screw-gib/oil",
];

pub(super) const SHOP: &[&str] = &["fuel-pump-bolt-flange/oil", "valve-cover-bolt-cover/dry"];

pub(super) const TIE_ROD: &[&str] = &["tie-rod-stud-tie-rod/moly"];

const DRY_AND_OILED: &[&str] = &[
    "coupling-screw-hub/oil",
    "coupling-screw-hub/dry",
    "baseplate-bolt-pump-foot/dry",
    "baseplate-bolt-pump-foot/oil",
    "shaft-bearing-bolt-cap/dry",
    "shaft-bearing-bolt-cap/oil",
    "oil-pan-bolt-rail/dry",
    "oil-pan-bolt-rail/oil",
];

/// A name and a kind of fastener are both asked for, in whatever order.
#[test]
fn a_machine_and_a_kind_of_fastener_are_two_words() {
    check(&[
        (
            "pump bolts",
            "",
            &[
                "suction-flange-bolt-flange/oil",
                "suction-flange-bolt-flange/moly",
                "bearing-cap-bolt-cap/oil",
                "bearing-cap-bolt-cap/moly",
                "bearing-cap-bolt-end-cover/oil",
                "discharge-flange-bolt-flange/moly",
                "baseplate-bolt-pump-foot/dry",
                "baseplate-bolt-pump-foot/oil",
                "baseplate-bolt-motor-foot/zinc-plated-dry",
                "lifting-eye-bolt-eye/dry",
                "brake-bolt-caliper/threadlocker",
                "oil-pump-bolt-body/oil",
                "oil-pump-bolt-pickup/threadlocker",
                "water-pump-bolt-long/sealant",
                "water-pump-bolt-pulley/dry",
                "fuel-pump-bolt-flange/oil",
            ],
        ),
        ("pump foot bolts", "", &["baseplate-bolt-pump-foot/dry", "baseplate-bolt-pump-foot/oil"]),
        // The part is called "screw, clamp", and `clamp` alone is a field.
        ("clamp screws", "", &["coupling-screw-clamp/locking-patch"]),
        ("press studs", "", TIE_ROD),
        ("press nuts", "no nut is listed there: read as `turned nut`", TIE_ROD),
        (
            "hardened washers press",
            "nothing is all of it: read as `text hardened, washer, press`",
            &["tie-rod-stud-tie-rod/moly", "bolt-bolster/oil", "bolt-bolster/moly"],
        ),
    ]);
}

#[test]
fn words_of_the_trade_are_fields_and_flags() {
    check(&[
        ("shop", "", SHOP),
        ("shop figures", "read as basis shop", SHOP),
        ("figures the shop made itself", "read as basis shop", SHOP),
        (
            "figures the shop made up itself, not out of a manual",
            "read as basis shop, not manual",
            SHOP,
        ),
        ("socket heads", "read as head-size socket", SOCKETS),
        ("what takes a hex key", "read as head-size socket", SOCKETS),
        ("tie rod turned by the nut", "read as tie rod turned nut", TIE_ROD),
        (
            "nut turns on the press or the mill",
            "read as turned nut, press or mill",
            &["drive-nut-pinion/oil", "tie-rod-stud-tie-rod/moly"],
        ),
        (
            "nut turns on the press or the engine",
            "read as turned nut, press or engine",
            &[
                "tie-rod-stud-tie-rod/moly",
                "main-stud-cap/moly",
                "main-stud-cap/oil",
                "head-stud-long/moly",
                "head-stud-long/oil",
                "exhaust-manifold-stud-port/anti-seize",
            ],
        ),
        (
            "studs whose hole end is oiled",
            "read as studs hole-end-lube oiled",
            &[
                "casing-stud-casing/oil",
                "casing-stud-casing/moly",
                "main-stud-cap/moly",
                "main-stud-cap/oil",
            ],
        ),
        ("which ones do I have to throw away after one use", "read as single-use", ONCE),
        ("new each time", "read as single-use", ONCE),
        (
            "bolts I have to throw away under 50 ft lb",
            "read as bolts single-use torque under 50 ft lb",
            &["brake-bolt-caliper/threadlocker", "flywheel-bolt-flexplate/locking-patch"],
        ),
        (
            "washer new each time",
            "read as washer new",
            &[
                "impeller-nut-shaft/anti-seize",
                "casing-plug-casing/dry",
                "drive-nut-pinion/oil",
                "cam-gear-bolt-gear/threadlocker",
                "cam-gear-bolt-gear/dry",
            ],
        ),
        (
            "head fasteners nobody has checked",
            "read as head lacks checked",
            &["head-bolt-long/sealant", "head-bolt-short/dry", "head-bolt-front/oil"],
        ),
        (
            "what must be retorqued after running",
            "read as (has retorque or has recheck)",
            OVER_AGAIN,
        ),
        ("go over again", "read as (has retorque or has recheck)", OVER_AGAIN),
        ("retorque after 8 hours", "", &["bolt-coupling-half/oil", "bolt-coupling-half/moly"]),
    ]);
}

/// What is said of a row: who checked it, whether it still holds, what it is for.
#[test]
fn words_about_a_sheet_are_fields_and_flags() {
    check(&[
        ("needs a multiplier", "read as multiplier", TIE_ROD),
        (
            "what spanner for the tie rod nuts",
            "no nut is listed there: read as `turned nut`",
            TIE_ROD,
        ),
        ("what can only be used once", "read as single-use", ONCE),
        (
            "joints under pressure on the press",
            "read as pressure press",
            &["cylinder-flange-bolt-flange/oil"],
        ),
        (
            "old figure for the main cap bolts",
            "read as superseded, main cap bolts",
            &["main-bolt-cap/oil"],
        ),
        (
            "what has the office checked on the head",
            "read as checked-by office head",
            &["head-stud-long/moly", "head-stud-long/oil"],
        ),
        // A tag of the shop's own.
        ("what gasket on the sump plug", "read as gasket, sump plug", &["plug-pan/no-lube"]),
        ("prints before 1990", "read as source-date under 1990", &["coupling-nut-bush/oil"]),
        ("withdrawn", "read as superseded", &["main-bolt-cap/oil"]),
        ("which figures have been replaced", "read as superseded", &["main-bolt-cap/oil"]),
        (
            "what is pulled after the outer group",
            "read as after-group outer",
            &["head-bolt-front/oil"],
        ),
    ]);
}

#[test]
fn lubes_are_both_neither_or_one_instead_of_the_other() {
    check(&[
        (
            "fasteners given both dry and oiled",
            "read as dry, oiled, listed-for dry, listed-for oiled",
            DRY_AND_OILED,
        ),
        (
            "baseplate neither dry nor oiled",
            "read as baseplate not dry not oiled",
            &["baseplate-bolt-motor-foot/zinc-plated-dry"],
        ),
        (
            "head studs oil not moly",
            "`not` took nothing away: nothing here has `lube moly`",
            &["head-stud-long/oil"],
        ),
        (
            "long head studs with oil not moly",
            "read as long head studs with oil",
            &["head-stud-long/oil"],
        ),
        (
            "tie rod nuts with oil instead of moly",
            "read as tie rod nuts with oil",
            &["tie-rod-stud-tie-rod/oil"],
        ),
        (
            "cylinder flange with moly paste rather than oil",
            "read as cylinder flange with moly paste",
            &["cylinder-flange-bolt-flange/moly"],
        ),
    ]);
}

/// A field after lacks, has or no that is one of a list; a count before a kind of fastener;
/// sizes of the tool; the first of an order; what is compared behind a comma.
#[test]
fn lists_counts_and_superlatives_are_what_they_say() {
    const WITHOUT: &[&str] = &["rod-bolt-cap/moly", "oil-filter-adapter/threadlocker"];
    const LARGE: &[&str] =
        &["nut-pinion/oil", "tie-rod/moly", "bolt-bolster/oil", "bolt-bolster/moly"];
    const DEEP: &[&str] =
        &["bolt-cap/oil", "bolt-cap/moly", "head-stud-long/moly", "head-stud-long/oil"];
    const FLANGE: &[&str] = &["suction-flange-bolt-flange/oil", "suction-flange-bolt-flange/moly"];
    check(&[
        (
            "lacks torque, angle and stretch",
            "read as lacks torque, lacks angle and lacks stretch",
            &["oil-filter-adapter/threadlocker"],
        ),
        ("missing torque and angle", "read as lacks torque and lacks angle", WITHOUT),
        ("missing torque, angle", "read as lacks torque, lacks angle", WITHOUT),
        ("pump joints with more than 6 bolts", "read as pump qty over 6 bolts", FLANGE),
        ("8 bolt suction flange", "read as qty 8 bolt suction flange", FLANGE),
        ("hex over 30 mm", "read as across-flats over 30 mm", LARGE),
        ("takes a spanner bigger than 30 mm", "read as across-flats over 30 mm", LARGE),
        (
            "biggest socket for the press",
            "read as press sort across-flats down first 1",
            &["tie-rod/moly"],
        ),
        ("holes deeper than an inch", "read as hole-depth over 1 in", DEEP),
        (
            "which pump coupling fastener has the highest torque",
            "read as pump coupling sort torque down first 1",
            &["coupling-nut-bush/oil"],
        ),
        (
            "what is the lowest torque on the engine",
            "read as engine sort torque first 1",
            &["valve-cover-bolt-cover/dry"],
        ),
        (
            "torque then angle, more than 45 degrees",
            "read as method torque then angle, angle over 45 degrees",
            &["ram-screw-gib/oil", "head-bolt-front/oil"],
        ),
        ("tie rod at 70% proof", "read as tie rod target 70% proof", &["tie-rod/moly"]),
        (
            "cylinder flange torque for 80 percent of yield",
            "read as cylinder flange torque target 80 percent yield",
            &["cylinder-flange-bolt-flange/oil"],
        ),
        ("which machine is the gib screw on", "read as machine, gib screw", &["screw-gib/oil"]),
        ("retorque after 8 hours", "", &["coupling-half/oil", "coupling-half/moly"]),
        (
            "fits 24 mm spanner, mill",
            "read as head-size 24 mm, mill",
            &["coupling-half/oil", "coupling-half/moly"],
        ),
        ("what M10 on the press or the mill", "read as M10, press or mill", &["screw-cover/oil"]),
        (
            "how often can I reuse the main studs",
            "read as reuse, main studs",
            &["main-stud-cap/moly", "main-stud-cap/oil"],
        ),
        (
            "8.8 fasteners between 30 and 60 N·m",
            "read as 8.8 torque 30..60 N·m",
            &[
                "bearing-cap-bolt-cap/oil",
                "bearing-cap-bolt-cap/moly",
                "casing-stud-casing/moly",
                "nut-drawbar/oil",
                "gear-case-screw-cover/oil",
            ],
        ),
        (
            "engagement under 1.5 diameters",
            "read as engagement under 1.5 times size",
            &[
                "coupling-half/oil",
                "coupling-half/moly",
                "rod-bolt-cap/moly",
                "rod-bolt-cap/moly.2",
                "rod-bolt-cap/oil",
            ],
        ),
        ("circle of 10", "read as layout circle qty 10", &["cylinder-flange-bolt-flange/oil"]),
        ("passes 30%, 60%, 100%, suction", "read as passes \"30%, 60%, 100%\", suction", FLANGE),
        (
            "pump joints with 4 bolts tightened 1-3-2-4, M12",
            "read as pump qty 4 bolts order \"1-3-2-4\", M12",
            &["discharge-flange-bolt-flange/moly", "motor-foot/zinc-plated-dry"],
        ),
    ]);
}

/// A machine and the joints of another one that are called so are told apart.
#[test]
fn joints_called_like_a_machine_are_counted() {
    let home = demo_shop();
    let book = Book::open(&home.path().join("data/clampbook")).expect("the demo");
    let found = answer("no head size on the pump", &book).expect("an answer");
    assert_eq!(found.rows.len(), 18);
    let of_machine = |row: &&Row| row.fastener.joint.assembly == "Tern 40 pump";
    assert_eq!(found.rows.iter().filter(of_machine).count(), 13);
    let remark = "5 of these are of joints or parts called so: for the machine alone write \
                  `no head-size, assembly pump`";
    assert!(found.remarks.iter().any(|line| line == remark), "{:?}", found.remarks);
}

//! What must be done stands in every shape, the worst first, whatever the width.

use crate::commands::in_shop;
use crate::program::{clampbook, text};

/// What `arguments` print on the demo shop, runs of blanks as one.
fn shown(arguments: &[&str], columns: &str) -> String {
    let home = tempfile::tempdir().unwrap();
    let mut command = clampbook(home.path());
    let (out, err, _) =
        text(&command.env("COLUMNS", columns).args(in_shop(arguments)).output().unwrap());
    (out + &err).split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What the demo's sheet says, with its wrenches.
fn demo_sheet(arguments: &[&str]) -> String {
    let home = tempfile::tempdir().unwrap();
    let mut command = clampbook(home.path());
    let (out, _, _) =
        text(&command.args(["--demo", "sheet", "-o", "-"]).args(arguments).output().unwrap());
    out
}

/// Each shape in which `question` may be asked.
fn shapes(question: &str) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = ["60", "80", "119", "120", "140"]
        .map(|columns| (format!("find at {columns}"), shown(&["find", question], columns)))
        .into();
    let columns = format!("{question} show part, torque");
    all.push(("show".to_owned(), shown(&["find", &columns], "80")));
    for command in ["lubes", "passes"] {
        all.push((command.to_owned(), shown(&[command, question], "80")));
    }
    all.push(("sheet".to_owned(), shown(&["sheet", question, "-o", "-"], "80")));
    all.push(("card".to_owned(), shown(&["sheet", question, "--pocket", "-o", "-"], "80")));
    all
}

fn stands_in(shapes: &[(String, String)], words: &str) {
    for (shape, text) in shapes {
        let words = words.to_lowercase();
        assert!(text.to_lowercase().contains(&words), "`{words}` in {shape}: {text}");
    }
}

/// Cautions of one fastener, in all shapes alike.
#[test]
fn cautions_are_the_same_in_every_shape() {
    for (question, cautions) in [
        ("impeller nut", &["left-hand thread: tighten anticlockwise", "this lube only"][..]),
        ("head bolt front", &["DISCARD AFTER REMOVAL", "is only the start", "blind hole: clean"]),
        ("tie rod", &["sheet: Ram down and blocked before a nut is touched"]),
        (
            "beater",
            &["DISCARD AFTER REMOVAL. FIT", "its words say `new bolt`, reuse is not stated"],
        ),
        ("trolley wheel", &["wheel: maker's procedure governs", "sheet: Clean and dry"]),
        ("head stud long", &["opens into coolant: thread sealant on the hole end only"]),
    ] {
        let shapes = shapes(question);
        cautions.iter().for_each(|words| stands_in(&shapes, words));
    }
}

/// Retorque, recheck, gasket and machining, and what turns: in all but the card, which
/// has torque and cautions alone.
#[test]
fn what_follows_is_the_same_in_every_shape() {
    for (question, words) in [
        ("head stud long", &["back off 1/4 turn, then to value", "composite, fitted dry"][..]),
        ("trolley wheel", &["recheck after the first 80 km"]),
        ("pump foot", &["soft-foot check and alignment before the final pass"]),
        ("cylinder flange", &["O-ring, new each time"]),
    ] {
        let mut shapes = shapes(question);
        shapes.retain(|(shape, _)| shape != "card");
        words.iter().for_each(|words| stands_in(&shapes, words));
    }
    let mut turning = shapes("tie rod");
    turning.retain(|(shape, _)| shape != "sheet" && shape != "card");
    stands_in(&turning, "NUT turns");
    stands_in(&turning, "hole end M36x3, to the shoulder, with moly");
}

/// Passes stand beside the figure and below it, however wide the screen.
#[test]
fn passes_stand_at_every_width() {
    for columns in ["60", "80", "119", "120", "140"] {
        let text = shown(&["find", "tie rod"], columns);
        assert!(text.contains("4 passes"), "{columns}: {text}");
        assert!(text.contains("in passes 400, 800, 1200, 1500 N·m"), "{columns}: {text}");
    }
}

/// 55 N·m and 6 N·m: 61, which is the figure everywhere, in both units and in the
/// shop's (1 N·m = 0.7376 lb-ft: 44.99).
#[test]
fn the_prevailing_torque_is_in_the_figure_once() {
    let shapes = shapes("trolley steering");
    stands_in(&shapes, "55 N·m + 6 N·m prevailing torque = 61 N·m / 45 lb-ft on the wrench");
    for (shape, text) in &shapes {
        assert!(!text.contains("add the prevailing"), "invited twice in {shape}: {text}");
    }
    let block = shown(&["find", "trolley steering"], "80");
    assert!(block.contains("oil 61 N·m 45 lb-ft"), "{block}");
    let inch = shown(&["--units", "inch", "find", "trolley steering"], "80");
    assert!(inch.contains("= 45 lb-ft on the wrench"), "{inch}");
    let sheet = shown(&["sheet", "trolley steering", "-o", "-"], "80");
    assert!(sheet.contains("<b>61 N·m</b>") && !sheet.contains("<b>55 N·m</b>"), "the box");
}

/// What breaks or hurts comes before what wets, that before what is pulled, that before
/// a washer.
#[test]
fn duties_stand_by_harm() {
    let text = shown(&["find", "assembly", "Marlow 6,", "joint", "head"], "80");
    let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("{words} in {text}"));
    let order = ["opens into coolant", "past yield", "in passes", "retorque after", "washer:"];
    assert!(order.windows(2).all(|pair| at(pair[0]) < at(pair[1])), "{text}");
    let shown = shown(&["find", "head show part, torque"], "80");
    let at = |words: &str| shown.find(words).unwrap_or_else(|| panic!("{words} in {shown}"));
    let order = ["DISCARD", "only the start", "opens into coolant", "in passes", "washer:"];
    assert!(order.windows(2).all(|pair| at(pair[0]) < at(pair[1])), "{shown}");
}

/// The strength that a fitter reads on the bolt's head stands beside its thread.
#[test]
fn the_strength_stands_beside_the_thread() {
    for (question, words) in [("cylinder flange", "M20x2.5, 10.9"), ("main bolt", "1/2-13, SAE 8")]
    {
        for (shape, text) in shapes(question) {
            let is_block = ["find at 60", "find at 80", "lubes", "sheet", "card"];
            assert!(!is_block.contains(&&*shape) || text.contains(words), "{shape}: {text}");
        }
    }
    let wide = shown(&["find", "press"], "140");
    assert!(wide.contains("10.9; HEAD turns"), "{wide}");
    let yields = shown(&["find", "head stud long"], "80");
    assert!(yields.contains("7/16-20, yield 180 ksi"), "{yields}");
}

/// Settings of one lube are told apart, and a duty of one of them says of which.
#[test]
fn settings_of_one_lube_are_told_apart() {
    let text = shown(&["find", "rod cap"], "100");
    for words in [
        "or moly",
        "moly stretch 0.0055–0.0060 in: sheet: Measure stretch where both ends can be reached",
        "moly 65 lb-ft: sheet: Back-up where the stretch gauge does not fit",
    ] {
        assert!(text.contains(words), "{words} in {text}");
    }
    let plug = shown(&["find", "spark plug"], "80");
    assert!(plug.contains("or dry +180°") && plug.contains("finger-tight"), "{plug}");
}

/// A figure that was replaced is no figure: it says by what before it says how much.
#[test]
fn a_replaced_figure_names_the_one_that_holds() {
    for arguments in [
        &["find", "main bolt cap"][..],
        &["lubes", "main bolt cap"],
        &["find", "superseded main bolt"],
    ] {
        let text = shown(arguments, "80");
        assert!(text.contains("SUPERSEDED by 80 lb-ft, not to be used: 90 lb-ft"), "{text}");
    }
    let old = shown(&["find", "superseded main bolt"], "80");
    assert!(old.contains("blind hole: clean, dry"), "the hole is still blind: {old}");
    for columns in ["part, torque", "part, clamp", "lube, part"] {
        let question = format!("main bolt cap show {columns} sort torque down");
        let text = shown(&["find", &question], "80");
        assert!(text.contains("SUPERSEDED"), "{columns}: {text}");
    }
    let text = shown(&["find", "main bolt cap show part, lube, torque, passes"], "140");
    let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("{words} in {text}"));
    assert!(at("80 / 108") < at("SUPERSEDED"), "the figure that holds comes first: {text}");
}

/// A start that is stated in words alone is no `snug` of ours.
#[test]
fn a_sources_own_start_is_quoted() {
    let shapes = shapes("spark plug");
    stands_in(&shapes, "sheet: New gasket: half a turn from finger-tight.");
    for (shape, text) in shapes.iter().filter(|(shape, _)| shape != "show") {
        assert!(!text.contains("snug"), "{shape}: {text}");
    }
    let passes = shown(&["passes", "spark plug"], "80");
    assert!(passes.contains("1. start as quoted 2. +180°"), "{passes}");
}

/// A thing to buy stands wherever its bolt does, and on a line of its own.
#[test]
fn a_thing_to_buy_stands_in_every_shape() {
    for (question, words) in [
        ("impeller nut", "tab washer, new each time"),
        ("casing plug", "sealing ring, new each time"),
        ("drain plug pan", "copper ring, new each time"),
    ] {
        let shapes = shapes(question);
        stands_in(&shapes, words);
        for (shape, text) in shapes {
            assert!(!text.contains("; washer:"), "hangs at a fact in {shape}: {text}");
        }
    }
    let pan = shown(&["lubes", "drain plug pan"], "80");
    assert!(pan.contains("opens into oil"), "without a figure too: {pan}");
}

/// What hurts stands in the box on top of the page, with what is fitted in its place.
#[test]
fn the_box_of_a_sheet_has_what_hurts() {
    for (arguments, words) in [
        (&["impeller nut"][..], "eft-hand thread: tighten anticlockwise"),
        (&["impeller nut"], "his lube only"),
        (&["head bolt front"], "DISCARD AFTER REMOVAL. FIT 2 NEW."),
        (&["gear case"], "Within ten minutes of closing"),
        (&["bolster oil", "--wrench", "W3"], "rench W3: CALIBRATION OVERDUE since 2024-03-14"),
    ] {
        let html = demo_sheet(arguments);
        let warn = html.split("<section class=\"warn\">").nth(1).unwrap_or_default();
        let warn = warn.split("</section>").next().unwrap_or_default();
        assert!(warn.contains(words), "{arguments:?}: {warn}");
    }
    // No figure, nothing to pull or to tick.
    let adapter = demo_sheet(&["oil filter"]);
    assert!(!adapter.contains("One pull") && !adapter.contains("class=\"grid\""), "{adapter}");
    let plugs = demo_sheet(&["spark plug"]);
    assert!(plugs.contains("<th>plug</th>") && !plugs.contains("<th>bolt</th>"), "{plugs}");
}

/// 210 N·m at the head of the bolt with 50 mm on a lever of 36 in (914.4 mm): 210 · 914.4
/// / 964.4 = 199.1, on marks of 5 N·m 200.
#[test]
fn what_the_wrench_is_set_to_is_the_largest_figure() {
    let asked = ["coupling half oil", "--wrench", "W4", "--adapter", "50mm"];
    let sheet = demo_sheet(&asked);
    assert!(sheet.contains("<div class=\"pull adapted\">"), "{sheet}");
    assert!(sheet.contains("<b>200 N·m</b>") && sheet.contains("210 N·m at the head"), "{sheet}");
    assert!(!sheet.contains("at the nut"), "{sheet}");
    let card = demo_sheet(&[&["--pocket"], &asked[..]].concat());
    assert!(card.contains("<div class=\"line adapted\">"), "{card}");
    assert!(card.contains("set 200 N·m") && card.contains("adapter of 50 mm"), "{card}");
}

/// The unit of the sheet stands first and beside its figure, unless the shop has units of
/// its own; where there is no room for the other, what it is stands once.
#[test]
fn a_listed_figure_keeps_its_unit() {
    let press = shown(&["find", "press"], "80");
    for words in ["1500 N·m 1110 lb-ft", "560 lb-ft 759 N·m", "40 N·m 29.5 lb-ft"] {
        assert!(press.contains(words), "{words} in {press}");
    }
    let shop = crate::program::demo_shop();
    let run = |arguments: &[&str]| {
        let mut command = clampbook(shop.path());
        text(&command.env("COLUMNS", "80").args(arguments).output().unwrap()).0
    };
    run(&["book", "set", "units=metric"]);
    let metric = run(&["find", "press"]);
    let metric = metric.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in ["1500 N·m 1110 lb-ft", "759 N·m 560 lb-ft", "40 N·m 29.5 lb-ft"] {
        assert!(metric.contains(words), "{words} in {metric}");
    }
    // On paper each joint keeps the unit of its sheet.
    let paper = shown(&["sheet", "press", "-o", "-"], "80");
    assert!(paper.contains("<b>1500 N·m</b>") && paper.contains("<b>560 lb-ft</b>"), "the boxes");
    let alone = shown(&["find", "bolster"], "80");
    assert!(alone.contains("560 lb-ft 759 N·m"), "as written where nothing mixes: {alone}");
    for command in ["find", "lubes"] {
        let text = shown(&[command, "rod cap"], "80");
        assert_eq!(text.matches("no room for N·m: 1 lb-ft = 1.36 N·m").count(), 1, "{text}");
    }
    // An old unit has today's beside it (1 kgf·m = 9.807 N·m).
    let old = shown(&["--units", "metric", "find", "nut bush"], "80");
    assert!(old.contains("8.5 kgf·m 83.4 N·m"), "{old}");
}

/// The sheet's own word on a matter stands alone; the phrase of common practice goes.
#[test]
fn a_stock_phrase_gives_way_to_the_sheets_own() {
    let wheel = shown(&["find", "trolley wheel"], "80");
    assert!(wheel.contains("first 80 km") && !wheel.contains("50–100 miles"), "{wheel}");
    let short = shown(&["find", "head bolt short"], "80");
    assert!(short.contains("Blow the holes out"), "{short}");
    assert!(short.contains("liquid in it can crack the part"), "another matter: {short}");
    let studs = shown(&["find", "main stud"], "80");
    assert_eq!(studs.to_lowercase().matches("studs").count(), 1, "{studs}");
}

/// A lube that is listed is not among those refused, and a setting stands once.
#[test]
fn lubes_name_nothing_twice() {
    let gear = shown(&["lubes", "cam gear"], "80");
    assert!(
        gear.contains("other threadlockers") && gear.contains("threadlocker 20 lb-ft"),
        "{gear}"
    );
    let side = shown(&["lubes", "main bolt side"], "80");
    assert_eq!(side.matches("sealant; face oil").count(), 1, "{side}");
    let text = shown(&["lubes", "coupling half"], "80");
    let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("{words} in {text}"));
    assert!(at("retorque after") < at("WRONG LUBE") && at("note:") < at("WRONG LUBE"), "{text}");
}

/// An answer of one row ends in two lines at 80 columns, and still says what governs.
#[test]
fn one_row_ends_in_two_lines() {
    let home = tempfile::tempdir().unwrap();
    let (out, _, _) =
        text(&clampbook(home.path()).args(in_shop(&["find", "cylinder flange"])).output().unwrap());
    let ending: Vec<&str> = out.lines().skip_while(|line| !line.starts_with("1 row")).collect();
    assert_eq!(ending.len(), 2, "{out}");
    for words in ["±25 %", "Maker's current sheet governs", "licensed practice"] {
        assert!(ending.join(" ").contains(words), "{words} in {out}");
    }
}

/// A gear between wrench and nut changes what the wrench is set to: its note stands among
/// what breaks, on paper and card once.
#[test]
fn a_note_of_a_multiplier_is_a_caution() {
    let block = shown(&["find", "tie rod"], "80");
    let at = |words: &str| block.find(words).unwrap_or_else(|| panic!("{words} in {block}"));
    assert!(at("note: With the multiplier") < at("in passes"), "{block}");
    let shapes = shapes("tie rod");
    stands_in(&shapes, "With the multiplier, 1:5");
    for (shape, text) in shapes.iter().filter(|(shape, _)| shape == "sheet" || shape == "card") {
        assert_eq!(text.matches("With the multiplier").count(), 1, "{shape}");
    }
}

/// Shares say of what they are, and thirds are thirds.
#[test]
fn shares_of_a_torque_name_the_torque() {
    let flange = shown(&["find", "cylinder flange"], "80");
    assert!(
        flange.contains("in passes 30%, 60%, 90%, 100% of 400 N·m: 120, 240, 360, 400 N·m"),
        "{flange}"
    );
    let home = tempfile::tempdir().unwrap();
    let add = ["add", "assembly=Tern 41", "joint=cover", "part=bolt 10.9", "thread=M12x1.75"];
    let rest = ["strength=10.9", "lube=oil", "torque=80 N·m", "passes=1/3; 2/3; 1", "count=8"];
    let words = [&add[..], &rest[..]].concat();
    let (_, err, code) = text(&clampbook(home.path()).args(words).output().unwrap());
    assert_eq!(code, Some(0), "{err}");
    let (out, _, _) = text(&clampbook(home.path()).args(["find", "cover"]).output().unwrap());
    assert!(out.contains("in passes 1/3, 2/3, 100% of 80 N·m: 26.5, 53, 80 N·m"), "{out}");
    // The strength is in the name of the part, and not said again.
    assert!(out.contains("bolt 10.9   8 × M12x1.75\n"), "{out}");
    let (sheet, _, _) =
        text(&clampbook(home.path()).args(["sheet", "cover", "-o", "-"]).output().unwrap());
    assert!(sheet.contains("= 1/3") && sheet.contains("thread M12x1.75</small>"), "{sheet}");
}

/// What no sheet says is told apart before its figure is read; nine tenths of yield at
/// the hole end are said by name (7/16-14 of a stud of 180 ksi: moly's 66 lb-ft make
/// 79 % there, oil's 82 lb-ft on moly 82 / 66 of that, 98 %).
#[test]
fn lubes_tell_estimates_and_what_is_near_yield() {
    let cap = shown(&["lubes", "main bolt cap"], "80");
    let at = |words: &str| cap.find(words).unwrap_or_else(|| panic!("{words} in {cap}"));
    assert!(at("moly 65 lb-ft") < at("computed, on no sheet:"), "{cap}");
    assert!(at("computed, on no sheet:") < at("anti-seize 74 lb-ft"), "{cap}");
    let stud = shown(&["lubes", "head stud long"], "100");
    let line = stud.split("oil's 82 lb-ft with moly").nth(1).unwrap();
    let line = line.split("moly's").next().unwrap();
    assert!(line.contains("hole end 98 % NEAR YIELD"), "{stud}");
}

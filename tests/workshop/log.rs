//! Wrenches, layouts, bolt sets and the log from outside, on the demo shop.

use std::path::Path;

use serde_json::{Value, json};

use crate::program::{clampbook, text};

/// A book with the demo shop, three wrenches and a job that was begun.
pub(crate) struct Shop {
    home: tempfile::TempDir,
}

impl Shop {
    pub(crate) fn new() -> Self {
        let shop = Self { home: tempfile::tempdir().unwrap() };
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("seed-data/demo.csv");
        shop.does(&["import", demo.to_str().unwrap()]);
        let scale = ["low=20 lb-ft", "high=150 lb-ft", "graduation=1 lb-ft"];
        let add = |rest: &[&str]| shop.does(&[&["add", "wrench"], rest].concat());
        add(&[&["W2"], &scale[..], &["calibrated=2025-01-10", "lever=18 in"]].concat());
        add(&[&["W3"], &scale[..], &["calibrated=2026-01-10"]].concat());
        add(&["W1", "low=5 lb-ft", "high=50 lb-ft", "graduation=1 lb-ft", "due=2027-01-01"]);
        shop.does(&["log", "start", "24-017"]);
        shop
    }

    fn run(&self, arguments: &[&str]) -> (String, String, Option<i32>) {
        let home = self.home.path();
        let output = clampbook(home)
            .env("CLAMPBOOK_DIR", home.join("book"))
            .args(arguments)
            .output()
            .expect("the program");
        text(&output)
    }

    /// What a command that must work prints.
    pub(crate) fn does(&self, arguments: &[&str]) -> String {
        let (out, err, code) = self.run(arguments);
        assert_eq!(code, Some(0), "{arguments:?}: {out}{err}");
        out
    }

    /// What a command says, with its exit code.
    pub(crate) fn says(&self, arguments: &[&str]) -> (String, Option<i32>) {
        let (out, err, code) = self.run(arguments);
        (out + &err, code)
    }

    fn json(&self, arguments: &[&str]) -> Value {
        let (out, err, _) = self.run(&[&["--format", "json"], arguments].concat());
        serde_json::from_str(&out).unwrap_or_else(|error| panic!("{error}: {out}\n{err}"))
    }

    pub(crate) fn rows(&self, arguments: &[&str]) -> Vec<Value> {
        self.json(arguments)["rows"].as_array().unwrap().clone()
    }
}

#[test]
fn wrenches_are_listed_with_their_rule_and_their_day() {
    let shop = Shop::new();
    let list = shop.json(&["list", "wrenches"]);
    let of = |name: &str| {
        list["wrenches"].as_array().unwrap().iter().find(|w| w["name"] == name).unwrap().clone()
    };
    let w2 = of("W2");
    // Twelve months after the last calibration: ISO 6789, figure from memory.
    assert_eq!((&w2["due"], &w2["overdue"]), (&json!("2026-01-10"), &json!(true)));
    assert_eq!(w2["usable_rule"], "from 20 % of full scale, ISO 6789:2003");
    // 20 % of 150 lb-ft is 30; 1 lb-ft = 1.355 817 948 N·m (NIST SP 811).
    assert!((w2["usable_low_nm"].as_f64().unwrap() - 30.0 * 1.355_817_948).abs() < 1e-6);
    assert_eq!(of("W3")["overdue"], false);
    shop.does(&["edit", "wrench", "w3", "shop-low=40 lb-ft", "shop-high=120 lb-ft"]);
    let page = shop.does(&["list", "wrenches"]);
    for words in ["40 to 120 lb-ft", "range set by the", "OVERDUE", "1 of 3 overdue"] {
        assert!(page.contains(words), "{words}: {page}");
    }
    assert!(page.lines().all(|line| line.chars().count() <= 80), "{page}");
}

#[test]
fn what_is_wrong_with_a_wrench_is_said_and_nothing_kept() {
    let shop = Shop::new();
    let wrong: [(&[&str], &str, i32); 6] = [
        (&["add", "wrench", "W2", "low=1 lb-ft"], "has a wrench `W2`", 3),
        (&["add", "wrench", "W4", "low=9 N.m", "high=5 N.m", "graduation=1 N.m"], "lowest mark", 3),
        (&["add", "wrench", "W4", "graduatoin=1 N.m"], "did you mean `graduation`?", 2),
        (&["add", "wrench", "W4", "low=9 kN"], "a torque was expected", 3),
        (&["edit", "wrench", "W22", "low=9 N.m"], "no wrench `W22`", 1),
        (&["edit", "wrench", "W2", "shop-low=30 lb-ft"], "both shop-low and shop-high", 3),
    ];
    for (arguments, words, code) in wrong {
        let (said, found) = shop.says(arguments);
        assert!(said.contains(words) && found == Some(code), "{arguments:?} {found:?}: {said}");
    }
    assert_eq!(shop.json(&["list", "wrenches"])["wrenches"].as_array().unwrap().len(), 3);
    shop.does(&["edit", "wrench", "W1", "--remove", "--yes"]);
    assert_eq!(shop.json(&["list", "wrenches"])["wrenches"].as_array().unwrap().len(), 2);
}

#[test]
fn a_wrench_that_cannot_show_the_final_value_is_refused_and_another_named() {
    let shop = Shop::new();
    let (said, code) = shop.says(&["passes", "70 lb-ft", "--wrench", "W1"]);
    assert_eq!(code, Some(1));
    assert!(said.contains("refused for this wrench") && said.contains("take W3: set 70 lb-ft"));
    // W2 would do as well, but its day is past.
    let rows = shop.rows(&["passes", "head", "stud", "moly", "--wrench", "W1"]);
    assert_eq!(rows[0]["wrench_suggested"], "W3: set 66 lb-ft");
    let (said, code) = shop.says(&["passes", "70 lb-ft", "--wrench", "W2"]);
    assert!(said.contains("CALIBRATION OVERDUE since 2026-01-10") && code == Some(0), "{said}");
    let (said, code) = shop.says(&["passes", "70 lb-ft", "--wrench", "W9"]);
    assert!(said.contains("no wrench `W9`") && code == Some(2), "{said}");
}

/// T·L/(L + E·cos θ): AC 43.13-1B fig. 7-2. 80 · 18/(18 + 2) is 72; across the
/// wrench there is nothing to correct.
#[test]
fn an_adapter_changes_the_setting_and_not_the_pass() {
    let shop = Shop::new();
    let with = |angle: &str| {
        let line = ["passes", "80 lb-ft", "--wrench", "W2", "--adapter", "2 in"];
        shop.json(&[&line[..], &["--adapter-angle", angle]].concat())
    };
    let straight = with("0°");
    assert_eq!(straight["passes"][2], "80 lb-ft");
    assert_eq!(straight["wrench"][2], "set 72 lb-ft");
    assert!((straight["with_wrench"]["adapter_gain"].as_f64().unwrap() - 20.0 / 18.0).abs() < 1e-9);
    assert_eq!(with("90°")["wrench"][2], "set 80 lb-ft");
    let (said, code) = shop.says(&["passes", "70 lb-ft", "--wrench", "W3", "--adapter", "2 in"]);
    assert!(said.contains("lever is not stated") && code == Some(2), "{said}");
    let (said, code) = shop.says(&["passes", "70 lb-ft", "--adapter", "2 in"]);
    assert!(said.contains("name the wrench") && code == Some(2), "{said}");
}

/// T + T_prev (AC 43.13-1B, 7-40).
#[test]
fn prevailing_torque_is_added_to_the_setting_or_asked_for() {
    let shop = Shop::new();
    let fields = ["assembly=Pump", "joint=cover", "part=nut", "thread=7/16-20", "count=4"];
    let torque = ["lube=oil", "torque=60 lb-ft", "source=Sheet P p. 1", "prevailing=10 lb-ft"];
    shop.does(&[&["add"], &fields[..], &torque[..], &["prevailing-rule=to-add"]].concat());
    let rows = shop.rows(&["passes", "assembly", "Pump", "--wrench", "W3"]);
    assert_eq!(
        (&rows[0]["passes"][2], &rows[0]["wrench"][2]),
        (&json!("60 lb-ft"), &json!("set 70 lb-ft"))
    );
    assert!(rows[0]["remarks"][0].as_str().unwrap().contains("10 lb-ft"));
    shop.does(&["edit", "pump-cover-nut", "prevailing-rule=unknown"]);
    let rows = shop.rows(&["passes", "assembly", "Pump", "--wrench", "W3"]);
    assert!(rows[0]["remarks"][0].as_str().unwrap().contains("not known"), "{}", rows[0]);
}

/// Passes in one column and the angle in another are one procedure: the angle is a
/// step of `passes`, a box and a row of the sheet, and a pass of the log.
#[test]
fn an_angle_beside_the_passes_is_their_last_step() {
    let shop = Shop::new();
    let sheet = "Assembly,Joint,Part,Qty,Thread,Torque,Passes,Angle,Lube,Source\n\
                 Lathe,bed,bolt,4,M10x1.5,60 N·m,\"20 N·m, 40 N·m, 60 N·m\",90°,oil,Sheet L p. 2\n";
    std::fs::write(shop.home.path().join("lathe.csv"), sheet).unwrap();
    shop.does(&["import", "lathe.csv"]);
    let rows = shop.rows(&["passes", "assembly", "Lathe"]);
    assert_eq!(rows[0]["passes"], json!(["20 N·m", "40 N·m", "60 N·m", "+90°"]));
    shop.does(&["sheet", "assembly", "Lathe", "-o", "bed.html"]);
    let html = std::fs::read_to_string(shop.home.path().join("bed.html")).unwrap();
    assert!(html.contains("<b>+90°</b>") && html.contains("<th>pass 4</th>"), "box and row");
    shop.does(&["log", "add", "assembly", "Lathe", "--done"]);
    let line = shop.does(&["log", "show", "1"]);
    assert!(line.contains("60 N·m done; +90° done"), "{line}");
}

#[test]
fn a_layout_is_kept_and_gives_the_order_of_the_joints_that_name_it() {
    let shop = Shop::new();
    let table = "hole,x mm,y mm,group\n1,0,0,main\n2,100,0,main\n3,50,-40,main\n4,0,-80,end\n5,100,-80,end\n";
    std::fs::write(shop.home.path().join("cover.csv"), table).unwrap();
    shop.does(&["add", "layout", "Pump cover", "file=cover.csv", "notes=front on the left"]);
    let stored = shop.json(&["order", "layout", "pump COVER"]);
    assert_eq!(stored["order"], shop.json(&["order", "layout", "cover.csv"])["order"]);
    // The end group after the main one.
    let order: Vec<u64> =
        stored["order"].as_array().unwrap().iter().map(|hole| hole.as_u64().unwrap()).collect();
    assert!(order[..3].iter().all(|hole| *hole <= 3), "{order:?}");
    let fields = ["add", "assembly=Pump", "joint=cover", "part=screw", "thread=M8x1.25", "count=5"];
    let rest = ["layout=Pump cover", "lube=oil", "torque=20 N.m", "source=Sheet P p. 1"];
    shop.does(&[&fields[..], &rest].concat());
    let rows = shop.rows(&["order", "assembly", "Pump"]);
    assert_eq!(rows[0]["order"], stored["order"]);
    assert_eq!(shop.json(&["list", "layouts"])["layouts"][0]["count"], 5);
    let (said, code) = shop.says(&["add", "layout", "circle of 8", "file=cover.csv"]);
    assert!(said.contains("describes itself") && code == Some(3), "{said}");
    let (said, code) = shop.says(&["add", "layout", "none"]);
    assert!(said.contains("needs its holes") && code == Some(3), "{said}");
}

#[test]
fn a_joint_is_recorded_from_the_setting_and_the_last_entry() {
    let shop = Shop::new();
    let first =
        shop.rows(&["log", "add", "head", "stud", "moly", "--done", "wrench=w3", "lot=tin 7"]);
    let line = &first[0];
    assert_eq!(
        (&line["line"], &line["job"], &line["who"]),
        (&json!(1), &json!("24-017"), &json!("jo"))
    );
    assert_eq!((&line["lube"], &line["wrench"]), (&json!("moly"), &json!("W3")));
    assert_eq!(line["wrench_calibrated"], "2026-01-10");
    assert_eq!(
        line["passes"],
        json!(["20 lb-ft done", "36 lb-ft done", "52 lb-ft done", "66 lb-ft done"])
    );
    assert_eq!((&line["torque"], &line["basis"]), (&json!("66 lb-ft"), &json!("listed")));
    assert!(line["order"].is_null(), "nobody said in which order");
    // What was reached is never filled in.
    assert_eq!(line["reached"], json!([]));
    let next = shop.rows(&["log", "add", "head", "stud", "moly", "reached=67 lb-ft"]);
    let line = &next[0];
    assert_eq!(
        (&line["wrench"], &line["lot"], &line["passes"]),
        (&json!("W3"), &json!("tin 7"), &json!([]))
    );
    assert_eq!(
        (&line["reached"][0]["position"], &line["reached"][0]["torque"]),
        (&json!("all"), &json!("67 lb-ft"))
    );
    // A snapshot: what the book says later changes nothing of it.
    shop.does(&["edit", "marlow-6-head-stud-long/moly", "torque=75 lb-ft", "passes="]);
    assert_eq!(shop.rows(&["log", "show", "1"])[0]["torque"], "66 lb-ft");
}

/// The wrench of the last line is no default for another joint.
#[test]
fn nothing_is_carried_over_to_another_joint() {
    let shop = Shop::new();
    shop.rows(&["log", "add", "head", "stud", "moly", "wrench=w3", "lot=tin 7", "order=1-2-3"]);
    let question = ["log", "add", "joint", "rod", "bolt", "has", "stretch", "--yes"];
    let other = shop.rows(&question);
    let line = &other[0];
    for key in ["wrench", "lot", "order", "set"] {
        assert!(line[key].is_null(), "{key}: {line}");
    }
}

/// A reading that the wrench cannot show is said when it is entered, and kept.
#[test]
fn a_reading_outside_the_wrench_is_said() {
    let shop = Shop::new();
    let (said, code) =
        shop.says(&["log", "add", "head", "stud", "moly", "wrench=w3", "reached=600 lb-ft"]);
    assert_eq!(code, Some(0), "{said}");
    assert!(said.contains("600 lb-ft is outside what this wrench can show"), "{said}");
}

/// With an adapter the wrench is set to another figure than the torque at the nut: 66 ·
/// 18/(18 + 2) = 59.4 lb-ft (AC 43.13-1B fig. 7-2). Readings are what it showed and are
/// held against that; both are kept.
#[test]
fn a_reading_with_an_adapter_is_held_against_what_was_set() {
    let shop = Shop::new();
    let readings = "reached=1: 59 lb-ft; 2: 66 lb-ft";
    let line = ["log", "add", "head", "stud", "moly", "--yes", "wrench=w3", "set-to=59.4 lb-ft"];
    let line = &shop.rows(&[&line[..], &[readings]].concat())[0];
    assert_eq!((&line["set_to"], &line["torque"]), (&json!("59.4 lb-ft"), &json!("66 lb-ft")));
    let off = shop.rows(&["log", "off-target", "5%"]);
    assert_eq!(off.len(), 1, "{off:?}");
    assert_eq!((&off[0]["position"], &off[0]["torque"]), (&json!("2"), &json!("set 59.4 lb-ft")));
}

/// A joint ticked as done with a wrench that cannot show its torque.
#[test]
fn a_torque_that_the_wrench_cannot_show_is_said() {
    let shop = Shop::new();
    let (said, code) =
        shop.says(&["log", "add", "head", "stud", "moly", "--done", "--yes", "wrench=w1"]);
    assert_eq!(code, Some(0), "it happened: {said}");
    assert!(said.contains("66 lb-ft: wrench W1 66 lb-ft is above this wrench's range"), "{said}");
}

/// A stretch outside its window is said when it is entered and found again.
#[test]
fn a_stretch_outside_its_window_is_off_target() {
    let shop = Shop::new();
    let question = ["log", "add", "joint", "rod", "bolt", "has", "stretch"];
    let reading = "reached=1: stretch 0.0090 in; 2: stretch 0.0057 in";
    let (said, code) = shop.says(&[&question[..], &[reading]].concat());
    assert_eq!(code, Some(0), "{said}");
    assert!(said.contains("1: stretch 0.0090 in is outside"), "{said}");
    assert!(!said.contains("2: stretch"), "{said}");
    let off = shop.rows(&["log", "off-target", "10%"]);
    assert_eq!(off.len(), 1, "{off:?}");
    assert_eq!(off[0]["found"], "stretch 0.0090 in");
}

/// Two recalibrations after one that found the wrench good, the second finds it out:
/// every line that it was said to have tightened in between, its two calibration days
/// included, corrected ones with their correction, and no other; a third calibration,
/// good again, hides none of them.
#[test]
fn a_recall_over_two_recalibrations_and_a_correction() {
    let shop = Shop::new();
    let scale = ["low=20 lb-ft", "high=150 lb-ft", "graduation=1 lb-ft"];
    let good = ["calibrated=2024-01-10", "found=good"];
    shop.does(&[&["add", "wrench", "T1"], &scale[..], &good].concat());
    let calibrated = |fields: &[&str]| {
        shop.does(&[&["edit", "wrench", "T1"], fields].concat());
    };
    let tightened = |wrench: &str, at: &str| {
        let line = ["log", "add", "head", "stud", "moly", "--yes", "--at", at];
        shop.rows(&[&line[..], &[&format!("wrench={wrench}")]].concat());
    };
    tightened("T1", "2024-12-20T08:00"); // 1: before it was found good
    calibrated(&["calibrated=2025-01-10", "found=good"]);
    tightened("T1", "2025-01-10T08:00"); // 2: its day counts
    tightened("T1", "2025-06-02T08:00"); // 3: corrected to W3 below
    tightened("W3", "2025-06-03T08:00"); // 4: corrected to T1 below
    calibrated(&["calibrated=2025-07-01"]); // how it was found is not stated: not good
    tightened("T1", "2025-08-01T08:00"); // 5
    tightened("W2", "2025-08-02T08:00"); // 6: another wrench
    calibrated(&["calibrated=2026-01-15", "found=out"]);
    tightened("T1", "2026-01-15T08:00"); // 7: its day counts
    tightened("T1", "2026-02-01T08:00"); // 8: known to be out, and used all the same
    shop.does(&["log", "correct", "3", "wrench=W3"]); // 9
    shop.does(&["log", "correct", "4", "wrench=T1"]); // 10
    let recall = || -> Vec<(Value, u64, Value)> {
        let line = |line: &Value| {
            let number = line["line"].as_u64().unwrap();
            (line["found_out"].clone(), number, line["correction"].clone())
        };
        shop.rows(&["log", "wrench", "t1"]).iter().map(line).collect()
    };
    let out = json!("2026-01-15");
    let told = |number: u64| (out.clone(), number, Value::Null);
    let corrected = (out.clone(), 3, json!("wrench T1 -> W3"));
    let of_the_finding = [told(2), corrected, told(5), told(7), told(8), told(10)];
    let since = |number: u64| (Value::Null, number, Value::Null);
    assert_eq!(recall(), of_the_finding);
    let flat = |arguments: &[&str]| {
        shop.says(arguments).0.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let page = flat(&["log", "wrench", "T1"]);
    assert!(page.contains("up to today: not to be used until found good"), "{page}");
    let list = flat(&["list", "wrenches"]);
    assert!(list.contains("1 of 4 FOUND OUT, not to be used; 1 of 4 overdue."), "{list}");
    let wrenches = shop.json(&["list", "wrenches"]);
    let mut wrenches = wrenches["wrenches"].as_array().unwrap().iter();
    assert_eq!(wrenches.find(|w| w["name"] == "T1").unwrap()["found_out"], "2026-01-15");
    calibrated(&["calibrated=2026-03-01", "found=good"]);
    tightened("T1", "2026-03-01T08:00"); // 11: before it was found good, or after
    tightened("T1", "2026-04-01T08:00"); // 12
    assert_eq!(recall(), [&of_the_finding[..], &[told(11), since(12)]].concat());
    let page = flat(&["log", "wrench", "T1"]);
    for words in [
        "wrench T1 FOUND OUT 2026-01-15, last found good before that 2025-01-10. IN DOUBT",
        "wrench T1 since its newest calibration, 2026-03-01",
    ] {
        assert!(page.contains(words), "{words}: {page}");
    }
    // A line keeps the calibration that the wrench had on its day.
    let line = &shop.rows(&["log", "show", "10"])[0];
    assert_eq!(line["wrench_calibrated"], "2025-01-10");
    // All calibrations, put right as a whole.
    let all = "calibrated=2025-01-10 good; 2025-07-01 good; 2026-01-15 out";
    calibrated(&[all]);
    assert_eq!(recall()[0], told(5));
    let (said, code) = shop.says(&["edit", "wrench", "W1", "found=out"]);
    assert!(said.contains("of which calibration?") && code == Some(3), "{said}");
}

/// A line since corrected to another wrench was said of the first one all the same.
#[test]
fn a_recall_tells_corrected_lines_with_their_correction() {
    let shop = Shop::new();
    shop.rows(&["log", "add", "head", "stud", "moly", "wrench=w3"]);
    shop.does(&["log", "correct", "1", "wrench=W2"]);
    let lines = shop.rows(&["log", "wrench", "W3", "--since", "2000-01-01"]);
    let numbers: Vec<u64> = lines.iter().map(|line| line["line"].as_u64().unwrap()).collect();
    assert_eq!((numbers, &lines[0]["corrected_by"]), (vec![1], &json!(2)));
}

#[test]
fn what_is_wrong_with_a_line_is_said_and_nothing_recorded() {
    let shop = Shop::new();
    let add = |rest: &[&str]| shop.says(&[&["log", "add"], rest].concat());
    let wrong: [(&[&str], &str, i32); 11] = [
        (&["head", "stud", "moly", "passes=22,5 Nm done"], "write `22.5 Nm done`", 2),
        (&["head", "stud", "moly", "passes=1,5 Nm done; 20 Nm open"], "write `1.5 Nm done`", 2),
        (&["head", "stud", "moly", "reached=22,5 Nm"], "write `all: 22.5 Nm`", 2),
        (&["head", "stud"], "which setting was it?", 2),
        (&["head", "stud", "moly", "wrench=W9"], "no wrench `W9`", 2),
        (&["head", "stud", "moly", "set=R1"], "no bolt set `R1`", 2),
        (&["head", "stud", "moly", "reached=1: 70"], "70", 2),
        (&["head", "stud", "moly", "wrnech=W2"], "did you mean `wrench`?", 2),
        (&["moly", "or", "oil"], "one joint at a time", 2),
        (&["wrench=W2"], "which joint?", 2),
        (&["nothing of this name"], "nothing was recorded", 1),
    ];
    for (arguments, words, code) in wrong {
        let (said, found) = add(arguments);
        assert!(said.contains(words) && found == Some(code), "{arguments:?} {found:?}: {said}");
    }
    assert!(shop.rows(&["log", "show"]).is_empty());
    assert_eq!(shop.says(&["log", "show"]).1, Some(1));
    assert_eq!(shop.says(&["log", "show", "--since", "yesterday"]).1, Some(1));
    let (said, code) = shop.says(&["log", "show", "--since", "the other day"]);
    assert!(said.contains("write 2026-05-04, today or yesterday") && code == Some(2), "{said}");
}

#[test]
fn a_correction_stands_in_place_of_a_line_that_stays() {
    let shop = Shop::new();
    shop.does(&["log", "add", "head", "stud", "moly", "--done", "wrench=W2"]);
    let before = shop.rows(&["log", "show", "1"]);
    let new = shop.rows(&["log", "correct", "1", "wrench=W3", "remarks=W3 it was"]);
    assert_eq!(
        (&new[0]["line"], &new[0]["corrects"], &new[0]["wrench"]),
        (&json!(2), &json!(1), &json!("W3"))
    );
    let history = shop.rows(&["log", "show", "2"]);
    let mut old = history[1].clone();
    assert_eq!(old["corrected_by"], 2);
    assert_eq!(old["correction"], "wrench W2 -> W3; remarks not stated -> W3 it was");
    old["corrected_by"] = Value::Null;
    old["correction"] = Value::Null;
    assert_eq!(old, before[0]);
    let holds: Vec<Value> = shop.rows(&["log", "show"]).iter().map(|l| l["line"].clone()).collect();
    assert_eq!(holds, [json!(2)]);
    assert_eq!(shop.rows(&["log", "show", "--all"]).len(), 2);
    let (said, code) = shop.says(&["log", "correct", "1", "wrench=W1"]);
    assert!(said.contains("line 1 was corrected by line 2: correct that one"), "{said}");
    assert_eq!(code, Some(2));
    assert_eq!(shop.says(&["log", "correct", "9", "wrench=W1"]).1, Some(1));
}

#[test]
fn the_log_is_asked_by_whom_with_what_and_what_was_left() {
    let shop = Shop::new();
    let add = |rest: &[&str]| drop(shop.does(&[&["log", "add"], rest].concat()));
    add(&[
        "head",
        "stud",
        "moly",
        "wrench=W2",
        "reached=1: 66 lb-ft; 2: 56 lb-ft",
        "--at",
        "2024-12-01",
    ]);
    add(&["head", "stud", "moly", "wrench=W2", "who=sam", "--at", "2026-02-01T08:00"]);
    add(&["head", "stud", "oil", "wrench=W3", "lube=moly", "lot=tin 8", "who=jo"]);
    let numbers = |arguments: &[&str]| -> Vec<u64> {
        shop.rows(arguments).iter().map(|line| line["line"].as_u64().unwrap()).collect()
    };
    assert_eq!(numbers(&["log", "show", "--who", "Sam"]), [2]);
    assert_eq!(numbers(&["log", "show", "--wrench", "w2"]), [1, 2]);
    assert_eq!(numbers(&["log", "show", "--lube", "moly", "--job", "24-017"]), [1, 2, 3]);
    assert_eq!(numbers(&["log", "show", "joint", "head", "stud"]), [1, 2, 3]);
    assert_eq!(numbers(&["log", "show", "joint", "rod"]), Vec::<u64>::new());
    assert_eq!(numbers(&["log", "show", "--other-lube"]), [3]);
    assert_eq!(numbers(&["log", "show", "--since", "2026-02-01"]), [2, 3]);
    // How its calibration of 2025-01-10 found it is not stated, which is not good: all of
    // its lines. Found good, those since; or since a day that is named.
    assert_eq!(numbers(&["log", "wrench", "W2"]), [1, 2]);
    shop.does(&["edit", "wrench", "W2", "found=good"]);
    assert_eq!(numbers(&["log", "wrench", "W2"]), [2]);
    assert_eq!(numbers(&["log", "wrench", "W2", "--since", "2024-01-01"]), [1, 2]);
    // 56 of 66 lb-ft is 85 %.
    let off = shop.rows(&["log", "off-target", "10%"]);
    assert_eq!(
        (off.len(), &off[0]["position"], &off[0]["found"]),
        (1, &json!("2"), &json!("56 lb-ft"))
    );
    let tins = shop.rows(&["log", "tins"]);
    assert!(tins.iter().any(|tin| tin["lot"] == "tin 8" && tin["lines"] == 1), "{tins:?}");
    assert_eq!(numbers(&["log", "retorque"]), [1, 2, 3]);
    add(&["head", "stud", "moly", "did=retorqued"]);
    assert_eq!(numbers(&["log", "retorque"]), Vec::<u64>::new());
    assert_eq!(numbers(&["log", "show", "--did", "retorqued"]), [4]);
}

#[test]
fn bolts_count_their_tightenings_and_check_knows_what_is_past() {
    let shop = Shop::new();
    let key = "fastener=marlow-6-rod-bolt-cap";
    let (said, code) = shop.says(&["add", "set", "R12", "fastener=marlow-6-rod", "bolts=1 to 2"]);
    assert!(said.contains("no fastener has the key") && code == Some(3), "{said}");
    shop.does(&[
        "add",
        "set",
        "R12",
        key,
        "bolts=1: new 1.9986 in, mark A; 2: new 1.9987 in, earlier 3",
    ]);
    let rod = ["log", "add", "rod", "moly", "has", "stretch", "set=R12"];
    let trial =
        "reached=1: stretch 0.0057 in, after 1.9986 in; 2: stretch 0.0058 in, after 2.0015 in";
    shop.does(&[&rod[..], &["did=trial assembly", trial]].concat());
    let bolts = shop.rows(&["log", "bolts"]);
    // The one that grew most first; a trial assembly is a tightening.
    assert_eq!((&bolts[0]["position"], &bolts[0]["tightenings"]), (&json!("2"), &json!(4)));
    // 2.0015 - 1.9987 in is 0.0028 in, 0.0711 mm.
    assert!((bolts[0]["growth_mm"].as_f64().unwrap() - 0.0028 * 25.4).abs() < 1e-9);
    assert_eq!((&bolts[0]["verdict"], &bolts[1]["verdict"]), (&json!("scrap"), &json!("keep")));
    assert_eq!(shop.rows(&["log", "bolts", "R12", "--cycles", "4"]).len(), 1);
    let (said, code) = shop.says(&[&rod[..], &["reached=7: stretch 0.0057 in"]].concat());
    assert!(said.contains("set R12 has no bolt `7`; it has 1, 2") && code == Some(2), "{said}");
    let said = shop.says(&["log", "add", "head", "stud", "oil", "lube=moly"]).0;
    assert!(said.contains("moly was put on, the setting is for oil"), "{said}");
    let found = shop.json(&["check"]);
    let kinds: Vec<(&str, &str)> = found["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|f| (f["finding"].as_str().unwrap(), f["reason"].as_str().unwrap()))
        .collect();
    let says = |kind: &str, words: &str| kinds.iter().any(|(k, r)| *k == kind && r.contains(words));
    assert!(says("wrench-overdue", "2026-01-10"), "{kinds:?}");
    assert!(says("bolt-past-use", "2.0015 in, the limit is 2.001 in"), "{kinds:?}");
    assert!(says("other-lube", "line 2"), "{kinds:?}");
}

/// One lube under another of its names is the same lube.
#[test]
fn an_alias_is_no_other_lube() {
    let shop = Shop::new();
    let aliases = shop.json(&["list", "lubes"]);
    let moly = aliases["lubes"].as_array().unwrap().iter().find(|l| l["name"] == "moly").unwrap();
    let alias = format!("lube={}", moly["aliases"][0].as_str().unwrap());
    let said = shop.says(&["log", "add", "head", "stud", "moly", &alias]).0;
    assert!(!said.contains("warning"), "{said}");
}

#[test]
fn the_export_reads_without_the_program() {
    let shop = Shop::new();
    shop.does(&[
        "log",
        "add",
        "head",
        "stud",
        "moly",
        "--done",
        "wrench=W3",
        "remarks=\u{1b}[31mline\ntwo",
    ]);
    shop.does(&["log", "correct", "1", "lot=tin 9"]);
    let text = shop.does(&["log", "export"]);
    for words in [
        "line 1\n  corrected by: line 2, which holds in its place",
        "line 2\n  corrects line: 1",
        "part: stud, long, thread 7/16-20, 14 of them",
        "setting: torque, 66 lb-ft, lube moly, listed",
        "wrench: W3, calibrated 2026-01-10, due 2027-01-10",
        "passes: 20 lb-ft done; 36 lb-ft done; 52 lb-ft done; 66 lb-ft done",
        "written down: jo 2026-05-04T10:20:00Z",
        "1 lb-ft = 1.3558 N·m",
        "END OF LOG",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    assert!(!text.contains('\u{1b}'), "{text}");
    shop.does(&["log", "export", "log.txt"]);
    assert_eq!(
        std::fs::read_to_string(shop.home.path().join("log.txt")).unwrap().trim(),
        text.trim()
    );
    assert_eq!(shop.says(&["log", "export", "log.txt"]).1, Some(2));
    let csv = shop.does(&["log", "show", "--format", "csv"]);
    assert!(csv.starts_with("line,corrects,"), "{csv}");
}

#[test]
fn the_sheet_is_made_for_a_wrench_of_the_book() {
    let shop = Shop::new();
    shop.does(&["sheet", "head", "stud", "moly", "--wrench", "W3", "-o", "head.html"]);
    let html = std::fs::read_to_string(shop.home.path().join("head.html")).unwrap();
    assert!(
        html.contains("W3, scale 20 to 150 by 1 lb-ft, used 30 to 150 lb-ft, from 20 %"),
        "the wrench"
    );
    assert!(html.contains("calibration good until 2027-01-10"), "its day");
}

/// What the wrench is set to is the figure of every box: with an adapter of 2 in on a
/// wrench of 18 in 66 lb-ft at the nut are 66 · 18 / 20 = 59.4, the mark 59; a pass that
/// a wrench of 50 lb-ft cannot show says so in its place.
#[test]
fn the_boxes_of_a_sheet_say_what_the_wrench_is_set_to() {
    let shop = Shop::new();
    let sheet =
        |rest: &[&str]| shop.run(&[&["sheet", "head", "stud", "moly", "-o", "-"], rest].concat()).0;
    let html = sheet(&["--wrench", "W2", "--adapter", "2 in"]);
    assert!(html.contains("<b>59 lb-ft</b>") && html.contains("66 lb-ft at the nut"), "adapter");
    assert!(!html.contains("<b>66 lb-ft</b>"), "the torque at the nut is not what is set");
    let html = sheet(&["--wrench", "W1"]);
    assert!(
        html.contains("<b class=\"words\">other wrench</b>") && html.contains("above this wrench"),
        "range"
    );
    assert!(!html.contains("<b>66 lb-ft</b>"), "what cannot be set stands in no box");
}

/// A torque at the end of the question picks a setting or was read: which is asked.
#[test]
fn a_lone_torque_is_not_taken_for_the_setting() {
    let shop = Shop::new();
    shop.does(&["log", "start", "24-017"]);
    for words in [&["head", "stud", "moly", "64 lb-ft"][..], &["head stud moly 64 lb-ft"]] {
        let (text, code) = shop.says(&[&["log", "add"], words, &["--done"]].concat());
        assert_eq!(code, Some(2), "{text}");
        for form in ["reached=\"64 lb-ft\"", "torque 64 lb-ft"] {
            assert!(text.contains(form), "{text}");
        }
    }
    shop.does(&["log", "add", "head stud torque 66 lb-ft", "--done", "reached=56 lb-ft"]);
    let off = shop.does(&["log", "off-target"]);
    assert!(off.contains("56 lb-ft"), "{off}");
}

/// A wrench that its newest calibration found out is called so wherever it is named, until
/// one finds it good.
#[test]
fn a_wrench_found_out_says_so_everywhere() {
    let shop = Shop::new();
    shop.does(&["edit", "wrench", "W3", "calibrated=2026-05-03", "found=out"]);
    shop.does(&["log", "start", "24-017"]);
    for arguments in [
        &["list", "wrenches"][..],
        &["passes", "head stud moly", "--wrench", "W3"],
        &["sheet", "head stud moly", "--wrench", "W3", "-o", "-"],
        &["log", "add", "head stud moly", "wrench=W3", "--done", "--yes"],
    ] {
        let (text, _) = shop.says(arguments);
        // The list wraps between the two.
        for said in ["FOUND OUT", "2026-05-03"] {
            assert!(text.contains(said), "{arguments:?}: {text}");
        }
    }
    assert!(shop.says(&["check"]).0.contains("found out 2026-05-03"), "check");
    shop.does(&["edit", "wrench", "W3", "calibrated=2026-05-04", "found=good"]);
    assert!(!shop.says(&["passes", "head stud moly", "--wrench", "W3"]).0.contains("FOUND OUT"));
}

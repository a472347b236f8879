//! `calc` from outside: the worked examples of handbooks through every form,
//! with the source beside each, the keys of JSON, the working, and bad input.

use std::path::Path;

use serde_json::Value;

use crate::program::run;

const LB_IN: f64 = 0.112_984_829_027_616_7; // N·m, NIST SP 811
const LBF: f64 = 4.448_221_615_260_5; // N, NIST SP 811
const INCH: f64 = 25.4;

/// Runs `calc` with the reference tables; standard output, error, exit code.
fn calc(arguments: &[&str]) -> (String, String, i32) {
    let home = tempfile::tempdir().expect("a folder");
    in_home(home.path(), &[&["--demo", "calc"], arguments].concat())
}

fn in_home(home: &Path, arguments: &[&str]) -> (String, String, i32) {
    let (out, err, code) = run(home, arguments);
    (out, err, code.expect("an exit code"))
}

/// The arguments of a line without quotes in it.
fn words(line: &str) -> Vec<&str> {
    line.split_whitespace().collect()
}

/// The JSON answer to a line of arguments; `_` stands for a blank in a value.
fn json(line: &str) -> Value {
    let arguments: Vec<String> = words(line).iter().map(|word| word.replace('_', " ")).collect();
    let mut all = vec!["--format", "json"];
    all.extend(arguments.iter().map(String::as_str));
    let (out, err, _) = calc(&all);
    serde_json::from_str(&out).unwrap_or_else(|error| panic!("{line}: {error}: {out}{err}"))
}

#[track_caller]
fn number(answer: &Value, key: &str) -> f64 {
    answer[key].as_f64().unwrap_or_else(|| panic!("no {key} in {answer}"))
}

/// `found` is `wanted` within `within`, a share of it.
#[track_caller]
fn near(found: f64, wanted: f64, within: f64) {
    assert!((found / wanted - 1.0).abs() <= within, "{found} is not {wanted} within {within}");
}

/// An example: arguments, key, unit in which it is printed, printed figure,
/// tolerance, source, how the figure was come by.
struct Example {
    line: &'static str,
    key: &'static str,
    unit: f64,
    printed: f64,
    within: f64,
    source: &'static str,
    how: &'static str,
}

const fn example(
    line: &'static str,
    (key, unit, printed, within): (&'static str, f64, f64, f64),
    source: &'static str,
    how: &'static str,
) -> Example {
    Example { line, key, unit, printed, within, source, how }
}

const READ: &str = "printed figure read";
const MEMORY: &str = "inputs read, printed figure from memory";
const COMPUTED: &str = "formula read, figure computed by hand";
/// Stress areas are printed to three or four figures.
const AREA: f64 = 0.004;

#[rustfmt::skip] // one example a line is read like the list of examples it is
const EXAMPLES: &[Example] = &[
    example("3/4-16 --k 0.20 --target 25000lbf", ("torque_nm", LB_IN, 3750.0, 1e-6), "Shigley 9th ed. Ex. 8-3 (b)", MEMORY),
    example("5/8-11 --k 0.20 --proof 85ksi --target 75%_proof", ("clamp_n", LBF, 14_400.0, AREA), "Shigley 9th ed. p.449", READ),
    example("M12x1.75 --k 0.219 --torque 90Nm", ("clamp_n", 1000.0, 34.26, 0.003), "Shigley 9th ed. Tables 8-13, 8-14: mean of 20 dry bolts; K implied by it", READ),
    example("3/8-24 --k 0.18 --proof 85ksi --target 75%_proof", ("torque_nm", LB_IN, 378.0, AREA), "Shigley instructor solution, 3/8-24 cap screw", READ),
    example("M30x3.5 --k 0.2 --proof 600MPa --target 75%_proof", ("clamp_n", 1.0, 252_450.0, AREA), "Shigley instructor solution 8-37", READ),
    example("M30x3.5 --k 0.2 --proof 600MPa --target 75%_proof", ("stress_mpa", 1.0, 450.0, 1e-6), "Shigley instructor solution 8-37", READ),
    example("1/2-13 --k 0.2 --proof 120ksi --target 75%_proof", ("clamp_n", LBF, 12_771.0, AREA), "Shigley problem, worked answer, 1/2-13 grade 8", READ),
    example("1/2-13 --k 0.2 --proof 120ksi --target 75%_proof", ("proof_load_n", LBF, 17_028.0, AREA), "Shigley problem, worked answer, 1/2-13 grade 8", READ),
    example("3/8-16 --k 0.20 --proof 85ksi --target 75%_proof", ("clamp_n", LBF, 4940.6, AREA), "engineering article, standard chart values", READ),
    example("3/8-16 --k 0.15 --proof 85ksi --target 75%_proof", ("torque_nm", LB_IN, 23.2 * 12.0, AREA), "engineering article, 23 lbf.ft printed, chart truncates 23.2", READ),
    example("5/8-11 --k 0.2 --torque 1800lb-in", ("clamp_n", LBF, 14_400.0, 1e-6), "SAND2008-0371 App. C", COMPUTED),
    example("5/8-11 --k 0.2 --torque 1800lb-in", ("clamp_high_n", LBF, 19_440.0, 1e-6), "SAND2008-0371 App. C, scatter 35 %", COMPUTED),
    example("5/8-11 --k 0.2 --torque 1800lb-in", ("clamp_low_n", LBF, 9360.0, 1e-6), "SAND2008-0371 App. C, scatter 35 %", COMPUTED),
    // A face of mean diameter 1.25 D is what 0.625 fc D says.
    example("3/4-16 --mu 0.15 --bearing 1.125in,0.75in --torque 1800lb-in", ("equivalent_k", 1.0, 0.188_93, 5e-5), "MIL-HDBK-60 Eq. 100.5.1, 3/4-16 at 0.15", COMPUTED),
    example("1/2-13 --mu 0.15 --bearing 0.75in,0.5in --torque 900lb-in", ("equivalent_k", 1.0, 0.1972, 0.008), "Shigley 9th ed. Eq. 8-26 at 0.15, which keeps the product of slope and friction", COMPUTED),
    example("M12x1.25 --strength 8.8 --mu 0.12 --target 90%_combined", ("clamp_n", 1000.0, 48.0, 0.005), "VDI 2230 Blatt 1 (2001/2003) Table A, metric fine", READ),
    example("M12x1.25 --strength 8.8 --mu 0.12 --target 90%_combined", ("torque_nm", 1.0, 90.0, 0.012), "VDI 2230 Blatt 1 (2001/2003) Table A, metric fine", READ),
    example("M12x1.25 --strength 8.8 --mu 0.14 --target 90%_combined", ("clamp_n", 1000.0, 46.8, 0.005), "VDI 2230 Blatt 1 (2001/2003) Table A, metric fine", READ),
    example("M12x1.25 --strength 8.8 --mu 0.14 --target 90%_combined", ("torque_nm", 1.0, 101.0, 0.012), "VDI 2230 Blatt 1 (2001/2003) Table A, metric fine", READ),
    example("stretch 3/4-16 --shank 3/4in,2.5in --ends none --material 30000ksi --clamp 25kip", ("stretch_mm", INCH, 0.004_72, 0.001), "Shigley 9th ed. p.437, bolt stretch", COMPUTED),
    example("stretch 3/4-16 --shank 3/4in,2.5in --ends none --material 30000ksi --stretch 0.004716in", ("clamp_n", LBF, 25_000.0, 0.001), "Shigley 9th ed. p.437, backwards", COMPUTED),
    example("turn M20x2 --shank 20mm,600mm --ends none --material 200GPa --sleeve 40mm,28mm,600mm,120GPa --turn 90deg", ("added_clamp_n", 1.0, 28_817.0, 1e-4), "strength-of-materials textbook, quarter turn of a nut", COMPUTED),
    example("turn M20x2 --shank 20mm,600mm --ends none --material 200GPa --sleeve 40mm,28mm,600mm,120GPa --clamp 28817N", ("turn_deg", 1.0, 90.0, 1e-4), "strength-of-materials textbook, backwards", COMPUTED),
    example("turn 3/4-16 --bolt-stiffness 6500kip/in --parts-stiffness 13800kip/in --turn 30deg", ("load_share", 1.0, 0.320, 0.002), "Shigley 9th ed. Ex. 8-3 p.439", READ),
    example("engage 1/2-13 --tensile 150ksi --hole-tensile 150ksi --shear-share 0.5 --limits 0.4876in,0.4435in,0.4340in,0.4565in", ("even_strength_mm", INCH, 0.3643, 0.001), "Machinery's Handbook 24th ed. engagement formula 1", COMPUTED),
    example("engage 1/2-13 --tensile 150ksi --hole-tensile 150ksi --engagement 0.5in --limits 0.4876in,0.4435in,0.4340in,0.4565in", ("external_strip_area_mm2", INCH * INCH, 0.389, 0.005), "FED-STD-H28/2 strip areas, 2A/2B, Le = 1 D", READ),
    example("engage 1/2-13 --tensile 150ksi --hole-tensile 150ksi --engagement 0.5in --limits 0.4876in,0.4435in,0.4340in,0.4565in", ("internal_strip_area_mm2", INCH * INCH, 0.562, 0.005), "FED-STD-H28/2 strip areas, 2A/2B, Le = 1 D", READ),
    example("engage 1/4-20 --tensile 150ksi --hole-tensile 150ksi --engagement 0.25in --limits 0.2408in,0.2127in,0.2070in,0.2223in", ("external_strip_area_mm2", INCH * INCH, 0.092, 0.005), "FED-STD-H28/2 strip areas, 2A/2B, Le = 1 D", READ),
    example("engage 1/4-20 --tensile 150ksi --hole-tensile 150ksi --engagement 0.25in --limits 0.2408in,0.2127in,0.2070in,0.2223in", ("internal_strip_area_mm2", INCH * INCH, 0.135, 0.005), "FED-STD-H28/2 strip areas, 2A/2B, Le = 1 D", READ),
    example("heat --bolt-stiffness 1000kip/in --parts-stiffness 2000kip/in --layer 2in,13e-6/F --material 6.5e-6/F --rise 100°F", ("clamp_change_n", LBF, 866.7, 1e-4), "thermal preload change, textbook formula", COMPUTED),
    example("heat --bolt-stiffness 1000kip/in --parts-stiffness 2000kip/in --layer 2in,13e-6/F --material 6.5e-6/F --rise -100°F", ("clamp_change_n", LBF, -866.7, 1e-4), "thermal preload change, textbook formula, colder", COMPUTED),
    example("heat --bolt-stiffness 1000kip/in --parts-stiffness 2000kip/in --layer 2in,13e-6/F --material 6.5e-6/F --parts-rise 200°F --bolt-rise 100°F", ("clamp_change_n", LBF, 2600.0, 1e-4), "thermal preload change, textbook formula, parts warmer than the bolt", COMPUTED),
    example("adapter --torque 20lb-ft --length 12in --reach 3in", ("setting_nm", LB_IN * 12.0, 16.0, 1e-9), "adapter leaflet", READ),
    example("adapter --torque 30lb-ft --length 12in --reach 6in", ("setting_nm", LB_IN * 12.0, 20.0, 1e-9), "extension note", READ),
    example("adapter --torque 30lb-ft --length 12in --reach 6in --angle across", ("setting_nm", LB_IN * 12.0, 30.0, 1e-12), "US Army TM 9-254 fig. 46, 90°", COMPUTED),
    example("adapter --torque 30lb-ft --length 12in --reach 6in --angle 60deg", ("setting_nm", LB_IN * 12.0, 24.0, 1e-9), "US Army TM 9-254 fig. 46: 12 + 6·cos 60° = 15", COMPUTED),
    example("adapter --torque 30lb-ft --length 12in --reach 6in --angle back", ("setting_nm", LB_IN * 12.0, 60.0, 1e-9), "US Army TM 9-254 fig. 46: 12 - 6 = 6", COMPUTED),
    example("adapter --setting 24lb-ft --length 12in --reach 6in --angle -60deg", ("torque_nm", LB_IN * 12.0, 30.0, 1e-9), "US Army TM 9-254 fig. 46, backwards", COMPUTED),
    example("adapter --torque 30lb-ft --on-axis", ("setting_nm", LB_IN * 12.0, 30.0, 1e-12), "statics: an extension on the axis moves nothing", COMPUTED),
    example("adapter --torque 900Nm --multiplier 5 --efficiency 90%", ("setting_nm", 1.0, 200.0, 1e-9), "marked ratio times efficiency", COMPUTED),
    example("prevailing --torque 50lb-in --prevailing 30lb-in --rule to-add", ("wrench_nm", LB_IN, 80.0, 1e-9), "US Army TB 43-0218 prevailing torque", READ),
    example("prevailing --torque 70lb-in --prevailing 30lb-in --rule from-a-third", ("wrench_nm", LB_IN, 100.0, 1e-9), "US Army TB 43-0218 prevailing torque", READ),
    example("prevailing --torque 70lb-in --prevailing 20lb-in --rule from-a-third", ("wrench_nm", LB_IN, 70.0, 1e-9), "US Army TB 43-0218: under a third it is ignored", READ),
    example("prevailing --torque 70lb-in --prevailing 20lb-in --rule included", ("clamping_nm", LB_IN, 50.0, 1e-9), "AC 43.13-1B 7-40, read backwards", COMPUTED),
];

#[test]
fn every_worked_example() {
    let mut wrong = Vec::new();
    for Example { line, key, unit, printed, within, source, how } in EXAMPLES {
        let answer = json(line);
        let found = answer[key].as_f64().map(|found| found / unit);
        if !found.is_some_and(|found| (found / printed - 1.0).abs() <= *within) {
            wrong.push(format!("{line}\n  {key} {found:?}, not {printed}: {source} ({how})"));
        }
    }
    println!("{:>6} worked examples through calc checked", EXAMPLES.len());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(EXAMPLES.len() >= 43, "an example was dropped");
}

/// Keys that the answer promises; those of a row and those of a sum.
const KEYS: &[&str] = &[
    "key",
    "assembly",
    "joint",
    "part",
    "kind",
    "thread",
    "strength",
    "lube",
    "basis",
    "method",
    "torque",
    "torque_nm",
    "torque_max_nm",
    "angle_deg",
    "stretch_mm",
    "passes",
    "clamp_n",
    "clamp_low_n",
    "clamp_high_n",
    "of_proof",
    "of_yield",
    "combined_of_yield",
    "stress_area_mm2",
    "k",
    "source",
    "refused",
    "warnings",
    "pitch_diameter_mm",
    "minor_diameter_mm",
    "proof_load_n",
    "yield_load_n",
    "form",
    "equivalent_k",
    "share_pitch",
    "share_thread",
    "share_face",
    "combined_after_of_yield",
    "assumed",
    "target",
];

/// DESIGN: lower snake with the SI unit as suffix, null for what is not stated.
#[test]
fn the_sum_has_every_key() {
    let answer = json("M12x1.25 --strength 8.8 --mu 0.12 --target 90%_combined");
    for key in KEYS {
        assert!(answer.get(key).is_some(), "no {key} in {answer}");
    }
    assert_eq!(answer["form"], "long");
    assert_eq!(answer["strength"], "8.8");
    assert_eq!(answer["torque"], "90 N·m");
    assert_eq!(answer["assembly"], Value::Null);
    assert_eq!(answer["lube"], Value::Null, "factors given are no lube of the book");
    near(number(&answer, "combined_of_yield"), 0.90, 1e-6);
    let shares = ["share_pitch", "share_thread", "share_face"].map(|key| number(&answer, key));
    near(shares.iter().sum::<f64>(), 1.0, 1e-9);
    // ISO 724: d2 = 12 - 0.649519·1.25, d1 = 12 - 1.082532·1.25.
    near(number(&answer, "pitch_diameter_mm"), 11.188_101, 1e-6);
    near(number(&answer, "minor_diameter_mm"), 10.646_835, 1e-6);
    // ISO 898-1: 580 MPa and 640 MPa on 92.1 mm² (printed 53 400 N).
    near(number(&answer, "proof_load_n"), 53_400.0, 0.008);
    assert!(number(&answer, "combined_after_of_yield") < 0.90);
    let short = json("7/16-20 --yield 180ksi --lube moly --target 75%_yield");
    assert_eq!((&short["form"], &short["lube"]), (&"short".into(), &"moly".into()));
    assert_eq!((&short["equivalent_k"], &short["combined_of_yield"]), (&Value::Null, &Value::Null));
    assert_eq!(short["of_proof"], Value::Null, "proof is not stated");
    assert_eq!(short["assumed"].as_array().unwrap().len(), 0);
}

#[test]
fn numbers_of_every_form_are_finite_or_null() {
    for Example { line, .. } in EXAMPLES {
        let answer = json(line);
        let entries = answer.as_object().unwrap();
        assert!(!entries.is_empty());
        for (key, value) in entries {
            let is_snake = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_';
            assert!(key.chars().all(is_snake), "{key} in {line}");
            assert!(value.as_f64().is_none_or(f64::is_finite), "{key} in {line}");
        }
    }
}

/// The band: the range of friction with the wrench by root-sum-square; without
/// a range the scatter of the method (tests/data/preload_scatter.csv: torque,
/// unlubricated 35 %).
#[test]
fn the_band_is_of_friction_and_wrench_or_of_the_method() {
    let range = json("M10x1.5 --k 0.10..0.12..0.15 --torque 50Nm");
    let clamp = 50_000.0 / (0.12 * 10.0);
    near(number(&range, "clamp_n"), clamp, 1e-9);
    // 20 % up and 25 % down with the wrench's 4 % are less than the method's 35 %.
    near(number(&range, "clamp_high_n"), clamp * 1.35, 1e-9);
    near(number(&range, "clamp_low_n"), clamp * 0.65, 1e-9);
    let wide = json("M10x1.5 --k 0.08..0.12..0.20 --torque 50Nm --wrench-tolerance 10%");
    near(number(&wide, "clamp_high_n"), clamp * (1.0 + 0.5f64.hypot(0.10)), 1e-9);
    near(
        number(&wide, "clamp_low_n"),
        clamp * 0.65f64.min(1.0 / (1.0 + (2.0f64 / 3.0).hypot(0.10))),
        1e-9,
    );
    let bare = json("M10x1.5 --k 0.12 --torque 50Nm");
    near(number(&bare, "clamp_low_n"), clamp * 0.65, 1e-9);
    assert!(bare["assumed"][0].as_str().unwrap().contains("no range of friction"), "{bare}");
    // The middle of a range of two is its nominal.
    near(number(&json("M10x1.5 --k 0.10..0.14 --torque 50Nm"), "clamp_n"), clamp, 1e-9);
}

#[test]
fn an_assumed_face_is_said_and_a_stated_one_is_not() {
    let (page, _, code) = calc(&words("M10x1.5 --mu 0.12 --strength 8.8 --torque 40Nm"));
    assert_eq!(code, 0);
    assert!(
        page.contains("ASSUMED: the face that slides is that of a hex head ISO 4014"),
        "{page}"
    );
    let stated = json("M10x1.5 --mu 0.12 --strength 8.8 --torque 40Nm --bearing 14.63mm,11mm");
    assert!(!stated["assumed"].to_string().contains("face"), "{stated}");
    // ISO 4014 dw 14.63 and ISO 273 medium 11 for M10: the same ring.
    let assumed = json("M10x1.5 --mu 0.12 --strength 8.8 --torque 40Nm");
    near(number(&assumed, "clamp_n"), number(&stated, "clamp_n"), 1e-9);
    let socket = json("M10x1.5 --mu 0.12 --strength 8.8 --torque 40Nm --head socket");
    assert!(socket["assumed"].to_string().contains("ISO 4762"), "{socket}");
    // A lube of the book that has only coefficients.
    let lube = json("M10x1.5 --lube VDI-B --strength 8.8 --torque 40Nm");
    assert_eq!(lube["form"], "long");
    assert!(lube["assumed"].to_string().contains("ISO 4014"), "{lube}");
}

#[test]
fn every_target_above_proof_is_refused() {
    let arguments = ["M10x1.5", "--strength", "8.8", "--k", "0.12", "--target"];
    for (target, code) in [("75% proof", 0), ("100% proof", 0), ("101% proof", 1), ("60 kN", 1)] {
        let (out, err, found) = calc(&[&arguments[..], &[target]].concat());
        assert_eq!(found, code, "{target}: {out}{err}");
        assert_eq!(out.contains("refused: would reach"), code == 1, "{target}: {out}");
    }
    let refused = json("M10x1.5 --strength 8.8 --k 0.12 --target 120%_proof");
    assert_eq!(refused["refused"], "would reach 120 % of proof in the thread");
    assert_eq!((&refused["torque"], &refused["torque_nm"]), (&Value::Null, &Value::Null));
    assert_eq!(refused["clamp_n"], Value::Null);
    assert!(refused["proof_load_n"].is_f64(), "what is known is still said: {refused}");
    // Class 12.9 on slippery threads passes proof at 99 % combined: refused too.
    let combined = json("M10x1.5 --strength 12.9 --mu 0.05 --target 99%_combined");
    assert_eq!(combined["refused"], "would reach 108 % of proof in the thread");
    let combined = json("M10x1.5 --strength 12.9 --mu 0.12 --target 90%_combined");
    assert_eq!(combined["refused"], Value::Null);
    assert!(combined["warnings"].to_string().contains("an answer, not a recommendation"));
    let (_, _, code) =
        calc(&["M10x1.5", "--strength", "12.9", "--mu", "0.12", "--target", "101% combined"]);
    assert_eq!(code, 1, "above 100 % combined");
}

#[test]
fn a_given_torque_is_answered_however_high_and_marked() {
    let answer = json("7/16-20 --hole-thread 7/16-14 --yield 180ksi --k 0.12 --torque 66.0lb-ft");
    assert_eq!(answer["torque"], "66.0 lb-ft", "as written");
    // 66 · 12 / (0.12 · 0.4375) = 15 086 lbf: 71 % of 180 ksi on 0.1187 in² at the nut
    // end, 79 % on 0.1063 in² at the hole end.
    assert_eq!((number(&answer, "of_yield") * 100.0).round(), 79.0);
    assert_eq!((number(&answer, "turned_of_yield") * 100.0).round(), 71.0);
    let past = json("7/16-20 --yield 180ksi --k 0.12 --torque 120lb-ft");
    assert!(past["warnings"][0].as_str().unwrap().starts_with("PAST YIELD"), "{past}");
    let waist = json("7/16-20 --waist 0.36in --yield 180ksi --k 0.12 --torque 66lb-ft");
    assert_eq!(waist["weakest_section"], "waist");
}

#[test]
fn a_lube_without_a_factor_is_refused() {
    let (out, _, code) = calc(&words("M10x1.5 --lube threadlocker --torque 40Nm"));
    assert_eq!(code, 1, "{out}");
    assert!(out.contains("refused: no K or μ for threadlocker"), "{out}");
}

#[test]
fn permanent_set_needs_the_length_when_new() {
    // Common practice, no source: given up at 0.001 in of growth.
    let now = |new: &str| json(&format!("stretch --free-length-now 3.2512in {new}"));
    let over = now("--free-length-new 3.2500in");
    assert_eq!(over["verdict"], "over the limit: scrap");
    near(number(&over, "permanent_set_mm"), 0.0012 * INCH, 1e-6);
    assert_eq!(now("--free-length-new 3.2505in")["verdict"], "within the limit");
    assert_eq!(
        now("--free-length-new 3.2500in --set-limit 0.002in")["verdict"],
        "within the limit"
    );
    let unknown = now("");
    assert!(unknown["verdict"].as_str().unwrap().starts_with("cannot judge"), "{unknown}");
    assert!(unknown["refused"].as_str().unwrap().starts_with("cannot judge"), "{unknown}");
    assert_eq!(unknown["permanent_set_mm"], Value::Null);
    assert_eq!(calc(&words("stretch --free-length-now 3.2512in")).2, 1);
}

#[test]
fn steel_gains_in_aluminium_and_loses_in_iron() {
    let bolt = "heat M12x1.25 --shank 12mm,70mm --free-thread 20mm --clamp 45kN --rise 80K";
    let aluminium = json(&format!("{bolt} --layer 90mm,aluminium"));
    let iron = json(&format!("{bolt} --layer 90mm,grey_iron"));
    assert!(number(&aluminium, "clamp_change_n") > 8000.0, "{aluminium}");
    assert!(number(&iron, "clamp_change_n") < 0.0, "{iron}");
    // The expansion of aluminium alloys is a range, and so is the change.
    let [low, high] =
        ["clamp_change_low_n", "clamp_change_high_n"].map(|key| number(&aluminium, key));
    let middle = number(&aluminium, "clamp_change_n");
    assert!(low < middle && middle < high);
    near(number(&aluminium, "clamp_warm_n"), 45_000.0 + middle, 1e-9);
    let cold = json(
        &bolt.replace("80K", "-80K").replace("--clamp 45kN", "--clamp 5kN --layer 90mm,aluminium"),
    );
    assert!(cold["warnings"][0].as_str().unwrap().starts_with("LOOSE"), "{cold}");
    assert_eq!(cold["clamp_warm_n"], Value::Null);
}

#[test]
fn rules_of_thumb_are_labelled() {
    let (page, _, _) = calc(&words("engage M10x1.5 --strength 10.9 --hole-tensile 220MPa"));
    assert!(page.contains("(common") && page.contains("no source)"), "{page}");
    let answer =
        json("engage M10x1.5 --strength 10.9 --hole-tensile 220MPa --hole-material aluminum");
    let rules = answer["rule_of_thumb"].as_array().unwrap();
    assert_eq!(rules.len(), 1);
    assert_eq!(
        (&rules[0]["material"], &rules[0]["to_diameters"]),
        (&"aluminium".into(), &2.0.into())
    );
    assert_eq!(rules[0]["basis"], "common practice, no source");
}

#[test]
fn prevailing_torque_of_an_unknown_rule_is_asked() {
    let (page, _, code) = calc(&words("prevailing --torque 40Nm --prevailing 6Nm"));
    assert_eq!(code, 1);
    assert!(
        page.contains("refused: does the stated 40 N·m include the prevailing torque?"),
        "{page}"
    );
    let answer = json("prevailing --torque 40Nm --prevailing 6Nm --rule unknown");
    assert_eq!(answer["wrench_nm"], Value::Null);
    assert_eq!((number(&answer, "if_included_nm"), number(&answer, "if_to_add_nm")), (40.0, 46.0));
}

#[test]
fn options_of_everywhere_may_stand_before_a_form() {
    let line = ["--format", "json", "--why", "adapter", "--torque", "20lb-ft", "--on-axis"];
    let (out, err, code) = calc(&line);
    assert_eq!(code, 0, "{err}");
    let answer: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(answer["working"][0]["formula"], "Tset = T");
    let (csv, note, _) = calc(&words("--format csv --why adapter --torque 20lb-ft --on-axis"));
    assert_eq!(csv.lines().count(), 2, "{csv}");
    assert!(csv.starts_with("setting_nm,torque_nm,"), "{csv}");
    assert!(note.contains("source:"), "the working stands beside the data: {note}");
}

/// Each bad input with the option that the message must name; exit code 2.
#[rustfmt::skip] // one case a line
const BAD: &[(&str, &str)] = &[
    ("7/16 --k 0.12 --torque 40Nm", "THREAD"),
    ("banana --k 0.12 --torque 40Nm", "THREAD"),
    ("NPT1/2 --k 0.12 --torque 40Nm", "THREAD"),
    ("M10x1.5 --torque 40Nm", "--lube"),
    ("M10x1.5 --k 0.12", "--torque"),
    ("M10x1.5 --k 0.12 --torque 40", "--torque"),
    ("M10x1.5 --k 0.12 --torque 40kN", "--torque"),
    ("M10x1.5 --k 0.12 --torque 0Nm", "--torque"),
    ("M10x1.5 --k 0.12 --torque max_40Nm", "--torque"),
    ("M10x1.5 --k 0.12 --target banana", "--target"),
    ("M10x1.5 --k 0.12 --target 75%_proof", "--target"),
    ("M10x1.5 --k 0.12 --yield 640MPa --target 90%_combined", "--target"),
    ("M10x1.5 --k 3 --torque 40Nm", "--k"),
    ("M10x1.5 --k 0.001 --torque 40Nm", "--k"),
    ("M10x1.5 --k 0.2..0.1 --torque 40Nm", "--k"),
    ("M10x1.5 --k zero --torque 40Nm", "--k"),
    ("M10x1.5 --k=-0.12 --torque 40Nm", "--k"),
    ("M10x1.5 --k 0.12 --mu 0.12 --torque 40Nm", "--mu"),
    ("M10x1.5 --mu 1.2 --torque 40Nm", "--mu"),
    ("M10x1.5 --mu 0.12 --mu-bearing 1.2 --torque 40Nm", "--mu-bearing"),
    ("M10x1.5 --mu 0.12 --bearing 11mm,17mm --torque 40Nm", "--bearing"),
    ("M10x1.5 --mu 0.12 --bearing 17mm --torque 40Nm", "--bearing"),
    ("M11x1.25 --mu 0.12 --torque 40Nm", "--bearing"),
    ("M10x1.5 --lube molly --torque 40Nm", "--lube"),
    ("M10x1.5 --k 0.12 --strength 18.8 --torque 40Nm", "--strength"),
    ("M10x1.5 --k 0.12 --proof 700MPa --yield 640MPa --torque 40Nm", "--proof"),
    ("M10x1.5 --k 0.12 --yield 640kN --torque 40Nm", "--yield"),
    ("M10x1.5 --k 0.12 --waist 11mm --torque 40Nm", "--waist"),
    ("M10x1.5 --k 0.12 --hole-thread 1/2 --torque 40Nm", "--hole-thread"),
    ("M10x1.5 --k 0.12 --torque 40Nm --wrench-tolerance 80%", "--wrench-tolerance"),
    ("M10x1.5 --k 0.12 --torque 40Nm --units parsec", "--units"),
    ("M10x1.5 adapter --torque 40Nm --on-axis", "THREAD"),
    ("--lube oil adapter --torque 40Nm --on-axis", "--lube"),
    ("stretch M10x1.5", "--clamp"),
    ("stretch M10x1.5 --clamp 40kN", "--shank"),
    ("stretch M10x1.5 --shank 10mm --clamp 40kN", "--shank"),
    ("stretch M10x1.5 --shank 0mm,60mm --clamp 40kN", "--shank"),
    ("stretch M10x1.5 --shank 10mm,60mm --clamp 0kN", "--clamp"),
    ("stretch M10x1.5 --shank 10mm,60mm --clamp 40Nm", "--clamp"),
    ("stretch M10x1.5 --shank 10mm,60mm --stretch 0mm", "--stretch"),
    ("stretch M10x1.5 --shank 10mm,60mm --ends glue,nut --clamp 40kN", "--ends"),
    ("stretch --free-thread 20mm --clamp 40kN", "--free-thread"),
    ("stretch M10x1.5 --shank 10mm,60mm --material oak --clamp 40kN", "--material"),
    ("stretch --free-length-new 80mm", "--free-length-now"),
    ("stretch --free-length-now 80mm --set-limit 0mm", "--set-limit"),
    ("turn M10x1.5 --bolt-stiffness 150kN/mm --parts-stiffness 600kN/mm", "--turn"),
    ("turn M10x1.5 --bolt-stiffness 150kN --parts-stiffness 600kN/mm --turn 90deg", "--bolt-stiffness"),
    ("turn M10x1.5 --bolt-stiffness 150kN/mm --parts-stiffness 600kN/s --turn 90deg", "--parts-stiffness"),
    ("turn M10x1.5 --bolt-stiffness 150kN/mm --turn 90deg", "--layer"),
    ("turn M10x1.5 --shank 10mm,60mm --layer 80mm,steel --turn 90deg", "--layer"),
    ("turn M10x1.5 --shank 10mm,60mm --layer 60mm,iron --turn 90deg", "--layer"),
    ("turn M10x1.5 --shank 10mm,60mm --sleeve 20mm,30mm,60mm,steel --turn 90deg", "--sleeve"),
    ("turn M10x1.5 --shank 10mm,60mm --layer 60mm,steel --turn 90", "--turn"),
    ("turn M10x1.5 --shank 10mm,60mm --layer 60mm,steel --turn 9000deg", "--turn"),
    ("engage M10x1.5 --strength 10.9", "--hole-tensile"),
    ("engage M10x1.5 --hole-tensile 220MPa", "--tensile"),
    ("engage M10x1.5 --strength 10.9 --hole-tensile 220mm", "--hole-tensile"),
    ("engage M10x1.5 --strength 10.9 --hole-tensile 220MPa --engagement 0mm", "--engagement"),
    ("engage M10x1.5 --strength 10.9 --hole-tensile 220MPa --shear-share 6", "--shear-share"),
    ("engage M10x1.5 --strength 10.9 --hole-tensile 220MPa --limits 9mm,9mm", "--limits"),
    ("engage M10x1.5 --strength 10.9 --hole-tensile 220MPa --limits 8.5mm,9mm,10mm,9mm", "--limits"),
    ("engage M10x1.5 --strength 10.9 --hole-tensile 220MPa --hole-material oak", "--hole-material"),
    ("heat --bolt-stiffness 150kN/mm --parts-stiffness 600kN/mm --rise 80K", "--layer"),
    ("heat --bolt-stiffness 150kN/mm --parts-stiffness 600kN/mm --layer 90mm,aluminium", "--rise"),
    ("heat --bolt-stiffness 150kN/mm --parts-stiffness 600kN/mm --layer 90mm,aluminium --rise 80mm", "--rise"),
    ("heat --bolt-stiffness 150kN/mm --parts-stiffness 600kN/mm --layer 90mm,aluminium --rise 8000K", "--rise"),
    ("heat --bolt-stiffness 150kN/mm --parts-stiffness 600kN/mm --layer 90mm,71GPa --rise 80K", "--layer"),
    ("heat --bolt-stiffness 150kN/mm --parts-stiffness 600kN/mm --layer 90mm,aluminium --material 206GPa --rise 80K", "--material"),
    ("adapter --length 18in --reach 2in", "--torque"),
    ("adapter --torque 70lb-ft", "--length"),
    ("adapter --torque 70lb-ft --length 18in", "--reach"),
    ("adapter --torque 70lb-ft --length 18in --reach 20in --angle back", "--reach"),
    ("adapter --torque 70lb-ft --length 18in --reach 2in --angle sideways", "--angle"),
    ("adapter --torque 70lb-ft --length 0in --reach 2in", "--length"),
    ("adapter --torque 70 --length 18in --reach 2in", "--torque"),
    ("adapter --torque 70lb-ft --multiplier 5", "--efficiency"),
    ("adapter --torque 70lb-ft --multiplier 0.5 --efficiency 90%", "--multiplier"),
    ("prevailing --prevailing 6Nm", "--torque"),
    ("prevailing --torque 40Nm --rule to-add", "--prevailing"),
    ("prevailing --torque 40Nm --prevailing 60Nm --rule included", "--prevailing"),
    ("prevailing --torque 40Nm --prevailing 6Nm --rule perhaps", "--rule"),
];

#[test]
fn bad_input_names_its_option() {
    let mut wrong = Vec::new();
    for (line, option) in BAD {
        let arguments: Vec<String> =
            words(line).iter().map(|word| word.replace('_', " ")).collect();
        let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
        let (out, err, code) = calc(&arguments);
        if code != 2 || !err.contains(option) || !out.is_empty() {
            wrong.push(format!("{line}\n  code {code}, {option} not named: {err}{out}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Every example of every `--help` is run as it stands.
#[test]
fn a_bare_word_is_told_its_option() {
    for (line, told) in [
        ("7/16-20 --lube moly 70", "--torque 70lb-ft or --torque 70Nm"),
        ("7/16-20 --torque 70 lb-ft", "--torque 70lb-ft, or \"70 lb-ft\""),
        ("7/16-20 70Nm", "--torque 70Nm"),
        ("7/16-20 75%", "--target \"75% yield\""),
        ("7/16-20 10.9", "--strength 10.9"),
        ("7/16-20 7/16-14", "--hole-thread 7/16-14"),
        ("7/16-20 moly", "--lube moly"),
    ] {
        let (out, err, code) = calc(&words(line));
        assert!(code == 2 && err.contains(told) && out.is_empty(), "{line}: {code} {err}{out}");
    }
}

#[test]
fn every_example_of_the_help_runs() {
    let mut count = 0;
    for form in ["", "stretch", "turn", "engage", "heat", "adapter", "prevailing"] {
        let (help, err, code) = calc(&[&words(form)[..], &["--help"]].concat());
        assert_eq!(code, 0, "{err}");
        let (_, examples) = help.split_once("Examples:").expect("examples");
        let joined = examples.replace("\\\n", " ");
        for line in joined.lines().filter(|line| line.trim_start().starts_with("clampbook calc")) {
            let (_, rest) = line.split_once("calc").expect("calc");
            if rest.contains("--help") {
                continue;
            }
            let arguments = shell_words(rest);
            let (out, err, code) = calc(&arguments.iter().map(String::as_str).collect::<Vec<_>>());
            let asks = rest.contains("--prevailing 6Nm") && !rest.contains("--rule");
            assert_eq!(code, i32::from(asks), "{line}\n{out}{err}");
            assert!(out.lines().all(|line| line.chars().count() <= 80), "wider than 80:\n{out}");
            count += 1;
        }
    }
    assert!(count >= 25, "{count} examples: some were not found");
}

/// A line as a shell takes it apart; only double quotes are met.
fn shell_words(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for letter in line.chars() {
        match letter {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            letter => words.last_mut().unwrap().push(letter),
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

/// The symbols of a step by name; the last of a repeated name.
fn symbol(step: &Value, name: &str) -> f64 {
    let symbols = step["symbols"].as_array().unwrap();
    let found = symbols.iter().rev().find(|symbol| symbol["symbol"] == name);
    found.unwrap_or_else(|| panic!("no {name} in {step}"))["value"].as_f64().unwrap()
}

/// What the formula printed in a step gives with the values printed beside it;
/// None where it is not a formula of one line.
fn worked(step: &Value) -> Option<f64> {
    let of = |name| symbol(step, name);
    let degrees = |name| symbol(step, name).to_radians();
    Some(match step["formula"].as_str().unwrap() {
        "A = π/4·(d − c·P)²" => {
            std::f64::consts::FRAC_PI_4 * (of("d") - of("c") * of("P")).powi(2)
        }
        "A = π/4·d²" => std::f64::consts::FRAC_PI_4 * of("d").powi(2),
        "F = S·A" => of("S") * of("A"),
        "l = K·d" => of("K") * of("d"),
        "l = P/2π + μt·(d2/2)/cos β + μb·(Do + Dh)/4" => {
            of("P") / std::f64::consts::TAU
                + of("μt") * of("d2") / 2.0 / degrees("β").cos()
                + of("μb") * (of("Do") + of("Dh")) / 4.0
        }
        "F = T/l" => of("T") * 1000.0 / of("l"),
        "T = F·l" => of("F") * of("l") / 1000.0,
        "σ = F/A" => of("F") / of("A"),
        "F/(Sp·A)" => of("F") / of("Sp·A"),
        "F/(Sy·A)" => of("F") / of("Sy·A"),
        "F = f·Sp·A" => of("f") * of("Sp") * of("A"),
        "F = f·Sy·A" => of("f") * of("Sy") * of("A"),
        "F = f·Sy·A/√(1 + 3·(3·lt/d0)²), lt = Tt/F" => {
            let across = (of("A") / std::f64::consts::FRAC_PI_4).sqrt();
            let torsion = 3.0 * of("lt") / across;
            of("f") * of("Sy") * of("A") / (1.0 + 3.0 * torsion * torsion).sqrt()
        }
        "√(σ² + 3·τ²)/Sy, τ = 12·Tt/(π·d0³), d0 = √(4·A/π)" => {
            let across = (of("A") / std::f64::consts::FRAC_PI_4).sqrt();
            let torsion = 12_000.0 * of("Tt") / (std::f64::consts::PI * across.powi(3));
            ((of("F") / of("A")).powi(2) + 3.0 * torsion * torsion).sqrt() / of("Sy")
        }
        "T2 = T1·K2/K1" => of("T1") * of("K2") / of("K1"),
        "T2 = T1·l2/l1" => of("T1") * of("l2") / of("l1"),
        "δ = F/kb" => of("F") / of("kb"),
        "F = δ·kb" => of("δ") * of("kb"),
        "1/k = 1/kb + 1/kj" => 1.0 / (1.0 / of("kb") + 1.0 / of("kj")),
        "C = kb/(kb + kj)" => of("kb") / (of("kb") + of("kj")),
        "F = k·P·θ/360°" => of("k") * of("P") * of("θ") / 360.0,
        "θ = 360°·F/(k·P)" => 360.0 * of("F") / (of("k") * of("P")),
        "F = Rb·A" => of("Rb") * of("A"),
        "As = π·Le/P·Kn·[P/2 + tan β·(Es − Kn)]" => {
            let thick = of("P") / 2.0 + degrees("β").tan() * (of("Es") - of("Kn"));
            std::f64::consts::PI * of("Le") / of("P") * of("Kn") * thick
        }
        "An = π·Le/P·Ds·[P/2 + tan β·(Ds − En)]" => {
            let thick = of("P") / 2.0 + degrees("β").tan() * (of("Ds") - of("En"));
            std::f64::consts::PI * of("Le") / of("P") * of("Ds") * thick
        }
        "ΔF = k·[Σ αj·Lj·ΔTj − αb·Lb·ΔTb]" => {
            of("k") * (of("αj") * of("Lj") * of("ΔTj") - of("αb") * of("Lb") * of("ΔTb"))
        }
        "Tset = T·L/(L + E·cos θ)" => {
            of("T") * of("L") / (of("L") + of("E") * degrees("θ").cos())
        }
        "T = Tset·(L + E·cos θ)/L" => {
            of("Tset") * (of("L") + of("E") * degrees("θ").cos()) / of("L")
        }
        "Tset = T/(i·η)" => of("T") / (of("i") * of("η")),
        "Twrench = T + Tprev" => of("T") + of("Tprev"),
        "set = Lnow − Lnew" => of("Lnow") - of("Lnew"),
        _ => return None,
    })
}

/// The working is true: with the values beside it, each formula gives the
/// result under it, and each names a source.
#[test]
fn the_formulas_printed_give_the_results_printed() {
    let more = ["stretch --free-length-now 3.2512in --free-length-new 3.25in"];
    let lines = EXAMPLES.iter().map(|example| example.line).chain(more);
    let mut formulas = std::collections::BTreeSet::new();
    for line in lines {
        let answer = json(&format!("--why {line}"));
        let steps = answer["working"].as_array().unwrap();
        assert!(!steps.is_empty(), "{line}");
        for step in steps.iter().filter(|step| step.get("formula").is_some()) {
            assert!(step["source"].as_str().is_some_and(|source| !source.is_empty()), "{step}");
            let result = step["result"]["value"].as_f64().expect("a result");
            if let Some(worked) = worked(step) {
                near(worked, result, 1e-9);
                formulas.insert(step["formula"].as_str().unwrap().to_owned());
            }
        }
    }
    assert!(formulas.len() >= 24, "only {} formulas were met: {formulas:?}", formulas.len());
}

#[test]
fn the_working_reads_like_a_page_of_a_notebook() {
    let (page, _, code) = calc(&words("7/16-20 --yield 180ksi --lube oil --torque 88lb-ft --why"));
    assert_eq!(code, 0);
    for said in [
        "l = K·d",
        "K = 0.15",
        "range 0.13 to 0.21",
        "Shigley 9th ed. eq. 8-27",
        "ISO/IEC Guide 98-3",
        "A = 76.59 mm² = 0.1187 in²",
        "ASME B1.1",
        "K alone does not say how much",
    ] {
        let flat = page.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(said), "`{said}` is not in\n{page}");
    }
    assert!(page.lines().all(|line| line.chars().count() <= 80), "wider than 80:\n{page}");
}

#[test]
fn find_says_why_a_row_is_as_it_is() {
    let home = tempfile::tempdir().unwrap();
    let ask = |arguments: &[&str]| in_home(home.path(), &[&["--demo"], arguments].concat());
    let question = "assembly \"Marlow 6\", head stud with anti-seize, dry";
    let (page, _, _) = ask(&["find", question, "--why"]);
    let flat = page.split_whitespace().collect::<Vec<_>>().join(" ");
    for said in [
        "T2 = T1·K2/K1",
        "K1 = 0.15 oil; range 0.13 to 0.21",
        "K2 = 0.14 anti-seize; range 0.1 to 0.18",
        "stress area of the hole-end thread, 7/16-14",
        "the smallest section counts, the hole-end thread",
        "refused: wet to dry is never converted",
        "of yield F/(Sy·A)",
    ] {
        assert!(flat.contains(said), "`{said}` is not in\n{page}");
    }
    let (out, _, _) = ask(&["--format", "json", "find", question, "--why"]);
    let answer: Value = serde_json::from_str(&out).expect("one JSON value");
    let [rows, working] = ["rows", "working"].map(|key| answer[key].as_array().unwrap());
    assert_eq!(rows.len(), working.len());
    for (row, of_row) in rows.iter().zip(working) {
        assert_eq!(row["key"], of_row["key"]);
        for step in
            of_row["steps"].as_array().unwrap().iter().filter(|s| s.get("formula").is_some())
        {
            if let Some(worked) = worked(step) {
                near(worked, step["result"]["value"].as_f64().unwrap(), 1e-9);
            }
        }
    }
}

/// 80 lb-ft of moly and 70 of oil from one sheet: 0.875 where K says 1.25.
#[test]
fn a_sheet_that_disagrees_with_the_factors_is_flagged() {
    let home = tempfile::tempdir().unwrap();
    let file = home.path().join("sheet.csv");
    let text = "Assembly,Joint,Part,Kind,Qty,Thread,Strength,Lube,Torque (lb-ft),Source\n\
                Test rig,cover,bolt,bolt,4,7/16-20,SAE 8,moly,80,\"Rig manual, p. 3\"\n\
                Test rig,cover,bolt,bolt,4,7/16-20,SAE 8,oil,70,\"Rig manual, p. 3\"\n";
    std::fs::write(&file, text).unwrap();
    let book = home.path().join("book");
    let book = book.to_str().unwrap();
    let (out, err, code) =
        in_home(home.path(), &["--book", book, "import", file.to_str().unwrap()]);
    assert_eq!(code, 0, "{out}{err}");
    let question = ["--book", book, "find", "assembly \"Test rig\"", "--why"];
    let (page, _, _) = in_home(home.path(), &question);
    // (70/80)/(0.15/0.12) - 1 = -30.0 %.
    let flat = page.split_whitespace().collect::<Vec<_>>().join(" ");
    let said = "CHECK SHEET OR K: sheet ratio against K ratio differs by 30 %";
    assert!(flat.contains(said), "{page}");
}

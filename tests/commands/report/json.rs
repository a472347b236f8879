//! JSON: the keys that are promised, SI values, null for what is not stated.

use std::sync::Arc;

use crate::answers::{head_answer, stored, stud, tables};
use clampbook::correction::{Comparisons, stored_rows};
use clampbook::query::run::{Answer, Column, Group, Tally, UnitsWanted};
use clampbook::record::{FIELDS, Fastener, Value as FieldValue, find_field};
use clampbook::report::{
    Canvas, Format, LubesWish, Page, Style, export_json, fields_page, find_page, lube_list,
    lubes_page, render, rendered, strength_list, thread_page,
};
use clampbook::thread::Thread;
use serde_json::Value;

fn parsed(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|error| panic!("{error}: {text}"))
}

fn find_json(answer: &Answer) -> String {
    json(&find_page(answer, None))
}

fn find_json_line(answer: &Answer) -> String {
    let canvas = Canvas { width: 80, style: Style::plain(), one_line: true };
    let mut bytes = Vec::new();
    render(&find_page(answer, None), Format::Json, canvas, &mut bytes).unwrap();
    String::from_utf8(bytes).unwrap().trim_end().to_owned()
}

fn json(page: &Page<'_>) -> String {
    rendered(page, Format::Json, 80)
}

/// The keys in the order in which they are written.
fn keys(object: &str) -> Vec<String> {
    let mut keys = Vec::new();
    let mut rest = object;
    while let Some(start) = rest.find('"') {
        let end = start + 1 + rest[start + 1..].find('"').unwrap();
        if rest[end + 1..].starts_with(':') {
            keys.push(rest[start + 1..end].to_owned());
        }
        rest = &rest[end + 1..];
    }
    keys
}

#[test]
fn a_row_has_the_promised_keys() {
    let text = find_json(&head_answer());
    let answer = parsed(&text);
    let top: Vec<&String> = answer.as_object().unwrap().keys().collect();
    assert_eq!(top, ["rows", "left_out", "partly", "read", "took_us"]);
    let first = keys(text.lines().nth(1).unwrap());
    let promised = "key assembly joint part kind thread strength lube basis method torque \
        torque_nm torque_max_nm snug_nm angle_deg angle_steps_deg stretch_mm stretch_max_mm \
        passes clamp_n clamp_low_n clamp_high_n of_proof of_yield combined_of_yield \
        turned_of_proof turned_of_yield stress_mpa stress_area_mm2 weakest_section k form \
        assumed_bearing no_clamp source refused warnings hole_thread turned face_lube count \
        length_mm proof_mpa yield_mpa tensile_mpa proof_load_n yield_load_n single_use superseded \
        this_lube_only";
    let promised: Vec<&str> = promised.split_whitespace().collect();
    let missing = promised.iter().find(|key| first.iter().all(|own| own != *key));
    assert_eq!(missing, None, "{first:?}");
    // Beside them only what a field of the table states.
    let is_field = |key: &&String| FIELDS.iter().any(|field| field.json == key.as_str());
    let other = first.iter().find(|key| !promised.contains(&key.as_str()) && !is_field(key));
    assert_eq!(other, None, "{first:?}");
}

/// 66 lb-ft = 89.484 N·m (NIST SP 811), clamp and shares as worked by hand in
/// the tests of the table.
#[test]
fn values_are_si_and_unrounded() {
    let answer = parsed(&find_json(&head_answer()));
    let row = &answer["rows"][0];
    assert_eq!(row["torque"], "66 lb-ft");
    let near = |key: &str, value: f64| {
        let found = row[key].as_f64().unwrap();
        assert!((found / value - 1.0).abs() < 1e-3, "{key}: {found}");
    };
    near("torque_nm", 89.483_985);
    near("clamp_n", 67_104.6);
    near("of_yield", 0.788);
    near("turned_of_yield", 0.706);
    near("length_mm", 133.35);
    for key in ["torque_max_nm", "snug_nm", "of_proof", "strength", "refused", "face_lube"] {
        assert!(row[key].is_null(), "{key}");
    }
    assert_eq!(row["passes"], parsed(r#"["20 lb-ft","36 lb-ft","52 lb-ft","66 lb-ft"]"#));
    assert_eq!(row["warnings"], parsed(r#"["opens into coolant: sealant"]"#));
}

#[test]
fn a_torque_with_angles_has_no_torque_of_its_own() {
    let row = &parsed(&find_json(&head_answer()))["rows"][4];
    assert_eq!(row["torque"], "22 lb-ft +90° +90°");
    for key in ["torque_nm", "torque_max_nm", "clamp_n", "of_proof", "of_yield"] {
        assert!(row[key].is_null(), "{key}");
    }
    assert!((row["snug_nm"].as_f64().unwrap() - 29.828).abs() < 0.001);
    assert_eq!(row["angle_steps_deg"], parsed("[90.0,90.0]"));
    assert_eq!(row["angle_deg"], 180.0);
    assert_eq!(row["warnings"][0], "DISCARD AFTER REMOVAL. FIT 2 NEW.");
}

#[test]
fn a_restated_row_names_its_source_and_a_refused_one_its_reason() {
    let rows = &parsed(&find_json(&head_answer()))["rows"];
    let oil = &rows[3];
    assert_eq!(oil["basis"], "computed");
    assert_eq!(oil["from_lube"], "dry");
    // 44 lb-ft = 59.656 N·m; at K 0.15 for 0.20 it is 44.742 N·m = 33 lb-ft.
    assert!((oil["from_torque_nm"].as_f64().unwrap() - 59.656).abs() < 0.001);
    assert!((oil["torque_nm"].as_f64().unwrap() - 44.742).abs() < 0.001);
    assert_eq!(oil["torque"], "33 lb-ft");
    assert_eq!(rows[2]["refused"], "wet to dry is never converted");
    assert!(rows[2]["torque"].is_null() && rows[2]["torque_nm"].is_null());
    assert!(rows[0].get("from_lube").is_none());
}

#[test]
fn ranges_and_maxima() {
    let mut bolt = Fastener::clone(&stud());
    bolt.settings =
        ["65..70 lb-ft", "max 9 N·m"].map(|t| crate::answers::listed("oil", t)).to_vec();
    let answer = Answer { rows: stored(&Arc::new(bolt)), ..Answer::default() };
    let rows = &parsed(&find_json(&answer))["rows"];
    assert_eq!(rows[0]["torque"], "65..70 lb-ft");
    assert!((rows[0]["torque_nm"].as_f64().unwrap() - 88.128).abs() < 0.001);
    assert!((rows[0]["torque_max_nm"].as_f64().unwrap() - 94.907).abs() < 0.001);
    assert!(rows[1]["torque_nm"].is_null());
    assert_eq!(rows[1]["torque_max_nm"], 9.0);
    assert_eq!(rows[1]["no_clamp"], "a maximum only: nothing to aim at");
}

#[test]
fn columns_asked_for_add_their_keys() {
    let mut answer = head_answer();
    let field = find_field("tags").unwrap();
    let values = vec![FieldValue::made("x, y".to_owned()); 5];
    answer.columns.push(Column { heading: "tags".to_owned(), field: Some(field), values });
    let values = vec![FieldValue::Number(0.75); 5];
    answer.columns.push(Column { heading: "clamp per proof-load".to_owned(), field: None, values });
    let row = &parsed(&find_json(&answer))["rows"][0];
    assert_eq!(row["tags"], "x, y");
    assert_eq!(row["clamp_per_proof_load"], 0.75);
}

#[test]
fn tallies_count_under_the_keys_of_their_fields() {
    let group = |lube: &str, count| Group {
        values: vec![FieldValue::made(lube.to_owned()), FieldValue::Number(14.0)],
        count,
    };
    let columns = ["lube", "count"].map(|name| (name.to_owned(), find_field(name))).to_vec();
    let tally = Tally { columns, groups: vec![group("oil", 12), group("moly", 3)] };
    let answer = Answer { tally: Some(tally), left_out: 2, ..Answer::default() };
    let json = parsed(&find_json(&answer));
    assert_eq!(json["groups"][0], parsed(r#"{"lube":"oil","count_stated":14,"count":12}"#));
    assert_eq!(json["left_out"], 2);
}

#[test]
fn a_line_is_one_line_and_means_the_same() {
    let mut answer = head_answer();
    Arc::make_mut(&mut answer.rows[0].fastener).part = "a\nb\u{1b}".to_owned();
    let line = find_json_line(&answer);
    assert!(!line.contains('\n') && !line.contains('\u{1b}'));
    assert_eq!(parsed(&line), parsed(&find_json(&answer)));
    assert_eq!(find_json(&answer).lines().count(), 2 + answer.rows.len());
}

#[test]
fn lubes_have_their_rows_and_consequences() {
    let stud = stud();
    let (tables, all) = (tables(), (0..stud.settings.len()).collect::<Vec<_>>());
    let rows = stored_rows(&stud, &all, &tables);
    let all = Comparisons::new(&rows, &tables);
    let one = parsed(&json(&lubes_page(all, &UnitsWanted::AsWritten, LubesWish::Plain)));
    assert_eq!(one["rows"][0]["hole_thread"], "7/16-14");
    assert_eq!(one["rows"][0]["turned"], "nut");
    assert_eq!(one["rows"].as_array().unwrap().len(), 5);
    let wrong = one["wrong_lube"].as_array().unwrap();
    let near = wrong.iter().find(|w| w["verdict"] == "near yield").unwrap();
    assert_eq!((&near["listed_for"], &near["on_the_bolt"]), (&"oil".into(), &"moly".into()));
    // 82 · 12 / (0.12 · 0.4375) = 18 743 lbf over 180 ksi · 0.1063 in².
    assert!((near["of_yield"].as_f64().unwrap() - 0.980).abs() < 0.001);
}

/// M12x1.25: pitch diameter 11.188, minor 10.647 (ISO 724), stress area 92.1
/// (ISO 898-1), tap drill 10.8.
#[test]
fn a_thread_has_the_promised_keys() {
    let text = json(&thread_page(&Thread::parse("M12x1.25").unwrap()));
    let thread = parsed(&text);
    let promised = "designation series major_mm pitch_mm tpi pitch_diameter_mm minor_diameter_mm \
        stress_area_mm2 stress_area_above_100_ksi_mm2 tap_drill_mm nearest_drill nearest_drill_mm \
        look_alikes";
    let own: Vec<&str> = promised.split_whitespace().collect();
    assert_eq!(keys(&text)[..own.len()], own);
    assert_eq!(thread["designation"], "M12x1.25");
    assert!(thread["tpi"].is_null());
    let near =
        |key: &str, value: f64| assert!((thread[key].as_f64().unwrap() - value).abs() < 0.05);
    near("pitch_diameter_mm", 11.188);
    near("minor_diameter_mm", 10.647);
    near("stress_area_mm2", 92.1);
    near("tap_drill_mm", 10.8);
    let worst = &thread["look_alikes"][0];
    assert_eq!((&worst["thread"], &worst["is"]), (&"1/2-20".into(), &"nut".into()));
    let pipe = parsed(&json(&thread_page(&Thread::parse("G 1/4").unwrap())));
    assert!(pipe["stress_area_mm2"].is_null());
}

#[test]
fn lists_are_json() {
    let tables = tables();
    let lubes = parsed(&json(&lube_list(&tables, true, &|_| true)));
    assert_eq!(lubes["lubes"][0]["name"], "moly");
    assert_eq!(lubes["lubes"][0]["k_low"], 0.09);
    assert!(lubes["lubes"][4]["k"].is_null());
    let strengths = parsed(&json(&strength_list(&tables, true, &|_| true)));
    // 120 ksi = 827.4 MPa.
    let proof = strengths["strengths"][0]["proof_mpa"].as_f64().unwrap();
    assert!((proof - 827.37).abs() < 0.01);
    let fields = parsed(&json(&fields_page()));
    assert!(fields["fields"].as_array().unwrap().iter().any(|f| f["name"] == "of-proof"));
    let mut bytes = Vec::new();
    export_json(&[stud()], &mut bytes).unwrap();
    let export = parsed(&String::from_utf8(bytes).unwrap());
    assert_eq!(export["settings"][0]["torque"], "66 lb-ft");
    assert_eq!(export["settings"][0]["source"], "Marlow 6 head set sheet");
    assert!(export["settings"][0].get("face-lube").is_none(), "not stated has no key");
}

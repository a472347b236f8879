//! `passes`, `order` and `sheet` from outside, on the demo shop.

use std::path::Path;
use std::sync::OnceLock;

use serde_json::{Value, json};

use crate::program::run;

/// A book with the demo shop in it, filled once for all tests here: quicker
/// than a throw-away book for each command.
pub(crate) fn shop() -> &'static str {
    static SHOP: OnceLock<(tempfile::TempDir, String)> = OnceLock::new();
    let (_, book) = SHOP.get_or_init(|| {
        let home = tempfile::tempdir().unwrap();
        let book = home.path().join("shop").to_str().unwrap().to_owned();
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("seed-data/demo.csv");
        let (_, err, code) = run(home.path(), &["--book", &book, "import", demo.to_str().unwrap()]);
        assert_eq!(code, Some(0), "{err}");
        (home, book)
    });
    book
}

/// The arguments for a command on that book.
pub(crate) fn in_shop<'a>(arguments: &[&'a str]) -> Vec<&'a str> {
    [&["--book", shop()], arguments].concat()
}

fn answer(arguments: &[&str]) -> (Value, Option<i32>) {
    let home = tempfile::tempdir().unwrap();
    let all: Vec<&str> = ["--format", "json"].iter().chain(arguments).copied().collect();
    let (out, err, code) = run(home.path(), &all);
    let value = serde_json::from_str(&out).unwrap_or_else(|error| panic!("{error}: {out}\n{err}"));
    (value, code)
}

fn said(arguments: &[&str]) -> (String, Option<i32>) {
    let home = tempfile::tempdir().unwrap();
    let (out, err, code) = run(home.path(), arguments);
    (out + &err, code)
}

/// Thirds of 72 on marks of 6; common practice, no source.
#[test]
fn passes_to_a_torque() {
    let (found, code) = answer(&["passes", "72 lb-ft", "--steps", "3", "--graduation", "6 lb-ft"]);
    assert_eq!((&found["passes"], code), (&json!(["24 lb-ft", "48 lb-ft", "72 lb-ft"]), Some(0)));
    let nm: Vec<f64> =
        found["passes_nm"].as_array().unwrap().iter().map(|nm| nm.as_f64().unwrap()).collect();
    // 1 lb-ft = 1.355 817 948 N·m (NIST SP 811).
    for (found, wanted) in nm.iter().zip([24.0, 48.0, 72.0]) {
        assert!((found - wanted * 1.355_817_948).abs() < 1e-6, "{nm:?}");
    }
    let (text, code) = said(&["passes", "70"]);
    assert_eq!(code, Some(2));
    assert!(text.contains("70 what? write 70 lb-ft, 70 N.m or 70 lb-in"), "{text}");
    let (text, code) = said(&["passes", "70 lb-ft", "--graduation", "5 kN"]);
    assert_eq!(code, Some(2));
    assert!(text.contains("--graduation: `5 kN` is a force, a torque was expected"), "{text}");
}

#[test]
fn a_wrench_that_will_not_do_ends_with_1() {
    let wrench =
        ["--graduation", "1 lb-ft", "--wrench-low", "5 lb-ft", "--wrench-high", "60 lb-ft"];
    let arguments: Vec<&str> = ["passes", "70 lb-ft"].into_iter().chain(wrench).collect();
    let (text, code) = said(&arguments);
    assert_eq!(code, Some(1), "{text}");
    assert!(
        text.contains("refused for this wrench: 70 lb-ft is above this wrench's range"),
        "{text}"
    );
}

/// The demo's sheets: source passes, an angle, a single-use locked screw.
#[test]
fn passes_of_a_question() {
    let (found, code) = answer(&in_shop(&["passes", "head"]));
    assert_eq!(code, Some(0));
    let rows = found["rows"].as_array().unwrap();
    let row = |part: &str, lube: &str| {
        rows.iter().find(|row| row["part"] == part && row["lube"] == lube).expect(part)
    };
    assert_eq!(
        row("stud, long", "oil")["passes"],
        json!(["25 lb-ft", "45 lb-ft", "65 lb-ft", "82 lb-ft"])
    );
    assert_eq!(row("stud, long", "oil")["passes_from"], "source");
    assert_eq!(row("bolt, short", "dry")["passes_from"], "generated");
    assert_eq!(row("bolt, front", "oil")["passes"], json!(["22 lb-ft", "+90°", "+90°"]));
    let (found, _) = answer(&in_shop(&["passes", "coupling"]));
    let rows = found["rows"].as_array().unwrap();
    let clamp = rows.iter().find(|row| row["part"] == "screw, clamp").unwrap();
    assert_eq!(clamp["one_pull_because"], "single-use: only the source's own passes");
    let (_, code) = answer(&in_shop(&["passes", "nothing-like-it"]));
    assert_eq!(code, Some(1));
}

/// Circle of 8 and 12: ASME PCC-1 legacy cross pattern. Row of 9: US Army TM
/// 5-3805-248-23-1, order at each position 9 7 5 3 1 2 4 6 8.
#[test]
fn orders_of_shapes() {
    let (circle, code) = answer(&["order", "circle", "8"]);
    assert_eq!((&circle["order"], code), (&json!([1, 5, 3, 7, 2, 6, 4, 8]), Some(0)));
    assert_eq!(circle["generated"], true);
    assert_eq!(circle["loosening"], json!([8, 4, 6, 2, 7, 3, 5, 1]));
    let (row, _) = answer(&["order", "row", "9"]);
    assert_eq!(row["order_at_hole"], json!([9, 7, 5, 3, 1, 2, 4, 6, 8]));
    let (grid, _) = answer(&["order", "grid", "2x5"]);
    assert_eq!(grid["order"].as_array().unwrap().len(), 10);
    let (text, _) = said(&["order", "row", "9"]);
    assert!(
        text.contains(
            "1:9th    2:7th    3:5th    4:3rd    5:1st    6:2nd    7:4th    8:6th    9:8th"
        ),
        "{text}"
    );
    assert!(text.contains("GENERATED: from the middle outwards"), "{text}");
    for wrong in
        [&["order", "circle", "2"][..], &["order", "grid", "5"], &["order", "circle", "8.5"]]
    {
        assert_eq!(said(wrong).1, Some(2), "{wrong:?}");
    }
    let (text, code) = said(&["order", "circle"]);
    assert!(text.contains("how many bolts? write order circle 12") && code == Some(2), "{text}");
    let (text, code) = said(&in_shop(&["order", "layout", "nosuch"]));
    assert!(text.contains("no such layout") && code == Some(1), "{text}");
}

#[test]
fn orders_of_a_question() {
    let (found, code) = answer(&in_shop(&["order", "casing or flywheel or baseplate"]));
    assert_eq!(code, Some(0));
    let rows = found["rows"].as_array().unwrap();
    let joint = |name: &str| rows.iter().find(|row| row["joint"] == name).expect(name);
    assert_eq!(joint("casing")["order"], json!([1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12]));
    assert_eq!(
        (&joint("casing")["generated"], &joint("casing")["rule"]),
        (&json!(false), &json!("as listed"))
    );
    let (text, code) = said(&in_shop(&["order", "oil pan"]));
    assert_eq!(code, Some(0));
    assert!(text.contains("LISTED, in words: from the middle outwards"), "{text}");
}

/// The book of `--demo` has wrenches and the layout of its head: the map has
/// places, and the parts of the layout stand where the holes are.
#[test]
fn the_demo_book_has_a_bench_of_its_own() {
    let (text, code) = said(&["--demo", "order", "head"]);
    assert_eq!(code, Some(0), "{text}");
    assert!(!text.contains("not in the book"), "{text}");
    // Rows of the table of coordinates, left to right: outer, main, outer.
    let order: Vec<usize> = "4-11-12-5-3-10-13-6-2-9-14-7-1-8-15-17-16-18-19-20"
        .split('-')
        .map(|hole| hole.parse().unwrap())
        .collect();
    let place = |hole: usize| 1 + order.iter().position(|one| *one == hole).unwrap();
    for row in [[15, 1, 2, 3, 4, 5, 6, 7, 17], [16, 8, 9, 10, 11, 12, 13, 14, 18]] {
        let ending = |turn: usize| match turn {
            1 => "st",
            2 => "nd",
            3 => "rd",
            _ => "th",
        };
        let turns = row.map(|hole| format!("{}{}", place(hole), ending(place(hole)))).join(" ");
        let flat = |line: &str| line.split_whitespace().collect::<Vec<_>>().join(" ");
        let lines: Vec<String> = text.lines().map(flat).collect();
        let holes = row.map(|hole| hole.to_string()).join(" ");
        let is_there = lines.windows(2).any(|pair| pair == [holes.clone(), turns.clone()]);
        assert!(is_there, "{holes}\n{turns}\n{text}");
    }
    let (found, code) = answer(&["--demo", "passes", "head", "oil", "--wrench", "W2"]);
    assert_eq!((&found["rows"][0]["wrench"][3], code), (&json!("set 82 lb-ft"), Some(0)));
    // A fifth of 150 lb-ft is 30 (ISO 6789:2003): the front bolts' 22 is under it.
    assert_eq!(found["rows"][1]["wrench_suggested"], "W1: set 22 lb-ft");
    let (text, code) = said(&["--demo", "find", "head", "on", "W2"]);
    assert!(text.contains("set 66 lb-ft") && code == Some(0), "{text}");
    let (list, code) = answer(&["--demo", "list", "wrenches"]);
    assert_eq!((list["wrenches"].as_array().unwrap().len(), code), (4, Some(0)));
}

#[test]
fn a_sheet_is_written_whole_and_never_over_something_else() {
    let home = tempfile::tempdir().unwrap();
    let file = home.path().join("head.html");
    let path = file.to_str().unwrap();
    let question = in_shop(&["sheet", "stud, long moly", "-o", path]);
    let (_, err, code) = run(home.path(), &question);
    assert_eq!(code, Some(0), "{err}");
    assert!(err.contains("1 joint. Print it from a browser"), "{err}");
    let html = std::fs::read_to_string(&file).unwrap();
    assert!(html.contains("printed 2026-05-04 10:20."), "the clock of the test");
    assert!(html.contains("moly on the threads AND under the nut"));
    // No file is replaced unasked.
    std::fs::write(&file, "my notes").unwrap();
    let (_, err, code) = run(home.path(), &question);
    assert_eq!(code, Some(2));
    assert!(err.contains("is there already: name another file, or say --replace"), "{err}");
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "my notes");
    let forced: Vec<&str> = question.iter().copied().chain(["--replace"]).collect();
    assert_eq!(run(home.path(), &forced).2, Some(0));
    let left: Vec<_> = std::fs::read_dir(home.path()).unwrap().map(|e| e.unwrap().path()).collect();
    assert!(left.iter().all(|path| *path == file || path.is_dir()), "{left:?}");
}

#[test]
fn a_sheet_says_what_is_left_open_and_ends_as_it_should() {
    let home = tempfile::tempdir().unwrap();
    let file = home.path().join("head.html");
    let path = file.to_str().unwrap();
    let (_, err, _) = run(home.path(), &in_shop(&["sheet", "head", "-o", path]));
    assert!(
        err.contains("head / stud, long stands there with 66 lb-ft moly, 82 lb-ft oil"),
        "{err}"
    );
    let (out, _, code) = run(home.path(), &in_shop(&["sheet", "head", "-o", "-"]));
    assert!(out.starts_with("<!DOCTYPE html>") && code == Some(0));
    let nothing = home.path().join("nothing.html");
    let (_, _, code) =
        run(home.path(), &in_shop(&["sheet", "no-such", "-o", nothing.to_str().unwrap()]));
    assert_eq!((code, nothing.exists()), (Some(1), false));
    let (_, err, code) =
        run(home.path(), &in_shop(&["sheet", "head", "-o", "/no/such/folder/x.html"]));
    assert_eq!(code, Some(4), "{err}");
    let (out, _, _) =
        run(home.path(), &in_shop(&["--format", "json", "sheet", "head", "-o", path, "--replace"]));
    let written: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(written["joints"], json!(["Marlow 6 / head"]));
}

/// The demo's head from a table of coordinates, an invented one: the listed
/// order stays, the map has places; without a joint the groups order it.
#[test]
fn a_table_of_coordinates_gives_the_map_its_places() {
    let table = Path::new(env!("CARGO_MANIFEST_DIR")).join("seed-data/Marlow 6 head.csv");
    let table = table.to_str().unwrap();
    let (text, code) = said(&in_shop(&["order", "head", "--layout", table]));
    assert_eq!(code, Some(0));
    assert!(text.contains("LISTED by the source") && !text.contains("not in the book"), "{text}");
    assert!(
        text.contains("12 above 3rd, is hole 12, pulled third. Looking at the heads."),
        "{text}"
    );
    let (found, code) = answer(&["order", "layout", table]);
    assert_eq!((code, &found["rule"]), (Some(0), &json!("group after group")));
    let last = &found["order"].as_array().unwrap()[18..];
    assert!(last.contains(&json!(19)) && last.contains(&json!(20)), "{last:?}");
    let (text, code) = said(&["order", "layout", "no-such.csv"]);
    assert_eq!(code, Some(3), "{text}");
    let home = tempfile::tempdir().unwrap();
    let bad = home.path().join("bad.csv");
    std::fs::write(&bad, "hole,x,y\n1,5,5\n").unwrap();
    let (text, code) = said(&["order", "layout", bad.to_str().unwrap()]);
    assert_eq!(code, Some(3));
    assert!(text.contains("line 2: `5` has no unit"), "{text}");
}

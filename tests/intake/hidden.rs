//! Characters that cannot be seen, by every way into a book: import and add take
//! them out and say so, and none is ever kept.

use std::fs;
use std::path::Path;
use std::sync::Arc;

use clampbook::report::export_csv;
use clampbook::text::hidden_in;

use crate::program::run;
use crate::sample;

/// Controls of both kinds, marks without width and of direction, a tag.
const HIDDEN: &str = "\u{1b}\u{7}\u{9b}\u{ad}\u{200b}\u{202e}\u{e0041}";
const SAID: &str = "characters that cannot be seen were taken out: \
    U+001B, U+0007, U+009B, U+00AD, U+200B, U+202E, U+E0041";

/// `text` with what is hidden within it.
fn spoiled(text: &str) -> String {
    let Some(first) = text.chars().next() else { return String::new() };
    [&text[..first.len_utf8()], HIDDEN, &text[first.len_utf8()..]].concat()
}

/// A sheet whose one row states every field.
fn every_field() -> String {
    let (mut one, mut bytes) = (sample::full(), Vec::new());
    // Of the book's own, and one setting: `add` takes no more.
    one.strength.name = Some("10.9".to_owned());
    one.settings.truncate(1);
    export_csv(&[Arc::new(one)], &mut bytes).unwrap();
    String::from_utf8(bytes).unwrap()
}

/// The rows of a sheet.
fn rows(sheet: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(sheet.as_bytes());
    let row = |row: csv::StringRecord| row.iter().map(str::to_owned).collect();
    reader.records().map(|record| row(record.unwrap())).collect()
}

fn sheet(rows: &[Vec<String>]) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    rows.iter().for_each(|row| writer.write_record(row).unwrap());
    String::from_utf8(writer.into_inner().unwrap()).unwrap()
}

/// A home with the sheet of every field in its book.
fn home() -> tempfile::TempDir {
    let home = tempfile::tempdir().unwrap();
    fs::write(home.path().join("clean.csv"), every_field()).unwrap();
    let (out, err, code) = run(home.path(), &["import", "clean.csv"]);
    assert_eq!(code, Some(0), "{out}{err}");
    assert!(!out.contains("cannot be seen"), "{out}");
    home
}

fn export(home: &Path, form: &str) -> String {
    let (out, err, code) = run(home, &["export", "--as", form]);
    assert_eq!(code, Some(0), "{err}");
    out
}

/// Everything that the book holds, history and log too.
fn holds_none(home: &Path, told: &str) {
    let (out, err, code) = run(home, &["book", "backup", "-"]);
    assert_eq!(code, Some(0), "{told}: {err}");
    let found = out.lines().find(|line| hidden_in(line).is_some() || line.contains("\\u00"));
    assert_eq!(found, None, "{told}");
}

#[test]
fn import_takes_them_out_of_every_field_and_says_so() {
    let clean = home();
    let spoiled_rows: Vec<Vec<String>> = rows(&every_field())
        .iter()
        .map(|row| row.iter().map(|cell| spoiled(cell)).collect())
        .collect();
    let mut json: serde_json::Value = serde_json::from_str(&export(clean.path(), "json")).unwrap();
    spoil(&mut json);
    for (name, text) in [("spoiled.csv", sheet(&spoiled_rows)), ("spoiled.json", json.to_string())]
    {
        let home = tempfile::tempdir().unwrap();
        fs::write(home.path().join(name), text).unwrap();
        let (out, err, code) = run(home.path(), &["import", name]);
        assert_eq!(code, Some(0), "{out}{err}");
        let words: Vec<&str> = out.split_whitespace().collect();
        assert!(words.join(" ").contains(SAID), "{out}{err}");
        for form in ["csv", "json"] {
            assert_eq!(export(home.path(), form), export(clean.path(), form), "{name}");
        }
        holds_none(home.path(), name);
    }
}

/// Every text within `value`, names of members apart.
fn spoil(value: &mut serde_json::Value) {
    match value {
        serde_json::Value::String(text) => *text = spoiled(text),
        serde_json::Value::Array(values) => values.iter_mut().for_each(spoil),
        serde_json::Value::Object(members) => members.values_mut().for_each(spoil),
        _ => {}
    }
}

#[test]
fn add_and_edit_take_them_out_of_every_field_and_say_so() {
    let rows = rows(&every_field());
    let words = |change: fn(&str) -> String| -> Vec<String> {
        let stated = rows[0].iter().zip(&rows[1]).filter(|(_, cell)| !cell.is_empty());
        stated.map(|(heading, cell)| format!("{heading}={}", change(cell))).collect()
    };
    let [clean, added] = [(str::to_owned as fn(&str) -> String), spoiled].map(|change| {
        let home = tempfile::tempdir().unwrap();
        let words = words(change);
        let mut all = vec!["add"];
        all.extend(words.iter().map(String::as_str));
        let (out, err, code) = run(home.path(), &all);
        assert_eq!(code, Some(0), "{out}{err}");
        (home, err)
    });
    assert!(added.1.contains(SAID), "{}", added.1);
    assert!(!clean.1.contains("cannot be seen"), "{}", clean.1);
    assert_eq!(export(added.0.path(), "csv"), export(clean.0.path(), "csv"));
    holds_none(added.0.path(), "add");
    let words = words(spoiled);
    let key = rows[1][0].as_str();
    let mut all = vec!["edit", key];
    // A key never changes.
    all.extend(words[1..].iter().map(String::as_str));
    let (out, err, code) = run(clean.0.path(), &all);
    assert_eq!(code, Some(0), "{out}{err}");
    assert!(err.contains(SAID), "{err}");
    assert_eq!(export(clean.0.path(), "csv"), export(added.0.path(), "csv"));
}

/// Whatever else a text comes by.
#[test]
fn no_other_way_brings_them_in() {
    let home = home();
    let home = home.path();
    let evil = spoiled("evil");
    let evil = evil.as_str();
    let file = format!("{evil}.csv");
    fs::write(home.join(&file), "joint,part,thread,torque\nrod,bolt,M8x1.25,20 N.m\n").unwrap();
    fs::write(
        home.join("holes.csv"),
        format!("hole,x mm,y mm,group\n1,0,0,{evil}\n2,9,0,{evil}\n"),
    )
    .unwrap();
    let mapping = "[file]\nsource = \"So\\u001b\\u202eurce\"\nassembly = \"Qu\\u200bill\"\n";
    fs::write(home.join("map.toml"), mapping).unwrap();
    fs::write(home.join("plain.csv"), "joint,part,thread,torque\nmain,cap,M9x1.25,9 N.m\n")
        .unwrap();
    let [who, notes, source] = ["who", "notes", "source"].map(|field| format!("{field}={evil}"));
    let (_, found, _) = run(home, &["check"]);
    let mark = found.split_whitespace().next().unwrap_or("none").to_owned();
    let ways: Vec<Vec<&str>> = vec![
        vec!["import", &file],
        vec!["import", "plain.csv", "--map", "map.toml"],
        vec!["import", "plain.csv", "--source", evil, "--lube", evil],
        vec!["add", "wrench", evil, "low=20 N.m", "high=100 N.m", "graduation=1 N.m", &notes],
        vec!["add", "lube", evil, "k=0.15", &source],
        vec!["add", "strength", evil, "proof=600 MPa", "yield=660 MPa", "tensile=830 MPa", &source],
        vec!["add", "layout", evil, "file=holes.csv", &notes],
        vec!["edit", "wrench", evil, &notes],
        vec!["book", "set", &who],
        vec!["find", "--save", evil, "head"],
        vec!["find", "--save", "heads", "text", evil],
        vec!["log", "start", evil],
        vec!["log", "add", "rod", "--done", "--yes", "--who", evil, &notes],
        vec!["check", "--acknowledge", &mark, "--note", evil],
    ];
    for way in &ways {
        let (out, err, code) = run(home, way);
        assert!(code.is_some_and(|code| code <= 4), "{way:?} {code:?}");
        for stream in [&out, &err] {
            assert!(hidden_in(stream).is_none(), "{way:?}\n{stream:?}");
        }
        holds_none(home, way[0]);
    }
    assert_eq!(run(home, &["book", "verify"]).2, Some(0));
}

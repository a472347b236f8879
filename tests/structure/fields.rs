//! Every member of every record is found by its table, and every field of a table
//! is asked, imported, exported, edited, told in history and JSON, kept on the disk
//! and in a backup. The values are made from the tables; a member or a field that
//! is forgotten somewhere is named.
//!
//! The members are read off the derived `Debug`, which leaves none out.

use std::any::Any;
use std::collections::BTreeSet;
use std::fmt::Debug;
use std::sync::Arc;
use std::time::Duration;

use crate::made::{OWN, made};
use clampbook::intake::{EmptyBook, Options, edited, read_csv, read_json, reference, take};
use clampbook::quantity::Dimension;
use clampbook::query::answer;
use clampbook::record::{
    BOLT_SETS, Basis, BoltSet, Fastener, Field, FieldKind, Joint, Kept, LAYOUTS, LOG_LINES, LUBES,
    Layout, Lube, LubeClass, Method, Owner, Pull, RecordTable, STRENGTHS, Setting, SheetLine,
    Snapshot, StrengthClass, Tables, WRENCHES, Wrench, differences, stored_fields,
};
use clampbook::report::{Format, export_csv, export_json, find_page, rendered};
use clampbook::store::{Book, Change, Writer, restore_backup};

/// What a field must have beside it to be sound: its neighbours and their texts.
const BESIDE: &[(&str, &[(&str, &str)])] = &[
    ("angle", &[("method", "torque then angle"), ("snug", "20 N·m"), ("torque", "")]),
    ("bearing-outer", &[("bearing-hole", "11 mm")]),
    ("bearing-hole", &[("bearing-outer", "18 mm")]),
    ("method", &[("stretch", "0.2 mm"), ("torque", "")]),
];

fn stored() -> impl Iterator<Item = &'static Field> {
    stored_fields()
}

/// The members of a record with their values, nested ones by their path.
fn members(record: &dyn Debug) -> BTreeSet<(String, String)> {
    let text = format!("{record:#?}");
    let mut path: Vec<String> = Vec::new();
    let mut found = BTreeSet::new();
    for line in text.lines().skip(1) {
        let depth = (line.len() - line.trim_start().len()) / 4;
        path.truncate(depth.saturating_sub(1));
        if let Some((name, value)) = line.trim().split_once(": ") {
            path.push(name.to_owned());
            found.insert((path.join("."), value.trim_end_matches(['{', '[', ',', ' ']).to_owned()));
        } else {
            // A value of a tuple or a list.
            path.push(String::new());
            let value = line.trim().trim_end_matches(',');
            if !value.starts_with([')', ']', '}']) {
                found.insert((path.join("."), value.to_owned()));
            }
        }
    }
    found
}

/// The names of members that `fields` do not reach: setting every one of them, each
/// on a record of its own, changes nothing there.
fn unreached<R: Any + Clone + Debug>(blank: &R, fields: &[&Field], own: &[&str]) -> Vec<String> {
    let before = members(blank);
    let mut left: BTreeSet<String> = before.iter().map(|(name, _)| name.clone()).collect();
    for field in fields {
        let own = OWN.iter().filter(|(name, _)| *name == field.name);
        let texts = own.map(|(_, text)| (*text).to_owned()).chain([made(field)]);
        for text in texts {
            let mut changed = blank.clone();
            if field.set(&mut changed, &text).is_err() {
                continue;
            }
            let after = members(&changed);
            left.retain(|name| {
                let at = |all: &BTreeSet<(String, String)>| {
                    let starts = |member: &&(String, String)| {
                        member.0 == *name || member.0.starts_with(&format!("{name}."))
                    };
                    all.iter().filter(starts).cloned().collect::<Vec<_>>()
                };
                at(&before) == at(&after)
            });
        }
    }
    left.retain(|name| !own.iter().any(|own| name == own || name.starts_with(&format!("{own}."))));
    // A member that holds others is reached through them.
    let holds = |name: &str| before.iter().any(|(other, _)| other.starts_with(&format!("{name}.")));
    left.into_iter().filter(|name| !name.ends_with('.') && !holds(name)).collect()
}

fn blank() -> Fastener {
    Fastener::new(Joint::named("Quill 9", "head"), "bolt")
}

#[test]
fn every_member_is_found_by_its_table() {
    let of = |owner: Owner| stored().filter(|field| field.owner == owner).collect::<Vec<_>>();
    let table = |table: &'static RecordTable| table.fields.iter().collect::<Vec<_>>();
    let joint = unreached(&Joint::named("", ""), &of(Owner::Joint), &[]);
    assert_eq!(joint, [""; 0], "members of a joint without a row in FIELDS");
    // The joint has its own rows; the settings have a table each.
    let fastener = unreached(&blank(), &of(Owner::Fastener), &["joint", "settings"]);
    assert_eq!(fastener, [""; 0], "members of a fastener without a row in FIELDS");
    let setting = Setting::new(Method::Torque, Basis::Listed);
    let setting = unreached(&setting, &of(Owner::Setting), &[]);
    assert_eq!(setting, [""; 0], "members of a setting without a row in FIELDS");
    let wrench = unreached(&Wrench::default(), &table(&WRENCHES), &[]);
    assert_eq!(wrench, [""; 0], "members of a wrench without a row in WRENCHES");
    // Holes and their groups come from a table of coordinates.
    let layout = unreached(&Layout::default(), &table(&LAYOUTS), &["points", "groups"]);
    assert_eq!(layout, [""; 0], "members of a layout without a row in LAYOUTS");
    let set = unreached(&BoltSet::default(), &table(&BOLT_SETS), &[]);
    assert_eq!(set, [""; 0], "members of a bolt set without a row in BOLT_SETS");
    let lube = unreached(&Lube::named("", LubeClass::Dry), &table(&LUBES), &[]);
    assert_eq!(lube, [""; 0], "members of a lube without a row in LUBES");
    let strength = StrengthClass::line(String::new());
    let strength = unreached(&strength, &table(&STRENGTHS), &["unit"]);
    assert_eq!(strength, [""; 0], "members of a strength without a row in STRENGTHS");
    // What is taken from the spec, the clock and the log itself is not typed.
    let own = ["number", "corrects", "at", "assembly", "joint", "spec"];
    let line = unreached(&line(), &table(&LOG_LINES), &own);
    assert_eq!(line, [""; 0], "members of a log line without a row in LOG_LINES");
}

fn line() -> Pull {
    let setting = Setting::new(Method::Torque, Basis::Listed);
    let spec = Snapshot::new(&blank(), &setting, "k", 1);
    Pull::new("", "2026-03-02T10:00:00Z".parse().unwrap(), "Quill 9", "head", spec)
}

#[test]
fn every_field_prints_what_it_reads() {
    let mut wrong = Vec::new();
    let mut reads_back = |field: &Field, record: &mut dyn Any| {
        let text = made(field);
        let set = field.set(record, &text).map_err(|error| error.to_string());
        let found = field.value(record).cell().map(std::borrow::Cow::into_owned);
        if set.is_err() || found.as_deref() != Some(&text) {
            wrong.push(format!("{}: {text}: {set:?}, {found:?}", field.name));
        }
    };
    for field in stored() {
        let (mut fastener, mut setting) = (blank(), Setting::new(Method::Torque, Basis::Listed));
        match field.owner {
            Owner::Joint => reads_back(field, &mut fastener.joint),
            Owner::Fastener => reads_back(field, &mut fastener),
            Owner::Setting | Owner::Alone => reads_back(field, &mut setting),
        }
    }
    let (mut wrench, mut set) = (Wrench::default(), BoltSet::default());
    let (mut lube, mut class) =
        (Lube::named("", LubeClass::Dry), StrengthClass::line(String::new()));
    WRENCHES.fields.iter().for_each(|field| reads_back(field, &mut wrench));
    BOLT_SETS.fields.iter().for_each(|field| reads_back(field, &mut set));
    for field in LUBES.fields.iter().filter(|field| field.kind != FieldKind::Number) {
        reads_back(field, &mut lube);
    }
    let figures = STRENGTHS.fields.iter().filter(|f| !matches!(f.kind, FieldKind::Quantity(_)));
    figures.for_each(|field| reads_back(field, &mut class));
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn tables() -> Tables {
    let read = |name: &str| std::fs::read(format!("seed-data/{name}")).unwrap();
    Tables {
        lubes: reference::read_lubes(&read("lubes.csv"), "lubes.csv").unwrap().records,
        strengths: reference::read_strengths(&read("strengths.csv"), "strengths.csv")
            .unwrap()
            .records,
    }
}

/// The cells of a row of import: the least that makes a fastener with a setting,
/// and `field` with what it needs beside it.
fn row(field: &Field) -> Vec<(String, String)> {
    let least = [
        ("assembly", "Quill 9"),
        ("joint", "head"),
        ("part", "bolt"),
        ("kind", "bolt"),
        ("thread", "M10x1.5"),
        ("lube", "oil"),
        ("torque", "40 N·m"),
        ("source", "Sheet Q1"),
        ("page", "2"),
    ];
    let mut cells: Vec<(String, String)> =
        least.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect();
    let beside =
        BESIDE.iter().find(|(name, _)| *name == field.name).map_or(&[][..], |(_, all)| all);
    let own = made(field);
    for (name, text) in beside.iter().copied().chain([(field.name, own.as_str())]) {
        cells.retain(|(known, _)| known != name);
        cells.push((name.to_owned(), text.to_owned()));
    }
    cells
}

/// `record` as the row of `field` makes it, with a key of its own.
fn taken(field: &Field, tables: &Tables) -> Fastener {
    let cells = row(field);
    let line = |pick: fn(&(String, String)) -> &String| {
        let quoted = cells.iter().map(|cell| format!("\"{}\"", pick(cell)));
        quoted.collect::<Vec<_>>().join(",")
    };
    let text = format!("{}\n{}\n", line(|cell| &cell.0), line(|cell| &cell.1));
    let sheet = read_csv(text.as_bytes(), field.name).unwrap();
    let report = take(&sheet, tables, &Options::default(), &EmptyBook).unwrap();
    let bad: Vec<_> = report.bad_cells().collect();
    assert!(bad.is_empty(), "{}: import refuses its cell: {bad:?}", field.name);
    assert_eq!(report.fasteners.len(), 1, "{}: {text}", field.name);
    report.fasteners[0].clone()
}

fn cell(field: &Field, fastener: &Fastener) -> String {
    SheetLine::each(fastener)[0].cell(field).into_owned()
}

fn without_key() -> impl Iterator<Item = &'static Field> {
    stored().filter(|field| field.name != "key")
}

#[test]
fn every_field_is_imported_and_exported() {
    let tables = tables();
    for field in without_key() {
        let fastener = Arc::new(taken(field, &tables));
        assert_eq!(cell(field, &fastener), made(field), "{} is not imported", field.name);
        let one = std::slice::from_ref(&fastener);
        let (mut csv, mut json) = (Vec::new(), Vec::new());
        export_csv(one, &mut csv).unwrap();
        export_json(one, &mut json).unwrap();
        let mut reader = csv::Reader::from_reader(csv.as_slice());
        let at = reader.headers().unwrap().iter().position(|head| head == field.heading());
        let at = at.unwrap_or_else(|| panic!("{} is not exported", field.name));
        let line = reader.records().next().unwrap().unwrap();
        assert!(!line[at].is_empty(), "{} is exported empty", field.name);
        for (what, sheet) in [
            ("CSV", read_csv(&csv, "export").unwrap()),
            ("JSON", read_json(&json, "export").unwrap()),
        ] {
            let again = take(&sheet, &tables, &Options::default(), &EmptyBook).unwrap();
            let again = again.fasteners.first().unwrap_or_else(|| panic!("{}: {what}", field.name));
            assert_eq!(again, &*fastener, "{} does not come back from {what}", field.name);
        }
    }
}

#[test]
fn every_field_is_edited_and_told_in_history() {
    let tables = tables();
    let plain = taken(stored().find(|field| field.name == "assembly").unwrap(), &tables);
    for field in without_key() {
        let beside = BESIDE.iter().find(|(name, _)| *name == field.name);
        let beside = beside.map_or(&[][..], |(_, all)| *all);
        let named = |name: &str| stored().find(|field| field.name == name).unwrap();
        let mut cells = vec![(field, made(field))];
        cells.extend(beside.iter().map(|(name, text)| (named(name), (*text).to_owned())));
        let edited = edited(&plain, None, &cells, &tables);
        let new = edited.unwrap_or_else(|error| panic!("{} is not edited: {error}", field.name));
        let new = new.fastener;
        assert_eq!(cell(field, &new), made(field), "{} is not edited", field.name);
        let told: Vec<String> =
            differences(&plain, &new).into_iter().map(|change| change.field.into_owned()).collect();
        let is_same = cell(field, &plain) == made(field);
        assert!(is_same || told.iter().any(|name| name == field.name), "{}: {told:?}", field.name);
        let extra = told.iter().find(|name| {
            let is_meant = |cell: &(&Field, String)| cell.0.name == name.as_str();
            // A source has parts, and without its page it is no longer listed.
            let follows = ["page", "revision", "basis"].contains(&name.as_str());
            !(cells.iter().any(is_meant) || field.name.starts_with("source") && follows)
        });
        assert_eq!(extra, None, "an edit of {} changes more", field.name);
    }
}

/// A book with a fastener for each field, under the field's name.
#[test]
fn every_field_is_asked_kept_and_in_json() {
    let tables = tables();
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path().join("book");
    let mut put: Vec<Fastener> = without_key().map(|field| taken(field, &tables)).collect();
    for (fastener, field) in put.iter_mut().zip(without_key()) {
        field.name.clone_into(&mut fastener.key);
    }
    let mut changes: Vec<Change> =
        tables.lubes.into_iter().map(|record| Change::PutRecord(Kept::Lube(record))).collect();
    changes.extend(
        tables.strengths.into_iter().map(|record| Change::PutRecord(Kept::Strength(record))),
    );
    changes.extend(put.iter().cloned().map(Change::from));
    Writer::create(&dir).unwrap().apply(changes).unwrap();
    let book = Book::open(&dir).unwrap();
    let file = folder.path().join("backup.jsonl");
    book.backup(&mut std::fs::File::create(&file).unwrap(), &file).unwrap();
    let other = folder.path().join("other");
    restore_backup(&other, &file, Duration::ZERO).unwrap();
    let restored = Book::open(&other).unwrap();
    for (field, own) in without_key().zip(&put) {
        let name = field.name;
        let kept = book.fastener(name).unwrap().unwrap();
        assert_eq!(&*kept, own, "{name} is not kept on the disk");
        let kept = restored.fastener(name).unwrap().unwrap();
        assert_eq!(&*kept, own, "{name} is not in a backup");
        for question in questions(field) {
            let found =
                answer(&question, &book).unwrap_or_else(|error| panic!("{question}: {error}"));
            let row = found.rows.iter().find(|row| row.fastener.key == name);
            let row = row.unwrap_or_else(|| panic!("{question} does not find it"));
            assert!(field.get(row).is_stated(), "{name} answers nothing");
            let page = rendered(&find_page(&found, None), Format::Json, 80);
            let page: serde_json::Value = serde_json::from_str(&page).unwrap();
            let rows = page["rows"].as_array().unwrap();
            let row = rows.iter().find(|row| row["key"].as_str().unwrap().starts_with(name));
            let value = &row.unwrap()[field.json];
            assert!(!value.is_null(), "{name} is not in JSON under {}", field.json);
        }
    }
}

/// Questions that find a record which states `field`: that it does, and by its
/// value.
fn questions(field: &Field) -> Vec<String> {
    let (name, text) = (field.name, made(field));
    let by_value = match field.kind {
        FieldKind::Flag => return vec![name.to_owned()],
        FieldKind::Text | FieldKind::List if OWN.iter().any(|(own, _)| *own == name) => None,
        FieldKind::Quantity(Dimension::Angle) => Some(format!("{name} = 135 deg")),
        FieldKind::Quantity(_) | FieldKind::Share | FieldKind::Number | FieldKind::Day => {
            Some(format!("{name} = {text}"))
        }
        FieldKind::Thread => Some(format!("{name} {text}")),
        _ => Some(format!("{name} \"{text}\"")),
    };
    std::iter::once(format!("has {name}")).chain(by_value).collect()
}

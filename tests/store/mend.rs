//! Verify, backup, restore, compact, bulk load.

use std::fs;
use std::path::Path;
use std::time::Duration;

use clampbook::record::{Fastener, Kept};
use clampbook::store::{
    Access, Book, Change, Loader, StoreError, Writer, restore, restore_backup, verify,
};

use crate::sample;

/// Every fastener of the book, in order.
pub(crate) fn everything(book: &Book) -> Vec<Fastener> {
    let found = book.find(&Access::All).unwrap();
    found.fasteners.iter().map(|fastener| fastener.as_ref().clone()).collect()
}

/// A book with tables, `count` fasteners, a removed and a replaced one.
pub(crate) fn start(dir: &Path, count: u64) -> Vec<Fastener> {
    let mut writer = Writer::create(dir).unwrap();
    let mut changes = vec![
        Change::PutRecord(Kept::Lube(sample::full_lube())),
        Change::PutRecord(Kept::Strength(sample::full_strength())),
    ];
    changes.push(sample::full().into());
    changes.extend((0..count).map(|n| Change::from(sample::numbered(n))));
    writer.apply(changes).unwrap();
    let mut replaced = sample::numbered(9_000);
    replaced.key = sample::numbered(2).key;
    writer.apply(vec![Change::Remove(sample::numbered(1).key), replaced.into()]).unwrap();
    everything(writer.book())
}

fn is_whole(dir: &Path) {
    let verdict = verify(dir, Duration::ZERO).unwrap();
    assert!(verdict.is_whole() && verdict.skipped.is_none(), "{verdict:?}");
}

#[test]
fn a_backup_restores_everything() {
    let dir = tempfile::tempdir().unwrap();
    let (book, text) = (dir.path().join("book"), dir.path().join("backup.jsonl"));
    let all = start(&book, 100);
    let before = Book::open(&book).unwrap();
    before.backup(&mut fs::File::create(&text).unwrap(), &text).unwrap();
    // Into a folder that is not there, and over a book that has since changed.
    let other = dir.path().join("other");
    restore_backup(&other, &text, Duration::ZERO).unwrap();
    Writer::open(&book, Duration::ZERO)
        .unwrap()
        .apply(vec![Change::Remove(all[0].key.clone())])
        .unwrap();
    let restored = restore_backup(&book, &text, Duration::ZERO).unwrap();
    assert_eq!(restored.fasteners, all.len() as u64);
    assert!(restored.generation > before.generation());
    for place in [&book, &other] {
        is_whole(place);
        let after = Book::open(place).unwrap();
        assert_eq!(everything(&after), all);
        assert_eq!(after.tables(), before.tables());
    }
    // The text can be read by a person, and says what it is.
    let text = fs::read_to_string(&text).unwrap();
    assert!(text.starts_with(r#"{"clampbook_backup":{"#), "{}", &text[..200]);
    assert!(text.contains(r#""torque":{"between":["65 lb-ft","70.5 lb-ft"]}"#));
    assert!(!text.contains("null"));
}

#[test]
fn a_backup_that_is_not_whole_changes_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let (book, text) = (dir.path().join("book"), dir.path().join("backup.jsonl"));
    let all = start(&book, 20);
    Book::open(&book).unwrap().backup(&mut fs::File::create(&text).unwrap(), &text).unwrap();
    let whole = fs::read_to_string(&text).unwrap();
    let lines: Vec<&str> = whole.lines().collect();
    let joined = |lines: &[&str]| lines.join("\n") + "\n";
    let mut swapped = lines.clone();
    swapped.swap(4, 5);
    let spoiled = [
        String::new(),
        "dear".to_owned(),
        joined(&lines[..lines.len() - 1]),
        joined(&[&lines[..5], &lines[6..]].concat()),
        joined(&swapped),
        joined(&[&lines[..], &lines[3..4]].concat()),
        whole.replace("70.5 lb-ft", "70.6 lb-ft"),
        whole.replacen("\"form\":3", "\"form\":4", 1),
    ];
    for (at, spoiled) in spoiled.iter().enumerate() {
        assert_ne!(*spoiled, whole);
        fs::write(&text, spoiled).unwrap();
        let error = restore_backup(&book, &text, Duration::ZERO).unwrap_err();
        assert!(matches!(error, StoreError::Backup { .. }), "{at}: {error}");
        assert_eq!(everything(&Book::open(&book).unwrap()), all, "{at}");
        is_whole(&book);
    }
}

#[test]
fn either_half_restores_the_other() {
    for spoil in ["image-", "sled-", "current"] {
        let dir = tempfile::tempdir().unwrap();
        let all = start(dir.path(), 100);
        spoil_file(dir.path(), spoil);
        let restored = restore(dir.path(), Duration::ZERO).unwrap();
        assert_eq!(restored.fasteners, all.len() as u64, "{spoil}: {restored:?}");
        assert_eq!(everything(&Book::open(dir.path()).unwrap()), all, "{spoil}");
        is_whole(dir.path());
        // And it can be changed again.
        let mut writer = Writer::open(dir.path(), Duration::ZERO).unwrap();
        writer.apply(vec![Change::Remove(all[0].key.clone())]).unwrap();
    }
}

/// Overwrites a whole file of that name, or every file in the folder.
fn spoil_file(dir: &Path, prefix: &str) {
    for entry in fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if !path.file_name().unwrap().to_string_lossy().starts_with(prefix) {
            continue;
        }
        if path.is_dir() {
            fs::remove_dir_all(&path).unwrap();
        } else {
            let bytes = fs::read(&path).unwrap();
            fs::write(&path, &bytes[..bytes.len() / 2]).unwrap();
        }
    }
}

#[test]
fn with_nothing_whole_a_restore_says_so() {
    let dir = tempfile::tempdir().unwrap();
    start(dir.path(), 10);
    spoil_file(dir.path(), "image-");
    spoil_file(dir.path(), "sled-");
    let error = restore(dir.path(), Duration::ZERO).unwrap_err();
    assert!(error.to_string().contains("name a backup"), "{error}");
    assert!(matches!(Book::open(dir.path()).unwrap_err(), StoreError::Damaged { .. }));
}

#[test]
fn compact_keeps_everything() {
    let dir = tempfile::tempdir().unwrap();
    let all = start(dir.path(), 600);
    let mut writer = Writer::open(dir.path(), Duration::ZERO).unwrap();
    let before = writer.book().generation();
    assert_eq!(writer.compact().unwrap(), before + 1);
    assert_eq!(everything(writer.book()), all);
    assert_eq!(writer.book().info().overlaid, 0);
    drop(writer);
    is_whole(dir.path());
}

#[test]
fn a_bulk_load_adds_and_replaces() {
    let dir = tempfile::tempdir().unwrap();
    let mut writer = Writer::create(dir.path()).unwrap();
    let mut all: Vec<Fastener> = (0..900).map(sample::numbered).collect();
    let mut loader = writer.load().unwrap();
    all.iter().cloned().for_each(|f| loader.push(f).unwrap());
    assert_eq!(loader.finish().unwrap(), 1);
    assert_eq!(everything(writer.book()), all);
    // A second one: every tenth replaced, new ones before and after them.
    let mut loader = writer.load().unwrap();
    for n in 7_000..7_030 {
        all.push(sample::numbered(n));
        loader.push(sample::numbered(n)).unwrap();
    }
    for at in (0..900).step_by(10) {
        let key = all[at].key.clone();
        all[at] = sample::numbered(5_000 + at as u64);
        all[at].key = key;
        loader.push(all[at].clone()).unwrap();
    }
    let mut enter = |loader: &mut Box<dyn Loader + '_>, numbers: std::ops::Range<u64>| {
        for n in numbers {
            all.push(sample::numbered(n));
            loader.push(sample::numbered(n)).unwrap();
        }
    };
    enter(&mut loader, 7_030..7_050);
    loader.finish().unwrap();
    // Nothing replaced, after a beginning that was forgotten; then behind more than are
    // taken at once.
    let mut loader = writer.load().unwrap();
    loader.push(sample::numbered(8_000)).unwrap();
    loader.start_over().unwrap();
    enter(&mut loader, 7_050..7_150);
    loader.finish().unwrap();
    let mut loader = writer.load().unwrap();
    enter(&mut loader, 7_150..7_160);
    assert_eq!(loader.finish().unwrap(), 4);
    assert_eq!(everything(writer.book()), all);
    drop(writer);
    is_whole(dir.path());
}

#[test]
fn a_bulk_load_that_fails_or_is_dropped_leaves_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let all = start(dir.path(), 50);
    let names = || {
        let entries = fs::read_dir(dir.path()).unwrap();
        let mut names: Vec<_> = entries.map(|e| e.unwrap().file_name()).collect();
        names.retain(|name| name != "owner");
        names.sort();
        names
    };
    let before = names();
    let mut writer = Writer::open(dir.path(), Duration::ZERO).unwrap();
    let mut loader = writer.load().unwrap();
    (100..900).for_each(|n| loader.push(sample::numbered(n)).unwrap());
    drop(loader);
    assert_eq!(names(), before);
    let mut loader = writer.load().unwrap();
    loader.push(sample::numbered(100)).unwrap();
    let again = loader.push(sample::numbered(100)).and_then(|()| loader.finish().map(drop));
    assert!(matches!(again.unwrap_err(), StoreError::SameKey(_)));
    assert_eq!(names(), before);
    assert_eq!(everything(writer.book()), all);
    // The writer still works.
    writer.apply(vec![sample::numbered(77).into()]).unwrap();
    drop(writer);
    is_whole(dir.path());
}

#[test]
fn edits_of_a_larger_book_are_overlaid_and_merged() {
    let dir = tempfile::tempdir().unwrap();
    let mut all = start(dir.path(), 1_600);
    let mut writer = Writer::open(dir.path(), Duration::ZERO).unwrap();
    writer.compact().unwrap();
    let mut overlaid = Vec::new();
    for round in 0..8 {
        let key = all[round * 40].key.clone();
        all[round * 40] = sample::numbered(20_000 + round as u64);
        all[round * 40].key = key;
        writer.apply(vec![all[round * 40].clone().into()]).unwrap();
        overlaid.push(writer.book().info().overlaid);
        assert_eq!(everything(writer.book()), all);
    }
    assert_eq!(overlaid, [1, 2, 3, 0, 1, 2, 3, 0]);
    writer.apply(vec![all[900].clone().into(), all[3].clone().into()]).unwrap();
    drop(writer);
    is_whole(dir.path());
    // The overlay survives the loss of `current` and of the book of record.
    spoil_file(dir.path(), "current");
    spoil_file(dir.path(), "sled-");
    restore(dir.path(), Duration::ZERO).unwrap();
    assert_eq!(everything(&Book::open(dir.path()).unwrap()), all);
}

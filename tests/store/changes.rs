//! Changes: whole or absent, one writer at a time.

use std::time::{Duration, Instant};

use clampbook::record::{Fastener, Kept, KeptKind};
use clampbook::store::{Access, Book, Change, StoreError};

use crate::{kept, sample};

fn keys(book: &Book) -> Vec<String> {
    book.find(&Access::All).unwrap().fasteners.iter().map(|f| f.key.clone()).collect()
}

fn fastener(key: &str, notes: &str) -> Fastener {
    let mut fastener = sample::numbered(3);
    fastener.key = key.to_owned();
    fastener.notes = Some(notes.to_owned());
    fastener
}

#[test]
fn put_replaces_in_place_and_remove_removes() {
    let dir = tempfile::tempdir().unwrap();
    let mut writer = kept::begin(dir.path());
    assert_eq!(writer.book().generation(), 0);
    let three = ["a", "b", "c"].map(|key| Change::from(fastener(key, "old")));
    assert_eq!(writer.apply(three.to_vec()).unwrap(), 1);
    assert_eq!(writer.apply(vec![fastener("b", "new").into()]).unwrap(), 2);
    assert_eq!(keys(writer.book()), ["a", "b", "c"]);
    let notes = writer.book().fastener("b").unwrap().unwrap().notes.clone();
    assert_eq!(notes.as_deref(), Some("new"));
    writer.apply(vec![Change::Remove("a".to_owned()), fastener("d", "").into()]).unwrap();
    // Entered again, it stands at the end.
    writer.apply(vec![fastener("a", "").into()]).unwrap();
    drop(writer);
    let book = kept::read(dir.path());
    assert_eq!(keys(&book), ["b", "c", "d", "a"]);
    assert_eq!(book.generation(), 4);
    assert_eq!((book.info().fasteners, book.info().generation), (4, 4));
}

#[test]
fn a_change_that_cannot_be_made_changes_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let mut writer = kept::begin(dir.path());
    writer.apply(vec![fastener("a", "").into()]).unwrap();
    for wrong in [
        Change::Remove("b".to_owned()),
        Change::RemoveRecord(KeptKind::Lube, "moly".to_owned()),
        Change::RemoveRecord(KeptKind::Strength, "9".to_owned()),
    ] {
        let error = writer.apply(vec![Change::Remove("a".to_owned()), wrong]).unwrap_err();
        assert!(matches!(error, StoreError::Unknown { .. }), "{error}");
    }
    assert_eq!(keys(writer.book()), ["a"]);
    assert_eq!(keys(&kept::read(dir.path())), ["a"]);
}

#[test]
fn tables_change_by_folded_name() {
    let dir = tempfile::tempdir().unwrap();
    let mut writer = kept::begin(dir.path());
    writer.apply(vec![Change::PutRecord(Kept::Lube(sample::full_lube()))]).unwrap();
    let mut shouted = sample::full_lube();
    shouted.name = "MOLY".to_owned();
    writer.apply(vec![Change::PutRecord(Kept::Lube(shouted.clone()))]).unwrap();
    assert_eq!(writer.book().tables().lubes, [shouted]);
    writer.apply(vec![Change::RemoveRecord(KeptKind::Lube, " moly ".to_owned())]).unwrap();
    assert_eq!(kept::read(dir.path()).tables().lubes, []);
}

#[test]
fn an_open_reader_keeps_its_generation() {
    let dir = tempfile::tempdir().unwrap();
    let mut writer = kept::begin(dir.path());
    writer.apply(vec![fastener("a", "").into()]).unwrap();
    let reader = kept::read(dir.path());
    writer.apply(vec![Change::Remove("a".to_owned())]).unwrap();
    assert_eq!(keys(&reader), ["a"]);
    assert_eq!(keys(&kept::read(dir.path())), [""; 0]);
}

#[test]
fn a_second_writer_waits_or_is_told_who_holds_it() {
    let dir = tempfile::tempdir().unwrap();
    let first = kept::begin(dir.path());
    let error = kept::open(dir.path(), Duration::from_millis(50)).unwrap_err();
    let StoreError::Held { by, .. } = &error else { panic!("{error}") };
    assert!(by.contains(&format!("process {}", std::process::id())), "{by}");
    // Looking up works meanwhile.
    assert_eq!(keys(&kept::read(dir.path())), [""; 0]);
    let started = Instant::now();
    std::thread::scope(|scope| {
        let second = scope.spawn(|| kept::open(dir.path(), Duration::from_secs(20)));
        std::thread::sleep(Duration::from_millis(200));
        drop(first);
        assert!(second.join().unwrap().is_ok());
    });
    assert!(started.elapsed() >= Duration::from_millis(200));
}

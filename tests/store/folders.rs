//! What is said of a folder that is not a sound book.

use std::fs;
use std::path::Path;
use std::time::Duration;

use clampbook::store::{Book, StoreError, Writer};

use crate::sample;

/// The names in a folder, to see that a reader left it alone.
fn listing(dir: &Path) -> Vec<String> {
    let Ok(entries) = fs::read_dir(dir) else { return Vec::new() };
    let mut names: Vec<String> =
        entries.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

/// Opening `dir` for reading and for writing fails alike, and leaves it alone.
fn refused(dir: &Path) -> StoreError {
    let before = (dir.exists(), listing(dir));
    let error = Book::open(dir).unwrap_err();
    let second = Writer::open(dir, Duration::ZERO).unwrap_err();
    assert_eq!(error.to_string(), second.to_string());
    assert_eq!((dir.exists(), listing(dir)), before);
    error
}

#[test]
fn a_missing_folder_is_not_made() {
    let dir = tempfile::tempdir().unwrap();
    let error = refused(&dir.path().join("no").join("where"));
    assert!(matches!(error, StoreError::Missing(_)) && error.is_absent(), "{error}");
    assert!(error.to_string().contains("--book"));
}

#[test]
fn an_empty_folder_stays_empty() {
    let dir = tempfile::tempdir().unwrap();
    let error = refused(dir.path());
    assert!(matches!(error, StoreError::Empty(_)) && error.is_absent(), "{error}");
}

#[test]
fn a_folder_of_something_else_is_left_alone() {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("letter.txt"), "dear").unwrap();
    assert!(matches!(refused(dir.path()), StoreError::NotABook(_)));
    assert!(matches!(Writer::create(dir.path()).unwrap_err(), StoreError::NotABook(_)));
    assert_eq!(listing(dir.path()), ["letter.txt"]);
    // Even if it has files of the same names.
    fs::write(dir.path().join("image-3"), "a picture").unwrap();
    fs::write(dir.path().join("current"), "amps").unwrap();
    assert!(matches!(refused(dir.path()), StoreError::NotABook(_)));
    assert!(matches!(Writer::create(dir.path()).unwrap_err(), StoreError::NotABook(_)));
}

#[test]
fn a_file_in_place_of_the_folder_is_no_book() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("file");
    fs::write(&file, "text").unwrap();
    assert!(matches!(Book::open(&file).unwrap_err(), StoreError::NotABook(_)));
    assert!(matches!(Writer::create(&file).unwrap_err(), StoreError::NotABook(_)));
}

#[test]
fn a_book_is_not_made_over_a_book() {
    let dir = tempfile::tempdir().unwrap();
    drop(Writer::create(dir.path()).unwrap());
    assert!(matches!(Writer::create(dir.path()).unwrap_err(), StoreError::Exists(_)));
}

#[test]
fn a_read_only_folder_can_be_read() {
    let dir = tempfile::tempdir().unwrap();
    let mut writer = Writer::create(dir.path()).unwrap();
    writer.apply(vec![sample::full().into()]).unwrap();
    drop(writer);
    let before = listing(dir.path());
    let set = |mode: u32| {
        use std::os::unix::fs::PermissionsExt;
        fs::set_permissions(dir.path(), fs::Permissions::from_mode(mode)).unwrap();
    };
    set(0o555);
    let read = Book::open(dir.path()).and_then(|book| book.fastener(&sample::full().key));
    set(0o755);
    assert_eq!(*read.unwrap().unwrap(), sample::full());
    assert_eq!(listing(dir.path()), before);
}

//! Books of every released format open and can be changed; so do backups.
//!
//! The fixtures were made by the test at the end, run once for each format:
//! `CLAMPBOOK_MAKE_FIXTURE=1 cargo test --test store formats`.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use clampbook::store::{Book, Change, Signature, Writer, restore_backup, verify};

use crate::damage::copy;
use crate::mend::everything;
use crate::sample;

/// Every format that was released.
const FORMATS: [u32; 2] = [1, 2];

fn fixtures() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures")
}

/// The lines of the backup of a book, without the first and last, which count
/// generations.
fn lines(book: &Book, dir: &Path) -> Vec<String> {
    let path = dir.join("lines.jsonl");
    book.backup(&path).unwrap();
    middle(&path)
}

fn middle(path: &Path) -> Vec<String> {
    let text = fs::read_to_string(path).unwrap();
    let lines: Vec<String> = text.lines().map(str::to_owned).collect();
    lines[1..lines.len() - 1].to_vec()
}

#[test]
fn books_of_every_format_open_and_can_be_changed() {
    for format in FORMATS {
        let folder = tempfile::tempdir().unwrap();
        let dir = folder.path().join("book");
        copy(&fixtures().join(format!("book-{format}")), &dir);
        let expected = middle(&fixtures().join(format!("book-{format}.jsonl")));
        let book = Book::open(&dir).unwrap();
        assert_eq!(lines(&book, folder.path()), expected, "format {format}");
        assert!(book.info().overlaid > 0, "the fixture has changes over its image");
        let mut writer = Writer::open(&dir, Duration::ZERO).unwrap();
        let mut added = sample::full();
        added.key = "added".to_owned();
        writer.apply(vec![added.clone().into()]).unwrap();
        drop(writer);
        let verdict = verify(&dir, Duration::ZERO).unwrap();
        assert!(verdict.is_whole() && verdict.skipped.is_none(), "{verdict:?}");
        let mut writer = Writer::open(&dir, Duration::ZERO).unwrap();
        writer.apply(vec![Change::Remove("added".to_owned())]).unwrap();
        writer.compact().unwrap();
        // The history of the added one is new.
        let after = lines(writer.book(), folder.path());
        assert!(expected.iter().all(|line| after.contains(line)), "format {format}");
    }
}

#[test]
fn backups_of_every_format_are_read() {
    for format in FORMATS {
        let folder = tempfile::tempdir().unwrap();
        let dir = folder.path().join("book");
        let backup = fixtures().join(format!("book-{format}.jsonl"));
        restore_backup(&dir, &backup, Duration::ZERO).unwrap();
        let book = Book::open(&dir).unwrap();
        assert_eq!(lines(&book, folder.path()), middle(&backup), "format {format}");
        assert_eq!(everything(&book)[0], sample::full());
    }
}

/// Makes the fixture of the format that this program writes.
#[test]
fn make_fixture() {
    if std::env::var("CLAMPBOOK_MAKE_FIXTURE").is_err() {
        return;
    }
    let newest = FORMATS[FORMATS.len() - 1];
    let dir = fixtures().join(format!("book-{newest}"));
    let _ = fs::remove_dir_all(&dir);
    let mut writer = Writer::create(&dir).unwrap();
    writer.sign(Signature { who: "jo".to_owned(), when: "2025-11-25T12:00:00Z".to_owned() });
    let mut changes =
        vec![Change::PutLube(sample::full_lube()), Change::PutStrength(sample::full_strength())];
    changes.push(sample::full().into());
    changes.extend((0..520).map(|n| Change::from(sample::numbered(n))));
    writer.apply(changes).unwrap();
    let mut changed = sample::numbered(600);
    changed.key = sample::numbered(7).key;
    writer.apply(vec![changed.into()]).unwrap();
    let (shelf, key) = ("log".to_owned(), "first".to_owned());
    writer.apply(vec![Change::PutNote { shelf, key, text: "pulled".to_owned() }]).unwrap();
    writer.book().backup(&dir.with_extension("jsonl")).unwrap();
    drop(writer);
    for name in ["lock", "owner"] {
        let _ = fs::remove_file(dir.join(name));
    }
}

//! Books of every format that is read open and can be changed; so do backups.
//!
//! The fixtures were made by the test at the end, run once for each format:
//! `CLAMPBOOK_MAKE_FIXTURE=1 cargo test --test store formats`.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use clampbook::record::Kept;
use clampbook::store::{
    Book, Change, Signature, StoreError, Writer, restore, restore_backup, verify,
};

use crate::damage::copy;
use crate::mend::everything;
use crate::sample;

/// Every format that is read.
const FORMATS: [u32; 1] = [3];

fn fixtures() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures")
}

/// The lines of the backup of a book, without the first and last, which count
/// generations.
fn lines(book: &Book, dir: &Path) -> Vec<String> {
    let path = dir.join("lines.jsonl");
    book.backup(&mut fs::File::create(&path).unwrap(), &path).unwrap();
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
        assert_eq!(everything(&book)[0], sample::of_the_fixtures());
    }
}

/// `text` with a right last line, as `current` ends.
fn checked(body: &str) -> String {
    format!("{body}check {:08x}\n", crc32fast::hash(body.as_bytes()))
}

/// Every byte of every file of a book but who holds it.
fn bytes_of(dir: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut files = Vec::new();
    for entry in fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files.extend(bytes_of(&path));
        } else if !path.ends_with("lock") {
            files.push((path.clone(), fs::read(path).unwrap()));
        }
    }
    files.sort();
    files
}

/// What every way into the book at `dir` says; none of them changes a byte.
fn refusals(dir: &Path, folder: &Path) -> Vec<StoreError> {
    let before = bytes_of(dir);
    let backup = folder.join("sound.jsonl");
    if !backup.exists() {
        let sound = folder.join("sound");
        Writer::create(&sound)
            .unwrap()
            .book()
            .backup(&mut fs::File::create(&backup).unwrap(), &backup)
            .unwrap();
    }
    let refused = vec![
        Book::open(dir).unwrap_err(),
        Writer::open(dir, Duration::ZERO).unwrap_err(),
        Writer::create(dir).unwrap_err(),
        verify(dir, Duration::ZERO).unwrap_err(),
        restore(dir, Duration::ZERO).unwrap_err(),
        restore_backup(dir, &backup, Duration::ZERO).unwrap_err(),
    ];
    assert_eq!(bytes_of(dir), before);
    refused
}

#[test]
fn what_a_newer_program_wrote_is_refused_by_name_before_anything_is_read() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path().join("book");
    copy(&fixtures().join("book-3"), &dir);
    let current = fs::read_to_string(dir.join("current")).unwrap();
    let body = &current[..current.rfind("check ").unwrap()];
    let of_fixture = body.lines().find_map(|line| line.strip_prefix("lists ")).unwrap();
    let fresh = folder.path().join("fresh");
    drop(Writer::create(&fresh).unwrap());
    let fresh = fs::read_to_string(fresh.join("current")).unwrap();
    let lists = fresh.lines().find_map(|line| line.strip_prefix("lists ")).unwrap();
    let body = &body.replace(of_fixture, lists);
    assert!(lists.split(' ').count() > 40, "{lists}");
    let mut newer: Vec<(String, String)> = lists
        .split(' ')
        .map(|list| {
            let (name, highest) = list.split_once('=').unwrap();
            let above = highest.parse::<u16>().unwrap() + 1;
            (body.replace(list, &format!("{name}={above}")), format!("{name} {above}"))
        })
        .collect();
    let with_list = body.replace(lists, &format!("{lists} tomorrow=2"));
    newer.push((with_list, "the list `tomorrow`".to_owned()));
    newer.push((body.replace("format 3", "format 4") + "something new\n", "format 4".to_owned()));
    for (body, what) in newer {
        fs::write(dir.join("current"), checked(&body)).unwrap();
        for error in refusals(&dir, folder.path()) {
            let text = error.to_string();
            assert!(matches!(error, StoreError::Newer { .. }) && text.contains(&what), "{text}");
            assert!(!text.contains("damaged"), "{text}");
        }
    }
}

#[test]
fn forms_that_were_never_released_are_refused_by_name() {
    let folder = tempfile::tempdir().unwrap();
    for form in [1, 2] {
        let dir = folder.path().join(format!("book-{form}"));
        fs::create_dir(&dir).unwrap();
        let body =
            format!("clampbook book format {form}\ngeneration 1\nsled sled-1\nimage image-1\n");
        fs::write(dir.join("current"), checked(&body)).unwrap();
        for error in refusals(&dir, folder.path()) {
            assert!(matches!(error, StoreError::Unreleased { found, .. } if found == form));
        }
    }
}

/// The image says it too: a book that has lost its `current` is not taken for
/// a damaged one.
#[test]
fn an_image_of_a_newer_program_is_not_restored_in_part() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path().join("book");
    copy(&fixtures().join("book-3"), &dir);
    fs::remove_file(dir.join("current")).unwrap();
    let image = fs::read_dir(&dir).unwrap().map(|entry| entry.unwrap().path());
    let image = image.into_iter().find(|path| path.to_string_lossy().contains("image-")).unwrap();
    let mut bytes = fs::read(&image).unwrap();
    let at = bytes.windows(9).position(|text| text == b"fastener=").unwrap() + 9;
    bytes[at] = b'9';
    let check = crc32fast::hash(&bytes[..4092]);
    bytes[4092..4096].copy_from_slice(&check.to_le_bytes());
    fs::write(&image, bytes).unwrap();
    let error = restore(&dir, Duration::ZERO).unwrap_err();
    assert!(matches!(error, StoreError::Newer { .. }), "{error}");
}

#[test]
fn a_backup_of_a_newer_program_is_refused_by_name() {
    let folder = tempfile::tempdir().unwrap();
    let text = fs::read_to_string(fixtures().join("book-3.jsonl")).unwrap();
    let cases = [
        ("\"fastener=", "\"fastener=9", "fastener 9"),
        ("\"form\":3", "\"form\":4", "format 4"),
        ("\"form\":3", "\"form\":2", "never released"),
        ("\"lists\":\"", "\"other\":2,\"lists\":\"tomorrow=2 ", "the list `tomorrow`"),
    ];
    for (old, new, what) in cases {
        let file = folder.path().join("newer.jsonl");
        fs::write(&file, text.replacen(old, new, 1)).unwrap();
        let dir = folder.path().join("book");
        let error = restore_backup(&dir, &file, Duration::ZERO).unwrap_err().to_string();
        assert!(error.contains(what), "{error}");
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
    let mut changes = vec![
        Change::PutRecord(Kept::Lube(sample::full_lube())),
        Change::PutRecord(Kept::Strength(sample::full_strength())),
    ];
    changes.push(sample::of_the_fixtures().into());
    changes.extend((0..520).map(|n| Change::from(sample::numbered(n))));
    writer.apply(changes).unwrap();
    let mut changed = sample::numbered(600);
    changed.key = sample::numbered(7).key;
    writer.apply(vec![changed.into()]).unwrap();
    let (topic, key) = ("log".to_owned(), "first".to_owned());
    writer.apply(vec![Change::Note { topic, key, text: Some("pulled".to_owned()) }]).unwrap();
    writer
        .book()
        .backup(
            &mut fs::File::create(dir.with_extension("jsonl")).unwrap(),
            &dir.with_extension("jsonl"),
        )
        .unwrap();
    drop(writer);
    for name in ["lock", "owner"] {
        let _ = fs::remove_file(dir.join(name));
    }
}

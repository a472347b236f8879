//! One damaged frame of a ledger loses that frame and no other, and a restore
//! says which kind it was. Every frame in a long run:
//! `CLAMPBOOK_SOAK=1000 cargo test --test store frames -- --nocapture`.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use clampbook::record::{Basis, Fastener, Joint, Method, Pull, Setting, Snapshot};
use clampbook::store::{Book, Change, StoreError, Writer, restore};

use crate::child::{Dice, rounds};
use crate::damage::copy;
use crate::program::run;

const EDITS: usize = 8;
const LINES: usize = 16;
const NOTES: usize = 8;

fn fastener(n: usize) -> Fastener {
    let mut fastener = Fastener::new(Joint::named("Marlow 6", "head"), "stud");
    fastener.notes = Some(format!("state {n}"));
    fastener.settings = vec![Setting::new(Method::Torque, Basis::Shop)];
    fastener
}

fn line(n: usize) -> Pull {
    let stud = fastener(0);
    let spec = Snapshot::new(&stud, &stud.settings[0], &stud.key, 1);
    let mut pull =
        Pull::new("24-017", "2026-05-04T10:20:00Z".parse().unwrap(), "Marlow 6", "head", spec);
    pull.remarks = Some(format!("line {n}"));
    pull
}

/// A book whose ledger has a frame of each kind in turn.
fn begin(dir: &Path) {
    let mut writer = Writer::create(dir).unwrap();
    writer.apply(vec![Change::from(fastener(0))]).unwrap();
    for n in 0..LINES {
        writer.apply(vec![Change::AppendPulls(vec![line(n)])]).unwrap();
        if n < NOTES {
            let (topic, key, text) =
                ("questions".to_owned(), format!("note {n}"), "head".to_owned());
            writer.apply(vec![Change::Note { topic, key, text: Some(text) }]).unwrap();
        }
        if n < EDITS {
            writer.apply(vec![Change::from(fastener(n + 1))]).unwrap();
        }
    }
}

fn ledger(dir: &Path) -> PathBuf {
    let entries = fs::read_dir(dir).unwrap().map(|entry| entry.unwrap().path());
    entries.into_iter().find(|path| path.to_string_lossy().contains("ledger-")).unwrap()
}

/// Where each frame begins and ends.
fn frames(bytes: &[u8]) -> Vec<(usize, usize)> {
    let (mut at, mut found) = (16, Vec::new());
    while at < bytes.len() {
        let length = u32::from_le_bytes([bytes[at], bytes[at + 1], bytes[at + 2], bytes[at + 3]]);
        let end = at + 8 + length as usize;
        found.push((at, end));
        at = end;
    }
    found
}

fn held(book: &Book) -> (usize, usize, usize) {
    let history = book.history(&fastener(0).key).unwrap().len();
    (history, book.log().unwrap().lines().len(), book.notes("questions").unwrap().len())
}

#[test]
fn damage_of_one_frame_loses_that_frame() {
    let folder = tempfile::tempdir().unwrap();
    let sound = folder.path().join("sound");
    begin(&sound);
    assert_eq!(held(&Book::open(&sound).unwrap()), (EDITS, LINES, NOTES));
    let whole = fs::read(ledger(&sound)).unwrap();
    let places = frames(&whole);
    assert_eq!(places.len(), EDITS + LINES + NOTES);
    // A bit of the length, of the checksum, of the row, at random.
    let mut dice = Dice(7);
    let mut tries: Vec<(usize, usize)> = places
        .iter()
        .flat_map(|(from, to)| {
            [(*from, from + 4), (from + 4, from + 8), (from + 9, *to)]
                .map(|part| (part.0 + dice.roll(part.1 - part.0), dice.roll(8)))
        })
        .collect();
    let all = tries.len();
    while tries.len() as u64 > rounds(9) {
        tries.swap_remove(dice.roll(tries.len()));
    }
    let mut lost = [0; 3];
    for (at, bit) in &tries {
        let dir = folder.path().join("spoiled");
        let _ = fs::remove_dir_all(&dir);
        copy(&sound, &dir);
        let mut bytes = whole.clone();
        bytes[*at] ^= 1 << bit;
        fs::write(ledger(&dir), &bytes).unwrap();
        // Nothing is written behind what is damaged.
        let mut writer = Writer::open(&dir, Duration::ZERO).unwrap();
        let refused = writer.apply(vec![Change::from(fastener(99))]).unwrap_err();
        assert!(matches!(refused, StoreError::Damaged { .. }), "{at}: {refused}");
        drop(writer);
        assert_eq!(fs::read(ledger(&dir)).unwrap(), bytes);
        let restored = restore(&dir, Duration::ZERO).unwrap();
        let book = Book::open(&dir).unwrap();
        let (history, lines, notes) = held(&book);
        let missing = [EDITS - history, LINES - lines, NOTES - notes];
        assert_eq!(missing.iter().sum::<usize>(), 1, "byte {at}: {missing:?} {restored:?}");
        for (sum, count) in lost.iter_mut().zip(missing) {
            *sum += count;
        }
        let told = restored.lost;
        let counted = told.earlier + told.notes + told.log_lines + told.bench + told.unknown;
        assert_eq!(counted, 1, "byte {at}: {told:?}");
        // Lines keep their numbers, and the next one gets its own.
        let kept = book
            .log()
            .unwrap()
            .lines()
            .iter()
            .all(|line| line.remarks == Some(format!("line {}", line.number - 1)));
        assert!(kept, "byte {at}");
        let mut writer = Writer::open(&dir, Duration::ZERO).unwrap();
        writer.apply(vec![Change::AppendPulls(vec![line(99)])]).unwrap();
    }
    println!("{} of {all} places tried; lost {lost:?} (history, log, notes)", tries.len());
}

#[test]
fn nothing_that_was_put_aside_is_overwritten() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path().join("book");
    begin(&dir);
    let first = fs::read(ledger(&dir)).unwrap();
    let kept = restore(&dir, Duration::ZERO).unwrap().kept_in.unwrap();
    assert_eq!(kept, "damaged");
    for again in ["damaged-2", "damaged-3"] {
        assert_eq!(restore(&dir, Duration::ZERO).unwrap().kept_in.as_deref(), Some(again));
    }
    assert_eq!(fs::read(ledger(&dir.join("damaged"))).unwrap(), first);
}

/// A ledger that cannot be read now is no empty one.
#[test]
fn an_unreadable_ledger_refuses_the_restore() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path().join("book");
    begin(&dir);
    let ledger = ledger(&dir);
    let whole = fs::read(&ledger).unwrap();
    fs::remove_file(&ledger).unwrap();
    fs::create_dir(&ledger).unwrap();
    let error = restore(&dir, Duration::ZERO).unwrap_err();
    assert!(matches!(error, StoreError::Io { .. }), "{error}");
    fs::remove_dir(&ledger).unwrap();
    fs::write(&ledger, whole).unwrap();
    assert_eq!(held(&Book::open(&dir).unwrap()), (EDITS, LINES, NOTES));
}

/// What the program says of it.
#[test]
fn the_program_tells_what_was_lost() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path().join("book");
    begin(&dir);
    let mut bytes = fs::read(ledger(&dir)).unwrap();
    let (from, to) = frames(&bytes)[3];
    bytes[usize::midpoint(from, to)] ^= 4;
    fs::write(ledger(&dir), &bytes).unwrap();
    let book = dir.to_str().unwrap();
    let key = fastener(0).key;
    let (_, err, code) = run(folder.path(), &["--book", book, "edit", &key, "notes=x"]);
    assert_eq!(code, Some(4), "{err}");
    assert!(err.contains("damaged"), "{err}");
    let (_, err, code) = run(folder.path(), &["--book", book, "book", "restore", "--yes"]);
    assert_eq!(code, Some(0), "{err}");
    assert!(err.contains("damaged and lost: 1 "), "{err}");
    let (_, err, code) = run(folder.path(), &["--book", book, "edit", &key, "notes=x"]);
    assert_eq!(code, Some(0), "{err}");
}

//! Flipped bits and cut files: an error or the right answer, never a panic, a
//! hang or a wrong answer; and a restore gives everything back.
//!
//! `CLAMPBOOK_SOAK=2000 cargo test --test store damage` makes it 2000 tries.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use clampbook::record::Fastener;
use clampbook::store::{Access, Book, Change, StoreError, Writer, restore};

use crate::child::{self, Dice, Stopwatch};
use crate::mend::{everything, start};
use crate::sample;

/// No answer may take longer, by [`Stopwatch`].
const LONGEST: Duration = Duration::from_secs(5);

pub(crate) fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let place = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &place);
        } else {
            fs::copy(entry.path(), place).unwrap();
        }
    }
}

fn files(dir: &Path, of: &str) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if path.is_dir() {
            files.extend(
                fs::read_dir(&path)
                    .unwrap()
                    .map(|e| e.unwrap().path())
                    .filter(|p| p.is_file() && name.starts_with(of)),
            );
        } else if name.starts_with(of) {
            files.push(path);
        }
    }
    files.sort();
    files
}

/// Flips up to three bits of a file, cuts it, writes over a region, or puts another
/// file in its place; says what was done.
pub(crate) fn spoil(path: &Path, dice: &mut Dice) -> String {
    let mut bytes = fs::read(path).unwrap();
    let end = bytes.len();
    let what = match dice.roll(8) {
        _ if bytes.is_empty() => {
            bytes.push(1);
            "a byte more"
        }
        0 | 1 => {
            bytes.truncate(dice.roll(end));
            "cut"
        }
        2 => {
            let from = dice.roll(end);
            let to = end.min(from + 1 + dice.roll(5000));
            bytes[from..to].iter_mut().for_each(|byte| *byte = dice.roll(256) as u8);
            "a region of random bytes"
        }
        3 => {
            bytes =
                [&b"%PDF-1.4\n"[..], &b"a file of somebody else\n".repeat(dice.roll(300))].concat();
            "a foreign file"
        }
        _ => {
            for _ in 0..=dice.roll(3) {
                // Half of them near the start, where the headers are.
                let within = if dice.roll(2) == 0 { end.min(6000) } else { end };
                let at = dice.roll(within);
                bytes[at] ^= 1 << dice.roll(8);
            }
            "bits"
        }
    };
    fs::write(path, &bytes).unwrap();
    format!("{what}: {} with {} bytes", path.display(), bytes.len())
}

fn is_sound(error: &StoreError) {
    let told = matches!(error, StoreError::Damaged { .. } | StoreError::NotABook(_));
    assert!(told, "{error:?}");
    assert!(error.to_string().contains("restore") || !matches!(error, StoreError::Damaged { .. }));
}

fn right(found: Result<Vec<Fastener>, StoreError>, expected: &[Fastener]) {
    match found {
        Ok(found) => assert!(found == expected, "a wrong answer"),
        Err(error) => is_sound(&error),
    }
}

/// Asks a damaged book for everything in several ways.
fn ask(dir: &Path, all: &[Fastener]) {
    let book = match Book::open(dir) {
        Ok(book) => book,
        Err(error) => return is_sound(&error),
    };
    let find = |access: &Access| {
        book.find(access).map(|f| f.fasteners.iter().map(|f| f.as_ref().clone()).collect())
    };
    right(find(&Access::All), all);
    for at in (0..all.len()).step_by(all.len() / 7) {
        let one = &all[at];
        match book.fastener(&one.key) {
            Ok(found) => assert_eq!(found.as_deref(), Some(one), "a wrong answer"),
            Err(error) => is_sound(&error),
        }
        let same: Vec<Fastener> =
            all.iter().filter(|f| f.joint.assembly == one.joint.assembly).cloned().collect();
        right(find(&Access::Assembly(one.joint.assembly.clone())), &same);
    }
    let lacking: Vec<Fastener> =
        all.iter().filter(|f| f.strength.name.is_none()).cloned().collect();
    right(find(&Access::Lacks(clampbook::store::Lacking::Strength)), &lacking);
    if let Err(error) = book.vocabulary() {
        is_sound(&error);
    }
    let _ = book.estimate(&Access::Word("oil".to_owned()));
}

#[test]
fn a_damaged_image_gives_an_error_or_the_right_answer() {
    let folder = tempfile::tempdir().unwrap();
    let (whole, dir) = (folder.path().join("whole"), folder.path().join("book"));
    let mut all = start(&whole, 1_100);
    let mut writer = Writer::open(&whole, Duration::ZERO).unwrap();
    writer.compact().unwrap();
    all[3].notes = Some("changed in the overlay".to_owned());
    writer.apply(vec![all[3].clone().into()]).unwrap();
    assert_eq!(writer.book().info().overlaid, 1);
    drop(writer);
    let mut dice = Dice(11);
    for attempt in 0..child::rounds(60) {
        let of = ["image-", "image-", "image-", "overlay-", "current"][dice.roll(5)];
        let _ = fs::remove_dir_all(&dir);
        copy(&whole, &dir);
        let files = files(&dir, of);
        let what = spoil(&files[dice.roll(files.len())], &mut dice);
        let watch = Stopwatch::start();
        ask(&dir, &all);
        let took = watch.took();
        assert!(took < LONGEST, "{what} took {took:?}");
        // What the message says to do gives everything back.
        if attempt % 10 == 0 {
            restore(&dir, Duration::ZERO).unwrap_or_else(|error| panic!("{what}: {error}"));
            assert_eq!(everything(&Book::open(&dir).unwrap()), all, "{what}");
        }
    }
}

/// The work of the child: changes and then mends a book whose book of record
/// is damaged. A sled that spins dies with it.
pub(crate) fn use_damaged(dir: &Path, seed: u64) {
    let mut dice = Dice(seed);
    let files = files(dir, "sled-");
    let what = spoil(&files[dice.roll(files.len())], &mut dice);
    let mut all = everything(&Book::open(dir).unwrap());
    let mut changed = sample::numbered(3_000 + seed);
    changed.key = all[40].key.clone();
    let watch = Stopwatch::start();
    let done = Writer::open(dir, Duration::ZERO)
        .and_then(|mut writer| writer.apply(vec![Change::from(changed.clone())]));
    let took = watch.took();
    assert!(took < LONGEST, "{what} took {took:?}");
    match done {
        Ok(_) => all[40] = changed,
        Err(error) => is_sound(&error),
    }
    // Looking up never noticed.
    assert_eq!(everything(&Book::open(dir).unwrap()), all, "{what}");
    restore(dir, Duration::ZERO).unwrap_or_else(|error| panic!("{what}: {error}"));
    assert_eq!(everything(&Book::open(dir).unwrap()), all, "{what}");
    let mut writer = Writer::open(dir, Duration::ZERO).unwrap();
    writer.apply(vec![Change::Remove(all[0].key.clone())]).unwrap();
    println!("whole");
}

#[test]
fn a_damaged_book_of_record_gives_an_error_or_is_mended() {
    let folder = tempfile::tempdir().unwrap();
    let (whole, dir) = (folder.path().join("whole"), folder.path().join("book"));
    start(&whole, 300);
    for seed in child::seeds(12) {
        let _ = fs::remove_dir_all(&dir);
        copy(&whole, &dir);
        let work = child::start("mend", &dir, seed);
        let out = work.wait_with_output().unwrap();
        let said = String::from_utf8_lossy(&out.stdout);
        assert!(
            said.contains("whole"),
            "seed {seed}: {said}{}",
            String::from_utf8_lossy(&out.stderr)
        );
    }
}

#[test]
fn any_bytes_in_place_of_an_image_give_an_error() {
    let dir = tempfile::tempdir().unwrap();
    start(dir.path(), 5);
    let image = files(dir.path(), "image-").remove(0);
    let good = fs::read(&image).unwrap();
    let mut dice = Dice(3);
    for attempt in 0..200 {
        let mut bytes: Vec<u8> = (0..dice.roll(9_000)).map(|_| dice.roll(256) as u8).collect();
        if attempt % 2 == 0 {
            // The right beginning and random bytes after it.
            let keep = dice.roll(good.len());
            bytes = [&good[..keep], &bytes[..]].concat();
        }
        fs::write(&image, &bytes).unwrap();
        is_sound(&Book::open(dir.path()).unwrap_err());
    }
}

//! The file of history and log: killed while it is written, damaged, restored.
//!
//! `CLAMPBOOK_SOAK=300 cargo test --test store ledger` makes it 300 rounds.

use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::time::Duration;

use clampbook::record::Kept;
use clampbook::store::{Book, Change, StoreError, Writer, restore, verify};

use crate::bench::{line, stored, wrench};
use crate::child::{self, Dice};
use crate::history::start;
use crate::sample;

/// The work of the child: lines of the log, in twos and beside other changes,
/// until it is killed. Says on stdout how many lines are safe.
pub(crate) fn log_on(dir: &Path, seed: u64) {
    let mut dice = Dice(seed);
    let mut writer = Writer::open(dir, Duration::from_secs(5)).unwrap();
    loop {
        let next = writer.book().log().unwrap().lines().len() as u64 + 1;
        let mut changes = vec![Change::AppendPulls((next..next + 2).map(line).collect())];
        match dice.roll(6) {
            0 => changes.push(sample::numbered(next).into()),
            1 => changes.push(Change::PutRecord(Kept::Wrench(wrench("W1")))),
            2 => drop(writer.compact().unwrap()),
            _ => {}
        }
        writer.apply(changes).unwrap();
        println!("done {}", next + 1);
        std::io::stdout().flush().unwrap();
    }
}

#[test]
fn killed_at_any_moment_the_log_keeps_every_line_it_said_it_had() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path().join("book");
    let mut writer = Writer::create(&dir).unwrap();
    writer
        .apply(vec![sample::full().into(), Change::PutRecord(Kept::Wrench(wrench("W1")))])
        .unwrap();
    drop(writer);
    let mut dice = Dice(11);
    let (mut lines, mut patience) = (0, 1);
    for round in 0..child::rounds(12) {
        let mut work = child::start("log", &dir, round);
        let out = work.stdout.take().unwrap();
        std::thread::sleep(Duration::from_millis(10 + dice.roll(600 * patience) as u64));
        work.kill().unwrap();
        work.wait().unwrap();
        let said = BufReader::new(out).lines().map_while(Result::ok);
        let told = said.filter_map(|line| line.strip_prefix("done ")?.parse().ok());
        let told: u64 = told.last().unwrap_or(lines);
        let seen = all_as_written(&Book::open(&dir).unwrap());
        // The next writer finishes what was begun.
        let mut writer = Writer::open(&dir, Duration::from_secs(5)).unwrap();
        writer.apply(vec![Change::PutRecord(Kept::Wrench(wrench("W1")))]).unwrap();
        let after = all_as_written(writer.book());
        drop(writer);
        assert!(after >= seen && seen >= told, "told {told}, seen {seen}, then {after}");
        let verdict = verify(&dir, Duration::ZERO).unwrap();
        assert!(verdict.is_whole() && verdict.skipped.is_none(), "{verdict:?}");
        lines = after;
        patience = if lines == 0 { patience * 2 } else { 1 };
    }
    assert!(lines > 0, "no line was ever written");
}

/// How many lines the log has; each as it was written, and two or none of two.
fn all_as_written(book: &Book) -> u64 {
    let lines = book.log().unwrap().lines();
    assert!(lines.len().is_multiple_of(2), "half of two lines");
    for (at, pull) in lines.iter().enumerate() {
        assert_eq!(*pull, stored(at as u64 + 1));
    }
    lines.len() as u64
}

#[test]
fn a_damaged_ledger_is_told_and_the_book_still_answers() {
    let dir = tempfile::tempdir().unwrap();
    start(dir.path());
    let ledger = fs::read_dir(dir.path())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .find(|path| path.file_name().unwrap().to_string_lossy().starts_with("ledger-"))
        .unwrap();
    let whole = fs::read(&ledger).unwrap();
    for at in [0, 17, 21, 40, whole.len() - 1] {
        let mut bytes = whole.clone();
        bytes[at] ^= 16;
        fs::write(&ledger, &bytes).unwrap();
        let book = Book::open(dir.path()).unwrap();
        assert!(matches!(book.history("one").unwrap_err(), StoreError::Damaged { .. }), "{at}");
        assert!(book.fastener(&sample::full().key).unwrap().is_some());
        assert!(verify(dir.path(), Duration::ZERO).unwrap().ledger.is_some());
    }
    let restored = restore(dir.path(), Duration::ZERO).unwrap();
    assert!(!restored.lost.is_nothing(), "{restored:?}");
    assert!(verify(dir.path(), Duration::ZERO).unwrap().is_whole());
    // All before the damage is kept.
    assert_eq!(Book::open(dir.path()).unwrap().history("one").unwrap().len(), 3);
}

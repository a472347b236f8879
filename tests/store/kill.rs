//! Killed at any moment, a book is at the old or the new generation.
//!
//! `CLAMPBOOK_SOAK=300 cargo test --test store kill` makes it 300 rounds.

use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::time::Duration;

use clampbook::record::Fastener;
use clampbook::store::{Access, Book, Change, Writer, restore_backup, verify};

use crate::child::{self, Dice};
use crate::sample;

/// Fasteners that every change touches together.
const TOGETHER: [&str; 3] = ["first", "middle", "last"];
/// Fasteners that no change touches.
const FIXED: u64 = 700;

fn marked(key: &str, round: u64) -> Fastener {
    let mut fastener = sample::numbered(round);
    fastener.key = key.to_owned();
    fastener.notes = Some(format!("round {round}"));
    fastener
}

/// The work of the child: changes of every kind, until it is killed. Says on
/// stdout when each is done.
pub(crate) fn change(dir: &Path, mut round: u64) {
    let backup = dir.with_extension("backup");
    let mut dice = Dice(round);
    loop {
        round += 1;
        let mut writer = Writer::open(dir, Duration::from_secs(5)).unwrap();
        let changes: Vec<Change> = TOGETHER.map(|key| marked(key, round).into()).to_vec();
        match dice.roll(8) {
            0 => {
                writer.compact().unwrap();
                writer.apply(changes).unwrap();
            }
            1 => {
                let mut loader = writer.load().unwrap();
                TOGETHER.iter().for_each(|key| loader.push(marked(key, round)).unwrap());
                loader.finish().unwrap();
            }
            2 => {
                writer.apply(changes).unwrap();
                writer.book().backup(&mut fs::File::create(&backup).unwrap(), &backup).unwrap();
                drop(writer);
                restore_backup(dir, &backup, Duration::ZERO).unwrap();
            }
            3 => {
                // Many at once are written as a new state.
                let mut many = changes;
                many.extend((0..2_100).map(|n| Change::from(marked(&format!("many-{n}"), 1))));
                writer.apply(many).unwrap();
                let all = (0..2_100).map(|n| Change::Remove(format!("many-{n}")));
                writer.apply(all.collect()).unwrap();
            }
            _ => {
                writer.apply(changes).unwrap();
            }
        }
        println!("done {round}");
        std::io::stdout().flush().unwrap();
    }
}

/// The round that the book is at; panics if it is torn.
fn round_of(book: &Book) -> u64 {
    let notes = TOGETHER.map(|key| book.fastener(key).unwrap().map(|f| f.notes.clone().unwrap()));
    assert!(notes.iter().all(|note| *note == notes[0]), "torn: {notes:?}");
    let all = book.find(&Access::All).unwrap().fasteners;
    let fixed = all.iter().filter(|f| !f.key.starts_with("many-")).count() as u64;
    assert_eq!(fixed, FIXED + if notes[0].is_some() { 3 } else { 0 });
    let many = all.len() as u64 - fixed;
    assert!(many == 0 || many == 2_100, "torn: {many} of many");
    notes[0].as_ref().map_or(0, |note| note.strip_prefix("round ").unwrap().parse().unwrap())
}

#[test]
fn killed_at_any_moment_nothing_is_torn() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path().join("book");
    let mut writer = Writer::create(&dir).unwrap();
    writer.apply((0..FIXED).map(|n| sample::numbered(n).into()).collect()).unwrap();
    drop(writer);
    let mut dice = Dice(7);
    let mut round = 0;
    // On a machine that is busy with other work the first change takes longer.
    let mut patience = 1;
    for _ in 0..child::rounds(10) {
        let mut work = child::start("change", &dir, round);
        let out = work.stdout.take().unwrap();
        std::thread::sleep(Duration::from_millis(10 + dice.roll(1_200 * patience) as u64));
        work.kill().unwrap();
        work.wait().unwrap();
        // The last word may be cut off.
        let said = BufReader::new(out).lines().map_while(Result::ok);
        let told = said.filter_map(|line| line.strip_prefix("done ")?.parse().ok());
        let told: u64 = told.last().unwrap_or(round);
        // A reader first, then the next writer, which finishes what was begun.
        let seen = round_of(&Book::open(&dir).unwrap());
        let mut writer = Writer::open(&dir, Duration::from_secs(5)).unwrap();
        let after = round_of(writer.book());
        assert!(after >= seen && seen >= told, "told {told}, seen {seen}, then {after}");
        let loose: Vec<Change> = (0..2_100)
            .filter(|n| writer.book().fastener(&format!("many-{n}")).unwrap().is_some())
            .map(|n| Change::Remove(format!("many-{n}")))
            .collect();
        writer.apply(loose).unwrap();
        drop(writer);
        let verdict = verify(&dir, Duration::ZERO).unwrap();
        assert!(verdict.is_whole() && verdict.skipped.is_none(), "{verdict:?}");
        round = after;
        patience = if round == 0 { patience * 2 } else { 1 };
    }
    assert!(round > 0, "no change was ever finished");
}

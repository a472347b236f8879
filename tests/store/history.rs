//! The ledger: earlier states of a fastener, and notes on shelves.

use std::fs;
use std::time::Duration;

use clampbook::store::{Book, Change, Note, Signature, restore_backup, verify};

use crate::{kept, sample};

fn signature(who: &str) -> Signature {
    Signature { who: who.to_owned(), when: "2025-11-25T12:00:00Z".to_owned() }
}

fn put_note(topic: &str, key: &str, text: &str) -> Change {
    let (topic, key, text) = (topic.to_owned(), key.to_owned(), text.to_owned());
    Change::Note { topic, key, text: Some(text) }
}

fn texts(book: &Book, topic: &str) -> Vec<String> {
    book.notes(topic).unwrap().into_iter().map(|Note { key, text, .. }| key + "=" + &text).collect()
}

/// A book in which one fastener was changed by jo, replaced in a bulk load by
/// sam and removed by lee.
pub(crate) fn start(dir: &std::path::Path) -> Vec<clampbook::record::Fastener> {
    let states: Vec<_> = (0..3)
        .map(|n| {
            let mut fastener = sample::numbered(n);
            fastener.key = "one".to_owned();
            fastener
        })
        .collect();
    let mut writer = kept::begin(dir);
    writer.sign(signature("jo"));
    writer.apply(vec![states[0].clone().into(), sample::full().into()]).unwrap();
    writer.apply(vec![states[1].clone().into()]).unwrap();
    // The same again is no change of it.
    writer.apply(vec![states[1].clone().into()]).unwrap();
    writer.sign(signature("sam"));
    let mut loader = writer.load().unwrap();
    loader.push(states[2].clone()).unwrap();
    loader.finish().unwrap();
    writer.sign(signature("lee"));
    writer.apply(vec![Change::Remove("one".to_owned()), put_note("log", "a", "pulled")]).unwrap();
    states
}

fn is_told(book: &Book, states: &[clampbook::record::Fastener]) {
    let history = book.history("one").unwrap();
    let told: Vec<_> = history
        .iter()
        .map(|past| {
            (past.generation, past.signature.who.as_str(), past.old.as_ref(), past.new.as_deref())
        })
        .collect();
    let expected = [
        (2, "jo", &states[0], Some(&states[1])),
        (4, "sam", &states[1], Some(&states[2])),
        (5, "lee", &states[2], None),
    ];
    assert_eq!(told, expected);
    assert_eq!(texts(book, "log"), ["a=pulled"]);
    assert!(book.history("two").unwrap().is_empty());
}

#[test]
fn earlier_states_are_kept_through_everything() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path().join("book");
    let states = start(&dir);
    is_told(&kept::read(&dir), &states);
    let mut writer = kept::open(&dir, Duration::ZERO).unwrap();
    writer.compact().unwrap();
    is_told(writer.book(), &states);
    drop(writer);
    kept::restore(&dir);
    is_told(&kept::read(&dir), &states);
    let (backup, other) = (folder.path().join("backup"), folder.path().join("other"));
    kept::read(&dir).backup(&mut fs::File::create(&backup).unwrap(), &backup).unwrap();
    restore_backup(&other, &backup, Duration::ZERO).unwrap();
    is_told(&Book::open(&other).unwrap(), &states);
    assert!(verify(&other, Duration::ZERO).unwrap().is_whole());
}

#[test]
fn notes_change_neither_the_generation_nor_the_image() {
    let dir = tempfile::tempdir().unwrap();
    let mut writer = kept::begin(dir.path());
    let generation = writer.apply(vec![sample::full().into()]).unwrap();
    let changes = [put_note("log", "b", "1"), put_note("log", "a", "2"), put_note("w", "b", "3")];
    assert_eq!(writer.apply(changes.to_vec()).unwrap(), generation);
    writer.apply(vec![put_note("log", "b", "4")]).unwrap();
    let reader = kept::read(dir.path());
    assert_eq!(texts(&reader, "log"), ["b=4", "a=2"]);
    let (topic, key) = ("log".to_owned(), "b".to_owned());
    writer.apply(vec![Change::Note { topic, key, text: None }, put_note("log", "c", "5")]).unwrap();
    assert_eq!(texts(writer.book(), "log"), ["a=2", "c=5"]);
    assert_eq!(texts(writer.book(), "w"), ["b=3"]);
    // What an open reader saw stays.
    assert_eq!(texts(&reader, "log"), ["b=4", "a=2"]);
    assert_eq!(writer.book().generation(), generation);
}

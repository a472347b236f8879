//! What is entered comes back equal.

use std::time::Duration;

use clampbook::quantity::Stated;
use clampbook::record::{
    Basis, Bottom, Duty, Fastener, Joint, Kept, Kind, LubeClass, Method, Prevailing, Reuse,
    SourceKind, Turned, Wet,
};
use clampbook::store::{Access, Book, Change};
use clampbook::thread::Thread;

use crate::{kept, sample};

/// Enters `changes` into a new book and opens it again.
fn entered(changes: Vec<Change>) -> Book {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("book");
    kept::begin(&path).apply(changes).unwrap();
    // Opened by a reader, and from the book of record by a second writer too.
    let mut writer = kept::open(&path, Duration::ZERO).unwrap();
    let mut other = sample::numbered(7);
    other.key = "another".to_owned();
    writer.apply(vec![other.into(), Change::Remove("another".to_owned())]).unwrap();
    drop(writer);
    kept::read(&path)
}

fn comes_back(fastener: Fastener) {
    let book = entered(vec![fastener.clone().into()]);
    let back = book.fastener(&fastener.key).unwrap().unwrap();
    assert_eq!(*back, fastener);
    // The class of a thread is not compared, but printed.
    let print = |f: &Fastener| format!("{:?} {:?}", f.thread, f.hole_thread);
    assert_eq!(print(&back), print(&fastener));
    assert_eq!(book.find(&Access::All).unwrap().fasteners.len(), 1);
}

#[test]
fn a_fastener_with_every_field_comes_back() {
    comes_back(sample::full());
}

#[test]
fn a_fastener_with_no_field_comes_back() {
    comes_back(Fastener::new(Joint::named("", ""), ""));
}

#[test]
fn every_word_of_every_list_comes_back() {
    let mut all = Vec::new();
    let mut add = |change: &dyn Fn(&mut Fastener)| {
        let mut fastener = sample::full();
        change(&mut fastener);
        fastener.key = format!("f-{}", all.len());
        all.push(fastener);
    };
    Kind::WORDS.iter().for_each(|w| add(&|f| f.kind = Some(w.0)));
    Duty::WORDS.iter().for_each(|w| add(&|f| f.joint.duty = Some(w.0)));
    Turned::WORDS.iter().for_each(|w| add(&|f| f.turned = Some(w.0)));
    Bottom::WORDS.iter().for_each(|w| add(&|f| f.bottom = Some(w.0)));
    Wet::WORDS.iter().for_each(|w| add(&|f| f.wet = Some(w.0)));
    Prevailing::WORDS.iter().for_each(|w| add(&|f| f.prevailing_rule = Some(w.0)));
    Method::WORDS.iter().for_each(|w| add(&|f| f.settings[0].method = w.0));
    Basis::WORDS.iter().for_each(|w| add(&|f| f.settings[0].basis = w.0));
    SourceKind::WORDS.iter().for_each(|w| add(&|f| f.settings[0].source.kind = Some(w.0)));
    for reuse in [Reuse::Reusable, Reuse::SingleUse, Reuse::UpTo(5)] {
        add(&|f| f.reuse = Some(reuse));
    }
    for torque in ["70 lb-ft", "max 9 N·m", "6 lb-ft..90 lb-in", "65..70 lb-ft"] {
        add(&|f| f.settings[0].torque = Some(clampbook::quantity::Extent::parse(torque).unwrap()));
    }
    for thread in sample::THREADS.into_iter().chain(["#10-24", "2 BA", "G 1/4", "M10x1-6g LH"]) {
        add(&|f| f.thread = Some(Thread::parse(thread).unwrap()));
    }
    for unit in clampbook::quantity::UNITS {
        let text = format!("7/16 {}", unit.symbol);
        if let Ok(length) = Stated::parse(&text) {
            add(&|f| f.length = Some(length));
        }
        if let Ok(torque) = Stated::parse(&text) {
            add(&|f| f.prevailing = Some(torque));
        }
        if let Ok(stress) = Stated::parse(&text) {
            add(&|f| f.strength.proof = Some(stress));
        }
    }
    let book = entered(all.iter().cloned().map(Change::from).collect());
    let back = book.find(&Access::All).unwrap();
    assert_eq!(back.fasteners.len(), all.len());
    for (back, entered) in back.fasteners.iter().zip(&all) {
        assert_eq!(**back, *entered);
    }
}

#[test]
fn lubes_and_strengths_come_back() {
    let mut lubes: Vec<_> = LubeClass::WORDS
        .iter()
        .map(|word| {
            let mut lube = sample::full_lube();
            lube.class = word.0;
            lube.name = word.1.to_owned();
            lube
        })
        .collect();
    lubes[0].k = None;
    let strengths = vec![sample::full_strength()];
    let mut changes: Vec<_> =
        lubes.iter().cloned().map(|record| Change::PutRecord(Kept::Lube(record))).collect();
    changes
        .extend(strengths.iter().cloned().map(|record| Change::PutRecord(Kept::Strength(record))));
    let book = entered(changes);
    assert_eq!(book.tables().lubes, lubes);
    assert_eq!(book.tables().strengths, strengths);
}

#[test]
fn many_fasteners_come_back_in_the_order_entered() {
    let all: Vec<Fastener> = (0..300).map(sample::numbered).collect();
    let book = entered(all.iter().cloned().map(Change::from).collect());
    let back = book.find(&Access::All).unwrap();
    assert!(back.fasteners.iter().map(AsRef::as_ref).eq(&all));
}

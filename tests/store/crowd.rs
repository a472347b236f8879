//! Eight readers while one writer changes: nobody fails, nobody sees half a
//! change.

use std::path::Path;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::{Duration, Instant};

use clampbook::store::{Access, Book, Change, Writer};

use crate::child::rounds;
use crate::sample;

const MANY: u64 = 40;

/// Opens and reads until told to stop; returns how often.
fn read(dir: &Path, stop: &AtomicBool, seen: &AtomicU64) -> u64 {
    let mut reads = 0;
    while !stop.load(Ordering::Relaxed) {
        let least = seen.load(Ordering::SeqCst);
        let book = Book::open(dir).unwrap();
        assert!(book.generation() >= least, "an older book than one already published");
        let tagged = book.find(&Access::Word("round".to_owned())).unwrap().fasteners;
        let notes: Vec<_> = tagged.iter().map(|f| f.notes.clone()).collect();
        assert!(notes.len() as u64 == MANY && notes.iter().all(|n| *n == notes[0]), "{notes:?}");
        reads += 1;
    }
    reads
}

#[test]
fn readers_never_fail_while_a_writer_changes() {
    let dir = tempfile::tempdir().unwrap();
    let mut writer = Writer::create(dir.path()).unwrap();
    writer.apply((100..1_400).map(|n| sample::numbered(n).into()).collect()).unwrap();
    let round = |n: u64| -> Vec<Change> {
        let each = (0..MANY).map(|at| {
            let mut fastener = sample::numbered(at);
            fastener.notes = Some(format!("round {n}"));
            fastener.into()
        });
        each.collect()
    };
    writer.apply(round(0)).unwrap();
    let (stop, seen) = (AtomicBool::new(false), AtomicU64::new(0));
    std::thread::scope(|scope| {
        let readers: Vec<_> =
            (0..8).map(|_| scope.spawn(|| read(dir.path(), &stop, &seen))).collect();
        let started = Instant::now();
        let mut n = 1;
        while n < 6 || started.elapsed() < Duration::from_secs(rounds(1)) {
            let generation = if n % 4 == 0 {
                writer.compact().unwrap()
            } else {
                writer.apply(round(n)).unwrap()
            };
            seen.store(generation, Ordering::SeqCst);
            n += 1;
        }
        stop.store(true, Ordering::Relaxed);
        let reads: u64 = readers.into_iter().map(|reader| reader.join().unwrap()).sum();
        assert!(reads > 8, "{reads} reads");
    });
}

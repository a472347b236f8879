//! Eight readers while one writer changes: nobody fails, nobody sees half a
//! change.
//!
//! `CLAMPBOOK_SOAK=60 cargo test --test store crowd` goes on for 60 seconds, the
//! imports with 100,000 rows each.

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

/// Fasteners of the import, two rows each in a sheet: 100,000 rows in a soak.
fn imported() -> u64 {
    if std::env::var("CLAMPBOOK_SOAK").is_ok() { 50_000 } else { 1_000 }
}

/// All of the import says the round that made it.
fn import(writer: &mut Writer, round: u64) {
    let mut loader = writer.load().unwrap();
    for at in 0..imported() {
        let mut fastener = sample::numbered(at);
        fastener.settings = vec![sample::full_setting(); 2];
        fastener.notes = Some(format!("round {round}"));
        loader.push(fastener).unwrap();
    }
    loader.finish().unwrap();
}

/// Opens the book and reads fasteners all over it until told to stop: they are
/// of one round, and of one not older than what was published before.
fn read_all_over(dir: &Path, stop: &AtomicBool, seen: &AtomicU64) -> u64 {
    let mut reads = 0;
    while !stop.load(Ordering::Relaxed) {
        let least = seen.load(Ordering::SeqCst);
        let book = Book::open(dir).unwrap();
        let rounds: Vec<u64> = (0..20)
            .map(|part| {
                let key = sample::numbered(part * imported() / 20).key;
                let notes = book.fastener(&key).unwrap().and_then(|one| one.notes.clone()).unwrap();
                notes.strip_prefix("round ").unwrap().parse().unwrap()
            })
            .collect();
        assert!(rounds.iter().all(|round| *round == rounds[0]), "half a change: {rounds:?}");
        assert!(rounds[0] >= least, "round {} after {least} was published", rounds[0]);
        assert_eq!(book.info().fasteners, imported());
        reads += 1;
    }
    reads
}

#[test]
fn eight_readers_and_a_second_writer_live_with_imports_in_a_loop() {
    let dir = tempfile::tempdir().unwrap();
    let mut writer = Writer::create(dir.path()).unwrap();
    import(&mut writer, 0);
    let (stop, seen) = (AtomicBool::new(false), AtomicU64::new(0));
    std::thread::scope(|scope| {
        let readers: Vec<_> =
            (0..8).map(|_| scope.spawn(|| read_all_over(dir.path(), &stop, &seen))).collect();
        let started = Instant::now();
        let mut round = 1;
        while round < 4 || started.elapsed() < Duration::from_secs(rounds(1)) {
            import(&mut writer, round);
            seen.store(round, Ordering::SeqCst);
            round += 1;
        }
        // A second writer is told who is at it,
        let refused = Writer::open(dir.path(), Duration::from_millis(50)).unwrap_err();
        let words = refused.to_string();
        assert!(words.contains(&std::process::id().to_string()), "{words}");
        // or waits for its turn.
        let second = scope.spawn(|| {
            let mut second = Writer::open(dir.path(), Duration::from_mins(5)).unwrap();
            second.apply(vec![Change::from(sample::numbered(imported() + 1))]).unwrap();
            second.apply(vec![Change::Remove(sample::numbered(imported() + 1).key)]).unwrap()
        });
        import(&mut writer, round);
        seen.store(round, Ordering::SeqCst);
        stop.store(true, Ordering::Relaxed);
        let reads: u64 = readers.into_iter().map(|reader| reader.join().unwrap()).sum();
        let last = writer.book().generation();
        drop(writer);
        assert_eq!(second.join().unwrap(), last + 2, "it goes on from the last import");
        assert!(reads > 8, "{reads} reads");
        println!("{reads} reads during {round} imports of {} rows", 2 * imported());
    });
}

//! Eight writers and eight readers as processes, through a network that cuts their
//! connections, while the server is killed and started again: what was said to be stored
//! is there once, what was said not to be is not, and nobody reads half a change.
//!
//! Ten seconds; a minute with `CLAMPBOOK_SOAK=60 cargo test --features postgres --test
//! server crowd -- --nocapture`.

use std::collections::BTreeMap;
use std::io::Write as _;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::atomic::Ordering;
use std::time::{Duration, Instant};

use clampbook::record::{Fastener, Pull};
use clampbook::store::{Book, Change, StoreError, Writer};

use crate::proxy::Proxy;
use crate::{bench, kept, sample};

const EACH: u64 = 8;
const PAIRS: &str =
    "clampbook.fasteners WHERE row->'fastener'->>'key' LIKE 'of-_-a' ORDER BY number";
const OVER: &str = "over";
const WAIT: Duration = Duration::from_secs(5);
/// A look-up does not wait for a writer beside it.
const SOON: Duration = Duration::from_millis(200);

/// A run in which hardly anything happened is none: before the server is killed, and again
/// after it, so many pairs were changed, changes of any kind stored and connections cut. It
/// is waited for, on a slow machine for [`LONGEST`].
const LEAST_PAIRS: usize = 3;
const LEAST_STORED: u64 = 24;
const LEAST_CUTS: u64 = 6;
/// How often each reader reads.
const LEAST_READS: u64 = 4;
const BETWEEN_READS: Duration = Duration::from_millis(50);
const LONGEST: Duration = Duration::from_mins(4);

fn seconds() -> u64 {
    std::env::var("CLAMPBOOK_SOAK").ok().and_then(|text| text.parse().ok()).unwrap_or(10)
}

/// One of the two fasteners that a writer changes together, for the `nth` time.
fn half(writer: u64, which: &str, nth: u64) -> Fastener {
    let mut fastener = sample::numbered(writer);
    fastener.key = format!("of-{writer}-{which}");
    fastener.notes = Some(nth.to_string());
    fastener
}

fn line(writer: u64, nth: u64) -> Pull {
    Pull { remarks: Some(format!("{writer} {nth}")), ..bench::line(1) }
}

/// Starts this program again as a writer or reader of the book at `url`.
fn start(work: &str, url: &str, dir: &Path, number: u64) -> Child {
    Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "crowd::work", "--nocapture", "--test-threads=1"])
        .env("CLAMPBOOK_TEST_WORK", format!("{work} {number}"))
        .env("CLAMPBOOK_TEST_DIR", dir)
        .env("CLAMPBOOK_TEST_URL", url)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap()
}

/// Not a test of its own: does what [`start`] asked for.
#[test]
fn work() {
    let Ok(asked) = std::env::var("CLAMPBOOK_TEST_WORK") else { return };
    let (url, dir) =
        ["CLAMPBOOK_TEST_URL", "CLAMPBOOK_TEST_DIR"].map(|v| std::env::var(v).unwrap()).into();
    let (work, number) = asked.split_once(' ').unwrap();
    match work {
        "write" => write(&url, Path::new(&dir), number.parse().unwrap()),
        _ => read(&url, Path::new(&dir)),
    }
}

/// Whether the parent has said that it is enough, beside the folder of the bench.
fn is_over(dir: &Path) -> bool {
    dir.with_file_name(OVER).exists()
}

/// Says of each change and line how it ended.
fn write(url: &str, dir: &Path, number: u64) {
    let server = kept::at(url);
    let mut nth = 1;
    while !is_over(dir) {
        let Ok(mut writer) = server.writer(dir, WAIT) else { continue };
        // A few changes with one connection, as long as it holds.
        for turn in 0..4 {
            nth += 1;
            let both = ["a", "b"].map(|which| Change::from(half(number, which, nth)));
            let is_connected = tell("change", nth, &writer.apply(both.to_vec()));
            if !is_connected && turn == 0 {
                // What waits here goes first: else more is put to it than the network takes.
                break;
            }
            let pull = Change::AppendPulls(vec![line(number, nth)]);
            tell("line", nth, &writer.apply(vec![pull]));
            if !is_connected {
                break;
            }
        }
    }
}

/// Whether the connection held.
fn tell(what: &str, nth: u64, done: &Result<u64, StoreError>) -> bool {
    let how = match done {
        Ok(_) | Err(StoreError::Stored(_)) => "stored",
        Err(error) if error.is_stored() => "unsure",
        Err(StoreError::Unreachable { .. }) => "not",
        Err(other) => panic!("{what} {nth}: {other}"),
    };
    println!("told {what} {nth} {how}");
    std::io::stdout().flush().unwrap();
    done.is_ok()
}

/// Says how often it read.
fn read(url: &str, dir: &Path) {
    let server = kept::at(url);
    let (mut reads, mut newest, mut behind) = (0, 0, 0);
    while !is_over(dir) || reads < LEAST_READS {
        behind += u64::from(server.refresh(dir, SOON).unwrap().is_some());
        let book = Book::open(dir).unwrap();
        assert!(book.generation() >= newest, "an older book than before");
        newest = book.generation();
        for number in 0..EACH {
            let notes = ["a", "b"].map(|which| {
                let key = format!("of-{number}-{which}");
                book.fastener(&key).unwrap().unwrap().notes.clone()
            });
            assert_eq!(notes[0], notes[1], "half a change of writer {number}");
        }
        let lines = book.log().unwrap().lines();
        assert!(lines.iter().zip(1..).all(|(line, number)| line.number == number));
        reads += 1;
        // Nobody looks up without end: the writers need this machine too.
        std::thread::sleep(BETWEEN_READS);
    }
    println!("told read {reads} {behind}");
}

/// How often each value is in the book, by what was told of it.
fn counted(told: &BTreeMap<u64, String>, values: &[u64]) -> BTreeMap<(String, usize), usize> {
    let mut ends = BTreeMap::new();
    for (nth, how) in told {
        let times = values.iter().filter(|value| *value == nth).count();
        *ends.entry((how.clone(), times)).or_default() += 1;
    }
    ends
}

/// How often a change or a line was told of so, and is in the book so many times.
fn ends_in(book: &Book, said: &[Vec<String>]) -> BTreeMap<(String, String, usize), usize> {
    let mut ends: BTreeMap<(String, String, usize), usize> = BTreeMap::new();
    for (number, said) in (0..EACH).zip(said) {
        let of = |what: &str| -> BTreeMap<u64, String> {
            let words = said.iter().map(|line| line.split(' ').collect::<Vec<_>>());
            let own = words.filter(|words| words[0] == what);
            own.map(|words| (words[1].parse().unwrap(), words[2].to_owned())).collect()
        };
        let past = book.history(&format!("of-{number}-a")).unwrap();
        let news = past.iter().filter_map(|past| past.new.as_ref()?.notes.as_ref()?.parse().ok());
        for (end, count) in counted(&of("change"), &news.collect::<Vec<u64>>()) {
            *ends.entry(("change".to_owned(), end.0, end.1)).or_default() += count;
        }
        let remarks = book.log().unwrap().lines().iter().filter_map(|line| {
            let (own, nth) = line.remarks.as_deref()?.split_once(' ')?;
            (own == number.to_string()).then(|| nth.parse().unwrap())
        });
        let lines: Vec<u64> = remarks.collect();
        assert!(lines.is_sorted(), "the lines of writer {number} are out of order: {lines:?}");
        for (end, count) in counted(&of("line"), &lines) {
            *ends.entry(("line".to_owned(), end.0, end.1)).or_default() += count;
        }
    }
    ends
}

#[test]
fn what_is_stored_is_there_once_whatever_breaks() {
    let Some(server) = kept::started("") else { return };
    let direct = kept::database(&server, "crowd");
    let proxy = Proxy::new(server.port(), |nth| 10_000 + (nth * 7_919 % 61) * 4_000);
    let url = direct.replace(&server.port().to_string(), &proxy.port.to_string());
    let folder = tempfile::tempdir().unwrap();
    let mut first = Writer::create(&folder.path().join("first")).unwrap();
    let mut all: Vec<Change> = (100..300).map(|n| sample::numbered(n).into()).collect();
    for number in 0..EACH {
        all.extend(["a", "b"].map(|which| Change::from(half(number, which, 1))));
    }
    first.apply(all).unwrap();
    let here = folder.path().join("here");
    kept::at(&direct).copy(first.book(), &here, WAIT).unwrap();
    // Each writer is a bench; the first shares what was fetched with two readers.
    let bench_of = |what: &str, number: u64| {
        let own =
            if what == "read" && number > 1 { format!("reader-{number}") } else { String::new() };
        let number = if what == "read" && number < 2 { 0 } else { number };
        folder.path().join(if own.is_empty() { format!("writer-{number}") } else { own })
    };
    for what in ["write", "read"] {
        for number in 0..EACH {
            kept::at(&direct).refresh(&bench_of(what, number), WAIT).unwrap();
        }
    }
    let mut writers: Vec<Child> =
        (0..EACH).map(|n| start("write", &url, &bench_of("write", n), n)).collect();
    let mut readers: Vec<Child> =
        (0..EACH).map(|n| start("read", &url, &bench_of("read", n), n)).collect();
    // On each side of the server's end.
    let half = Duration::from_secs(seconds()) / 2;
    let pairs = || server.run("crowd", &format!("SELECT row->'fastener'->>'notes' FROM {PAIRS}"));
    let goes_on = || {
        let from = Instant::now();
        let counted = |sql: &str| server.run("crowd", sql).trim().parse::<u64>().unwrap();
        let stored = || counted("SELECT count(*) FROM clampbook.changes");
        let cuts = || proxy.cuts.load(Ordering::Relaxed);
        let (before, least, most) = (pairs(), stored() + LEAST_STORED, cuts() + LEAST_CUTS);
        let changed = || before.lines().zip(pairs().lines()).filter(|(a, b)| a != b).count();
        let is_enough = || stored() >= least && cuts() >= most && changed() >= LEAST_PAIRS;
        while from.elapsed() < half || !is_enough() {
            assert!(from.elapsed() < half + LONGEST, "hardly anything goes on any more");
            std::thread::sleep(Duration::from_millis(100));
        }
    };
    goes_on();
    server.kill();
    server.start();
    goes_on();
    std::fs::write(folder.path().join(OVER), "").unwrap();
    let said = |child: &mut Child| {
        let mut out = String::new();
        std::io::Read::read_to_string(&mut child.stdout.take().unwrap(), &mut out).unwrap();
        assert!(child.wait().unwrap().success(), "{out}");
        let told = out.lines().filter_map(|line| line.split_once("told ").map(|(_, told)| told));
        told.map(str::to_owned).collect::<Vec<_>>()
    };
    // All are read at once, so that none waits for room to write.
    let said: Vec<Vec<String>> = std::thread::scope(|scope| {
        let said = &said;
        let both = writers.iter_mut().chain(&mut readers);
        let all: Vec<_> = both.map(|child| scope.spawn(move || said(child))).collect();
        all.into_iter().map(|one| one.join().unwrap()).collect()
    });
    // What waits on the benches goes on its way.
    proxy.heal();
    for number in 0..EACH {
        assert!(kept::at(&url).refresh(&bench_of("write", number), WAIT).unwrap().is_none());
    }
    assert!(kept::at(&direct).refresh(&here, WAIT).unwrap().is_none());
    let verdict = kept::at(&direct).verify(&here, WAIT).unwrap();
    assert!(verdict.is_whole() && verdict.skipped.is_none(), "{verdict:?}");
    let book = Book::open(&here).unwrap();
    let ends = ends_in(&book, &said);
    let reads: Vec<&String> =
        said.iter().flatten().filter(|told| told.starts_with("read")).collect();
    let cuts = proxy.cuts.load(Ordering::Relaxed);
    println!("{ends:#?}\n{reads:?}\n{cuts} connections were cut");
    for (what, how, times) in ends.keys() {
        let is_right = match how.as_str() {
            "stored" => *times == 1,
            "not" => *times == 0,
            _ => *times <= 1,
        };
        assert!(is_right, "{what} told to be `{how}` is there {times} times");
    }
    let stored = |what: &str| ends.get(&(what.to_owned(), "stored".to_owned(), 1)).copied();
    assert!(stored("change") >= Some(2 * LEAST_PAIRS) && stored("line") >= Some(20));
    let failed = ends.get(&("change".to_owned(), "not".to_owned(), 0));
    assert!(cuts >= 2 * LEAST_CUTS && failed.is_some(), "no change met a connection that ends");
    assert_eq!(reads.len() as u64, EACH);
}

//! Work done in a process of its own, so that it can be killed, or hang, or
//! spin, without harm to the tests.

use std::collections::{BTreeMap, HashMap};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

/// Does `work` on two threads until there is none left; prints and returns how
/// often each of the ends came that it tells of.
pub(crate) fn count_ends(work: impl Fn() -> Option<Vec<String>> + Sync) -> BTreeMap<String, u64> {
    let ends: Mutex<BTreeMap<String, u64>> = Mutex::default();
    let all = || {
        while let Some(found) = work() {
            for end in found {
                *ends.lock().unwrap().entry(end).or_default() += 1;
            }
        }
    };
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(all);
        }
    });
    let ends = ends.into_inner().unwrap();
    for (end, count) in &ends {
        println!("{count:5}  {end}");
    }
    ends
}

/// The variable that makes [`work`] do something.
const WORK: &str = "CLAMPBOOK_TEST_WORK";

/// Starts this test program again to do `work` with the folder `dir`.
pub(crate) fn start(work: &str, dir: &Path, number: u64) -> Child {
    Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "child::work", "--nocapture", "--test-threads=1"])
        .env(WORK, format!("{work} {number}"))
        .env("CLAMPBOOK_TEST_DIR", dir)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

/// Not a test of its own: does what [`start`] asked for, then leaves at once.
#[test]
fn work() {
    let Ok(asked) = std::env::var(WORK) else { return };
    let dir = std::env::var("CLAMPBOOK_TEST_DIR").unwrap();
    let (work, number) = asked.split_once(' ').unwrap();
    let number = number.parse().unwrap();
    match work {
        "change" => crate::kill::change(Path::new(&dir), number),
        "log" => crate::ledger::log_on(Path::new(&dir), number),
        "mend" => crate::damage::use_damaged(Path::new(&dir), number),
        "fill" => crate::full_disk::fill(Path::new(&dir), number),
        other => panic!("no work called {other}"),
    }
    // Leaves threads behind that a damaged book of record keeps busy.
    std::process::exit(0);
}

/// How many rounds a soak makes: a few in the normal run, as many as
/// CLAMPBOOK_SOAK says in a long one.
pub(crate) fn rounds(normal: u64) -> u64 {
    std::env::var("CLAMPBOOK_SOAK").ok().and_then(|n| n.parse().ok()).unwrap_or(normal)
}

/// A small generator of numbers (splitmix64), the same for the same seed.
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    /// A number below `below`.
    pub(crate) fn roll(&mut self, below: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % below.max(1) as u64) as usize
    }
}

/// The seeds of a soak: as many as [`rounds`], from CLAMPBOOK_SOAK_FROM on, so
/// that one that failed can be tried again.
pub(crate) fn seeds(normal: u64) -> std::ops::Range<u64> {
    let from = std::env::var("CLAMPBOOK_SOAK_FROM").ok().and_then(|n| n.parse().ok()).unwrap_or(0);
    from..from + rounds(normal)
}

/// Time that work took, without the time in which it was ready to run and the
/// machine gave its processors to others.
///
/// Taken off is that time of the thread that measures, of each thread of the
/// book of record (these work in turn), and of the one other thread that waited
/// longest. Threads are looked at every 50 ms, so that those that end count too.
/// Where the system does not tell (Linux does, in /proc/self/task/N/schedstat),
/// it is the plain time.
pub(crate) struct Stopwatch {
    began: Instant,
    waits: Arc<Mutex<HashMap<String, Wait>>>,
    stop: Arc<AtomicBool>,
}

/// How long a thread was ready and did not run.
struct Wait {
    in_turn: bool,
    first: Duration,
    last: Duration,
}

impl Stopwatch {
    pub(crate) fn start() -> Self {
        let waits: Arc<Mutex<HashMap<String, Wait>>> = Arc::default();
        let stop = Arc::new(AtomicBool::new(false));
        let me = std::fs::read_link("/proc/thread-self").ok();
        let me = me.and_then(|link| Some(link.file_name()?.to_str()?.to_owned()));
        look(&mut waits.lock().unwrap(), me.as_deref(), true);
        let (seen, stopped) = (Arc::clone(&waits), Arc::clone(&stop));
        std::thread::spawn(move || {
            while !stopped.load(Ordering::Relaxed) {
                look(&mut seen.lock().unwrap(), me.as_deref(), false);
                std::thread::sleep(Duration::from_millis(50));
            }
        });
        Self { began: Instant::now(), waits, stop }
    }

    pub(crate) fn took(self) -> Duration {
        let took = self.began.elapsed();
        self.stop.store(true, Ordering::Relaxed);
        let waits = self.waits.lock().unwrap();
        let waited = |wait: &Wait| wait.last.saturating_sub(wait.first);
        let in_turn: Duration = waits.values().filter(|wait| wait.in_turn).map(waited).sum();
        let others = waits.values().filter(|wait| !wait.in_turn).map(waited).max();
        took.saturating_sub(in_turn + others.unwrap_or_default())
    }
}

/// Looks at every thread; one that comes later has waited from nothing.
fn look(waits: &mut HashMap<String, Wait>, me: Option<&str>, at_first: bool) {
    let Ok(threads) = std::fs::read_dir("/proc/self/task") else { return };
    for thread in threads.filter_map(Result::ok) {
        let number = thread.file_name().to_string_lossy().into_owned();
        let read = |name: &str| std::fs::read_to_string(thread.path().join(name)).ok();
        let waited = read("schedstat").and_then(|text| text.split(' ').nth(1)?.trim().parse().ok());
        let Some(waited) = waited.map(Duration::from_nanos) else { continue };
        let wait = waits.entry(number).or_insert_with_key(|number| Wait {
            in_turn: Some(number.as_str()) == me
                || read("comm").is_some_and(|name| name.starts_with("book of record")),
            first: if at_first { waited } else { Duration::ZERO },
            last: waited,
        });
        wait.last = wait.last.max(waited);
    }
}

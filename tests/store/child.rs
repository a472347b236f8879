//! Work done in a process of its own, so that it can be killed, or hang, or
//! spin, without harm to the tests.

use std::collections::HashMap;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

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
        "log" => crate::bench::log_on(Path::new(&dir), number),
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

/// Time that work took, without the time in which it was ready to run and the
/// machine gave its processors to others: that is taken off for the thread that
/// measures and, of all others of the process, for the one that waited longest.
/// The two work in turn. Where the system does not tell (it does on Linux,
/// /proc/self/task/N/schedstat), it is the plain time.
pub(crate) struct Stopwatch {
    began: Instant,
    before: HashMap<String, Duration>,
}

impl Stopwatch {
    pub(crate) fn start() -> Self {
        Self { began: Instant::now(), before: waited_for_a_processor() }
    }

    pub(crate) fn took(&self) -> Duration {
        let took = self.began.elapsed();
        let me = std::fs::read_link("/proc/thread-self").ok();
        let me = me.and_then(|link| Some(link.file_name()?.to_str()?.to_owned()));
        let (mut mine, mut others) = (Duration::ZERO, Duration::ZERO);
        for (thread, now) in waited_for_a_processor() {
            let before = self.before.get(&thread).copied().unwrap_or_default();
            let waited = now.saturating_sub(before);
            let sum = if Some(thread) == me { &mut mine } else { &mut others };
            *sum = waited.max(*sum);
        }
        took.saturating_sub(mine + others)
    }
}

/// For each thread how long it was ready and did not run: the second number.
fn waited_for_a_processor() -> HashMap<String, Duration> {
    let Ok(threads) = std::fs::read_dir("/proc/self/task") else { return HashMap::new() };
    let each = threads.filter_map(Result::ok).filter_map(|thread| {
        let text = std::fs::read_to_string(thread.path().join("schedstat")).ok()?;
        let waited = text.split_whitespace().nth(1)?.parse().ok()?;
        Some((thread.file_name().to_str()?.to_owned(), Duration::from_nanos(waited)))
    });
    each.collect()
}

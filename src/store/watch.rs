//! Telling a thread that is stuck from one that waits for a slow disk.
//!
//! A damaged sled may loop without end; a sound one on a busy machine or a slow
//! disk may take seconds. On Linux the system says how much a thread has
//! computed and what it waits for; elsewhere only the clock can be asked.

use std::fs;
use std::time::Duration;

/// Time after which a thread that does not answer is looked at.
pub(crate) const PATIENCE: Duration =
    if cfg!(target_os = "linux") { Duration::from_secs(3) } else { Duration::from_secs(8) };

/// Time after which it is given up whatever it waits for.
pub(crate) const LONGEST: Duration = Duration::from_mins(1);

/// More computing than any one call needs.
const COMPUTING: Duration = Duration::from_millis(800);

/// A thread that is watched, by the system's number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Watched(u32);

/// What the system says of a thread.
struct ThreadState {
    /// `R` computing or wanting to, `D` waiting for a disk, `S` for anything else.
    state: char,
    computed: Duration,
}

impl Watched {
    /// The thread that calls this; none where the system does not tell.
    pub(crate) fn this_thread() -> Option<Self> {
        let link = fs::read_link("/proc/thread-self").ok()?;
        link.file_name()?.to_str()?.parse().ok().map(Self)
    }

    /// How much it has computed so far.
    pub(crate) fn computed(self) -> Option<Duration> {
        see(self.0).map(|seen| seen.computed)
    }

    /// Whether it is stuck: it has computed much since `before`, or it waits
    /// although no thread of this process waits for a disk.
    pub(crate) fn is_stuck(self, before: Duration) -> bool {
        let Some(seen) = see(self.0) else { return true };
        if seen.computed.saturating_sub(before) >= COMPUTING {
            return true;
        }
        seen.state == 'S' && !somebody_waits_for_a_disk()
    }
}

fn somebody_waits_for_a_disk() -> bool {
    let Ok(threads) = fs::read_dir("/proc/self/task") else { return false };
    threads.filter_map(Result::ok).any(|thread| {
        let number = thread.file_name().to_str().and_then(|name| name.parse().ok());
        number.and_then(see).is_some_and(|seen| seen.state == 'D')
    })
}

/// Reads /proc/self/task/N/stat (proc(5)): after the name in parentheses the
/// state, and as 12th and 13th number from there the hundredths of a second
/// computed in the program and in the system.
fn see(number: u32) -> Option<ThreadState> {
    let text = fs::read_to_string(format!("/proc/self/task/{number}/stat")).ok()?;
    let (_, rest) = text.rsplit_once(')')?;
    let mut words = rest.split_whitespace();
    let state = words.next()?.chars().next()?;
    let mut ticks = words.skip(10).map_while(|word| word.parse::<u64>().ok());
    let ticks = ticks.next()? + ticks.next()?;
    Some(ThreadState { state, computed: Duration::from_millis(ticks * 10) })
}

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use super::*;
    use std::sync::mpsc;
    use std::time::Instant;

    #[test]
    fn a_thread_that_loops_is_stuck_and_one_that_began_just_now_is_not() {
        let (told, number) = mpsc::channel();
        let looping = std::thread::spawn(move || {
            told.send(Watched::this_thread().unwrap()).unwrap();
            let start = Instant::now();
            // Long enough on a busy machine too; ends by itself.
            while see(Watched::this_thread().unwrap().0).unwrap().computed < COMPUTING * 2
                && start.elapsed() < Duration::from_mins(1)
            {}
        });
        let looping_one = number.recv().unwrap();
        let before = looping_one.computed().unwrap();
        assert!(!looping_one.is_stuck(before));
        while !looping.is_finished() && !looping_one.is_stuck(before) {
            std::thread::sleep(Duration::from_millis(20));
        }
        assert!(looping_one.is_stuck(before));
        looping.join().unwrap();
    }
}

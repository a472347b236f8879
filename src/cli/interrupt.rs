//! Ctrl-C: what a command has put on the disk for the time being goes with it.
//! The prompt reads Ctrl-C as a key and is not ended by it.

use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, Once, PoisonError};
use std::time::Duration;
use std::{fs, io, thread};

use crate::cli::exit::Code;
use crate::cli::progress;

/// Files and folders that nobody wants when the program ends.
static LEFT: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

static HELD: Mutex<()> = Mutex::new(());

/// How often something is tried to be removed, and the time between.
const TRIES: u32 = 200;
const BETWEEN: Duration = Duration::from_millis(1);

/// Has an interrupt end the program in order: no file and no half line stays behind.
pub(super) fn watch() {
    static ONCE: Once = Once::new();
    // Where signals cannot be had a file stays behind: that is no reason to stop.
    ONCE.call_once(|| drop(ctrlc::try_set_handler(end)));
}

/// Has `path` removed if the program is interrupted.
pub(super) fn remove_at_the_end(path: &Path) {
    watch();
    LEFT.lock().unwrap_or_else(PoisonError::into_inner).push(path.to_owned());
}

/// `path` is in its place, or gone.
pub(super) fn forget(path: &Path) {
    LEFT.lock().unwrap_or_else(PoisonError::into_inner).retain(|left| left != path);
}

/// Until it is dropped an interrupt waits: what is being made is made first, and
/// then removed.
pub(super) fn hold() -> MutexGuard<'static, ()> {
    HELD.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Removes `left`. What other threads are still writing into a folder comes late:
/// it is tried again.
fn remove(left: &Path) {
    for _ in 0..TRIES {
        let removed = if left.is_dir() { fs::remove_dir_all(left) } else { fs::remove_file(left) };
        match removed {
            Err(error) if error.kind() != io::ErrorKind::NotFound => thread::sleep(BETWEEN),
            _ => return,
        }
    }
}

fn end() {
    let _held = hold();
    progress::clear();
    for left in LEFT.lock().unwrap_or_else(PoisonError::into_inner).iter() {
        remove(left);
    }
    std::process::exit(Code::Interrupted as i32);
}

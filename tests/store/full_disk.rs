//! A full disk: a clear error, and the old book whole.
//!
//! Needs the right to mount a small file system in memory; without it the test
//! says that it was skipped.

use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Duration;

use clampbook::store::{Book, Change, StoreError, Writer, verify};

use crate::child::{self, rounds};
use crate::mend::{everything, start};
use crate::sample;

/// A small file system, unmounted when dropped.
struct Small(PathBuf);

impl Small {
    fn mount(at: &Path, size: &str) -> Option<Self> {
        fs::create_dir_all(at).unwrap();
        let options = format!("size={size},nr_inodes=200");
        let status =
            Command::new("mount").args(["-t", "tmpfs", "-o", &options, "tmpfs"]).arg(at).status();
        status.is_ok_and(|status| status.success()).then(|| Self(at.to_owned()))
    }
}

impl Drop for Small {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg("-l").arg(&self.0).status();
    }
}

/// The work of the child: changes the book while the disk has `room` bytes
/// left. Whatever happens, it must be told.
pub(crate) fn fill(dir: &Path, room: u64) {
    let mut all = everything(&Book::open(dir).unwrap());
    take_all_but(dir, room);
    let mut changed = sample::numbered(8_000);
    changed.key = all[5].key.clone();
    changed.verbatim = Some("x".repeat(40_000));
    let mut changes = vec![Change::from(changed.clone())];
    let added: Vec<_> = (4_000..4_040).map(sample::numbered).collect();
    changes.extend(added.iter().cloned().map(Change::from));
    let done = Writer::open(dir, Duration::ZERO).and_then(|mut writer| match room % 3 {
        0 => writer.compact(),
        1 => {
            let mut loader = writer.load()?;
            loader.push(changed.clone())?;
            added.iter().try_for_each(|fastener| loader.push(fastener.clone()))?;
            loader.finish()
        }
        _ => writer.apply(changes),
    });
    match &done {
        Err(error) => {
            let full =
                matches!(error, StoreError::Unchanged { .. }) && error.to_string().contains("full");
            assert!(full, "{error}");
            println!("refused");
        }
        Ok(_) if !room.is_multiple_of(3) => {
            all[5] = changed;
            all.extend(added);
        }
        Ok(_) => {}
    }
    // Old or new, never torn; readers need no room.
    let now = everything(&Book::open(dir).unwrap());
    assert!(now == all, "the book is torn; {done:?}");
    fs::remove_file(dir.with_file_name("ballast")).unwrap();
    // With room again all is well.
    let mut writer = Writer::open(dir, Duration::ZERO).unwrap();
    writer.apply(vec![Change::Remove(all[0].key.clone())]).unwrap();
    drop(writer);
    let verdict = verify(dir, Duration::ZERO).unwrap();
    assert!(verdict.is_whole() && verdict.skipped.is_none(), "{verdict:?}");
    println!("whole");
}

/// Fills the disk until `room` bytes are left.
fn take_all_but(dir: &Path, room: u64) {
    let path = dir.with_file_name("ballast");
    let mut file = File::create(&path).unwrap();
    let chunk = [7; 4096];
    let mut size = 0;
    while file.write_all(&chunk).is_ok() {
        size += chunk.len() as u64;
    }
    file.set_len(size.saturating_sub(room)).unwrap();
}

#[test]
fn a_full_disk_is_told_and_the_old_book_is_whole() {
    let folder = tempfile::tempdir().unwrap();
    let Some(_small) = Small::mount(&folder.path().join("small"), "8m") else {
        println!("skipped: no right to mount a small file system here");
        return;
    };
    let dir = folder.path().join("small").join("book");
    start(&dir, 300);
    let (tries, mut refused) = (rounds(10), 0);
    for at in 0..tries {
        let room = at * 900_000 / tries;
        let out = child::start("fill", &dir, room).wait_with_output().unwrap();
        let said = String::from_utf8_lossy(&out.stdout);
        let errors = String::from_utf8_lossy(&out.stderr);
        assert!(said.contains("whole"), "{room} bytes left: {said}{errors}");
        refused += u64::from(said.contains("refused"));
    }
    assert!(refused > 0, "the disk was never full");
}

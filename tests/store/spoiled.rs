//! Damaged books through the commands: an error or the right answer, never a
//! panic, a hang or a wrong answer, and a restore gives back what was whole.
//! `CLAMPBOOK_SOAK=300 cargo test --test store spoiled -- --nocapture`.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::sync::Mutex;
use std::time::{Duration, Instant};

use crate::child::{Dice, count_ends, seeds};
use crate::damage::{copy, spoil};
use crate::program::{clampbook, demo_shop, text};

/// No answer may take longer, on a busy machine too.
const LONGEST: Duration = Duration::from_mins(1);

fn files(dir: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files(&path));
        } else if !path.ends_with("lock") {
            found.push(path);
        }
    }
    found.sort();
    found
}

fn said(home: &Path, arguments: &[&str], told: &str) -> (String, String, i32) {
    let began = Instant::now();
    let (out, err) = (home.join("out"), home.join("err"));
    let mut child = clampbook(home)
        .args(arguments)
        .stdin(Stdio::null())
        .stdout(fs::File::create(&out).unwrap())
        .stderr(fs::File::create(&err).unwrap())
        .spawn()
        .unwrap();
    let status = loop {
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        if began.elapsed() > LONGEST {
            child.kill().unwrap();
            panic!("{told}: {arguments:?} hangs");
        }
        std::thread::sleep(Duration::from_millis(5));
    };
    // An answer names the book that it is of.
    let place = home.display().to_string();
    let read = |path: &Path| fs::read_to_string(path).unwrap().replace(&place, "HOME");
    let (out, err) = (read(&out), read(&err));
    assert!(!err.contains("panicked"), "{told}: {arguments:?}\n{err}");
    let code = status.code().unwrap_or_else(|| panic!("{told}: {arguments:?} was killed"));
    (out, err, code)
}

const QUESTIONS: [&[&str]; 4] = [
    &["find", "7/16-20", "--format", "csv"],
    &["export", "--as", "csv"],
    &["log", "show", "--format", "json"],
    &["list", "questions", "--format", "json"],
];
const EDIT: [&str; 3] = ["edit", "marlow-6-head-stud-long", "notes=state-two"];

/// What a sound book answers, and a damaged one after its restore.
type Answer = (String, String, i32);

/// Damages one file of a copy of the shop's book; says what became of it.
fn one_damage(shop: &Path, right: &[Answer], seed: u64) -> String {
    let home = tempfile::tempdir().unwrap();
    copy(shop, home.path());
    let book = home.path().join("data/clampbook");
    let mut dice = Dice(seed);
    let files = files(&book);
    // Each file in turn.
    let file = &files[seed as usize % files.len()];
    let told = format!("seed {seed}: {}", spoil(file, &mut dice));
    let kind = told.split(": ").nth(1).unwrap_or_default().to_owned();
    for (question, right) in QUESTIONS.iter().zip(right) {
        let (out, err, code) = said(home.path(), question, &told);
        match code {
            4 => assert!(err.contains("error: "), "{told}: {err}"),
            _ => assert_eq!((&out, code), (&right.0, right.2), "{told}: {question:?}"),
        }
    }
    let (_, _, verified) = said(home.path(), &["book", "verify"], &told);
    let (_, _, edited) = said(home.path(), &EDIT, &told);
    let (out, restored, code) = said(home.path(), &["book", "restore", "--yes"], &told);
    assert_eq!(code, 0, "{told}: {out}{restored}");
    let (out, err, code) = said(home.path(), &["book", "verify"], &told);
    assert_eq!(code, 0, "{told}: {out}{err}");
    let (found, _, code) = said(home.path(), QUESTIONS[1], &told);
    let is_right = found == right[1].0 || found.replace("state-two", "state-one") == right[1].0;
    assert!(code == 0 && is_right, "{told}: the fasteners are others after the restore");
    // The log and the notes are those of before, or what of them is lost is counted.
    let lost = restored.lines().find(|line| line.starts_with("damaged and lost: "));
    for at in [2, 3] {
        let (out, err, _) = said(home.path(), QUESTIONS[at], &told);
        assert!(out == right[at].0 || lost.is_some(), "{told}: lost without a word\n{out}{err}");
    }
    let (_, err, code) = said(home.path(), &EDIT, &told);
    assert!(matches!(code, 0 | 1), "{told}: {err}");
    let name = file.strip_prefix(&book).unwrap().display().to_string();
    let what = name.split(['-', '/']).next().unwrap_or_default();
    let lost = if lost.is_some() { ", part lost and counted" } else { "" };
    format!("{what}, {kind}: verify {verified}, edit {edited}, restored{lost}")
}

#[test]
fn damaged_books_give_an_error_or_the_right_answer() {
    let shop = demo_shop();
    for add in [
        &["edit", "marlow-6-head-stud-long", "notes=state-one"][..],
        &["log", "add", "head", "stud", "moly", "--done", "job=J"],
        &["find", "--save", "heads", "head"],
    ] {
        let done = clampbook(shop.path()).args(add).output().unwrap();
        assert_eq!(done.status.code(), Some(0), "{:?}", text(&done));
    }
    let right = QUESTIONS.map(|question| said(shop.path(), question, "sound"));
    let next = Mutex::new(seeds(20));
    let ends = count_ends(|| {
        let seed = next.lock().unwrap().next()?;
        Some(vec![one_damage(shop.path(), &right, seed)])
    });
    println!("{} damaged books", ends.values().sum::<u64>());
}

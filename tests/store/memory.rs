//! What a command holds does not grow with the book: the most memory that it takes at
//! all, by a small book and by one eight times as large.

use std::path::Path;
use std::process::Stdio;

use clampbook::store::Writer;

use crate::fault::lacks;
use crate::program::clampbook;
use crate::sample;

/// Fasteners of the small book. Answers in parts begin far below what it has.
const SMALL: u64 = 1_500;
const TIMES: u64 = 6;

fn book(dir: &Path, fasteners: u64) {
    let mut writer = Writer::create(dir).unwrap();
    let mut loader = writer.load().unwrap();
    (0..fasteners).try_for_each(|number| loader.push(sample::numbered(number))).unwrap();
    loader.finish().unwrap();
}

/// Peak of the program in MiB, as the system counts it.
fn peak(home: &Path, book: &Path, words: &str) -> u64 {
    let told = home.join("peak");
    let mut shell = std::process::Command::new("/usr/bin/time");
    let program = clampbook(home);
    shell.args(["-q", "-f", "%M", "-o"]).arg(&told).arg(program.get_program());
    shell.arg("--book").arg(book).args(words.split(' '));
    shell.current_dir(home).stdout(Stdio::null()).stderr(Stdio::null());
    for (name, value) in program.get_envs() {
        match value {
            Some(value) => shell.env(name, value),
            None => shell.env_remove(name),
        };
    }
    let code = shell.status().unwrap().code();
    assert!(matches!(code, Some(0 | 1)), "{words}: {code:?}");
    std::fs::read_to_string(told).unwrap().trim().parse::<u64>().unwrap() / 1024
}

#[test]
fn what_a_command_holds_does_not_grow_with_the_book() {
    if lacks("GNU time", Path::new("/usr/bin/time").exists()) {
        return;
    }
    let home = tempfile::tempdir().unwrap();
    let books = [("small", SMALL), ("large", SMALL * TIMES)].map(|(name, fasteners)| {
        let dir = home.path().join(name);
        book(&dir, fasteners);
        dir
    });
    // What the larger book may take more, in MiB: of an answer some thousand rows are held
    // before it is known to be a long one. Held whole it would take 25, the findings 6.
    for (words, more) in [
        ("find has thread --format csv", 12),
        ("find has thread", 12),
        ("check", 3),
        ("export --as csv", 3),
        ("find part note first 3", 3),
        ("edit no-such-key notes=x", 3),
    ] {
        let [small, large] = [&books[0], &books[1]].map(|book| peak(home.path(), book, words));
        println!("{small:4} {large:4} MiB  {words}");
        assert!(large <= small + more, "{words}: {small} MiB grew to {large}");
    }
}

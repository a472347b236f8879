//! Faults put into the built program: it is ended, or the disk says no, at each
//! call that changes or reads the disk. After each: the old or the new state of
//! the book and of the user's file, whole and writable; what was acknowledged is
//! there, what was refused is not, and the message says so.
//!
//! A few faults in the normal run; every one by
//! `CLAMPBOOK_SOAK=1000000 cargo test --test store fault -- --nocapture`.
//! `fault.c`, compiled here, stands between the program and the C library. A user's
//! file gets its name by a call that goes past that library: Debian's strace puts
//! the faults of that one in. Without a C compiler or strace a test says that it
//! was skipped; with CLAMPBOOK_FAULTS=required that is a failure.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::Mutex;
use std::time::Duration;

use clampbook::store::{Book, Change, Writer, verify};

use crate::child::{Dice, count_ends, rounds};
use crate::damage::copy;
use crate::program::{clampbook, demo_shop, text};
use crate::sample;

/// A command, the code that it ends with, and the file of the user's that it writes.
struct Case {
    name: &'static str,
    words: &'static str,
    code: i32,
    file: Option<&'static str>,
}

const fn changes(name: &'static str, words: &'static str) -> Case {
    Case { name, words, code: 0, file: None }
}

const fn writes(words: &'static str, file: &'static str, code: i32) -> Case {
    Case { name: words, words, code, file: Some(file) }
}

const FIRST_RUN: &str = "first run";

const CASES: [Case; 19] = [
    changes("edit", "edit marlow-6-head-stud-long notes=checked"),
    changes("edit lube", "edit lube moly k=0.12 source=own"),
    changes("add", "add assembly=Quill joint=head part=bolt thread=M10x1.5"),
    changes("import", "import more.csv"),
    changes("undo", "book undo --yes"),
    changes("set", "book set units=metric"),
    changes("log add", "log add head stud moly --done job=J lot=7"),
    changes("log correct", "log correct 1 lot=9"),
    changes("compact", "book compact"),
    changes("restore", "book restore --yes"),
    changes("restore backup", "book restore sound.jsonl --yes"),
    changes(FIRST_RUN, "list lubes --format json"),
    writes("book backup new.txt", "new.txt", 0),
    writes("book backup old.txt --replace", "old.txt", 0),
    writes("export --as csv --file new.txt", "new.txt", 0),
    writes("sheet joint head -o old.txt --replace", "old.txt", 0),
    writes("log export new.txt", "new.txt", 0),
    writes("import bad.csv --suggest-map new.txt", "new.txt", 0),
    writes(TAKE_GOOD, "old.txt", 3),
];

/// Writes the user's file and then changes the book.
const TAKE_GOOD: &str = "import bad.csv --take-good old.txt --replace";

/// What is done at a call.
#[derive(Clone, Copy)]
struct Kind {
    what: &'static str,
    /// See `fault.c`.
    fault: &'static str,
    /// Every later call fails too.
    stays: bool,
    /// The calls that only read, in place of those that change something.
    reads: bool,
}

const fn kind(what: &'static str, fault: &'static str, stays: bool) -> Kind {
    Kind { what, fault, stays, reads: false }
}

const KINDS: [Kind; 7] = [
    kind("kill", "kill", false),
    kind("torn write, kill", "torn", false),
    kind("full disk", "28", true),
    kind("full for a moment", "28", false),
    kind("error of the disk", "5", false),
    kind("disk gone", "5", true),
    Kind { what: "error in reading", fault: "5", stays: false, reads: true },
];

/// What may be left: the lines of a backup of the book, without the first and last,
/// which count generations; and the user's file.
#[derive(PartialEq)]
struct State {
    book: Option<Vec<String>>,
    file: Option<Vec<u8>>,
}

fn state(home: &Path, case: &Case) -> State {
    let file = case.file.and_then(|file| fs::read(home.join(file)).ok());
    State { book: contents(home), file }
}

fn contents(home: &Path) -> Option<Vec<String>> {
    let book = Book::open(&book_of(home)).ok()?;
    let mut bytes = Vec::new();
    book.backup(&mut bytes, Path::new("backup")).ok()?;
    let text = String::from_utf8(bytes).unwrap();
    let lines: Vec<String> = text.lines().map(str::to_owned).collect();
    Some(lines[1..lines.len() - 1].to_vec())
}

fn book_of(home: &Path) -> PathBuf {
    home.join("data/clampbook")
}

/// Whether a tool is missing here, which is said, unless it is required.
pub(crate) fn lacks(tool: &str, is_there: bool) -> bool {
    if !is_there {
        let wish = std::env::var("CLAMPBOOK_FAULTS").unwrap_or_default();
        assert_ne!(wish, "required", "CLAMPBOOK_FAULTS=required, but there is no {tool}");
        println!("skipped: no {tool}");
    }
    !is_there
}

struct Bench {
    library: PathBuf,
    /// A home with a book, and one without.
    shop: tempfile::TempDir,
    bare: tempfile::TempDir,
}

impl Bench {
    fn new() -> Option<Self> {
        let shop = demo_shop();
        let library = shop.path().join("fault.so");
        let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/store/fault.c");
        let compiled = Command::new("cc")
            .args(["-shared", "-fPIC", "-O1", "-o"])
            .args([&library, &source])
            .status();
        if lacks("C compiler", compiled.is_ok_and(|status| status.success())) {
            return None;
        }
        let sheet = "assembly,joint,part,thread,torque,lube\nQuill,main,cap bolt,M12x1.75,60 N.m,oil\n\
                     Quill,rod,bolt,M8x1.25,30 N.m,moly\n";
        fs::write(shop.path().join("more.csv"), sheet).unwrap();
        fs::write(shop.path().join("bad.csv"), format!("{sheet}Quill,x,y,M10x1.5,70 lb,oil\n"))
            .unwrap();
        fs::write(shop.path().join("old.txt"), "my notes").unwrap();
        let begin = [
            "log add head stud moly --done job=J",
            "edit marlow-6-head-stud-long notes=once",
            "book backup sound.jsonl",
            "edit marlow-6-head-stud-long notes=twice",
        ];
        for words in begin {
            let done = clampbook(shop.path()).args(words.split(' ')).output().unwrap();
            assert_eq!(done.status.code(), Some(0), "{words}: {:?}", text(&done));
        }
        Some(Self { library, shop, bare: tempfile::tempdir().unwrap() })
    }

    /// A copy of the home that `case` begins with.
    fn begin(&self, case: &Case) -> tempfile::TempDir {
        let home = tempfile::tempdir().unwrap();
        let from = if case.name == FIRST_RUN { &self.bare } else { &self.shop };
        copy(from.path(), home.path());
        home
    }

    fn run(&self, home: &Path, case: &Case, nth: u64, kind: Kind) -> Output {
        let mut command = clampbook(home);
        command
            .args(case.words.split(' '))
            .env("LD_PRELOAD", &self.library)
            .env("FAULT_NTH", nth.to_string())
            .env("FAULT_KIND", kind.fault)
            .env("FAULT_COUNT", home.join("count"));
        if kind.stays {
            command.env("FAULT_STAYS", "1");
        }
        if kind.reads {
            command.env("FAULT_READS", "1");
        }
        command.output().unwrap()
    }
}

/// A command without a fault: how many calls of each kind it makes, and what it leaves.
struct Sound {
    calls: [u64; KINDS.len()],
    old: State,
    new: State,
}

impl Sound {
    fn new(bench: &Bench, case: &Case) -> Self {
        let home = bench.begin(case);
        let old = state(home.path(), case);
        let done = bench.run(home.path(), case, 0, KINDS[0]);
        assert_eq!(done.status.code(), Some(case.code), "{}: {:?}", case.name, text(&done));
        let count = fs::read_to_string(home.path().join("count")).unwrap();
        let counts: Vec<u64> = count.split_whitespace().map(|n| n.parse().unwrap()).collect();
        assert!(counts.iter().all(|count| *count > 2), "{}: {count} calls", case.name);
        let calls = KINDS.map(|kind| counts[usize::from(kind.reads)]);
        let new = state(home.path(), case);
        assert!(old != new || ["compact", "restore"].contains(&case.name), "{}", case.name);
        Self { calls, old, new }
    }
}

/// Looks at what the fault `told` left in `home`; says how the program ended.
fn judge(case: &Case, sound: &Sound, home: &Path, done: &Output, told: &str) -> String {
    let out = String::from_utf8_lossy(&done.stdout);
    let err = String::from_utf8_lossy(&done.stderr);
    let code = done.status.code();
    let told = format!("{}, {told}: code {code:?}\n{out}{err}", case.name);
    assert!(!err.contains("panicked"), "{told}");
    if case.name == FIRST_RUN {
        assert!(!err.contains("as it was"), "there was no book: {told}");
        // There is no book, or a whole one: the next run sees every lube.
        let again = clampbook(home).args(case.words.split(' ')).output().unwrap();
        assert_eq!(again.status.code(), Some(0), "{told}\nthen {:?}", text(&again));
        assert!(contents(home) == sound.new.book, "{told}");
    } else {
        let now = state(home, case);
        assert!(now.book.is_some(), "no book is left: {told}");
        let (book_is_old, book_is_new) = (now.book == sound.old.book, now.book == sound.new.book);
        let (file_is_old, file_is_new) = (now.file == sound.old.file, now.file == sound.new.file);
        assert!(book_is_old || book_is_new, "neither the old nor the new state: {told}");
        assert!(file_is_old || file_is_new, "neither the old nor the new file: {told}");
        match code {
            None => {}
            Some(code) if code == case.code && !err.contains("error: ") => {
                assert!(book_is_new && file_is_new, "acknowledged and not there: {told}");
            }
            Some(5) if err.contains("not known yet") => {}
            Some(5) => assert!(book_is_new && err.contains("stored; but"), "{told}"),
            // 3: a file that is read cannot be.
            Some(3 | 4) => {
                assert!(book_is_old, "refused and there: {told}");
                assert!(err.contains("error: ") && !err.contains("stored; but"), "{told}");
                let is_of_the_file = case.file.is_some() && case.name != TAKE_GOOD;
                assert!(!is_of_the_file || !err.contains("as it was"), "no matter of it: {told}");
                let is_there = err.contains("it is written") || case.name == TAKE_GOOD;
                assert!(file_is_old || is_there, "refused and there: {told}");
            }
            Some(other) => panic!("it ended with {other}: {told}"),
        }
    }
    if case.file.is_none() || case.name == TAKE_GOOD {
        is_sound_and_writable(&book_of(home), &told);
    }
    code.map_or("killed".to_owned(), |code| format!("code {code}"))
}

fn is_sound_and_writable(dir: &Path, told: &str) {
    let mut writer = Writer::open(dir, Duration::from_secs(5))
        .unwrap_or_else(|error| panic!("it cannot be changed: {error}\n{told}"));
    let mut one = sample::numbered(1);
    one.key = "after-the-fault".to_owned();
    writer.apply(vec![Change::from(one)]).unwrap_or_else(|error| panic!("{error}\n{told}"));
    drop(writer);
    let verdict = verify(dir, Duration::from_secs(5)).unwrap();
    assert!(
        verdict.is_whole() && verdict.skipped.is_none() && !verdict.pending,
        "{verdict:?}\n{told}"
    );
    assert!(Book::open(dir).unwrap().fastener("after-the-fault").unwrap().is_some(), "{told}");
}

/// An error leaves no half file beside; a kill does.
fn has_no_rest(home: &Path, told: &str) {
    let names = fs::read_dir(home).unwrap().map(|entry| entry.unwrap().file_name());
    let rest = names.into_iter().find(|name| name.to_string_lossy().starts_with(".clampbook-"));
    assert_eq!(rest, None, "{told}");
}

fn try_fault(bench: &Bench, case: &Case, sound: &Sound, nth: u64, kind: Kind) -> String {
    let home = bench.begin(case);
    let done = bench.run(home.path(), case, nth, kind);
    let told = format!("{} at call {nth}", kind.what);
    let end = judge(case, sound, home.path(), &done, &told);
    if done.status.code().is_some() && !kind.stays {
        has_no_rest(home.path(), &format!("{}, {told}", case.name));
    }
    end
}

#[test]
fn no_fault_tears_a_change() {
    let Some(bench) = Bench::new() else { return };
    // Of each command one fault in the normal run.
    let wanted = rounds(1);
    let dice = Mutex::new(Dice(std::process::id().into()));
    let next = Mutex::new(CASES.iter());
    let calls: Mutex<BTreeMap<&str, [u64; 2]>> = Mutex::default();
    let ends = count_ends(|| {
        let case = next.lock().unwrap().next()?;
        let sound = Sound::new(&bench, case);
        calls.lock().unwrap().insert(case.name, [sound.calls[0], sound.calls[6]]);
        let mut faults: Vec<(u64, Kind)> = KINDS
            .iter()
            .zip(sound.calls)
            .flat_map(|(kind, calls)| (1..=calls).map(|nth| (nth, *kind)))
            .collect();
        while faults.len() as u64 > wanted {
            let at = dice.lock().unwrap().roll(faults.len());
            faults.swap_remove(at);
        }
        let end = |(nth, kind): (u64, Kind)| {
            let end = try_fault(&bench, case, &sound, nth, kind);
            format!("{}, {}: {end}", case.name, kind.what)
        };
        Some(faults.into_iter().map(end).collect())
    });
    let all: u64 = ends.values().sum();
    println!("{all} faults; calls that change, and that read: {:?}", calls.into_inner().unwrap());
    assert!(all >= CASES.len() as u64);
}

/// From the rename of `current` on the new state is the state: what of the last calls of
/// an edit fails does not take its files away, and is said as what it is.
#[test]
fn what_fails_last_leaves_what_is_stored() {
    let Some(bench) = Bench::new() else { return };
    let (case, kind) = (&CASES[0], KINDS[4]);
    let sound = Sound::new(&bench, case);
    let last = sound.calls[4];
    let ends: Vec<String> =
        (last - 9..=last).map(|nth| try_fault(&bench, case, &sound, nth, kind)).collect();
    let is_stored = |end: &&String| end.as_str() == "code 5";
    assert!(ends.iter().any(|end| is_stored(&end)), "none came after it was stored: {ends:?}");
}

/// A first run that is broken off leaves no book, or one with its lubes and strengths.
#[test]
fn a_first_run_broken_off_is_made_up_for() {
    let Some(bench) = Bench::new() else { return };
    let case = CASES.iter().find(|case| case.name == FIRST_RUN).unwrap();
    let sound = Sound::new(&bench, case);
    let ends: Vec<String> = (1..=sound.calls[0])
        .step_by(sound.calls[0] as usize / 8)
        .map(|nth| try_fault(&bench, case, &sound, nth, KINDS[0]))
        .collect();
    assert!(ends.iter().all(|end| end == "killed"), "{ends:?}");
}

/// The call that gives the user's file its name: ended there, or refused.
#[test]
fn no_fault_in_naming_a_file_leaves_a_part_of_it() {
    let strace = Command::new("strace").args(["-o", "/dev/null", "true"]).status();
    if lacks("strace", strace.is_ok_and(|status| status.success())) {
        return;
    }
    let Some(bench) = Bench::new() else { return };
    let mut faults: Vec<(&Case, &str)> = CASES
        .iter()
        .filter(|case| case.file.is_some())
        .flat_map(|case| ["signal=KILL", "error=EIO", "error=ENOSPC"].map(|fault| (case, fault)))
        .collect();
    let mut dice = Dice(std::process::id().into());
    while faults.len() as u64 > rounds(3) {
        faults.swap_remove(dice.roll(faults.len()));
    }
    for (case, fault) in &faults {
        let sound = Sound::new(&bench, case);
        let home = bench.begin(case);
        let plain = clampbook(home.path());
        let mut command = Command::new("strace");
        command
            .args(["-f", "-qq", "-o", "calls", "-e", "trace=renameat,renameat2"])
            .args(["-e", &format!("inject=renameat,renameat2:{fault}:when=1")])
            .arg(plain.get_program())
            .args(case.words.split(' '))
            .current_dir(home.path());
        for (name, value) in plain.get_envs() {
            match value {
                Some(value) => command.env(name, value),
                None => command.env_remove(name),
            };
        }
        let done = command.output().unwrap();
        let calls = fs::read_to_string(home.path().join("calls")).unwrap();
        assert!(calls.contains("renameat"), "{}: {calls}", case.name);
        let end = judge(case, &sound, home.path(), &done, fault);
        assert_ne!(done.status.code(), Some(case.code), "{}: {calls}", case.name);
        println!("{}, {fault}: {end}", case.name);
        if fault.starts_with("error") {
            has_no_rest(home.path(), case.name);
        }
    }
    println!("{} faults in naming a file", faults.len());
}

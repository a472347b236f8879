//! Faults put into the built program: it is ended, or the disk says no, at each
//! call that changes the disk. After each: the old or the new state, whole and
//! writable; what was acknowledged is there, what was refused is not.
//!
//! A few faults in the normal run; every one, some 4,000, by
//! `CLAMPBOOK_SOAK=1000000 cargo test --test store fault -- --nocapture`.
//! `fault.c`, compiled here, stands between the program and the system; where
//! there is no C compiler the test says that it was skipped.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::Mutex;
use std::time::Duration;

use clampbook::store::{Book, Change, Writer, verify};

use crate::child::{Dice, rounds};
use crate::damage::copy;
use crate::program::{clampbook, demo_shop, text};
use crate::sample;

/// What each command leaves in the book of a home, as the lines of a backup
/// without the first and last, which count generations.
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

/// The commands, with the words of each.
fn commands() -> Vec<(&'static str, Vec<&'static str>)> {
    let words = |line: &'static str| line.split(' ').collect();
    vec![
        ("edit", words("edit marlow-6-head-stud-long notes=checked")),
        ("add", words("add assembly=Quill joint=head part=bolt thread=M10x1.5")),
        ("import", words("import more.csv")),
        ("log add", words("log add head stud moly --done job=J lot=7")),
        ("compact", words("book compact")),
        ("restore", words("book restore --yes")),
        ("restore backup", words("book restore sound.jsonl --yes")),
        ("first run", words("list lubes --format json")),
    ]
}

/// A fault: the kind for `fault.c`, and whether it stays.
const KINDS: [(&str, &str, bool); 6] = [
    ("kill", "kill", false),
    ("torn write, kill", "torn", false),
    ("full disk", "28", true),
    ("full for a moment", "28", false),
    ("error of the disk", "5", false),
    ("disk gone", "5", true),
];

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
        if !compiled.is_ok_and(|status| status.success()) {
            println!("skipped: no C compiler to make the preload with");
            return None;
        }
        let sheet = "assembly,joint,part,thread,torque,lube\nQuill,main,cap bolt,M12x1.75,60 N.m,oil\n\
                     Quill,rod,bolt,M8x1.25,30 N.m,moly\n";
        fs::write(shop.path().join("more.csv"), sheet).unwrap();
        for add in
            ["log add head stud moly --done job=J", "edit marlow-6-head-stud-long notes=once"]
        {
            let done = clampbook(shop.path()).args(add.split(' ')).output().unwrap();
            assert_eq!(done.status.code(), Some(0), "{add}: {:?}", text(&done));
        }
        let done = clampbook(shop.path()).args(["book", "backup", "sound.jsonl"]).output().unwrap();
        assert_eq!(done.status.code(), Some(0), "{:?}", text(&done));
        Some(Self { library, shop, bare: tempfile::tempdir().unwrap() })
    }

    fn home_of(&self, name: &str) -> &Path {
        if name == "first run" { self.bare.path() } else { self.shop.path() }
    }

    /// A copy of the home that `name` begins with.
    fn begin(&self, name: &str) -> tempfile::TempDir {
        let home = tempfile::tempdir().unwrap();
        copy(self.home_of(name), home.path());
        home
    }

    fn run(&self, home: &Path, words: &[&str], nth: u64, kind: &str, stays: bool) -> Output {
        let mut command = clampbook(home);
        command
            .args(words)
            .env("LD_PRELOAD", &self.library)
            .env("FAULT_NTH", nth.to_string())
            .env("FAULT_KIND", kind)
            .env("FAULT_COUNT", home.join("count"));
        if stays {
            command.env("FAULT_STAYS", "1");
        }
        command.output().unwrap()
    }
}

/// A command without a fault: how many calls it makes, and what it leaves.
struct Sound {
    calls: u64,
    old: Option<Vec<String>>,
    new: Vec<String>,
}

fn sound(bench: &Bench, name: &str, words: &[&str]) -> Sound {
    let home = bench.begin(name);
    let old = contents(home.path());
    let done = bench.run(home.path(), words, 0, "kill", false);
    assert_eq!(done.status.code(), Some(0), "{name}: {:?}", text(&done));
    let calls = fs::read_to_string(home.path().join("count")).unwrap().trim().parse().unwrap();
    assert!(calls > 5, "{name}: {calls} calls");
    Sound { calls, old, new: contents(home.path()).unwrap() }
}

/// Puts one fault in and looks at what is left; says how the program ended.
fn try_fault(
    bench: &Bench,
    (name, words): (&str, &[&str]),
    sound: &Sound,
    nth: u64,
    (what, kind, stays): (&str, &str, bool),
) -> String {
    let home = bench.begin(name);
    let done = bench.run(home.path(), words, nth, kind, stays);
    let (out, err, code) = (
        String::from_utf8_lossy(&done.stdout).into_owned(),
        String::from_utf8_lossy(&done.stderr).into_owned(),
        done.status.code(),
    );
    let told = format!("{name}, {what} at call {nth}: code {code:?}\n{out}{err}");
    assert!(!err.contains("panicked"), "{told}");
    if name == "first run" {
        // There is no book, or a whole one: the next run sees every lube.
        let again = clampbook(home.path()).args(words).output().unwrap();
        assert_eq!(again.status.code(), Some(0), "{told}\nthen {:?}", text(&again));
        assert_eq!(contents(home.path()).as_ref(), Some(&sound.new), "{told}");
    } else {
        let now = contents(home.path()).unwrap_or_else(|| panic!("no book is left: {told}"));
        let (is_old, is_new) = (Some(&now) == sound.old.as_ref(), now == sound.new);
        assert!(is_old || is_new, "neither the old nor the new state: {told}");
        match code {
            Some(0) => assert!(is_new, "acknowledged and not there: {told}"),
            Some(5) if err.contains("not known yet") => {}
            Some(5) => assert!(is_new && err.contains("stored; but"), "{told}"),
            Some(4) => assert!(is_old, "refused and there: {told}"),
            None => {}
            Some(other) => panic!("it ended with {other}: {told}"),
        }
    }
    is_sound_and_writable(&book_of(home.path()), &told);
    match code {
        Some(code) => format!("code {code}"),
        None => "killed".to_owned(),
    }
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

#[test]
fn no_fault_tears_a_change() {
    let Some(bench) = Bench::new() else { return };
    // Of each command two faults in the normal run.
    let wanted = rounds(2);
    let dice = Mutex::new(Dice(std::process::id().into()));
    let mut work = Vec::new();
    for (name, words) in commands() {
        let sound = sound(&bench, name, &words);
        let mut faults: Vec<(u64, usize)> = (1..=sound.calls)
            .flat_map(|nth| (0..KINDS.len()).map(move |kind| (nth, kind)))
            .collect();
        while faults.len() as u64 > wanted {
            let at = dice.lock().unwrap().roll(faults.len());
            faults.swap_remove(at);
        }
        work.push((name, words, sound, faults));
    }
    let ends: Mutex<BTreeMap<String, u64>> = Mutex::default();
    let next = Mutex::new(work.iter().flat_map(|(name, words, sound, faults)| {
        faults.iter().map(move |fault| (*name, words, sound, *fault))
    }));
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                loop {
                    let Some((name, words, sound, (nth, kind))) = next.lock().unwrap().next()
                    else {
                        return;
                    };
                    let end = try_fault(&bench, (name, words), sound, nth, KINDS[kind]);
                    *ends
                        .lock()
                        .unwrap()
                        .entry(format!("{name}, {}: {end}", KINDS[kind].0))
                        .or_default() += 1;
                }
            });
        }
    });
    let ends = ends.into_inner().unwrap();
    for (end, count) in &ends {
        println!("{count:5}  {end}");
    }
    let all: u64 = ends.values().sum();
    println!(
        "{all} faults; calls of each command: {:?}",
        work.iter().map(|(name, _, sound, _)| (*name, sound.calls)).collect::<Vec<_>>()
    );
    assert!(all >= commands().len() as u64);
}

//! What stands where a file of a book should be: links, pipes, folders, another
//! user's files; and which book a command may touch at all.

use std::fs;
use std::os::unix::fs::{PermissionsExt as _, symlink};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use crate::damage::copy;
use crate::program::{clampbook, demo_shop, file, run, text};

fn book_of(home: &Path) -> PathBuf {
    home.join("data/clampbook")
}

/// Every byte of a folder, by name.
fn bytes_of(dir: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut found = Vec::new();
    for entry in fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(bytes_of(&path));
        } else {
            found.push((path.clone(), fs::read(&path).unwrap()));
        }
    }
    found.sort();
    found
}

const EDIT: [&str; 3] = ["edit", "marlow-6-head-stud-long", "notes=checked"];

#[test]
fn the_demo_stands_for_no_other_book() {
    let home = demo_shop();
    assert_eq!(run(home.path(), &["book", "backup", "b.jsonl"]).2, Some(0));
    let before = bytes_of(&book_of(home.path()));
    for arguments in [
        vec!["--demo", "book", "restore", "b.jsonl", "--yes"],
        vec!["--demo", "book", "restore", "--yes"],
        vec!["--demo", "book", "compact"],
        vec!["--demo", "find", "--save", "heads", "head"],
        vec!["--demo", "edit", "marlow-6-head-stud-long", "notes=x"],
        vec!["--demo", "import", "b.jsonl"],
    ] {
        let (_, err, code) = run(home.path(), &arguments);
        assert_eq!(code, Some(2), "{arguments:?} {err}");
        assert_eq!(bytes_of(&book_of(home.path())), before, "{arguments:?}");
    }
    // A damaged book of the user's is no matter of the demo's.
    fs::write(book_of(home.path()).join("current"), "spoiled").unwrap();
    assert_eq!(run(home.path(), &["--demo", "book", "verify"]).2, Some(0));
}

/// A snapshot of the engine that was broken off is no damage.
#[test]
fn a_broken_off_snapshot_of_the_engine_is_cleaned() {
    let home = demo_shop();
    let sleds = fs::read_dir(book_of(home.path())).unwrap().map(|entry| entry.unwrap().path());
    let sled = sleds.into_iter().find(|path| path.to_string_lossy().contains("sled-")).unwrap();
    // Above every whole one: the engine would open the last.
    fs::write(sled.join("snap.FFFFFFFFFFFFFFFF.generating"), "half").unwrap();
    let (_, err, code) = run(home.path(), &EDIT);
    assert_eq!(code, Some(0), "{err}");
    assert_eq!(run(home.path(), &["book", "verify"]).2, Some(0));
}

/// Nobody's link is followed, no pipe is waited for: what is there is refused or
/// replaced, and what a link points at stays as it is.
#[test]
fn a_link_a_pipe_or_a_folder_in_the_place_of_a_file_is_not_followed() {
    let sound = demo_shop();
    let names: Vec<String> = fs::read_dir(book_of(sound.path()))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| !name.starts_with("sled-"))
        .chain(["owner", "changing", "current.tmp", "lock"].map(str::to_owned))
        .collect();
    for name in names {
        for what in ["link", "pipe", "folder"] {
            let home = tempfile::tempdir().unwrap();
            copy(sound.path(), home.path());
            let place = book_of(home.path()).join(&name);
            let _ = fs::remove_file(&place);
            let target = home.path().join("target");
            fs::write(&target, "of somebody else").unwrap();
            match what {
                "link" => symlink(&target, &place).unwrap(),
                "pipe" => {
                    assert!(Command::new("mkfifo").arg(&place).status().unwrap().success());
                }
                _ => fs::create_dir(&place).unwrap(),
            }
            for arguments in [&["find", "head"][..], &EDIT, &["book", "verify"]] {
                let began = Instant::now();
                let mut child =
                    clampbook(home.path()).args(arguments).stdout(Stdio::null()).spawn().unwrap();
                let code = loop {
                    if let Some(status) = child.try_wait().unwrap() {
                        break status.code();
                    }
                    if began.elapsed() > Duration::from_mins(1) {
                        child.kill().unwrap();
                        panic!("{name} is a {what}: {arguments:?} waits for it");
                    }
                    std::thread::sleep(Duration::from_millis(10));
                };
                assert!(matches!(code, Some(0..=5)), "{name} is a {what}: {arguments:?} {code:?}");
            }
            assert_eq!(fs::read_to_string(&target).unwrap(), "of somebody else", "{name} {what}");
        }
    }
}

/// In a folder that a group may write in, so are the files, whatever the umask.
#[test]
fn in_a_groups_folder_the_group_may_write_the_files() {
    let home = tempfile::tempdir().unwrap();
    let dir = home.path().join("shared");
    fs::create_dir(&dir).unwrap();
    fs::set_permissions(&dir, fs::Permissions::from_mode(0o2775)).unwrap();
    let script = format!(
        "umask 022; P={}; $P --book shared import {} >/dev/null && \
         $P --book shared edit marlow-6-head-stud-long notes=x >/dev/null && \
         $P --book shared log add head stud moly --done job=J >/dev/null",
        env!("CARGO_BIN_EXE_clampbook"),
        file("seed-data/demo.csv").display()
    );
    let mut shell = Command::new("sh");
    shell.args(["-c", &script]).current_dir(home.path()).env("HOME", home.path());
    let done = shell.output().unwrap();
    assert!(done.status.success(), "{:?}", text(&done));
    let mut stack = vec![dir];
    while let Some(dir) = stack.pop() {
        for entry in fs::read_dir(dir).unwrap() {
            let path = entry.unwrap().path();
            let mode = fs::metadata(&path).unwrap().permissions().mode();
            assert_eq!(mode & 0o060, 0o060, "{} has mode {mode:o}", path.display());
            if path.is_dir() {
                stack.push(path);
            }
        }
    }
}

/// What could not be looked at is not called whole.
#[test]
fn verify_says_when_it_could_not_look() {
    let home = demo_shop();
    let lock = fs::File::options().write(true).open(book_of(home.path()).join("lock")).unwrap();
    lock.lock().unwrap();
    let (out, err, code) = run(home.path(), &["book", "verify"]);
    assert_eq!(code, Some(4), "{out}{err}");
    assert!(!out.contains("all of it is whole") && err.contains("was not looked at"), "{out}{err}");
    drop(lock);
    assert_eq!(run(home.path(), &["book", "verify"]).2, Some(0));
}

/// The code of the work counts, whoever reads the output.
#[test]
fn a_closed_pipe_keeps_the_code_of_the_work() {
    let home = demo_shop();
    fs::write(home.path().join("bad.csv"), "assembly,torque\nMarlow 6,60 parsecs\n").unwrap();
    for (arguments, expected) in [
        (&["import", "bad.csv"][..], Some(3)),
        (&["find", "no-such-word"], Some(1)),
        (&["find", "head"], Some(0)),
    ] {
        let mut child =
            clampbook(home.path()).args(arguments).stdout(Stdio::piped()).spawn().unwrap();
        // Closed before anything is read.
        drop(child.stdout.take());
        assert_eq!(child.wait().unwrap().code(), expected, "{arguments:?}");
    }
}

/// After a change is stored nothing says that it is not, whichever command made it:
/// made again it would be there twice. Where nothing was stored nothing says that it was.
#[test]
fn output_that_cannot_be_written_after_a_change_says_that_it_is_stored() {
    let shop = demo_shop();
    let sheet = "assembly,joint,part,thread,torque\nQuill,rod,bolt,M8x1.25,30 N.m\n";
    fs::write(shop.path().join("more.csv"), sheet).unwrap();
    for words in ["log add head stud moly --done job=J", "edit marlow-6-head-stud-long notes=once"]
    {
        let (_, err, code) = run(shop.path(), &words.split(' ').collect::<Vec<_>>());
        assert_eq!(code, Some(0), "{words}: {err}");
    }
    let changes = [
        "edit marlow-6-head-stud-long notes=checked",
        "edit marlow-6-head-stud-long --remove --yes",
        "edit lube moly k=0.12 source=own",
        "add assembly=Quill joint=head part=bolt thread=M10x1.5",
        "add wrench W9 low=20N.m high=100N.m graduation=1N.m",
        "import more.csv",
        "book undo --yes",
        "book set units=metric",
        "book compact",
        "book restore --yes",
        "log add head stud moly --done job=J",
        "log correct 1 lot=9",
    ];
    let reads =
        ["find head", "list lubes", "log show", "export --as csv", "import more.csv --dry-run"];
    let all = changes.iter().map(|words| (words, 5)).chain(reads.iter().map(|words| (words, 4)));
    for (words, expected) in all {
        let home = tempfile::tempdir().unwrap();
        copy(shop.path(), home.path());
        let before = run(home.path(), &["book", "backup", "-"]).0;
        let full = fs::File::options().write(true).open("/dev/full").unwrap();
        let done = clampbook(home.path()).args(words.split(' ')).stdout(full).output().unwrap();
        let (_, err, code) = text(&done);
        assert_eq!(code, Some(expected), "{words}: {err}");
        let says_stored = err.contains("stored; but output cannot be written");
        let is_changed = run(home.path(), &["book", "backup", "-"]).0 != before;
        assert_eq!((says_stored, is_changed), (expected == 5, expected == 5), "{words}: {err}");
    }
}

/// Ctrl-C takes the throw-away book with it.
#[test]
fn an_interrupted_demo_leaves_no_folder() {
    let home = tempfile::tempdir().unwrap();
    let tmp = home.path().join("tmp");
    fs::create_dir(&tmp).unwrap();
    // SIGINT as it is by default: tests in the background of a shell ignore it.
    let mut child = Command::new("env")
        .args(["--default-signal=INT", env!("CARGO_BIN_EXE_clampbook"), "--demo"])
        .env("HOME", home.path())
        .env("TMPDIR", &tmp)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    // The folder shows that the book is there or being made; the program then waits
    // for a question.
    while fs::read_dir(&tmp).unwrap().next().is_none() {
        assert_eq!(child.try_wait().unwrap(), None);
        std::thread::yield_now();
    }
    // To wait closes it, which would end the program as well.
    let input = child.stdin.take();
    let killed = Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
    assert!(killed.success());
    assert_eq!(child.wait().unwrap().code(), Some(130));
    drop(input);
    assert_eq!(fs::read_dir(&tmp).unwrap().count(), 0);
}

/// Characters that move the cursor or hide others reach no terminal.
#[test]
fn no_stream_that_a_person_reads_has_control_characters() {
    let home = demo_shop();
    let evil = "\u{1b}]0;x\u{7}\u{202e}\u{200b}y";
    let name = format!("{evil}.csv");
    fs::write(home.path().join(&name), "assembly,torque\nMarlow 6,60 parsecs\n").unwrap();
    let cases: Vec<Vec<&str>> = vec![
        vec!["import", &name],
        vec!["import", "--no-such-option", evil],
        vec!["find", evil],
        vec!["edit", evil, "notes=x"],
        vec!["list", evil],
        vec!["--book", evil, "find", "head"],
        vec!["export", "--as", "csv", "--file", evil],
        vec!["book", "backup", evil],
        vec!["calc", evil],
        vec!["thread", evil],
        vec!["log", "add", "head", "stud", "moly", evil],
        vec!["add", "assembly=Quill", "joint=head", evil],
    ];
    for arguments in cases {
        let (out, err, _) = run(home.path(), &arguments);
        for stream in [&out, &err] {
            let hidden = stream.chars().find(|character| {
                (character.is_control() && !matches!(character, '\n' | '\t'))
                    || matches!(character, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}')
            });
            assert_eq!(hidden, None, "{arguments:?}\n{stream:?}");
        }
    }
    // Who holds the book says so in a file that anybody may write.
    let lock = fs::File::options().write(true).open(book_of(home.path()).join("lock")).unwrap();
    lock.lock().unwrap();
    fs::write(book_of(home.path()).join("owner"), format!("{evil}\n")).unwrap();
    let (_, err, code) = run(home.path(), &EDIT);
    assert_eq!(code, Some(4));
    assert!(err.contains("\\u{202e}") && !err.contains('\u{202e}'), "{err:?}");
}

//! Files of the user's that a command writes: none is replaced unasked, none
//! is ever half there, a link is refused, a pipe and a device are written
//! straight.

use std::fs;
use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::Stdio;

use crate::program::{clampbook, demo_shop, run, text};

/// Each command that writes a file, with the place of its name.
fn commands(file: &str) -> Vec<Vec<String>> {
    let words = |line: &str| line.split(' ').map(|word| word.replace("FILE", file)).collect();
    [
        "export --as csv --file FILE",
        "book backup FILE",
        "sheet joint head -o FILE",
        "import bad.csv --suggest-map FILE",
        "import bad.csv --take-good FILE",
        "log export FILE",
    ]
    .map(words)
    .to_vec()
}

fn home() -> tempfile::TempDir {
    let home = demo_shop();
    let sheet = "assembly,joint,part,thread,torque\nMarlow 6,x,y,M10x1.5,70 lb\n";
    fs::write(home.path().join("bad.csv"), sheet).unwrap();
    home
}

fn said(home: &Path, arguments: &[String]) -> (String, String, Option<i32>) {
    run(home, &arguments.iter().map(String::as_str).collect::<Vec<_>>())
}

/// What lies in the home besides its data.
fn listing(home: &Path) -> Vec<String> {
    let entries = fs::read_dir(home).unwrap().map(|entry| entry.unwrap().file_name());
    let mut names: Vec<String> = entries.map(|name| name.into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn a_file_is_replaced_only_when_that_is_said() {
    let home = home();
    for command in commands("mine.txt") {
        let mine = home.path().join("mine.txt");
        fs::write(&mine, "my notes").unwrap();
        let before = listing(home.path());
        let (out, err, code) = said(home.path(), &command);
        assert_eq!((out.as_str(), code), ("", Some(2)), "{command:?} {err}");
        assert!(err.contains("mine.txt is there already"), "{command:?} {err}");
        assert_eq!(fs::read_to_string(&mine).unwrap(), "my notes", "{command:?}");
        let replacing = [command.clone(), vec!["--replace".to_owned()]].concat();
        let (_, err, code) = said(home.path(), &replacing);
        assert!(matches!(code, Some(0 | 1 | 3)), "{replacing:?} {code:?} {err}");
        assert_ne!(fs::read_to_string(&mine).unwrap(), "my notes", "{replacing:?}");
        assert_eq!(listing(home.path()), before, "{replacing:?}");
    }
}

/// Even the file that is being imported.
#[test]
fn the_file_that_is_read_is_not_written_over() {
    let home = home();
    let bad = fs::read_to_string(home.path().join("bad.csv")).unwrap();
    for option in ["--suggest-map", "--take-good"] {
        let (_, err, code) = run(home.path(), &["import", "bad.csv", option, "bad.csv"]);
        assert_eq!(code, Some(2), "{err}");
        assert_eq!(fs::read_to_string(home.path().join("bad.csv")).unwrap(), bad);
    }
}

#[test]
fn a_link_and_a_folder_are_refused() {
    let home = home();
    fs::write(home.path().join("target"), "of somebody").unwrap();
    symlink("target", home.path().join("link")).unwrap();
    symlink("nowhere", home.path().join("dangling")).unwrap();
    fs::create_dir(home.path().join("folder")).unwrap();
    for (name, what) in
        [("link", "is a link"), ("dangling", "is a link"), ("folder", "is a folder")]
    {
        for command in commands(name) {
            let command = [command, vec!["--replace".to_owned()]].concat();
            let (_, err, code) = said(home.path(), &command);
            assert_eq!(code, Some(2), "{command:?} {err}");
            assert!(err.contains(what), "{command:?} {err}");
        }
    }
    assert_eq!(fs::read_to_string(home.path().join("target")).unwrap(), "of somebody");
    assert!(!home.path().join("nowhere").exists());
}

#[test]
fn a_device_and_a_pipe_are_written_straight() {
    let home = home();
    for command in commands("/dev/full") {
        let (_, err, code) = said(home.path(), &command);
        let is_empty = command[0] == "log";
        assert!(code == Some(4) || is_empty, "{command:?} {code:?} {err}");
    }
    for command in commands("/dev/stdout") {
        let (out, err, code) = said(home.path(), &command);
        assert!(!out.is_empty(), "{command:?} {code:?} {err}");
    }
    let pipe = home.path().join("pipe");
    assert!(std::process::Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    let mut export = clampbook(home.path());
    export.args(["export", "--as", "csv", "--file", "pipe"]).stdout(Stdio::piped());
    let child = export.spawn().unwrap();
    let read = fs::read_to_string(&pipe).unwrap();
    let (_, err, code) = text(&child.wait_with_output().unwrap());
    assert_eq!(code, Some(0), "{err}");
    assert!(read.starts_with("Key,Assembly,"), "{read:.60}");
}

/// The mode of a new file is that of the user's files, the mode of a replaced
/// one stays.
#[test]
fn modes_are_those_of_the_users_files() {
    use std::os::unix::fs::PermissionsExt as _;
    let home = home();
    let mode =
        |name: &str| fs::metadata(home.path().join(name)).unwrap().permissions().mode() & 0o777;
    fs::write(home.path().join("usual"), "").unwrap();
    assert_eq!(run(home.path(), &["book", "backup", "new"]).2, Some(0));
    assert_eq!(mode("new"), mode("usual"));
    fs::set_permissions(home.path().join("new"), fs::Permissions::from_mode(0o600)).unwrap();
    assert_eq!(run(home.path(), &["book", "backup", "new", "--replace"]).2, Some(0));
    assert_eq!(mode("new"), 0o600);
}

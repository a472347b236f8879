//! The program from outside: run in a home of its own, with a fixed clock and width,
//! so that nothing of this machine shows in what it prints.

#![allow(dead_code)] // each group uses its part

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// The program, told of no home and no book but `home`.
pub(crate) fn clampbook(home: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_clampbook"));
    command
        .current_dir(home)
        .env("HOME", home)
        .env("XDG_DATA_HOME", home.join("data"))
        .env("XDG_STATE_HOME", home.join("state"))
        .env("COLUMNS", "80")
        .env("TZ", "UTC")
        .env("CLAMPBOOK_NOW", "2026-05-04T10:20:00Z")
        .env("CLAMPBOOK_WHO", "jo")
        .env_remove("CLAMPBOOK_DIR")
        .env_remove("NO_COLOR");
    command
}

/// Standard output, standard error and the exit code.
pub(crate) fn text(output: &Output) -> (String, String, Option<i32>) {
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).expect("UTF-8");
    (text(&output.stdout), text(&output.stderr), output.status.code())
}

/// What `arguments` print, run in `home` on the book there.
pub(crate) fn run(home: &Path, arguments: &[&str]) -> (String, String, Option<i32>) {
    text(&clampbook(home).args(arguments).output().expect("the program"))
}

/// The same with something on standard input.
pub(crate) fn fed(home: &Path, arguments: &[&str], input: &str) -> (String, String, Option<i32>) {
    let mut command = clampbook(home);
    command.args(arguments).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().expect("the program");
    child.stdin.take().expect("its input").write_all(input.as_bytes()).expect("read by it");
    text(&child.wait_with_output().expect("its end"))
}

/// A file of the project.
pub(crate) fn file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

/// A home whose book has the demo shop in it, which may be written to.
pub(crate) fn demo_shop() -> tempfile::TempDir {
    let home = tempfile::tempdir().expect("a folder");
    let (out, err, code) =
        run(home.path(), &["import", file("seed-data/demo.csv").to_str().expect("UTF-8")]);
    assert_eq!(code, Some(0), "{out}{err}");
    home
}

//! Every `$` line of a `console` block in the documents is run, and what it
//! prints must be what the document shows.
//!
//! `CLAMPBOOK_BLESS=1 cargo test --test documents` rewrites the documents after
//! a change that was meant; read the difference before committing it.

use std::fs;
use std::os::unix::fs::symlink;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Documents with commands in them, from the root of the project.
const DOCUMENTS: [&str; 2] = ["README.md", "grammar/questions.md"];

/// Commands that the documents show but a test must not start: they run the
/// tests, or need a person.
const NOT_RUN: [&str; 2] = ["cargo test", "cargo install"];

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// A folder as a fresh clone, as far as the documents name its files, with the program
/// under its own name.
fn workshop() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    symlink(env!("CARGO_BIN_EXE_clampbook"), folder.path().join("clampbook")).expect("a link");
    symlink(root().join("seed-data"), folder.path().join("seed-data")).expect("a link");
    folder
}

/// What `line` prints, both streams in order, run by a plain shell at 80
/// columns, and its exit code if it is not 0.
fn run(line: &str, folder: &Path) -> String {
    let line = line.replace("cargo run --", "clampbook");
    let path = std::env::var("PATH").unwrap_or_default();
    let output = Command::new("sh")
        .args(["-c", &format!("exec 2>&1; {line}")])
        .current_dir(folder)
        .env("PATH", format!("{}:{path}", folder.display()))
        .env("COLUMNS", "80")
        .env("HOME", folder)
        .env("CLAMPBOOK_WHO", "bench")
        .env("CLAMPBOOK_NOW", "2026-05-04T12:00:00Z")
        .env("TZ", "UTC")
        .env_remove("CLAMPBOOK_DIR")
        .output()
        .expect("a shell");
    let text = String::from_utf8_lossy(&output.stdout);
    let text: Vec<&str> = text.trim_end().lines().map(str::trim_end).collect();
    text.join("\n")
}

/// The document with the output under each `$` line as it is printed now.
fn executed(document: &str, folder: &Path) -> (String, usize) {
    let mut out: Vec<String> = Vec::new();
    let mut commands = 0;
    let mut lines = document.lines().peekable();
    let mut inside = false;
    while let Some(line) = lines.next() {
        out.push(line.to_owned());
        if line.starts_with("```") {
            inside = line == "```console";
            continue;
        }
        let Some(command) = line.strip_prefix("$ ").filter(|_| inside) else { continue };
        let mut shown = Vec::new();
        while let Some(next) = lines.peek() {
            if next.starts_with("```") || next.starts_with("$ ") {
                break;
            }
            shown.push(lines.next().unwrap_or_default().to_owned());
        }
        if NOT_RUN.iter().any(|skipped| command.starts_with(skipped)) {
            out.extend(shown);
            continue;
        }
        commands += 1;
        let printed = run(command, folder);
        out.extend(printed.lines().map(str::to_owned));
        if shown.last().is_some_and(String::is_empty) {
            out.push(String::new());
        }
    }
    (out.join("\n") + "\n", commands)
}

#[test]
fn every_command_prints_what_the_document_shows() {
    for name in DOCUMENTS {
        let path = root().join(name);
        let document = fs::read_to_string(&path).expect("the document");
        let folder = workshop();
        let (now, commands) = executed(&document, folder.path());
        assert!(commands > 0, "{name} shows no command");
        if std::env::var_os("CLAMPBOOK_BLESS").is_some() {
            fs::write(&path, &now).expect("the document");
        } else if now != document {
            let differs = document.lines().zip(now.lines()).position(|(old, new)| old != new);
            let at = differs.unwrap_or(0);
            let part = |text: &str| text.lines().skip(at).take(12).collect::<Vec<_>>().join("\n");
            panic!("{name}, line {}: shows\n{}\n\nprints\n{}", at + 1, part(&document), part(&now));
        }
    }
}

/// A newcomer reads it to the end.
#[test]
fn the_readme_is_short() {
    let readme = fs::read_to_string(root().join("README.md")).expect("README.md");
    assert!(readme.lines().count() <= 250, "{} lines", readme.lines().count());
}

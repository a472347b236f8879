//! The sixty questions of grammar/sixty.md, each run on one book of the demo shop.

use std::path::Path;
use std::process::{Command, Output};

/// Runs `line` after the program's name, by a plain shell, on the book in `home`.
fn run(home: &Path, line: &str) -> Output {
    let mut command = Command::new("sh");
    command.args(["-c", &format!("exec \"$0\" {line}"), env!("CARGO_BIN_EXE_clampbook")]);
    command.current_dir(home).env("HOME", home).env("XDG_DATA_HOME", home.join("data"));
    command.env_remove("CLAMPBOOK_DIR").output().expect("a shell")
}

/// Why a line of the table is not as it says; none if it is.
fn wrong(home: &Path, typed: &str, ends: &str) -> Option<String> {
    let is_find = typed.starts_with("find ") && !typed.contains("--why");
    let line = if is_find { format!("--format json {typed}") } else { typed.to_owned() };
    let output = run(home, &line);
    let (code, rows) = ends.split_once(',').unwrap_or((ends, ""));
    let found = output.status.code().expect("an exit code").to_string();
    if found != code.trim() {
        let message = String::from_utf8_lossy(&output.stderr).into_owned();
        return Some(format!("ends with {found}, not {code}: {message}"));
    }
    let has_rows = if is_find {
        let json: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
        let list = json.get("rows").or_else(|| json.get("groups")).expect("rows or groups");
        !list.as_array().expect("a list").is_empty()
    } else {
        let page = typed.split_once("--output ").map(|(_, file)| home.join(file));
        page.map_or(!output.stdout.is_empty(), |page| page.exists())
    };
    (rows.trim() == "rows" && !has_rows).then(|| "no rows".to_owned())
}

#[test]
fn every_line_ends_as_the_table_says() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let home = tempfile::tempdir().expect("a folder");
    let demo = root.join("seed-data/demo.csv");
    let import = run(home.path(), &format!("import '{}'", demo.display()));
    assert_eq!(import.status.code(), Some(0), "the demo shop");

    let page = std::fs::read_to_string(root.join("grammar/sixty.md")).expect("the page");
    let (_, before) = page.split_once("```\n").expect("what is entered first");
    let (before, _) = before.split_once("```").expect("the end of it");
    for line in before.replace("\\\n", " ").lines() {
        let line = line.strip_prefix("clampbook ").expect("a command of the program");
        let output = run(home.path(), line);
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(0), "{line}: {said}");
    }
    let (mut number, mut wrongs) = (0, Vec::new());
    for line in page.lines().filter(|line| line.starts_with("| ")) {
        let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
        let [no, _, typed, ends] = cells[..] else { panic!("not four cells: {line}") };
        let Ok(no) = no.parse::<usize>() else { continue };
        number += 1;
        assert_eq!(no, number, "the numbers run on");
        let typed = typed.trim_matches('`');
        if typed == "-" {
            assert!(!ends.is_empty(), "{no} says what it waits for");
            continue;
        }
        let typed = typed.replace("seed-data", &root.join("seed-data").display().to_string());
        if let Some(why) = wrong(home.path(), &typed, ends) {
            wrongs.push(format!("{no} `{typed}` {why}"));
        }
    }
    assert_eq!(number, 60);
    assert!(wrongs.is_empty(), "{}", wrongs.join("\n"));
}

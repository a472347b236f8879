//! The tables of grammar/questions.md: each question finds as many rows in the demo
//! shop as its last cell says.

use std::path::Path;
use std::process::Command;

/// How many rows or groups `question` finds.
fn found(home: &Path, question: &str) -> usize {
    let mut command = Command::new(env!("CARGO_BIN_EXE_clampbook"));
    command.args(["--demo", "--format", "json", "find", question]).env("HOME", home);
    let output = command.env_remove("CLAMPBOOK_DIR").output().expect("the program");
    let said = String::from_utf8_lossy(&output.stderr);
    let json: serde_json::Value =
        serde_json::from_slice(&output.stdout).unwrap_or_else(|_| panic!("{question}: {said}"));
    let list = json.get("rows").or_else(|| json.get("groups")).and_then(|list| list.as_array());
    list.expect("rows or groups").len()
}

#[test]
fn each_question_of_the_tables_finds_so_many_rows() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("grammar/questions.md");
    let page = std::fs::read_to_string(&path).expect("the page");
    let home = tempfile::tempdir().expect("a folder");
    let (mut checked, mut wrong) = (0, Vec::new());
    for line in page.lines() {
        let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
        let [question, what, rows] = cells[..] else { continue };
        let Ok(rows) = rows.parse::<usize>() else { continue };
        checked += 1;
        let now = found(home.path(), question.trim_matches('`'));
        if now != rows || now == 0 {
            wrong.push(format!("| {question} | {what} | {now} |"));
        }
    }
    assert!(checked >= 20, "only {checked} questions were found in the tables");
    assert!(wrong.is_empty(), "these find other rows now:\n{}", wrong.join("\n"));
}

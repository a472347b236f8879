//! The program as a person runs it, and numbers that are the same every time.

use std::process::Command;

use serde_json::Value;

/// What `clampbook ARGS --format json` answers, whatever its exit code.
pub(crate) fn json(args: &[&str]) -> Value {
    let output = Command::new(env!("CARGO_BIN_EXE_clampbook"))
        .args(args)
        .args(["--demo", "--format", "json"])
        .output()
        .expect("the program runs");
    let text = String::from_utf8_lossy(&output.stdout);
    serde_json::from_str(&text).unwrap_or_else(|error| {
        panic!("{args:?}: {error}: {text}{}", String::from_utf8_lossy(&output.stderr))
    })
}

/// The same as a table of 100 columns.
pub(crate) fn table(args: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_clampbook"))
        .args(args)
        .args(["--demo"])
        .env("COLUMNS", "100")
        .output()
        .expect("the program runs");
    String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr)
}

/// A book of its own into which a sheet was imported.
pub(crate) struct Shop(tempfile::TempDir);

impl Shop {
    /// Of this CSV.
    pub(crate) fn new(sheet: &str) -> Self {
        let shop = Self(tempfile::tempdir().expect("a folder"));
        let file = shop.0.path().join("sheet.csv");
        std::fs::write(&file, sheet).expect("a file");
        shop.text(&["import", file.to_str().expect("a path")]);
        shop
    }

    fn run(&self, args: &[&str]) -> std::process::Output {
        Command::new(env!("CARGO_BIN_EXE_clampbook"))
            .arg("--book")
            .arg(self.0.path().join("book"))
            .args(args)
            .env("COLUMNS", "100")
            .output()
            .expect("the program runs")
    }

    /// What a command answers, as a table.
    pub(crate) fn text(&self, args: &[&str]) -> String {
        String::from_utf8_lossy(&self.run(args).stdout).into_owned()
    }

    /// The rows of a question.
    pub(crate) fn rows(&self, question: &str) -> Vec<Value> {
        let output = self.run(&["--format", "json", "find", question]);
        let answer: Value = serde_json::from_slice(&output.stdout).expect("JSON");
        answer["rows"].as_array().expect("rows").clone()
    }
}

/// A number of an answer.
pub(crate) fn number(answer: &Value, key: &str) -> f64 {
    answer[key].as_f64().unwrap_or_else(|| panic!("{key} in {answer}"))
}

/// Numbers from 0 to 1, the same in every run (xorshift, G. Marsaglia 2003).
pub(crate) struct Numbers(pub(crate) u64);

impl Numbers {
    pub(crate) fn next(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }
}

//! Lines of each module: a command, not a gate.
//!
//! `cargo test --test structure lines -- --ignored --nocapture` prints them.

#![allow(clippy::print_stdout, reason = "it is there to print")]

use std::collections::BTreeMap;

use super::floors::sources;

/// Files, lines, and lines that are neither blank, comment nor test.
#[derive(Default, Clone, Copy)]
struct Count {
    files: usize,
    lines: usize,
    code: usize,
}

impl Count {
    fn add(&mut self, text: &str) {
        let end = text.find("#[cfg(test)]").unwrap_or(text.len());
        let is_code = |line: &&str| !line.trim().is_empty() && !line.trim().starts_with("//");
        self.files += 1;
        self.lines += text.lines().count();
        self.code += text[..end].lines().filter(is_code).count();
    }
}

#[test]
#[ignore = "prints, and judges nothing"]
fn lines_of_each_module() {
    let mut modules: BTreeMap<String, Count> = BTreeMap::new();
    for (file, text) in sources() {
        let parts: Vec<&str> = file.split('/').collect();
        let depth = if parts[0] == "query" { 2 } else { 1 };
        let module = parts[..parts.len().min(depth + 1) - 1].join("/");
        for name in [module.as_str(), "all"] {
            modules.entry(name.to_owned()).or_default().add(&text);
        }
    }
    println!("{:16} {:>5} {:>7} {:>7}", "module", "files", "lines", "code");
    for (name, count) in modules {
        println!("{name:16} {:5} {:7} {:7}", count.files, count.lines, count.code);
    }
}

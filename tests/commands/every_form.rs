//! Every command that shows data answers as JSON and as CSV: JSON that parses, CSV with
//! a header, the header alone where there is nothing to show.

use std::collections::BTreeSet;
use std::path::Path;

use crate::program::{demo_shop, file, run};

/// What shows data: a line for each command and for each kind of its answers. A line
/// that ends with `nothing` shows no row.
const LINES: &[&str] = &[
    "find head",
    "find 7/16-20 with moly, oil, dry",
    "find tally joint",
    "find assembly nowhere | nothing",
    "lubes head stud",
    "lubes assembly nowhere | nothing",
    "calc 7/16-20 --yield 180ksi --lube moly --target '75% yield'",
    "calc 7/16-20 --yield 180ksi --lube moly --torque '65 lb-ft' --why",
    "calc stretch 7/16-20 --shank '7/16 in, 1 in' --free-thread 0.75in --clamp 60kN",
    "calc turn M10x1.5 --shank '10mm, 30mm' --free-thread 10mm --layer '40mm, aluminium' --turn 90deg",
    "calc engage M10x1.5 --strength 10.9 --hole-tensile 250MPa --engagement 15mm",
    "calc heat M10x1.5 --shank '10mm, 30mm' --free-thread 10mm --layer '40mm, aluminium' --rise 80K --clamp 30kN",
    "calc adapter --torque 95Nm --length 450mm --reach 50mm",
    "calc prevailing --torque 40Nm --prevailing 6Nm --rule to-add",
    "thread M12x1.25",
    "thread G1/4",
    "passes '65 lb-ft' --steps 3",
    "passes head oil",
    "passes rod",
    "order circle 8",
    "order joint head",
    "import SHOP --dry-run",
    "import MISTAKES --dry-run",
    "export",
    "export assembly nowhere | nothing",
    "edit marlow-6-head-stud-long --history | nothing",
    "edit marlow-6-head-bolt-short --history",
    "edit wrench W2 --history",
    "edit lube moly --history | nothing",
    "check",
    "check assembly nowhere | nothing",
    "list lubes",
    "list strengths",
    "list wrenches",
    "list layouts",
    "list sets",
    "list fields",
    "list questions",
    "log show",
    "log show 1",
    "log show joint nowhere | nothing",
    "log show --since 2024-01-10",
    "log show --since 2099-01-01 | nothing",
    "log wrench W2",
    "log off-target",
    "log retorque",
    "log tins",
    "log bolts",
    "log bolts R12",
    "log export",
    "book info",
    "book set",
    "book verify",
    "book set",
];

/// Commands that show no data, each with why.
const OTHER: &[&str] = &[
    "add",          // says what it did
    "sheet",        // HTML for the printer
    "completions",  // a script for a shell
    "man",          // a page for man
    "tour",         // shows other commands
    "help",         // help
    "calc help",    // help
    "log help",     // help
    "log start",    // says what it did
    "log add",      // says what it did
    "log correct",  // says what it did
    "book help",    // help
    "book backup",  // says what it did
    "book restore", // says what it did
    "book compact", // says what it did
    "book undo",    // says what it did
    "book copy",    // says what it did
    "book tables",  // statements for a database
];

/// Lines that do not answer so yet; this list only ever shrinks.
const NOT_YET: &[(&str, &str)] = &[];

/// What is entered first, so that every list has something in it.
const BEFORE: &[&str] = &[
    "add wrench W2 low='20 lb-ft' high='150 lb-ft' graduation='1 lb-ft' calibrated=2024-01-10",
    "edit wrench W2 due=2099-01-01",
    "add layout 'Marlow 6 head' file=HEAD",
    "add set R12 fastener=marlow-6-rod-bolt-cap bolts='1: new 1.9986 in, earlier 3; 2: new 1.9987 in'",
    "edit marlow-6-head-bolt-short count=6",
    "find --save heads head",
    "log start 24-017",
    "log add head stud moly --done wrench=W2 lot='tin 7' reached='1: 66 lb-ft; 2: 58 lb-ft'",
];

/// The words of a line as a shell would part them.
fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (index, piece) in line.split('\'').enumerate() {
        if index % 2 == 1 {
            match words.last_mut() {
                Some(last) if !line.contains(&format!(" '{piece}'")) => *last += piece,
                _ => words.push(piece.to_owned()),
            }
        } else {
            words.extend(piece.split_whitespace().map(str::to_owned));
        }
    }
    for (name, path) in [
        ("SHOP", "seed-data/shop.csv"),
        ("MISTAKES", "seed-data/shop-with-mistakes.csv"),
        ("HEAD", "seed-data/Marlow 6 head.csv"),
    ] {
        for word in &mut words {
            *word = word.replace(name, file(path).to_str().expect("UTF-8"));
        }
    }
    words
}

fn answer(home: &Path, line: &str, format: &str) -> (String, String, Option<i32>) {
    let words = words(line);
    let mut all = vec!["--format", format];
    all.extend(words.iter().map(String::as_str));
    run(home, &all)
}

/// What is wrong with a text as JSON.
fn json_fault(text: &str) -> Option<String> {
    let value: Result<serde_json::Value, _> = serde_json::from_str(text);
    match value {
        Err(error) => Some(format!("no JSON: {error}")),
        Ok(value) if value.is_object() || value.is_array() => None,
        Ok(value) => Some(format!("no object: {value}")),
    }
}

/// What is wrong with a text as CSV with a header, and `rows` or none below it.
fn csv_fault(text: &str, has_rows: bool) -> Option<String> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let headings = match reader.headers() {
        Ok(headings) => headings.clone(),
        Err(error) => return Some(format!("no CSV: {error}")),
    };
    if headings.is_empty() {
        return Some("no header".to_owned());
    }
    let mut seen = BTreeSet::new();
    for heading in &headings {
        let is_name = !heading.is_empty() && heading.trim() == heading && !heading.contains("  ");
        if !is_name || !seen.insert(heading) {
            return Some(format!("`{heading}` is no heading of its own"));
        }
    }
    let rows: Vec<_> = reader.records().collect();
    if let Some(Err(error)) = rows.iter().find(|row| row.is_err()) {
        return Some(format!("no CSV: {error}"));
    }
    (rows.is_empty() == has_rows).then(|| format!("{} rows", rows.len()))
}

#[test]
fn every_command_that_shows_data_answers_in_every_form() {
    let shop = demo_shop();
    for line in BEFORE {
        let words = words(line);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let (out, err, code) = run(shop.path(), &words);
        assert_eq!(code, Some(0), "{line}: {out}{err}");
    }
    let mut wrong = Vec::new();
    for line in LINES {
        let (line, has_rows) = match line.split_once(" | ") {
            Some((line, _)) => (line, false),
            None => (*line, true),
        };
        for format in ["json", "csv"] {
            let (out, err, code) = answer(shop.path(), line, format);
            let fault = match code {
                Some(0 | 1) if format == "json" => json_fault(&out),
                Some(0 | 1) => csv_fault(&out, has_rows),
                Some(3) if line.starts_with("import") && format == "json" => json_fault(&out),
                Some(3) if line.starts_with("import") => csv_fault(&out, has_rows),
                _ => Some(format!("exit {code:?}: {err}")),
            };
            let is_known = NOT_YET.contains(&(line, format));
            match fault {
                Some(fault) if !is_known => {
                    wrong.push(format!("(\"{line}\", \"{format}\"), // {fault}"));
                }
                None if is_known => wrong.push(format!("{line} as {format} answers now")),
                _ => {}
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// The commands that a page of help lists.
fn listed(home: &Path, command: &[&str]) -> Vec<String> {
    let page = run(home, &[command, &["--help"]].concat()).0;
    let Some((_, list)) = page.split_once("Commands:\n") else { return Vec::new() };
    let lines = list.lines().take_while(|line| !line.is_empty());
    let names = lines.filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    names.filter_map(|line| line.split_whitespace().next()).map(str::to_owned).collect()
}

#[test]
fn no_command_is_forgotten() {
    let home = tempfile::tempdir().expect("a folder");
    let mut missing = Vec::new();
    let mut count = 0;
    for command in listed(home.path(), &[]) {
        let below = if command == "help" { Vec::new() } else { listed(home.path(), &[&command]) };
        let mut names = vec![command.clone()];
        if !below.is_empty() {
            names = below.iter().map(|name| format!("{command} {name}")).collect();
        }
        for name in names {
            count += 1;
            let shows = |line: &&str| **line == name || line.starts_with(&format!("{name} "));
            if !LINES.iter().any(shows) && !OTHER.contains(&name.as_str()) {
                missing.push(name);
            }
        }
    }
    assert!(count > 30, "{count} commands");
    assert!(missing.is_empty(), "neither data nor other: {missing:?}");
}

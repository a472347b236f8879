//! The floors of the crate, read from the table in DEVELOPERS.md: an import goes
//! strictly down, a third-party name stays in its one place, files and functions
//! stay short, and every file says what it is for.

use std::fs;
use std::path::{Path, PathBuf};

/// One row of the floor table.
struct Floor {
    prefix: String,
    level: u32,
    never: Vec<String>,
}

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// The rows between the two marker comments of DEVELOPERS.md, longest first.
fn floors() -> Vec<Floor> {
    let text = fs::read_to_string(root().join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    let (_, table) = text.split_once("<!-- floors -->").expect("start of the floor table");
    let (table, _) = table.split_once("<!-- /floors -->").expect("end of the floor table");
    let mut floors: Vec<Floor> = table
        .lines()
        .filter(|line| line.starts_with("| `"))
        .map(|line| {
            let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
            let names = |cell: &str| {
                let names = cell.split(',').map(|name| name.trim().trim_matches('`').to_owned());
                names.filter(|name| !name.is_empty()).collect()
            };
            Floor {
                prefix: cells[0].trim_matches('`').to_owned(),
                level: cells[1].parse().expect("a floor number"),
                never: names(cells[2]),
            }
        })
        .collect();
    floors.sort_by_key(|floor| std::cmp::Reverse(floor.prefix.len()));
    assert!(floors.len() > 10, "the floor table was not found");
    floors
}

/// Every third-party name with the prefixes in which it may stand.
fn third_parties() -> Vec<(String, Vec<String>)> {
    let text = fs::read_to_string(root().join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    let (_, table) = text.split_once("<!-- crates -->").expect("start of the crate table");
    let (table, _) = table.split_once("<!-- /crates -->").expect("end of the crate table");
    table
        .lines()
        .filter(|line| line.starts_with("| `"))
        .map(|line| {
            let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
            let places = cells[1].split(',').map(|place| place.trim().trim_matches('`').to_owned());
            (cells[0].trim_matches('`').replace('-', "_"), places.collect())
        })
        .collect()
}

pub(super) fn sources() -> Vec<(String, String)> {
    fn walk(folder: &Path, into: &mut Vec<PathBuf>) {
        for entry in fs::read_dir(folder).expect("a source folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                walk(&path, into);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                into.push(path);
            }
        }
    }
    let mut paths = Vec::new();
    walk(&root().join("src"), &mut paths);
    paths.sort();
    paths
        .into_iter()
        .map(|path| {
            let text = fs::read_to_string(&path).expect("a source file");
            let name = path.strip_prefix(root().join("src")).expect("inside src");
            (name.to_string_lossy().replace('\\', "/"), text)
        })
        .collect()
}

/// `query/plan/index.rs` → `query/plan/index`; `query/mod.rs` → `query`.
pub(super) fn module(file: &str) -> String {
    let module = file.trim_end_matches(".rs");
    module.strip_suffix("/mod").unwrap_or(module).to_owned()
}

fn prefix_of<'a>(module: &str, floors: &'a [Floor]) -> Option<&'a Floor> {
    floors
        .iter()
        .find(|floor| module == floor.prefix || module.starts_with(&format!("{}/", floor.prefix)))
}

/// Source text without comments, strings and the test module at the end.
fn code_of(text: &str) -> String {
    let end = text.find("#[cfg(test)]").unwrap_or(text.len());
    let mut code = String::new();
    for line in text[..end].lines() {
        let line = line.trim_start();
        let bare =
            if line.starts_with("//") { "" } else { line.split(" // ").next().unwrap_or("") };
        let mut outside = true;
        for (index, piece) in bare.split('"').enumerate() {
            outside = index % 2 == 0;
            if outside {
                code.push_str(piece);
            }
        }
        if outside {
            code.push('\n');
        } else {
            code.push(' ');
        }
    }
    code
}

/// Every path that starts with `crate::`, groups opened, as `a/b/C`.
fn crate_paths(code: &str) -> Vec<String> {
    let mut found = Vec::new();
    for (at, _) in code.match_indices("crate::") {
        expand(&code[at + "crate::".len()..], "", &mut found);
    }
    found
}

fn expand(text: &str, before: &str, found: &mut Vec<String>) {
    let is_path = |c: char| c.is_alphanumeric() || c == '_' || c == ':';
    let end = text.find(|c| !is_path(c)).unwrap_or(text.len());
    let own = text[..end].trim_end_matches(':').replace("::", "/");
    let parts = [before, own.as_str()].into_iter().filter(|part| !part.is_empty());
    let whole = parts.collect::<Vec<_>>().join("/");
    let is_group = text[end..].starts_with('{') && (end == 0 || text[..end].ends_with("::"));
    if !is_group {
        found.push(whole);
        return;
    }
    let mut depth = 0usize;
    let mut start = end + 1;
    for (index, character) in text[end..].char_indices() {
        match character {
            '{' => depth += 1,
            '}' | ',' if depth == 1 => {
                let piece = text[start..end + index].trim();
                if !piece.is_empty() {
                    expand(piece, &whole, found);
                }
                start = end + index + 1;
                if character == '}' {
                    return;
                }
            }
            '}' => depth -= 1,
            _ => {}
        }
    }
}

#[test]
fn imports_go_strictly_down() {
    let floors = floors();
    let mut wrong = Vec::new();
    for (file, text) in sources() {
        let module = module(&file);
        if matches!(module.as_str(), "lib" | "main" | "build") {
            continue;
        }
        let Some(own) = prefix_of(&module, &floors) else {
            wrong.push(format!("{file}: no floor for this folder"));
            continue;
        };
        let code = code_of(&text);
        for path in crate_paths(&code) {
            let Some(other) = prefix_of(&path, &floors) else {
                wrong.push(format!("{file}: crate::{path} has no floor"));
                continue;
            };
            let inside = other.prefix == own.prefix;
            if !inside && other.level >= own.level {
                wrong.push(format!(
                    "{file} (floor {}): imports {} (floor {})",
                    own.level, other.prefix, other.level
                ));
            }
            if !inside && own.never.contains(&other.prefix) {
                wrong.push(format!("{file}: must never see {}", other.prefix));
            }
        }
        let depth = module.matches('/').count() + usize::from(file.ends_with("/mod.rs"));
        let own_depth = own.prefix.matches('/').count() + 1;
        for (at, _) in code.match_indices("super::") {
            let mut steps = 1;
            while code[at + 7 * steps..].starts_with("super::") {
                steps += 1;
            }
            if steps + own_depth > depth + 1 {
                wrong.push(format!("{file}: super:: leaves {}", own.prefix));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// The commands of `cli/args.rs`, each the name of its module.
fn commands(args: &str) -> Vec<String> {
    let (_, list) = args.split_once("enum Command {").expect("the list of commands");
    let (list, _) = list.split_once("\n}").expect("the end of the list");
    let lines = list.lines().map(str::trim);
    let names = lines.filter(|line| line.starts_with(char::is_uppercase));
    let name = |line: &str| line.split(['(', ',']).next().unwrap_or(line).to_lowercase();
    names.map(name).collect()
}

/// What commands share has a place of its own: only the list and `cli/mod.rs`,
/// which runs them, see a command.
#[test]
fn no_command_imports_another() {
    let files = sources();
    let args = files.iter().find(|(file, _)| file == "cli/args.rs").expect("cli/args.rs");
    let commands = commands(&args.1);
    assert!(commands.len() > 15 && commands.contains(&"find".to_owned()), "{commands:?}");
    let mut wrong = Vec::new();
    for (file, text) in files {
        let module = module(&file);
        if matches!(module.as_str(), "cli" | "cli/args") || !module.starts_with("cli/") {
            continue;
        }
        for path in crate_paths(&code_of(&text)) {
            let seen = path.strip_prefix("cli/").and_then(|path| path.split('/').next());
            let Some(seen) = seen.filter(|seen| commands.iter().any(|name| name == seen)) else {
                continue;
            };
            if module.split('/').nth(1) != Some(seen) {
                wrong.push(format!("{file}: imports the command {seen}"));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn third_party_names_stay_in_their_place() {
    let mut wrong = Vec::new();
    let crates = third_parties();
    for (file, text) in sources() {
        let module = module(&file);
        let code = code_of(&text);
        for (name, places) in &crates {
            let used = code.match_indices(&format!("{name}::")).any(|(at, _)| {
                !code[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_' || c == ':')
            }) || code.contains(&format!("use {name};"));
            let allowed = places.iter().any(|place| {
                place == "anywhere" || module == *place || module.starts_with(&format!("{place}/"))
            });
            if used && !allowed {
                wrong.push(format!("{file}: {name} belongs in {}", places.join(", ")));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// Every dependency of Cargo.toml has its row, with a reason.
#[test]
fn every_dependency_has_its_reason() {
    let manifest = fs::read_to_string(root().join("Cargo.toml")).expect("Cargo.toml");
    let (_, after) = manifest.split_once("[dependencies]").expect("dependencies");
    let known = third_parties();
    for line in after.lines().skip(1).take_while(|line| !line.starts_with('[')) {
        let Some((name, _)) = line.split_once('=') else { continue };
        let name = name.trim().replace('-', "_");
        assert!(known.iter().any(|(row, _)| *row == name), "{name} has no row in DEVELOPERS.md");
    }
}

#[test]
fn files_and_functions_stay_short() {
    let mut wrong = Vec::new();
    for (file, text) in sources() {
        if !text.starts_with("//!") {
            wrong.push(format!("{file}: does not open with what it is for (//!)"));
        }
        let end = text.find("#[cfg(test)]").unwrap_or(text.len());
        let lines = text[..end].lines().count();
        if lines > 500 {
            wrong.push(format!("{file}: {lines} lines, at most 500"));
        }
        for (name, length, is_table) in functions(&text[..end]) {
            if length > if is_table { 90 } else { 60 } {
                wrong.push(format!("{file}: fn {name} has {length} lines"));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// Name, length in lines, and whether it is one plain match or table, of each
/// function. Relies on rustfmt: a body ends at a brace in the column of its `fn`.
fn functions(text: &str) -> Vec<(String, usize, bool)> {
    let lines: Vec<&str> = text.lines().collect();
    let mut found = Vec::new();
    for (start, line) in lines.iter().enumerate() {
        let bare = line.trim_start();
        let words =
            ["pub fn ", "pub(crate) fn ", "pub(super) fn ", "fn ", "const fn ", "pub const fn "];
        if line.ends_with(';') {
            continue;
        }
        let Some(rest) = words.iter().find_map(|word| bare.strip_prefix(word)) else { continue };
        let indent = line.len() - bare.len();
        let close = format!("{}}}", " ".repeat(indent));
        let Some(length) = lines[start..].iter().position(|line| *line == close) else { continue };
        let name = rest.split(['(', '<']).next().unwrap_or(rest).to_owned();
        let body = &lines[start..start + length];
        let arms = body.iter().filter(|line| line.contains("=>")).count();
        let is_match = body.get(1).is_some_and(|line| line.trim_start().starts_with("match "));
        found.push((name, length + 1, is_match || arms * 3 > length));
    }
    found
}

/// The net itself: a planted upward import and a planted long function are seen.
#[test]
fn the_checks_see_planted_faults() {
    let code = code_of(
        "use crate::{text::Span, query::{plan::Access, run}};\n// crate::cli\n\"crate::cli\"",
    );
    let mut paths = crate_paths(&code);
    paths.sort();
    assert_eq!(paths, ["query/plan/Access", "query/run", "text/Span"]);
    assert_eq!(
        commands("enum Command {\n    /// It\n    Find(Find),\n    Man,\n}\n"),
        ["find", "man"]
    );
    let long = format!("fn long() {{\n{}}}\n", "    let _ = 1;\n".repeat(70));
    assert_eq!(functions(&long), [("long".to_owned(), 72, false)]);
}

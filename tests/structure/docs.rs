//! What the documentation says: every file, every public type and function has a doc of
//! more than three words that says more than the name does; so has whatever else is
//! documented. Members and variants that speak for themselves need none.

use std::collections::BTreeSet;

use super::floors::{module, sources};

/// A type or function with its documentation.
#[derive(Debug, PartialEq)]
struct Item {
    name: String,
    /// Open to others than the crate, or a type that others of the crate see.
    needs_doc: bool,
    /// The documentation of arguments is the help of their command.
    is_help: bool,
    doc: String,
}

/// The types and functions of a file without its tests. Relies on rustfmt: an item
/// begins its line, and attributes stand between it and its documentation.
fn items(text: &str) -> Vec<Item> {
    let end = text.find("#[cfg(test)]").unwrap_or(text.len());
    let mut found = Vec::new();
    let (mut doc, mut attribute) = (String::new(), String::new());
    let mut open = 0_i32;
    for line in text[..end].lines().map(str::trim) {
        if let Some(words) = line.strip_prefix("///") {
            doc += words;
        } else if line.starts_with("#[") || open > 0 {
            let count = |sign| i32::try_from(line.matches(sign).count()).expect("a short line");
            open += count('[') - count(']');
            attribute += line;
        } else {
            if let Some((visibility, kind, name)) = declared(line) {
                let is_help = ["Args", "Subcommand", "Parser", "ValueEnum"]
                    .iter()
                    .any(|derived| attribute.contains(derived));
                let is_type = kind != "fn";
                let needs_doc =
                    !is_help && (visibility == "pub" || is_type && !visibility.is_empty());
                found.push(Item {
                    name: name.to_owned(),
                    needs_doc,
                    is_help,
                    doc: doc.trim().to_owned(),
                });
            }
            doc.clear();
            attribute.clear();
        }
    }
    found
}

/// Visibility, kind and name, if the line declares a type or function.
fn declared(line: &str) -> Option<(&str, &str, &str)> {
    let (visibility, mut rest) = match line.strip_prefix("pub") {
        Some(rest) if rest.starts_with('(') => line.split_at(line.find(')')? + 1),
        Some(rest) if rest.starts_with(' ') => ("pub", rest),
        _ => ("", line),
    };
    for word in ["const ", "async "] {
        rest = rest.trim_start();
        rest = rest.strip_prefix(word).filter(|rest| rest.starts_with("fn ")).unwrap_or(rest);
    }
    let (kind, name) = rest.trim_start().split_once(' ')?;
    let is_item = ["fn", "struct", "enum", "trait", "type"].contains(&kind);
    let end = name.find(|sign: char| !sign.is_alphanumeric() && sign != '_').unwrap_or(name.len());
    is_item.then_some((visibility, kind, &name[..end])).filter(|item| !item.2.is_empty())
}

/// The words of a text or of a name, folded; without articles and the like.
fn words(text: &str) -> Vec<String> {
    const SMALL: [&str; 12] =
        ["a", "an", "the", "of", "its", "it", "is", "are", "as", "in", "this", "to"];
    let mut words = vec![String::new()];
    for sign in text.chars() {
        if sign.is_uppercase() || !sign.is_alphanumeric() {
            words.push(String::new());
        }
        if sign.is_alphanumeric() {
            words.last_mut().expect("never empty").extend(sign.to_lowercase());
        }
    }
    words.retain(|word| !word.is_empty() && !SMALL.contains(&word.as_str()));
    words
}

/// What is wrong with the documentation of `name`.
fn fault(name: &str, doc: &str) -> Option<&'static str> {
    // A text that is shown says what words need not.
    let shows = doc.split('`').skip(1).step_by(2).any(|shown| shown.contains([' ', '.', '-', '/']));
    if doc.split_whitespace().count() < 4 && !shows {
        return Some("three words or fewer");
    }
    let own: BTreeSet<String> = words(name).into_iter().collect();
    let says_more = words(doc).iter().any(|word| !own.contains(word.trim_end_matches('s')));
    (!says_more).then_some("repeats the name")
}

#[test]
fn documentation_says_more_than_the_name() {
    let mut wrong = Vec::new();
    let mut count = 0;
    for (file, text) in sources() {
        let opening: Vec<&str> = text.lines().map_while(|line| line.strip_prefix("//!")).collect();
        if let Some(fault) = fault(&module(&file), &opening.join(" ")) {
            wrong.push(format!("{file}: opens with {fault}"));
        }
        for item in items(&text) {
            count += 1;
            if item.is_help {
                continue;
            }
            if item.doc.is_empty() {
                if item.needs_doc {
                    wrong.push(format!("{file}: {} has no documentation", item.name));
                }
            } else if let Some(fault) = fault(&item.name, &item.doc) {
                wrong.push(format!("{file}: {}: {fault}: {}", item.name, item.doc));
            }
        }
    }
    assert!(count > 1500, "{count} types and functions");
    assert!(wrong.is_empty(), "{}\n{}", wrong.len(), wrong.join("\n"));
}

/// The net itself: planted faults are seen, and what is sound is not.
#[test]
fn planted_faults_are_seen() {
    let text = "/// One value of a column.\n#[derive(Debug)]\npub(super) struct Cell;\n\
                pub fn bare() {}\nfn own() {}\n/// The help\n#[derive(\n  Args\n)]\npub struct Find;\n";
    let found = items(text);
    let flat: Vec<(&str, bool, &str)> =
        found.iter().map(|item| (item.name.as_str(), item.needs_doc, item.doc.as_str())).collect();
    assert_eq!(
        flat,
        [
            ("Cell", true, "One value of a column."),
            ("bare", true, ""),
            ("own", false, ""),
            ("Find", false, "The help")
        ]
    );
    assert_eq!(fault("Value", "The value."), Some("three words or fewer"));
    assert_eq!(fault("day", "A day, `2026-05-04`."), None);
    assert_eq!(fault("header_row", "This is the header row."), Some("repeats the name"));
    assert_eq!(fault("high", "The high end, N·m."), None);
}

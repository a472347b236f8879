//! What was meant by a first word that is no command: the line to type instead.

use std::ffi::OsString;

use clap::Command;
use clap::error::{ContextKind, ContextValue, ErrorKind};

use crate::record::find_field;

/// Words of other trades for what a command does.
const OTHERWISE: &[(&[&str], &str)] = &[
    (&["delete", "remove", "rm", "erase"], "edit KEY --remove"),
    (&["undo", "revert"], "book undo"),
    (&["search", "show", "query", "ask", "get", "look", "lookup"], "find"),
    (&["change", "update"], "edit"),
    (&["new", "create", "enter", "insert"], "add"),
    (&["history"], "edit KEY --history"),
    (&["print"], "sheet"),
    (&["settings", "config"], "book set"),
];

/// What to do about a word that is no command, or an option that is a value of another
/// one; none if `error` is something else.
pub(super) fn instead(
    error: &clap::Error,
    mut program: Command,
    arguments: &[OsString],
) -> Option<String> {
    if error.kind() == ErrorKind::UnknownArgument {
        return value_of_option(error, &program, arguments);
    }
    if error.kind() != ErrorKind::InvalidSubcommand {
        return None;
    }
    let Some(ContextValue::String(word)) = error.get(ContextKind::InvalidSubcommand) else {
        return None;
    };
    let mut typed: Vec<String> =
        arguments.iter().skip(1).map(|word| word.to_string_lossy().into_owned()).collect();
    let at = typed.iter().position(|other| other == word)?;
    let rest = typed.split_off(at + 1);
    typed.pop();
    // A slip of the finger rarely meets the first letter: `head` means no thread.
    let is_slip = |near: &&String| near.chars().next() == word.chars().next();
    let near = match error.get(ContextKind::SuggestedSubcommand) {
        Some(ContextValue::Strings(near)) if find_field(word).is_none() => {
            near.iter().find(is_slip).cloned()
        }
        _ => None,
    };
    program.build();
    let parent = typed
        .iter()
        .fold(&program, |command, word| command.find_subcommand(word).unwrap_or(command));
    let line = if parent.get_name() == program.get_name() {
        let path = otherwise(word).map(str::to_owned);
        match path.or_else(|| named_below(&program, word)).or(near) {
            Some(path) => with(&path, &rest),
            None => with("find", &[std::slice::from_ref(word), &rest].concat()),
        }
    } else {
        let Some(line) = line_below(parent, word, &rest, near) else {
            let names = parent.get_subcommands().map(Command::get_name);
            let names: Vec<&str> = names.filter(|name| *name != "help").collect();
            let (parent, names) = (parent.get_name(), names.join(", "));
            return Some(format!("`{word}` is no command of {parent}; there are {names}"));
        };
        line
    };
    let before: String = typed.iter().map(|word| quoted(word) + " ").collect();
    Some(format!("`{word}` is no command; write\n  clampbook {before}{line}"))
}

/// `--csv` is a value of `--format`: the line to type instead.
fn value_of_option(
    error: &clap::Error,
    program: &Command,
    arguments: &[OsString],
) -> Option<String> {
    let Some(ContextValue::String(word)) = error.get(ContextKind::InvalidArg) else { return None };
    let value = word.strip_prefix("--")?;
    let is_of = |option: &&clap::Arg| {
        let values = option.get_possible_values();
        option.is_global_set() && values.iter().any(|known| known.matches(value, true))
    };
    let option = program.get_opts().find(is_of)?.get_long()?;
    let written = arguments.iter().skip(1).map(|argument| match argument.to_string_lossy() {
        typed if typed == word.as_str() => format!("--{option} {value}"),
        typed => quoted(&typed),
    });
    let line = written.collect::<Vec<_>>().join(" ");
    Some(format!("`{word}` is no option; write\n  clampbook {line}"))
}

/// The line with a command below `parent` in place of `word`: the one that has an option
/// of this name, or the one whose name it nearly is, or the one that shows.
fn line_below(
    parent: &Command,
    word: &String,
    rest: &[String],
    near: Option<String>,
) -> Option<String> {
    let has_option = |command: &&Command| {
        command.get_opts().any(|option| option.get_long() == Some(word.as_str()))
    };
    if let Some(command) = parent.get_subcommands().find(has_option) {
        return Some(with(&format!("{} --{word}", command.get_name()), rest));
    }
    if let Some(near) = near {
        return Some(with(&near, rest));
    }
    parent.find_subcommand("show")?;
    let is_show = word == "list" || word == "find" || otherwise(word) == Some("find");
    let asked: &[String] = if is_show { &[] } else { std::slice::from_ref(word) };
    Some(with("show", &[asked, rest].concat()))
}

/// The command that a line of the prompt means by a word of other trades.
pub(super) fn of_line(line: &str) -> Option<String> {
    let mut words = line.split_whitespace();
    let path = otherwise(words.next()?)?;
    let rest: Vec<String> = words.map(str::to_owned).collect();
    Some(with(path, &rest))
}

fn otherwise(word: &str) -> Option<&'static str> {
    let known = OTHERWISE.iter().find(|(words, _)| words.contains(&word));
    known.map(|(_, path)| *path)
}

/// The command below another one, or the list, that has this name.
fn named_below(program: &Command, word: &str) -> Option<String> {
    program.get_subcommands().find_map(|command| {
        let name = command.get_name();
        let has = |value: &clap::builder::PossibleValue| value.matches(word, true);
        let listed = command.get_positionals().flat_map(clap::Arg::get_possible_values);
        let is_listed = name == "list" && listed.into_iter().any(|value| has(&value));
        let is_below = command.find_subcommand(word).is_some() && word != "help";
        (is_below || is_listed).then(|| format!("{name} {word}"))
    })
}

/// The line with what else was typed, the first word of it in place of KEY.
fn with(path: &str, rest: &[String]) -> String {
    let quoted: Vec<String> = rest.iter().map(|word| quoted(word)).collect();
    match (path.split_once("KEY"), quoted.split_first()) {
        (Some((before, after)), Some((key, rest))) => {
            [&format!("{before}{key}{after}"), rest.join(" ").as_str()].join(" ")
        }
        (Some(_), None) => path.to_owned(),
        (None, _) => [path, quoted.join(" ").as_str()].join(" "),
    }
    .trim_end()
    .to_owned()
}

/// A word as a shell takes it for one.
fn quoted(word: &str) -> String {
    let is_plain = |sign: char| sign.is_alphanumeric() || "-_./,+=:@%".contains(sign);
    if !word.is_empty() && word.chars().all(is_plain) {
        word.to_owned()
    } else if word.contains(['"', '$', '`', '\\', '!']) {
        format!("'{}'", word.replace('\'', "'\\''"))
    } else {
        format!("\"{word}\"")
    }
}

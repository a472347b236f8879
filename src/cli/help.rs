//! `-h` on one screen: what a command does, examples, its options on a line
//! each. `--help` is clap's and says all.

use std::ffi::OsString;

use clap::error::ErrorKind;
use clap::{Arg, Command};

use crate::text::printable;

/// Columns of a short page.
const WIDTH: usize = 80;
/// Most lines of examples.
const EXAMPLES: usize = 5;

/// The short page that these arguments ask for, with -h or with a command alone that
/// needs more; none where they ask for all, or say something wrong.
pub(super) fn short(
    mut program: Command,
    arguments: &[OsString],
    kind: ErrorKind,
) -> Option<String> {
    program.build();
    let words = arguments.iter().skip(1).filter_map(|word| word.to_str());
    let command =
        words.fold(&program, |command, word| command.find_subcommand(word).unwrap_or(command));
    let is_short = |word: &OsString| word == "-h" || word == "-qh" || word == "-hq";
    let is_alone = || arguments.last().is_some_and(|last| last == command.get_name());
    match kind {
        ErrorKind::DisplayHelp => {
            arguments.iter().any(is_short) && arguments.iter().all(|word| word != "--help")
        }
        ErrorKind::MissingRequiredArgument => is_alone(),
        ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand => true,
        _ => false,
    }
    .then(|| page(command))
}

fn page(command: &Command) -> String {
    let mut lines = vec![command.get_about().map(ToString::to_string).unwrap_or_default()];
    let examples = examples(command);
    if !examples.is_empty() {
        lines.push(String::new());
        lines.extend(examples);
    }
    let usage = command.clone().render_usage().to_string();
    lines.extend([String::new(), usage.lines().next().unwrap_or_default().to_owned()]);
    let own: Vec<&Arg> = command.get_arguments().filter(|arg| is_own(arg)).collect();
    lines.extend(table(own.iter().map(|arg| (name(arg), plain(arg.get_help())))));
    let commands: Vec<&Command> =
        command.get_subcommands().filter(|one| one.get_name() != "help").collect();
    if own.is_empty() {
        let row = |one: &&Command| (one.get_name().to_owned(), plain(one.get_about()));
        lines.extend(table(commands.iter().map(row)));
    } else if !commands.is_empty() {
        let names: Vec<&str> = commands.iter().map(|one| one.get_name()).collect();
        lines.push(format!("Also {}", names.join(", ")));
    }
    let everywhere: Vec<String> = command
        .get_arguments()
        .filter(|arg| arg.is_global_set())
        .filter(|arg| arg.get_id() != "why")
        .map(name)
        .collect();
    lines.extend([String::new(), everywhere.join(" ")]);
    lines.join("\n")
}

fn is_own(arg: &Arg) -> bool {
    let is_help = ["help", "version"].contains(&arg.get_id().as_str());
    !is_help && (!arg.is_global_set() || arg.get_id() == "why")
}

fn plain(text: Option<&clap::builder::StyledStr>) -> String {
    text.map(ToString::to_string).unwrap_or_default()
}

/// `--steps N`, `QUESTION`.
fn name(arg: &Arg) -> String {
    let takes = arg.get_action().takes_values();
    let value = arg.get_value_names().and_then(|names| names.first()).map(ToString::to_string);
    let value = value.filter(|_| takes).unwrap_or_default();
    match (arg.get_long(), arg.get_short()) {
        (_, Some(short)) if !takes => format!("-{short}"),
        (Some(long), _) => format!("--{long} {value}").trim_end().to_owned(),
        (None, Some(short)) => format!("-{short} {value}"),
        (None, None) => value,
    }
}

/// The examples of a command, without the words after them.
fn examples(command: &Command) -> Vec<String> {
    let text = command.get_after_long_help().or(command.get_after_help());
    let text = text.map(ToString::to_string).unwrap_or_default();
    let lines = text.lines().skip(1).take_while(|line| !line.is_empty());
    let mut lines: Vec<String> = lines.map(str::to_owned).collect();
    lines.truncate(EXAMPLES);
    // None that goes on where it is cut.
    while lines.last().is_some_and(|line| line.ends_with('\\')) {
        lines.pop();
    }
    lines
}

/// Two columns, each row on one line.
fn table(rows: impl Iterator<Item = (String, String)>) -> Vec<String> {
    let rows: Vec<(String, String)> = rows.collect();
    let wide = rows.iter().map(|(name, _)| name.chars().count()).max().unwrap_or_default();
    let row = |(name, help): &(String, String)| {
        let help = shortened(help, WIDTH.saturating_sub(wide + 6));
        format!("  {name:wide$}  {}", printable(&help)).trim_end().to_owned()
    };
    rows.iter().map(row).collect()
}

/// The beginning of `text` that has room, cut where a thought ends.
fn shortened(text: &str, room: usize) -> String {
    if text.chars().count() <= room {
        return text.to_owned();
    }
    let ends = text.match_indices(['.', ';', ':', ',']).map(|(at, _)| at);
    let fitting = ends.filter(|at| text[..*at].chars().count() <= room).filter(|at| *at > 12);
    match fitting.max() {
        // Part of a list is not all of it.
        Some(at) if text[at..].starts_with(',') => format!("{} …", &text[..at]),
        Some(at) => text[..at].to_owned(),
        // No word is cut.
        None => {
            let start: String = text.chars().take(room.saturating_sub(2)).collect();
            let whole = start.rsplit_once(' ').map_or(&*start, |(whole, _)| whole);
            format!("{whole} …")
        }
    }
}

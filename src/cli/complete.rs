//! What may come next on the command line: options and commands come from the
//! arguments themselves, here are the names of the book. Asked by a shell or by Tab
//! at the prompt.

use std::cell::RefCell;
use std::ffi::{OsStr, OsString};
use std::rc::Rc;

use clap_complete::engine::{ArgValueCompleter, CompletionCandidate};

use crate::cli::settings;
use crate::cli::words::{Completions, MOST, units};
use crate::record::{KeptKind, NameOf, field_words, find_field};

#[derive(Clone, Default)]
struct CommandLine {
    /// The words before the one under the cursor, without the program's name.
    before: Vec<String>,
    words: Rc<Completions>,
}

thread_local! {
    /// A completer is given the word under the cursor and nothing else.
    static LINE: RefCell<CommandLine> = RefCell::default();
}

/// Sets the line that completers are asked for: the words before the one under
/// the cursor, and the names of a book.
pub(super) fn begin(before: Vec<String>, words: Rc<Completions>) {
    LINE.set(CommandLine { before, words });
}

/// `program`, offering its options only where nothing else may follow: whoever looks
/// for a name with Tab has typed no `-`.
pub(super) fn names_first(mut program: clap::Command) -> clap::Command {
    fn hidden(program: clap::Command) -> clap::Command {
        let hide = |arg: clap::Arg| if arg.is_positional() { arg } else { arg.hide(true) };
        program.mut_args(hide).mut_subcommands(hidden)
    }
    // Global options are with each command from here on.
    program.build();
    hidden(program)
}

/// What the last of `typed` may become; the others stand before it.
pub(super) fn candidates(
    mut program: clap::Command,
    typed: &[String],
    words: &Rc<Completions>,
) -> Vec<String> {
    let Some((last, before)) = typed.split_last() else { return Vec::new() };
    if last.is_empty() {
        program = names_first(program);
    }
    begin(before.to_vec(), Rc::clone(words));
    let name = [OsString::from("clampbook")].into_iter();
    let arguments: Vec<OsString> = name.chain(typed.iter().map(OsString::from)).collect();
    let here = std::env::current_dir().ok();
    let here = here.as_deref();
    let found = clap_complete::engine::complete(&mut program, arguments, typed.len(), here);
    let found = found.unwrap_or_default().into_iter();
    found.map(|one| one.get_value().to_string_lossy().into_owned()).collect()
}

pub(super) fn question() -> ArgValueCompleter {
    ArgValueCompleter::new(|current: &OsStr| {
        let CommandLine { before, words } = LINE.with_borrow(Clone::clone);
        let is_option = |word: &&String| word.starts_with("--");
        // The command, and for the log what is done with it.
        let skipped = if before.first().is_some_and(|word| word == "log") { 2 } else { 1 };
        let asked: Vec<&String> =
            before.iter().filter(|word| !is_option(word)).skip(skipped).collect();
        let asked: Vec<String> = asked.into_iter().map(|word| word.replace('\'', "\"")).collect();
        let current = current.to_string_lossy();
        let line = [asked.join(" "), current.replace('\'', "\"")].join(" ");
        let line = line.trim_start();
        if line.is_empty() {
            let names = [NameOf::Assembly, NameOf::Joint].map(|what| words.named(what)).concat();
            return names.into_iter().map(CompletionCandidate::new).collect();
        }
        let at = line.len() - current.len();
        let (start, mut offers) = words.candidates(line);
        // The whole dictionary is no answer.
        if current.is_empty() && offers.len() > 100 {
            offers.truncate(MOST);
        }
        let rest = |text: String| {
            let text = text.trim_matches('"').to_owned();
            // A name of several words goes on with the word under the cursor.
            if start < at { text.get(at - start..).map(str::to_owned) } else { Some(text) }
                .map(|rest| line.get(at..start).unwrap_or_default().to_owned() + &rest)
        };
        let texts = offers.into_iter().filter_map(|offer| rest(offer.text));
        texts.filter(|text| !text.is_empty()).map(CompletionCandidate::new).collect()
    })
}

pub(super) fn named(what: NameOf) -> ArgValueCompleter {
    listed(move |words| words.named(what))
}

pub(super) fn thread() -> ArgValueCompleter {
    listed(|words| words.threads.clone())
}

/// Of what the share is that was typed.
pub(super) fn target() -> ArgValueCompleter {
    ArgValueCompleter::new(|current: &OsStr| {
        let typed = current.to_string_lossy();
        let typed = typed.trim_start_matches(['"', '\'']);
        let share = typed.split([' ', '%']).next().filter(|share| !share.is_empty());
        let of = |kind| share.map(|share| format!("{share}% {kind}"));
        let targets = ["proof", "yield", "combined"].into_iter().filter_map(of);
        targets.filter(|one| one.starts_with(typed)).map(CompletionCandidate::new).collect()
    })
}

pub(super) fn key() -> ArgValueCompleter {
    listed(|words| words.keys.clone())
}

pub(super) fn set() -> ArgValueCompleter {
    listed(|words| words.sets.clone())
}

pub(super) fn saved() -> ArgValueCompleter {
    listed(|words| words.saved.iter().map(|(name, _)| name.clone()).collect())
}

pub(super) fn setting() -> ArgValueCompleter {
    listed(|_| settings::ALL.map(|name| format!("{name}=")).to_vec())
}

pub(super) fn unit() -> ArgValueCompleter {
    listed(|_| units(None))
}

/// The names of what `list` is asked for.
pub(super) fn listed_name() -> ArgValueCompleter {
    listed(|words| {
        let what = LINE.with_borrow(|line| line.before.last().cloned().unwrap_or_default());
        words.named(if what == "strengths" { NameOf::Strength } else { NameOf::Lube })
    })
}

/// Completes the key or the kind and name of a record, then `field=value`.
pub(super) fn record() -> ArgValueCompleter {
    ArgValueCompleter::new(|current: &OsStr| {
        let CommandLine { before, words } = LINE.with_borrow(Clone::clone);
        let current = current.to_string_lossy();
        let before: Vec<&str> =
            before.iter().map(String::as_str).filter(|word| !word.starts_with("--")).collect();
        let (field, typed) = match (before.as_slice(), current.split_once('=')) {
            // A shell may part a word at its sign.
            ([.., field], Some(("", typed))) => (Some(*field), typed),
            (_, Some((field, typed))) => (Some(field), typed),
            ([.., field, "="], None) => (Some(*field), &*current),
            _ => (None, &*current),
        };
        let glued = current.find('=').is_some_and(|at| at > 0);
        let begins = |text: &String| text.to_lowercase().starts_with(&typed.to_lowercase());
        let Some(field) = field else {
            let found = names_or_fields(&before, &words).into_iter().filter(begins);
            return found.map(CompletionCandidate::new).collect();
        };
        let values = values(field, &words).into_iter().filter(begins);
        let whole = |value| if glued { format!("{field}={value}") } else { value };
        values.map(whole).map(CompletionCandidate::new).collect()
    })
}

/// What may stand where no `=` is typed.
fn names_or_fields(before: &[&str], words: &Completions) -> Vec<String> {
    let stored = |word: &&&str| find_field(word).is_some_and(crate::record::Field::is_stored);
    let fields = || field_words().iter().filter(stored).map(|word| format!("{word}="));
    let kinds = KeptKind::ALL.iter().map(|kind| kind.word().to_owned());
    match before {
        ["add"] => fields().chain(kinds).collect(),
        ["edit"] => words.keys.iter().cloned().chain(kinds).collect(),
        ["edit", "wrench"] => words.named(NameOf::Wrench),
        ["edit", "lube"] => words.named(NameOf::Lube),
        ["edit", "strength"] => words.named(NameOf::Strength),
        ["edit", "layout"] => words.layouts.clone(),
        ["edit", "set"] => words.sets.clone(),
        _ => fields().collect(),
    }
}

/// The values that a field may have, of a fastener or of a line of the log.
fn values(field: &str, words: &Completions) -> Vec<String> {
    match field {
        "layout" => words.layouts.clone(),
        "wrench" => words.named(NameOf::Wrench),
        "set" => words.sets.clone(),
        "fastener" => words.keys.clone(),
        _ => words.values(field).unwrap_or_default(),
    }
}

fn listed(
    names: impl Fn(&Completions) -> Vec<String> + Send + Sync + 'static,
) -> ArgValueCompleter {
    ArgValueCompleter::new(move |current: &OsStr| {
        let words = LINE.with_borrow(|line| Rc::clone(&line.words));
        let typed = current.to_string_lossy().trim_start_matches(['"', '\'']).to_lowercase();
        let begins = |name: &String| name.to_lowercase().starts_with(&typed);
        names(&words).into_iter().filter(begins).map(CompletionCandidate::new).collect()
    })
}

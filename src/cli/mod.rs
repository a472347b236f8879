//! The command line: arguments, one file per command, exit codes.
//!
//! Data goes to stdout, messages to stderr. A command returns the code it ends
//! with; what ends it early is a `Failure`.

mod about;
mod add;
mod args;
mod bolts;
mod book;
mod calc;
mod check;
mod clock;
mod complete;
mod completions;
mod dialog;
mod edit;
mod exit;
mod export;
mod file_out;
mod find;
mod globals;
mod help;
mod hint;
mod import;
mod interrupt;
mod joint;
mod kept;
mod known;
mod list;
mod log;
mod lubes;
mod man;
mod named;
#[cfg(feature = "postgres")]
mod on_server;
mod open;
mod order;
mod out;
mod pairs;
mod passes;
mod piped;
mod place;
mod progress;
mod prompt;
mod question;
mod saved;
mod screen;
mod seed;
mod settings;
mod sheet;
mod shell;
mod sign;
mod thread;
mod tour;
mod typed;
mod words;
mod wrench;

use std::ffi::OsString;
use std::io::{self, IsTerminal, Write};
use std::path::Path;
use std::process::ExitCode;

use clap::{CommandFactory, FromArgMatches, Parser};

use args::{Args, Command};
use exit::{Code, Failure, argument};
use globals::Globals;
use out::Out;

use crate::text::for_people;

/// Runs clampbook with these arguments, the program's name first.
pub fn main(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    shell::answer(Args::command, &arguments).unwrap_or_else(|| execute(&arguments, |_| {}).into())
}

/// Runs one command line; `set` is what the lines of a prompt or a pipe have in common.
fn execute(arguments: &[OsString], set: impl FnOnce(&mut Globals)) -> Code {
    let parsed = Args::command().try_get_matches_from(arguments).and_then(|typed| {
        Args::from_arg_matches(&typed).map(|args| (args, calc::before_form(&typed)))
    });
    let (mut args, misplaced) = match parsed {
        Ok(parsed) => parsed,
        Err(error) => return usage(error, arguments),
    };
    set(&mut args.globals);
    crate::store::begin_command();
    let mut out = Out::new(&args.globals);
    let code = match misplaced.map_or_else(|| run(&args, arguments, &mut out), Err) {
        Ok(code) => code,
        Err(failure) => out.failure(&failure),
    };
    out.finish(code)
}

/// Ends with what clap says: help on stdout with 0, errors on stderr with 2.
fn usage(error: clap::Error, arguments: &[OsString]) -> Code {
    if let Some(line) = hint::instead(&error, Args::command(), arguments) {
        // Nobody is left to tell if it fails.
        let _ = writeln!(io::stderr(), "error: {}", for_people(&line, false));
        return Code::Wrong;
    }
    let short = help::short(Args::command(), arguments, error.kind());
    let error = calc::hinted(error, arguments);
    let written = match short {
        Some(page) if error.use_stderr() => writeln!(io::stderr(), "{page}"),
        Some(page) => writeln!(io::stdout(), "{page}"),
        None if error.use_stderr() => {
            let (shown, is_coloured) = out::shown_error(&error);
            write!(io::stderr(), "{}", for_people(&shown, is_coloured))
        }
        None => error.print(),
    };
    match (error.use_stderr(), written.and_then(|()| io::stdout().flush())) {
        (true, _) => Code::Wrong,
        (false, Ok(())) => Code::Answered,
        (false, Err(closed)) if closed.kind() == io::ErrorKind::BrokenPipe => Code::Answered,
        (false, Err(_)) => Code::Unusable,
    }
}

fn run(args: &Args, arguments: &[OsString], out: &mut Out) -> Result<Code, Failure> {
    let globals = &args.globals;
    if globals.demo && globals.book.is_some() {
        return argument("--demo and --book name two books: give one of them");
    }
    match &args.command {
        Some(Command::Find(find)) => find::run(globals, find, out),
        Some(Command::Lubes(lubes)) => lubes::run(globals, lubes, out),
        Some(Command::Calc(calc)) => calc::run(globals, calc, out),
        Some(Command::Thread(thread)) => thread::run(thread, out),
        Some(Command::Passes(passes)) => passes::run(globals, passes, out),
        Some(Command::Order(order)) => order::run(globals, order, out),
        Some(Command::Sheet(sheet)) => sheet::run(globals, sheet, out),
        Some(Command::Import(import)) => import::run(globals, import, out),
        Some(Command::Export(export)) => export::run(globals, export, out),
        Some(Command::Add(add)) => add::run(globals, add, out),
        Some(Command::Edit(edit)) => edit::run(globals, edit, out),
        Some(Command::Check(check)) => check::run(globals, check, out),
        Some(Command::List(list)) => list::run(globals, list, out),
        Some(Command::Log(asked)) => log::run(globals, asked, out),
        Some(Command::Book(book)) => book::run(globals, book, out),
        Some(Command::Completions(asked)) => completions::run(asked, out),
        Some(Command::Tour) => tour::run(out, |words, out| {
            let words = ["clampbook"].iter().chain(words);
            let step = Args::try_parse_from(words).map_err(anyhow::Error::from)?;
            run(&step, &[], out)
        }),
        Some(Command::Man(asked)) => man::run(asked, Args::command(), out),
        None => {
            out.one_line = !io::stdin().is_terminal();
            let one_line = out.one_line;
            let command = |words: &[String], demo: Option<&Path>| {
                let all = arguments.iter().cloned().chain(words.iter().map(OsString::from));
                execute(&all.collect::<Vec<_>>(), |globals| {
                    globals.demo_folder = demo.map(Path::to_owned);
                    globals.one_line = one_line;
                })
            };
            match one_line {
                true => piped::run(globals, out, &Args::command(), &command),
                false => prompt::run(globals, out, Args::command, &command),
            }
        }
    }
}

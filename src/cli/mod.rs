//! The command line: arguments, one file per command, exit codes.
//!
//! Data goes to stdout, messages to stderr. A command returns the code it ends
//! with; what ends it early is a `Failure`.

mod acknowledged;
mod add;
mod args;
mod bench;
mod book;
mod calc;
mod check;
mod clock;
mod edit;
mod exit;
mod export;
mod find;
mod import;
mod kept;
mod list;
mod log;
mod lubes;
mod open;
mod order;
mod out;
mod passes;
mod piped;
mod prompt;
mod saved;
mod seed;
mod sheet;
mod shell;
mod tables;
mod thread;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::Parser;

use args::{Args, Command};
use exit::{Code, Failure};
use out::Out;

/// Runs clampbook with these arguments, the program's name first.
pub fn main(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    let args = match Args::try_parse_from(&arguments) {
        Ok(args) => args,
        Err(error) => return exit::usage(&calc::hinted(error, &arguments)),
    };
    let mut out = Out::new(&args);
    let code = match run(&args, &mut out) {
        Ok(code) => code,
        Err(failure) => out.failure(&failure),
    };
    out.finish(code).into()
}

fn run(args: &Args, out: &mut Out) -> Result<Code, Failure> {
    match &args.command {
        Some(Command::Find(find)) => find::run(args, find, out),
        Some(Command::Lubes(lubes)) => lubes::run(args, lubes, out),
        Some(Command::Calc(calc)) => calc::run(args, calc, out),
        Some(Command::Thread(thread)) => thread::run(thread, out),
        Some(Command::Passes(passes)) => passes::run(args, passes, out),
        Some(Command::Order(order)) => order::run(args, order, out),
        Some(Command::Sheet(sheet)) => sheet::run(args, sheet, out),
        Some(Command::Import(import)) => import::run(args, import, out),
        Some(Command::Export(export)) => export::run(args, export, out),
        Some(Command::Add(add)) => add::run(args, add, out),
        Some(Command::Edit(edit)) => edit::run(args, edit, out),
        Some(Command::Check(check)) => check::run(args, check, out),
        Some(Command::List(list)) => list::run(args, list, out),
        Some(Command::Log(asked)) => log::run(args, asked, out),
        Some(Command::Book(book)) => book::run(args, book, out),
        Some(Command::Completions(asked)) => Ok(shell::completions(asked, out)),
        Some(Command::Man) => shell::manual(out),
        None => piped::run(args, out),
    }
}

//! The command line: arguments, one file per command, exit codes.
//!
//! Data goes to stdout, messages to stderr. A command returns the code it ends
//! with; what ends it early is a `Failure`.

mod add;
mod args;
mod ask;
mod bolts;
mod book;
mod calc;
mod check;
mod clock;
mod completions;
mod edit;
mod exit;
mod export;
mod file_out;
mod find;
mod globals;
mod import;
mod interrupt;
mod joint;
mod kept;
mod list;
mod log;
mod lubes;
mod man;
mod named;
mod open;
mod order;
mod out;
mod pairs;
mod passes;
mod piped;
mod prompt;
mod question;
mod saved;
mod seed;
mod sheet;
mod sign;
mod thread;
mod tour;
mod wrench;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::{CommandFactory, Parser};

use args::{Args, Command};
use exit::{Code, Failure};
use globals::Globals;
use out::Out;

/// Runs clampbook with these arguments, the program's name first.
pub fn main(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    let args = match Args::try_parse_from(&arguments) {
        Ok(args) => args,
        Err(error) => {
            let mut out = Out::new(&Globals::default());
            let code = exit::usage(&calc::hinted(error, &arguments), &mut out);
            return out.finish(code).into();
        }
    };
    let mut out = Out::new(&args.globals);
    let code = match run(&args, &mut out) {
        Ok(code) => code,
        Err(failure) => out.failure(&failure),
    };
    out.finish(code).into()
}

fn run(args: &Args, out: &mut Out) -> Result<Code, Failure> {
    let globals = &args.globals;
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
        Some(Command::Completions(asked)) => Ok(completions::run(asked, Args::command(), out)),
        Some(Command::Tour) => tour::run(out, |words, out| {
            let words = ["clampbook"].iter().chain(words);
            let step = Args::try_parse_from(words).map_err(anyhow::Error::from)?;
            run(&step, out)
        }),
        Some(Command::Man) => man::run(Args::command(), out),
        None => piped::run(globals, out),
    }
}

//! `log`: what was tightened, by whom, with what. Lines are only ever added; a
//! correction is a line that points at the one it stands in place of.

mod add;
mod args;
mod ask;
mod bolts;
mod correct;
mod job;
mod lines;
mod show;

use crate::cli::args::Args;
use crate::cli::exit::{Code, Failure};
use crate::cli::open;
use crate::cli::out::Out;

use args::What;
pub(super) use args::{Log, Which};
pub(super) use bolts::{bolts, states};

/// Runs the command.
pub(super) fn run(args: &Args, log: &Log, out: &mut Out) -> Result<Code, Failure> {
    match &log.what {
        What::Start(start) => job::start(args, start, out),
        What::Add(add) => add::run(args, add, out),
        What::Correct(correct) => correct::run(args, correct, out),
        What::Show(which) => show::show(args, which, out),
        What::Since(since) => show::since(args, since, out),
        What::Wrench(found) => show::wrench(args, found, out),
        What::OffTarget(asked) => show::off_target(args, asked, out),
        What::Retorque(which) => show::retorque(args, which, out),
        What::Tins(which) => show::tins(args, which, out),
        What::Bolts(which) => bolts(&open::reader(args)?.book, which, out),
        What::Export(export) => show::export(args, export, out),
    }
}

//! `log`: what was tightened, by whom, with what. Lines are only ever added; a
//! correction is a line that points at the one it stands in place of.

mod add;
mod ask;
mod correct;
mod job;
mod lines;
mod show;
mod which;

use crate::cli::exit::{Code, Failure};
use crate::cli::globals::Globals;
use crate::cli::out::Out;

use add::Add;
use correct::Correct;
use job::Start;
use show::{Export, FoundOut, OffTarget};
use which::Which;

// `log`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook log start 24-017
  clampbook log add suction flange oil --done
  clampbook log show
  clampbook log wrench W4")]
pub(in crate::cli) struct Log {
    /// What to do with the log
    #[command(subcommand)]
    pub what: What,
}

// What `log` does.
#[derive(Debug, clap::Subcommand)]
pub(in crate::cli) enum What {
    /// Begin a job: the lines that follow are its own
    #[command(after_long_help = "\
Example:
  clampbook log start 24-017")]
    Start(Start),
    /// Record a joint as tightened, a line for each of its fasteners
    Add(Add),
    /// Add a line in place of another, which stays as it was
    Correct(Correct),
    /// The lines that hold; one in full by its number
    #[command(after_long_help = "\
Examples:
  clampbook log show
  clampbook log show 12
  clampbook log show flange --wrench W4 --since 2026-05-01
  clampbook log show --job 24-017 --all
  clampbook log show --did retorqued")]
    Show(Which),
    /// What a wrench is said to have tightened since it was last found good
    #[command(after_long_help = "\
Example:
  clampbook log wrench W4

A calibration that found the wrench out puts in doubt what it tightened since it
was last found good, and what it tightens from then on, until one finds it good:
both days included, as the day alone does not say what came first. One that does
not say how the wrench was found settles nothing. Each that found it out stands
with its lines, then come those since the newest. A line that was corrected to
another wrench stands with its correction.")]
    Wrench(FoundOut),
    /// Readings away from their target, as left
    #[command(after_long_help = "\
Example:
  clampbook log off-target")]
    OffTarget(OffTarget),
    /// What waits to be tightened again
    #[command(after_long_help = "\
Example:
  clampbook log retorque")]
    Retorque(Which),
    /// The tins and lots of lube in use
    #[command(after_long_help = "\
Example:
  clampbook log tins")]
    Tins(Which),
    /// The bolts of bolt sets: tightenings, growth, keep or scrap
    #[command(after_long_help = "\
Example:
  clampbook log bolts --cycles 5")]
    Bolts(Which),
    /// All lines as plain text, to be read without clampbook
    #[command(after_long_help = "\
Example:
  clampbook log export > log.txt")]
    Export(Export),
}

pub(super) fn run(globals: &Globals, log: &Log, out: &mut Out) -> Result<Code, Failure> {
    match &log.what {
        What::Start(start) => job::start(globals, start, out),
        What::Add(add) => add::run(globals, add, out),
        What::Correct(correct) => correct::run(globals, correct, out),
        What::Show(which) => show::show(globals, which, out),
        What::Wrench(found) => show::wrench(globals, found, out),
        What::OffTarget(asked) => show::off_target(globals, asked, out),
        What::Retorque(which) => show::retorque(globals, which, out),
        What::Tins(which) => show::tins(globals, which, out),
        What::Bolts(which) => show::bolts(globals, which, out),
        What::Export(export) => show::export(globals, export, out),
    }
}

//! `thread`: what a thread is, and what is mistaken for it.

use crate::cli::complete;
use crate::cli::exit::{Code, Failure, argument};
use crate::cli::out::Out;
use crate::cli::typed::no_pitch;
use crate::report;
use crate::thread;

// `thread`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook thread 7/16-20
  clampbook thread M10x1.5
  clampbook thread 7/16 coarse
  clampbook thread 10-24
  clampbook thread 1/4 BSW

Which fasteners of the book have such a thread: clampbook find 7/16-20, or
clampbook find confused-with 7/16-20 for those that are mistaken for it.")]
pub(super) struct Thread {
    /// The thread: 7/16-20, M10x1.5, 7/16 coarse
    #[arg(required = true, value_name = "THREAD", add = complete::thread())]
    pub thread: Vec<String>,
}

pub(super) fn run(asked: &Thread, out: &mut Out) -> Result<Code, Failure> {
    let thread = match thread::Thread::parse(&asked.thread.join(" ")) {
        Ok(thread) => thread,
        Err(error) => {
            let Some(coarse) = error.assumed() else { return argument(error.to_string()) };
            out.say(&no_pitch(coarse));
            coarse.clone()
        }
    };
    out.page(&report::thread_page(&thread));
    Ok(Code::Answered)
}

//! `thread`: what a thread is, and what is mistaken for it.

use crate::cli::args::Thread as Asked;
use crate::cli::exit::{Code, Failure};
use crate::cli::out::Out;
use crate::report;
use crate::thread::Thread;

/// Runs the command.
pub(super) fn run(asked: &Asked, out: &mut Out) -> Result<Code, Failure> {
    let thread = Thread::parse(&asked.thread.join(" "))
        .map_err(|error| Failure::Argument(error.to_string()))?;
    out.page(&report::thread_page(&thread));
    Ok(Code::Answered)
}

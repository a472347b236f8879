//! `completions` and `man`: what a shell and its manual want to know, made from
//! the arguments themselves.

use clap::CommandFactory;

use crate::cli::args::{Args, Completions};
use crate::cli::exit::{Code, Failure};
use crate::cli::out::Out;

/// The completion script for a shell.
pub(super) fn completions(asked: &Completions, out: &mut Out) -> Code {
    let mut script = Vec::new();
    clap_complete::generate(asked.shell, &mut Args::command(), "clampbook", &mut script);
    out.answer(&String::from_utf8_lossy(&script));
    Code::Answered
}

/// The manual page, roff for `man`.
pub(super) fn manual(out: &mut Out) -> Result<Code, Failure> {
    let mut page = Vec::new();
    let rendered = clap_mangen::Man::new(Args::command()).render(&mut page);
    rendered.map_err(|error| anyhow::Error::new(error).context("the manual page"))?;
    out.answer(&String::from_utf8_lossy(&page));
    Ok(Code::Answered)
}

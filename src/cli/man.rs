//! `man`: the manual page, made from the arguments themselves.

use crate::cli::exit::{Code, Failure};
use crate::cli::out::Out;

/// Roff for `man`.
pub(super) fn run(program: clap::Command, out: &mut Out) -> Result<Code, Failure> {
    let mut page = Vec::new();
    let rendered = clap_mangen::Man::new(program).render(&mut page);
    rendered.map_err(|error| anyhow::Error::new(error).context("the manual page"))?;
    out.data(&String::from_utf8_lossy(&page));
    Ok(Code::Answered)
}

//! `completions`: the script by which a shell asks the program what may come next.

use crate::cli::exit::{Code, Failure};
use crate::cli::out::Out;
use crate::cli::shell::{SHELLS, VARIABLE};

// `completions`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook completions bash >> ~/.bashrc
  clampbook completions zsh > ~/.zfunc/_clampbook
  clampbook completions fish > ~/.config/fish/completions/clampbook.fish

The shell asks the program: names, threads and keys are those of the book.")]
pub(super) struct Completions {
    /// The shell
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
}

pub(super) fn run(asked: &Completions, out: &mut Out) -> Result<Code, Failure> {
    let name = asked.shell.to_string();
    let shell = SHELLS.completer(&name).ok_or_else(|| {
        let known: Vec<&str> = SHELLS.names().collect();
        Failure::Argument(format!("{name} is none of {}", known.join(", ")))
    })?;
    let mut script = Vec::new();
    shell
        .write_registration(VARIABLE, "clampbook", "clampbook", "clampbook", &mut script)
        .map_err(Failure::Output)?;
    out.data(&String::from_utf8_lossy(&script));
    Ok(Code::Answered)
}

//! `completions`: what a shell wants to know, made from the arguments themselves.

use crate::cli::exit::Code;
use crate::cli::out::Out;

// `completions`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook completions bash > ~/.local/share/bash-completion/completions/clampbook
  clampbook completions zsh > ~/.zfunc/_clampbook
  clampbook completions fish > ~/.config/fish/completions/clampbook.fish")]
pub(super) struct Completions {
    /// The shell
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
}

/// The completion script for a shell.
pub(super) fn run(asked: &Completions, mut program: clap::Command, out: &mut Out) -> Code {
    let mut script = Vec::new();
    clap_complete::generate(asked.shell, &mut program, "clampbook", &mut script);
    out.data(&String::from_utf8_lossy(&script));
    Code::Answered
}

//! Asking on a terminal.

use std::io::{self, IsTerminal};

use crate::cli::exit::{Failure, argument};
use crate::cli::out::Out;

/// Whether somebody is there to answer.
pub(super) fn is_possible() -> bool {
    io::stdin().is_terminal()
}

/// One line from the person after `question`; none at the end of input.
pub(super) fn line(question: &str, out: &mut Out) -> Result<Option<String>, Failure> {
    out.begin(question);
    let mut text = String::new();
    let read = io::stdin().read_line(&mut text);
    let read = read.map_err(|error| Failure::Input(format!("standard input: {error}")))?;
    Ok((read > 0).then(|| text.trim().to_owned()))
}

/// Asks for a yes or no; at a no, says that nothing was changed. Without a terminal
/// nobody can answer: that is an error which names the way out.
pub(super) fn confirm(question: &str, out: &mut Out) -> Result<bool, Failure> {
    if !is_possible() {
        return argument(format!("{question} Nobody can be asked here: say so with --yes"));
    }
    let answer = line(&format!("{question} (y, Enter is no) "), out)?;
    let is_yes = matches!(answer.as_deref(), Some("y" | "Y" | "yes"));
    if !is_yes {
        out.say("nothing was changed");
    }
    Ok(is_yes)
}

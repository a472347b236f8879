//! clampbook alone without a terminal: the lines of standard input are answered as
//! at the prompt, a wrong question reported with the number of its line.

use std::io::{self, BufRead};

use crate::cli::exit::{Code, Failure};
use crate::cli::globals::Globals;
use crate::cli::open;
use crate::cli::out::Out;
use crate::cli::prompt::{LineOutcome, Run, Session};

/// Answers each line; ends with the highest code of them.
pub(super) fn run(
    globals: &Globals,
    out: &mut Out,
    program: &clap::Command,
    command: Run<'_>,
) -> Result<Code, Failure> {
    let mut session = Session::new(globals, open::reader(globals)?, program, command);
    let mut worst = Code::Answered;
    for (number, line) in io::stdin().lock().lines().enumerate() {
        let line = line.map_err(|error| Failure::Input(format!("standard input: {error}")))?;
        let text = line.trim();
        if text.is_empty() || text.starts_with('#') {
            continue;
        }
        let code = match session.answer(text, out) {
            Ok(LineOutcome::Left) => break,
            Ok(LineOutcome::Answered(code) | LineOutcome::Ran(code)) => code,
            Err(failure @ (Failure::Question { .. } | Failure::Argument(_))) => {
                out.complain(&format!("line {}:", number + 1));
                out.failure(&failure)
            }
            Err(other) => return Err(other),
        };
        worst = worst.max(code);
        if out.is_broken() {
            break;
        }
    }
    Ok(worst)
}

//! clampbook alone without a terminal: questions on standard input, one a line, a
//! wrong one reported with its line number.

use std::io::{self, BufRead};

use crate::cli::exit::{Code, Failure};
use crate::cli::globals::Globals;
use crate::cli::out::Out;
use crate::cli::{open, question};
use crate::report;

/// Answers each line; ends with the highest code of them.
pub(super) fn run(globals: &Globals, out: &mut Out) -> Result<Code, Failure> {
    out.one_line = true;
    let opened = open::reader(globals)?;
    let mut worst = Code::Answered;
    for (number, line) in io::stdin().lock().lines().enumerate() {
        let line = line.map_err(|error| Failure::Input(format!("standard input: {error}")))?;
        let text = line.trim();
        if text.is_empty() || text.starts_with('#') {
            continue;
        }
        let code = match question::ask_holding(question::HELD, globals, text, &opened.book) {
            Ok(asked) => {
                out.page(&report::asked_page(&asked, None));
                question::code(&asked.answer)
            }
            Err(failure @ Failure::Question { .. }) => {
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

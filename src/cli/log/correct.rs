//! `log correct`: a new line in place of another, which stays as it was.

use crate::cli::args::Args;
use crate::cli::edit::writer;
use crate::cli::exit::{Code, Failure};
use crate::cli::log::add::write;
use crate::cli::log::args::Correct;
use crate::cli::log::lines::{parted, set_all};
use crate::cli::out::Out;
use crate::record::Pull;

/// Runs the command.
pub(super) fn run(args: &Args, correct: &Correct, out: &mut Out) -> Result<Code, Failure> {
    let (rest, pairs) = parted(&correct.words);
    if let Some(word) = rest.first() {
        let message = format!("`{word}` is no field=value; quote a value that has blanks");
        return Err(Failure::Argument(message));
    }
    let mut writer = writer(args, correct.who.as_deref())?;
    let Some(old) = writer.book().log()?.line(correct.line).cloned() else {
        let lines = writer.book().log()?.lines().len();
        out.complain(&format!("error: the log has no line {}; it has {lines}", correct.line));
        return Ok(Code::Nothing);
    };
    let mut new = Pull { number: 0, corrects: Some(old.number), ..old.clone() };
    let wrench = new.wrench.clone();
    let is_typed = |name: &str| pairs.iter().any(|(field, _)| *field == name);
    set_all(&mut new, &pairs, writer.book())?;
    if !is_typed("wrench") {
        // As it stood on that day, not as it stands now.
        new.wrench = wrench;
    }
    if (Pull { number: old.number, corrects: old.corrects, ..new.clone() }) == old {
        out.say("nothing changed: the line says so already");
        return Ok(Code::Answered);
    }
    write(&mut writer, vec![new], out)
}

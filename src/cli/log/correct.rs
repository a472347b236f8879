//! `log correct`: a new line in place of another, which stays as it was.

use crate::cli::exit::{Code, Failure};
use crate::cli::globals::Globals;
use crate::cli::log::lines::{parted, set_all, write};
use crate::cli::open;
use crate::cli::out::Out;
use crate::cli::pairs::cleaned;
use crate::cli::sign::Signer;
use crate::record::Pull;

/// `log correct`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Example:
  clampbook log correct 12 wrench=W3 remarks=\"W3 was used, not W2\"

The line keeps its number and words; the new line points at it.")]
pub(in crate::cli) struct Correct {
    /// The number of the line
    #[arg(value_name = "LINE")]
    pub line: u64,
    /// What was not so
    #[arg(required = true, value_name = "FIELD=VALUE")]
    pub words: Vec<String>,
    #[command(flatten)]
    pub signer: Signer,
}

pub(super) fn run(globals: &Globals, correct: &Correct, out: &mut Out) -> Result<Code, Failure> {
    let words = cleaned(&correct.words, out);
    let (rest, pairs) = parted(&words);
    if let Some(word) = rest.first() {
        let message = format!("`{word}` is no field=value; quote a value that has blanks");
        return Err(Failure::Argument(message));
    }
    let mut writer = open::changing(globals, correct.signer.who.as_deref())?;
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

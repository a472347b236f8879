//! `log correct`: a new line in place of another, which stays as it was.

use crate::cli::exit::{Code, Failure, argument};
use crate::cli::globals::Globals;
use crate::cli::log::lines::{no_line, parted, set_all, write};
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
        return argument(format!("`{word}` is no field=value; quote a value that has blanks"));
    }
    let mut writer = open::changing(globals, correct.signer.who.as_deref())?;
    let Some(old) = writer.book().log()?.line(correct.line).cloned() else {
        return no_line(correct.line, writer.book(), out);
    };
    let mut new = Pull { number: 0, corrects: Some(old.number), ..old.clone() };
    set_all(&mut new, &pairs, writer.book())?;
    if pairs.iter().all(|(field, _)| *field != "wrench") {
        // As it stood on that day, not as it stands now.
        new.wrench.clone_from(&old.wrench);
    }
    if (Pull { number: old.number, corrects: old.corrects, ..new.clone() }) == old {
        out.say("nothing changed: the line says so already");
        return Ok(Code::Answered);
    }
    write(&mut writer, vec![new], out)
}

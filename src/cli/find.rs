//! `find`: a question and its answer.

use crate::cli::complete;
use crate::cli::exit::{Code, Failure};
use crate::cli::globals::Globals;
use crate::cli::out::Out;
use crate::cli::question::{HELD, ask_holding, code};
use crate::cli::{open, saved};
use crate::query::{Asked, syntax};
use crate::report;
use crate::store::Book;

// `find`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook find 7/16-20 stud
  clampbook find cylinder head, moly or oil
  clampbook find M10 torque over 60 N.m
  clampbook find 7/16-20 with moly keep of-proof over 80%
  clampbook find joint drive show part, lube, torque sort torque down first 10
  clampbook find --save flanges flange, moly or oil
  clampbook find --saved flanges
  clampbook find bolster bolt with anti-seize
  clampbook find no lube
In a shell, quote a question that has any of < > * ( ) \" ' & | ; ! # $ in it, or
write the word: over, under, times. Nothing else needs quotes.
The words to ask for: `clampbook list fields`. Twenty questions with their
answers: grammar/questions.md of the source.")]
pub(super) struct Find {
    /// The question; unquoted words are fine
    #[arg(required_unless_present = "saved", value_name = "QUESTION", add = complete::question())]
    pub question: Vec<String>,
    /// Keep the question in the book under this name
    #[arg(long, value_name = "NAME")]
    pub save: Option<String>,
    /// Answer the question kept under this name
    #[arg(long, value_name = "NAME", add = complete::saved(), conflicts_with_all = ["save", "question"])]
    pub saved: Option<String>,
    /// Also print which index was used and how many records were read
    #[arg(long)]
    pub plan: bool,
    /// Also print formula, inputs and source of each computed figure
    #[arg(long)]
    pub why: bool,
}

pub(super) fn run(globals: &Globals, find: &Find, out: &mut Out) -> Result<Code, Failure> {
    // The working of each row is shown when all have been.
    let holds = if find.why { usize::MAX } else { HELD };
    let Some(name) = &find.save else {
        let opened = open::reader(globals)?;
        let Some(text) = text(find, &opened.book, out)? else { return Ok(Code::Nothing) };
        let asked = ask_holding(holds, globals, &text, &opened.book)?;
        return Ok(write(find, &asked, &opened.book, out));
    };
    let mut writer = open::writer(globals)?;
    let text = syntax::join_arguments(&find.question);
    // Only a question that has been understood is kept.
    ask_holding(HELD, globals, &text, writer.book())?;
    match saved::save(&mut writer, name, &text)? {
        Some(old) => out.say(&format!("saved as `{}` in place of: {old}", name.trim())),
        None => out.say(&format!("saved as `{}`", name.trim())),
    }
    let asked = ask_holding(holds, globals, &text, writer.book())?;
    Ok(write(find, &asked, writer.book(), out))
}

/// The question to answer: as typed, or as saved under the name asked for;
/// none, and said so, if the book has no such name.
fn text(find: &Find, book: &Book, out: &mut Out) -> Result<Option<String>, Failure> {
    let Some(name) = &find.saved else { return Ok(Some(syntax::join_arguments(&find.question))) };
    let found = saved::find(book, name)?;
    if found.is_none() {
        out.complain(&format!("error: {}", saved::unknown(book, name)?));
    }
    Ok(found.map(|note| note.text))
}

/// Writes the answer with what else was asked for.
fn write(find: &Find, asked: &Asked<'_>, book: &Book, out: &mut Out) -> Code {
    out.page(&report::asked_page(asked, find.why.then(|| book.tables())));
    if find.plan {
        out.say(&format!("plan: {}", asked.answer.plan));
    }
    code(&asked.answer)
}

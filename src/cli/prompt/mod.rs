//! The prompt: questions typed one after another at a terminal.
//!
//! Ctrl-C clears the line, Ctrl-D leaves. Lines are kept in the platform's
//! state folder.

mod editor;
mod words;

use std::path::PathBuf;

use etcetera::{AppStrategy, choose_app_strategy};
use rustyline::error::ReadlineError;
use rustyline::history::FileHistory;
use rustyline::{CompletionType, Config, Editor};

use crate::cli::exit::{Code, Failure};
use crate::cli::globals::Globals;
use crate::cli::out::Out;
use crate::cli::{open, question};
use editor::Assistant;
use words::Words;

/// How many lines are kept.
const KEPT: usize = 1000;

const GREETING: &str = "\
Ask as `7/16-20 stud`, `torque over 60 N.m`, `7/16-20 with oil, dry`. Tab completes,
Ctrl-C clears the line, Ctrl-D leaves. Maker's current sheet governs.";

/// What to do first with a book that nothing was entered into yet.
const FIRST: &str = "\
Nothing is entered yet: the book holds reference tables and general charts alone.
Look round: `clampbook tour`, or this prompt on an invented shop: `clampbook --demo`.
Your own specs: `clampbook import FILE --dry-run`, or one by `clampbook add --help`.";

/// Reads and answers questions until Ctrl-D.
pub(super) fn run(globals: &Globals, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(globals)?;
    let words = Words::of(&opened.book)?;
    let mut editor = editor(words, out.has_colour())?;
    let history = history();
    if let Some(file) = &history {
        // The first run has none yet.
        let _ = editor.load_history(file);
    }
    // The first generation is what a new book begins with.
    if !globals.demo && opened.book.info().generation <= 1 {
        out.say(FIRST);
    }
    out.say(GREETING);
    loop {
        match editor.readline("clampbook> ") {
            Ok(line) => answer(globals, &line, &opened.book, out, &mut editor),
            Err(ReadlineError::Interrupted) => {}
            Err(ReadlineError::Eof) => break,
            Err(error) => return Err(anyhow::Error::new(error).context("reading a line").into()),
        }
        if out.is_broken() {
            break;
        }
    }
    if let Some(file) = history {
        save(&mut editor, &file, out);
    }
    Ok(Code::Answered)
}

fn answer(
    globals: &Globals,
    line: &str,
    book: &crate::store::Book,
    out: &mut Out,
    editor: &mut Editor<Assistant, FileHistory>,
) {
    let text = line.trim();
    if text.is_empty() {
        return;
    }
    let _ = editor.add_history_entry(text);
    match question::ask(globals, text, book) {
        Ok(answer) => question::draw(&answer, out),
        Err(failure) => {
            out.failure(&failure);
        }
    }
    out.flush();
}

fn editor(words: Words, colour: bool) -> Result<Editor<Assistant, FileHistory>, Failure> {
    let failed = |error: ReadlineError| anyhow::Error::new(error).context("opening the prompt");
    let config = Config::builder()
        .max_history_size(KEPT)
        .map_err(failed)?
        .history_ignore_dups(true)
        .map_err(failed)?
        .completion_type(CompletionType::List)
        .build();
    let mut editor = Editor::with_config(config).map_err(failed)?;
    editor.set_helper(Some(Assistant::new(words, colour)));
    Ok(editor)
}

/// The file of past lines in the platform's state folder.
fn history() -> Option<PathBuf> {
    let platform = choose_app_strategy(open::app()).ok()?;
    let folder = platform.state_dir().unwrap_or_else(|| platform.data_dir());
    Some(folder.join("history"))
}

fn save(editor: &mut Editor<Assistant, FileHistory>, file: &std::path::Path, out: &mut Out) {
    let folder = file.parent().map_or(Ok(()), std::fs::create_dir_all);
    let saved = folder.is_ok() && editor.save_history(file).is_ok();
    if !saved {
        out.say(&format!("past lines could not be kept in {}", file.display()));
    }
}

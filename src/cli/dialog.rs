//! Asking on a terminal.

use std::cell::RefCell;
use std::io::{self, IsTerminal};

use rustyline::error::ReadlineError;
use rustyline::{Behavior, Config, DefaultEditor};

use crate::cli::exit::{Failure, argument};
use crate::cli::out::Out;

thread_local! {
    /// One for all questions: it holds what is typed ahead.
    static EDITOR: RefCell<Option<DefaultEditor>> = const { RefCell::new(None) };
}

/// Whether somebody is there to answer.
pub(super) fn is_possible() -> bool {
    io::stdin().is_terminal()
}

/// One line from the person after `question`; none at the end of input. Ctrl-C takes
/// the whole command back, for nothing is changed before its last question.
pub(super) fn line(question: &str, out: &mut Out) -> Result<Option<String>, Failure> {
    let failed = |error| Failure::Input(format!("standard input: {error}"));
    let prompt = out.begin(question);
    let read = EDITOR.with_borrow_mut(|editor| {
        let editor = match editor {
            Some(editor) => editor,
            None => {
                // Standard output may be a file.
                let config = Config::builder().behavior(Behavior::PreferTerm).build();
                editor.insert(DefaultEditor::with_config(config)?)
            }
        };
        editor.readline(&prompt)
    });
    match read {
        Ok(text) => Ok(Some(text.trim().to_owned())),
        Err(ReadlineError::Eof) => Ok(None),
        Err(ReadlineError::Interrupted) => Err(Failure::Interrupted),
        Err(error) => Err(failed(error)),
    }
}

/// Asks for a yes, unless it was given; a no ends the command. Without a terminal nobody
/// can answer: that is an error which names the way out.
pub(super) fn confirm(question: &str, yes: bool, out: &mut Out) -> Result<(), Failure> {
    if yes {
        return Ok(());
    }
    if !is_possible() {
        return argument(format!("{question} Nobody can be asked here: say so with --yes"));
    }
    let answer = line(&format!("{question} (y,\u{a0}Enter\u{a0}is\u{a0}no) "), out)?;
    match answer.as_deref() {
        Some("y" | "Y" | "yes") => Ok(()),
        _ => Err(Failure::Declined),
    }
}

//! The prompt: questions and commands typed one after another at a terminal.
//!
//! Ctrl-C clears the line, Ctrl-D leaves. Lines are kept in the platform's state
//! folder as they are typed, those about the demo shop are not.

mod editor;
mod line;
mod session;

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use etcetera::{AppStrategy, choose_app_strategy};
use rustyline::error::ReadlineError;
use rustyline::history::FileHistory;
use rustyline::{CompletionType, Config, Editor};

use crate::cli::exit::{Code, Failure};
use crate::cli::globals::Globals;
use crate::cli::open;
use crate::cli::out::Out;
use editor::Assistant;
pub(super) use session::{LineOutcome, Run, Session};

const KEPT: usize = 1000;

const GREETING: &str = "\
Ask as `7/16-20 stud`, `torque over 60 N.m`, `7/16-20 with oil, dry`, or type a command: \
`lubes head`. `help` shows more on one screen, Tab completes, Ctrl-C clears the line, Ctrl-D \
leaves. Maker's current sheet governs.";

/// What to do first with a book that nothing was entered into yet.
const FIRST: &str = "\
Nothing is entered yet: the book holds reference tables and general charts alone.
Look round: `clampbook tour`, or this prompt on an invented shop: `clampbook --demo`.
Your own specs: `clampbook import FILE --dry-run`, or one by `clampbook add --help`.";

/// Reads and answers lines until Ctrl-D.
pub(super) fn run(
    globals: &Globals,
    out: &mut Out,
    program: fn() -> clap::Command,
    command: Run<'_>,
) -> Result<Code, Failure> {
    let opened = open::reader_saying(globals, "")?;
    let session = Session::new(globals, opened, &program(), command);
    let assistant = Assistant::new(session.words()?, program, out.style.is_coloured());
    let history = history().filter(|_| !globals.demo);
    let mut prompt = Prompt { editor: editor(assistant)?, session, history };
    if let Some(file) = &prompt.history {
        // The first run has none yet.
        let _ = prompt.editor.load_history(file);
    }
    if prompt.session.is_new() {
        out.say(FIRST);
    }
    out.say(GREETING);
    loop {
        let lines = match prompt.editor.readline("clampbook> ") {
            Ok(lines) => lines,
            Err(ReadlineError::Interrupted) => continue,
            Err(ReadlineError::Eof) => break,
            Err(error) => return Err(anyhow::Error::new(error).context("reading a line").into()),
        };
        if prompt.answer(&lines, globals.demo, out)?.is_break() || out.is_broken() {
            break;
        }
    }
    Ok(Code::Answered)
}

struct Prompt<'a> {
    editor: Editor<Assistant, FileHistory>,
    session: Session<'a>,
    /// The file that the lines are kept in.
    history: Option<PathBuf>,
}

impl Prompt<'_> {
    /// Answers what was typed, which may be several lines if it was pasted: each answer
    /// says which it is of.
    fn answer(
        &mut self,
        lines: &str,
        is_demo: bool,
        out: &mut Out,
    ) -> Result<ControlFlow<()>, Failure> {
        let lines: Vec<&str> =
            lines.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
        for line in &lines {
            let _ = self.editor.add_history_entry(*line);
            if let Some(file) = &self.history {
                keep(&mut self.editor, file, out);
            }
            if lines.len() > 1 {
                out.say(&format!("\n{line}"));
            }
            // The window may have another width by now.
            out.measure();
            match self.session.answer(line, out) {
                Ok(LineOutcome::Left) => return Ok(ControlFlow::Break(())),
                Ok(LineOutcome::Answered(_)) => {}
                Ok(LineOutcome::Ran(_)) => {
                    if let Some(assistant) = self.editor.helper_mut().filter(|_| !is_demo) {
                        assistant.words = self.session.words()?;
                    }
                }
                Err(failure) => {
                    out.failure(&failure);
                }
            }
            out.show();
        }
        Ok(ControlFlow::Continue(()))
    }
}

fn editor(assistant: Assistant) -> Result<Editor<Assistant, FileHistory>, Failure> {
    let failed = |error: ReadlineError| anyhow::Error::new(error).context("opening the prompt");
    let config = Config::builder()
        .max_history_size(KEPT)
        .map_err(failed)?
        .history_ignore_dups(true)
        .map_err(failed)?
        .completion_type(CompletionType::List)
        .build();
    let mut editor = Editor::with_config(config).map_err(failed)?;
    editor.set_helper(Some(assistant));
    Ok(editor)
}

fn history() -> Option<PathBuf> {
    let platform = choose_app_strategy(open::app()).ok()?;
    let folder = platform.state_dir().unwrap_or_else(|| platform.data_dir());
    Some(folder.join("history"))
}

/// Writes the last line down at once: a program that is ended has kept it.
fn keep(editor: &mut Editor<Assistant, FileHistory>, file: &Path, out: &mut Out) {
    let folder = file.parent().map_or(Ok(()), std::fs::create_dir_all);
    if folder.is_err() || editor.append_history(file).is_err() {
        out.say(&format!("this line could not be kept in {}", file.display()));
    }
}

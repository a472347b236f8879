//! The prompt: questions and commands typed one after another at a terminal.
//!
//! A line whose first word is a command is that command, any other is a question.
//! Ctrl-C clears the line, Ctrl-D leaves. Lines are kept in the platform's state
//! folder, those about the demo shop are not.

mod editor;
mod line;

use std::path::{Path, PathBuf};
use std::rc::Rc;

use etcetera::{AppStrategy, choose_app_strategy};
use rustyline::error::ReadlineError;
use rustyline::history::FileHistory;
use rustyline::{CompletionType, Config, Editor};

use crate::cli::exit::{Code, Failure};
use crate::cli::globals::Globals;
use crate::cli::hint;
use crate::cli::open::{self, Opened};
use crate::cli::out::Out;
use crate::cli::question;
use crate::cli::words::Words;
use crate::report;
use editor::Assistant;

const KEPT: usize = 1000;

const GREETING: &str = "\
Ask as `7/16-20 stud`, `torque over 60 N.m`, `7/16-20 with oil, dry`, or type a
command: `lubes head`. `help` shows more on one screen, Tab completes, Ctrl-C clears
the line, Ctrl-D leaves. Maker's current sheet governs.";

/// What to do first with a book that nothing was entered into yet.
const FIRST: &str = "\
Nothing is entered yet: the book holds reference tables and general charts alone.
Look round: `clampbook tour`, or this prompt on an invented shop: `clampbook --demo`.
Your own specs: `clampbook import FILE --dry-run`, or one by `clampbook add --help`.";

const HELP: &str = "\
A question says which settings, then what is wanted of them:
  7/16-20 stud                          those with these words
  assembly \"Marlow 6\" head bolt        a name of several words in quotes
  torque over 60 N.m and lube oil       fields compared; `list fields` names them
  7/16-20 with moly, dry                restated for the lube in hand, or why not
  head show part, torque sort torque    these columns, in this order
  head units metric                     in these units
  head on W2                            with this wrench of the book
A line that begins with a command is that command, as in a shell:
  lubes head stud                       every lube, and what a wrong one does
  passes head oil --wrench W2           the steps, as the wrench is set
  log start 24-017                      then: log add head moly --done
  find log                              asks for the word `log` itself
COMMANDS
  COMMAND -h                            what it takes, with examples
Tab completes names, fields, units and options; Up brings earlier lines back.
Ctrl-C clears the line; Ctrl-D, quit or exit leaves.
Maker's current sheet governs; COMPUTED is an estimate; local codes and licensed
practice come first.";

/// What runs a command: its words, and the folder of the demo shop if that is open.
pub(super) type Run<'a> = &'a dyn Fn(&[String], Option<&Path>);

/// Reads and answers lines until Ctrl-D.
pub(super) fn run(
    globals: &Globals,
    out: &mut Out,
    program: fn() -> clap::Command,
    command: Run<'_>,
) -> Result<Code, Failure> {
    let commands = program().get_subcommands().map(|one| one.get_name().to_owned()).collect();
    let opened = open::reader_of_prompt(globals)?;
    let mut prompt = Prompt { globals, commands, opened, command };
    let assistant = Assistant::new(prompt.words()?, program, out.has_colour());
    let mut editor = editor(assistant)?;
    let history = history().filter(|_| !globals.demo);
    if let Some(file) = &history {
        // The first run has none yet.
        let _ = editor.load_history(file);
    }
    // The first generation is what a new book begins with.
    if !globals.demo && prompt.opened.book.generation() <= 1 {
        out.say(FIRST);
    }
    out.say(GREETING);
    'reading: loop {
        match editor.readline("clampbook> ") {
            // What was pasted may be several lines.
            Ok(lines) => {
                for line in lines.lines().map(str::trim).filter(|line| !line.is_empty()) {
                    let _ = editor.add_history_entry(line);
                    if matches!(line, "quit" | "exit") {
                        break 'reading;
                    }
                    if prompt.answer(line, out)?
                        && let Some(assistant) = editor.helper_mut()
                    {
                        assistant.words = prompt.words()?;
                    }
                }
            }
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

struct Prompt<'a> {
    globals: &'a Globals,
    commands: Vec<String>,
    opened: Opened,
    command: Run<'a>,
}

impl Prompt<'_> {
    fn words(&self) -> Result<Rc<Words>, Failure> {
        Words::of(&self.opened.book, self.commands.clone()).map(Rc::new)
    }

    /// Answers a line; whether the book may have changed.
    fn answer(&mut self, line: &str, out: &mut Out) -> Result<bool, Failure> {
        // The window may have another width by now.
        out.measure();
        let first = line.split(' ').next().unwrap_or_default();
        if line == "help" {
            out.answer(&HELP.replace("COMMANDS", &self.command_names()));
        } else if first == "help" || self.commands.iter().any(|command| command == first) {
            out.show();
            let mut words = match line::words(line) {
                Ok(words) => words,
                Err(why) => {
                    out.complain(&format!("error: {why}"));
                    return Ok(false);
                }
            };
            if first == "help" {
                words.remove(0);
                words.push("-h".to_owned());
            }
            (self.command)(&words, self.globals.demo.then(|| self.opened.folder()));
            if !self.globals.demo {
                self.opened = open::reader(self.globals)?;
                return Ok(true);
            }
        } else {
            match question::ask_holding(question::HELD, self.globals, line, &self.opened.book) {
                Ok(asked) => {
                    out.page(&report::asked_page(&asked, None));
                    let is_empty = asked.answer.count() == 0;
                    if let Some(command) = hint::of_line(line).filter(|_| is_empty) {
                        out.say(&format!("for a command write: {command}"));
                    }
                }
                Err(failure) => {
                    out.failure(&failure);
                }
            }
        }
        out.show();
        Ok(false)
    }

    fn command_names(&self) -> String {
        let mut lines = vec![" ".to_owned()];
        for name in &self.commands {
            let last = lines.last_mut().filter(|line| line.len() + name.len() < 78);
            match last {
                Some(line) => line.extend([" ", name]),
                None => lines.push(format!("  {name}")),
            }
        }
        lines.join("\n")
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

fn save(editor: &mut Editor<Assistant, FileHistory>, file: &Path, out: &mut Out) {
    let folder = file.parent().map_or(Ok(()), std::fs::create_dir_all);
    let saved = folder.is_ok() && editor.save_history(file).is_ok();
    if !saved {
        out.say(&format!("past lines could not be kept in {}", file.display()));
    }
}

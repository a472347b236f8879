//! A line that is typed or piped: a command if its first word is one, else a question.

use std::path::Path;
use std::rc::Rc;

use crate::cli::exit::{Code, Failure};
use crate::cli::globals::Globals;
use crate::cli::hint;
use crate::cli::open::{self, Opened};
use crate::cli::out::Out;
use crate::cli::prompt::line;
use crate::cli::question;
use crate::cli::words::Completions;
use crate::report;

const HELP: &str = "\
A question says which settings, then what is wanted of them:
  7/16-20 stud                          those with these words
  assembly \"Marlow 6\" head bolt        a name of several words in quotes
  torque over 60 N.m and lube oil       fields compared; `list fields` names them
  7/16-20 with moly, dry                restated for the lube in hand, or why not
  head show part, torque sort torque    these columns, in this order
  head units metric --why               in these units; with a command's options
A line that begins with a command is that command, as in a shell:
  lubes head stud                       every lube, and what a wrong one does
  passes head oil --wrench W2           the steps, as the wrench is set
  log start 24-017                      then: log add head moly --done
  find log                              asks for the word `log` itself
  COMMAND -h                            what it takes, with examples
Commands: COMMANDS
Tab completes names, fields, units and options; Up brings earlier lines back.
Ctrl-C clears the line; Ctrl-D, quit or exit leaves.
Maker's current sheet governs; COMPUTED is an estimate; local codes and licensed
practice come first.";

/// What runs a command: its words, and the folder of the demo shop if that is open.
pub(in crate::cli) type Run<'a> = &'a dyn Fn(&[String], Option<&Path>) -> Code;

/// What became of a line.
pub(in crate::cli) enum LineOutcome {
    Answered(Code),
    /// A command that may have changed the book.
    Ran(Code),
    /// The person leaves.
    Left,
}

/// An open book of which one line after another is asked.
pub(in crate::cli) struct Session<'a> {
    globals: &'a Globals,
    commands: Vec<String>,
    opened: Opened,
    run: Run<'a>,
}

impl<'a> Session<'a> {
    pub(in crate::cli) fn new(
        globals: &'a Globals,
        opened: Opened,
        program: &clap::Command,
        run: Run<'a>,
    ) -> Self {
        let commands = program.get_subcommands().map(|one| one.get_name().to_owned()).collect();
        Self { globals, commands, opened, run }
    }

    pub(super) fn words(&self) -> Result<Rc<Completions>, Failure> {
        Completions::in_book(&self.opened.book, self.commands.clone()).map(Rc::new)
    }

    /// Whether nothing was entered yet: the first generation is what a book begins with.
    pub(super) fn is_new(&self) -> bool {
        !self.globals.demo && self.opened.book.generation() <= 1
    }

    /// Answers a line; a question that is wrong is the failure.
    pub(in crate::cli) fn answer(
        &mut self,
        line: &str,
        out: &mut Out,
    ) -> Result<LineOutcome, Failure> {
        let first = line.split_whitespace().next().unwrap_or_default().to_lowercase();
        let is_option = |word: &str| {
            word.starts_with('-') && word[1..].starts_with(|c: char| c == '-' || c.is_alphabetic())
        };
        match line.to_lowercase().as_str() {
            "quit" | "exit" | "q" | ":q" => return Ok(LineOutcome::Left),
            "help" | "?" | "-h" | "--help" => {
                out.answer(&HELP.replace("COMMANDS", &self.commands.join(" ")));
                return Ok(LineOutcome::Answered(Code::Answered));
            }
            _ => {}
        }
        if first == "help" || self.commands.contains(&first) {
            return self.command(line, &first, out);
        }
        if line.split_whitespace().any(is_option) {
            return self.command(&format!("find {line}"), "find", out);
        }
        let asked = question::ask_holding(question::HELD, self.globals, line, &self.opened.book)?;
        out.page(&report::asked_page(&asked, None));
        let count = asked.answer.count();
        if first == "units" && count > 1 {
            out.say("for every answer: `book set units=metric`; else add `units …` to a question");
        }
        if let Some(command) = hint::of_line(line).filter(|_| count == 0) {
            out.say(&format!("for a command write: {command}"));
        }
        Ok(LineOutcome::Answered(question::code(&asked.answer)))
    }

    fn command(&mut self, line: &str, first: &str, out: &mut Out) -> Result<LineOutcome, Failure> {
        out.show();
        let mut words = line::words(line).map_err(Failure::Argument)?;
        first.clone_into(&mut words[0]);
        if first == "help" {
            words.remove(0);
            words.push("-h".to_owned());
        }
        let code = (self.run)(&words, self.globals.demo.then(|| self.opened.folder()));
        if !self.globals.demo {
            self.opened = open::reader(self.globals)?;
        }
        Ok(LineOutcome::Ran(code))
    }
}

//! The whole command line: the options of every command, and the list of commands.
//! Each command's own arguments stand in its file.

use clap::{Parser, Subcommand};

use crate::cli::about;
use crate::cli::add::Add;
use crate::cli::book::Book;
use crate::cli::calc::Calc;
use crate::cli::check::Check;
use crate::cli::completions::Completions;
use crate::cli::edit::Edit;
use crate::cli::export::Export;
use crate::cli::find::Find;
use crate::cli::globals::Globals;
use crate::cli::import::Import;
use crate::cli::list::List;
use crate::cli::log::Log;
use crate::cli::lubes::Lubes;
use crate::cli::man::Man;
use crate::cli::order::Order;
use crate::cli::passes::Passes;
use crate::cli::sheet::Sheet;
use crate::cli::thread::Thread;

/// The whole command line.
#[derive(Debug, Parser)]
#[command(name = "clampbook", version, about = about::ABOUT, long_about = about::LONG, after_long_help = about::closing())]
pub(super) struct Args {
    /// What holds for every command
    #[command(flatten)]
    pub globals: Globals,
    /// What to do; alone, questions are read from standard input
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// The commands, each described here: a doc comment on its own struct would stand
/// in place of this one. Each is built only when it is named: a look-up need not wait
/// for the arguments of the others.
#[derive(Debug, Subcommand)]
#[command(defer = true)]
pub(super) enum Command {
    /// Answer a question
    Find(Find),
    /// Every lube for the fasteners of a question, and what a wrong one does
    Lubes(Lubes),
    /// Torque, clamp and stress of one thread, without the book's fasteners
    Calc(Box<Calc>),
    /// What a thread is, and what is mistaken for it
    Thread(Thread),
    /// The steps to a torque, or those of the rows of a question
    Passes(Passes),
    /// In which order the bolts of a joint are pulled, with a map
    Order(Order),
    /// A page for the bench for each joint, to print from a browser
    Sheet(Sheet),
    /// Read a shop's own specs into the book
    Import(Import),
    /// Write the book's fasteners as import reads them back
    Export(Export),
    /// Enter a fastener, a further setting of one, a wrench, layout or bolt set
    Add(Add),
    /// Change, remove or trace a fastener, a setting, lube, wrench, layout, bolt set
    Edit(Edit),
    /// What is wrong or doubtful in the book
    Check(Check),
    /// The lubes, strengths, wrenches, layouts, bolt sets, fields or questions
    List(List),
    /// What was tightened: start a job, record, correct, ask, export
    Log(Box<Log>),
    /// The book itself
    Book(Book),
    /// The demo shop in seven steps, each a command that is shown and run
    #[command(after_long_help = "Example:\n  clampbook tour")]
    Tour,
    /// A completion script for a shell
    Completions(Completions),
    /// The manual page, or all of them as files
    Man(Man),
}

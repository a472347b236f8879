//! The arguments of the program.

use std::path::PathBuf;

use clap::builder::PossibleValue;
use clap::{Parser, Subcommand, ValueEnum};

use crate::cli::calc::args::Calc;
use crate::cli::log::Log;
use crate::cli::order::Order;
use crate::cli::passes::Passes;
use crate::cli::sheet::Sheet;

pub(super) use crate::report::Format;

impl ValueEnum for Format {
    fn value_variants<'a>() -> &'a [Self] {
        &[Self::Table, Self::Json, Self::Csv]
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        let (name, help) = match self {
            Self::Table => ("table", "A table for a person"),
            Self::Json => ("json", "JSON, unrounded, null for what is not stated"),
            Self::Csv => ("csv", "Comma-separated values"),
        };
        Some(PossibleValue::new(name).help(help))
    }
}

/// When to colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Color {
    /// On a terminal, unless NO_COLOR is set.
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

const ABOUT: &str = "A book of fastener and torque specifications that answers questions";

const LONG_ABOUT: &str = "\
A book of fastener and torque specifications that answers questions.

clampbook keeps what the sheets say (thread, strength, lube, torque, passes,
source), finds it by a short question, restates a torque for the lube in hand
where that is allowed, and says why where it is not.";

const EXAMPLES: &str = "\
Examples:
  clampbook --demo find 7/16-20 with moly, oil, dry
  clampbook find M10 torque over 60 N.m
  clampbook lubes head stud
  clampbook calc 7/16-20 --yield 180ksi --lube moly --target \"75% yield\"
  clampbook import shop.csv --dry-run

Exit codes: 0 an answer; 1 no rows, or every figure refused; 2 the question or
arguments are wrong; 3 input refused; 4 the book cannot be used; 130 Ctrl-C.

Maker's current sheet governs; COMPUTED is an estimate; local codes and
licensed practice come first.";

/// Over the options that every command has.
const EVERYWHERE: &str = "Everywhere";

/// The whole command line.
#[derive(Debug, Parser)]
#[command(name = "clampbook", version, about = ABOUT, long_about = LONG_ABOUT, after_long_help = EXAMPLES)]
pub(super) struct Args {
    /// Folder of the book
    #[arg(long, global = true, env = "CLAMPBOOK_DIR", value_name = "DIR", help_heading = EVERYWHERE)]
    pub book: Option<PathBuf>,
    /// Use a throw-away book with an invented demo shop
    #[arg(long, global = true, help_heading = EVERYWHERE)]
    pub demo: bool,
    /// How to write answers
    #[arg(long, global = true, value_enum, default_value_t = Format::Table, help_heading = EVERYWHERE)]
    pub format: Format,
    /// Units to draw in: metric, inch, or a list such as "N.m, kN"
    #[arg(long, global = true, value_name = "UNITS", help_heading = EVERYWHERE)]
    pub units: Option<String>,
    /// When to colour
    #[arg(long, global = true, value_enum, default_value_t = Color::Auto, help_heading = EVERYWHERE)]
    pub color: Color,
    /// Say nothing but answers and errors
    #[arg(short, long, global = true, help_heading = EVERYWHERE)]
    pub quiet: bool,
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
    /// A completion script for a shell
    Completions(Completions),
    /// The manual page, for man
    #[command(after_long_help = "Example:\n  clampbook man > clampbook.1 && man ./clampbook.1")]
    Man,
}

// `find`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook find 7/16-20 stud
  clampbook find cylinder head, moly or oil
  clampbook find M10 torque over 60 N.m
  clampbook find 7/16-20 with moly keep of-proof over 80%
  clampbook find joint head show part, lube, torque, clamp sort torque down first 10
  clampbook find --save heads head, moly or oil
  clampbook find --saved heads
  clampbook find short head bolt with oil
  clampbook find no lube
The words to ask for: `clampbook list fields`. Twenty questions with their
answers: grammar/questions.md of the source.")]
pub(super) struct Find {
    /// The question; unquoted words are fine
    #[arg(required_unless_present = "saved", value_name = "QUESTION")]
    pub question: Vec<String>,
    /// Keep the question in the book under this name
    #[arg(long, value_name = "NAME")]
    pub save: Option<String>,
    /// Answer the question kept under this name
    #[arg(long, value_name = "NAME", conflicts_with_all = ["save", "question"])]
    pub saved: Option<String>,
    /// Also print which index was used and how many records were read
    #[arg(long)]
    pub plan: bool,
    /// Also print formula, inputs and source of each computed figure
    #[arg(long)]
    pub why: bool,
}

// `lubes`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook lubes head stud
  clampbook lubes joint head, 7/16-20
  clampbook lubes assembly \"Marlow 6\", rod

One table for each fastener: every lube with its torque, or the reason why there
is none, and what the listed torque would do with a wrong one.")]
pub(super) struct Lubes {
    /// The question that picks the fasteners
    #[arg(required = true, value_name = "QUESTION")]
    pub question: Vec<String>,
}

// `thread`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook thread 7/16-20
  clampbook thread M10x1.5
  clampbook thread 7/16 coarse
  clampbook thread 10-24
  clampbook thread 1/4 BSW

Which fasteners of the book have such a thread: clampbook find 7/16-20, or
clampbook find confused-with 7/16-20 for those that are mistaken for it.")]
pub(super) struct Thread {
    /// The thread: 7/16-20, M10x1.5, 7/16 coarse
    #[arg(required = true, value_name = "THREAD")]
    pub thread: Vec<String>,
}

// `import`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook import shop.csv --dry-run
  clampbook import shop.csv --take-good rest.csv
  clampbook import book.xlsx --sheet Heads --torque-unit lb-ft
  clampbook import shop.csv --suggest-map shop.toml
  clampbook import shop.csv --map shop.toml

Nothing is stored while a cell is refused, unless --take-good is given. The same
file a second time changes nothing.")]
pub(super) struct Import {
    /// The file: CSV, TSV, JSON, JSON lines, XLSX or ODS; - is standard input
    pub file: PathBuf,
    /// Report what would be taken, change nothing
    #[arg(long)]
    pub dry_run: bool,
    /// Which sheet of a workbook
    #[arg(long, value_name = "NAME")]
    pub sheet: Option<String>,
    /// A mapping file: what headings mean, defaults, answers to questions
    #[arg(long, value_name = "FILE")]
    pub map: Option<PathBuf>,
    /// Write a mapping to begin with, made from the headings, and stop
    #[arg(long, value_name = "FILE")]
    pub suggest_map: Option<PathBuf>,
    /// Take the sound rows and write the others, with reasons, to this file
    #[arg(long, value_name = "FILE")]
    pub take_good: Option<PathBuf>,
    /// Decimals are written with a comma in this file
    #[arg(long)]
    pub decimal_comma: bool,
    /// Unit of torques that have none in header or cell
    #[arg(long, value_name = "UNIT")]
    pub torque_unit: Option<String>,
    /// Lube of rows that name none
    #[arg(long)]
    pub lube: Option<String>,
    /// Source title of rows that name none
    #[arg(long)]
    pub source: Option<String>,
    /// Who enters these
    #[arg(long, env = "CLAMPBOOK_WHO")]
    pub who: Option<String>,
}

// `export`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook export > shop.csv
  clampbook export --file shop.xlsx
  clampbook export --format csv assembly \"Marlow 6\" > marlow.csv
  clampbook export --format json joint head
  clampbook export --file shop.sql && sqlite3 shop.db < shop.sql

What export writes, import reads back as it was. The SQL script makes its tables
and fills them, in SQLite and in PostgreSQL; its view `sheet` is what CSV shows.")]
pub(super) struct Export {
    /// Only the fasteners that this question finds
    #[arg(value_name = "QUESTION")]
    pub question: Vec<String>,
    /// Write to this file; its ending says as what
    #[arg(long, value_name = "FILE")]
    pub file: Option<PathBuf>,
    /// Write as this, whatever the ending of the file
    #[arg(long = "as", value_name = "KIND", value_enum)]
    pub kind: Option<ExportKind>,
    /// A file that is there already is replaced
    #[arg(long, requires = "file")]
    pub replace: bool,
}

/// What `export` writes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum ExportKind {
    /// Comma-separated, safe to open in a spreadsheet
    Csv,
    /// One JSON object
    Json,
    /// A JSON object a line
    Jsonl,
    /// A workbook
    Xlsx,
    /// A script for SQLite and PostgreSQL
    Sql,
}

// `add`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Example:
  clampbook add assembly=\"Marlow 6\" joint=head part=\"bolt, short\" thread=3/8-16 \\
      lube=oil torque=\"33 lb-ft\" source=\"Sheet H7 p. 2\"
  clampbook add wrench W2 low=\"20 lb-ft\" high=\"150 lb-ft\" graduation=\"1 lb-ft\" \\
      calibrated=2026-01-10
  clampbook add layout \"Marlow 6 head\" file=head.csv notes=\"front on the left\"
  clampbook add set R12 fastener=marlow-6-rod-bolt bolts=\"1: new 1.9986 in; 2: new 1.9987 in\"

A wrench has low, high, graduation, shop-low, shop-high (the part of its scale
that the shop trusts), lever, calibrated, due, notes. A layout's file is a table
of coordinates: hole, x mm, y mm and, if there are any, group.")]
pub(super) struct Add {
    /// What is known of it, the fields being those of `list fields`; or wrench
    /// NAME, layout NAME, set NAME and its fields
    #[arg(required = true, value_name = "FIELD=VALUE")]
    pub words: Vec<String>,
    /// Who enters it; else the user of the system
    #[arg(long, env = "CLAMPBOOK_WHO")]
    pub who: Option<String>,
}

// `edit`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook edit marlow-6-head-bolt-short count=6 grip=\"2.5 in\"
  clampbook edit marlow-6-head-stud-long/oil torque=\"90 lb-ft\" source=\"Sheet H8 p. 1\"
  clampbook edit marlow-6-head-stud-long/oil recheck=
  clampbook edit marlow-6-head-stud-long --history
  clampbook edit lube moly k=0.13 source=\"own bench test, 2026\"
  clampbook edit wrench W2 shop-low=\"30 lb-ft\" shop-high=\"140 lb-ft\"
  clampbook edit wrench W2 calibrated=2026-05-04 due=
  clampbook edit layout \"Marlow 6 head\" --remove")]
pub(super) struct Edit {
    /// KEY of a fastener, KEY/LUBE of a setting, or lube, wrench, layout or set
    /// NAME; then the fields, an empty value being "not stated"
    #[arg(required = true, value_name = "KEY FIELD=VALUE")]
    pub words: Vec<String>,
    /// Take it out of the book
    #[arg(long, conflicts_with = "history")]
    pub remove: bool,
    /// Do not ask before removing
    #[arg(long, requires = "remove")]
    pub yes: bool,
    /// Who changed what, and when
    #[arg(long)]
    pub history: bool,
    /// Who changes it; else the user of the system
    #[arg(long, env = "CLAMPBOOK_WHO")]
    pub who: Option<String>,
}

// `check`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook check
  clampbook check assembly \"Marlow 6\"
  clampbook check --acknowledge k7m2qd --note \"maker confirmed by letter\"
  clampbook check --withdraw k7m2qd

Each finding has a mark, first in its line. One that is acknowledged is shown
but not counted; it is back as soon as the figures that it rests on change.
Ends with 1 if something counts, so a script can ask.")]
pub(super) struct Check {
    /// Only the fasteners that this question finds
    #[arg(value_name = "QUESTION")]
    pub question: Vec<String>,
    /// Let the findings of these marks stand; say why with --note
    #[arg(
        long,
        value_name = "MARK",
        value_delimiter = ',',
        requires = "note",
        conflicts_with_all = ["question", "withdraw"]
    )]
    pub acknowledge: Vec<String>,
    /// Why they may stand
    #[arg(long, value_name = "WHY", requires = "acknowledge")]
    pub note: Option<String>,
    /// Take it back: the findings of these marks count again
    #[arg(long, value_name = "MARK", value_delimiter = ',', conflicts_with = "question")]
    pub withdraw: Vec<String>,
    /// Who says so; else the user of the system
    #[arg(long, env = "CLAMPBOOK_WHO")]
    pub who: Option<String>,
}

// `list`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook list fields
  clampbook list lubes
  clampbook list strengths --format json
  clampbook list questions
  clampbook list questions --delete heads")]
pub(super) struct List {
    /// What to list
    #[arg(value_enum)]
    pub what: Listed,
    /// Take the saved question of this name out of the book
    #[arg(long, value_name = "NAME")]
    pub delete: Option<String>,
}

/// What `list` lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Listed {
    /// Lubricants with their factors and sources.
    Lubes,
    /// Strengths with their sizes and sources.
    Strengths,
    /// Wrenches with what of their scale may be used, and when they are due.
    Wrenches,
    /// Layouts of holes.
    Layouts,
    /// Bolt sets: each bolt with its tightenings and growth.
    Sets,
    /// The words that a question may ask for.
    Fields,
    /// The questions saved by `find --save`.
    Questions,
}

// `completions`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook completions bash > ~/.local/share/bash-completion/completions/clampbook
  clampbook completions zsh > ~/.zfunc/_clampbook
  clampbook completions fish > ~/.config/fish/completions/clampbook.fish")]
pub(super) struct Completions {
    /// The shell
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
}

// `book`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook book info
  clampbook book verify
  clampbook book backup shop.jsonl
  clampbook book restore shop.jsonl
  clampbook --book /media/stick/book book info")]
pub(super) struct Book {
    /// What to do with the book
    #[command(subcommand)]
    pub what: BookCommand,
}

// What `book` does.
#[derive(Debug, Subcommand)]
pub(super) enum BookCommand {
    /// Where it is, how much it holds, which generation
    #[command(after_long_help = "Example:\n  clampbook book info --format json")]
    Info,
    /// Read all of it and compare its two halves
    #[command(after_long_help = "Example:\n  clampbook book verify\n\n\
        Ends with 4 if the book is damaged; `book restore` mends it.")]
    Verify,
    /// Write all of it to one text file, a line of JSON each
    #[command(after_long_help = "Example:\n  clampbook book backup shop-2026-05-01.jsonl")]
    Backup {
        /// The file
        file: PathBuf,
    },
    /// Mend it from its newest whole state, or replace it by a backup
    #[command(after_long_help = "Examples:\n  clampbook book restore\n  \
        clampbook book restore shop-2026-05-01.jsonl --yes\n\n\
        The files that it replaces are kept in the folder `damaged` of the book.")]
    Restore {
        /// The backup; without one the book's own files are used
        file: Option<PathBuf>,
        /// Do not ask
        #[arg(long)]
        yes: bool,
    },
    /// Rewrite its files to their smallest
    #[command(after_long_help = "Example:\n  clampbook book compact")]
    Compact,
}

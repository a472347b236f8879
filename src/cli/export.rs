//! `export`: the fasteners of the book, as import reads them back, or as a
//! script for a server.

use std::io::{self, IsTerminal, Write};
use std::ops::ControlFlow;
use std::path::PathBuf;
use std::sync::Arc;

use clap::ValueEnum;

use crate::cli::complete;
use crate::cli::exit::{Code, Failure, argument};
use crate::cli::file_out::{self, FileOut};
use crate::cli::globals::{Format, Globals};
use crate::cli::open;
use crate::cli::out::Out;
use crate::cli::progress::Progress;
use crate::cli::question::fasteners;
use crate::cli::seed;
use crate::record::{Fastener, Tables};
use crate::report::{self, Fasteners};
use crate::store::{Access, Book, StoreError};

// `export`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook export > shop.csv
  clampbook export --file shop.xlsx
  clampbook export --format csv assembly \"Dunlin 2 mill\" > mill.csv
  clampbook export --format json joint drive
  clampbook export --file shop.sql && sqlite3 shop.db < shop.sql

What export writes, import reads back as it was, but for the SQL script and a file of
no rows. The script makes its tables and fills them, in SQLite and in PostgreSQL; its
view `sheet` is what CSV shows. Lubes and strengths of your own go along in JSON and in
a workbook; of a CSV the other book must have them first.")]
pub(super) struct Export {
    /// Only the fasteners that this question finds
    #[arg(value_name = "QUESTION", add = complete::question())]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
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

/// Runs the command: CSV unless something else is asked for.
pub(super) fn run(globals: &Globals, export: &Export, out: &mut Out) -> Result<Code, Failure> {
    let kind = kind(export, out.format)?;
    let opened = open::reader(globals)?;
    let book = &opened.book;
    let which = match export.question.as_slice() {
        [] => Which::All(book),
        question => Which::Some(fasteners(globals, question, book)?),
    };
    let own = book.tables().beyond(&seed::reference()?);
    let chosen = Chosen { own: which.named(own), which };
    let (fasteners, settings) = chosen.which.counts();
    if kind == ExportKind::Csv
        && let Some(words) = left_out(&chosen.own)
    {
        out.say(&words);
    }
    // On a terminal the rows themselves show how far it is.
    let is_shown = export.file.is_none() && io::stdout().is_terminal();
    let progress = (!is_shown).then(|| Progress::spinner("exporting", globals));
    match &export.file {
        Some(file) => {
            let mut to = FileOut::begin(file, export.replace)?;
            write(kind, &chosen, book.tables(), &mut to)
                .map_err(|error| failed(error, |error| file_out::failed(file, &error)))?;
            to.finish()?;
            drop(progress);
            out.answer(&format!("{}: {fasteners} fasteners, {settings} settings.", file.display()));
        }
        None => match write(kind, &chosen, book.tables(), out.stdout()) {
            // A closed pipe or a full disk shows at the end, as for every answer.
            Err(error) if !is_of_book(&error) => out.keep(Err(error)),
            written => written.map_err(|error| failed(error, Failure::Output))?,
        },
    }
    Ok(if fasteners == 0 { Code::Nothing } else { Code::Answered })
}

/// What is written: fasteners, and the lubes and strengths that only this shop has.
struct Chosen<'a> {
    which: Which<'a>,
    own: Tables,
}

/// What a CSV cannot hold and another book needs, in words.
fn left_out(own: &Tables) -> Option<String> {
    let lubes = own.lubes.iter().map(|one| format!("lube {}", one.name));
    let strengths = own.strengths.iter().map(|one| format!("strength {}", one.name));
    let names: Vec<String> = lubes.chain(strengths).collect();
    (!names.is_empty()).then(|| {
        format!("not in a CSV: {}; another book needs them first, or --as json", names.join(", "))
    })
}

enum Which<'a> {
    /// All of the book: read one by one while they are written.
    All(&'a Book),
    /// Those that a question found.
    Some(Vec<Arc<Fastener>>),
}

impl Which<'_> {
    /// The records among `own` that its settings name; all of them for all of the book.
    fn named(&self, mut own: Tables) -> Tables {
        if let Self::Some(these) = self {
            let settings = these.iter().flat_map(|one| &one.settings);
            let lubes = settings.flat_map(|one| [&one.lube, &one.face_lube]).flatten();
            let lubes: Vec<&String> = lubes.collect();
            let strengths = these.iter().filter_map(|one| one.strength.name.as_ref());
            let strengths: Vec<&String> = strengths.collect();
            own.lubes.retain(|lube| lubes.contains(&&lube.name));
            own.strengths.retain(|class| strengths.contains(&&class.name));
        }
        own
    }

    fn counts(&self) -> (u64, u64) {
        match self {
            Self::All(book) => {
                let info = book.info();
                (info.fasteners, info.settings)
            }
            Self::Some(these) => {
                let settings = these.iter().map(|one| one.settings.len() as u64).sum();
                (these.len() as u64, settings)
            }
        }
    }
}

impl Fasteners for Chosen<'_> {
    fn own(&self) -> Option<&Tables> {
        Some(&self.own)
    }

    fn each(&self, visit: &mut dyn FnMut(&Fastener) -> io::Result<()>) -> io::Result<()> {
        let book = match &self.which {
            Which::All(book) => book,
            Which::Some(these) => return these.each(visit),
        };
        let mut written = Ok(());
        let read = book.each(&Access::All, &mut |fastener| {
            written = visit(&fastener);
            if written.is_ok() { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
        });
        read?;
        written
    }
}

/// Whether it was the book that could not be read, not the output written.
fn is_of_book(error: &io::Error) -> bool {
    error.get_ref().is_some_and(<dyn std::error::Error + Send + Sync>::is::<StoreError>)
}

fn failed(error: io::Error, otherwise: impl FnOnce(io::Error) -> Failure) -> Failure {
    match error.downcast::<StoreError>() {
        Ok(of_book) => Failure::Book(of_book),
        // The form cannot hold the book.
        Err(error) if error.kind() == io::ErrorKind::InvalidInput => {
            Failure::Argument(error.to_string())
        }
        Err(error) => otherwise(error),
    }
}

/// What is written: as told, else as the ending of the file says.
fn kind(export: &Export, format: Format) -> Result<ExportKind, Failure> {
    let of_file = export.file.as_deref().map(|file| {
        let ending = file.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
        ExportKind::from_str(ending, true).or_else(|_| {
            let file = file.display();
            argument(format!(
                "{file}: end its name in .csv, .json, .jsonl, .xlsx or .sql, or say --as KIND"
            ))
        })
    });
    let kind = match (export.kind, of_file) {
        (Some(kind), _) => kind,
        (None, Some(of_file)) => of_file?,
        (None, None) if format == Format::Json => ExportKind::Json,
        (None, None) => ExportKind::Csv,
    };
    if kind == ExportKind::Xlsx && export.file.is_none() {
        return argument("a workbook is no text: name its file with --file shop.xlsx");
    }
    Ok(kind)
}

fn write(
    kind: ExportKind,
    fasteners: &Chosen<'_>,
    tables: &Tables,
    to: &mut dyn Write,
) -> io::Result<()> {
    match kind {
        ExportKind::Csv => report::export_csv(fasteners, to),
        ExportKind::Json => report::export_json(fasteners, to),
        ExportKind::Jsonl => report::export_json_lines(fasteners, to),
        ExportKind::Sql => report::export_sql(fasteners, tables, to),
        #[cfg(feature = "spreadsheet")]
        ExportKind::Xlsx => report::export_workbook(fasteners, to),
        #[cfg(not(feature = "spreadsheet"))]
        ExportKind::Xlsx => Err(io::Error::new(
            io::ErrorKind::InvalidInput,
            "this clampbook was built without workbooks: export as CSV",
        )),
    }
}

//! `export`: the fasteners of the book, as import reads them back, or as a
//! script for a server.

use std::io::{self, Write};
use std::path::PathBuf;
use std::sync::Arc;

use crate::cli::complete;
use crate::cli::exit::{Code, Failure};
use crate::cli::file_out::{self, FileOut};
use crate::cli::globals::{Format, Globals};
use crate::cli::open;
use crate::cli::out::Out;
use crate::cli::question::fasteners;
use crate::record::{Fastener, Tables};
use crate::report;

// `export`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook export > shop.csv
  clampbook export --file shop.xlsx
  clampbook export --format csv assembly \"Dunlin 2 mill\" > mill.csv
  clampbook export --format json joint drive
  clampbook export --file shop.sql && sqlite3 shop.db < shop.sql

What export writes, import reads back as it was. The SQL script makes its tables
and fills them, in SQLite and in PostgreSQL; its view `sheet` is what CSV shows.")]
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
    let fasteners = fasteners(globals, &export.question, &opened.book)?;
    let tables = opened.book.tables();
    match &export.file {
        Some(file) => {
            let mut to = FileOut::begin(file, export.replace)?;
            draw(kind, &fasteners, tables, &mut to)?
                .map_err(|error| file_out::failed(file, &error))?;
            to.finish()?;
            let settings: usize = fasteners.iter().map(|one| one.settings.len()).sum();
            let (file, all) = (file.display(), fasteners.len());
            out.answer(&format!("{file}: {all} fasteners, {settings} settings."));
        }
        None => {
            let written = draw(kind, &fasteners, tables, out.stdout())?;
            out.keep(written);
        }
    }
    Ok(if fasteners.is_empty() { Code::Nothing } else { Code::Answered })
}

/// What is written: as told, else as the ending of the file says.
fn kind(export: &Export, format: Format) -> Result<ExportKind, Failure> {
    let of_file = export.file.as_deref().map(|file| {
        let ending = file.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
        match ending.to_ascii_lowercase().as_str() {
            "csv" => Ok(ExportKind::Csv),
            "json" => Ok(ExportKind::Json),
            "jsonl" => Ok(ExportKind::Jsonl),
            "xlsx" => Ok(ExportKind::Xlsx),
            "sql" => Ok(ExportKind::Sql),
            _ => {
                let file = file.display();
                let message = format!(
                    "{file}: end its name in .csv, .json, .jsonl, .xlsx or .sql, or say --as KIND"
                );
                Err(Failure::Argument(message))
            }
        }
    });
    let kind = match (export.kind, of_file) {
        (Some(kind), _) => kind,
        (None, Some(of_file)) => of_file?,
        (None, None) if format == Format::Json => ExportKind::Json,
        (None, None) => ExportKind::Csv,
    };
    if kind == ExportKind::Xlsx && export.file.is_none() {
        let message = "a workbook is no text: name its file with --file shop.xlsx";
        return Err(Failure::Argument(message.to_owned()));
    }
    Ok(kind)
}

/// Writes the fasteners; a form that cannot hold them is an error of its own.
fn draw(
    kind: ExportKind,
    fasteners: &[Arc<Fastener>],
    tables: &Tables,
    to: &mut dyn Write,
) -> Result<io::Result<()>, Failure> {
    Ok(match kind {
        ExportKind::Csv => report::export_csv(fasteners, to),
        ExportKind::Json => report::export_json(fasteners, to),
        ExportKind::Jsonl => report::export_json_lines(fasteners, to),
        ExportKind::Sql => to.write_all(report::export_sql(fasteners, tables).as_bytes()),
        ExportKind::Xlsx => to.write_all(&workbook(fasteners)?),
    })
}

#[cfg(feature = "spreadsheet")]
fn workbook(fasteners: &[Arc<Fastener>]) -> Result<Vec<u8>, Failure> {
    report::export_workbook(fasteners).map_err(|error| Failure::Argument(error.to_string()))
}

#[cfg(not(feature = "spreadsheet"))]
fn workbook(_: &[Arc<Fastener>]) -> Result<Vec<u8>, Failure> {
    let message = "this clampbook was built without workbooks: export as CSV";
    Err(Failure::Argument(message.to_owned()))
}

//! `import`: a shop's own specs into the book, whole or not at all.

mod ask;
mod load;
mod own;

use std::io::{IsTerminal, Read};
use std::path::{Path, PathBuf};

use crate::cli::clock;
use crate::cli::complete;
use crate::cli::exit::{Code, Failure, refused};
use crate::cli::file_out;
use crate::cli::globals::Globals;
use crate::cli::open;
use crate::cli::out::Out;
use crate::cli::seed;
use crate::cli::sign::{Signer, signature};
use crate::intake::{self, Options, Sheet};
use crate::quantity::{DecimalMark, Dimension, find_unit};
use crate::record::{NameOf, Tables};
use crate::report::{self, Imported};
use crate::store::{Book, Signature};
use crate::text::printable;

// `import`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook import shop.csv --dry-run
  clampbook import shop.csv --take-good rest.csv
  clampbook import book.xlsx --sheet Heads --torque-unit lb-ft
  clampbook import shop.csv --suggest-map shop.toml
  clampbook import shop.csv --map shop.toml
  clampbook import werkstatt.csv --decimal-comma
  clampbook import shop-corrected.csv --retire

Nothing is stored while a cell is refused, unless --take-good is given. The same
file a second time changes nothing. Of a corrected file the report names what the
book has from the same source and the file no longer has; --retire marks it superseded.")]
#[allow(clippy::struct_excessive_bools)] // each is one switch of the command
pub(super) struct Import {
    /// The file: CSV, TSV, columns parted by blanks, JSON, XLSX or ODS; - is standard input
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
    /// Mark superseded what the book has from the same source and the file no longer has
    #[arg(long, conflicts_with = "take_good")]
    pub retire: bool,
    /// A file that --suggest-map or --take-good names is replaced if it is there
    #[arg(long)]
    pub replace: bool,
    /// Decimals are written with a comma in this file
    #[arg(long)]
    pub decimal_comma: bool,
    /// Unit of torques that have none in header or cell
    #[arg(long, value_name = "UNIT")]
    pub torque_unit: Option<String>,
    /// Lube of rows that name none
    #[arg(long, add = complete::named(NameOf::Lube))]
    pub lube: Option<String>,
    /// Source title of rows that name none
    #[arg(long)]
    pub source: Option<String>,
    #[command(flatten)]
    pub signer: Signer,
}

pub(super) fn run(globals: &Globals, import: &Import, out: &mut Out) -> Result<Code, Failure> {
    for file in import.suggest_map.iter().chain(&import.take_good) {
        file_out::refuse(file, import.replace)?;
    }
    let mut options = options(import)?;
    let sheet = sheet(&import.file, &options)?;
    if let Some(file) = &import.suggest_map {
        let opened = open::trial(globals)?;
        let mapping = intake::suggest_mapping(&sheet, opened.book.tables(), &options);
        file_out::write(file, mapping.as_bytes(), import.replace)?;
        out.answer(&format!("{}: look it over, then import with --map.", file.display()));
        return Ok(Code::Answered);
    }
    if ask::is_possible(out) {
        let from = ask::From { file: &import.file, map: import.map.as_deref() };
        ask::questions(globals, from, &sheet, &mut options, out)?;
    }
    if import.dry_run {
        let opened = open::trial(globals)?;
        let taken = load::look(globals, &sheet, &options, &opened.book)?;
        return Ok(reported(&taken, Imported::DryRun, out));
    }
    if open::own(globals)?.book(globals).is_err_and(|error| error.is_absent()) {
        // No book is made for a file that no book could take.
        intake::check(&sheet, &seed::reference()?, &options).map_err(refused)?;
    }
    let mut writer = open::writer(globals)?;
    writer.sign(signed(import, writer.book()));
    let rest = import.take_good.as_ref().map(|rest| {
        |taken: &intake::Report, tables: &Tables| {
            let text = intake::leftovers(&sheet, tables, &options, taken).map_err(refused)?;
            file_out::write(rest, text.as_bytes(), import.replace)
        }
    });
    let leftovers = rest.as_ref().map(|rest| rest as load::Leftovers<'_>);
    let taken = load::load(&sheet, &options, &mut writer, leftovers, globals)?;
    let done = if import.take_good.is_some() { Imported::SoundRows } else { Imported::Whole };
    Ok(reported(&taken, done, out))
}

fn sheet(file: &Path, options: &Options) -> Result<Sheet, Failure> {
    if file.as_os_str() != "-" {
        return intake::open_any(file, options).map_err(refused);
    }
    if std::io::stdin().is_terminal() {
        return Err(refused("`-` reads a file from a pipe: `… | clampbook import -`"));
    }
    let mut bytes = Vec::new();
    let read = std::io::stdin().lock().read_to_end(&mut bytes);
    read.map_err(|error| refused(format!("standard input: {error}")))?;
    intake::read_any(&bytes, "standard input", options).map_err(refused)
}

/// Who imports which file, and when: the history of what it changes says so.
fn signed(import: &Import, book: &Book) -> Signature {
    let signature = signature(import.signer.who.as_deref(), book);
    let name = import.file.file_name().unwrap_or(import.file.as_os_str());
    let from = match name.to_string_lossy() {
        piped if piped == "-" => "standard input".to_owned(),
        name => printable(&name),
    };
    let of = if signature.who.is_empty() { String::new() } else { format!("{}, ", signature.who) };
    Signature { who: format!("{of}from {from}"), ..signature }
}

fn options(import: &Import) -> Result<Options, Failure> {
    let mut options = Options::default();
    if import.decimal_comma {
        options.decimal = DecimalMark::Comma;
    }
    if let Some(name) = &import.torque_unit {
        let unit = find_unit(name).filter(|unit| unit.dimension == Dimension::Torque);
        let message = format!("--torque-unit: `{name}` is not a unit of torque; write lb-ft, N.m");
        options.torque_unit = Some(unit.ok_or(Failure::Argument(message))?);
    }
    options.retire = import.retire;
    options.lube.clone_from(&import.lube);
    options.source.title.clone_from(&import.source);
    options.sheet.clone_from(&import.sheet);
    options.today = Some(clock::today());
    options.who.clone_from(&import.signer.who);
    if let Some(map) = &import.map {
        let name = map.display().to_string();
        let text = std::fs::read_to_string(map).map_err(|e| refused(format!("{name}: {e}")))?;
        intake::read_mapping(&text, &name, &mut options).map_err(refused)?;
    }
    Ok(options)
}

fn reported(taken: &intake::Report, done: Imported, out: &mut Out) -> Code {
    out.page(&report::import_page(taken, done));
    if taken.is_sound() { Code::Answered } else { Code::Refused }
}

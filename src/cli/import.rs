//! `import`: a shop's own specs into the book, whole or not at all.

use std::io::{IsTerminal, Read};
use std::path::Path;

use jiff::Timestamp;
use jiff::tz::TimeZone;

use crate::cli::args::{Args, Format, Import};
use crate::cli::exit::{Code, Failure};
use crate::cli::open;
use crate::cli::out::Out;
use crate::intake::{self, Held, Options, Sheet};
use crate::quantity::{DecimalMark, Dimension, find_unit};
use crate::report;
use crate::store::{Access, Book, Change};

/// Runs the command.
pub(super) fn run(args: &Args, import: &Import, out: &mut Out) -> Result<Code, Failure> {
    let (bytes, name) = input(&import.file)?;
    let sheet = intake::read_any(&bytes, &name, import.sheet.as_deref())
        .map_err(|e| Failure::Input(e.to_string()))?;
    let options = options(import)?;
    if import.dry_run {
        let opened = open::reader(args)?;
        let taken = read(&sheet, &options, &opened.book)?;
        draw(&taken, true, out);
        return Ok(code(&taken));
    }
    let mut writer = open::writer(args)?;
    let taken = read(&sheet, &options, writer.book())?;
    let changes: Vec<Change> =
        taken.accepted().unwrap_or_default().iter().cloned().map(Change::from).collect();
    if !changes.is_empty() {
        writer.apply(changes)?;
    }
    draw(&taken, false, out);
    Ok(code(&taken))
}

/// The report on `sheet`, held against what the book has.
fn read(sheet: &Sheet, options: &Options, book: &Book) -> Result<intake::Report, Failure> {
    let existing = Held::of(book.find(&Access::All)?.fasteners);
    intake::take(sheet, book.tables(), options, &existing)
        .map_err(|e| Failure::Input(e.to_string()))
}

fn code(taken: &intake::Report) -> Code {
    if taken.is_sound() { Code::Answered } else { Code::Refused }
}

/// The bytes of the file, and what to call it in messages.
fn input(file: &Path) -> Result<(Vec<u8>, String), Failure> {
    let name = file.display().to_string();
    let failed = |error: std::io::Error| Failure::Input(format!("{name}: {error}"));
    if file.as_os_str() != "-" {
        return std::fs::read(file).map_err(failed).map(|bytes| (bytes, name.clone()));
    }
    if std::io::stdin().is_terminal() {
        let message = "`-` reads a file from a pipe: `… | clampbook import -`";
        return Err(Failure::Input(message.to_owned()));
    }
    let mut bytes = Vec::new();
    std::io::stdin().lock().read_to_end(&mut bytes).map_err(failed)?;
    Ok((bytes, "standard input".to_owned()))
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
    options.lube.clone_from(&import.lube);
    options.source.title.clone_from(&import.source);
    options.today = Some(today());
    options.who.clone_from(&import.who);
    Ok(options)
}

/// The day, UTC; `CLAMPBOOK_NOW` sets it for tests.
fn today() -> jiff::civil::Date {
    let set = std::env::var("CLAMPBOOK_NOW").ok().and_then(|now| now.parse::<Timestamp>().ok());
    set.unwrap_or_else(Timestamp::now).to_zoned_datetime(TimeZone::UTC).date()
}

fn draw(taken: &intake::Report, dry_run: bool, out: &mut Out) {
    let text = match out.format {
        Format::Json => report::import_json(taken, dry_run),
        Format::Table | Format::Csv => report::import_page(taken, dry_run, out.width, out.style),
    };
    out.answer(&text);
}

//! `import`: a shop's own specs into the book, whole or not at all.

use std::io::{IsTerminal, Read};
use std::path::Path;

use crate::cli::args::{Args, Format, Import};
use crate::cli::exit::{Code, Failure};
use crate::cli::open;
use crate::cli::out::Out;
use crate::intake::{self, Options};
use crate::quantity::{DecimalMark, Dimension, find_unit};
use crate::report;
use crate::store::{Access, Change};

/// Runs the command.
pub(super) fn run(args: &Args, import: &Import, out: &mut Out) -> Result<Code, Failure> {
    let (bytes, name) = input(&import.file)?;
    let sheet = intake::read_csv(&bytes, &name).map_err(|e| Failure::Input(e.to_string()))?;
    let options = options(import)?;
    if import.dry_run {
        let opened = open::reader(args)?;
        let existing = opened.book.find(&Access::All)?.fasteners;
        let taken = intake::take(&sheet, opened.book.tables(), &options, &existing);
        draw(&taken, true, out);
        return Ok(if taken.is_refused() { Code::Refused } else { Code::Answered });
    }
    let mut writer = open::writer(args)?;
    let existing = writer.book().find(&Access::All)?.fasteners;
    let taken = intake::take(&sheet, writer.book().tables(), &options, &existing);
    if taken.is_refused() {
        draw(&taken, false, out);
        return Ok(Code::Refused);
    }
    let changes: Vec<Change> = taken.fasteners.iter().cloned().map(Change::Put).collect();
    if !changes.is_empty() {
        writer.apply(changes)?;
    }
    draw(&taken, false, out);
    Ok(Code::Answered)
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
    options.source.clone_from(&import.source);
    options.who.clone_from(&import.who);
    Ok(options)
}

fn draw(taken: &intake::Report, dry_run: bool, out: &mut Out) {
    let text = match out.format {
        Format::Json => report::import_json(taken, dry_run),
        Format::Table | Format::Csv => report::import_page(taken, dry_run, out.width, out.style),
    };
    out.answer(&text);
}

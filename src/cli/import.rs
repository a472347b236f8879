//! `import`: a shop's own specs into the book, whole or not at all.

mod ask;
mod known;
mod load;

use std::io::{IsTerminal, Read};
use std::path::Path;

use crate::cli::args::{Args, Import};
use crate::cli::clock;
use crate::cli::edit;
use crate::cli::exit::{Code, Failure};
use crate::cli::open;
use crate::cli::out::Out;
use crate::intake::{self, Options, Sheet};
use crate::quantity::{DecimalMark, Dimension, find_unit};
use crate::report::{self, Imported};
use crate::store::Signature;

/// Runs the command.
pub(super) fn run(args: &Args, import: &Import, out: &mut Out) -> Result<Code, Failure> {
    let mut options = options(import)?;
    let sheet = sheet(&import.file, &options)?;
    if let Some(file) = &import.suggest_map {
        let opened = open::trial(args)?;
        write(file, &intake::suggest_mapping(&sheet, opened.book.tables(), &options))?;
        out.answer(&format!("{}: look it over, then import with --map.", file.display()));
        return Ok(Code::Answered);
    }
    if ask::is_possible(out) {
        ask::questions(args, import, &sheet, &mut options, out)?;
    }
    if import.dry_run {
        let opened = open::trial(args)?;
        let taken = load::look(&sheet, &options, &opened.book)?;
        draw(&taken, Imported::DryRun, out);
        return Ok(code(&taken));
    }
    let mut writer = open::writer(args)?;
    writer.sign(signature(import));
    let rest = import.take_good.as_ref().map(|rest| {
        |taken: &intake::Report| write(rest, &intake::leftovers(&sheet, taken).map_err(refused)?)
    });
    let aside = rest.as_ref().map(|rest| rest as load::Aside<'_>);
    let taken = load::load(&sheet, &options, &mut writer, aside, out)?;
    let done = if import.take_good.is_some() { Imported::SoundRows } else { Imported::Whole };
    draw(&taken, done, out);
    Ok(code(&taken))
}

fn refused(error: impl std::fmt::Display) -> Failure {
    Failure::Input(error.to_string())
}

/// The rows of the file, or of standard input for `-`.
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

fn write(file: &Path, text: &str) -> Result<(), Failure> {
    std::fs::write(file, text).map_err(Failure::Output)
}

/// Who imports which file, and when: the history of what it changes says so.
fn signature(import: &Import) -> Signature {
    let signature = edit::signature(import.who.as_deref());
    let name = import.file.file_name().unwrap_or(import.file.as_os_str());
    let from = match name.to_string_lossy() {
        piped if piped == "-" => "standard input".to_owned(),
        name => name.into_owned(),
    };
    let of = if signature.who.is_empty() { String::new() } else { format!("{}, ", signature.who) };
    Signature { who: format!("{of}from {from}"), ..signature }
}

fn code(taken: &intake::Report) -> Code {
    if taken.is_sound() { Code::Answered } else { Code::Refused }
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
    options.sheet.clone_from(&import.sheet);
    options.today = Some(clock::today());
    options.who.clone_from(&import.who);
    if let Some(map) = &import.map {
        let name = map.display().to_string();
        let text = std::fs::read_to_string(map).map_err(|e| refused(format!("{name}: {e}")))?;
        intake::read_mapping(&text, &name, &mut options).map_err(refused)?;
    }
    Ok(options)
}

fn draw(taken: &intake::Report, done: Imported, out: &mut Out) {
    out.page(&report::import_page(taken, done));
}

//! `book`: the book itself.

use std::path::Path;

use crate::cli::args::{Args, Book, BookCommand};
use crate::cli::exit::{Code, Failure};
use crate::cli::open;
use crate::cli::out::Out;
use crate::report::{self, BookFacts, BookVerdict};
use crate::store;

/// Runs the command.
pub(super) fn run(args: &Args, book: &Book, out: &mut Out) -> Result<Code, Failure> {
    match &book.what {
        BookCommand::Info => info(args, out),
        BookCommand::Verify => check(args, out),
        BookCommand::Backup { file } => backup(args, file, out),
        BookCommand::Restore { file, yes } => mend(args, file.as_deref(), *yes, out),
        BookCommand::Compact => compact(args, out),
    }
}

fn info(args: &Args, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(args)?;
    let info = opened.book.info();
    let facts = BookFacts {
        folder: info.path.display().to_string(),
        generation: info.generation,
        format: info.format,
        fasteners: info.fasteners,
        settings: info.settings,
        joints: info.joints,
        lubes: info.lubes,
        strengths: info.strengths,
        bytes: info.bytes,
    };
    out.page(&report::book_page(&facts));
    Ok(Code::Answered)
}

/// Reads all of the book: 4 if something in it is damaged.
fn check(args: &Args, out: &mut Out) -> Result<Code, Failure> {
    let dir = open::place(args)?.0;
    let verdict = store::verify(&dir, open::WAIT)?;
    for damage in [&verdict.image, &verdict.record, &verdict.ledger].into_iter().flatten() {
        out.complain(&format!("error: {damage}"));
    }
    if let Some(skipped) = &verdict.skipped {
        out.say(&format!("the book of record was not looked at: {skipped}"));
    }
    let damage = [&verdict.image, &verdict.record, &verdict.ledger].into_iter().flatten();
    out.page(&report::verify_page(&BookVerdict {
        fasteners: verdict.fasteners,
        settings: verdict.settings,
        damage: damage.map(ToString::to_string).collect(),
        skipped: verdict.skipped.as_ref().map(ToString::to_string),
    }));
    Ok(if verdict.is_whole() { Code::Answered } else { Code::Unusable })
}

fn backup(args: &Args, file: &Path, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(args)?;
    opened.book.backup(file)?;
    let info = opened.book.info();
    let (fasteners, revision) = (info.fasteners, info.generation);
    out.answer(&format!("{}: {fasteners} fasteners, revision {revision}.", file.display()));
    Ok(Code::Answered)
}

/// Asks first: what the book holds now is put aside.
fn mend(args: &Args, file: Option<&Path>, yes: bool, out: &mut Out) -> Result<Code, Failure> {
    let dir = open::place(args)?.0;
    let from = file.map_or("its own newest whole state".to_owned(), |f| f.display().to_string());
    let question = format!("replace the book at {} from {from}?", dir.display());
    if !yes && !out.confirm(&question)? {
        out.say("nothing was changed");
        return Ok(Code::Nothing);
    }
    let restored = match file {
        Some(file) => store::restore_backup(&dir, file, open::WAIT)?,
        None => store::restore(&dir, open::WAIT)?,
    };
    out.answer(&format!(
        "restored from {}: {} fasteners, {} settings, revision {}. What was there before is in the \
         folder `damaged` of the book.",
        restored.from, restored.fasteners, restored.settings, restored.generation
    ));
    Ok(Code::Answered)
}

fn compact(args: &Args, out: &mut Out) -> Result<Code, Failure> {
    let mut writer = open::writer(args)?;
    let before = writer.book().info().bytes;
    let revision = writer.compact()?;
    let after = writer.book().info().bytes;
    out.answer(&format!("{before} bytes before, {after} bytes now; revision {revision}."));
    Ok(Code::Answered)
}

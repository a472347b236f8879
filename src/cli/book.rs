//! `book`: the book itself.

use std::path::{Path, PathBuf};

use crate::cli::ask::confirm;
use crate::cli::exit::{Code, Failure};
use crate::cli::file_out::{self, FileOut};
use crate::cli::globals::Globals;
use crate::cli::open;
use crate::cli::out::Out;
use crate::report::{self, BookFacts, BookVerdict};
use crate::store;

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
#[derive(Debug, clap::Subcommand)]
pub(super) enum BookCommand {
    /// Where it is, how much it holds, which generation
    #[command(after_long_help = "Example:\n  clampbook book info --format json")]
    Info,
    /// Read all of it and compare its two halves
    #[command(after_long_help = "Example:\n  clampbook book verify\n\n\
        Ends with 4 if the book is damaged, which `book restore` mends, or if not all \
        of it could be looked at.")]
    Verify,
    /// Write all of it to one text file, a line of JSON each
    #[command(after_long_help = "Example:\n  clampbook book backup shop-2026-05-01.jsonl")]
    Backup {
        /// The file
        file: PathBuf,
        /// A file that is there already is replaced
        #[arg(long)]
        replace: bool,
    },
    /// Mend it from its newest whole state, or replace it by a backup
    #[command(after_long_help = "Examples:\n  clampbook book restore\n  \
        clampbook book restore shop-2026-05-01.jsonl --yes\n\n\
        The files that it replaces are kept in a new folder of the book: `damaged`, \
        `damaged-2` and so on.")]
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

/// Runs the command.
pub(super) fn run(globals: &Globals, book: &Book, out: &mut Out) -> Result<Code, Failure> {
    match &book.what {
        BookCommand::Info => info(globals, out),
        BookCommand::Verify => check(globals, out),
        BookCommand::Backup { file, replace } => backup(globals, file, *replace, out),
        BookCommand::Restore { file, yes } => mend(globals, file.as_deref(), *yes, out),
        BookCommand::Compact => compact(globals, out),
    }
}

fn info(globals: &Globals, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(globals)?;
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
fn check(globals: &Globals, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(globals)?;
    let verdict = store::verify(opened.book.dir(), open::WAIT)?;
    for damage in [&verdict.image, &verdict.record, &verdict.ledger].into_iter().flatten() {
        out.complain(&format!("error: {damage}"));
    }
    if let Some(skipped) = &verdict.skipped {
        out.complain(&format!("the book of record was not looked at: {skipped}"));
    }
    if verdict.pending {
        out.say("a change was broken off after it was stored; the next change finishes it");
    }
    let damage = [&verdict.image, &verdict.record, &verdict.ledger].into_iter().flatten();
    out.page(&report::verify_page(&BookVerdict {
        fasteners: verdict.fasteners,
        settings: verdict.settings,
        damage: damage.map(ToString::to_string).collect(),
        skipped: verdict.skipped.as_ref().map(ToString::to_string),
    }));
    let is_sure = verdict.is_whole() && verdict.skipped.is_none();
    Ok(if is_sure { Code::Answered } else { Code::Unusable })
}

fn backup(globals: &Globals, file: &Path, replace: bool, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(globals)?;
    let mut to = FileOut::begin(file, replace)?;
    opened.book.backup(&mut to, file)?;
    to.finish()?;
    if file_out::is_stdout(file) {
        return Ok(Code::Answered);
    }
    let info = opened.book.info();
    let (fasteners, revision) = (info.fasteners, info.generation);
    out.answer(&format!("{}: {fasteners} fasteners, revision {revision}.", file.display()));
    Ok(Code::Answered)
}

/// Asks first: what the book holds now is put aside.
fn mend(globals: &Globals, file: Option<&Path>, yes: bool, out: &mut Out) -> Result<Code, Failure> {
    let dir = open::place_to_write(globals)?;
    let from = file.map_or("its own newest whole state".to_owned(), |f| f.display().to_string());
    let question = format!("replace the book at {} from {from}?", dir.display());
    if !yes && !confirm(&question, out)? {
        out.say("nothing was changed");
        return Ok(Code::Nothing);
    }
    let restored = match file {
        Some(file) => store::restore_backup(&dir, file, open::WAIT)?,
        None => store::restore(&dir, open::WAIT)?,
    };
    let kept = restored
        .kept_in
        .map(|folder| format!(" What was there before is in the folder `{folder}` of the book."));
    out.answer(&format!(
        "restored from {}: {} fasteners, {} settings, revision {}.{}",
        restored.from,
        restored.fasteners,
        restored.settings,
        restored.generation,
        kept.unwrap_or_default()
    ));
    if !restored.lost.is_nothing() {
        out.complain(&format!("damaged and lost: {}", restored.lost));
    }
    Ok(Code::Answered)
}

fn compact(globals: &Globals, out: &mut Out) -> Result<Code, Failure> {
    let mut writer = open::writer(globals)?;
    let before = writer.book().info().bytes;
    let revision = writer.compact()?;
    let after = writer.book().info().bytes;
    out.answer(&format!("{before} bytes before, {after} bytes now; revision {revision}."));
    Ok(Code::Answered)
}

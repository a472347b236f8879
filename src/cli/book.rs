//! `book`: the book itself.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::cli::complete;
use crate::cli::dialog::confirm;
use crate::cli::exit::{Code, Failure, argument};
use crate::cli::file_out::{self, FileOut};
use crate::cli::globals::Globals;
use crate::cli::out::Out;
use crate::cli::pairs::{cleaned, parted};
use crate::cli::place::BookPlace;
use crate::cli::progress::Progress;
use crate::cli::sign::{Signer, signature};
use crate::cli::{open, settings};
use crate::record::{Fastener, Kept, NOT_STATED, Tables, differences};
use crate::report::{self, Undone};
use crate::store::{self, LastChange, Signature};

/// Most values that a question names.
const NAMED: usize = 3;

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
    /// What the shop wants everywhere: units, who, pager; alone it shows them
    #[command(
        after_long_help = "Examples:\n  clampbook book set units=metric who=\"first shift\"\n  \
        clampbook book set pager=\"less -FRX\"\n  clampbook book set units=\n\n\
        An empty value takes it out. The environment (CLAMPBOOK_UNITS, CLAMPBOOK_WHO,\n\
        CLAMPBOOK_PAGER, PAGER) goes before it, an option before both."
    )]
    Set {
        /// What to set
        #[arg(value_name = "NAME=VALUE", add = complete::setting())]
        words: Vec<String>,
    },
    /// Take back the last change of the book or the bench; once more, the one before
    #[command(
        after_long_help = "Examples:\n  clampbook book undo\n  clampbook book undo --yes\n\n\
        It is a change of its own in the history, and may be an edit, an import, a removal,\n\
        of fasteners, lubes, strengths, wrenches, layouts and bolt sets. The log is not\n\
        touched (`log correct` adds to it), nor are saved questions and `book set`."
    )]
    Undo {
        /// Do not ask
        #[arg(long)]
        yes: bool,
        #[command(flatten)]
        signer: Signer,
    },
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
    #[command(after_long_help = "Example:\n  clampbook book compact\n\n\
        Of a book on a server what this machine has fetched is fetched anew.")]
    Compact,
    /// Copy a whole book, history and log too, to a place where none is
    #[command(after_long_help = "Examples:\n  \
        clampbook book copy shop-book postgres://bench@dbhost/shop\n  \
        clampbook book copy postgres://bench@dbhost/shop shop-book\n\n\
        The copy is read back and compared.")]
    Copy {
        /// The book: a folder or postgres://user@host/name
        from: PathBuf,
        /// Where it goes
        to: PathBuf,
    },
    /// Print the statements that make the tables of a book on a server
    #[command(after_long_help = "Example:\n  \
        clampbook book tables bench | psql postgres://owner@dbhost/shop")]
    Tables {
        /// The role with which clampbook will work there
        role: String,
    },
}

pub(super) fn run(globals: &Globals, book: &Book, out: &mut Out) -> Result<Code, Failure> {
    match &book.what {
        BookCommand::Info => info(globals, out),
        BookCommand::Set { words } => set(globals, words, out),
        BookCommand::Undo { yes, signer } => undo(globals, *yes, signer, out),
        BookCommand::Verify => check(globals, out),
        BookCommand::Backup { file, replace } => backup(globals, file, *replace, out),
        BookCommand::Restore { file, yes } => mend(globals, file.as_deref(), *yes, out),
        BookCommand::Compact => compact(globals, out),
        BookCommand::Copy { from, to } => copy(globals, from, to, out),
        BookCommand::Tables { role } => Ok(tables(role, out)),
    }
}

fn info(globals: &Globals, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(globals)?;
    let book = &opened.book;
    let kept = (opened.folder.place.server(), book.log()?.unsent());
    out.page(&report::book_page(&book.info(), kept, book.set()));
    Ok(Code::Answered)
}

fn set(globals: &Globals, words: &[String], out: &mut Out) -> Result<Code, Failure> {
    if words.is_empty() {
        return info(globals, out);
    }
    let words = cleaned(words, out);
    let (rest, pairs) = parted(&words)?;
    if !rest.is_empty() {
        return argument(format!("`{rest}` is no NAME=VALUE: {}", settings::ALL.join(", ")));
    }
    let mut writer = open::writer(globals)?;
    writer.sign(signature(None, writer.book()));
    settings::set(&mut writer, &pairs)?;
    info(globals, out)
}

/// Takes the last change back; what will be undone is named in the question.
fn undo(globals: &Globals, yes: bool, signer: &Signer, out: &mut Out) -> Result<Code, Failure> {
    let mut writer = open::changing(globals, signer.who.as_deref())?;
    let last = match writer.book().last_change() {
        Ok(last) => last,
        Err(store::StoreError::Undo(why)) => {
            return Ok(out.not_there(&format!("nothing was taken back: {why}")));
        }
        Err(other) => return Err(other.into()),
    };
    let mut undone = undone(&last, writer.book().tables());
    let question = format!("take back {}?{}", undone.in_words(), coming_back(&last));
    confirm(&question, yes, out)?;
    let progress = Progress::spinner("taking it back", globals);
    undone.revision = writer.undo(last)?;
    drop(progress);
    out.page(&report::undo_page(&undone));
    Ok(Code::Answered)
}

/// The first values that come back: " torque 30 N·m -> 25 N·m".
fn coming_back(last: &LastChange) -> String {
    let LastChange::OfTheBook(change) = last else { return String::new() };
    let fields = change.changed.iter().flat_map(|(old, new)| differences(new, old));
    let stated = |text: Option<String>| text.unwrap_or_else(|| NOT_STATED.to_owned());
    let mut fields: Vec<String> = fields
        .map(|one| format!("{} {} -> {}", one.field, stated(one.old), stated(one.new)))
        .collect();
    let more = fields.len().saturating_sub(NAMED);
    fields.truncate(NAMED);
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    if fields.is_empty() { more } else { format!(" {}{more}.", fields.join("; ")) }
}

/// What `last` did, for the question and the answer; `now` is what it made of lubes
/// and strengths.
fn undone(last: &LastChange, now: &Tables) -> Undone {
    let by = |signature: &Signature| Undone {
        who: signature.who.clone(),
        when: signature.when.clone(),
        ..Undone::default()
    };
    match last {
        LastChange::OfTheBook(change) => {
            let key = |one: &Arc<Fastener>| one.key.clone();
            Undone {
                of: Some(change.generation),
                changed: change.changed.iter().map(|(old, _)| key(old)).collect(),
                removed: change.removed.iter().map(key).collect(),
                entered: change.entered.clone(),
                tables: change.before.as_ref().map_or_else(Vec::new, |old| differing(old, now)),
                ..by(&change.signature)
            }
        }
        LastChange::OfTheBench(step) => {
            let mut undone = by(&step.signature);
            let done = match (&step.before, &step.after) {
                (None, _) => &mut undone.entered,
                (Some(_), None) => &mut undone.removed,
                (Some(_), Some(_)) => &mut undone.changed,
            };
            done.push(step.kind.named(&step.name).title());
            undone
        }
    }
}

/// What the lubes and strengths that differ are called.
fn differing(old: &Tables, new: &Tables) -> Vec<String> {
    let [old, new] = [old, new].map(|tables| tables.records().collect::<Vec<_>>());
    let gone = old.iter().filter(|record| !new.contains(record));
    let titles = gone.chain(new.iter().filter(|record| !old.contains(record))).map(Kept::title);
    let mut titles: Vec<String> = titles.collect();
    titles.sort_unstable();
    titles.dedup();
    titles
}

/// Reads all of the book: 4 if something in it is damaged.
fn check(globals: &Globals, out: &mut Out) -> Result<Code, Failure> {
    let folder = open::folder(globals)?;
    let progress = Progress::spinner("verifying", globals);
    let verdict = folder.place.verify()?;
    drop(progress);
    let damage = [&verdict.image, &verdict.record, &verdict.ledger].into_iter().flatten();
    let damage: Vec<String> = damage.map(ToString::to_string).collect();
    for damage in &damage {
        out.complain(&format!("error: {damage}"));
    }
    if let Some(skipped) = &verdict.skipped {
        out.complain(&format!("the book of record was not looked at: {skipped}"));
    }
    if verdict.pending {
        out.say("a change was broken off after it was stored; the next change finishes it");
    }
    let skipped = verdict.skipped.as_ref().map(ToString::to_string);
    out.page(&report::verify_page((verdict.fasteners, verdict.settings), damage, skipped));
    let is_sure = verdict.is_whole() && verdict.skipped.is_none();
    Ok(if is_sure { Code::Answered } else { Code::Unusable })
}

fn backup(globals: &Globals, file: &Path, replace: bool, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(globals)?;
    let mut to = FileOut::begin(file, replace)?;
    let progress = Progress::spinner("writing the backup", globals);
    opened.book.backup(&mut to, file)?;
    drop(progress);
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
    let place = open::own(globals)?;
    if let Some(file) = file {
        store::look_at_backup(file)?;
    }
    if !yes {
        let own = match place.server() {
            Some(_) => "what its server holds",
            None => "its own newest whole state",
        };
        let from = file.map_or(own.to_owned(), |f| f.display().to_string());
        // A damaged book cannot say what it holds.
        let info = store::Book::open(place.folder()).map(|book| book.info());
        let holds = info.map_or_else(
            |_| String::new(),
            |info| format!(" ({} fasteners, revision {})", info.fasteners, info.generation),
        );
        let question =
            format!("replace the book at {}{holds} from {from}?", place.folder().display());
        confirm(&question, yes, out)?;
    }
    let progress = Progress::spinner("restoring", globals);
    let restored = place.restore(file)?;
    drop(progress);
    let kept = restored.kept_in.map(|folder| {
        let lines = match restored.lines_kept {
            0 => String::new(),
            lines => format!(" Lines of the log that are there alone: {lines}."),
        };
        format!(" What was there before is in the folder `{folder}` of the book.{lines}")
    });
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
    let progress = Progress::spinner("compacting", globals);
    let mut writer = open::writer(globals)?;
    let before = writer.book().info().bytes;
    let revision = writer.compact()?;
    drop(progress);
    let after = writer.book().info().bytes;
    out.answer(&format!("{before} bytes before, {after} bytes now; revision {revision}."));
    Ok(Code::Answered)
}

fn copy(globals: &Globals, from: &Path, to: &Path, out: &mut Out) -> Result<Code, Failure> {
    let (from, to) = (BookPlace::named(from)?, BookPlace::named(to)?);
    let book = from.book_of_now()?;
    let progress = Progress::spinner("copying", globals);
    let copied = to.copy(&book)?;
    drop(progress);
    out.answer(&format!(
        "{}: {} fasteners, {} settings, revision {}, as in {}; both are {} as a backup.",
        to.shown(),
        copied.fasteners,
        copied.settings,
        copied.generation,
        from.shown(),
        copied.check
    ));
    Ok(Code::Answered)
}

fn tables(role: &str, out: &mut Out) -> Code {
    out.answer(store::tables_for(role).trim_end());
    Code::Answered
}

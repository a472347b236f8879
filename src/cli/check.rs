//! `check`: what is wrong or doubtful in the book, and what may stand.

use std::collections::BTreeSet;
use std::ops::ControlFlow;

use crate::audit::{Acknowledged, Audit, Bench, Finding, Judged, audit_bench, settle};
use crate::cli::complete;
use crate::cli::exit::{Code, Failure, argument};
use crate::cli::globals::Globals;
use crate::cli::named::meant;
use crate::cli::out::Out;
use crate::cli::progress::Progress;
use crate::cli::question::fasteners;
use crate::cli::sign::Signer;
use crate::cli::{bolts, clock, open};
use crate::report;
use crate::store::{Access, Book, Change, Note, Writer};
use crate::text::nearest;

/// Where what may stand is kept in the book: a note each, under the mark of its finding.
const SHELF: &str = "acknowledged";

// `check`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook check
  clampbook check assembly \"Dunlin 2 mill\"
  clampbook check --acknowledge k7m2qd --note \"maker confirmed by letter\"
  clampbook check --withdraw k7m2qd

Each finding has a mark, first in its line. One that is acknowledged is shown
but not counted; it is back as soon as the figures that it rests on change.
Ends with 1 if something counts, so a script can ask.")]
pub(super) struct Check {
    /// Only the fasteners that this question finds
    #[arg(value_name = "QUESTION", add = complete::question())]
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
    #[command(flatten)]
    pub signer: Signer,
}

/// Runs the command: 1 if there are findings that nobody has acknowledged.
pub(super) fn run(globals: &Globals, check: &Check, out: &mut Out) -> Result<Code, Failure> {
    if !check.acknowledge.is_empty() {
        return acknowledge(globals, check, out);
    }
    if !check.withdraw.is_empty() {
        return withdraw(globals, check, out);
    }
    let opened = open::reader(globals)?;
    let progress = Progress::spinner("checking", globals);
    let (judged, read) = if check.question.is_empty() {
        whole_book(&opened.book)?
    } else {
        let these = fasteners(globals, &check.question, &opened.book)?;
        let mut audit = Audit::new(opened.book.tables());
        these.iter().for_each(|fastener| audit.take(fastener));
        let keys = these.iter().map(|fastener| fastener.key.as_str()).collect();
        judged(audit, &opened.book, Some(&keys))?
    };
    drop(progress);
    out.page(&report::audit_page(&judged, read));
    let open = judged.iter().any(Judged::is_open);
    Ok(if open { Code::Nothing } else { Code::Answered })
}

fn whole_book(book: &Book) -> Result<(Vec<Judged>, usize), Failure> {
    let mut audit = Audit::new(book.tables());
    book.each(&Access::All, &mut |fastener| {
        audit.take(&fastener);
        ControlFlow::Continue(())
    })?;
    judged(audit, book, None)
}

/// The findings of `audit` and those of the bench about the fasteners of `keys`,
/// or about all of it; and how many fasteners were looked at.
fn judged(
    audit: Audit<'_>,
    book: &Book,
    keys: Option<&BTreeSet<&str>>,
) -> Result<(Vec<Judged>, usize), Failure> {
    let read = audit.count();
    let mut findings = audit.finish();
    let (log, wrenches, day) = (book.log()?, book.wrenches()?, clock::today());
    let (bolts, tables) = (bolts::states(book)?, book.tables());
    let bench = Bench { wrenches, bolts: &bolts, tables, log, day };
    findings.extend(audit_bench(&bench, keys));
    Ok((settle(findings, &kept(book)?), read))
}

fn acknowledge(globals: &Globals, check: &Check, out: &mut Out) -> Result<Code, Failure> {
    let why = check.note.as_deref().map(str::trim).filter(|why| !why.is_empty());
    let Some(why) = why else {
        return argument("--note: say why it may stand, in a few words");
    };
    let mut writer = open::changing(globals, check.signer.who.as_deref())?;
    let (judged, _) = whole_book(writer.book())?;
    let marks: Vec<String> = judged.iter().map(|one| one.finding.mark()).collect();
    if let Some(wrong) = check.acknowledge.iter().find(|mark| !marks.contains(mark)) {
        return Ok(unknown(wrong, "no finding has", &marks, out));
    }
    let is_meant = |one: &&Judged| check.acknowledge.contains(&one.finding.mark());
    let meant: Vec<&Judged> = judged.iter().filter(is_meant).collect();
    put(&mut writer, &meant, why)?;
    show(&whole_book(writer.book())?.0, &check.acknowledge, out);
    Ok(Code::Answered)
}

fn withdraw(globals: &Globals, check: &Check, out: &mut Out) -> Result<Code, Failure> {
    let mut writer = open::changing(globals, check.signer.who.as_deref())?;
    let (judged, _) = whole_book(writer.book())?;
    let known: Vec<String> = kept(writer.book())?.into_iter().map(|one| one.mark).collect();
    // One on other figures is called by the mark of the finding as it is now.
    let own = |mark: &String| {
        let of = judged.iter().find(|one| one.finding.mark() == *mark);
        let earlier = of.and_then(Judged::acknowledged).map(|one| &one.mark);
        earlier.cloned().or_else(|| known.contains(mark).then(|| mark.clone()))
    };
    let mut marks = Vec::new();
    for mark in &check.withdraw {
        match own(mark) {
            Some(mark) => marks.push(mark),
            None => return Ok(unknown(mark, "nothing was acknowledged under", &known, out)),
        }
    }
    writer.apply(marks.iter().map(|mark| off(mark)).collect())?;
    show(&whole_book(writer.book())?.0, &check.withdraw, out);
    Ok(Code::Answered)
}

fn show(judged: &[Judged], marks: &[String], out: &mut Out) {
    let is_meant = |one: &&Judged| marks.contains(&one.finding.mark());
    let meant: Vec<Judged> = judged.iter().filter(is_meant).cloned().collect();
    out.page(&report::settled_page(&meant));
}

fn unknown(mark: &str, what: &str, known: &[String], out: &mut Out) -> Code {
    let near = nearest(mark, known.iter().map(String::as_str));
    let hint = meant(near, "`check` shows the marks, first in each line");
    out.complain(&format!("error: {what} the mark `{mark}`; {hint}"));
    Code::Nothing
}

fn kept(book: &Book) -> Result<Vec<Acknowledged>, Failure> {
    Ok(book.shelf(SHELF)?.into_iter().map(read).collect())
}

/// A note as written by [`text`]: kind, key and figures on a line each, then
/// why.
fn read(note: Note) -> Acknowledged {
    let mut lines = note.text.splitn(4, '\n').map(str::to_owned);
    let mut next = || lines.next().unwrap_or_default();
    let [name, key, figures, why] = [next(), next(), next(), next()];
    let (who, when) = (note.signature.who, note.signature.when);
    Acknowledged { mark: note.key, name, key, figures, note: why, who, when }
}

fn text(finding: &Finding, why: &str) -> String {
    [finding.kind.row().name, &finding.key, &finding.figures, why].join("\n")
}

/// Lets `findings` stand because of `why`, as one change. What was said of them
/// on other figures is taken away.
fn put(writer: &mut Writer, findings: &[&Judged], why: &str) -> Result<(), Failure> {
    let note = |judged: &&Judged| Change::PutNote {
        shelf: SHELF.to_owned(),
        key: judged.finding.mark(),
        text: text(&judged.finding, why),
    };
    let old = findings.iter().filter(|one| one.is_open()).filter_map(|one| one.acknowledged());
    let mut changes: Vec<Change> = old.map(|one| off(&one.mark)).collect();
    changes.extend(findings.iter().map(note));
    writer.apply(changes)?;
    Ok(())
}

fn off(mark: &str) -> Change {
    Change::RemoveNote { shelf: SHELF.to_owned(), key: mark.to_owned() }
}

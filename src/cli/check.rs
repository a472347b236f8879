//! `check`: what is wrong or doubtful in the book, and what may stand.

use std::sync::Arc;

use crate::audit::{Bench, Judged, audit, audit_bench};
use crate::cli::args::{Args, Check};
use crate::cli::exit::{Code, Failure};
use crate::cli::out::Out;
use crate::cli::{acknowledged, clock, edit, export, log, open};
use crate::record::Fastener;
use crate::report;
use crate::store::{Access, Book};
use crate::text::nearest;

/// Runs the command: 1 if there are findings that nobody has acknowledged.
pub(super) fn run(args: &Args, check: &Check, out: &mut Out) -> Result<Code, Failure> {
    if !check.acknowledge.is_empty() {
        return acknowledge(args, check, out);
    }
    if !check.withdraw.is_empty() {
        return withdraw(args, check, out);
    }
    let opened = open::reader(args)?;
    let fasteners = export::selected(args, &check.question, &opened.book)?;
    let judged = look(&fasteners, &opened.book, check.question.is_empty())?;
    let read = fasteners.len();
    out.page(&report::audit_page(&judged, read));
    let open = judged.iter().any(Judged::is_open);
    Ok(if open { Code::Nothing } else { Code::Answered })
}

/// The findings about `fasteners`; of the whole bench too if all were asked for.
fn look(fasteners: &[Arc<Fastener>], book: &Book, whole: bool) -> Result<Vec<Judged>, Failure> {
    let tables = book.tables();
    let mut findings = audit(fasteners, tables);
    let (log, wrenches, day) = (book.log()?, book.wrenches()?, clock::today());
    let bolts = log::states(book)?;
    let bench = Bench { wrenches, bolts: &bolts, tables, log, day };
    let keys = fasteners.iter().map(|fastener| fastener.key.as_str()).collect();
    findings.extend(audit_bench(&bench, &keys, whole));
    acknowledged::judged(findings, book)
}

fn all(book: &Book) -> Result<Vec<Judged>, Failure> {
    look(&book.find(&Access::All)?.fasteners, book, true)
}

fn acknowledge(args: &Args, check: &Check, out: &mut Out) -> Result<Code, Failure> {
    let why = check.note.as_deref().map(str::trim).filter(|why| !why.is_empty());
    let Some(why) = why else {
        let message = "--note: say why it may stand, in a few words";
        return Err(Failure::Argument(message.to_owned()));
    };
    let mut writer = edit::writer(args, check.who.as_deref())?;
    let judged = all(writer.book())?;
    let marks: Vec<String> = judged.iter().map(|one| one.finding.mark()).collect();
    if let Some(wrong) = check.acknowledge.iter().find(|mark| !marks.contains(mark)) {
        return Ok(unknown(wrong, "no finding has", &marks, out));
    }
    let is_meant = |one: &&Judged| check.acknowledge.contains(&one.finding.mark());
    let meant: Vec<&Judged> = judged.iter().filter(is_meant).collect();
    acknowledged::acknowledge(&mut writer, &meant, why)?;
    told(&all(writer.book())?, &check.acknowledge, out);
    Ok(Code::Answered)
}

fn withdraw(args: &Args, check: &Check, out: &mut Out) -> Result<Code, Failure> {
    let mut writer = edit::writer(args, check.who.as_deref())?;
    let judged = all(writer.book())?;
    let known: Vec<String> =
        acknowledged::all(writer.book())?.into_iter().map(|one| one.mark).collect();
    // One on other figures is called by the mark of the finding as it is now.
    let own = |mark: &String| {
        let of = judged.iter().find(|one| one.finding.mark() == *mark);
        let told = of.and_then(Judged::acknowledged).map(|one| &one.mark);
        told.cloned().or_else(|| known.contains(mark).then(|| mark.clone()))
    };
    let mut marks = Vec::new();
    for mark in &check.withdraw {
        match own(mark) {
            Some(mark) => marks.push(mark),
            None => return Ok(unknown(mark, "nothing was acknowledged under", &known, out)),
        }
    }
    acknowledged::withdraw(&mut writer, &marks.iter().map(String::as_str).collect::<Vec<_>>())?;
    told(&all(writer.book())?, &check.withdraw, out);
    Ok(Code::Answered)
}

/// Says how the findings of `marks` stand now.
fn told(judged: &[Judged], marks: &[String], out: &mut Out) {
    let is_meant = |one: &&Judged| marks.contains(&one.finding.mark());
    let meant: Vec<Judged> = judged.iter().filter(is_meant).cloned().collect();
    out.page(&report::settled_page(&meant));
}

fn unknown(mark: &str, what: &str, known: &[String], out: &mut Out) -> Code {
    let near = nearest(mark, known.iter().map(String::as_str));
    let hint = near.map_or_else(
        || "`check` shows the marks, first in each line".to_owned(),
        |near| format!("did you mean `{near}`?"),
    );
    out.complain(&format!("error: {what} the mark `{mark}`; {hint}"));
    Code::Nothing
}

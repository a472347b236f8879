//! `check`: what is wrong or doubtful in the book, and what may stand.

use std::collections::{BTreeMap, BTreeSet};
use std::io;
use std::sync::Arc;

use crate::audit::{
    self, Acknowledged, Bench, Finding, Findings, Joined, Judged, Tally, audit_bench, audit_one,
};
use crate::cli::complete;
use crate::cli::exit::{Code, Failure, argument};
use crate::cli::globals::Globals;
use crate::cli::named::meant;
use crate::cli::out::Out;
use crate::cli::progress::Progress;
use crate::cli::question::fasteners;
use crate::cli::sign::Signer;
use crate::cli::{bolts, clock, open};
use crate::record::Fastener;
use crate::report;
use crate::store::{Access, Book, Change, Note, Which, Writer};
use crate::text::nearest;

/// Where what may stand is kept in the book: a note each, under the mark of its finding.
const TOPIC: &str = "acknowledged";

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
    let these = match check.question.as_slice() {
        [] => None,
        question => Some(fasteners(globals, question, &opened.book)?),
    };
    let found = BookFindings::new(&opened.book, these)?;
    let mut tally = Tally::default();
    found.each(&mut |one| {
        tally.add(one);
        Ok(())
    })?;
    drop(progress);
    out.page(&report::audit_page(&found, &tally, found.read));
    Ok(if tally.open() > 0 { Code::Nothing } else { Code::Answered })
}

/// The findings of a book, made anew whenever they are asked for: a large book has more
/// than ought to be held.
struct BookFindings<'a> {
    book: &'a Book,
    /// The fasteners of a question; else all.
    these: Option<Vec<Arc<Fastener>>>,
    /// About joints, by the place of their first fastener.
    joints: BTreeMap<usize, Finding>,
    of_bench: Vec<Finding>,
    known: Vec<Acknowledged>,
    /// The marks of what is known that a finding still has.
    live: BTreeSet<String>,
    /// How many fasteners were looked at.
    read: usize,
}

impl<'a> BookFindings<'a> {
    fn new(book: &'a Book, these: Option<Vec<Arc<Fastener>>>) -> Result<Self, Failure> {
        let (log, wrenches, day) = (book.log()?, book.wrenches()?, clock::today());
        let (bolts, tables) = (bolts::states(book)?, book.tables());
        let bench = Bench { wrenches, bolts: &bolts, tables, log, day };
        let keys = these.as_ref().map(|these| these.iter().map(|one| one.key.as_str()).collect());
        let of_bench = audit_bench(&bench, keys.as_ref());
        let (joints, live, known) = (BTreeMap::new(), BTreeSet::new(), acknowledged(book)?);
        let mut found = Self { book, these, joints, of_bench, known, live, read: 0 };
        let (mut live, mut joined) = (BTreeSet::new(), Joined::default());
        let marks: BTreeSet<&str> = found.known.iter().map(|one| one.mark.as_str()).collect();
        let mut look = |finding: &Finding| {
            if !marks.is_empty() && marks.contains(finding.mark().as_str()) {
                live.insert(finding.mark());
            }
        };
        found.each_fastener(&mut |fastener, own| {
            own.iter().for_each(&mut look);
            joined.take(fastener).iter().for_each(&mut look);
            Ok(())
        })?;
        let read = joined.count();
        let joints = joined.joints();
        joints.values().chain(&found.of_bench).for_each(look);
        (found.read, found.joints, found.live) = (read, joints, live);
        Ok(found)
    }

    /// Calls `take` with each fastener and what is to be said of it by itself.
    fn each_fastener(
        &self,
        take: &mut dyn FnMut(&Fastener, Vec<Finding>) -> io::Result<()>,
    ) -> io::Result<()> {
        let tables = self.book.tables();
        if let Some(these) = &self.these {
            return these.iter().try_for_each(|one| take(one, audit_one(one, tables)));
        }
        let work = |part: &mut Vec<_>, fastener: Arc<Fastener>| {
            let found = audit_one(&fastener, tables);
            part.push((fastener, found));
        };
        self.book.share_in_turn(Which::Access(&Access::All), work, &mut |part| {
            part.into_iter().try_for_each(|(fastener, found)| take(&fastener, found))
        })
    }

    /// Those of which `is_wanted` says so by their mark, and all marks.
    fn marked(&self, is_wanted: &dyn Fn(&str) -> bool) -> io::Result<(Vec<Judged>, Vec<String>)> {
        let (mut wanted, mut marks) = (Vec::new(), Vec::new());
        self.each(&mut |one| {
            let mark = one.finding.mark();
            wanted.extend(is_wanted(&mark).then(|| one.clone()));
            marks.push(mark);
            Ok(())
        })?;
        Ok((wanted, marks))
    }
}

impl Findings for BookFindings<'_> {
    fn each(&self, take: &mut dyn FnMut(&Judged) -> io::Result<()>) -> io::Result<()> {
        let mut take = |finding: Finding| take(&audit::judged(finding, &self.known, &self.live));
        let (mut at, mut joined) = (0, Joined::default());
        self.each_fastener(&mut |fastener, own| {
            own.into_iter().try_for_each(&mut take)?;
            self.joints.get(&at).cloned().map_or(Ok(()), &mut take)?;
            at += 1;
            joined.take(fastener).into_iter().try_for_each(&mut take)
        })?;
        self.of_bench.iter().cloned().try_for_each(take)
    }
}

fn acknowledge(globals: &Globals, check: &Check, out: &mut Out) -> Result<Code, Failure> {
    let why = check.note.as_deref().map(str::trim).filter(|why| !why.is_empty());
    let Some(why) = why else {
        return argument("--note: say why it may stand, in a few words");
    };
    let mut writer = open::changing(globals, check.signer.who.as_deref())?;
    let is_meant = |mark: &str| check.acknowledge.iter().any(|one| one == mark);
    let (meant, marks) = BookFindings::new(writer.book(), None)?.marked(&is_meant)?;
    if let Some(wrong) = check.acknowledge.iter().find(|mark| !marks.contains(mark)) {
        return Ok(unknown(wrong, "no finding has", &marks, out));
    }
    put(&mut writer, &meant, why)?;
    show(writer.book(), &is_meant, out)?;
    Ok(Code::Answered)
}

fn withdraw(globals: &Globals, check: &Check, out: &mut Out) -> Result<Code, Failure> {
    let mut writer = open::changing(globals, check.signer.who.as_deref())?;
    let is_meant = |mark: &str| check.withdraw.iter().any(|one| one == mark);
    let (judged, _) = BookFindings::new(writer.book(), None)?.marked(&is_meant)?;
    let known: Vec<String> = acknowledged(writer.book())?.into_iter().map(|one| one.mark).collect();
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
    show(writer.book(), &is_meant, out)?;
    Ok(Code::Answered)
}

/// Says how the findings whose mark `is_meant` stand now.
fn show(book: &Book, is_meant: &dyn Fn(&str) -> bool, out: &mut Out) -> Result<(), Failure> {
    let (meant, _) = BookFindings::new(book, None)?.marked(is_meant)?;
    out.page(&report::settled_page(&meant.as_slice()));
    Ok(())
}

fn unknown(mark: &str, what: &str, known: &[String], out: &mut Out) -> Code {
    let near = nearest(mark, known.iter().map(String::as_str));
    let hint = meant(near, "`check` shows the marks, first in each line");
    out.not_there(&format!("{what} the mark `{mark}`; {hint}"))
}

fn acknowledged(book: &Book) -> Result<Vec<Acknowledged>, Failure> {
    Ok(book.notes(TOPIC)?.into_iter().map(read).collect())
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
fn put(writer: &mut Writer, findings: &[Judged], why: &str) -> Result<(), Failure> {
    let note = |Judged { finding, .. }: &Judged| {
        Change::note(TOPIC, &finding.mark(), Some(&text(finding, why)))
    };
    let old = findings.iter().filter(|one| one.is_open()).filter_map(|one| one.acknowledged());
    let mut changes: Vec<Change> = old.map(|one| off(&one.mark)).collect();
    changes.extend(findings.iter().map(note));
    writer.apply(changes)?;
    Ok(())
}

fn off(mark: &str) -> Change {
    Change::note(TOPIC, mark, None)
}

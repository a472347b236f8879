//! `log add`: a joint as it was tightened.

use std::collections::BTreeSet;

use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::TimeZone;

use crate::cli::complete;
use crate::cli::exit::{Code, Failure, argument, wrong};
use crate::cli::globals::Globals;
use crate::cli::log::lines::{parted, passes, set_all, set_of, write};
use crate::cli::log::{ask, job};
use crate::cli::out::Out;
use crate::cli::pairs::cleaned;
use crate::cli::question;
use crate::cli::sign::signature;
use crate::cli::{clock, open};
use crate::quantity::{Dimension, Quantity};
use crate::record::{Field, LOG_LINES, Pull, Row, Snapshot, find_by_name};
use crate::report;
use crate::store::Book;
use crate::text::fold_name;

/// `log add`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook log start 24-017
  clampbook log add suction flange oil --done
  clampbook log add coupling half moly wrench=W4 lot=\"tin 7\" \\
      passes=\"50 N·m done; 90 N·m done; 130 N·m open\"
  clampbook log add rod stretch set=R12 \\
      reached=\"1: stretch 0.0057 in, before 1.9986 in; 2: stretch 0.0058 in\"
  clampbook log add bolster oil did=\"trial assembly\" --done

What is not given: the lube is the setting's, the job the one begun last, who that
of the last entry; within one joint of a job wrench, lot, order and bolt set are
those of the last entry, which is said. field=- leaves it blank. What was reached
and what was ticked is never filled in. On a terminal clampbook asks for what is
missing; Enter leaves it blank.
With an adapter set-to= says what the wrench was set to: readings are held
against it.
Fields: job, who, did, wrench, set-to, lube, lot, order, passes, reached, set, remarks.")]
pub(in crate::cli) struct Add {
    /// The question that picks the settings of one joint, then FIELD=VALUE
    #[arg(required = true, value_name = "QUESTION FIELD=VALUE", add = complete::question())]
    pub words: Vec<String>,
    /// Every pass was done
    #[arg(long)]
    pub done: bool,
    /// The one setting of this key, where the question finds several
    #[arg(long, value_name = "KEY", add = complete::key())]
    pub setting: Option<String>,
    /// When, if not now: 2026-05-04T10:20
    #[arg(long, value_name = "TIME")]
    pub at: Option<String>,
    /// Ask nothing
    #[arg(long)]
    pub yes: bool,
    /// Who did it; else who did the last one of the job, or the user of the system
    #[arg(long, env = "CLAMPBOOK_WHO")]
    pub who: Option<String>,
}

pub(super) fn run(globals: &Globals, add: &Add, out: &mut Out) -> Result<Code, Failure> {
    let words = cleaned(&add.words, out);
    let (question, pairs) = parted(&words);
    if question.is_empty() {
        return argument(
            "which joint? Write a question before the fields: log add suction flange oil --done",
        );
    }
    if let Some(read) = lone_torque(&question) {
        return argument(format!(
            "`{read}`: what the wrench showed is reached=\"{read}\"; to pick the setting of that \
             torque write: torque {read}"
        ));
    }
    let at = add.at.as_deref().map_or_else(|| Ok(clock::to_the_second()), time)?;
    let mut writer = open::changing(globals, add.who.as_deref())?;
    let answer = question::ask(globals, &question, writer.book())?;
    let is_meant = |row: &&Row| add.setting.as_ref().is_none_or(|key| *key == row.key);
    let live = answer.rows.iter().filter(|row| is_live(row)).filter(is_meant);
    let rows: Vec<Row> = live.cloned().collect();
    if rows.is_empty() {
        question::draw(&answer, out);
        out.say("nothing that can be tightened: nothing was recorded");
        return Ok(Code::Nothing);
    }
    one_joint(&rows)?;
    let mut pulls = Vec::with_capacity(rows.len());
    let mut filled = BTreeSet::new();
    for row in &rows {
        let (pull, own) = line(writer.book(), add, row, &pairs, at)?;
        pulls.push(pull);
        filled.extend(own);
    }
    if !add.yes && crate::cli::dialog::is_possible() {
        ask::missing(&mut pulls, &rows, &pairs, writer.book(), out)?;
    }
    let code = write(&mut writer, pulls, out)?;
    if !filled.is_empty() {
        let filled = filled.into_iter().collect::<Vec<_>>().join(", ");
        out.say(&format!("from the last entry: {filled}; if not so: log correct LINE FIELD=-"));
    }
    for row in rows.iter().filter(|row| row.fastener.is_single_use()) {
        out.say(&format!("{}: {}", row.fastener.part, report::discard_words(&row.fastener)));
    }
    Ok(code)
}

/// A torque that ends the words of a question and is compared with nothing: whether it
/// picks the setting or was read is not known.
fn lone_torque(words: &[String]) -> Option<String> {
    let words: Vec<&str> = words.iter().flat_map(|word| word.split_whitespace()).collect();
    let torque = |at: usize| {
        let text = words[at..].join(" ");
        let read = Quantity::parse(&text).ok()?;
        (read.dimension() == Dimension::Torque).then_some((at, text))
    };
    let (at, text) = (1..words.len()).find_map(torque)?;
    let compares = ["torque", "over", "under", "above", "below", "to", "and", "or", "not", "snug"];
    let before = words[at - 1];
    (!before.ends_with(['<', '>', '=', ',']) && !compares.contains(&before)).then_some(text)
}

fn is_live(row: &Row) -> bool {
    row.refused.is_none() && !row.setting.superseded && !row.fastener.is_chart()
}

/// A line is for one setting of each fastener of one joint.
fn one_joint(rows: &[Row]) -> Result<(), Failure> {
    let name = |row: &Row| format!("{} / {}", row.fastener.joint.assembly, row.fastener.joint.name);
    let mut joints: Vec<String> = rows.iter().map(name).collect();
    joints.dedup();
    if joints.len() > 1 {
        return argument(format!("one joint at a time; the question finds {}", joints.join(", ")));
    }
    for (at, row) in rows.iter().enumerate() {
        let is_same = |other: &&Row| other.fastener.key == row.fastener.key;
        if let Some(other) = rows[..at].iter().find(is_same) {
            return argument(format!(
                "{}: which setting was it? {} or {}: say the lube, `has stretch`, or --setting KEY",
                row.fastener.part, other.key, row.key
            ));
        }
    }
    Ok(())
}

/// The line of one fastener: what was typed, else from the last entry, which is told
/// too, else from the setting.
fn line(
    book: &Book,
    add: &Add,
    row: &Row,
    pairs: &[(&str, &str)],
    at: Timestamp,
) -> Result<(Pull, Vec<String>), Failure> {
    let joint = &row.fastener.joint;
    let spec = Snapshot::new(&row.fastener, &row.setting, &row.key, book.generation());
    let typed = pairs.iter().find(|(field, _)| *field == "job").map(|(_, job)| (*job).to_owned());
    let Some(job) = typed.map_or_else(|| job::in_hand(book), |job| Ok(Some(job)))? else {
        return argument("no job was begun: log start JOB, or job=JOB");
    };
    let mut pull = Pull::new(&job, at, &joint.assembly, &joint.name, spec);
    pull.who = add.who.clone().filter(|who| !who.trim().is_empty());
    pull = pull.with_defaults(book.log()?.last(&job));
    forget_lost(&mut pull, book)?;
    let filled = carried(&pull, pairs);
    let usual = signature(None, book).who;
    pull.who = pull.who.or(Some(usual)).filter(|who| !who.is_empty());
    pull.lube = pull.lube.or_else(|| row.setting.lube.clone());
    set_all(&mut pull, pairs, book)?;
    if add.done && pull.passes.is_empty() {
        pull.passes = passes(book, row, &pull)?;
    }
    Ok((pull, filled))
}

/// What `pull` has from the last entry and nobody typed: `wrench W4`.
fn carried(pull: &Pull, pairs: &[(&str, &str)]) -> Vec<String> {
    let is_typed = |field: &Field| {
        let mut names = field.aliases.iter().chain([&field.name]);
        names.any(|name| pairs.iter().any(|(typed, _)| fold_name(typed) == fold_name(name)))
    };
    let fields = LOG_LINES.fields.iter();
    let fields = fields.filter(|one| ["wrench", "lot", "order", "set"].contains(&one.name));
    let words = |one: &Field| Some(format!("{} {}", one.name, one.value(pull).cell()?));
    fields.filter(|one| !is_typed(one)).filter_map(words).collect()
}

/// A wrench or set of the last entry that is no longer in the book, or is of
/// another part, is no default.
fn forget_lost(pull: &mut Pull, book: &Book) -> Result<(), Failure> {
    if let Some(wrench) = &pull.wrench
        && find_by_name(book.wrenches()?, &wrench.name).is_none()
    {
        pull.wrench = None;
    }
    match set_of(pull, book) {
        Err(Failure::Argument(_)) => pull.set = None,
        found => drop(found?),
    }
    Ok(())
}

/// A time with its zone, or a time of day or a day of the reader's clock.
fn time(text: &str) -> Result<Timestamp, Failure> {
    let local = || {
        let read: DateTime = text.parse().ok()?;
        read.to_zoned_datetime(TimeZone::system()).ok().map(|zoned| zoned.timestamp())
    };
    let read = text.parse().ok().or_else(local);
    read.ok_or_else(|| wrong("--at", format!("`{text}` is no time: write it as 2026-05-04T10:20")))
}

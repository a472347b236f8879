//! `log add`: a joint as it was tightened.

use std::io::IsTerminal as _;

use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::TimeZone;

use crate::cli::args::Args;
use crate::cli::bench::{order_of, wrong};
use crate::cli::clock;
use crate::cli::edit::writer;
use crate::cli::exit::{Code, Failure};
use crate::cli::find;
use crate::cli::log::args::Add;
use crate::cli::log::lines::{dressed, parted, set_all, settle, warn};
use crate::cli::log::{ask, job};
use crate::cli::out::Out;
use crate::query::syntax;
use crate::record::{PassDone, PassWish, Pull, Row, Snapshot, WrenchWish, plan_passes};
use crate::report;
use crate::store::{Book, Change, Writer};

/// Runs the command.
pub(super) fn run(args: &Args, add: &Add, out: &mut Out) -> Result<Code, Failure> {
    let (question, pairs) = parted(&add.words);
    if question.is_empty() {
        let message = "which joint? Write a question before the fields: log add head moly --done";
        return Err(Failure::Argument(message.to_owned()));
    }
    let at = add.at.as_deref().map_or_else(|| Ok(clock::to_the_second()), time)?;
    let mut writer = writer(args, add.who.as_deref())?;
    let answer = find::ask(args, &syntax::join_arguments(&question), writer.book())?;
    let is_meant = |row: &&Row| add.setting.as_ref().is_none_or(|key| *key == row.key);
    let live = answer.rows.iter().filter(|row| is_live(row)).filter(is_meant);
    let rows: Vec<Row> = live.cloned().collect();
    if rows.is_empty() {
        find::draw(&answer, out);
        out.say("nothing that can be tightened: nothing was recorded");
        return Ok(Code::Nothing);
    }
    one_joint(&rows)?;
    let mut pulls = Vec::with_capacity(rows.len());
    for row in &rows {
        pulls.push(line(writer.book(), add, row, &pairs, at)?);
    }
    if !add.yes && std::io::stdin().is_terminal() {
        ask::missing(&mut pulls, &rows, &pairs, writer.book(), out)?;
    }
    write(&mut writer, pulls, out)
}

/// Appends the lines and shows them.
pub(super) fn write(writer: &mut Writer, pulls: Vec<Pull>, out: &mut Out) -> Result<Code, Failure> {
    let before = writer.book().log()?.lines().len();
    writer.apply(vec![Change::AppendPulls(pulls)]).map_err(|error| match error {
        // Not the book is at fault, but the line.
        crate::store::StoreError::Log(why) => Failure::Argument(why.to_string()),
        other => other.into(),
    })?;
    let book = writer.book();
    let new = dressed(book, &book.log()?.lines()[before..])?;
    out.page(&report::log_list(&new));
    new.iter().for_each(|line| warn(line, out));
    Ok(Code::Answered)
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
        let message = format!("one joint at a time; the question finds {}", joints.join(", "));
        return Err(Failure::Argument(message));
    }
    for (at, row) in rows.iter().enumerate() {
        if let Some(other) = rows[..at].iter().find(|other| other.fastener.key == row.fastener.key)
        {
            let message = format!(
                "{}: which setting was it? {} or {}: say the lube, `has stretch`, or --setting KEY",
                row.fastener.part, other.key, row.key
            );
            return Err(Failure::Argument(message));
        }
    }
    Ok(())
}

/// The line of one fastener: what was typed, else from the last entry, else
/// from the setting.
fn line(
    book: &Book,
    add: &Add,
    row: &Row,
    pairs: &[(&str, &str)],
    at: Timestamp,
) -> Result<Pull, Failure> {
    let joint = &row.fastener.joint;
    let spec = Snapshot::of(&row.fastener, &row.setting, &row.key, book.generation());
    let typed = pairs.iter().find(|(field, _)| *field == "job").map(|(_, job)| (*job).to_owned());
    let job = match typed {
        Some(job) => job,
        None => job::in_hand(book)?.ok_or_else(|| {
            let message = "no job was begun: log start JOB, or job=JOB";
            Failure::Argument(message.to_owned())
        })?,
    };
    let mut pull = Pull::new(&job, at, &joint.assembly, &joint.name, spec);
    pull.who = add.who.clone().filter(|who| !who.trim().is_empty());
    pull = pull.with_defaults(book.log()?.last(&job));
    forget_lost(&mut pull, book)?;
    let system = || crate::cli::edit::signature(None).who;
    pull.who = pull.who.or_else(|| Some(system())).filter(|who| !who.is_empty());
    pull.lube = pull.lube.or_else(|| row.setting.lube.clone());
    if pull.order.is_none() && row.fastener.count.is_none_or(|count| count > 1) {
        pull.order = order_words(book, row)?;
    }
    set_all(&mut pull, pairs, book)?;
    if add.done && pull.passes.is_empty() {
        pull.passes = passes(book, row, &pull)?;
    }
    Ok(pull)
}

/// A wrench or set of the last entry that is no longer in the book, or is of
/// another part, is no default.
fn forget_lost(pull: &mut Pull, book: &Book) -> Result<(), Failure> {
    let known = |name: &str| -> Result<bool, Failure> {
        let is_it = |other: &str| crate::text::fold_name(other) == crate::text::fold_name(name);
        Ok(book.wrenches()?.iter().any(|wrench| is_it(&wrench.name)))
    };
    if let Some(wrench) = &pull.wrench
        && !known(&wrench.name)?
    {
        pull.wrench = None;
    }
    if settle(&mut pull.clone(), book).is_err() {
        pull.set = None;
    }
    Ok(())
}

/// The order of the joint as a line keeps it.
fn order_words(book: &Book, row: &Row) -> Result<Option<String>, Failure> {
    let Ok(known) = order_of(&row.fastener.joint, book, &[])?.order else { return Ok(None) };
    let listed = known.order.map(|order| {
        let holes: Vec<String> = order.holes().iter().map(ToString::to_string).collect();
        let made = if order.rule().is_generated() { "generated: " } else { "" };
        format!("{made}{}", holes.join("-"))
    });
    Ok(listed.or(known.words))
}

/// The passes of the setting, each ticked.
pub(super) fn passes(book: &Book, row: &Row, pull: &Pull) -> Result<Vec<PassDone>, Failure> {
    let named = pull.wrench.as_ref().map(|used| crate::cli::kept::wrench(book, &used.name));
    let scale = named.transpose()?.and_then(|wrench| wrench.scale().ok());
    let wrench = scale.map_or(WrenchWish::Unknown, WrenchWish::Whole);
    let wish = PassWish { wrench, ..PassWish::default() };
    let plan = plan_passes(&row.fastener, &row.setting, book.tables(), &wish)
        .map_err(|error| wrong(&row.key, error))?;
    let done = |to: String| PassDone { to, done: true, value: None };
    Ok(report::pass_texts(&plan, row).into_iter().map(done).collect())
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

//! Asking the log.

use std::collections::BTreeSet;
use std::fs;

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use crate::audit::is_other_lube;
use crate::cli::args::{Args, Format};
use crate::cli::bench::{now, wrong};
use crate::cli::exit::{Code, Failure};
use crate::cli::log::args::{Export, Found, OffTarget as OffTargetArgs, Since, Which};
use crate::cli::log::lines::dressed;
use crate::cli::out::Out;
use crate::cli::{find, kept, open};
use crate::quantity::{Ratio, Stated};
use crate::query::syntax;
use crate::record::{Pull, PullKind};
use crate::report::{self, LogLine, OffTarget};
use crate::store::Book;
use crate::text::fold_name;

/// `log show`: one line in full, or those that fit.
pub(super) fn show(args: &Args, which: &Which, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(args)?;
    let book = &opened.book;
    let [word] = which.words.as_slice() else { return listed(args, which, book, out) };
    let Ok(number) = word.parse::<u64>() else { return listed(args, which, book, out) };
    let history = dressed(book, book.log()?.history(number))?;
    if history.is_empty() {
        let lines = book.log()?.lines().len();
        out.complain(&format!("error: the log has no line {number}; it has {lines}"));
        return Ok(Code::Nothing);
    }
    out.page(&report::log_line_page(&history));
    Ok(Code::Answered)
}

/// `log since`
pub(super) fn since(args: &Args, since: &Since, out: &mut Out) -> Result<Code, Failure> {
    let which = Which { since: Some(since.day.clone()), ..since.which.clone() };
    listed(args, &which, &open::reader(args)?.book, out)
}

fn listed(args: &Args, which: &Which, book: &Book, out: &mut Out) -> Result<Code, Failure> {
    let lines = dressed(book, chosen(args, which, book)?)?;
    Ok(told(&lines, book, out))
}

/// Draws the lines, or says that there are none.
fn told(lines: &[LogLine<'_>], book: &Book, out: &mut Out) -> Code {
    out.page(&report::log_list(lines));
    if lines.is_empty() {
        let all = book.log().map_or(0, |log| log.lines().len());
        out.say(&match all {
            0 => "the log is empty: log start JOB, then log add QUESTION".to_owned(),
            all => format!("0 of the {all} lines of the log"),
        });
        return Code::Nothing;
    }
    Code::Answered
}

/// The lines that fit all that was asked.
fn chosen<'a>(args: &Args, which: &Which, book: &'a Book) -> Result<Vec<&'a Pull>, Failure> {
    let log = book.log()?;
    let from = which.since.as_deref().map(|text| day_start("--since", text)).transpose()?;
    let did = which.did.as_deref().map(kind).transpose()?;
    let keys: Option<BTreeSet<String>> = if which.words.is_empty() {
        None
    } else {
        let answer = find::ask(args, &syntax::join_arguments(&which.words), book)?;
        Some(answer.rows.iter().map(|row| row.fastener.key.clone()).collect())
    };
    let is = |asked: &Option<String>, found: Option<&str>| {
        let same = |asked: &String| found.is_some_and(|f| fold_name(f) == fold_name(asked));
        asked.as_ref().is_none_or(same)
    };
    let fits = |pull: &Pull| {
        let key = pull.spec.key.split('/').next().unwrap_or_default();
        is(&which.job, Some(&pull.job))
            && is(&which.who, pull.who.as_deref())
            && is(&which.wrench, pull.wrench.as_ref().map(|wrench| wrench.name.as_str()))
            && is(&which.lube, pull.lube.as_deref())
            && is(&which.set, pull.set.as_deref())
            && did.is_none_or(|did| did == pull.kind)
            && from.is_none_or(|from| pull.at >= from)
            && keys.as_ref().is_none_or(|keys| keys.contains(key))
            && (!which.other_lube || is_other_lube(pull, book.tables()))
    };
    let lines = log.lines().iter();
    let holds = |pull: &&Pull| which.all || log.corrected_by(pull.number).is_none();
    Ok(lines.filter(holds).filter(|pull| fits(pull)).collect())
}

fn kind(text: &str) -> Result<PullKind, Failure> {
    PullKind::find(text).ok_or_else(|| {
        wrong("--did", format!("`{text}` is none of {}", PullKind::NAMES.join(", ")))
    })
}

/// Where a day begins on the reader's clock.
fn day_start(option: &str, text: &str) -> Result<Timestamp, Failure> {
    let day: Option<Date> = text.parse().ok();
    let start = day.and_then(|day| day.to_zoned_datetime(TimeZone::system()).ok());
    start
        .map(|zoned| zoned.timestamp())
        .ok_or_else(|| wrong(option, format!("`{text}` is no day: write it as 2026-05-04")))
}

/// `log wrench`: what a wrench tightened since it was last known to be good.
pub(super) fn wrench(args: &Args, found: &Found, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(args)?;
    let book = &opened.book;
    let wrench = kept::wrench(book, &found.wrench)?;
    let typed = found.since.as_deref().map(|text| day_start("--since", text)).transpose()?;
    let calibrated = wrench.calibrated.map(|day| day.to_string());
    let own = calibrated.as_deref().map(|text| day_start("calibrated", text)).transpose()?;
    out.say(&match (&found.since, &calibrated) {
        (Some(day), _) => format!("wrench {} since {day}", wrench.name),
        (None, Some(day)) => format!(
            "wrench {} since {day}, its last calibration in the book; --since names another day",
            wrench.name
        ),
        (None, None) => format!("wrench {}: no calibration on record, so all", wrench.name),
    });
    let start = typed.or(own).unwrap_or(Timestamp::MIN);
    let lines = dressed(book, book.log()?.by_wrench(&wrench.name, start))?;
    Ok(told(&lines, book, out))
}

/// `log off-target`: readings away from what the setting states.
pub(super) fn off_target(
    args: &Args,
    asked: &OffTargetArgs,
    out: &mut Out,
) -> Result<Code, Failure> {
    let by = Stated::<Ratio>::parse(&asked.by).map_err(|error| wrong("off-target", error))?;
    let opened = open::reader(args)?;
    let lines = chosen(args, &asked.which, &opened.book)?;
    let numbers: BTreeSet<u64> = lines.iter().map(|line| line.number).collect();
    let all = opened.book.log()?.off_target(by.value().value());
    let off: Vec<OffTarget<'_>> = all
        .into_iter()
        .filter(|(pull, _)| numbers.contains(&pull.number))
        .map(|(pull, reached)| OffTarget { pull, reached })
        .collect();
    out.page(&report::off_target_list(&off));
    if off.is_empty() {
        out.say(&format!("no reading is off by more than {}", asked.by));
        return Ok(Code::Nothing);
    }
    Ok(Code::Answered)
}

/// `log retorque`: what the setting wants tightened again, and nobody did yet.
pub(super) fn retorque(args: &Args, which: &Which, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(args)?;
    let book = &opened.book;
    let asked: BTreeSet<u64> = chosen(args, which, book)?.iter().map(|line| line.number).collect();
    let waiting = book.log()?.awaiting_retorque();
    let waiting = waiting.into_iter().filter(|pull| asked.contains(&pull.number));
    let lines = dressed(book, waiting)?;
    let code = told(&lines, book, out);
    if out.format == Format::Table {
        for line in &lines {
            let when = line.pull.spec.setting.retorque.as_deref().unwrap_or_default();
            out.say(&format!("line {}: {when}", line.pull.number));
        }
    }
    Ok(code)
}

/// `log tins`: which lots of lube are in use.
pub(super) fn tins(args: &Args, which: &Which, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(args)?;
    let lines = chosen(args, which, &opened.book)?;
    let used: Vec<&Pull> = lines.into_iter().filter(|pull| pull.lube.is_some()).collect();
    out.page(&report::tin_list(&used));
    if used.is_empty() {
        out.say("no line names a lube");
        return Ok(Code::Nothing);
    }
    Ok(Code::Answered)
}

/// `log export`: every line, corrected ones too, as plain text.
pub(super) fn export(args: &Args, export: &Export, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(args)?;
    let book = &opened.book;
    let lines = dressed(book, book.log()?.lines())?;
    let text = match out.format {
        Format::Table => report::log_export(&lines, &now()),
        format => report::rendered(&report::log_list(&lines), format, out.width),
    };
    match &export.file {
        Some(file) if file.as_os_str() != "-" => {
            if file.exists() {
                let message = format!("{} is there already: name another file", file.display());
                return Err(Failure::Argument(message));
            }
            fs::write(file, text).map_err(|error| {
                let told = format!("{}: {error}", file.display());
                Failure::Output(std::io::Error::new(error.kind(), told))
            })?;
            out.say(&format!("{} lines written to {}", lines.len(), file.display()));
        }
        _ => out.answer(&text),
    }
    Ok(if lines.is_empty() { Code::Nothing } else { Code::Answered })
}

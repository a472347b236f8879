//! `log show`: lines of the log, by job, joint, day or fitter.

use std::collections::BTreeSet;
use std::path::PathBuf;

use jiff::tz::TimeZone;

use crate::cli::complete;
use crate::cli::exit::{Code, Failure};
use crate::cli::globals::Globals;
use crate::cli::log::lines::{dressed, no_line};
use crate::cli::log::which::{Which, chosen, day_start};
use crate::cli::out::Out;
use crate::cli::typed::quantity;
use crate::cli::{bolts, clock, file_out, named, open};
use crate::quantity::Ratio;
use crate::record::{LubeClass, NameOf, Pull};
use crate::report;
use crate::store::Book;

/// `log wrench`
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct FoundOut {
    /// The wrench that was found out
    #[arg(add = complete::named(NameOf::Wrench))]
    pub wrench: String,
    /// All its lines from this day on, whatever its calibrations found
    #[arg(long, value_name = "DAY")]
    pub since: Option<String>,
}

/// `log off-target`
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct OffTarget {
    /// How far away
    #[arg(default_value = "10%")]
    pub by: String,
    /// Which lines
    #[command(flatten)]
    pub which: Which,
}

/// `log export`
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Export {
    /// The file to write; - or none is standard output
    pub file: Option<PathBuf>,
    /// A file that is there already is replaced
    #[arg(long, requires = "file")]
    pub replace: bool,
}

/// `log show`: one line in full, or those that fit.
pub(super) fn show(globals: &Globals, which: &Which, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(globals)?;
    let book = &opened.book;
    let [Ok(number)] = which.words.iter().map(|word| word.parse()).collect::<Vec<_>>()[..] else {
        let lines = dressed(book, chosen(globals, which, book)?)?;
        return Ok(draw(&report::log_list(&lines), lines.len(), book, out));
    };
    let history = dressed(book, book.log()?.history(number))?;
    if history.is_empty() {
        return no_line(number, book, out);
    }
    out.page(&report::log_line_page(&history));
    Ok(Code::Answered)
}

fn draw(page: &report::Page<'_>, count: usize, book: &Book, out: &mut Out) -> Code {
    out.page(page);
    let none = match book.log().map_or(0, |log| log.lines().len()) {
        0 => "the log is empty: log start JOB, then log add QUESTION".to_owned(),
        all => format!("0 of the {all} lines of the log"),
    };
    out.ended(count, &none)
}

/// `log wrench`: what a wrench is said to have tightened, what is in doubt first.
pub(super) fn wrench(globals: &Globals, found: &FoundOut, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(globals)?;
    let book = &opened.book;
    let wrench = named::wrench(book, &found.wrench)?;
    let log = book.log()?;
    if let Some(day) = &found.since {
        let start = day_start("--since", day)?;
        let doubt = wrench.calibration(clock::today()).warning();
        let doubt = doubt.map(|words| format!(": {words}")).unwrap_or_default();
        out.say(&format!("wrench {} since {day}{doubt}", wrench.name));
        let lines = log.by_wrench(&wrench.name).into_iter().map(|(pull, _)| pull);
        let lines = dressed(book, lines.filter(|pull| pull.at >= start))?;
        return Ok(draw(&report::log_list(&lines), lines.len(), book, out));
    }
    let mut recalls = Vec::new();
    for recall in log.recall(&wrench, &TimeZone::system()) {
        let mut lines = dressed(book, recall.lines.iter().map(|(pull, _)| *pull))?;
        lines.iter_mut().for_each(|line| line.found_out = recall.found_out);
        recalls.push((recall, lines));
    }
    out.page(&report::recall_page(&wrench, &recalls));
    let is_empty = recalls.iter().all(|(_, lines)| lines.is_empty());
    Ok(if is_empty { Code::Nothing } else { Code::Answered })
}

/// `log off-target`: readings away from what the setting states.
pub(super) fn off_target(
    globals: &Globals,
    asked: &OffTarget,
    out: &mut Out,
) -> Result<Code, Failure> {
    let by = quantity::<Ratio>("off-target", &asked.by)?;
    let opened = open::reader(globals)?;
    let lines = chosen(globals, &asked.which, &opened.book)?;
    let numbers: BTreeSet<u64> = lines.iter().map(|line| line.number).collect();
    let mut off = opened.book.log()?.off_target(Some(by.value().value()));
    off.retain(|(pull, _)| numbers.contains(&pull.number));
    let lines = dressed(&opened.book, off.iter().map(|(pull, _)| *pull))?.into_iter();
    let off: Vec<report::OffTarget<'_>> =
        lines.zip(off).map(|(line, (_, reached))| report::OffTarget { line, reached }).collect();
    out.page(&report::off_target_list(&off));
    Ok(out.ended(off.len(), &format!("no reading is off by more than {}", asked.by)))
}

/// `log retorque`: what the setting wants tightened again, and nobody did yet.
pub(super) fn retorque(globals: &Globals, which: &Which, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(globals)?;
    let book = &opened.book;
    let asked: BTreeSet<u64> =
        chosen(globals, which, book)?.iter().map(|line| line.number).collect();
    let waiting = book.log()?.awaiting_retorque();
    let waiting = waiting.into_iter().filter(|pull| asked.contains(&pull.number));
    let lines = dressed(book, waiting)?;
    Ok(draw(&report::retorque_list(&lines), lines.len(), book, out))
}

/// `log tins`: which lots of lube are in use.
pub(super) fn tins(globals: &Globals, which: &Which, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(globals)?;
    let lines = chosen(globals, which, &opened.book)?;
    let tables = opened.book.tables();
    // Dry comes out of no tin.
    let of_a_tin = |name: &str| tables.lube(name).is_none_or(|lube| lube.class != LubeClass::Dry);
    let used = lines.into_iter().filter(|pull| pull.lube.as_deref().is_some_and(of_a_tin));
    let used: Vec<&Pull> = used.collect();
    out.page(&report::tin_list(&used));
    Ok(out.ended(used.len(), "no line names a lube"))
}

/// `log bolts`: the bolts of all sets, or of the one named.
pub(super) fn bolts(globals: &Globals, which: &Which, out: &mut Out) -> Result<Code, Failure> {
    let typed = which.words.join(" ");
    let set = which.set.as_deref().or(Some(&*typed).filter(|name| !name.is_empty()));
    bolts::draw(&open::reader(globals)?.book, set, which.cycles, out)
}

/// `log export`: every line, corrected ones too, as plain text.
pub(super) fn export(globals: &Globals, export: &Export, out: &mut Out) -> Result<Code, Failure> {
    let opened = open::reader(globals)?;
    let book = &opened.book;
    let lines = dressed(book, book.log()?.lines())?;
    let page = report::log_export(&lines, &clock::shown());
    match &export.file {
        Some(file) if !file_out::is_stdout(file) => {
            let text = report::rendered(&page, out.format, out.width);
            file_out::write(file, text.as_bytes(), export.replace)?;
            out.say(&format!("{} lines written to {}", lines.len(), file.display()));
        }
        _ => out.page(&page),
    }
    Ok(if lines.is_empty() { Code::Nothing } else { Code::Answered })
}

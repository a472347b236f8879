//! Lines of the log as a list.

use jiff::Timestamp;
use jiff::tz::TimeZone;

use crate::quantity::{Extent, Torque};
use crate::record::{LOG_LINES, NOT_STATED, Pull, Reached, Recall, Wrench, changes_of};
use crate::report::lay::{clean, counted, or_not_stated, tied};
use crate::report::log::export::facts;
use crate::report::log::keys::line_keys;
use crate::report::log::{LogLine, OffTarget, Tin, tins};
use crate::report::page::{Head, Page, Table};
use crate::report::style::Tone;

/// A stamp as the reader's clock shows it.
pub(super) fn local(at: Timestamp) -> String {
    at.to_zoned_datetime(TimeZone::system()).strftime("%Y-%m-%d %H:%M").to_string()
}

/// What was reached, in few words: that of all, else how many readings.
fn reached(pull: &Pull) -> String {
    let ticked = pull.passes.iter().filter(|pass| pass.done).count();
    let passes = match pull.passes.len() {
        0 => String::new(),
        1 if ticked == 1 => "1 pass done".to_owned(),
        all if ticked == all => format!("{all} passes done"),
        all => format!("{ticked} of {all} passes done"),
    };
    let read = match pull.reached.as_slice() {
        [] => String::new(),
        [only] => only.to_string(),
        several => format!("{} readings", several.len()),
    };
    let off = clean(&pull.off_target()).replace("OFF TARGET", "OFF\u{a0}TARGET");
    let read = [clean(&read), off].concat();
    match (passes.is_empty(), read.is_empty()) {
        (true, true) => "not written down".to_owned(),
        (false, true) => passes,
        (true, false) => read,
        (false, false) => format!("{passes}; {read}"),
    }
}

/// The lube that was put on, loud if it is another than the setting's.
fn lube(line: &LogLine<'_>) -> String {
    let pull = line.pull;
    let lot = pull.lot.as_deref().map(|lot| format!(", {}", clean(lot))).unwrap_or_default();
    let other = if line.other_lube { " NOT THE SETTING'S" } else { "" };
    format!("{}{lot}{other}", or_not_stated(pull.lube.as_deref()))
}

fn wrench(pull: &Pull) -> String {
    let late = if pull.is_wrench_overdue() { " OVERDUE" } else { "" };
    or_not_stated(pull.wrench.as_ref().map(|wrench| wrench.name.as_str())) + late
}

/// The place of a line in one cell.
fn place(pull: &Pull) -> String {
    [&pull.assembly, &pull.joint, &pull.spec.part].map(|name| clean(name)).join(" / ")
}

/// What the line that holds in its place says otherwise: `wrench W4 -> W3`.
pub(super) fn correction(line: &LogLine<'_>) -> String {
    let Some(instead) = line.instead else { return String::new() };
    let changes = changes_of("", LOG_LINES.fields, Some(line.pull), Some(instead));
    let words = |text: Option<String>| text.unwrap_or_else(|| NOT_STATED.to_owned());
    let each = changes
        .into_iter()
        .map(|one| format!("{} {} -> {}", one.field, words(one.old), words(one.new)));
    each.collect::<Vec<_>>().join("; ")
}

/// What was done, with the lines that it corrects or that correct it.
fn did(line: &LogLine<'_>) -> String {
    let corrected = line
        .instead
        .map(|holds| format!(" (line {} instead: {})", holds.number, clean(&correction(line))))
        .unwrap_or_default();
    let corrects = line.pull.corrects.map(|old| format!(" (for {old})")).unwrap_or_default();
    format!("{}{corrected}{corrects}", line.pull.kind)
}

/// That a job was begun, or goes on with the lines that it has.
pub fn job_page(job: &str, lines: usize) -> Page<'static> {
    let mut page = Page::new();
    page.prose(match lines {
        0 => format!("job {} begun: log add QUESTION records a joint", clean(job)),
        lines => format!("job {} goes on: it has {}", clean(job), counted(lines, "line")),
    });
    page.fact("job", job);
    page.fact("lines", lines);
    page
}

/// Lines of the log, oldest first.
pub fn log_list<'a>(lines: &[LogLine<'a>]) -> Page<'a> {
    let mut page = Page::of_table("rows", line_keys(columns(lines)));
    if !lines.is_empty() {
        page.prose(counted(lines.len(), "line"));
    }
    page
}

/// What `wrench` tightened: under each calibration that found it out the lines which
/// that puts in doubt, then those since the newest.
pub fn recall_page<'a>(wrench: &'a Wrench, recalls: &[(Recall<'a>, Vec<LogLine<'a>>)]) -> Page<'a> {
    let mut page = Page::new();
    let mut every = Vec::new();
    for (recall, lines) in recalls {
        if !every.is_empty() {
            page.blank();
        }
        let tone = if recall.found_out.is_some() { Tone::Danger } else { Tone::Plain };
        page.toned(tone, format!("wrench {} {}", clean(&wrench.name), doubt(wrench, recall)));
        page.shown_table(columns(lines));
        page.prose(counted(lines.len(), "line"));
        every.extend_from_slice(lines);
    }
    let day = |line: &LogLine<'_>| line.found_out.map(|day| day.to_string());
    page.rows("rows", line_keys(Table::new(every).key("found_out", day)));
    page
}

/// That the newest calibration does not say how the wrench was found.
fn silent(wrench: &Wrench) -> String {
    let newest = wrench.calibrated().filter(|newest| newest.found.is_none());
    let words = newest.map(|newest| {
        let (day, name) = (newest.day, clean(&wrench.name));
        format!("; how it was found {day} is not stated: edit wrench {name} found=good, or out")
    });
    words.unwrap_or_default()
}

/// Why the lines of a recall are told: `FOUND OUT 2025-02-11, last found good before
/// that 2024-02-05. IN DOUBT is all since, …`.
fn doubt(wrench: &Wrench, recall: &Recall<'_>) -> String {
    if let Some(out) = recall.found_out {
        let good = match recall.since {
            Some(good) => format!("last found good before that {good}"),
            None => "never found good before that".to_owned(),
        };
        let end = match recall.until {
            Some(next) => format!("up to and with {next}, the next calibration that says how"),
            None => format!("up to today: not to be used until found good{}", silent(wrench)),
        };
        return format!("FOUND OUT {out}, {good}. IN DOUBT is all since, {end}");
    }
    let (newest, silent) = (wrench.calibrated(), silent(wrench));
    match (recall.since, newest) {
        (Some(since), _) if silent.is_empty() => format!("since its newest calibration, {since}"),
        (Some(since), _) => format!("since it was last found good, {since}{silent}"),
        (None, Some(_)) => format!("never found good, so all{silent}"),
        (None, None) => "has no calibration on record, so all".to_owned(),
    }
}

fn columns<'a>(lines: &[LogLine<'a>]) -> Table<'a, LogLine<'a>> {
    Table::new(lines.to_vec())
        .column(Head::number("line"), LogLine::numbered)
        .column(Head::words("when", 10), |line| local(line.pull.at))
        .column(Head::words("job", 6), |line| clean(&line.pull.job))
        .column(Head::words("joint, part", 10), |line| place(line.pull))
        .column(Head::words("did", 8), did)
        .column(Head::words("reached", 8), |line| reached(line.pull))
        .column(Head::words("lube", 6), lube)
        .column(Head::words("wrench", 6), |line| wrench(line.pull))
        .column(Head::words("who", 4), |line| or_not_stated(line.pull.who.as_deref()))
}

/// Lines that wait to be tightened again, each with when.
pub fn retorque_list<'a>(lines: &[LogLine<'a>]) -> Page<'a> {
    let mut page = log_list(lines);
    for line in lines {
        let when = line.pull.spec.setting.retorque.as_deref().unwrap_or_default();
        page.remark(Tone::Plain, format!("line {}: {}", line.numbered(), clean(when)));
    }
    page
}

/// One line in full and those that it corrects, newest first.
pub fn log_line_page<'a>(history: &[LogLine<'a>]) -> Page<'a> {
    let mut page = Page::new();
    for line in history {
        page.prose(format!("line {}, {}", line.numbered(), local(line.pull.at)));
        for (name, value) in facts(line) {
            page.shown(format!("  {name:<14}"), value);
        }
    }
    page.rows("rows", line_keys(Table::new(history.to_vec())));
    page
}

/// What a reading was to be.
fn target(off: &OffTarget<'_>) -> Option<String> {
    let (pull, setting) = (off.line.pull, &off.line.pull.spec.setting);
    match (off.reached.torque, off.reached.stretch) {
        (Some(_), _) => match pull.set_to {
            Some(set) => Some(format!("set {set}")),
            None => setting.torque.map(|torque| torque.to_string()),
        },
        (None, Some(_)) => setting.stretch.map(|window| format!("stretch {window}")),
        (None, None) => Some(setting.turns().trim_start().to_owned()),
    }
}

/// What was read: the torque, else the stretch, else the angle.
fn found(off: &OffTarget<'_>) -> Option<String> {
    let reached = off.reached;
    let torque = reached.torque.map(|torque| torque.to_string());
    let stretch = || reached.stretch.map(|length| format!("stretch {length}"));
    torque.or_else(stretch).or_else(|| reached.angle.map(|angle| angle.to_string()))
}

/// Readings away from their target.
pub fn off_target_list<'a>(off: &[OffTarget<'a>]) -> Page<'a> {
    let of_target = |one: &OffTarget<'_>| share(one.line.pull, one.reached);
    let per_cent = move |one: &OffTarget<'_>| {
        of_target(one).map(|share| format!("{:.0} %", share * 100.0)).unwrap_or_default()
    };
    let table = Table::new(off.to_vec())
        .column(Head::number("line"), |one: &OffTarget<'_>| one.line.numbered())
        .column(Head::words("when", 10), |one| local(one.line.pull.at))
        .column(Head::words("job", 6), |one| clean(&one.line.pull.job))
        .column(Head::words("joint, part", 10), |one| place(one.line.pull))
        .column(Head::solid("position"), |one| clean(&one.reached.position))
        .column(Head::solid("found"), |one| tied(&found(one).unwrap_or_default()))
        .column(Head::solid("target"), |one| tied(&target(one).unwrap_or_default()))
        .column(Head::number("of target"), per_cent)
        .key("line", |one| one.line.number())
        .key("job", |one| one.line.pull.job.clone())
        .key("at", |one| one.line.pull.at.to_string())
        .key("assembly", |one| one.line.pull.assembly.clone())
        .key("joint", |one| one.line.pull.joint.clone())
        .key("part", |one| one.line.pull.spec.part.clone())
        .key("position", |one| one.reached.position.clone())
        .key("found", found)
        .key("found_nm", |one| one.reached.torque.map(|torque| torque.value().nm()))
        .key("torque", target)
        .key("torque_nm", |one| one.line.pull.wanted().and_then(Extent::low).map(Torque::nm))
        .key("of_target", of_target);
    let mut page = Page::of_table("rows", table);
    if !off.is_empty() {
        page.prose(counted(off.len(), "reading"));
    }
    page
}

/// What was found as a share of the nearer end of what was wanted.
pub(super) fn share(pull: &Pull, reached: &Reached) -> Option<f64> {
    let wanted = pull.wanted()?;
    let found = reached.torque?.value().nm();
    let low = wanted.low().map_or(0.0, Torque::nm);
    let end = if found < low { low } else { wanted.high().nm() };
    Some(found / end)
}

/// The tins in use.
pub fn tin_list<'a>(lines: &[&'a Pull]) -> Page<'a> {
    let jobs = |tin: &Tin<'_>| tin.jobs.iter().map(|job| (*job).to_owned()).collect::<Vec<_>>();
    let table = Table::new(tins(lines))
        .column(Head::words("lube", 8), |tin| clean(tin.lube))
        .column(Head::words("lot", 6), |tin| or_not_stated(tin.lot))
        .column(Head::words("jobs", 8), move |tin| clean(&jobs(tin).join(", ")))
        .column(Head::number("lines"), |tin| tin.lines.to_string())
        .column(Head::solid("last used"), |tin| local(tin.last))
        .key("lube", |tin| tin.lube)
        .key("lot", |tin| tin.lot.map(str::to_owned))
        .key("jobs", jobs)
        .key("lines", |tin| tin.lines)
        .key("last_used", |tin| tin.last.to_string());
    Page::of_table("rows", table)
}

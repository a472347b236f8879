//! Lines of the log as a list.

use jiff::Timestamp;
use jiff::tz::TimeZone;

use crate::quantity::Torque;
use crate::record::{NOT_STATED, Pull, Reached};
use crate::report::grid::Head;
use crate::report::lay::{clean, counted, tied};
use crate::report::log::{LogLine, OffTarget, tins};
use crate::report::pages::drawn;

/// A stamp as the reader's clock shows it.
pub(super) fn local(at: Timestamp) -> String {
    at.to_zoned_datetime(TimeZone::system()).strftime("%Y-%m-%d %H:%M").to_string()
}

fn said(text: Option<&str>) -> String {
    text.map_or_else(|| NOT_STATED.to_owned(), clean)
}

/// What was reached, in few words: that of all, else how many readings.
fn reached(pull: &Pull) -> String {
    let ticked = pull.passes.iter().filter(|pass| pass.done).count();
    let passes = match pull.passes.len() {
        0 => String::new(),
        all if ticked == all => counted(all, "pass").replace("passs", "passes") + " done",
        all => format!("{ticked} of {all} passes done"),
    };
    let read = match pull.reached.as_slice() {
        [] => String::new(),
        [only] => only.to_string(),
        several => format!("{} readings", several.len()),
    };
    match (passes.is_empty(), read.is_empty()) {
        (true, true) => "not written down".to_owned(),
        (false, true) => passes,
        (true, false) => clean(&read),
        (false, false) => format!("{passes}; {}", clean(&read)),
    }
}

/// The lube that was put on, loud if it is another than the setting's.
fn lube(line: &LogLine<'_>) -> String {
    let pull = line.pull;
    let lot = pull.lot.as_deref().map(|lot| format!(", {}", clean(lot))).unwrap_or_default();
    let other = if line.other_lube { " NOT THE SETTING'S" } else { "" };
    format!("{}{lot}{other}", said(pull.lube.as_deref()))
}

fn wrench(pull: &Pull) -> String {
    let late = if pull.is_wrench_overdue() { " OVERDUE" } else { "" };
    said(pull.wrench.as_ref().map(|wrench| wrench.name.as_str())) + late
}

/// Lines for a person, oldest first.
pub fn log_list(lines: &[LogLine<'_>], width: usize) -> String {
    let heads = vec![
        Head::number("line"),
        Head::words("when", 10),
        Head::words("job", 6),
        Head::words("joint, part", 10),
        Head::words("did", 8),
        Head::words("reached", 8),
        Head::words("lube", 6),
        Head::words("wrench", 6),
        Head::words("who", 4),
    ];
    let row = |line: &LogLine<'_>| {
        let pull = line.pull;
        let corrected = line.corrected_by.map(|by| format!(" (see {by})")).unwrap_or_default();
        let corrects = pull.corrects.map(|old| format!(" (for {old})")).unwrap_or_default();
        let place = [&pull.assembly, &pull.joint, &pull.spec.part].map(|name| clean(name));
        vec![
            pull.number.to_string(),
            local(pull.at),
            clean(&pull.job),
            place.join(" / "),
            format!("{}{corrected}{corrects}", pull.kind),
            reached(pull),
            lube(line),
            wrench(pull),
            said(pull.who.as_deref()),
        ]
    };
    let list = drawn(heads, lines.iter().map(row).collect(), width);
    format!("{list}{}", counted(lines.len(), "line"))
}

/// Readings away from their target, for a person.
pub fn off_target_list(off: &[OffTarget<'_>], width: usize) -> String {
    let heads = vec![
        Head::number("line"),
        Head::words("when", 10),
        Head::words("job", 6),
        Head::words("joint, part", 10),
        Head::solid("position"),
        Head::solid("found"),
        Head::solid("target"),
        Head::number("of target"),
    ];
    let row = |one: &OffTarget<'_>| {
        let OffTarget { pull, reached } = one;
        let place = [&pull.assembly, &pull.joint, &pull.spec.part].map(|name| clean(name));
        let target = pull.spec.setting.torque.map(|torque| torque.to_string());
        vec![
            pull.number.to_string(),
            local(pull.at),
            clean(&pull.job),
            place.join(" / "),
            clean(&reached.position),
            tied(&reached.torque.map(|torque| torque.to_string()).unwrap_or_default()),
            tied(&target.unwrap_or_default()),
            share(pull, reached).map(|share| format!("{:.0} %", share * 100.0)).unwrap_or_default(),
        ]
    };
    let list = drawn(heads, off.iter().map(row).collect(), width);
    format!("{list}{}", counted(off.len(), "reading"))
}

/// What was found as a share of the nearer end of what was wanted.
pub(super) fn share(pull: &Pull, reached: &Reached) -> Option<f64> {
    let wanted = pull.spec.setting.torque?;
    let found = reached.torque?.value().nm();
    let low = wanted.low().map_or(0.0, Torque::nm);
    let end = if found < low { low } else { wanted.high().nm() };
    Some(found / end)
}

/// The tins in use, for a person.
pub fn tin_list(lines: &[&Pull], width: usize) -> String {
    let heads = vec![
        Head::words("lube", 8),
        Head::words("lot", 6),
        Head::words("jobs", 8),
        Head::number("lines"),
        Head::solid("last used"),
    ];
    let row = |tin: &crate::report::log::Tin<'_>| {
        vec![
            clean(tin.lube),
            said(tin.lot),
            tin.jobs.iter().map(|job| clean(job)).collect::<Vec<_>>().join(", "),
            tin.lines.to_string(),
            local(tin.last),
        ]
    };
    drawn(heads, tins(lines).iter().map(row).collect(), width)
}

//! The log as plain text, to be read without clampbook in twenty years: names
//! before values, units beside every figure, nothing left to look up.

use crate::record::{LOG_LINES, NOT_STATED, Pull, Setting};
use crate::report::lay::clean;
use crate::report::log::LogLine;
use crate::report::log::keys::line_keys;
use crate::report::page::{Page, Table};

const HEAD: &str = "\
PULL LOG: what was tightened, by whom, with what.
UTF-8 text. One block for each fastener and visit, in the order written, from
line 1. A line is never altered: where one was wrong, a later one says which it
corrects, and that one holds. What is not in a block was not written down.
\"setting\" is the specification as it stood when it was used. Times are UTC
(Z). Torque at the wrench unless said otherwise.
1 lb-ft = 1.3558 N·m, 12 lb-in = 1 lb-ft, 1 in = 25.4 mm, 1 lbf = 4.4482 N.";

/// Every line: as text that says when it was made, for a program as `log show` does.
pub fn log_export<'a>(lines: &[LogLine<'a>], made: &str) -> Page<'a> {
    let text = text(lines, made);
    let mut page = Page::new();
    page.drawn(move |_, _| text.lines().map(str::to_owned).collect());
    page.rows("rows", line_keys(Table::new(lines.to_vec())));
    page
}

fn text(lines: &[LogLine<'_>], made: &str) -> String {
    let mut blocks = vec![format!("{HEAD}\nMade {made}. {} lines.", lines.len())];
    for line in lines {
        let facts = facts(line).into_iter().map(|(name, value)| format!("  {name}: {value}"));
        let block: Vec<String> =
            std::iter::once(format!("line {}", line.numbered())).chain(facts).collect();
        blocks.push(block.join("\n"));
    }
    blocks.push("END OF LOG".to_owned());
    blocks.join("\n\n")
}

/// Names and values of a line, what was not written down left out.
pub(super) fn facts(line: &LogLine<'_>) -> Vec<(&'static str, String)> {
    let pull = line.pull;
    let mut facts = Vec::new();
    let mut say = |name: &'static str, value: Option<String>| {
        facts.extend(value.filter(|value| !value.is_empty()).map(|value| (name, clean(&value))));
    };
    say("corrects line", pull.corrects.map(|old| old.to_string()));
    say("corrected by", line.corrected_by.map(|by| format!("line {by}, which holds in its place")));
    say("at", Some(pull.at.to_string()));
    say("assembly", Some(pull.assembly.clone()));
    say("joint", Some(pull.joint.clone()));
    say("part", Some(part(pull)));
    say("setting", Some(setting_words(&pull.spec.setting)));
    say("setting key", Some(format!("{}, revision {}", pull.spec.key, pull.spec.generation)));
    say("setting source", Some(pull.spec.setting.source.to_string()));
    for field in LOG_LINES.fields {
        let value = match field.name {
            "wrench" => wrench(pull),
            "reached" => {
                field.value(pull).cell().map(|read| read.into_owned() + &pull.off_target())
            }
            _ => field.value(pull).cell().map(std::borrow::Cow::into_owned),
        };
        say(field.name, value);
    }
    let written = [line.written_by, line.written_at].map(str::trim);
    say("written down", Some(written.join(" ").trim().to_owned()));
    facts
}

fn part(pull: &Pull) -> String {
    let spec = &pull.spec;
    let thread = spec.thread.as_ref().map(|thread| format!(", thread {thread}"));
    let count = spec.count.map(|count| format!(", {count} of them"));
    format!("{}{}{}", spec.part, thread.unwrap_or_default(), count.unwrap_or_default())
}

/// All that the setting asks for, in words.
fn setting_words(setting: &Setting) -> String {
    let mut words = vec![setting.method.word().to_owned()];
    words.extend(setting.torque.map(|torque| torque.to_string()));
    words.extend(setting.snug.map(|snug| format!("from {snug}")));
    words.extend(setting.angles.iter().map(|angle| format!("+{angle}")));
    words.extend(setting.stretch.map(|stretch| format!("stretch {stretch}")));
    let lube = setting.lube.as_deref().unwrap_or(NOT_STATED);
    words.push(format!("lube {lube}"));
    words.extend(setting.face_lube.as_ref().map(|face| format!("under the head {face}")));
    words.push(setting.basis.word().to_owned());
    words.extend(setting.retorque.as_ref().map(|when| format!("retorque {when}")));
    words.join(", ")
}

fn wrench(pull: &Pull) -> Option<String> {
    let wrench = pull.wrench.as_ref()?;
    let day = |day: Option<jiff::civil::Date>| {
        day.map_or_else(|| NOT_STATED.to_owned(), |day| day.to_string())
    };
    let late = if pull.is_wrench_overdue() { ", OVERDUE on that day" } else { "" };
    let (calibrated, due) = (day(wrench.calibrated), day(wrench.due));
    Some(format!("{}, calibrated {calibrated}, due {due}{late}", wrench.name))
}

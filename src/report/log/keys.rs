//! A line of the log for a program: keys in lower_snake with the SI unit as suffix.

use jiff::civil::Date;
use serde_json::{Value, json};

use crate::quantity::{Extent, Torque};
use crate::record::{LOG_LINES, Pull, Reached};
use crate::report::log::LogLine;
use crate::report::log::list::correction;
use crate::report::page::Table;
use crate::report::record_keys::record_keys;

/// The columns of a table with all keys of its lines: what a person writes of one comes
/// from the table of a log line, the rest from the clock, the spec and the wrench.
pub(super) fn line_keys<'a>(table: Table<'a, LogLine<'a>>) -> Table<'a, LogLine<'a>> {
    let readings =
        |line: &LogLine<'_>| line.pull.reached.iter().map(reached).collect::<Vec<Value>>();
    let passes = |line: &LogLine<'_>| {
        line.pull.passes.iter().map(ToString::to_string).collect::<Vec<String>>()
    };
    let given = |text: &str| Some(text.to_owned()).filter(|text| !text.is_empty());
    let table = table
        .key("line", LogLine::number)
        .key("corrects", |line| line.pull.corrects)
        .key("corrected_by", |line| line.corrected_by)
        .key("correction", |line| Some(correction(line)).filter(|words| !words.is_empty()))
        .key("at", |line| line.pull.at.to_string())
        .key("assembly", |line| line.pull.assembly.clone())
        .key("joint", |line| line.pull.joint.clone());
    let table = record_keys(setting(table), &LOG_LINES, &["passes", "reached"], |line| line.pull);
    wrench(table)
        .key("other_lube", |line| line.other_lube)
        .key("passes", passes)
        .key("reached", readings)
        .key("written_by", move |line| given(line.written_by))
        .key("written_at", move |line| given(line.written_at))
}

/// The setting as it stood when it was used.
fn setting<'a>(table: Table<'a, LogLine<'a>>) -> Table<'a, LogLine<'a>> {
    let torque = |line: &LogLine<'_>| line.pull.spec.setting.torque;
    let angles = |line: &LogLine<'_>| {
        let angles = line.pull.spec.setting.angles.iter();
        angles.map(|angle| angle.value().deg()).collect::<Vec<f64>>()
    };
    table
        .key("key", |line| line.pull.spec.key.clone())
        .key("revision", |line| line.pull.spec.generation)
        .key("part", |line| line.pull.spec.part.clone())
        .key("thread", |line| line.pull.spec.thread.clone())
        .key("count", |line| line.pull.spec.count)
        .key("setting_lube", |line| line.pull.spec.setting.lube.clone())
        .key("basis", |line| line.pull.spec.setting.basis.word())
        .key("method", |line| line.pull.spec.setting.method.word())
        .key("torque", move |line| torque(line).map(|torque| torque.to_string()))
        .key("torque_nm", move |line| torque(line).and_then(Extent::low).map(Torque::nm))
        .key("torque_max_nm", move |line| torque(line).map(|torque| torque.high().nm()))
        .key("snug_nm", |line| line.pull.spec.setting.snug.map(|snug| snug.value().nm()))
        .key("angle_steps_deg", angles)
        .key("stretch", |line| line.pull.spec.setting.stretch.map(|stretch| stretch.to_string()))
        .key("retorque", |line| line.pull.spec.setting.retorque.clone())
        .key("source", |line| line.pull.spec.setting.source.title.clone())
}

/// How the wrench stood then.
fn wrench<'a>(table: Table<'a, LogLine<'a>>) -> Table<'a, LogLine<'a>> {
    let day = |day: Option<Date>| day.map(|day| day.to_string());
    let calibrated = |pull: &Pull| pull.wrench.as_ref().and_then(|wrench| wrench.calibrated);
    let due = |pull: &Pull| pull.wrench.as_ref().and_then(|wrench| wrench.due);
    let overdue =
        |line: &LogLine<'_>| line.pull.wrench.as_ref().map(|_| line.pull.is_wrench_overdue());
    table
        .key("wrench_calibrated", move |line| day(calibrated(line.pull)))
        .key("wrench_due", move |line| day(due(line.pull)))
        .key("wrench_overdue", overdue)
}

fn reached(reached: &Reached) -> Value {
    json!({
        "position": reached.position,
        "torque": reached.torque.map(|torque| torque.to_string()),
        "torque_nm": reached.torque.map(|torque| torque.value().nm()),
        "angle_deg": reached.angle.map(|angle| angle.value().deg()),
        "stretch_mm": reached.stretch.map(|length| length.value().mm()),
        "before_mm": reached.before.map(|length| length.value().mm()),
        "after_mm": reached.after.map(|length| length.value().mm()),
    })
}

//! The log for a program: keys in lower_snake with the SI unit as suffix.

use crate::quantity::{Angle, Extent, Length, Stated, Torque};
use crate::record::{Pull, Reached};
use crate::report::csv::keyed;
use crate::report::json::Json;
use crate::report::log::list::share;
use crate::report::log::{LogLine, OffTarget, Tin, tins};
use crate::report::passes::keys_of;

/// `{"rows": [...]}`, one object a line of the log.
pub fn log_list_json(lines: &[LogLine<'_>]) -> String {
    Json::object(vec![("rows", Json::List(lines.iter().map(line).collect()))]).lines()
}

/// The same as CSV.
pub fn log_list_csv(lines: &[LogLine<'_>]) -> String {
    let rows: Vec<Json> = lines.iter().map(line).collect();
    keyed(&keys_of(&rows), &rows)
}

fn line(line: &LogLine<'_>) -> Json {
    let pull = line.pull;
    let mut json = Json::object(vec![
        ("line", pull.number.into()),
        ("corrects", pull.corrects.into()),
        ("corrected_by", line.corrected_by.into()),
        ("job", (&pull.job).into()),
        ("at", pull.at.to_string().into()),
        ("who", pull.who.clone().into()),
        ("did", pull.kind.word().into()),
        ("assembly", (&pull.assembly).into()),
        ("joint", (&pull.joint).into()),
    ]);
    setting(&mut json, pull);
    used(&mut json, pull);
    json.add("other_lube", line.other_lube.into());
    let passes: Vec<String> = pull.passes.iter().map(ToString::to_string).collect();
    json.add("passes", passes.into());
    json.add("reached", Json::List(pull.reached.iter().map(reached).collect()));
    json.add("set", pull.set.clone().into());
    json.add("remarks", pull.remarks.clone().into());
    let given = |text: &str| Some(text.to_owned()).filter(|text| !text.is_empty());
    json.add("written_by", given(line.written_by).into());
    json.add("written_at", given(line.written_at).into());
    json
}

/// The setting as it stood when it was used.
fn setting(json: &mut Json, pull: &Pull) {
    let (spec, setting) = (&pull.spec, &pull.spec.setting);
    json.add("key", (&spec.key).into());
    json.add("revision", spec.generation.into());
    json.add("part", (&spec.part).into());
    json.add("thread", spec.thread.clone().into());
    json.add("count", spec.count.into());
    json.add("setting_lube", setting.lube.clone().into());
    json.add("basis", setting.basis.word().into());
    json.add("method", setting.method.word().into());
    json.add("torque", setting.torque.map(|torque| torque.to_string()).into());
    json.add("torque_nm", setting.torque.and_then(Extent::low).map(Torque::nm).into());
    json.add("torque_max_nm", setting.torque.map(|torque| torque.high().nm()).into());
    json.add("snug_nm", setting.snug.map(|snug| snug.value().nm()).into());
    let angles: Vec<f64> = setting.angles.iter().map(|angle| angle.value().deg()).collect();
    json.add("angle_steps_deg", angles.into());
    json.add("stretch", setting.stretch.map(|stretch| stretch.to_string()).into());
    json.add("source", setting.source.title.clone().into());
}

/// What was used to do it.
fn used(json: &mut Json, pull: &Pull) {
    let wrench = pull.wrench.as_ref();
    json.add("wrench", wrench.map(|wrench| wrench.name.clone()).into());
    let day = |day: Option<jiff::civil::Date>| Json::from(day.map(|day| day.to_string()));
    json.add("wrench_calibrated", day(wrench.and_then(|wrench| wrench.calibrated)));
    json.add("wrench_due", day(wrench.and_then(|wrench| wrench.due)));
    json.add("wrench_overdue", wrench.map(|_| pull.is_wrench_overdue()).into());
    json.add("lube", pull.lube.clone().into());
    json.add("lot", pull.lot.clone().into());
    json.add("order", pull.order.clone().into());
}

fn reached(reached: &Reached) -> Json {
    let mm = |length: Option<Stated<Length>>| Json::from(length.map(|length| length.value().mm()));
    let deg = |angle: Stated<Angle>| angle.value().deg();
    Json::object(vec![
        ("position", (&reached.position).into()),
        ("torque", reached.torque.map(|torque| torque.to_string()).into()),
        ("torque_nm", reached.torque.map(|torque| torque.value().nm()).into()),
        ("angle_deg", reached.angle.map(deg).into()),
        ("stretch_mm", mm(reached.stretch)),
        ("before_mm", mm(reached.before)),
        ("after_mm", mm(reached.after)),
    ])
}

/// Readings away from their target for a program.
pub fn off_target_json(off: &[OffTarget<'_>]) -> String {
    let one = |one: &OffTarget<'_>| {
        let OffTarget { pull, reached } = one;
        let wanted = pull.spec.setting.torque;
        Json::object(vec![
            ("line", pull.number.into()),
            ("job", (&pull.job).into()),
            ("at", pull.at.to_string().into()),
            ("assembly", (&pull.assembly).into()),
            ("joint", (&pull.joint).into()),
            ("part", (&pull.spec.part).into()),
            ("position", (&reached.position).into()),
            ("found", reached.torque.map(|torque| torque.to_string()).into()),
            ("found_nm", reached.torque.map(|torque| torque.value().nm()).into()),
            ("torque", wanted.map(|torque| torque.to_string()).into()),
            ("torque_nm", wanted.and_then(Extent::low).map(Torque::nm).into()),
            ("of_target", share(pull, reached).into()),
        ])
    };
    Json::object(vec![("rows", Json::List(off.iter().map(one).collect()))]).lines()
}

/// The tins in use for a program.
pub fn tin_json(lines: &[&Pull]) -> String {
    let one = |tin: &Tin<'_>| {
        let jobs: Vec<String> = tin.jobs.iter().map(|job| (*job).to_owned()).collect();
        Json::object(vec![
            ("lube", tin.lube.into()),
            ("lot", tin.lot.into()),
            ("jobs", jobs.into()),
            ("lines", tin.lines.into()),
            ("last_used", tin.last.to_string().into()),
        ])
    };
    Json::object(vec![("rows", Json::List(tins(lines).iter().map(one).collect()))]).lines()
}

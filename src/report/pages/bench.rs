//! Wrenches and layouts as lists, and what a change of one did.

use jiff::civil::Date;

use crate::procedure::Usable;
use crate::quantity::{Length, Stated, Torque, Unit};
use crate::record::{Calibration, Layout, NOT_STATED, Wrench};
use crate::report::csv::keyed;
use crate::report::figures::short;
use crate::report::grid::Head;
use crate::report::json::Json;
use crate::report::lay::{clean, tied};
use crate::report::pages::drawn;
use crate::report::passes::keys_of;

/// A field before and after a change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptChange {
    /// Which field.
    pub field: &'static str,
    /// As it was.
    pub old: Option<String>,
    /// As it is now.
    pub new: Option<String>,
}

/// What was entered or changed of the `what` called `name`.
pub fn kept_page(what: &str, name: &str, changes: &[KeptChange]) -> String {
    let said = |text: &Option<String>| text.as_deref().map_or(NOT_STATED.to_owned(), clean);
    let changed = changes.iter().filter(|one| one.field != "name" && one.old != one.new);
    let lines: Vec<String> = changed
        .map(|one| format!("  {}: {} -> {}", one.field, said(&one.old), said(&one.new)))
        .collect();
    let is_new = changes.iter().any(|one| one.field == "name" && one.old.is_none());
    let head = match (is_new, lines.is_empty()) {
        (true, _) => "entered",
        (false, true) => "nothing changed: the book says so already",
        (false, false) => "changed",
    };
    let mut page = vec![format!("{what} {}: {head}", clean(name))];
    page.extend(lines);
    page.join("\n")
}

/// The same for a program, with the book's revision.
pub fn kept_json(what: &str, name: &str, changes: &[KeptChange], revision: u64) -> String {
    let changed = changes.iter().filter(|one| one.old != one.new);
    let one = |change: &KeptChange| {
        Json::object(vec![
            ("field", change.field.into()),
            ("old", change.old.clone().into()),
            ("new", change.new.clone().into()),
        ])
    };
    Json::object(vec![
        ("kind", what.into()),
        ("name", name.into()),
        ("changes", Json::List(changed.map(one).collect())),
        ("revision", revision.into()),
    ])
    .lines()
}

fn usable(wrench: &Wrench) -> Option<(Usable, &'static Unit)> {
    let scale = wrench.scale().ok()?;
    Some((scale.usable().ok()?, scale.unit))
}

fn said(text: Option<String>) -> String {
    text.map_or_else(|| NOT_STATED.to_owned(), |text| tied(&clean(&text)))
}

/// Two ends and a unit: `20 to 150 lb-ft`.
fn from_to(low: Torque, high: Torque, unit: &Unit) -> String {
    let figure = |torque: Torque| short(torque.nm() / unit.factor, 4);
    tied(&format!("{} to {} {}", figure(low), figure(high), unit.symbol))
}

/// `20 to 150 by 1 lb-ft`.
fn scale_words(scale: crate::procedure::Wrench) -> String {
    let unit = scale.unit;
    let figure = |torque: Torque| short(torque.nm() / unit.factor, 4);
    let ends = [scale.low_mark, scale.full_scale, scale.graduation].map(figure);
    tied(&format!("{} to {} by {} {}", ends[0], ends[1], ends[2], unit.symbol))
}

/// What is known of a scale that is not stated whole.
fn partial(wrench: &Wrench) -> String {
    said(wrench.high.map(|high| format!("to {high}")))
}

/// When its calibration ends, loud if that is past.
pub(crate) fn due_words(wrench: &Wrench, day: Date) -> String {
    match wrench.calibration(day) {
        Calibration::Unknown => NOT_STATED.to_owned(),
        Calibration::Good(end) => end.to_string(),
        Calibration::Overdue(end) => format!("{end} OVERDUE"),
    }
}

/// The wrenches of the book with what of their scale may be used, by which
/// rule, and when they are due.
pub fn wrench_list(wrenches: &[Wrench], day: Date, width: usize) -> String {
    let heads = vec![
        Head::words("wrench", 6),
        Head::solid("scale"),
        Head::solid("usable"),
        Head::words("rule", 12),
        Head::words("due", 10),
    ];
    let row = |wrench: &Wrench| {
        let scale = wrench.scale().ok();
        let fit = usable(wrench);
        let unfit = || wrench.scale().err().map_or(String::new(), |error| error.to_string());
        vec![
            clean(&wrench.name),
            scale.map_or_else(|| partial(wrench), scale_words),
            fit.map_or_else(
                || "not known".to_owned(),
                |(fit, unit)| from_to(fit.low, fit.high, unit),
            ),
            fit.map_or_else(unfit, |(fit, _)| fit.rule.to_owned()),
            due_words(wrench, day),
        ]
    };
    let list = drawn(heads, wrenches.iter().map(row).collect(), width);
    let late = wrenches
        .iter()
        .filter(|wrench| matches!(wrench.calibration(day), Calibration::Overdue(_)))
        .count();
    let last = match late {
        0 => "none is overdue.".to_owned(),
        late => format!("{late} of {} overdue.", wrenches.len()),
    };
    format!("{list}{last} Due 12 months after the last calibration where no day is stated.")
}

/// One wrench for a program; torques also in N·m, its lever in mm.
fn wrench_json(wrench: &Wrench, day: Date) -> Json {
    let mut json = Json::object(vec![("name", (&wrench.name).into())]);
    let torques = [
        (["low", "low_nm"], wrench.low),
        (["high", "high_nm"], wrench.high),
        (["graduation", "graduation_nm"], wrench.graduation),
        (["shop_low", "shop_low_nm"], wrench.shop_low),
        (["shop_high", "shop_high_nm"], wrench.shop_high),
    ];
    for ([text, nm], torque) in torques {
        json.add(text, torque.map(|torque| torque.to_string()).into());
        json.add(nm, torque.map(|torque| torque.value().nm()).into());
    }
    let fit = usable(wrench).map(|(fit, _)| fit);
    json.add("usable_low_nm", fit.map(|fit| fit.low.nm()).into());
    json.add("usable_high_nm", fit.map(|fit| fit.high.nm()).into());
    json.add("usable_rule", fit.map(|fit| fit.rule).into());
    let lever: Option<Stated<Length>> = wrench.lever;
    json.add("lever", lever.map(|lever| lever.to_string()).into());
    json.add("lever_mm", lever.map(|lever| lever.value().mm()).into());
    json.add("calibrated", wrench.calibrated.map(|day| day.to_string()).into());
    json.add("due", wrench.good_until().map(|day| day.to_string()).into());
    let overdue = match wrench.calibration(day) {
        Calibration::Unknown => None,
        Calibration::Good(_) => Some(false),
        Calibration::Overdue(_) => Some(true),
    };
    json.add("overdue", overdue.into());
    json.add("notes", wrench.notes.clone().into());
    json
}

/// One wrench with an adapter on it: torque at the bolt over torque shown.
pub fn wrench_with_adapter(
    wrench: &Wrench,
    day: Date,
    adapter: Option<&str>,
    gain: Option<f64>,
) -> Json {
    let mut json = wrench_json(wrench, day);
    json.add("adapter", adapter.into());
    json.add("adapter_gain", gain.into());
    json
}

/// The wrenches for a program.
pub fn wrench_list_json(wrenches: &[Wrench], day: Date) -> String {
    let all = wrenches.iter().map(|wrench| wrench_json(wrench, day)).collect();
    Json::object(vec![("wrenches", Json::List(all))]).lines()
}

/// The wrenches as CSV.
pub fn wrench_list_csv(wrenches: &[Wrench], day: Date) -> String {
    let all: Vec<Json> = wrenches.iter().map(|wrench| wrench_json(wrench, day)).collect();
    keyed(&keys_of(&all), &all)
}

fn groups(layout: &Layout) -> String {
    let group = |(name, holes): &(String, Vec<usize>)| format!("{} {}", clean(name), holes.len());
    match layout.groups.len() {
        0 => "all one".to_owned(),
        _ => layout.groups.iter().map(group).collect::<Vec<_>>().join(", then "),
    }
}

/// The layouts of the book.
pub fn layout_list(layouts: &[Layout], width: usize) -> String {
    let heads = vec![
        Head::words("layout", 10),
        Head::number("holes"),
        Head::words("groups", 10),
        Head::words("notes", 12),
    ];
    let row = |layout: &Layout| {
        vec![
            clean(&layout.name),
            layout.points.len().to_string(),
            groups(layout),
            said(layout.notes.clone()),
        ]
    };
    drawn(heads, layouts.iter().map(row).collect(), width)
}

fn layout_json(layout: &Layout) -> Json {
    let hole = |(at, point): (usize, &crate::procedure::Point)| {
        Json::object(vec![
            ("hole", (at + 1).into()),
            ("x_mm", point.x.mm().into()),
            ("y_mm", point.y.mm().into()),
        ])
    };
    let group = |(name, holes): &(String, Vec<usize>)| {
        Json::object(vec![("name", name.into()), ("holes", holes.clone().into())])
    };
    Json::object(vec![
        ("name", (&layout.name).into()),
        ("count", layout.points.len().into()),
        ("holes", Json::List(layout.points.iter().enumerate().map(hole).collect())),
        ("groups", Json::List(layout.groups.iter().map(group).collect())),
        ("notes", layout.notes.clone().into()),
    ])
}

/// The layouts for a program, coordinates in mm.
pub fn layout_list_json(layouts: &[Layout]) -> String {
    Json::object(vec![("layouts", Json::List(layouts.iter().map(layout_json).collect()))]).lines()
}

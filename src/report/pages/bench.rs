//! Wrenches and layouts as lists.

use jiff::civil::Date;
use serde_json::{Map, Value, json};

use crate::procedure::{Point, Usable};
use crate::quantity::{Torque, Unit};
use crate::record::{AsFound, Calibrated, Calibration, LAYOUTS, Layout, WRENCHES, Wrench};
use crate::report::figures::short;
use crate::report::lay::{clean, or_not_stated, tied, untied};
use crate::report::page::{Head, Page, Table};
use crate::report::record_keys::record_keys;

fn usable(wrench: &Wrench) -> Option<(Usable, &'static Unit)> {
    let scale = wrench.scale().ok()?;
    Some((scale.usable().ok()?, scale.unit))
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

/// `scale 20 to 150 by 1 lb-ft, used 30 to 150 lb-ft, from 20 % of full scale, …`.
pub fn scale_and_range(wrench: &Wrench) -> String {
    let Ok(scale) = wrench.scale() else { return partial(wrench) };
    let used = scale
        .usable()
        .ok()
        .map(|fit| format!(", used {}, {}", from_to(fit.low, fit.high, scale.unit), fit.rule));
    untied(&format!("scale {}{}", scale_words(scale), used.unwrap_or_default()))
}

/// What is known of a scale that is not stated whole.
fn partial(wrench: &Wrench) -> String {
    tied(&or_not_stated(wrench.high.map(|high| format!("to {high}"))))
}

/// When its calibration ends, loud if that is past.
pub(crate) fn due_words(wrench: &Wrench, day: Date) -> String {
    let Calibration { until, is_overdue, found_out } = wrench.calibration(day);
    let end = until.filter(|_| is_overdue || found_out.is_none());
    let end = end.map(|end| format!("{end}{}", if is_overdue { " OVERDUE" } else { "" }));
    let out = found_out.map(|day| format!("FOUND OUT {day}"));
    let words: Vec<String> = end.into_iter().chain(out).collect();
    or_not_stated(Some(words.join(", ")).filter(|words| !words.is_empty()))
}

/// The wrenches of the book with what of their scale may be used, and when they are due;
/// below, by which rule.
pub fn wrench_list(wrenches: &[Wrench], day: Date) -> Page<'_> {
    let scale = |wrench: &&Wrench| wrench.scale().map_or_else(|_| partial(wrench), scale_words);
    let range = |wrench: &&Wrench| {
        let words = |(fit, unit): (Usable, &Unit)| from_to(fit.low, fit.high, unit);
        usable(wrench).map_or_else(|| "not known".to_owned(), words)
    };
    let table = Table::new(wrenches)
        .column(Head::words("wrench", 6), |wrench| clean(&wrench.name))
        .column(Head::solid("scale"), scale)
        .column(Head::solid("usable"), range)
        .column(Head::words("due", 10), move |wrench| due_words(wrench, day));
    let mut page = Page::of_table("wrenches", keyed(table, day));
    let is_late = |wrench: &&Wrench| is_overdue(wrench, day) == Some(true);
    let late = match wrenches.iter().filter(is_late).count() {
        0 => "none is overdue.".to_owned(),
        late => format!("{late} of {} overdue.", wrenches.len()),
    };
    let late = match wrenches.iter().filter(|wrench| wrench.found_out().is_some()).count() {
        0 => late,
        out => format!("{out} of {} FOUND OUT, not to be used; {late}", wrenches.len()),
    };
    if !wrenches.is_empty() {
        page.prose(format!("usable {}.", rules(wrenches)));
        page.prose(format!(
            "{late} Due 12 months after the last calibration where no day is stated."
        ));
    }
    page
}

/// What of each scale may be used and by which rule, each rule once: `W1, W2: from 20 % of
/// full scale, …`.
fn rules(wrenches: &[Wrench]) -> String {
    let mut rules: Vec<(String, Vec<String>)> = Vec::new();
    for wrench in wrenches {
        let rule = match (usable(wrench), wrench.scale()) {
            (Some((fit, _)), _) => fit.rule.to_owned(),
            (None, Err(error)) => error.to_string(),
            (None, Ok(_)) => continue,
        };
        match rules.iter_mut().find(|(known, _)| *known == rule) {
            Some((_, names)) => names.push(clean(&wrench.name)),
            None => rules.push((rule, vec![clean(&wrench.name)])),
        }
    }
    let each = rules.into_iter().map(|(rule, names)| format!("{}: {rule}", names.join(", ")));
    each.collect::<Vec<_>>().join("; ")
}

fn is_overdue(wrench: &Wrench, day: Date) -> Option<bool> {
    let calibration = wrench.calibration(day);
    (calibration != Calibration::default()).then_some(calibration.is_overdue)
}

/// The keys of a wrench: what is kept of it, and what follows.
fn keyed<'a>(table: Table<'a, &'a Wrench>, day: Date) -> Table<'a, &'a Wrench> {
    let fit = |wrench: &Wrench| usable(wrench).map(|(fit, _)| fit);
    // The day stated, or a year after the last calibration.
    let day_of = |one: Calibrated| one.day.to_string();
    let found = |one: Calibrated| one.found.map(AsFound::word);
    let each = move |wrench: &&Wrench| {
        let calibrations = wrench.calibrations.iter();
        let key = |one: &Calibrated| json!({ "day": day_of(*one), "found": found(*one) });
        calibrations.map(key).collect::<Vec<_>>()
    };
    record_keys(table, &WRENCHES, &["calibrated", "due"], |wrench| *wrench)
        .key("calibrated", move |wrench| wrench.calibrated().map(day_of))
        .key("calibrations", each)
        .key("due", |wrench| wrench.good_until().map(|day| day.to_string()))
        .key("overdue", move |wrench| is_overdue(wrench, day))
        .key("found_out", |wrench| wrench.found_out().map(|day| day.to_string()))
        .key("usable_low_nm", move |wrench| fit(wrench).map(|fit| fit.low.nm()))
        .key("usable_high_nm", move |wrench| fit(wrench).map(|fit| fit.high.nm()))
        .key("usable_rule", move |wrench| fit(wrench).map(|fit| fit.rule))
}

/// Keys of a record with their values, for a program.
pub type Keys = Map<String, Value>;

/// One wrench with an adapter on it: torque at the bolt over torque shown.
pub fn wrench_with_adapter(
    wrench: &Wrench,
    day: Date,
    adapter: Option<&str>,
    gain: Option<f64>,
) -> Keys {
    let mut object =
        keyed(Table::new([wrench]), day).objects().next().expect("a table of one record has a row");
    object.insert("adapter".to_owned(), adapter.into());
    object.insert("adapter_gain".to_owned(), gain.into());
    object
}

fn groups(layout: &Layout) -> String {
    let group = |(name, holes): &(String, Vec<usize>)| format!("{} {}", clean(name), holes.len());
    match layout.groups.len() {
        0 => "all one".to_owned(),
        _ => layout.groups.iter().map(group).collect::<Vec<_>>().join(", then "),
    }
}

/// The layouts of the book, coordinates in mm.
pub fn layout_list(layouts: &[Layout]) -> Page<'_> {
    let holes = |layout: &&Layout| {
        let hole = |(at, point): (usize, &Point)| json!({ "hole": at + 1, "x_mm": point.x.mm(), "y_mm": point.y.mm() });
        layout.points.iter().enumerate().map(hole).collect::<Vec<_>>()
    };
    let grouped = |layout: &&Layout| {
        let group = |(name, holes): &(String, Vec<usize>)| json!({ "name": name, "holes": holes });
        layout.groups.iter().map(group).collect::<Vec<_>>()
    };
    let table = Table::new(layouts)
        .column(Head::words("layout", 10), |layout| clean(&layout.name))
        .column(Head::number("holes"), |layout| layout.points.len().to_string())
        .column(Head::words("groups", 10), |layout| groups(layout))
        .column(Head::words("notes", 12), |layout| or_not_stated(layout.notes.as_ref()))
        .key("holes", holes)
        .key("groups", grouped);
    Page::of_table("layouts", record_keys(table, &LAYOUTS, &["groups"], |layout| *layout))
}

//! `thread T`: what a thread is, and what is mistaken for it.

use crate::quantity::Length;
use crate::report::figures::{short, trimmed};
use crate::report::json::Json;
use crate::report::lay::{tied, untied, wrap};
use crate::report::pages::facts;
use crate::thread::{Danger, LookAlike, Role, Thread, look_alikes};

/// Look-alikes shown on the page; JSON has all of them.
const SHOWN: usize = 8;

/// The thread as a page of `width` columns, both unit systems, its own first.
pub fn thread_page(thread: &Thread, width: usize) -> String {
    let row = thread.series().row();
    let inch = row.is_inch();
    let length = |length: Length| in_both(length.mm(), "mm", length.mm() / 25.4, "in", inch);
    let mut lines = vec![
        ("thread", thread.to_string()),
        ("series", format!("{}, {}", row.symbol, row.name)),
        ("major", length(thread.nominal())),
        ("pitch", pitch(thread, inch)),
    ];
    match thread.geometry() {
        Ok(geometry) => {
            let area = geometry.stress_area.mm2();
            lines.extend([
                ("pitch dia.", length(geometry.pitch_diameter)),
                ("minor dia.", length(geometry.minor_diameter)),
                ("stress area", in_both(area, "mm²", area / 645.16, "in²", inch)),
            ]);
        }
        Err(error) => lines.push(("stress area", format!("none: {error}"))),
    }
    let drill = thread.tap_drill().map_or_else(|| "none for this series".to_owned(), length);
    lines.push(("tap drill", drill));
    facts(&lines, width) + &alike_lines(thread, width)
}

/// `20 per inch, 0.05 in / 1.27 mm`.
fn pitch(thread: &Thread, inch: bool) -> String {
    let pitch = thread.pitch().length().mm();
    let both = in_both(pitch, "mm", pitch / 25.4, "in", inch);
    thread.tpi().map_or_else(|| both.clone(), |tpi| format!("{} per inch, {both}", short(tpi, 4)))
}

/// A value in both systems, the thread's own first: metric to a thousandth,
/// inch to a ten-thousandth, as thread tables print them.
fn in_both(metric: f64, unit: &str, inch: f64, inch_unit: &str, inch_first: bool) -> String {
    let metric = tied(&format!("{} {unit}", trimmed(&format!("{metric:.3}"))));
    let inch = tied(&format!("{} {inch_unit}", trimmed(&format!("{inch:.4}"))));
    if inch_first { format!("{inch} / {metric}") } else { format!("{metric} / {inch}") }
}

fn alike_lines(thread: &Thread, width: usize) -> String {
    let alike = look_alikes(thread);
    if alike.is_empty() {
        return String::new();
    }
    let mut lines = vec!["easily mistaken for".to_owned()];
    for pair in alike.iter().take(SHOWN) {
        lines.extend(
            wrap(&pair.to_string(), width.saturating_sub(2).max(8))
                .iter()
                .map(|line| format!("  {line}")),
        );
    }
    if alike.len() > SHOWN {
        lines.push(format!("  and {} less dangerous", alike.len() - SHOWN));
    }
    lines.extend(wrap("By fingers three turns, or wrong thread.", width.max(8)));
    lines.iter().map(|line| untied(line) + "\n").collect()
}

/// The thread as JSON. A pipe thread has no diameters to compute with: null.
pub fn thread_json(thread: &Thread) -> String {
    let geometry = thread.geometry().ok();
    let length = |length: Option<Length>| Json::from(length.map(Length::mm));
    Json::object(vec![
        ("designation", thread.to_string().into()),
        ("series", thread.series().symbol().into()),
        ("major_mm", thread.nominal().mm().into()),
        ("pitch_mm", thread.pitch().length().mm().into()),
        ("tpi", thread.tpi().into()),
        ("pitch_diameter_mm", length(geometry.map(|g| g.pitch_diameter))),
        ("minor_diameter_mm", length(geometry.map(|g| g.minor_diameter))),
        ("stress_area_mm2", geometry.map(|g| g.stress_area.mm2()).into()),
        ("tap_drill_mm", length(thread.tap_drill())),
        ("look_alikes", Json::List(look_alikes(thread).iter().map(alike).collect())),
    ])
    .to_string()
}

fn alike(pair: &LookAlike) -> Json {
    let role = match pair.other_is {
        Role::Bolt => "bolt",
        Role::Nut => "nut",
    };
    let danger = match pair.danger {
        Danger::WontStart => "won't start",
        Danger::Jams => "jams",
        Danger::Binds => "binds",
        Danger::Runs => "runs",
    };
    Json::object(vec![
        ("thread", pair.other.to_string().into()),
        ("is", role.into()),
        ("danger", danger.into()),
        ("turns", pair.turns.into()),
        ("shared", pair.shared.value().into()),
        ("text", pair.to_string().into()),
    ])
}

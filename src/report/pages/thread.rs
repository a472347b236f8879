//! `thread T`: what a thread is, and what is mistaken for it.

use crate::mechanics::{nearest_drill, strict_area};
use crate::quantity::{Area, Length};
use crate::report::figures::{short, trimmed};
use crate::report::lay::tied;
use crate::report::page::{Page, Table};
use crate::thread::{Danger, Family, LookAlike, Role, TURNS_BY, Thread, look_alikes};

/// Look-alikes shown on the page; JSON has all of them.
const SHOWN: usize = 8;

/// What `thread` answers: both unit systems, its own first. A pipe thread has no
/// diameters to compute with: null.
pub fn thread_page(thread: &Thread) -> Page<'static> {
    let mut page = Page::new();
    shown(thread, &mut page);
    let alike = look_alikes(thread);
    if !alike.is_empty() {
        page.prose("easily mistaken for");
        for pair in alike.iter().take(SHOWN) {
            page.indented(pair.to_string());
        }
        if alike.len() > SHOWN {
            page.prose(tied(&format!("  and {} less dangerous", alike.len() - SHOWN)));
        }
        page.prose(TURNS_BY);
        page.prose("By fingers three turns, or wrong thread.");
    }
    data(thread, &mut page);
    page.rows("look_alikes", alike_rows(alike));
    page
}

fn shown(thread: &Thread, page: &mut Page<'_>) {
    let row = thread.series().row();
    let inch = row.is_inch();
    let length = |length: Length| in_both(length.mm(), "mm", length.mm() / 25.4, "in", inch);
    page.shown("thread", thread.to_string());
    page.shown("series", format!("{}, {}", row.symbol, row.name));
    page.shown("major", length(thread.nominal()));
    page.shown("pitch", pitch(thread, inch));
    match thread.geometry() {
        Ok(geometry) => {
            let area = geometry.stress_area.mm2();
            page.shown("pitch dia.", length(geometry.pitch_diameter));
            page.shown("minor dia.", length(geometry.minor_diameter));
            page.shown("stress area", in_both(area, "mm²", area / 645.16, "in²", inch));
            if let Some(area) = strict(thread) {
                let text = in_both(area, "mm²", area / 645.16, "in²", inch);
                page.shown("above 100 ksi", format!("{text}, the standard's stricter form"));
            }
        }
        Err(error) => page.shown("stress area", format!("none: {error}")),
    }
    let drill = thread.tap_drill().map_or_else(
        || "none for this series".to_owned(),
        |size| format!("{}, nearest drill {}", length(size), nearest_drill(size, inch).0),
    );
    page.shown("tap drill", drill);
}

/// The stricter stress area of a unified thread, mm².
fn strict(thread: &Thread) -> Option<f64> {
    let is_unified = thread.series().family() == Family::Unified;
    let geometry = thread.geometry().ok().filter(|_| is_unified)?;
    strict_area(&geometry).ok().map(Area::mm2)
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

fn data(thread: &Thread, page: &mut Page<'_>) {
    let geometry = thread.geometry().ok();
    page.fact("designation", thread.to_string());
    page.fact("series", thread.series().symbol());
    page.fact("major_mm", thread.nominal().mm());
    page.fact("pitch_mm", thread.pitch().length().mm());
    page.fact("tpi", thread.tpi());
    page.fact("pitch_diameter_mm", geometry.map(|geometry| geometry.pitch_diameter.mm()));
    page.fact("minor_diameter_mm", geometry.map(|geometry| geometry.minor_diameter.mm()));
    page.fact("stress_area_mm2", geometry.map(|geometry| geometry.stress_area.mm2()));
    page.fact("stress_area_above_100_ksi_mm2", strict(thread));
    page.fact("tap_drill_mm", thread.tap_drill().map(Length::mm));
    let drill = thread.tap_drill().map(|size| nearest_drill(size, thread.series().row().is_inch()));
    page.fact("nearest_drill", drill.as_ref().map(|drill| drill.0.clone()));
    page.fact("nearest_drill_mm", drill.map(|drill| drill.1.mm()));
}

fn alike_rows(pairs: Vec<LookAlike>) -> Table<'static, LookAlike> {
    let role = |pair: &LookAlike| match pair.other_is {
        Role::Bolt => "bolt",
        Role::Nut => "nut",
    };
    let danger = |pair: &LookAlike| match pair.danger {
        Danger::WontStart => "won't start",
        Danger::Jams => "jams",
        Danger::Binds => "binds",
        Danger::Runs => "runs",
    };
    Table::new(pairs)
        .key("thread", |pair| pair.other.to_string())
        .key("is", role)
        .key("danger", danger)
        .key("turns", |pair| pair.turns)
        .key("turns_least", |pair| pair.turns_between.map(|ends| ends[0]))
        .key("turns_most", |pair| pair.turns_between.map(|ends| ends[1]))
        .key("shared", |pair| pair.shared.value())
        .key("text", ToString::to_string)
}

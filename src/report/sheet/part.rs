//! One fastener of a joint with its settings.

use maud::{Markup, html};

use crate::query::run::UnitsWanted;
use crate::record::{Fastener, Method, Reuse};
use crate::report::duties::{discard_words, is_pulled};
use crate::report::lay::clean;
use crate::report::pull::stated_words;
use crate::report::sheet::Context;
use crate::report::sheet::cautions::Pulled;
use crate::report::sheet::facts::fit_words;
use crate::report::sheet::pulls::pull;
use crate::report::sheet::svg;

/// Most columns of a table with one for each fastener.
pub(crate) const MOST_COLUMNS: u32 = 12;
/// Most fasteners that have a column of their own.
pub(crate) const MOST_MEASURED: u32 = 60;

/// The block of a fastener; all of `rows` are its rows. `outline` is how its
/// holes are drawn on the map, if they are told apart there.
pub(crate) fn part(rows: &[Pulled<'_>], outline: Option<usize>, context: &Context<'_>) -> Markup {
    let fastener = &rows[0].one.row.fastener;
    let several = rows.iter().filter(|pulled| is_pulled(&pulled.one.row)).count() > 1;
    html! {
        section.part {
            h2 {
                @if let Some(outline) = outline { (svg::marker(outline)) " " }
                @if let Some(count) = fastener.count { (count) " × " }
                (clean(&fastener.part))
                small { (small_words(fastener, context.wanted)) }
            }
            // The box on top says it of those that are pulled.
            @if fastener.is_single_use() && !is_used(rows) {
                p.discard { (discard_words(fastener)) }
            }
            @if let Some(notes) = &fastener.notes { p.own { "Note: " (clean(notes)) } }
            @if several { p.notes { "Tick the one used:" } }
            @for pulled in rows { (pull(pulled, several, context)) }
            (measured(fastener, rows, context.wanted))
        }
    }
}

/// Whether one of `rows` is pulled.
pub(crate) fn is_used(rows: &[Pulled<'_>]) -> bool {
    rows.iter().any(|pulled| is_pulled(&pulled.one.row))
}

/// After the name: holes, threads, tools, hole, washer.
pub(crate) fn small_words(fastener: &Fastener, wanted: &UnitsWanted) -> String {
    let positions = fastener.positions.as_ref().map(|positions| {
        let positions = clean(positions);
        let is_number = positions.starts_with(|c: char| c.is_ascii_digit());
        if is_number { format!("holes {positions}") } else { positions }
    });
    let facts: Vec<String> = positions.into_iter().chain(fit_words(fastener, wanted)).collect();
    format!("  {}", facts.join(" · "))
}

/// Blanks for what is measured at each fastener: free length and stretch, or
/// the number of the tightening.
fn measured(fastener: &Fastener, rows: &[Pulled<'_>], wanted: &UnitsWanted) -> Markup {
    let by_stretch = rows.iter().any(|pulled| pulled.one.row.setting.method == Method::Stretch);
    let (limit, cycles) = match fastener.reuse {
        Some(Reuse::FreeLength(limit)) => (Some(stated_words(limit, wanted)), None),
        Some(Reuse::UpTo(cycles)) => (None, Some(cycles)),
        _ => (None, None),
    };
    let count = fastener.count.unwrap_or(1).min(MOST_MEASURED);
    html! {
        @if by_stretch || limit.is_some() {
            @for from in (0..count).step_by(MOST_COLUMNS as usize) {
                table.grown {
                    (row("no.", from, count, true))
                    (row("free length before", from, count, false))
                    @if by_stretch { (row("stretch", from, count, false)) }
                }
            }
        }
        @if let Some(limit) = limit {
            p.notes { b { "Scrap above a free length of " (limit) "." } }
        }
        @if let Some(cycles) = cycles {
            p.blank { "This is tightening no. " i {} " of " (cycles) " (trial assemblies count)" }
        }
    }
}

fn row(label: &str, from: u32, count: u32, numbered: bool) -> Markup {
    html! {
        tr {
            th { (label) }
            @for number in from + 1..=count.min(from + MOST_COLUMNS) {
                @if numbered { th { (number) } } @else { td {} }
            }
        }
    }
}

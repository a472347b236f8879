//! The clamp of each lube with its band against proof and yield, as a picture: in
//! the terminal and as SVG. Black and white; every mark has a letter or a word.

use maud::html;

use crate::correction::{Comparison, Comparisons};
use crate::quantity::{Force, Unit};
use crate::query::run::UnitsWanted;
use crate::record::{Clamp, Row};
use crate::report::cells;
use crate::report::figures::clamp_figures;
use crate::report::lay::{clean, pad, tied, untied, width as columns_of, wrap};
use crate::report::pull::Pull;
use crate::report::style::{Style, Tone};

/// Least columns of the picture beside its names.
const LEAST: usize = 24;
/// A line of the drawing, px, and the room for its names and figures.
const LINE: f64 = 26.0;
const NAMES: f64 = 230.0;
const BARS: f64 = 420.0;
const FIGURES: f64 = 150.0;

/// A lube of the chart.
struct Bar {
    name: String,
    clamp: Clamp,
}

/// The bars of a fastener on one scale.
struct Chart {
    title: String,
    bars: Vec<Bar>,
    proof: Option<Force>,
    yields: Option<Force>,
    unit: &'static Unit,
    /// The force at the right end.
    full: f64,
}

impl Chart {
    fn compared(one: &Comparison, units: &UnitsWanted) -> Option<Self> {
        let unit = cells::clamp_unit(units)?;
        let rows: Vec<&Row> = one.rows.iter().filter(|row| row.refused.is_none()).collect();
        let bar = |row: &&Row| {
            let clamp = row.derived.clamp?;
            let pull = Pull::new(&row.setting, units).first();
            Some(Bar { name: format!("{} {pull}", cells::lube(&row.setting)), clamp })
        };
        let bars: Vec<Bar> = rows.iter().filter_map(bar).collect();
        let derived = &rows.iter().find(|row| row.derived.clamp.is_some())?.derived;
        let (proof, yields) = (derived.proof_load, derived.yield_load);
        let ends = bars.iter().map(|bar| bar.clamp.high).chain(proof).chain(yields);
        let full = ends.map(Force::n).fold(0.0, f64::max) * 1.05;
        let title = format!("{} · {}", cells::place(&one.fastener), clean(&one.fastener.part));
        (full > 0.0).then_some(Self { title, bars, proof, yields, unit, full })
    }

    /// Where a force lies, 0 to 1.
    fn at(&self, force: Force) -> f64 {
        force.n() / self.full
    }

    fn legend(&self) -> String {
        let limit = |name: &str, force: Option<Force>| {
            force.map(|force| {
                let exact = Clamp { low: force, nominal: force, high: force };
                let figure = clamp_figures(exact, self.unit);
                let figure = figure.split(' ').next().unwrap_or_default().to_owned();
                tied(&format!("{name} {figure} {}", self.unit.symbol))
            })
        };
        let limits: Vec<String> = [limit("P proof", self.proof), limit("Y yield", self.yields)]
            .into_iter()
            .flatten()
            .collect();
        let of = if limits.is_empty() { "" } else { " of the weakest section" };
        format!("o clamp, |--| its band; {}{of}", limits.join(", "))
    }

    fn figures(&self, bar: &Bar) -> String {
        cells::clamp_words(bar.clamp, self.unit)
    }
}

/// The picture for a terminal.
pub(super) fn lines(
    one: &Comparison,
    units: &UnitsWanted,
    width: usize,
    style: Style,
) -> Vec<String> {
    let Some(chart) = Chart::compared(one, units) else { return Vec::new() };
    let names = chart.bars.iter().map(|bar| columns_of(&bar.name)).max().unwrap_or(0);
    let figures = chart.bars.iter().map(|bar| columns_of(&chart.figures(bar))).max().unwrap_or(0);
    let mut lines = vec![style.paint(Tone::Heading, &chart.title)];
    let room = width.saturating_sub(names + figures + 4);
    if room < LEAST {
        // Too narrow for a picture: the figures alone.
        let each = chart.bars.iter().map(|bar| format!("{}  {}", bar.name, chart.figures(bar)));
        lines.extend(each.flat_map(|text| wrap(&text, width)));
        return lines.iter().map(|line| untied(line)).collect();
    }
    for bar in &chart.bars {
        let picture = picture(&chart, bar, room);
        let past = chart.yields.is_some_and(|limit| bar.clamp.high > limit);
        let picture = if past { style.paint(Tone::Danger, &picture) } else { picture };
        lines.push(format!("{}  {picture}  {}", pad(&bar.name, names), chart.figures(bar)));
    }
    lines.extend(wrap(&chart.legend(), width));
    lines.iter().map(|line| untied(line)).collect()
}

/// `  |----o-----|   P  Y `
fn picture(chart: &Chart, bar: &Bar, room: usize) -> String {
    let mut cells = vec![' '; room];
    let at = |force: Force| ((chart.at(force) * room as f64) as usize).min(room - 1);
    for (limit, letter) in [(chart.proof, 'P'), (chart.yields, 'Y')] {
        if let Some(limit) = limit {
            cells[at(limit)] = letter;
        }
    }
    let (low, high) = (at(bar.clamp.low), at(bar.clamp.high));
    for cell in &mut cells[low..=high] {
        if *cell == ' ' {
            *cell = '-';
        }
    }
    cells[low] = '|';
    cells[high] = '|';
    cells[at(bar.clamp.nominal)] = 'o';
    cells.into_iter().collect()
}

/// The same for all fasteners as one SVG, its text real text.
pub fn lubes_chart_svg(all: Comparisons<'_>, units: &UnitsWanted) -> String {
    let charts: Vec<Chart> = all.each().filter_map(|one| Chart::compared(&one, units)).collect();
    let height = |chart: &Chart| (chart.bars.len() as f64 + 3.0) * LINE;
    let total: f64 = charts.iter().map(height).sum();
    let wide = NAMES + BARS + FIGURES;
    let placed = charts.iter().scan(0.0, |top, chart| {
        let own = (*top, chart);
        *top += height(chart);
        Some(own)
    });
    let svg = html! {
        svg xmlns="http://www.w3.org/2000/svg" width=(wide) height=(total)
            viewBox=(format!("0 0 {wide} {total}")) font-family="sans-serif" font-size="14"
            role="img" {
            rect width="100%" height="100%" fill="#fff" {}
            @for (top, chart) in placed { (drawn(chart, top)) }
        }
    };
    svg.into_string() + "\n"
}

fn drawn(chart: &Chart, top: f64) -> maud::Markup {
    let x = |force: Force| format!("{:.1}", NAMES + chart.at(force) * BARS);
    let first = top + 1.4 * LINE;
    let last = first + chart.bars.len() as f64 * LINE;
    let limits = [(chart.proof, "P", "6 4"), (chart.yields, "Y", "none")];
    html! {
        text x="4" y=(format!("{:.1}", top + 0.8 * LINE)) font-weight="bold" { (chart.title) }
        @for (limit, letter, dashes) in limits {
            @if let Some(limit) = limit {
                line x1=(x(limit)) x2=(x(limit)) y1=(first) y2=(last) stroke="#000"
                    stroke-dasharray=(dashes) {}
                text x=(x(limit)) y=(format!("{:.1}", last + 0.6 * LINE)) text-anchor="middle" {
                    (letter)
                }
            }
        }
        @for (at, bar) in chart.bars.iter().enumerate() {
            @let middle = first + (at as f64 + 0.5) * LINE;
            text x="4" y=(format!("{:.1}", middle + 5.0)) { (untied(&bar.name)) }
            line x1=(x(bar.clamp.low)) x2=(x(bar.clamp.high)) y1=(middle) y2=(middle)
                stroke="#000" stroke-width="5" {}
            circle cx=(x(bar.clamp.nominal)) cy=(middle) r="7" fill="#fff" stroke="#000"
                stroke-width="3" {}
            text x=(format!("{:.1}", NAMES + BARS + 8.0)) y=(format!("{:.1}", middle + 5.0)) {
                (untied(&chart.figures(bar)))
            }
        }
        text x="4" y=(format!("{:.1}", last + 1.2 * LINE)) { (untied(&chart.legend())) }
    }
}

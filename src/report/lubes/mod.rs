//! Every lube for one fastener, and what the wrong one on the bolt would do.

mod page;
mod wrong;

use crate::correction::{Comparison, stored_rows};
use crate::query::run::UnitsWanted;
use crate::record::{Row, Tables};
use crate::report::cautions::SAFETY;
use crate::report::cells;
use crate::report::lay::{clean, flow, tied, untied, wrap};
use crate::report::style::{Style, Tone};
use crate::report::table::LEAST;
use page::Page;
use wrong::wrong;

/// One page for each fastener, and the safety line once.
pub fn lubes_page(
    all: &[Comparison],
    tables: &Tables,
    width: usize,
    units: &UnitsWanted,
    style: Style,
) -> String {
    let pages = all.iter().map(|one| lubes_table(one, tables, width, units, style) + "\n\n");
    let ending = wrap(SAFETY, width.max(LEAST)).join("\n");
    format!("{}{}\n", pages.collect::<String>(), style.paint(Tone::Faint, &ending))
}

/// All lubes for one fastener at a width of `width` columns, without the
/// safety line.
pub fn lubes_table(
    one: &Comparison,
    tables: &Tables,
    width: usize,
    units: &UnitsWanted,
    style: Style,
) -> String {
    let width = width.max(LEAST);
    let others = two_lubes(one, tables);
    let page = Page::of(one, &others, tables, units);
    let heading = heading(one, width);
    let mut lines: Vec<String> =
        heading.iter().map(|line| style.paint(Tone::Heading, line)).collect();
    lines.extend(page.rows(width, style));
    lines.extend(page.refused_together(width, style));
    lines.extend(page.below(width, style));
    lines.extend(wrong(one, units, width, style));
    lines.iter().map(|line| untied(line)).collect::<Vec<_>>().join("\n")
}

/// The fastener's own settings with one lube on the threads and another under
/// the face: no row for a single lube stands for them.
fn two_lubes(one: &Comparison, tables: &Tables) -> Vec<Row> {
    let settings = one.fastener.settings.iter().enumerate();
    let two = settings.filter(|(_, setting)| !setting.superseded && !cells::is_one_lube(setting));
    let indexes: Vec<usize> = two.map(|(index, _)| index).collect();
    stored_rows(&one.fastener, &indexes, tables)
}

/// `Marlow 6 / head / stud, long   7/16-14 x 7/16-20   NUT turns   yield 180 ksi`.
fn heading(one: &Comparison, width: usize) -> Vec<String> {
    let fastener = &one.fastener;
    let threads = [fastener.hole_thread.as_ref(), fastener.thread.as_ref()];
    let threads: Vec<String> = threads.into_iter().flatten().map(ToString::to_string).collect();
    let threads =
        if threads.is_empty() { "thread not stated".to_owned() } else { threads.join(" x ") };
    let turned = fastener.turned.map(|part| tied(&format!("{} turns", part.word().to_uppercase())));
    let place = format!("{} / {}", cells::place(fastener), clean(&fastener.part));
    let mut items = vec![place, tied(&threads)];
    items.extend(turned);
    items.push(cells::strength(fastener));
    flow(&items, width)
}

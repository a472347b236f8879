//! The answer to a question: a block a fastener, or in a wide or long answer a
//! line a setting; for a program the rows as they are.

mod block;
mod line;
mod rows;
mod show;

use std::io;
use std::sync::Arc;

use crate::correction::AGREE_WITHIN;
use crate::query::Asked;
use crate::query::run::{Answer, Column, UnitsWanted};
use crate::record::{Basis, Field, FieldKind, Row, Tables};
use crate::report::cells;
use crate::report::duties::{Kinds, closing, confused, discard_words};
use crate::report::lay::{clean, counted, pad, untied, width as columns_of, wrap};
use crate::report::page::Page;
use crate::report::pull::Pull;
use crate::report::style::{Style, Tone};
use crate::report::tally::tally_table;
use crate::report::units::other_unit;
use crate::report::working;

use block::cited;
pub(crate) use block::{
    RefusalsSeen, Shown, below, heading, lines as block_lines, refusals, whole_joint,
};
pub(crate) use line::{SettingLine, aligned, torque_line};
pub(crate) use rows::{restated_keys, row_keys};
pub(crate) use show::carries_torque;

/// The width from which a setting stands on one line with its part.
pub(crate) const WIDE: usize = 120;
/// The width from which the source of each figure stands below it.
pub(crate) const WIDEST: usize = 140;
/// The width below which the figures of a setting are stacked.
pub(crate) const NARROW: usize = 80;
/// The least width that is drawn for.
pub(crate) const LEAST: usize = 20;
/// More fasteners than these are a table, not blocks.
const MANY: usize = 12;

/// The rows of an answer, all at once or part after part.
#[derive(Clone, Copy)]
pub(crate) enum Parts<'a> {
    Whole(&'a Answer),
    Of(&'a Asked<'a>),
}

impl Parts<'_> {
    pub(crate) fn each(self, take: &mut dyn FnMut(&Answer) -> io::Result<()>) -> io::Result<()> {
        match self {
            Self::Whole(answer) => take(answer),
            Self::Of(asked) => asked.each_part(take),
        }
    }
}

/// What a question answers, drawn part after part; with the working of every row if `why`.
pub fn asked_page<'a>(asked: &'a Asked<'a>, why: Option<&'a Tables>) -> Page<'a> {
    page(&asked.answer, Parts::Of(asked), why)
}

/// What a question answers; with the working of every row if `why`.
pub fn find_page<'a>(answer: &'a Answer, why: Option<&'a Tables>) -> Page<'a> {
    page(answer, Parts::Whole(answer), why)
}

fn page<'a>(answer: &'a Answer, parts: Parts<'a>, why: Option<&'a Tables>) -> Page<'a> {
    let mut page = Page::new();
    // How a doubtful question was read stands first: it decides what the rest is.
    for reading in &answer.readings {
        page.remark(Tone::Plain, clean(reading));
    }
    page.drawn_long(move |width, style, take| {
        parts.each(&mut |part| {
            body(part, width.max(LEAST), style).iter().try_for_each(|line| take(line))
        })
    });
    page.drawn_beside(move |width, style| ending(answer, width.max(LEAST), style));
    rows::data(&mut page, answer, parts, why);
    if let Some(tables) = why {
        page.drawn_beside(move |_, _| {
            working::why(answer, tables).lines().map(str::to_owned).collect()
        });
    }
    page
}

fn body(answer: &Answer, width: usize, style: Style) -> Vec<String> {
    if answer.tally.is_some() {
        tally_table(answer, width, style)
    } else if answer.rows.is_empty() {
        Vec::new()
    } else if answer.columns.is_empty() {
        settings(answer, width, style)
    } else {
        show::show_table(answer, width, style)
    }
}

/// The rows of one fastener that stand together.
type FastenerRows<'a> = &'a [Row];

fn settings(answer: &Answer, width: usize, style: Style) -> Vec<String> {
    let groups: Vec<FastenerRows<'_>> =
        answer.rows.chunk_by(|a, b| Arc::ptr_eq(&a.fastener, &b.fastener)).collect();
    let table = (width >= WIDE || groups.len() > MANY || is_torn(&groups))
        .then(|| table(answer, &groups, width, style))
        .flatten();
    let mut drawn = table.unwrap_or_else(|| blocks(answer, &groups, width, style));
    if drawn.one_unit {
        let pulls = answer.rows.iter().map(|row| Pull::new(&row.setting, &answer.units));
        let other = other_unit(pulls).into_iter().flat_map(|text| wrap(&text, width));
        drawn.lines.extend(other.map(|line| style.paint(Tone::Faint, &line)));
    }
    drawn.lines.iter().map(|line| untied(line)).collect()
}

/// Whether a sort has torn joints apart, so that their headings would repeat.
fn is_torn(groups: &[FastenerRows<'_>]) -> bool {
    let joints = groups.chunk_by(|a, b| a[0].fastener.joint.is_same(&b[0].fastener.joint));
    let mut places: Vec<String> = joints.map(|joint| cells::place(&joint[0][0].fastener)).collect();
    let all = places.len();
    places.sort_unstable();
    places.dedup();
    places.len() < all
}

/// `Marlow 6 · head     lube on threads AND turned face`.
fn joint_heading(groups: &[FastenerRows<'_>], limit: usize, style: Style) -> Vec<String> {
    let place = cells::place(&groups[0][0].fastener);
    let goes_on_both = |row: &&Row| {
        let is_one = row.setting.lube.is_some() && cells::is_one_lube(&row.setting);
        row.refused.is_none() && is_one && cells::lube_place(row).is_none()
    };
    let mut rows = groups.iter().copied().flatten().filter(|row| row.refused.is_none());
    let lube = match rows.clone().filter(goes_on_both).count() {
        0 => "",
        _ if rows.all(|row| goes_on_both(&row)) => "lube on threads AND turned face",
        _ => "lube on threads AND turned face unless it says otherwise",
    };
    let line = format!("{}   {lube}", pad(&place, 18));
    let lines = if columns_of(&line) <= limit {
        vec![line]
    } else {
        [wrap(&place, limit), wrap(lube, limit)].concat()
    };
    lines.iter().map(|line| style.paint(Tone::Heading, line)).collect()
}

/// What was drawn, and whether there was no room for the second unit.
struct Drawn {
    lines: Vec<String>,
    one_unit: bool,
}

/// The setting lines of each fastener of `groups`, and what `draw` makes of a fastener
/// with its own, joint after joint.
fn by_joint(
    answer: &Answer,
    groups: &[FastenerRows<'_>],
    has_headings: bool,
    (width, style): (usize, Style),
    mut draw: impl FnMut(&[&Row]) -> Vec<String>,
) -> Vec<String> {
    let mut out = Vec::new();
    for joint in groups.chunk_by(|a, b| a[0].fastener.joint.is_same(&b[0].fastener.joint)) {
        if has_headings {
            out.extend((!out.is_empty()).then(String::new));
            out.extend(joint_heading(joint, width, style));
        }
        for group in joint {
            out.extend(draw(&group.iter().collect::<Vec<_>>()));
        }
        // Gasket and order, and threads that are easily mistaken for each other.
        let rows: Vec<&Row> = joint.iter().copied().flatten().collect();
        out.extend(whole_joint(&rows, &answer.units, width));
        let alike = confused(&rows).into_iter().flat_map(|text| wrap(&text, width));
        out.extend(alike.map(|line| style.paint(Tone::Danger, &line)));
    }
    out
}

/// The lines of each fastener before they are laid out.
fn setting_lines(answer: &Answer, groups: &[FastenerRows<'_>]) -> Vec<Vec<SettingLine>> {
    let shown = Shown { units: &answer.units, more: &|_| Vec::new() };
    let mut seen = RefusalsSeen::default();
    let own = |group: &FastenerRows<'_>| {
        block_lines(&group.iter().collect::<Vec<_>>(), &shown, &mut seen)
    };
    groups.iter().map(own).collect()
}

/// One block a fastener, columns of all blocks below each other.
fn blocks(answer: &Answer, groups: &[FastenerRows<'_>], width: usize, style: Style) -> Drawn {
    let (columns, one_unit) = columns(&setting_lines(answer, groups), width, style);
    let mut columns = columns.into_iter();
    let lines = by_joint(answer, groups, true, (width, style), |rows| {
        let mut lines = heading(rows[0], &answer.units, width, style);
        lines.extend(columns.next().unwrap_or_default());
        lines.extend(below(rows, &answer.units, width, style));
        lines.extend(cited(rows, &answer.units, width));
        lines
    });
    Drawn { lines, one_unit }
}

/// The lines of each block: columns of all blocks below each other where that
/// costs none its second unit, else each block by itself; stacked where it does not
/// fit even so.
fn columns(blocks: &[Vec<SettingLine>], width: usize, style: Style) -> (Vec<Vec<String>>, bool) {
    let all: Vec<&SettingLine> = blocks.iter().flatten().collect();
    let wide = width >= NARROW;
    if let Some(drawn) = wide.then(|| aligned(&all, width, false, style)).flatten() {
        let mut drawn = drawn.lines.into_iter();
        let block = |block: &Vec<SettingLine>| drawn.by_ref().take(block.len()).flatten().collect();
        return (blocks.iter().map(block).collect(), false);
    }
    let mut one_unit = false;
    let mut alone = |block: &Vec<SettingLine>| {
        let own: Vec<&SettingLine> = block.iter().collect();
        match wide.then(|| aligned(&own, width, true, style)).flatten() {
            Some(drawn) => {
                one_unit |= drawn.one_unit;
                drawn.lines.into_iter().flatten().collect()
            }
            None => block.iter().flat_map(|line| line.stacked(width, style)).collect(),
        }
    };
    let drawn = blocks.iter().map(&mut alone).collect();
    (drawn, one_unit)
}

/// One line a setting, the part and its thread in front of it; what must be done
/// below the last line of its bolt.
fn table(
    answer: &Answer,
    groups: &[FastenerRows<'_>],
    width: usize,
    style: Style,
) -> Option<Drawn> {
    let torn = is_torn(groups);
    let mut lines = setting_lines(answer, groups);
    for (group, own) in groups.iter().zip(&mut lines) {
        let mut lead = [name(&group[0], torn), block::threaded(&group[0])];
        for line in own {
            line.lead_by(std::mem::take(&mut lead));
        }
    }
    let drawn = aligned(&lines.iter().flatten().collect::<Vec<_>>(), width, true, style)?;
    let (one_unit, mut drawn) = (drawn.one_unit, drawn.lines.into_iter());
    let mut counts = lines.iter().map(Vec::len);
    let lines = by_joint(answer, groups, !torn, (width, style), |rows| {
        let count = counts.next().unwrap_or_default();
        let mut lines: Vec<String> = drawn.by_ref().take(count).flatten().collect();
        lines.extend(facts(rows[0], &answer.units, width, style));
        let mut below = below(rows, &answer.units, width - 2, style);
        below.extend(cited(rows, &answer.units, width));
        lines.extend(below.iter().map(|line| format!("  {line}")));
        lines
    });
    Some(Drawn { lines, one_unit })
}

fn name(row: &Row, with_place: bool) -> String {
    let part = clean(&row.fastener.part);
    if with_place { format!("{} · {part}", cells::place(&row.fastener)) } else { part }
}

/// What the heading of a block says besides part and thread.
fn facts(row: &Row, wanted: &UnitsWanted, width: usize, style: Style) -> Vec<String> {
    let discard = row.fastener.is_single_use().then(|| discard_words(&row.fastener));
    let discard = discard.map(|words| style.paint(Tone::Danger, &words));
    let strength = cells::strength_beside(&row.fastener, wanted);
    let plain = strength.into_iter().chain(block::besides(row, wanted));
    let plain = plain.collect::<Vec<String>>().join("; ");
    let plain = wrap(&plain, width.saturating_sub(4)).into_iter();
    let plain = plain.filter(|line| !line.is_empty());
    discard.into_iter().chain(plain).map(|line| format!("    {line}")).collect()
}

/// The summary, the safety line, near misses and remarks.
fn ending(answer: &Answer, width: usize, style: Style) -> Vec<String> {
    let mut summary = summary(answer);
    if holds_figures(answer) {
        let kinds = match &answer.overview {
            Some(overview) => Kinds::of_many(overview),
            None => Kinds::in_rows(&answer.rows.iter().collect::<Vec<_>>()),
        };
        summary = format!("{summary} {}", closing(kinds, shows_a_band(answer)));
    }
    let mut lines = wrap(&summary, width);
    if !answer.near.is_empty() {
        let near: Vec<String> = answer.near.iter().map(|near| clean(near)).collect();
        lines.extend(wrap(&format!("nearest: {}", near.join("; ")), width));
    }
    lines.extend(charts_apart(answer).iter().flat_map(|remark| wrap(remark, width)));
    lines.extend(answer.remarks.iter().flat_map(|remark| wrap(&clean(remark), width)));
    lines.iter().map(|line| style.paint(Tone::Faint, &untied(line))).collect()
}

/// Whether a clamp is shown, which never stands without its band.
fn shows_a_band(answer: &Answer) -> bool {
    let clamp = |column: &Column| column.field.is_some_and(|field| field.name == "clamp");
    let shown = answer.columns.is_empty() || answer.columns.iter().any(clamp);
    answer.tally.is_none() && shown
}

/// Charts that give one thread, strength and lube torques more than a twentieth apart.
fn charts_apart(answer: &Answer) -> Vec<String> {
    let seen = answer.overview.iter().flat_map(|overview| overview.charts.iter().flatten());
    let charts = answer.rows.iter().filter(|row| row.setting.basis == Basis::Chart).chain(seen);
    let mut found: Vec<(String, Vec<(f64, String)>)> = Vec::new();
    for row in charts {
        let Some(torque) = row.setting.torque else { continue };
        let (thread, lube) = (cells::turned(row), cells::lube(&row.setting));
        let name = format!("{thread}, {}, {lube}", cells::strength(&row.fastener));
        let figure = (torque.high().nm(), torque.to_string());
        match found.iter_mut().find(|(known, _)| *known == name) {
            Some((_, figures)) => figures.push(figure),
            None => found.push((name, vec![figure])),
        }
    }
    let apart = |(name, mut figures): (String, Vec<(f64, String)>)| {
        figures.sort_by(|a, b| a.0.total_cmp(&b.0));
        let ((least, low), (most, high)) = (figures.first()?.clone(), figures.last()?.clone());
        (most / least > 1.0 + AGREE_WITHIN).then(|| {
            let share = (most / least - 1.0) * 100.0;
            format!("{name}: charts differ, {low} and {high}, {share:.0}\u{a0}% apart.")
        })
    };
    found.into_iter().filter_map(apart).collect()
}

/// Whether a torque or a clamp is shown.
fn holds_figures(answer: &Answer) -> bool {
    let figures = |column: &Column| carries_torque(column) || column.field.is_none_or(is_derived);
    let shown = answer.columns.is_empty() || answer.columns.iter().any(figures);
    answer.tally.is_none() && shown && answer.is_answered()
}

fn is_derived(field: &'static Field) -> bool {
    !field.is_stored() && field.kind != FieldKind::Text && field.kind != FieldKind::Flag
}

/// `5 rows, 0 left out.`
fn summary(answer: &Answer) -> String {
    let counted = match &answer.tally {
        Some(tally) => {
            let rows = tally.groups.iter().map(|group| group.count).sum();
            format!("{}, {}", counted(tally.groups.len(), "group"), counted(rows, "row"))
        }
        None => counted(answer.count(), "row"),
    };
    let (stated, derived): (Vec<&Field>, Vec<&Field>) =
        answer.unstated.iter().copied().partition(|field| field.is_stored());
    let named = |fields: Vec<&Field>, how: &str| {
        let names: Vec<&str> = fields.iter().map(|field| field.name).collect();
        (!names.is_empty()).then(|| format!("{} {how}", names.join(", ")))
    };
    let why = [named(stated, "not stated"), named(derived, "not known")];
    let why = why.into_iter().flatten().collect::<Vec<_>>().join("; ");
    let why = if why.is_empty() { why } else { format!(": {why}") };
    format!("{counted}, {} left out{why}.", answer.left_out)
}

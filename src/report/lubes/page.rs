//! The table of one fastener: each lube with its figure or its refusal.

use crate::correction::Comparison;
use crate::quantity::Unit;
use crate::query::run::UnitsWanted;
use crate::record::{FormUsed, Row, Tables};
use crate::report::cautions::cautions;
use crate::report::cells;
use crate::report::columns::marks;
use crate::report::figures::{factor, symbols};
use crate::report::grid::{Grid, GridRow, Lines};
use crate::report::lay::{clean, fitted, flow, tied, wrap};
use crate::report::letters::{Lettered, join, letter};
use crate::report::notes::notes;
use crate::report::page::{Cell, Head};
use crate::report::pull::{Pull, shared_units};
use crate::report::stacked::{clamp_fact, torque_line};
use crate::report::style::{Style, Tone};
use crate::report::table::WIDE;

/// Reasons that stand for this many lubes or more are said once for all.
const SAID_ONCE: usize = 3;

/// What is known of each row.
pub(crate) struct Page<'a> {
    tables: &'a Tables,
    units: &'a UnitsWanted,
    rows: Vec<&'a Row>,
    pulls: Vec<Pull>,
    lettered: Lettered,
    /// Footnotes that hold for every row with a figure.
    common: Vec<String>,
    /// Reasons that stand once for several lubes.
    together: Vec<(String, Vec<&'a Row>)>,
}

impl<'a> Page<'a> {
    /// The rows of `one`, after the fastener's `others` that no single lube
    /// stands for.
    pub(crate) fn of(
        one: &'a Comparison,
        others: &'a [Row],
        tables: &'a Tables,
        units: &'a UnitsWanted,
    ) -> Self {
        let all: Vec<&Row> = others.iter().chain(&one.rows).collect();
        let together = together(&all);
        let alone = |row: &&Row| {
            let reason = common_reason(row);
            reason.is_none_or(|reason| together.iter().all(|(said, _)| *said != reason))
        };
        let rows: Vec<&Row> = all.into_iter().filter(alone).collect();
        let own = |row: &&Row| -> Vec<String> {
            let from = |text: &String| row.restated.is_some() && text.starts_with("from ");
            let texts = notes(row, units).into_iter().map(|note| note.text);
            texts.filter(|text| !from(text)).collect()
        };
        let mut texts: Vec<Vec<String>> = rows.iter().map(own).collect();
        let common = take_common(&rows, &mut texts);
        let pulls = rows.iter().map(|row| Pull::of(&row.setting, units)).collect();
        Self { tables, units, rows, pulls, lettered: letter(&texts), common, together }
    }

    /// The table, or records where it does not fit.
    pub(crate) fn rows(&self, width: usize, style: Style) -> Vec<String> {
        if self.rows.is_empty() {
            return Vec::new();
        }
        let wide = (width >= WIDE).then(|| self.grid(true).draw(width, style)).flatten();
        match wide.or_else(|| self.grid(false).draw(width, style)) {
            Some(Lines { head, rows }) => {
                std::iter::once(head).chain(rows.into_iter().flatten()).collect()
            }
            None => self.records(width, style),
        }
    }

    fn grid(&self, wide: bool) -> Grid {
        let shown = self.rows.iter().zip(&self.pulls).filter(|(row, _)| row.refused.is_none());
        let shared = shared_units(shown.map(|(_, pull)| pull));
        let unit = cells::clamp_unit(self.units);
        let torque = shared.as_ref().map_or_else(|| "torque".to_owned(), |units| symbols(units));
        let mut heads = vec![
            Head::words("lube", 8),
            Head::solid(torque),
            Head::solid("basis"),
            Head::solid(format!("clamp {}", unit.map_or("", |unit| unit.symbol))),
            Head::solid("%yield"),
        ];
        if wide {
            heads.extend([Head::solid("%proof"), Head::solid("combined")]);
        }
        heads.push(Head::solid("K (range)"));
        if wide {
            heads.push(Head::words("source", 16));
        }
        heads.push(Head::words(if wide { "from" } else { "notes" }, 8));
        if wide {
            heads.push(Head::solid("notes"));
        }
        let row = |index: usize| self.grid_row(index, wide, shared.is_some(), unit);
        Grid { heads, rows: (0..self.rows.len()).map(row).collect() }
    }

    fn grid_row(
        &self,
        index: usize,
        wide: bool,
        in_heading: bool,
        unit: Option<&'static Unit>,
    ) -> GridRow {
        let (row, pull) = (self.rows[index], &self.pulls[index]);
        let tone = cells::tone(row);
        let lube = Cell::from(cells::lube(&row.setting));
        if let Some(reason) = &row.refused {
            let reason = format!("refused: {}", clean(reason));
            return GridRow { cells: vec![lube], spans: vec![Cell::toned(reason, Tone::Danger)] };
        }
        let torque = if in_heading { pull.bare() } else { pull.with_units() };
        let mut texts =
            vec![torque, cells::basis(&row.setting), cells::clamp(row, unit), cells::of_yield(row)];
        if wide {
            texts.extend([cells::of_proof(row), cells::combined(row)]);
        }
        texts.push(self.friction(row));
        let from = row.restated.as_ref().map(|restated| clean(&restated.from_lube));
        let (mark, _) = marks(row, &self.lettered.marks[index]);
        if wide {
            texts.push(cells::source(row));
            texts.extend([from.unwrap_or_else(|| cells::DOES_NOT_APPLY.to_owned()), mark]);
        } else {
            let from = from.map(|lube| format!("from {lube}"));
            let parts = from.into_iter().chain((!mark.is_empty()).then_some(mark));
            texts.push(parts.collect::<Vec<_>>().join("; "));
        }
        let cells = texts.into_iter().map(|text| Cell::toned(text, tone));
        GridRow::of(std::iter::once(lube).chain(cells).collect())
    }

    /// The factor that gave the clamp: `.12 (.09–.16)`, or `μ .12/.12` of
    /// thread and face.
    fn friction(&self, row: &Row) -> String {
        let lube = row.setting.lube.as_deref().and_then(|name| self.tables.lube(name));
        let Some((lube, form)) = lube.zip(row.derived.form) else {
            return cells::DOES_NOT_APPLY.to_owned();
        };
        let found = match form {
            FormUsed::Short => lube
                .k
                .map(|k| format!("{} ({}–{})", factor(k.nominal), factor(k.low), factor(k.high))),
            FormUsed::Long => lube.mu_thread.zip(lube.mu_bearing).map(|(thread, face)| {
                format!("μ {}/{}", factor(thread.nominal), factor(face.nominal))
            }),
        };
        found.unwrap_or_else(|| cells::DOES_NOT_APPLY.to_owned())
    }

    fn records(&self, width: usize, style: Style) -> Vec<String> {
        let unit = cells::clamp_unit(self.units);
        let mut lines = Vec::new();
        for (index, row) in self.rows.iter().enumerate() {
            if let Some(reason) = &row.refused {
                let text = format!("{}  refused: {}", cells::lube(&row.setting), clean(reason));
                lines.extend(wrap(&text, width).iter().map(|l| style.paint(Tone::Danger, l)));
                continue;
            }
            let tone = cells::tone(row);
            let mut items = vec![
                clamp_fact(row, unit),
                format!("%yield {}", cells::of_yield(row)),
                format!("K {}", self.friction(row)),
            ];
            items.extend(
                row.restated.as_ref().map(|from| format!("from {}", clean(&from.from_lube))),
            );
            let (mark, _) = marks(row, &self.lettered.marks[index]);
            items.extend((!mark.is_empty()).then(|| format!("notes {mark}")));
            let torque = fitted(&torque_line(row, &self.pulls[index], width), width);
            let facts = flow(&items, width - 2).into_iter().map(|line| format!("  {line}"));
            let own = torque.into_iter().chain(facts);
            lines.extend(own.map(|line| style.paint(tone, &line)));
        }
        lines
    }

    /// `refused: wet to dry is never converted: dry, stainless dry`.
    pub(crate) fn refused_together(&self, width: usize, style: Style) -> Vec<String> {
        let mut lines = Vec::new();
        for (reason, rows) in &self.together {
            let lubes: Vec<String> =
                rows.iter().map(|row| tied(&cells::lube(&row.setting))).collect();
            let text = format!("refused: {}: {}", clean(reason), lubes.join(", "));
            lines.extend(wrap(&text, width).iter().map(|line| style.paint(Tone::Danger, line)));
        }
        lines
    }

    pub(crate) fn below(&self, width: usize, style: Style) -> Vec<String> {
        let common =
            self.common.iter().cloned().reduce(|all, part| join(&all, &part)).unwrap_or_default();
        let letters = self.lettered.texts.iter().map(|(letter, text)| format!("{letter} {text}"));
        let items: Vec<String> =
            letters.chain((!common.is_empty()).then(|| format!("all: {common}"))).collect();
        let mut lines = flow(&items, width);
        for caution in cautions(&self.rows, &self.pulls) {
            lines.extend(wrap(&caution, width).iter().map(|line| style.paint(Tone::Danger, line)));
        }
        lines
    }
}

/// Reasons that refuse several lubes alike, with their rows.
fn together<'a>(rows: &[&'a Row]) -> Vec<(String, Vec<&'a Row>)> {
    let mut reasons: Vec<(String, Vec<&Row>)> = Vec::new();
    for row in rows.iter().copied() {
        let Some(reason) = common_reason(row) else { continue };
        match reasons.iter_mut().find(|(said, _)| *said == reason) {
            Some((_, rows)) => rows.push(row),
            None => reasons.push((reason, vec![row])),
        }
    }
    reasons.retain(|(_, rows)| rows.len() >= SAID_ONCE);
    reasons
}

/// The reason of a refusal without the name of the lube that it refuses.
fn common_reason(row: &Row) -> Option<String> {
    let reason = row.refused.as_ref()?;
    let lube = row.setting.lube.as_deref().unwrap_or_default();
    // The places where a refusal names the lube that it refuses.
    let places = [format!("and {lube} "), format!("for {lube}:"), format!("of {lube} ")];
    let found = places.iter().find(|place| reason.contains(*place)).filter(|_| !lube.is_empty());
    Some(match (found, reason.strip_prefix(lube)) {
        (Some(place), _) => reason.replacen(place, &place.replace(lube, "this lube"), 1),
        (None, Some(rest)) if rest.starts_with(' ') => format!("this lube{rest}"),
        _ => reason.clone(),
    })
}

/// Takes out the texts that hold for every row with a figure, if there are
/// several such rows.
fn take_common(rows: &[&Row], texts: &mut [Vec<String>]) -> Vec<String> {
    let answered: Vec<usize> =
        (0..rows.len()).filter(|index| rows[*index].refused.is_none()).collect();
    let [first, _, ..] = answered.as_slice() else { return Vec::new() };
    let everywhere = |text: &&String| answered.iter().all(|index| texts[*index].contains(text));
    let common: Vec<String> = texts[*first].iter().filter(everywhere).cloned().collect();
    for texts in texts {
        texts.retain(|text| !common.contains(text));
    }
    common
}

//! Every lube for one fastener, and what the wrong one on the bolt would do.

mod chart;
mod wrong;

use std::io;

use crate::correction::{Comparison, Comparisons, WrongLube, stored_rows};
use crate::mechanics::Form;
use crate::query::run::UnitsWanted;
use crate::record::{Basis, LubeClass, Refusal, Row, Tables};
use crate::report::cells;
use crate::report::duties::{Kinds, closing, is_pulled};
use crate::report::figures::{factor, factor_range};
use crate::report::find::{
    LEAST, NARROW, RefusalsSeen, SettingLine, Shown, aligned, below, block_lines, heading,
    restated_keys, row_keys, whole_joint,
};
use crate::report::json::row_json;
use crate::report::lay::untied;
use crate::report::page::{Key, Page, Rows, Table, TakeRow};
use crate::report::pull::Pull;
use crate::report::style::{Style, Tone};
use crate::report::units::other_unit;
pub use chart::lubes_chart_svg;
use wrong::wrong;

/// How the lubes of a fastener are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LubesWish {
    /// Those without a figure by name alone.
    Plain,
    /// The reason of each refusal too.
    Reasons,
    Chart,
}

/// One block for each fastener, or its chart, and the safety line once. For a program `rows`, one
/// for each fastener and lube, and `wrong_lube`, what each listed torque does with
/// another lube.
pub fn lubes_page<'a>(all: Comparisons<'a>, units: &'a UnitsWanted, wish: LubesWish) -> Page<'a> {
    let mut page = Page::new();
    for (at, alone) in all.split().enumerate() {
        if at > 0 {
            page.blank();
        }
        page.drawn(move |width, style| {
            let width = width.max(LEAST);
            let lines = |one: Comparison| match wish {
                LubesWish::Chart => chart::lines(&one, units, width, style),
                LubesWish::Plain | LubesWish::Reasons => {
                    block(&one, all.tables(), units, wish, width, style)
                }
            };
            alone.each().flat_map(lines).collect()
        });
    }
    // Each comparison is made and dropped, as all of a book would fill the memory; a few say
    // what there is to say.
    let add = |seen: Kinds, one: Comparison| {
        let seen = seen.and(Kinds::in_rows(&one.rows.iter().collect::<Vec<_>>()));
        if seen.is_every() { Err(seen) } else { Ok(seen) }
    };
    let kinds = all.each().try_fold(Kinds::default(), add).unwrap_or_else(|every| every);
    page.remark(Tone::Faint, closing(kinds, true));
    page.rows("rows", LubeRows(all));
    page.rows("wrong_lube", WrongRows(all));
    page
}

fn block(
    one: &Comparison,
    tables: &Tables,
    units: &UnitsWanted,
    wish: LubesWish,
    width: usize,
    style: Style,
) -> Vec<String> {
    let others = two_lubes(one, tables);
    let of_any_lube = |row: &Row| {
        let lube = row.setting.lube.as_deref().unwrap_or_default();
        Some(Row { refused: Some(row.refused.clone()?.of_any_lube(lube)), ..row.clone() })
    };
    let mut refused: Vec<Row> = one.rows.iter().filter_map(of_any_lube).collect();
    let answered = one.rows.iter().filter(|row| row.refused.is_none());
    if wish == LubesWish::Plain {
        let lubes = answered.clone().filter_map(|row| row.setting.lube.as_deref());
        refused = in_short(&refused, &lubes.collect::<Vec<_>>(), tables);
    }
    let rows: Vec<&Row> = others.iter().chain(answered).chain(&refused).collect();
    let Some(first) = rows.first() else { return Vec::new() };
    let mut lines = vec![style.paint(Tone::Heading, &cells::place(&one.fastener))];
    lines.extend(heading(first, units, width, style));
    lines.extend(settings(&rows, tables, units, width, style));
    // Where no lube has a figure the warnings are those of what is listed.
    let listed =
        if rows.iter().any(|row| row.refused.is_none()) { Vec::new() } else { stored(one, tables) };
    let shown = if listed.is_empty() { rows } else { listed.iter().collect() };
    lines.extend(below(&shown, units, width, style));
    lines.extend(whole_joint(&shown, units, width));
    lines.extend(wrong(one, units, width, style));
    lines.iter().map(|line| untied(line)).collect()
}

/// A line a setting: the second unit goes before the factor of friction, and that goes
/// before a line is stacked.
fn settings(
    rows: &[&Row],
    tables: &Tables,
    units: &UnitsWanted,
    width: usize,
    style: Style,
) -> Vec<String> {
    let with_factor = |row: &Row| vec![friction(row, tables)];
    let lines = |more: &dyn Fn(&Row) -> Vec<String>| {
        block_lines(rows, &Shown { units, more }, &mut RefusalsSeen::default())
    };
    let fit = |lines: &[SettingLine], may_drop| {
        let lines: Vec<&SettingLine> = lines.iter().collect();
        (width >= NARROW).then(|| aligned(&lines, width, may_drop, style)).flatten()
    };
    let mut other = None;
    let mut drawn: Vec<Vec<String>> = match fit(&lines(&with_factor), false) {
        Some(drawn) => drawn.lines,
        None => {
            let plain = lines(&|_| Vec::new());
            match fit(&plain, false).or_else(|| fit(&plain, true)) {
                Some(drawn) => {
                    let pulls = rows.iter().map(|row| Pull::new(&row.setting, units));
                    other = other_unit(pulls).filter(|_| drawn.one_unit);
                    drawn.lines
                }
                None => plain.iter().map(|line| line.stacked(width, style)).collect(),
            }
        }
    };
    // An estimate is not to be taken for what a sheet says.
    let mut pulled = rows.iter().filter(|row| is_pulled(row));
    if let Some(at) = pulled.position(|row| row.setting.basis == Basis::Computed) {
        drawn.insert(at, vec![style.paint(Tone::Estimate, "  computed, on no sheet:")]);
    }
    drawn.into_iter().flatten().chain(other.map(|text| format!("  {text}"))).collect()
}

/// The fastener's own settings with one lube on the threads and another under
/// the face: no row for a single lube stands for them.
fn two_lubes(one: &Comparison, tables: &Tables) -> Vec<Row> {
    let settings = one.fastener.settings.iter().enumerate();
    let two = settings.filter(|(_, setting)| !setting.superseded && !cells::is_one_lube(setting));
    let indexes: Vec<usize> = two.map(|(index, _)| index).collect();
    let own = stored_rows(&one.fastener, &indexes, tables).into_iter();
    own.filter(|row| one.rows.iter().all(|other| other.key != row.key)).collect()
}

/// The settings of the book that hold.
fn stored(one: &Comparison, tables: &Tables) -> Vec<Row> {
    let every: Vec<usize> = (0..one.fastener.settings.len()).collect();
    let mut rows = stored_rows(&one.fastener, &every, tables);
    rows.retain(|row| row.refused.is_none());
    rows
}

/// The refusals in a line: why where all have one reason, else who, those of a kind
/// under its name. One of the kind may be `listed`.
fn in_short(refused: &[Row], listed: &[&str], tables: &Tables) -> Vec<Row> {
    let [first, _, ..] = refused else { return refused.to_vec() };
    let row = |lube: &str, reason: Option<Refusal>| {
        let mut row = Row { refused: reason, ..first.clone() };
        row.setting.lube = Some(lube.to_owned());
        row
    };
    if refused.iter().all(|other| other.refused == first.refused) {
        return vec![row("others", first.refused.clone())];
    }
    let class = |lube: &str| tables.lube(lube).map(|lube| lube.class);
    let mut names: Vec<&str> = Vec::new();
    for lube in refused.iter().filter_map(|row| row.setting.lube.as_deref()) {
        let has_listed = listed.iter().any(|other| class(other) == class(lube));
        let name = match (class(lube), has_listed) {
            (Some(LubeClass::Coating), _) => "plated or coated",
            (Some(LubeClass::Threadlocker), false) => "threadlocker",
            (Some(LubeClass::Threadlocker), true) => "other threadlockers",
            (Some(LubeClass::Sealant), false) => "sealant",
            (Some(LubeClass::Sealant), true) => "other sealants",
            _ => lube,
        };
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let why = Some(Refusal::Words("--why says why".to_owned()));
    names.into_iter().map(|name| row(name, why.clone())).collect()
}

/// The factor that gave the clamp: `K .12 (.09–.16)`, or `μ .12/.12` of thread and
/// face.
fn friction(row: &Row, tables: &Tables) -> String {
    let lube = row.setting.lube.as_deref().and_then(|name| tables.lube(name));
    let Some((lube, form)) = lube.zip(row.derived.form) else { return String::new() };
    let found = match form {
        Form::Short { .. } => lube.k.map(|k| format!("K {}", factor_range(k))),
        Form::Long { .. } => lube
            .mu_thread
            .zip(lube.mu_bearing)
            .map(|(thread, face)| format!("μ {}/{}", factor(thread.nominal), factor(face.nominal))),
    };
    found.unwrap_or_default()
}

/// The rows of every lube.
struct LubeRows<'a>(Comparisons<'a>);

impl Rows for LubeRows<'_> {
    fn keys(&self) -> Vec<Key> {
        let mut keys = row_keys(self.0.rows().iter());
        let is_restated = |one: Comparison| one.rows.iter().any(|row| row.restated.is_some());
        if self.0.each().any(is_restated) {
            keys.extend(restated_keys());
        }
        keys
    }

    fn each(&self, take: &mut TakeRow<'_>) -> io::Result<()> {
        self.0
            .each()
            .try_for_each(|one| one.rows.iter().try_for_each(|row| take(row_json(row, 0, &[]))))
    }
}

/// What each listed torque does with another lube.
struct WrongRows<'a>(Comparisons<'a>);

impl Rows for WrongRows<'_> {
    fn keys(&self) -> Vec<Key> {
        wrong_rows(&[]).keys()
    }

    fn each(&self, take: &mut TakeRow<'_>) -> io::Result<()> {
        self.0.each().try_for_each(|one| wrong_rows(&[one]).each(take))
    }
}

type Wrong<'a> = (&'a Comparison, &'a WrongLube);

fn wrong_rows(all: &[Comparison]) -> Table<'_, Wrong<'_>> {
    let each = all.iter().flat_map(|one| one.wrong.iter().map(move |wrong| (one, wrong)));
    Table::new(each)
        .key("key", |(one, _): &Wrong<'_>| one.fastener.key.clone())
        .key("listed_for", |(_, wrong)| wrong.listed_for.clone())
        .key("torque", |(_, wrong)| wrong.torque.clone())
        .key("torque_nm", |(_, wrong)| wrong.torque_value.nm())
        .key("on_the_bolt", |(_, wrong)| wrong.on_the_bolt.clone())
        .key("clamp_n", |(_, wrong)| wrong.clamp.n())
        .key("meant_clamp_n", |(_, wrong)| wrong.meant.n())
        .key("of_proof", |(_, wrong)| wrong.of_proof)
        .key("of_yield", |(_, wrong)| wrong.of_yield)
        .key("turned_of_yield", |(_, wrong)| wrong.turned_of_yield)
        .key("verdict", |(_, wrong)| wrong.verdict.word().to_lowercase())
}

//! The passes of a torque or of rows, as a page and as JSON.

use serde_json::{Map, Value};

use crate::quantity::{Dimension, Extent, Torque};
use crate::query::run::UnitsWanted;
use crate::record::{Basis, PassFrom, PassPlan, PassStep, Row};
use crate::report::cells;
use crate::report::duties::{About, Kinds, closing, confused, duties};
use crate::report::figures::Figures;
use crate::report::lay::{clean, pad, untied, width, wrap};
use crate::report::page::{Page, Table};
use crate::report::pull::Pull;
use crate::report::record_keys::field_keys;
use crate::report::steps::{
    step_nm, step_setting, step_share, step_text, step_words, with_prevailing,
};
use crate::report::style::Tone;
use crate::report::units::units_for;

/// A row with its passes.
#[derive(Debug, Clone)]
pub struct RowPasses {
    pub row: Row,
    /// Its passes; none for a row whose figure was refused or replaced.
    pub plan: Option<PassPlan>,
}

/// The wrench that passes are for: its words, and its keys for a program.
pub type WithWrench = (String, Map<String, Value>);

/// The passes to one torque: `passes` in text, `passes_nm` in N·m, unrounded.
pub fn torque_passes_page<'a>(
    torque: Extent<Torque>,
    plan: &'a PassPlan,
    wanted: &'a UnitsWanted,
    wrench: Option<WithWrench>,
) -> Page<'a> {
    let mut page = Page::new();
    let keys = under_wrench(&mut page, wrench);
    let units = units_for(wanted, Dimension::Torque, Some(torque.unit()));
    page.prose(Figures::new(torque, &units, true).with_units());
    page.drawn(move |columns, _| plan_lines(plan, wanted, true, columns));
    page.fact("torque", torque.to_string());
    page.fact("torque_nm", torque.low().map(Torque::nm));
    for (key, value) in plan_keys() {
        page.fact(key, value(Some(plan), true));
    }
    if let Some(keys) = keys {
        page.value("with_wrench", keys);
    }
    page
}

fn under_wrench(page: &mut Page<'_>, wrench: Option<WithWrench>) -> Option<Map<String, Value>> {
    let (words, keys) = wrench?;
    if !words.is_empty() {
        page.remark(Tone::Plain, format!("wrench {}", clean(&words)));
        page.blank();
    }
    Some(keys).filter(|keys| !keys.is_empty())
}

/// Each pass of a plan as a log line names it.
pub fn pass_texts(plan: &PassPlan, row: &Row) -> Vec<String> {
    plan.steps.iter().map(|step| step_text(step, is_verbatim(row))).collect()
}

/// The passes of each row. An angle, snug or a stretch is null in `passes_nm`.
pub fn passes_page<'a>(
    rows: &'a [RowPasses],
    wanted: &'a UnitsWanted,
    wrench: Option<WithWrench>,
) -> Page<'a> {
    let mut page = Page::new();
    let keys = under_wrench(&mut page, wrench);
    for one in rows {
        page.drawn(move |columns, _| row_lines(one, wanted, columns));
        page.blank();
    }
    page.drawn(move |columns, _| last_lines(rows, wanted, columns));
    page.rows("rows", row_keys(rows));
    if let Some(keys) = keys {
        page.value("with_wrench", keys);
    }
    page
}

fn row_lines(one: &RowPasses, wanted: &UnitsWanted, columns: usize) -> Vec<String> {
    let RowPasses { row, plan } = one;
    let mut lines = heading(row, wanted, columns);
    match (plan, &row.refused) {
        (Some(plan), _) => {
            let plan = with_prevailing(plan, &row.fastener);
            lines.extend(plan_lines(&plan, wanted, is_verbatim(row), columns));
        }
        (None, Some(why)) => {
            lines.extend(indented(&format!("refused: {}", clean(&why.to_string())), columns));
        }
        (None, None) => {}
    }
    lines
}

fn row_keys(rows: &[RowPasses]) -> Table<'_, &RowPasses> {
    let fields =
        ["key", "assembly", "joint", "part", "thread", "lube", "basis", "method", "torque"];
    let mut table = field_keys(Table::new(rows), fields, |one| &one.row)
        .key("refused", |one| one.row.refused.as_ref().map(ToString::to_string));
    for (key, value) in plan_keys() {
        table = table.key(key, move |one| value(one.plan.as_ref(), is_verbatim(&one.row)));
    }
    table
}

fn is_verbatim(row: &Row) -> bool {
    row.setting.basis != Basis::Computed
}

/// What a program reads of a plan; of a row without one all is empty or null.
type PlanKey = (&'static str, fn(Option<&PassPlan>, bool) -> Value);

fn plan_keys() -> [PlanKey; 9] {
    [
        ("passes", |plan, verbatim| {
            let texts = steps(plan).iter().map(|step| step_text(step, verbatim));
            texts.collect::<Vec<String>>().into()
        }),
        ("passes_nm", |plan, _| steps(plan).iter().map(step_nm).collect::<Vec<_>>().into()),
        ("passes_from", |plan, _| plan.map(|plan| plan.from.word()).into()),
        ("one_pull_because", |plan, _| match plan.map(|plan| &plan.from) {
            Some(PassFrom::OnePull(why)) => why.clone().into(),
            _ => Value::Null,
        }),
        ("final_once_more", |plan, _| plan.map(|plan| plan.repeat).into()),
        ("wrench", |plan, _| {
            let settings: Vec<Option<String>> = steps(plan).iter().map(step_setting).collect();
            Some(settings).filter(|all| all.iter().any(Option::is_some)).into()
        }),
        ("wrench_refused", |plan, _| plan.and_then(|plan| plan.refused.clone()).into()),
        ("wrench_suggested", |plan, _| plan.and_then(|plan| plan.suggested.clone()).into()),
        ("remarks", |plan, _| plan.map(|plan| plan.remarks.clone()).unwrap_or_default().into()),
    ]
}

fn steps(plan: Option<&PassPlan>) -> &[PassStep] {
    plan.map_or(&[], |plan| &plan.steps)
}

/// What the row is: joint, part, thread, and its torque with lube and basis on
/// one line.
fn heading(row: &Row, wanted: &UnitsWanted, columns: usize) -> Vec<String> {
    let fastener = &row.fastener;
    let count = fastener.count.map(|count| format!("{count} × ")).unwrap_or_default();
    let place = [&fastener.joint.assembly, &fastener.joint.name, &fastener.part];
    let place: Vec<String> = place.into_iter().map(|name| clean(name)).collect();
    let mut lines = wrap(&format!("{}  {count}{}", place.join(" / "), cells::turned(row)), columns);
    let lube = cells::lube(&row.setting);
    let out = if row.setting.superseded { "  SUPERSEDED, not to be used" } else { "" };
    let pull = Pull::of_row(row, wanted);
    // Lube, torque and basis stay on one line: rather one unit less.
    let line = |figure: String| match row.refused {
        Some(_) => format!("{lube}{out}"),
        None => format!("{lube}  {figure} {}{out}", cells::basis(row)),
    };
    let both = line(pull.with_units());
    let fits = width(&both) + 2 <= columns;
    lines.extend(indented(&if fits { both } else { line(pull.first()) }, columns));
    lines
}

fn plan_lines(
    plan: &PassPlan,
    wanted: &UnitsWanted,
    verbatim: bool,
    columns: usize,
) -> Vec<String> {
    let mut lines = Vec::new();
    let words: Vec<String> =
        plan.steps.iter().map(|step| step_words(step, wanted, verbatim)).collect();
    let widest = words.iter().map(|words| width(words)).max().unwrap_or(0);
    let several = plan.steps.len() > 1;
    let is_torque = |step: &PassStep| step.torque().is_some();
    let last = plan.steps.iter().rposition(is_torque).filter(|_| plan.refused.is_some());
    for (at, (step, words)) in plan.steps.iter().zip(&words).enumerate() {
        let number = if several { format!("{}. ", at + 1) } else { String::new() };
        let unfit = (last == Some(at)).then(|| "not with this wrench".to_owned());
        // Out of range without the rule and the advice, which need not be repeated.
        let setting = step.torque().and_then(|torque| torque.setting);
        let setting = setting.map(|setting| match setting.off_scale("this wrench's") {
            Some(brief) => brief,
            None => setting.to_string(),
        });
        let setting = unfit.or(setting);
        let beside = [step_share(step), setting];
        let beside: Vec<String> = beside.into_iter().flatten().collect();
        let line = if beside.is_empty() {
            format!("{number}{words}")
        } else {
            format!("{number}{}  {}", pad(words, widest), beside.join("  "))
        };
        lines.extend(indented(&line, columns));
    }
    if plan.repeat {
        lines.extend(indented("then the final value once more round the pattern", columns));
    }
    lines.extend(indented(&plan.from.in_words(), columns));
    for remark in plan.remarks.iter().chain(&plan.refused.as_ref().map(refusal)) {
        lines.extend(indented(&clean(remark), columns));
    }
    let instead = plan.suggested.as_ref().map(|wrench| format!("take {}", clean(wrench)));
    lines.extend(instead.iter().flat_map(|words| indented(words, columns)));
    lines
}

fn refusal(why: &String) -> String {
    format!("refused for this wrench: {why}")
}

/// `text` two columns in, wrapped, but with its own runs of blanks kept where
/// it fits.
fn indented(text: &str, columns: usize) -> Vec<String> {
    if width(text) + 2 <= columns {
        return vec![format!("  {text}")];
    }
    wrap(text, columns.saturating_sub(4).max(10))
        .iter()
        .enumerate()
        .map(|(at, line)| format!("{}{line}", if at == 0 { "  " } else { "    " }))
        .collect()
}

fn last_lines(rows: &[RowPasses], wanted: &UnitsWanted, columns: usize) -> Vec<String> {
    let all: Vec<&Row> = rows.iter().map(|row| &row.row).collect();
    let duties = duties(&all, wanted).into_iter().filter(|duty| duty.about != About::Passes);
    let texts = duties.map(|duty| untied(&duty.words())).chain(confused(&all));
    let texts = texts.chain([closing(Kinds::in_rows(&all), false)]);
    texts.flat_map(|text| wrap(&text, columns)).map(|line| untied(&line)).collect()
}

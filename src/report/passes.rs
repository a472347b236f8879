//! The passes of a torque or of rows, as a page and as JSON.

use crate::quantity::{Extent, Torque};
use crate::query::run::UnitsWanted;
use crate::record::{Basis, PassFrom, PassPlan, PassStep, Row};
use crate::report::cautions::{SAFETY, cautions};
use crate::report::cells;
use crate::report::csv::keyed;
use crate::report::figures::Figures;
use crate::report::json::Json;
use crate::report::lay::{clean, pad, untied, width, wrap};
use crate::report::pull::Pull;
use crate::report::steps::{step_nm, step_setting, step_share, step_text, step_words};

/// A row with its passes.
#[derive(Debug, Clone)]
pub struct RowPasses {
    /// The row.
    pub row: Row,
    /// Its passes; none for a row whose figure was refused.
    pub plan: Option<PassPlan>,
}

/// The passes to one torque, for a person.
pub fn torque_passes_page(
    torque: Extent<Torque>,
    plan: &PassPlan,
    wanted: &UnitsWanted,
    columns: usize,
) -> String {
    let units = crate::report::units::units_for(
        wanted,
        crate::quantity::Dimension::Torque,
        Some(torque.unit()),
    );
    let mut lines = vec![Figures::of(torque, &units, true).with_units()];
    lines.extend(plan_lines(plan, wanted, true, columns));
    untied(&lines.join("\n"))
}

/// The passes to one torque, for a program: `passes` in text, `passes_nm` in
/// N·m, unrounded.
pub fn torque_passes_json(torque: Extent<Torque>, plan: &PassPlan, wrench: Option<Json>) -> Json {
    let mut json = Json::object(vec![
        ("torque", torque.to_string().into()),
        ("torque_nm", torque.low().map(Torque::nm).into()),
    ]);
    plan_json(&mut json, Some(plan), true);
    if let Some(wrench) = wrench {
        json.add("with_wrench", wrench);
    }
    json
}

/// Each pass of a plan as a log line names it.
pub fn pass_texts(plan: &PassPlan, row: &Row) -> Vec<String> {
    plan.steps.iter().map(|step| step_text(step, is_verbatim(row))).collect()
}

/// The passes of each row, for a person.
pub fn passes_page(rows: &[RowPasses], wanted: &UnitsWanted, columns: usize) -> String {
    let mut blocks: Vec<String> = Vec::with_capacity(rows.len() + 1);
    for RowPasses { row, plan } in rows {
        let mut lines = heading(row, wanted, columns);
        match (plan, &row.refused) {
            (Some(plan), _) => {
                lines.extend(plan_lines(plan, wanted, is_verbatim(row), columns));
            }
            (None, Some(why)) => {
                lines.extend(indented(&format!("refused: {}", clean(why)), columns));
            }
            (None, None) => {}
        }
        blocks.push(lines.join("\n"));
    }
    blocks.push(last_lines(rows, wanted, columns));
    untied(&blocks.join("\n\n"))
}

/// The passes of each row, for a program. An angle, snug or a stretch is null
/// in `passes_nm`.
pub fn passes_json(rows: &[RowPasses], wrench: Option<Json>) -> Json {
    let mut json = Json::object(vec![("rows", Json::List(json_rows(rows)))]);
    if let Some(wrench) = wrench {
        json.add("with_wrench", wrench);
    }
    json
}

/// A page of passes under the wrench that they are for.
pub fn with_wrench(wrench: &str, page: &str, columns: usize) -> String {
    let mut lines = wrap(&format!("wrench {}", clean(wrench)), columns);
    lines.push(String::new());
    lines.push(page.to_owned());
    lines.join("\n")
}

/// The same as CSV, one line for each row.
pub fn passes_csv(rows: &[RowPasses]) -> String {
    let rows = json_rows(rows);
    keyed(&keys_of(&rows), &rows)
}

/// The keys of the fullest of `rows`.
pub(crate) fn keys_of(rows: &[Json]) -> Vec<String> {
    let keys = |row: &Json| match row {
        Json::Object(entries) => entries.iter().map(|(key, _)| key.to_string()).collect(),
        _ => Vec::new(),
    };
    rows.iter().map(keys).max_by_key(Vec::len).unwrap_or_default()
}

fn json_rows(rows: &[RowPasses]) -> Vec<Json> {
    let one = |RowPasses { row, plan }: &RowPasses| {
        let text = |value: Option<String>| Json::from(value);
        let mut json = Json::object(vec![
            ("key", (&row.key).into()),
            ("assembly", (&row.fastener.joint.assembly).into()),
            ("joint", (&row.fastener.joint.name).into()),
            ("part", (&row.fastener.part).into()),
            ("thread", text(row.fastener.thread.as_ref().map(ToString::to_string))),
            ("lube", text(row.setting.lube.clone())),
            ("basis", row.setting.basis.word().into()),
            ("method", row.setting.method.word().into()),
            ("torque_nm", row.setting.torque.and_then(Extent::low).map(Torque::nm).into()),
            ("refused", text(row.refused.clone())),
        ]);
        plan_json(&mut json, plan.as_ref(), is_verbatim(row));
        json
    };
    rows.iter().map(one).collect()
}

fn is_verbatim(row: &Row) -> bool {
    row.setting.basis != Basis::Computed
}

fn plan_json(json: &mut Json, plan: Option<&PassPlan>, verbatim: bool) {
    let steps: &[PassStep] = plan.map_or(&[], |plan| &plan.steps);
    let texts = steps.iter().map(|step| step_text(step, verbatim));
    json.add("passes", texts.collect::<Vec<String>>().into());
    json.add("passes_nm", steps.iter().map(step_nm).collect::<Vec<_>>().into());
    let Some(plan) = plan else { return };
    json.add("passes_from", plan.from.word().into());
    let why = match &plan.from {
        PassFrom::OnePull(why) => Some(why.clone()),
        _ => None,
    };
    json.add("one_pull_because", why.into());
    json.add("final_once_more", plan.repeat.into());
    if steps.iter().any(|step| step_setting(step).is_some()) {
        json.add("wrench", steps.iter().map(step_setting).collect::<Vec<_>>().into());
        json.add("wrench_refused", plan.refused.clone().into());
        json.add("wrench_suggested", plan.suggested.clone().into());
    }
    json.add("remarks", plan.remarks.clone().into());
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
    let out = if row.setting.superseded { "  SUPERSEDED" } else { "" };
    let pull = Pull::of(&row.setting, wanted);
    // Lube, torque and basis stay on one line: rather one unit less.
    let line = |figure: String| match row.refused {
        Some(_) => format!("{lube}{out}"),
        None => format!("{lube}  {figure} {}{out}", cells::basis(&row.setting)),
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
    let is_torque = |step: &PassStep| matches!(step, PassStep::Torque(_));
    let last = plan.steps.iter().rposition(is_torque).filter(|_| plan.refused.is_some());
    for (at, (step, words)) in plan.steps.iter().zip(&words).enumerate() {
        let number = if several { format!("{}. ", at + 1) } else { String::new() };
        let unfit = (last == Some(at)).then(|| "not with this wrench".to_owned());
        let setting = unfit.or_else(|| step_setting(step));
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

fn last_lines(rows: &[RowPasses], wanted: &UnitsWanted, columns: usize) -> String {
    let all: Vec<&Row> = rows.iter().map(|row| &row.row).collect();
    let pulls: Vec<Pull> = all.iter().map(|row| Pull::of(&row.setting, wanted)).collect();
    let mut lines = Vec::new();
    for caution in cautions(&all, &pulls).iter().map(String::as_str).chain([SAFETY]) {
        lines.extend(wrap(caution, columns));
    }
    lines.join("\n")
}

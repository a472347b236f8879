//! The rows of one fastener for the lubes asked for.

use std::sync::Arc;

use crate::correction::{Refusal, restate, stored_rows};
use crate::record::{Basis, Derived, Fastener, Lube, Method, Row, Setting, Tables, slug};
use crate::text::fold_name;

/// How far apart two computed torques may be before both are shown.
const SAME_WITHIN: f64 = 0.05;

/// One row or more for each of `lubes`: the listed settings if the fastener
/// has any for that lube, even outside `matched`; else what can be computed
/// from the `matched` settings; else the refusal.
///
/// Of several computed rows within 5 % of each other the one from the nearest
/// factor stands, named; otherwise all stand. Nothing is averaged.
pub fn with_lubes(
    fastener: &Arc<Fastener>,
    matched: &[&Setting],
    lubes: &[&Lube],
    tables: &Tables,
) -> Vec<Row> {
    lubes.iter().flat_map(|lube| with_lube(fastener, matched, lube, tables)).collect()
}

fn with_lube(
    fastener: &Arc<Fastener>,
    matched: &[&Setting],
    lube: &Lube,
    tables: &Tables,
) -> Vec<Row> {
    let listed = listed(fastener, matched, lube, tables);
    if !listed.is_empty() {
        return listed;
    }
    let tried = matched.iter().map(|setting| restate(fastener, setting, lube, tables));
    let (computed, refused): (Vec<_>, Vec<_>) = tried.partition(Result::is_ok);
    let computed: Vec<Row> = computed.into_iter().flatten().collect();
    if computed.is_empty() {
        let reasons = refused.into_iter().filter_map(Result::err);
        return refusal(fastener, lube, reasons).into_iter().collect();
    }
    nearest_or_all(computed, lube, tables)
}

/// The settings that the book has for this lube.
fn listed(
    fastener: &Arc<Fastener>,
    matched: &[&Setting],
    lube: &Lube,
    tables: &Tables,
) -> Vec<Row> {
    let is_matched = |setting: &Setting| matched.iter().any(|one| std::ptr::eq(*one, setting));
    let settings = fastener.settings.iter().enumerate();
    let indexes: Vec<usize> = settings
        .filter(|(_, setting)| names(setting, lube, tables) && setting.is_complete())
        .filter(|(_, setting)| !setting.superseded || is_matched(setting))
        .map(|(index, _)| index)
        .collect();
    stored_rows(fastener, &indexes, tables)
}

/// Whether `setting` is for `lube` on both faces.
fn names(setting: &Setting, lube: &Lube, tables: &Tables) -> bool {
    let is_it = |name: &Option<String>| {
        name.as_deref().and_then(|name| tables.lube(name)).is_some_and(|l| l.name == lube.name)
    };
    is_it(&setting.lube) && (setting.face_lube.is_none() || is_it(&setting.face_lube))
}

fn nearest_or_all(mut computed: Vec<Row>, lube: &Lube, tables: &Tables) -> Vec<Row> {
    let wanted = lube.k.map(|k| k.nominal);
    let distance = |row: &Row| {
        let from = row.restated.as_ref().and_then(|from| tables.lube(&from.from_lube));
        let chart = row.restated.as_ref().is_some_and(|from| from.note.is_some());
        let k = from.and_then(|from| from.k).map(|k| k.nominal);
        let apart = wanted.zip(k).map_or(f64::MAX, |(to, from)| (to - from).abs());
        (chart, apart)
    };
    computed.sort_by(|a, b| {
        let (a, b) = (distance(a), distance(b));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    let torque = |row: &Row| Some(row.setting.torque?.target()?.nm());
    let Some(best) = computed.first().and_then(torque) else { return computed };
    let agree = computed
        .iter()
        .all(|row| torque(row).is_some_and(|other| (other / best - 1.0).abs() <= SAME_WITHIN));
    if agree {
        computed.truncate(1);
    }
    computed
}

/// The row that says why there is no figure. Where the reasons differ, the
/// first that is about the request and not about an incomplete entry stands.
fn refusal(
    fastener: &Arc<Fastener>,
    lube: &Lube,
    reasons: impl Iterator<Item = Refusal>,
) -> Option<Row> {
    let mut reasons: Vec<Refusal> = reasons.collect();
    reasons.sort_by_key(|reason| {
        matches!(reason, Refusal::NoTorque | Refusal::SourceLubeUnknown | Refusal::Maximum)
    });
    let reason = reasons.into_iter().next()?;
    let mut setting = Setting::new(Method::Torque, Basis::Computed);
    setting.lube = Some(lube.name.clone());
    Some(Row {
        key: format!("{}/{}", fastener.key, slug(&[&fold_name(&lube.name)])),
        fastener: Arc::clone(fastener),
        setting,
        derived: Derived::default(),
        restated: None,
        refused: Some(reason.to_string()),
        warnings: Vec::new(),
    })
}

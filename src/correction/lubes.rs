//! The rows of one fastener for the lubes asked for.

use std::sync::Arc;

use crate::correction::rules::is_for;
use crate::correction::{AGREE_WITHIN, Refusal, restate, stored_rows};
use crate::quantity::Extent;
use crate::record::{Basis, Fastener, Lube, Row, Setting, Tables};

/// One row or more for each of `lubes`: the listed settings if the fastener
/// has any for that lube, even outside `matched`; else what can be computed
/// from the `matched` settings; else the refusal.
///
/// Of several computed rows within 5 % of each other the one from the nearest
/// factor stands, named; otherwise all stand, nearest first. Nothing is
/// averaged, and listed values that disagree all stand.
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
    let (listed, computed_before) = stored(fastener, matched, lube, tables);
    if !listed.is_empty() {
        return stored_rows(fastener, &listed, tables);
    }
    let tried = matched.iter().map(|setting| restate(fastener, setting, lube, tables));
    let (computed, refused): (Vec<_>, Vec<_>) = tried.partition(Result::is_ok);
    let computed: Vec<Row> = computed.into_iter().flatten().collect();
    if !computed.is_empty() {
        return nearest_or_all(computed);
    }
    if !computed_before.is_empty() {
        return stored_rows(fastener, &computed_before, tables);
    }
    refusal(fastener, lube, refused.into_iter().filter_map(Result::err)).into_iter().collect()
}

/// The settings that the book has for this lube: those that a source gives, and
/// those that were computed and then kept. A superseded one only if asked for.
fn stored(
    fastener: &Arc<Fastener>,
    matched: &[&Setting],
    lube: &Lube,
    tables: &Tables,
) -> (Vec<usize>, Vec<usize>) {
    let settings = fastener.settings.iter().enumerate();
    settings
        .filter(|(_, setting)| is_for(setting, lube, tables) && setting.is_complete())
        .filter(|(_, setting)| !setting.superseded || matched.contains(setting))
        .map(|(index, _)| index)
        .partition(|index| fastener.settings[*index].basis != Basis::Computed)
}

/// The row from the nearest factor if all agree, else all of them.
fn nearest_or_all(mut computed: Vec<Row>) -> Vec<Row> {
    // T2/T1 is K2/K1, and K2 is the same for all: the nearest factor is the one
    // that changes the torque least. A chart's own rule stands after any sheet.
    let distance = |row: &Row| {
        let from = row.restated.as_ref();
        let ratio = from.zip(row.setting.torque.and_then(Extent::low));
        let apart =
            ratio.map_or(f64::MAX, |(from, to)| (from.from_torque_nm / to.nm() - 1.0).abs());
        (from.is_some_and(|from| from.note.is_some()), apart)
    };
    computed.sort_by(|a, b| {
        let (a, b) = (distance(a), distance(b));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    let torque = |row: &Row| Some(row.setting.torque?.high().nm());
    let Some(best) = computed.first().and_then(torque) else { return computed };
    let agree = computed
        .iter()
        .all(|row| torque(row).is_some_and(|other| (other / best - 1.0).abs() <= AGREE_WITHIN));
    if agree {
        computed.truncate(1);
    }
    computed
}

/// How little a reason says about what was asked: a plain torque that may not
/// be converted says most, an entry that is not complete least.
fn rank(reason: &Refusal) -> u8 {
    match reason {
        Refusal::NoTorque
        | Refusal::SourceLubeUnknown
        | Refusal::Maximum
        | Refusal::Superseded
        | Refusal::Chart
        | Refusal::Computed => 2,
        Refusal::Angle | Refusal::Stretch => 1,
        _ => 0,
    }
}

/// The row that says why there is no figure, with the reason that says most.
fn refusal(
    fastener: &Arc<Fastener>,
    lube: &Lube,
    reasons: impl Iterator<Item = Refusal>,
) -> Option<Row> {
    let mut reasons: Vec<Refusal> = reasons.collect();
    reasons.sort_by_key(rank);
    let reason = reasons.into_iter().next()?;
    Some(Row::refused(fastener, Some(&lube.name), reason))
}

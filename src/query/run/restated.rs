//! The rows of `with` and `target`: one or more for each fastener and lube.

use std::sync::Arc;

use crate::correction::{target_torque, with_lubes};
use crate::quantity::{Extent, NEWTON_METRE, Unit};
use crate::query::resolve::Question;
use crate::record::{Fastener, Lube, Refusal, Row, Setting, Tables};

/// What stands in place of the `matched` rows.
pub(super) fn rows(question: &Question, matched: &[Row], tables: &Tables) -> Vec<Row> {
    let same = |a: &Row, b: &Row| Arc::ptr_eq(&a.fastener, &b.fastener);
    let of_fastener = |matched: &[Row]| {
        let fastener = &matched[0].fastener;
        let lubes = lubes_for(question, matched, tables);
        match question.target {
            Some(_) if lubes.is_empty() => {
                let reason = "the lube is not stated: write `with` and a lube";
                vec![Row::refused(fastener, None, Refusal::Words(reason.to_owned()))]
            }
            Some(target) => {
                let unit = torque_unit(matched);
                let reached = lubes.iter().map(|lube| {
                    target_torque(fastener, target, lube, unit, tables)
                        .unwrap_or_else(|reason| Row::refused(fastener, Some(&lube.name), reason))
                });
                reached.collect()
            }
            None => with_lubes(fastener, &settings_of(fastener, matched), &lubes, tables),
        }
    };
    matched.chunk_by(same).flat_map(of_fastener).collect()
}

/// The lubes asked for; without `with`, those of the matched settings.
fn lubes_for<'a>(question: &Question, matched: &[Row], tables: &'a Tables) -> Vec<&'a Lube> {
    if !question.with.is_empty() {
        return question.with.iter().filter_map(|name| tables.lube(name)).collect();
    }
    let mut lubes: Vec<&Lube> = Vec::new();
    for row in matched {
        let lube = row.setting.lube.as_deref().and_then(|name| tables.lube(name));
        lubes.extend(lube.filter(|lube| !lubes.iter().any(|known| known.name == lube.name)));
    }
    lubes
}

/// The fastener's own settings behind the matched rows.
fn settings_of<'a>(fastener: &'a Arc<Fastener>, matched: &[Row]) -> Vec<&'a Setting> {
    let is_matched = |setting: &&Setting| matched.iter().any(|row| row.setting == **setting);
    fastener.settings.iter().filter(is_matched).collect()
}

/// The unit in which the first matched torque is written; N·m where none is.
fn torque_unit(matched: &[Row]) -> &'static Unit {
    let written = matched.iter().find_map(|row| row.setting.torque).map(Extent::unit);
    written.unwrap_or(NEWTON_METRE)
}

//! What stands in the box on top of a page, once, and what belongs to one part.

use crate::query::run::UnitsWanted;
use crate::record::{Row, hole_numbers};
use crate::report::duties::{About, Duty, confused, duties, is_pulled, own_lube};
use crate::report::lay::{capital, clean, untied};
use crate::report::sheet::BenchJoint;

/// The cautions of a page, each once.
pub(crate) fn page_cautions(joint: &BenchJoint, wanted: &UnitsWanted) -> Vec<String> {
    let rows: Vec<&Row> = live(joint).collect();
    let of_joint = duties(&rows, wanted).into_iter().filter(|duty| duty.about == About::Joint);
    // What is to be discarded, and what is only the start, stands at its part.
    let texts = of_joint.map(|duty| duty.words()).chain(own_lube(&rows).map(str::to_owned));
    let texts = texts.chain(confused(&rows)).chain(either(&rows));
    texts.map(|text| capital(&untied(&text))).collect()
}

/// Parts that stand for each other: they name the same holes.
fn either(rows: &[&Row]) -> Option<String> {
    let mut parts: Vec<(&str, Vec<usize>)> = Vec::new();
    for row in rows {
        let (part, holes) = (row.fastener.part.as_str(), row.fastener.positions.as_deref());
        if let Some(holes) = holes.and_then(hole_numbers)
            && !parts.iter().any(|(known, _)| *known == part)
        {
            parts.push((part, holes));
        }
    }
    let shared = |at: &usize| parts.iter().filter(|(_, holes)| *holes == parts[*at].1).count() > 1;
    let at = (0..parts.len()).find(shared)?;
    let names = parts.iter().filter(|(_, holes)| *holes == parts[at].1);
    let names: Vec<String> = names.map(|(part, _)| clean(part)).collect();
    Some(format!("One of these in the same holes, never both: {}.", names.join(" or ")))
}

/// The rows that are pulled: not refused, not superseded.
pub(crate) fn live(joint: &BenchJoint) -> impl Iterator<Item = &Row> {
    let rows = joint.rows.iter().map(|one| &one.row);
    rows.filter(|row| is_pulled(row))
}

/// The cautions of one row that stand at its part.
pub(crate) fn row_cautions(row: &Row, wanted: &UnitsWanted) -> Vec<String> {
    let of_row =
        |duty: &Duty| duty.is_caution() && !matches!(duty.about, About::Joint | About::Discard);
    of_kind(row, wanted, of_row).collect()
}

/// The duties of one row for which `is_meant`.
pub(crate) fn of_kind(
    row: &Row,
    wanted: &UnitsWanted,
    is_meant: impl Fn(&Duty) -> bool,
) -> impl Iterator<Item = String> {
    let own = duties(&[row], wanted).into_iter().filter(move |duty| is_meant(duty));
    own.map(|duty| untied(&duty.words()))
}
